"""What a line says, whatever its units and spelling: two lines with one normal form say the same.

Amounts are exact and in base units; places in the text, the digits as typed and the order of words in their slots take
no part. A value in a unit that can't be converted is kept as it is written.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from fractions import Fraction
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.measures import unit_of
from rxlint.units import Dimension, to_base

Normal = tuple[object, ...] | frozenset[object] | str | Fraction | bool | None
"""A value to compare and to keep in sets; nothing else is to be read from it."""

_PLACES: Final = frozenset({"start", "end", "number_end"})


def normal(node: object) -> Normal:
    """The normal form of a node, or of a part of one."""
    match node:
        case None | str() | bool() | Fraction():
            return node
        case int():
            return Fraction(node)
        case tuple():
            return tuple(normal(each) for each in node)
        case n.Amount():
            return _amount(node)
        case n.Part():
            return node.number
        case n.Value():
            return _value(node)
        case _:
            return _body(node)


def _value(value: n.Value) -> Normal:
    amounts = [_amount(each) for each in _with_units(value)]
    return value.kind, frozenset(amounts) if value.kind == "one of" else tuple(amounts)


def _body(node: object) -> Normal:
    match node:
        case n.Measure():
            qualifiers = frozenset(normal(each) for each in node.qualifiers)
            return ("measure", normal(node.value), qualifiers, normal(node.allow), normal(node.steps))
        case n.Words():
            return ("words", frozenset(frozenset(word.text for word in words) for words in node.alternatives))
        case n.ModeChoice():
            return ("mode", frozenset(code.text for code in node.codes))
        case n.Relation():
            return ("relation", " ".join(node.text.split()))
        case n.Text():
            return ("text", " ".join(node.text.split()))
        case _:
            return _fields(node)


def _fields(node: object) -> Normal:
    assert is_dataclass(node), type(node)
    told = tuple(normal(getattr(node, each.name)) for each in fields(node) if each.name not in _PLACES)
    return (type(node).__name__, *told)


def _with_units(value: n.Value) -> tuple[n.Amount, ...]:
    """The amounts of a value; where the unit stands once, at the end, it is that of all of them."""
    unit = next((amount.unit for amount in reversed(value.amounts) if amount.unit), None)
    if unit is None:
        return value.amounts
    return tuple(amount if amount.unit else _in_unit(amount, unit) for amount in value.amounts)


def _in_unit(amount: n.Amount, unit: str) -> n.Amount:
    *first, last = amount.parts
    part = n.Part(last.number, last.text, unit, last.start, last.number_end, last.end)
    return n.Amount((*first, part), amount.ratio, amount.start, amount.end)


def _amount(amount: n.Amount) -> Normal:
    """Its size in base units with what it measures; an age in several parts is one size."""
    size = Fraction(0)
    measured = Dimension()
    for part in amount.parts:
        unit = unit_of(part.unit) if part.unit is not None else None
        if part.unit is not None and unit is None:
            return tuple(each for part in amount.parts for each in (part.number, part.unit))
        size += to_base(part.number, unit) if unit is not None else part.number
        measured = unit.dimension if unit is not None else measured
    return (size, measured.describe() if measured.exponents else "")
