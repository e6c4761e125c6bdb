"""The shapes of a pack: rules with their expressions read and typed, defined terms, cases."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal

from rxlint.expressions import Node
from rxlint.model.names import NameTable
from rxlint.units import Unit

if TYPE_CHECKING:
    from rxlint.packs.profile import Profile

Level = Literal["reject", "query", "note"]
Basis = Literal["contradiction", "verified", "practice", "memory", "policy"]
CaseKind = Literal["fires", "holds", "silent"]

LEVELS: Final[tuple[Level, ...]] = ("reject", "query", "note")
BASES: Final[tuple[Basis, ...]] = ("contradiction", "verified", "practice", "memory")
POLICY_BASES: Final[tuple[Basis, ...]] = (*BASES, "policy")  # the site's own decision: a policy alone may have it
MAY_REJECT: Final = frozenset({"contradiction", "verified", "policy"})


@dataclass(frozen=True, slots=True)
class Spot:
    """Where something stands in a pack's file, from 1."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Origin:
    """The row of a policy that decided something, and what it sets: a rule, its level, a limit of it, that it is asked.

    ``path`` and ``line`` are the file and the line of the row; ``change`` says what it made of what, where it changed
    something, and makes no other origin of it.
    """

    policy: str
    revision: int
    path: str
    line: int
    sets: Literal["rule", "level", "limit", "check"] = "rule"
    change: str = field(default="", compare=False)

    def __str__(self) -> str:
        change = f": {self.change}" if self.change else ""
        return f"{self.policy} revision {self.revision}, {self.path}:{self.line}{change}"


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
    """An example inside a rule: facts, or a whole document, and what the rule makes of it.

    ``library`` are the names and texts of all documents of a library, of which the first is judged. ``before`` is, in
    a pair, what the document was before; ``text`` is what it became.
    """

    kind: CaseKind
    text: str
    whole: bool
    spot: Spot
    library: tuple[tuple[str, str], ...] = ()
    before: str | None = None


@dataclass(frozen=True, slots=True)
class Rule:
    """One check. Exactly one of ``require`` (with an optional ``when``), ``found_by`` and ``python`` is set."""

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
    level_where_allowed: Level | None = None  # its level where only something that is allowed breaks it
    at: tuple[str, ...] = ()
    makes: tuple[str, ...] = ()
    stricter: tuple[Stricter, ...] = ()
    corrections: tuple[Correction, ...] = ()
    yields_to: tuple[str, ...] = ()
    cases: tuple[Case, ...] = ()
    when_text: str = ""
    require_text: str = ""
    parts: tuple[Rule, ...] = ()  # a rule of several requirements: one for each, with the same id
    origins: tuple[Origin, ...] = ()  # the rows of policies that made it or changed it
    level_is_policy: bool = False  # a policy has set the level: then it may reject, whatever the basis
    python: object | None = None  # the rule as an extension gives it, where it is written in Python
    code: str = ""  # and the function that checks it

    @property
    def area(self) -> str:
        """What stands before the point of its id."""
        return self.id.partition(".")[0]

    def bounded(self, level: Level) -> Level:
        """A level as the rule's basis allows: only a contradiction, a verified source or a policy may reject."""
        may_reject = self.level_is_policy or self.basis in MAY_REJECT
        return "query" if level == "reject" and not may_reject else level


@dataclass(frozen=True, slots=True)
class Defined:
    """A term that a pack defines."""

    key: str
    node: Node
    means: str
    source: str
    unit: Unit | None
    spot: Spot = Spot(1, 1)
    without_source: tuple[Spot, ...] = ()  # rows of its table that do not say where they come from


@dataclass(frozen=True, slots=True)
class PolicyRow:
    """A row of a policy as the rule it becomes, with what tells whether another row loosens it.

    ``measured`` is the expression that is limited, as text, ``low`` and ``high`` the limits in base units; ``stated``
    is what is fixed or allowed, as written; ``terms`` are what is demanded.
    """

    kind: Literal["fixed", "limits", "demand"]
    rule: Rule
    final: bool
    measured: str = ""
    stated: str = ""
    low: Fraction | None = None
    high: Fraction | None = None
    terms: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LevelChange:
    """A rule's level as a policy sets it."""

    rule: str
    level: Level
    because: str
    final: bool
    spot: Spot


@dataclass(frozen=True, slots=True)
class TermChange:
    """A term that a pack defines, as a policy defines it instead; ``key`` is the term's key, ``text`` as written."""

    pack: str
    name: str
    key: str
    node: Node
    text: str
    because: str
    final: bool
    spot: Spot


@dataclass(frozen=True, slots=True)
class Mention:
    """A rule's id, or an area, that a policy names."""

    name: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Policy:
    """What a pack that is a site's policy says besides its rules."""

    rows: tuple[PolicyRow, ...] = ()
    levels: tuple[LevelChange, ...] = ()
    terms: tuple[TermChange, ...] = ()
    must_check: tuple[Mention, ...] = ()
    never_accepted: tuple[Mention, ...] = ()


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack that loaded without a fault. ``policy`` is what it says as a site's policy, if it is one.

    ``profiles`` are ventilators that its cases are tried on; no document of a site is ever held against them.
    """

    name: str
    revision: int
    summary: str
    path: str
    digest: str
    rules: tuple[Rule, ...]
    defined: Mapping[str, Defined]
    names: NameTable
    uses: tuple[str, ...] = ()
    policy: Policy | None = None
    profiles: tuple[Profile, ...] = ()
