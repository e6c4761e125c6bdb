"""Amounts and values in JSON: numbers as the text they were written with, each with its unit's standard symbol.

Where a unit stands once for several amounts, in JSON each has it, so that no number stands without its unit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from rxlint.exchange.shapes import NEEDED, Choice, Fault, Field, Json, Many, Named, Node, Path, Schema, Text, placed
from rxlint.notation import nodes as n
from rxlint.notation.amounts import unit_of
from rxlint.units import UNITS

_DIGITS: Final = r"(0|[1-9][0-9]{0,39})(\.[0-9]{1,40})?"
NUMBER: Final = Text('a number as text, such as "0.5"', f"-?{_DIGITS}", 82)
_RATIO: Final = Text('a ratio as text, such as "1:2"', f"{_DIGITS}:{_DIGITS}", 163)
_UNIT: Final = Named("unit", Choice(tuple(UNITS)))
_COUNTS: Final = {"exact": 1, "at most": 1, "at least": 1, "between": 2, "automatic": 2, "under": 1, "over": 1}


def _part(text: str, unit: str | None = None) -> n.Part:
    return n.Part(Fraction(text), text, unit, 0, 0, 0)


_PART: Final = Node(
    _part, (Field("number", NUMBER, NEEDED, "text"), Field("unit", _UNIT)), "a number and its unit, where it has one"
)


class Amount:
    """A number with its unit; a ratio; or an age in its parts."""

    def write(self, value: Any) -> Json:
        """An object with a number, a ratio or parts."""
        assert isinstance(value, n.Amount)
        if value.ratio:
            return {"ratio": value.parts[0].text}
        parts = [self._part(part) for part in value.parts]
        return parts[0] if len(parts) == 1 else {"parts": parts}

    @staticmethod
    def _part(part: n.Part) -> Json:
        unit = unit_of(part.unit) if part.unit is not None else None
        symbol = unit.symbol if unit is not None else part.unit
        return {"number": part.text} if symbol is None else {"number": part.text, "unit": symbol}

    def read(self, json: Json, at: Path) -> Any:
        """The amount."""
        if not isinstance(json, dict) or not json.keys() & {"ratio", "parts"}:
            return n.Amount((_PART.read(json, at),), False, 0, 0)
        if len(json) > 1:
            raise Fault(at, "an amount is a number with its unit, or a ratio, or parts, and not several of these")
        if "ratio" in json:
            text = _RATIO.read(json["ratio"], (*at, "ratio"))
            left, right = map(Fraction, text.split(":"))
            ratio = left / right if right else Fraction(0)  # as the reader takes it
            return n.Amount((n.Part(ratio, text, None, 0, 0, 0),), True, 0, 0)
        parts = json["parts"]
        if not isinstance(parts, list) or not 2 <= len(parts) <= len("ymwd"):
            raise Fault((*at, "parts"), "an age in parts has two to four of them")
        found = tuple(_PART.read(part, (*at, "parts", index)) for index, part in enumerate(parts))
        return n.Amount(found, False, 0, 0)

    def schema(self) -> Schema:
        """One of the three."""
        part = _PART.schema()
        ratio = {"type": "object", "properties": {"ratio": _RATIO.schema()}}
        parts = {
            "type": "object",
            "description": "an age in its parts, the larger first",
            "properties": {"parts": {"type": "array", "items": part, "minItems": 2, "maxItems": 4}},
        }
        closed = [
            each | {"required": list(each["properties"]), "additionalProperties": False} for each in (ratio, parts)
        ]
        return {"oneOf": [part, *closed]}


AMOUNT: Final = Named("amount", Amount())


class Amounts:
    """Amounts with their kind: a value, or the key of a row. Each has its unit in JSON."""

    def __init__(self, make: Callable[..., Any], kinds: Sequence[str]) -> None:
        self._make = placed(make)
        self._shape = Node(dict, (Field("kind", Choice(tuple(kinds)), NEEDED), Field("amounts", Many(AMOUNT), NEEDED)))

    def write(self, value: Any) -> Json:
        """An object with a kind and amounts."""
        return {"kind": value.kind, "amounts": [AMOUNT.write(each) for each in with_units(value.amounts)]}

    def read(self, json: Json, at: Path) -> Any:
        """The value or key."""
        given = self._shape.read(json, at)
        kind, amounts = given["kind"], given["amounts"]
        count = _COUNTS.get(kind)
        if len(amounts) != count if count is not None else len(amounts) < 2:
            told = str(count) if count is not None else "2 or more"
            raise Fault((*at, "amounts"), f"{kind!r} has {told} amounts, not {len(amounts)}")
        return self._make(kind=kind, amounts=with_unit_once(amounts))

    def schema(self) -> Schema:
        """An object with a kind and amounts."""
        return self._shape.schema()


def with_units(amounts: Sequence[n.Amount]) -> tuple[n.Amount, ...]:
    """Amounts each with its unit: one that stands without has that of the last that has one."""
    unit = next((amount.unit for amount in reversed(amounts) if amount.unit), None)
    return tuple(_in_unit(amount, unit) if amount.unit is None else amount for amount in amounts)


def with_unit_once(amounts: Sequence[n.Amount]) -> tuple[n.Amount, ...]:
    """Amounts as the notation writes them: a unit that all of them have stands once, behind the last."""
    if any(amount.ratio or len(amount.parts) > 1 for amount in amounts) or len({each.unit for each in amounts}) > 1:
        return tuple(amounts)
    return (*(_in_unit(amount, None) for amount in amounts[:-1]), amounts[-1])


def _in_unit(amount: n.Amount, unit: str | None) -> n.Amount:
    return amount if amount.ratio else replace(amount, parts=(replace(amount.parts[0], unit=unit),))


VALUE: Final = Named("value", Amounts(n.Value, ("exact", "between", "at most", "at least", "one of", "automatic")))
KEY: Final = Named("key", Amounts(n.RowKey, ("between", "under", "over", "exact")))
