"""Nodes without their places, for comparing what was read with what was written."""

import dataclasses
from fractions import Fraction
from typing import Any

from rxlint.notation import Document, read_document
from rxlint.notation import nodes as n
from rxlint.text import Problem, source_of_text

_PLACES = ("start", "end", "number_end")


def document_of(text: str) -> Document:
    source = source_of_text(text)
    assert not isinstance(source, Problem)
    return read_document(source)


def without_places(node: Any) -> Any:
    """The node, or the tuple of nodes, with every place set to 0."""
    if isinstance(node, tuple):
        return tuple(without_places(each) for each in node)
    if not dataclasses.is_dataclass(node) or isinstance(node, type):
        return node
    changed = {
        field.name: 0 if field.name in _PLACES and isinstance(value, int) else without_places(value)
        for field in dataclasses.fields(node)
        for value in (getattr(node, field.name),)
    }
    return dataclasses.replace(node, **changed)


def phrase(text: str) -> n.Phrase:
    return n.Phrase(text, 0, 0)


def amount(text: str, unit: str | None = None) -> n.Amount:
    return n.Amount((n.Part(Fraction(text), text, unit, 0, 0, 0),), False, 0, 0)


def value(kind: n.ValueKind, *amounts: n.Amount) -> n.Value:
    return n.Value(kind, amounts, 0, 0)


def told(document: Document) -> list[tuple[int, int, int, int, str]]:
    """Every event as (line, column, end line, end column, name)."""
    found = []
    for each in document.reported:
        place = each.entry.place(each.event.start, each.event.end)
        found.append((place.line, place.column, place.end_line, place.end_column, each.event.name))
    return found
