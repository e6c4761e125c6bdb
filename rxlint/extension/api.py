"""The shapes of Python rules, and the view of a document that one is asked about.

Values are exact fractions in base units: cmH2O, mL, s, cm, kg, degC, and the plain number 1. ``amount(20, "mbar")`` is
an amount in base units; ``view.number("PEEP", "mbar")`` a value in a unit of the rule's choice.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Protocol

from rxlint.packs.pack import BASES, LEVELS, Basis, CaseKind, Level
from rxlint.units import PLAIN, Unit, find_unit, to_base

GROUP: Final = "rxlint.rules"
"""The entry point group under which a distribution names its pack."""

ID: Final = re.compile(r"[a-z][a-z0-9-]*(\.[a-z0-9-]+)+")
NAME: Final = re.compile(r"[a-z][a-z0-9-]*")


class Lacking(Exception):
    """A value that the rule needs is not there: the rule is not checked. A rule need not catch it."""

    def __init__(self, terms: frozenset[str], reasons: tuple[str, ...] = ()) -> None:
        super().__init__("; ".join(reasons) or f"lacks {', '.join(sorted(terms))}")
        self.terms = terms
        self.reasons = reasons


class UnknownNameError(LookupError):
    """The rule names a term or a unit that there is not, or asks a term for what it is not: a fault of the rule."""


class View(Protocol):
    """What one scope of a document says: a period, with one set of readings, in one row of its tables. Read-only.

    Terms are named as in the rule language: ``PEEP``, ``patient age``, ``alarm high rate``, ``reading plateau
    pressure``, derived ones (``driving pressure``) too. Values are those that are set. A value that is missing, can't
    be read, is switched off or is a range alone raises Lacking; a name that there is not raises UnknownNameError.
    """

    @property
    def document_kind(self) -> str | None:
        """``prescription`` or ``template``; None where the document does not say."""

    @property
    def period(self) -> str | None:
        """The name of the period, as written; None for the unnamed one."""

    @property
    def band(self) -> str | None:
        """The row of the document's tables that is looked at, in words; None where it has no table."""

    def is_stated(self, term: str) -> bool:
        """Whether the document states a term, readable or not."""

    def has_value(self, term: str) -> bool:
        """Whether a term has a value as set, stated or worked out."""

    def number(self, term: str, unit: str | None = None) -> Fraction:
        """The value of a term, in a unit; without one, in base units."""

    def words(self, term: str) -> frozenset[str]:
        """The words of a term, such as ``{"tracheostomy"}`` of ``interface``."""

    def items(self, term: str) -> tuple[str, ...]:
        """The items of a list, such as ``assembly``, in its order."""

    def truth(self, term: str) -> bool:
        """The answer of a term that is a condition, such as ``checker is author``."""

    def tell(self, term: str) -> str:
        """The value as text, in the author's unit and as written where it is stated."""

    def show(self, value: Fraction, unit: str) -> str:
        """A value in base units as text in a unit, rounded for display alone."""


@dataclass(frozen=True, slots=True)
class PythonFinding:
    """What a rule found: a message for a tired clinician, and the terms at whose lines it stands, the first first.

    ``level`` may differ from the rule's; the basis of the rule bounds it all the same. ``worked_out`` are lines of the
    calculation. Raises ValueError where it is nothing that could be told.
    """

    message: str
    at: tuple[str, ...] = ()
    level: Level | None = None
    worked_out: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _texts("message", (self.message,))
        _texts("at", self.at)
        _texts("worked_out", self.worked_out)
        _one_of("level", self.level, (*LEVELS, None))


@dataclass(frozen=True, slots=True)
class PythonCase:
    """An example of a rule: facts as in the cases of YAML packs, or a whole document, and what the rule makes of it."""

    kind: CaseKind
    text: str
    whole: bool = False

    def __post_init__(self) -> None:
        _one_of("kind", self.kind, ("fires", "holds", "silent"))
        _texts("text", (self.text,))


def fires(text: str, *, whole: bool = False) -> PythonCase:
    """A case in which the rule, and no other of its pack, gives a finding."""
    return PythonCase("fires", text, whole)


def holds(text: str, *, whole: bool = False) -> PythonCase:
    """A case in which the rule applies and is met."""
    return PythonCase("holds", text, whole)


def silent(text: str, *, whole: bool = False) -> PythonCase:
    """A case in which the rule does not apply or can't be checked."""
    return PythonCase("silent", text, whole)


