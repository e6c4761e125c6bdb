"""What the functions for Python programs return: frozen, plain, and safe to hand to another thread or process.

Findings and their parts are those of ``screening.finding``. Numbers are exact fractions in the unit that stands beside
them. ``period`` is None where something holds all day, ``band`` where it holds for every row of a table.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from rxlint.interface.options import level_of
from rxlint.library.comparing import Status
from rxlint.notation.nodes import ValueKind
from rxlint.notation.tree import Kind, Place
from rxlint.packs import LEVELS, Basis, Level
from rxlint.screening.change import Kind as ChangeKind
from rxlint.screening.finding import Finding, Row
from rxlint.text import Problem

LineKind = Literal["document", "heading", "detail", "row", "unread"]


def _fails(problems: tuple[Problem, ...], findings: tuple[Finding, ...], at: str) -> bool:
    counted = LEVELS[: LEVELS.index(level_of(at)) + 1]
    return bool(problems) or any(each.counts and each.level in counted for each in findings)


# ---- screening


@dataclass(frozen=True, slots=True)
class Screened:
    """A document with what the rules found in it.

    ``problems`` says what kept it, or a rule, from being looked at; ``rows`` has one entry for each rule, with what it
    lacked where it could not be checked. ``kind`` and ``id`` are None where the document does not state them,
    ``policies`` the names of the policies that it was screened under.
    """

    path: str
    kind: Kind | None
    id: str | None
    problems: tuple[Problem, ...]
    findings: tuple[Finding, ...]
    rows: tuple[Row, ...]
    policies: tuple[str, ...] = ()

    def fails(self, at: Level = "query") -> bool:
        """Whether it has problems, or findings at this level or a stricter one that nobody has accepted and that are
        not known from before. False is not an approval. Raises OptionError for another level.
        """
        return _fails(self.problems, self.findings, at)


# ---- reading


@dataclass(frozen=True, slots=True)
class Quantity:
    """A stated amount: ``numbers`` in ``unit``, as many as its ``kind`` has (two for "between").

    ``reference`` is "ambient" or "PEEP" for a pressure, ``basis`` the weight of a value per kilogram, ``allowed`` what
    may be set without a new order.
    """

    kind: ValueKind
    numbers: tuple[Fraction, ...]
    unit: str
    reference: str | None
    basis: str | None
    allowed: tuple[Fraction, Fraction] | None


@dataclass(frozen=True, slots=True)
class Statement:
    """One statement of a document: all but blank lines and comments is one.

    ``is_read`` is False where rules can't use it; why is told by screening. ``term`` and ``value`` are in standard
    spelling, ``written`` is as it stands (white space apart). ``quantity`` is None where the value is no amount.
    """

    kind: LineKind
    section: str | None
    period: str | None
    term: str | None
    value: str | None
    quantity: Quantity | None
    written: str
    place: Place
    is_read: bool


@dataclass(frozen=True, slots=True)
class Parsed:
    """A document as read, line by line, and what kept it from being read as a whole."""

    kind: Kind | None
    id: str | None
    title: str | None
    problems: tuple[Problem, ...]
    statements: tuple[Statement, ...]


@dataclass(frozen=True, slots=True)
class DerivedValue:
    """A value that follows from a document: one number, or the low and the high end over what is allowed.

    ``text`` is rounded for display; ``formula`` and ``numbers`` show how it is worked out, ``source`` where the formula
    comes from, ``means`` what it is. ``readings`` names the set of readings that it rests on, if any.
    """

    term: str
    low: Fraction
    high: Fraction
    unit: str
    text: str
    formula: str
    numbers: str
    source: str
    means: str
    period: str | None
    band: str | None
    readings: str | None

    @property
    def is_range(self) -> bool:
        """Whether it has two ends."""
        return self.low != self.high


@dataclass(frozen=True, slots=True)
class Derived:
    """What follows from a document, and what kept it from being read."""

    kind: Kind | None
    id: str | None
    problems: tuple[Problem, ...]
    values: tuple[DerivedValue, ...]


# ---- comparing


@dataclass(frozen=True, slots=True)
class Change:
    """What a line, or a row, said before and says now; None where it says nothing.

    ``reworded`` is the same in another unit, spelling or reference; ``range changed`` another range with nothing else
    set. ``is_order`` is False for what is said of the order: its dates, signatures and readings.
    """

    term: str
    section: str | None
    kind: ChangeKind
    before: str | None
    after: str | None
    how: str
    period: str | None
    is_order: bool
    old_line: int | None
    new_line: int | None


@dataclass(frozen=True, slots=True)
class Ends:
    """A number, or the two ends of a range; ``text`` is rounded for display."""

    low: Fraction
    high: Fraction
    text: str


@dataclass(frozen=True, slots=True)
class DerivedChange:
    """A value that follows from what has changed, before and after; None where it can't be worked out."""

    term: str
    unit: str
    before: Ends | None
    after: Ends | None
    is_changed: bool
    period: str | None
    band: str | None


@dataclass(frozen=True, slots=True)
class Expected:
    """A carbon dioxide tension that the change lets expect, in ``unit``, with the ventilation before and after."""

    reading: str
    unit: str
    measured: Fraction
    expected: Fraction
    taken: str | None
    before: str
    after: str
    source: str
    period: str | None


@dataclass(frozen=True, slots=True)
class Compared:
    """A document before and after.

    ``findings`` tell what the change left behind, ``rows`` how each rule of changes came out. ``are_one`` is False
    where the two say that they are different documents: then no such rule applies.
    """

    path: str | None
    old_path: str | None
    id: str | None
    status: Status
    is_renamed: bool
    are_one: bool | None
    problems: tuple[Problem, ...]
    changes: tuple[Change, ...]
    derived: tuple[DerivedChange, ...]
    expected: tuple[Expected, ...]
    findings: tuple[Finding, ...]
    rows: tuple[Row, ...]
    policies: tuple[str, ...] = ()

    def fails(self, at: Level = "query") -> bool:
        """Whether it has problems, or findings at this level or a stricter one that nobody has accepted: whatever has
        changed. False is not an approval. Raises OptionError for another level.
        """
        return _fails(self.problems, self.findings, at)


# ---- rules


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule as its pack describes it: ``level`` is what it is told at, ``basis`` what it rests on."""

    id: str
    pack: str
    level: Level
    basis: Basis
    title: str
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Pack:
    """A rule pack, or a policy (``is_policy``). ``digest`` tells one state of its file from another."""

    name: str
    revision: int
    summary: str
    path: str
    digest: str
    is_policy: bool
    rules: tuple[Rule, ...]
