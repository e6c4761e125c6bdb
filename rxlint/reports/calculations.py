"""Every derived value of a document with formula, numbers, unit and source: text, or JSON in the vocabulary's units."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from rxlint import __version__
from rxlint.expressions import Missing, Node, nodes
from rxlint.expressions.bounds import bounds
from rxlint.library.discover import Input, read_bytes
from rxlint.library.screen import document_id, parse_bytes
from rxlint.model.facts import Facts, facts_of
from rxlint.model.names import DerivedTerm, base_names, derived_terms
from rxlint.notation.tree import Document
from rxlint.reports.caution import CAUTION
from rxlint.screening.calculation import steps_of
from rxlint.screening.values import Teller, show_number, unit_for
from rxlint.text import Problem, printable
from rxlint.units import PLAIN, Unit

SCHEMA: Final = "rxlint-calculations-1"


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

    @property
    def is_range(self) -> bool:
        """Whether it has two ends."""
        return self.low != self.high


def values_of(document: Document) -> Iterator[Value]:
    """The derived values of every period, band and set of readings; what the facts do not allow is left out."""
    for facts in facts_of(document):
        teller = Teller(facts, base_names(), {})
        for key, derived in derived_terms().items():
            if key not in facts.formulas:
                continue
            if facts.scope.readings is not None and not any(
                each.startswith("reading ") for each in facts.reads(nodes.Name(key, key))
            ):
                continue
            value = _value(derived, facts, teller)
            if value is not None:
                yield value


def _value(derived: DerivedTerm, facts: Facts, teller: Teller) -> Value | None:
    key = derived.key
    name = nodes.Name(key, key)
    found = facts.as_set.value(key)
    formula, numbers = steps_of(key, teller, facts.as_set)
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
    return Value(key, derived.unit or PLAIN, low, high, formula, numbers, source, derived.means, facts.period, band)


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
        scope: tuple[str | None, str | None] | None = None
        for value in values_of(document):
            if (value.period, value.band) != scope:
                scope = value.period, value.band
                yield f"  {_scope_text(*scope)}\n", False
            yield _lines(value), False
    yield CAUTION + "\n", False


def _scope_text(period: str | None, band: str | None) -> str:
    return ", ".join(part for part in (f"period {period}" if period else "all day", band or "") if part)


def _lines(value: Value) -> str:
    told = show_number(value.low, value.unit, value.term)
    if value.is_range:
        told = f"{told} to {show_number(value.high, value.unit, value.term)}"
    numbers = f" = {value.numbers}" if value.numbers and value.numbers != value.formula else ""
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
    }


def _documents(inputs: Iterable[Input]) -> Iterator[tuple[Input, Document | Problem]]:
    for each in inputs:
        if each.problem is not None or each.path is None:
            yield each, each.problem or Problem("is not there")
            continue
        data = read_bytes(each.path)
        yield each, data if isinstance(data, Problem) else parse_bytes(data)
