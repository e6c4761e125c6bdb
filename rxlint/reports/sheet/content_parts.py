"""The parts of a document that are checked one by one: periods, rows of tables, modes, sets of readings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from rxlint.expressions import Node, keys_in, number
from rxlint.expressions.bounds import bounds
from rxlint.model.facts import Facts
from rxlint.screening.change import UNNAMED
from rxlint.screening.derived_values import readings_told
from rxlint.screening.values import show_number
from rxlint.units import Unit

ALL_DAY = "All day"


@dataclass(frozen=True, slots=True)
class Ends:
    """A value in base units: one number, or the ends of what is allowed."""

    low: Fraction
    high: Fraction

    @property
    def is_range(self) -> bool:
        """Whether it has two ends."""
        return self.low != self.high

    def told(self, unit: Unit, key: str | None = None) -> str:
        """It as text."""
        low = show_number(self.low, unit, key)
        return f"{low} to {show_number(self.high, unit, key)}" if self.is_range else low


@dataclass(frozen=True, slots=True)
class Part:
    """The facts of one part of a document, with what tells it from its neighbours.

    ``scope`` is the period with its set of readings, ``band`` the row of its tables and ``mode`` the mode, each where
    there are several.
    """

    facts: Facts
    scope: str
    band: str = ""
    mode: str = ""

    @property
    def row(self) -> str:
        """The row of its tables and the mode."""
        return ", ".join(part for part in (self.band, self.mode) if part)

    @property
    def key(self) -> tuple[str | None, str | None]:
        """Its period and its set of readings."""
        return self.facts.period, readings_told(self.facts.scope.readings)

    @property
    def is_ordered(self) -> bool:
        """Whether it is what is ordered, and not what was read."""
        return self.facts.scope.readings is None


def parts_of(scopes: Sequence[Facts]) -> tuple[Part, ...]:
    """The parts of a document, in its order."""
    periods = list(dict.fromkeys(facts.period for facts in scopes))
    modes: dict[int, set[str]] = {}
    for facts in scopes:
        if facts.mode is not None:
            modes.setdefault(id(facts.scope), set()).add(facts.mode.code)
    found: list[Part] = []
    for facts in scopes:
        several = len(modes.get(id(facts.scope), ())) > 1 and facts.mode is not None
        scope = period_told(facts.period, periods)
        read = readings_told(facts.scope.readings)
        found.append(
            Part(
                facts,
                f"{scope}, {read}" if read else scope,
                facts.band.label if facts.band is not None else "",
                f"mode {facts.mode.code}" if several and facts.mode is not None else "",
            )
        )
    return tuple(found)


def period_told(period: str | None, periods: Sequence[str | None]) -> str:
    """What a period is called on a sheet."""
    if period is not None:
        return f"Period {period}"
    return ALL_DAY if len(periods) == 1 else UNNAMED.capitalize()


def ends_of(node: Node, facts: Facts) -> Ends | None:
    """The value of a node as set, or the ends of what is allowed; None where it has none."""
    found = number(node, facts.as_set)
    if isinstance(found, Fraction):
        return Ends(found, found)
    if isinstance(found, float):
        exact = Fraction(found)
        return Ends(exact, exact)
    if not facts.axes or not facts.closure(keys_in(node)) & facts.allowed.keys():
        return None
    ends = bounds(node, facts.space)
    return Ends(*ends) if ends is not None else None


def by_scope(parts: Iterable[Part]) -> Mapping[str, list[Part]]:
    """The parts of each period and set of readings, by its name."""
    found: dict[str, list[Part]] = {}
    for part in parts:
        found.setdefault(part.scope, []).append(part)
    return found
