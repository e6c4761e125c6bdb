"""Nodes as plain data: every amount exact in base units, every text with single spaces, places left out.

A field of a node that is not named here is kept as it stands, so that what the notation learns to say is never left
out of the content of a document by forgetting it here.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Final

from rxlint.expressions import Function, nodes, read_condition
from rxlint.model.names import base_names
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity, unit_of
from rxlint.units import PLAIN, Dimension, to_base
from rxlint.vocabulary import Term, vocabulary

Plain = str | int | bool | None | list["Plain"] | dict[str, "Plain"]
"""What JSON can say without numbers that are rounded."""

_PLACES: Final = frozenset({"start", "end", "number_end"})
_SPELLING: Final = {  # fields that say how something was spelled, and nothing about what it means
    nodes.Name: frozenset({"text"}),
    nodes.Number: frozenset({"text"}),
    nodes.Part: frozenset({"members"}),
}
_RANGES: Final = ("between", "automatic")
_MEMORY: Final = 2_000


def plain_of(value: object) -> Plain:
    """A node, or a part of one, as plain data. Raises TypeError for what no node holds."""
    match value:
        case None | bool() | int():
            return value
        case str():
            return " ".join(value.split())
        case Fraction():
            return f"{value.numerator}/{value.denominator}"
        case Dimension():
            return " ".join(f"{name}^{power}" for name, power in value.exponents)
        case tuple():
            return [plain_of(each) for each in value]
        case Function():
            return value.name
        case n.Amount():
            return _amount(value, None)
        case n.Value() | n.RowKey():
            return _value(value)
        case n.Step():
            return _step(value)
        case n.Part():
            return plain_of(value.number)
        case n.Phrase():
            return value.text
        case _:
            return _fields(value)


def measure_of(measure: n.Measure, quantity: Quantity) -> Plain:
    """A measure with the reference that binds it, stated or by definition; what else follows it in any order."""
    found: dict[str, Plain] = {"value": plain_of(measure.value)}
    for each in measure.qualifiers:
        if each.kind != "reference":
            found[each.kind] = plain_of((each.word, each.amount, each.date))
    optional = {"reference": quantity.reference, "allow": measure.allow, "steps": measure.steps}
    return found | {name: plain_of(each) for name, each in optional.items() if each is not None}


def words_of(words: n.Words, term: Term) -> Plain:
    """Words in the order of their slots, those of one slot as they stand."""
    order = {word: index for index, slot in enumerate(term.slots) for word in slot.words}
    alternatives = (sorted((word.text for word in each), key=lambda word: order[word]) for each in words.alternatives)
    return [[*each] for each in alternatives]


@lru_cache(maxsize=_MEMORY)
def relation_of(text: str) -> Plain:
    """A relation by what it means, without its spelling; None where it can't be read."""
    node = read_condition(text, base_names()).node
    return plain_of(node) if node is not None else None


def _fields(node: object) -> Plain:
    """A node of any other kind: its kind and its fields, but those that are empty."""
    if not dataclasses.is_dataclass(node) or isinstance(node, type):
        raise TypeError(f"no part of a document: {type(node).__name__}")
    left_out = _PLACES | _SPELLING.get(type(node), frozenset())
    found: dict[str, Plain] = {"is": type(node).__name__}
    for field in dataclasses.fields(node):
        value = getattr(node, field.name)
        if field.name not in left_out and value is not None:
            found[field.name] = plain_of(value)
    return found


def _value(value: n.Value | n.RowKey) -> Plain:
    """Amounts with their kind; a unit that stands once is of all of them, and a range has its low end first."""
    points = _points(value.amounts)
    if value.kind in _RANGES:
        points.sort()  # of ratios alone either end may be written first
    return [value.kind, *(_exact(*point) for point in points)]


def _points(amounts: Sequence[n.Amount]) -> list[tuple[Fraction, str]]:
    unit = next((amount.unit for amount in reversed(amounts) if amount.unit), None)
    return [_base(amount, unit) for amount in amounts]


def _amount(amount: n.Amount, unit: str | None) -> Plain:
    return _exact(*_base(amount, unit))


def _exact(base: Fraction, dimension: str) -> Plain:
    return [plain_of(base), dimension]


def _base(amount: n.Amount, fallback: str | None) -> tuple[Fraction, str]:
    """An amount in base units, and what it measures."""
    if amount.ratio:
        return amount.parts[0].number, "ratio"
    total, dimension = Fraction(0), PLAIN.dimension
    for part in amount.parts:
        symbol = part.unit or fallback
        unit = unit_of(symbol) if symbol is not None else PLAIN
        assert unit is not None  # what was read has units that can be converted
        total, dimension = total + to_base(part.number, unit), unit.dimension
    told = plain_of(dimension)
    assert isinstance(told, str)
    return total, told


def _step(step: n.Step) -> Plain:
    """A step; its end is above what its first term is measured from, whether that is said again or not."""
    term = vocabulary().terms[step.terms[0].text]
    limit = step.limit
    if limit is not None and limit.reference is None and term.reference in ("ambient", "PEEP"):
        limit = dataclasses.replace(limit, reference=term.reference)
    return _fields(dataclasses.replace(step, limit=limit))
