"""The set of readings before a set of readings, as terms: `earlier reading SpO2`, and the time between the two."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from rxlint.expressions import NumberType, Type, Value, Words, WordsType
from rxlint.model.sets import moment_of, reading_phrases
from rxlint.model.stated import EARLIER, Scope, Stated
from rxlint.notation.tree import Block
from rxlint.units import TIME
from rxlint.vocabulary import vocabulary

INTERVAL: Final = "reading interval"
CHANGE: Final = f"{EARLIER}reading change"


def earlier_types() -> Mapping[str, Type]:
    """The types of these terms, by name."""
    terms = vocabulary().sections["readings"].terms
    types: dict[str, Type] = {
        EARLIER + terms[each].key: NumberType(terms[each].dimension) for each in reading_phrases()
    }
    return {**types, INTERVAL: NumberType(TIME), CHANGE: WordsType(frozenset({"before", "after"}))}


def earlier_values(scope: Scope) -> tuple[dict[str, Value], set[str]]:
    """What the set before says, in base units, and what of it is stated without a value that can be used."""
    values, unreadable = values_of(scope.earlier)
    first = next(iter(scope.earlier.values()), None)
    if first is not None and scope.readings is not None:
        values |= between(first.block, scope.readings)
    return values, unreadable


def values_of(earlier: Mapping[str, Stated]) -> tuple[dict[str, Value], set[str]]:
    """The same of some readings, by the keys of an earlier set; what lies between the sets left out."""
    values: dict[str, Value] = {}
    unreadable: set[str] = set()
    for key, stated in earlier.items():
        value = _value(stated)
        if value is None:
            unreadable.add(EARLIER + key)
        else:
            values[EARLIER + key] = value
    return values, unreadable


def _value(stated: Stated) -> Fraction | None:
    quantity = stated.statement.values.get("") if stated.statement.readable else None
    # a value per kilogram is another kind of value than a volume
    return quantity.points[0] if quantity is not None and quantity.basis is None else None


def between(earlier: Block, later: Block) -> dict[str, Value]:
    """What lies between two sets of readings: time, and whether the earlier one was taken about a change."""
    first, second = moment_of(earlier), moment_of(later)
    assert first is not None
    assert second is not None  # only sets with a moment have one before them
    change = earlier.heading.change if earlier.heading is not None else None
    stated = Words(frozenset((change,))) if change is not None else Words(frozenset(), frozenset())
    return {CHANGE: stated, INTERVAL: Fraction((second - first).total_seconds())}
