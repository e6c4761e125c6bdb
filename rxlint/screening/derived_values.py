"""The derived values of a document, each with its formula, its numbers, its unit and its source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Missing, Node, keys_in, nodes
from rxlint.expressions.bounds import bounds
from rxlint.model.facts import Facts, facts_of
from rxlint.model.names import DerivedTerm, base_names, derived_terms
from rxlint.notation.tree import Block, Document
from rxlint.screening.calculation import steps_of
from rxlint.screening.values import Teller, show_number, unit_for
from rxlint.units import PLAIN, Unit

# Terms that serve only to read charts: not worth a line where no chart is read.
_SERVANTS: Final = frozenset({"growth age"})
# Terms that are told only beside another: the height of an adult is nobody's age.
_BESIDE: Final = {"weight of height age": "median weight for age"}
_HIGH_FLOW_ONLY: Final = frozenset({"ROX index"})


@dataclass(frozen=True, slots=True)
class Value:
    """A derived value: one number, or a low and a high end over what is allowed. Numbers are exact, in base units."""

    term: str
    unit: Unit
    low: Fraction
    high: Fraction
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

    @property
    def told(self) -> str:
        """The value as text, rounded for display."""
        low = show_number(self.low, self.unit, self.term)
        return f"{low} to {show_number(self.high, self.unit, self.term)}" if self.is_range else low


def values_of(document: Document, terms: frozenset[str] | None = None) -> Iterator[Value]:
    """The derived values of every period, band and set of readings; what the facts do not allow is left out.

    ``terms`` are those that are asked for (None: all); over the ranges of a template some take a second each.
    """
    for facts in facts_of(document):
        teller = Teller(facts, base_names(), {})
        found: dict[str, Value] = {}
        for key, derived in derived_terms().items():
            if key not in facts.formulas or (terms is not None and key not in terms):
                continue
            if facts.scope.readings is not None and not any(
                each.startswith("reading ") for each in facts.reads(nodes.Name(key, key))
            ):
                continue
            value = _value(derived, facts, teller)
            if value is not None:
                found[key] = value
        yield from (value for key, value in found.items() if _is_worth_a_line(key, found, facts))


def _is_worth_a_line(key: str, found: Mapping[str, Value], facts: Facts) -> bool:
    if key in _HIGH_FLOW_ONLY:
        return facts.mode is not None and facts.mode.pattern == "high flow"
    if key in _SERVANTS:
        return any(key in keys_in(facts.formulas[other]) for other in found)
    return key not in _BESIDE or _BESIDE[key] in found


def _value(derived: DerivedTerm, facts: Facts, teller: Teller) -> Value | None:
    key = derived.key
    name = nodes.Name(key, key)
    found = facts.as_set.value(key)
    formula, numbers = _steps(key, facts, teller)
    source = next((way.source for way in derived.ways if way.node is facts.formulas[key]), derived.ways[0].source)
    if isinstance(found, Fraction):
        low = high = found
    elif isinstance(found, Missing) and facts.axes:
        ends = bounds(name, facts.space)
        if ends is None:
            return None
        (low, high), numbers = ends, _ranges(facts, facts.formulas[key])
    else:
        return None
    band = facts.band.label if facts.band is not None else None
    unit, read = derived.unit or PLAIN, readings_told(facts.scope.readings)
    return Value(key, unit, low, high, formula, numbers, source, derived.means, facts.period, band, read)


def _steps(key: str, facts: Facts, teller: Teller) -> tuple[str, str]:
    """Formula and numbers; a term that stands for a value per kilogram is followed to the weight."""
    formula, numbers = steps_of(key, teller, facts.as_set)
    if formula in facts.formulas and formula not in derived_terms():
        return steps_of(formula, teller, facts.as_set)
    return formula, numbers


def readings_told(block: Block | None) -> str | None:
    """What tells one set of readings from another."""
    heading = block.heading if block is not None else None
    if heading is None:
        return None
    moment = heading.moment
    at = f"at {moment.date}{f' {moment.time}' if moment.time else ''}" if moment is not None else None
    change = f"{heading.change} change" if heading.change is not None else None
    return " ".join(part for part in ("readings", change, at) if part)


def _ranges(facts: Facts, formula: Node) -> str:
    told: list[str] = []
    for key in sorted(facts.reads(formula)):
        axis = facts.axes.get(key)
        if axis is not None and not axis.options:
            unit = unit_for(key, facts, {})
            told.append(f"{key} {show_number(axis.low, unit, key)} to {show_number(axis.high, unit, key)}")
    return ", ".join(told)
