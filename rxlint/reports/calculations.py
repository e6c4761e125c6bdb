"""Every derived value of a document with formula, numbers, unit and source: text, or JSON in the vocabulary's units."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from rxlint import __version__
from rxlint.expressions import Missing, Node, keys_in, nodes
from rxlint.expressions.bounds import bounds
from rxlint.library.discover import Input, read_bytes
from rxlint.library.screen import document_id, parse_bytes
from rxlint.model.facts import Facts, facts_of
from rxlint.model.names import DerivedTerm, base_names, derived_terms
from rxlint.notation.tree import Block, Document
from rxlint.reports.caution import CAUTION
from rxlint.screening.calculation import is_list, steps_of
from rxlint.screening.values import Teller, show_number, unit_for
from rxlint.text import Problem, printable
from rxlint.units import PLAIN, Unit

SCHEMA: Final = "rxlint-calculations-1"
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
    unit, read = derived.unit or PLAIN, _readings(facts.scope.readings)
    return Value(key, unit, low, high, formula, numbers, source, derived.means, facts.period, band, read)


def _steps(key: str, facts: Facts, teller: Teller) -> tuple[str, str]:
    """Formula and numbers; a term that stands for a value per kilogram is followed to the weight."""
    formula, numbers = steps_of(key, teller, facts.as_set)
    if formula in facts.formulas and formula not in derived_terms():
        return steps_of(formula, teller, facts.as_set)
    return formula, numbers


def _readings(block: Block | None) -> str | None:
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


def text_of(inputs: Iterable[Input]) -> Iterator[tuple[str, bool]]:
    """The text report in pieces, each with whether an input could not be read."""
    for each, document in _documents(inputs):
        name = printable(each.shown)
        if isinstance(document, Problem):
            yield f"{name}: unread: {printable(document.message)}\n", True
            continue
        yield f"{name}\n", False
        scope: tuple[str | None, str | None, str | None] | None = None
        for value in values_of(document):
            if (value.period, value.band, value.readings) != scope:
                scope = value.period, value.band, value.readings
                yield f"  {_scope_text(*scope)}\n", False
            yield _lines(value), False
    yield CAUTION + "\n", False


def _scope_text(period: str | None, band: str | None, readings: str | None) -> str:
    return ", ".join(part for part in (f"period {period}" if period else "all day", band, readings) if part)


def _lines(value: Value) -> str:
    told = show_number(value.low, value.unit, value.term)
    if value.is_range:
        told = f"{told} to {show_number(value.high, value.unit, value.term)}"
    joint = ", " if is_list(value.numbers) else " = "
    numbers = f"{joint}{value.numbers}" if value.numbers and value.numbers != value.formula else ""
    lines = (
        f"    {value.term}: {printable(told)}",
        f"      {printable(value.formula + numbers)}",
        f"      {value.means}; source: {value.source}",
    )
    return "".join(f"{line}\n" for line in lines)


def json_of(inputs: Iterable[Input]) -> Iterator[tuple[str, bool]]:
    """The JSON report in pieces, each with whether an input could not be read."""
    head = {"schema": SCHEMA, "tool": {"name": "rxlint", "version": __version__}}
    yield json.dumps(head)[:-1] + ', "documents": [', False
    comma = "\n"
    for each, document in _documents(inputs):
        unread = isinstance(document, Problem)
        entry: dict[str, Any] = {
            "path": each.shown,
            "kind": None if isinstance(document, Problem) else document.kind,
            "id": None if isinstance(document, Problem) else document_id(document),
            "problems": [{"message": document.message, "line": document.line, "column": document.column}]
            if isinstance(document, Problem)
            else [],
            "derived": [] if isinstance(document, Problem) else [_object(value) for value in values_of(document)],
        }
        yield comma + json.dumps(entry), unread
        comma = ",\n"
    yield '\n], "caution": ' + json.dumps(CAUTION) + "}\n", False


def _object(value: Value) -> dict[str, Any]:
    numbers = (
        {"low": float(value.low / value.unit.factor), "high": float(value.high / value.unit.factor)}
        if value.is_range
        else {"value": float(value.low / value.unit.factor)}
    )
    return {
        "term": value.term,
        **numbers,
        "unit": value.unit.symbol,
        "formula": value.formula,
        "numbers": value.numbers,
        "source": value.source,
        "period": value.period,
        "band": value.band,
        "readings": value.readings,
    }


def _documents(inputs: Iterable[Input]) -> Iterator[tuple[Input, Document | Problem]]:
    for each in inputs:
        if each.problem is not None or each.path is None:
            yield each, each.problem or Problem("is not there")
            continue
        data = read_bytes(each.path)
        yield each, data if isinstance(data, Problem) else parse_bytes(data)
