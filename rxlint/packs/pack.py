"""The shapes of a pack: rules with their expressions read and typed, defined terms, cases."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from rxlint.expressions import Node
from rxlint.model.names import NameTable
from rxlint.units import Unit

Level = Literal["reject", "query", "note"]
Basis = Literal["contradiction", "verified", "practice", "memory"]
CaseKind = Literal["fires", "holds", "silent"]

LEVELS: Final[tuple[Level, ...]] = ("reject", "query", "note")
BASES: Final[tuple[Basis, ...]] = ("contradiction", "verified", "practice", "memory")
MAY_REJECT: Final = frozenset({"contradiction", "verified"})


@dataclass(frozen=True, slots=True)
class Spot:
    """Where something stands in a pack's file, from 1."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class PackProblem:
    """What is wrong with a pack, and where."""

    path: str
    line: int
    column: int
    message: str
    suggestions: tuple[str, ...] = ()

    def __str__(self) -> str:
        tail = f"; did you mean {' or '.join(self.suggestions)}?" if self.suggestions else ""
        return f"{self.path}:{self.line}:{self.column}: {self.message}{tail}"


@dataclass(frozen=True, slots=True)
class Slot:
    """A place in a message: an expression with the unit to tell it in, or a field of an event."""

    text: str
    node: Node | None = None
    unit: Unit | None = None


@dataclass(frozen=True, slots=True)
class Message:
    """Text with slots."""

    parts: tuple[str | Slot, ...]


@dataclass(frozen=True, slots=True)
class Correction:
    """A change that would restore the rule: set a term to what an expression gives."""

    key: str
    node: Node
    text: str


@dataclass(frozen=True, slots=True)
class Stricter:
    """A level that holds instead where a condition is true."""

    level: Level
    when: Node


@dataclass(frozen=True, slots=True)
class Case:
    """An example inside a rule: facts, or a whole document, and what the rule makes of it."""

    kind: CaseKind
    text: str
    whole: bool
    spot: Spot


@dataclass(frozen=True, slots=True)
class Rule:
    """One check. Exactly one of ``require`` (with an optional ``when``) and ``found_by`` is set."""

    id: str
    level: Level
    basis: Basis
    title: str
    say: Message
    because: str
    source: str
    pack: str
    spot: Spot
    when: Node | None = None
    require: Node | None = None
    found_by: tuple[str, ...] = ()
    as_set_only: bool = False  # asked of the values as set alone, never of everything that may be set
    at: tuple[str, ...] = ()
    makes: tuple[str, ...] = ()
    stricter: tuple[Stricter, ...] = ()
    corrections: tuple[Correction, ...] = ()
    yields_to: tuple[str, ...] = ()
    cases: tuple[Case, ...] = ()
    when_text: str = ""
    require_text: str = ""
    parts: tuple[Rule, ...] = ()  # a rule of several requirements: one for each, with the same id

    @property
    def area(self) -> str:
        """What stands before the point of its id."""
        return self.id.partition(".")[0]

    def bounded(self, level: Level) -> Level:
        """A level as the rule's basis allows: only a contradiction or a verified source may reject."""
        return "query" if level == "reject" and self.basis not in MAY_REJECT else level


@dataclass(frozen=True, slots=True)
class Defined:
    """A term that a pack defines."""

    key: str
    node: Node
    means: str
    source: str
    unit: Unit | None


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack that loaded without a fault."""

    name: str
    revision: int
    summary: str
    path: str
    digest: str
    rules: tuple[Rule, ...]
    defined: Mapping[str, Defined]
    names: NameTable
    uses: tuple[str, ...] = ()
