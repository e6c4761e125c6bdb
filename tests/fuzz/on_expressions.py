"""The target that reads an expression, as rules and `keep` lines hold one, and works it out."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any

from rxlint.expressions import (
    CLOSE,
    BoolType,
    Item,
    ListType,
    Missing,
    Node,
    NumberType,
    Type,
    Value,
    Words,
    WordsType,
    compile_condition,
    compile_number,
    condition,
    evaluate_number,
    number,
    read_condition,
    read_number,
    show,
)
from rxlint.model.names import base_names
from tests.expressions.invented import Given
from tests.fuzz.soundness import Unsound


def _value(kind: Type, place: int) -> Value:
    match kind:
        case NumberType():
            return Fraction(3 + place % 7, 2)
        case WordsType():
            return Words(frozenset(sorted(kind.words)[:1]), frozenset())
        case ListType():
            return tuple(Item(name, Fraction(2) if name in kind.amounts else None) for name in sorted(kind.items)[:3])
        case BoolType():
            return True
        case _:
            return "x"


@cache
def _known() -> tuple[Mapping[str, int], Given, list[Any]]:
    """The slot of each term, an environment where each has one, and these values as compiled functions take them."""
    names = base_names()
    keys = sorted(set(names.spellings().values()))
    values = {key: _value(names.type_of(key), place) for place, key in enumerate(keys)}
    slots = [float(values[key]) if isinstance(values[key], Fraction) else values[key] for key in keys]  # type: ignore[arg-type]
    return {key: place for place, key in enumerate(keys)}, Given(values), slots


def expression(data: bytes) -> None:
    """A text as a condition and as a number: read, and worked out exactly and by its compiled function."""
    text = data.decode("utf-8", "replace")
    for read in (read_condition, read_number):
        parsed = read(text, base_names())
        if (parsed.node is None) != bool(parsed.errors):
            raise Unsound("an expression with a node and problems, or without both", text)
        for each in parsed.errors:
            if not 0 <= each.start <= each.end <= len(text) or not each.message:
                raise Unsound("a problem outside of the expression", f"{each.start} to {each.end} of {len(text)}")
        if parsed.node is not None:
            _worked_out(parsed.node, is_condition=read is read_condition)
            shown = show(parsed.node)
            again = read(shown, base_names()).node
            if again is None or show(again) != shown:
                raise Unsound("an expression that is not read as it is shown", shown)


def _worked_out(node: Node, *, is_condition: bool) -> None:
    slots, given, values = _known()
    nothing = Given({})
    if is_condition:
        compiled = compile_condition(node, slots)
        for environment, held in ((given, values), (nothing, [None] * len(values))):
            truth = condition(node, environment)
            quick = compiled.run(held)
            if quick is not CLOSE and quick is not (None if isinstance(truth, Missing) else truth):
                raise Unsound("two evaluators that disagree", f"{quick} and {truth}")
    else:
        fast = compile_number(node, slots)
        for environment, held in ((given, values), (nothing, [None] * len(values))):
            exact = number(node, environment)
            if isinstance(exact, Missing) and evaluate_number(fast, held, environment) is not None:
                raise Unsound("two evaluators that disagree", "one has a number, for the other it is missing")
