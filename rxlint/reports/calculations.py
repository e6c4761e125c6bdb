"""Every derived value of a document with formula, numbers, unit and source: text, or JSON in the vocabulary's units."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any, Final

from rxlint import __version__
from rxlint.library.discover import Input, read_bytes
from rxlint.library.screen import document_id, parse_bytes
from rxlint.notation.tree import Document
from rxlint.reports.caution import CAUTION
from rxlint.screening.calculation import is_list
from rxlint.screening.derived_values import Value, values_of
from rxlint.text import Problem, printable

__all__ = ["SCHEMA", "Value", "json_of", "text_of", "values_of"]

SCHEMA: Final = "rxlint-calculations-1"


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
    joint = ", " if is_list(value.numbers) else " = "
    numbers = f"{joint}{value.numbers}" if value.numbers and value.numbers != value.formula else ""
    lines = (
        f"    {value.term}: {printable(value.told)}",
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