@dataclass(frozen=True, slots=True)
class PythonRule:
    """One check. ``check`` yields a finding for each thing that is wrong, and nothing where all is well.

    ``applies`` says whether the rule has anything to say of a document; without it, it has of every one. A rule that
    ``reads_readings`` is asked once for each section of readings, as a rule of the rule language that names one is.
    Raises ValueError where a part is missing or can't be used.
    """

    id: str
    level: Level
    basis: Basis
    title: str
    because: str
    source: str
    cases: tuple[PythonCase, ...]
    check: Callable[[View], Iterable[PythonFinding]]
    applies: Callable[[View], bool] | None = None
    at: tuple[str, ...] = ()
    yields_to: tuple[str, ...] = ()
    reads_readings: bool = False

    def __post_init__(self) -> None:
        _named("an id is lower-case words with hyphens, an area before a point", self.id, ID)
        _one_of(f"{self.id}: level", self.level, LEVELS)
        _one_of(f"{self.id}: basis", self.basis, BASES)
        for name in ("title", "because", "source"):
            _texts(f"{self.id}: {name}", (getattr(self, name),))
        _texts(f"{self.id}: at", self.at)
        _texts(f"{self.id}: yields_to", self.yields_to)
        _functions(f"{self.id}: check and applies", (self.check, self.applies or self.check))
        _instances(f"{self.id}: cases", self.cases, PythonCase)


@dataclass(frozen=True, slots=True)
class PythonPack:
    """Rules that one entry point names; every id begins with the pack's name. Raises ValueError where it is unsound."""

    name: str
    revision: int
    summary: str
    rules: tuple[PythonRule, ...]

    def __post_init__(self) -> None:
        _named("a pack's name is lower-case letters, digits and hyphens", self.name, NAME)
        _whole_number(f"{self.name}: revision", self.revision)
        _texts(f"{self.name}: summary", (self.summary,))
        _instances(f"{self.name}: rules", self.rules, PythonRule)
        ids = [rule.id for rule in self.rules]
        for identifier in ids:
            if identifier.partition(".")[0] != self.name:
                raise ValueError(f"{self.name}: the id {identifier} begins with another name")
            if ids.count(identifier) > 1:
                raise ValueError(f"{self.name}: the id {identifier} stands twice")


def amount(value: int | str | Fraction, unit: str) -> Fraction:
    """An amount in base units, exactly: ``amount("7.5", "mbar")``.

    Raises TypeError for a float, which holds few decimals exactly; UnknownNameError for a unit that there is not.
    """
    _exact(value)
    return to_base(Fraction(value), unit_named(unit))


def unit_named(symbol: str) -> Unit:
    """A unit by its symbol; the empty one is that of plain numbers. Raises UnknownNameError."""
    unit = PLAIN if symbol == "" else find_unit(symbol)
    if unit is None:
        raise UnknownNameError(f"there is no unit {symbol}")
    return unit


# Other people's modules are not always type-checked: what they give is held against what it must be.


def _exact(value: object) -> None:
    if isinstance(value, bool) or not isinstance(value, int | str | Fraction):
        raise TypeError(f"an amount is a whole number, a text or a fraction, not {value!r}")


def _named(what: str, value: object, pattern: re.Pattern[str]) -> None:
    if not isinstance(value, str) or not pattern.fullmatch(value):
        raise ValueError(f"{what}: {value!r}")


def _whole_number(what: str, value: object) -> None:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise ValueError(f"{what} is a whole number, not {value!r}")


def _functions(what: str, values: tuple[object, ...]) -> None:
    if not all(callable(each) for each in values):
        raise ValueError(f"{what} must be functions")


def _texts(what: str, texts: object) -> None:
    """Refuse anything but a tuple of texts that say something."""
    if not isinstance(texts, tuple):
        raise ValueError(f"{what} must be a tuple of texts")
    if not all(isinstance(each, str) and each.strip() for each in texts):
        raise ValueError(f"{what} must be text that is not empty")


def _one_of(what: str, value: object, allowed: Sequence[object]) -> None:
    if value not in allowed:
        raise ValueError(f"{what} is one of {', '.join(map(str, allowed))}, not {value!r}")


def _instances(what: str, values: object, kind: type) -> None:
    if not isinstance(values, tuple) or not all(isinstance(each, kind) for each in values):
        raise ValueError(f"{what} must be a tuple of {kind.__name__}")
