"""The slow exact evaluator: fractions and three-valued logic. The compiled one is tested against it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import Any, Final

from rxlint.expressions.arithmetic import holds, is_huge, root_of, settled
from rxlint.expressions.nodes import (
    Before,
    Between,
    Binary,
    Call,
    Choice,
    Compare,
    Extreme,
    Has,
    IsWord,
    Logic,
    Name,
    Node,
    Not,
    Number,
    Part,
    Power,
    Stated,
    Tally,
    Unary,
)
from rxlint.expressions.values import Environment, Item, Missing, Value, Words, blame

Exact = Fraction | Missing
Truth = bool | Missing


def evaluate(node: Node, environment: Environment) -> Value | Missing:
    """The value of a checked node; numbers come out as fractions. Missing says which terms, and why."""
    if isinstance(node, Name):
        return _value(node, environment)
    if isinstance(node, Choice):
        return _choice(node, environment)
    work = _NUMBERS.get(type(node))
    return work(node, environment) if work is not None else condition(node, environment)


def number(node: Node, environment: Environment) -> Exact:
    """The exact value of a number."""
    work = _NUMBERS.get(type(node))
    if work is not None:
        return work(node, environment)
    if isinstance(node, Name | Choice):
        value = evaluate(node, environment)
        if isinstance(value, Missing | Fraction):
            return value
        raise TypeError(f"not a number: {value!r}")
    raise TypeError(f"not a number: {node!r}")


def condition(node: Node, environment: Environment) -> Truth:
    """The truth of a condition."""
    work = _CONDITIONS.get(type(node))
    if work is not None:
        return work(node, environment)
    raise TypeError(f"not a condition: {node!r}")


def _value(node: Name, environment: Environment) -> Value | Missing:
    value = environment.value(node.key)
    return _fraction(value, node.key) if isinstance(value, float | int | Fraction) else value


# numbers


def _fraction(value: float | Fraction, key: str) -> Fraction | bool | Missing:
    if isinstance(value, bool | Fraction):
        return value
    if not math.isfinite(value):
        return Missing(frozenset((key,)), ("it is not a finite number",))
    return Fraction(value)


def _missing(values: Iterable[object]) -> Missing | None:
    """What is missing of these, all together; None if nothing is."""
    found = [value for value in values if isinstance(value, Missing)]
    return blame(found) if found else None


def _bounded(value: Fraction) -> Exact:
    return Missing(reasons=("a number grows too large",)) if is_huge(value) else value


def _unary(node: Unary, environment: Environment) -> Exact:
    value = number(node.operand, environment)
    if isinstance(value, Missing):
        return value
    if node.operator == "-":
        return -value
    if node.operator == "absolute":
        return abs(value)
    return Missing(reasons=("square root of a negative number",)) if value < 0 else root_of(value)


def _binary(node: Binary, environment: Environment) -> Exact:
    left, right = number(node.left, environment), number(node.right, environment)
    if isinstance(left, Missing) or isinstance(right, Missing):
        return _missing((left, right)) or Missing()
    match node.operator:
        case "+":
            return _bounded(left + right)
        case "-":
            return _bounded(left - right)
        case "*":
            return _bounded(left * right)
    return _bounded(left / right) if right else Missing(reasons=("division by zero",))


def _power(node: Power, environment: Environment) -> Exact:
    base = number(node.base, environment)
    if isinstance(base, Missing):
        return base
    if base == 0 and node.exponent < 0:
        return Missing(reasons=("division by zero",))
    return _bounded(base**node.exponent)


def _extreme(node: Extreme, environment: Environment) -> Exact:
    values = [number(part, environment) for part in node.parts]
    missing = _missing(values)
    if missing is not None:
        return missing
    known = [value for value in values if isinstance(value, Fraction)]
    return min(known) if node.operator == "least of" else max(known)


def _call(node: Call, environment: Environment) -> Exact:
    arguments = [number(argument, environment) for argument in node.arguments]
    missing = _missing(arguments)
    if missing is not None:
        return missing
    return call_function(node, [value for value in arguments if isinstance(value, Fraction)])


def call_function(node: Call, arguments: list[Fraction]) -> Exact:
    """The result of a function at a point, worked out in floats."""
    try:
        result = node.function.call(*(float(value) for value in arguments))
    except ValueError as outside:
        return Missing(reasons=(f"{node.function.name}: {outside}",))
    except ArithmeticError as failed:
        return Missing(reasons=(f"{node.function.name}: {failed}",))
    if not math.isfinite(result):
        return Missing(reasons=(f"{node.function.name}: it is not a finite number",))
    return settled(result)


def tally(node: Tally, items: Value | Missing) -> Exact:
    """The count or the sum over this list."""
    if isinstance(items, Missing):
        return items
    found = [item for item in _items(items) if item.name in node.part.members]
    if node.operator == "count of":
        return Fraction(len(found))
    silent = [item.name for item in found if item.amount is None]
    if silent:
        reasons = tuple(f"{name} is stated without a quantity" for name in dict.fromkeys(silent))
        return Missing(_key_of(node.list), reasons)
    return sum((item.amount for item in found if item.amount is not None), Fraction(0))


# conditions


def _truth(node: Name | Choice, environment: Environment) -> Truth:
    value = evaluate(node, environment)
    if isinstance(value, bool | Missing):
        return value
    raise TypeError(f"not a condition: {value!r}")


def _between(node: Between, environment: Environment) -> Truth:
    value, low, high = (number(part, environment) for part in (node.value, node.low, node.high))
    return _every((_ordered(low, value), _ordered(value, high)))


def _logic(node: Logic, environment: Environment) -> Truth:
    parts = [condition(part, environment) for part in node.parts]
    return _every(parts) if node.operator == "and" else _any(parts)


def _not(node: Not, environment: Environment) -> Truth:
    found = condition(node.operand, environment)
    return found if isinstance(found, Missing) else not found


def _stated(node: Stated, environment: Environment) -> Truth:
    stated = environment.is_stated(node.name.key) if isinstance(node.name, Name) else False
    return stated != node.negated


def _compare(node: Compare, environment: Environment) -> Truth:
    left, right = number(node.left, environment), number(node.right, environment)
    within = Fraction(0) if node.within is None else number(node.within, environment)
    if isinstance(left, Missing) or isinstance(right, Missing) or isinstance(within, Missing):
        return _missing((left, right, within)) or Missing()
    if node.within is None:
        return holds(node.operator, left - right)
    return (abs(left - right) <= within) == (node.operator == "=")


def _ordered(low: Exact, high: Exact) -> Truth:
    if isinstance(low, Missing) or isinstance(high, Missing):
        return _missing((low, high)) or Missing()
    return low <= high


def _every(parts: Iterable[Truth]) -> Truth:
    found = list(parts)
    if any(part is False for part in found):
        return False
    return _missing(found) or True


def _any(parts: Iterable[Truth]) -> Truth:
    found = list(parts)
    if any(part is True for part in found):
        return True
    return _missing(found) or False


def _choice(node: Choice, environment: Environment) -> Value | Missing:
    which = condition(node.condition, environment)
    if not isinstance(which, Missing):
        return evaluate(node.yes if which else node.no, environment)
    yes, no = evaluate(node.yes, environment), evaluate(node.no, environment)
    if not isinstance(yes, Missing) and yes == no:
        return yes
    return _missing((which, yes, no)) or which


def ask(node: IsWord | Has | Before, value: Value | Missing) -> Truth:
    """The truth of a condition on words or a list, of this value."""
    if isinstance(value, Missing):
        return value
    if isinstance(node, Has):
        return list_has(_items(value), node.parts, node.every)
    if isinstance(node, Before):
        return list_before(_items(value), node.first, node.second)
    found = word_found(value, frozenset(word.text for word in node.words))
    if found is None:
        return Missing(_key_of(node.name), ("part of it is left open",))
    return found != node.negated


def word_found(value: object, wanted: frozenset[str]) -> bool | None:
    """Whether a term has any of these words; None if that is left open."""
    if not isinstance(value, Words):
        raise TypeError(f"not words: {value!r}")
    if value.stated & wanted:
        return True
    return None if value.silent & wanted else False


def list_has(items: tuple[Item, ...], parts: tuple[Part, ...], every: bool) -> bool:
    """Whether a list holds any, or every, of these parts; a group is there if one of its items is."""
    present = [any(item.name in part.members for item in items) for part in parts]
    return all(present) if every else any(present)


def list_before(items: tuple[Item, ...], first: Part, second: Part) -> bool:
    """Whether both are in the list and the first of the one stands before the first of the other."""
    places = [next((i for i, item in enumerate(items) if item.name in part.members), None) for part in (first, second)]
    return places[0] is not None and places[1] is not None and places[0] < places[1]


def _items(value: object) -> tuple[Item, ...]:
    if not isinstance(value, tuple):
        raise TypeError(f"not a list: {value!r}")
    return value


def _key_of(node: Node) -> frozenset[str]:
    return frozenset((node.key,)) if isinstance(node, Name) else frozenset()


# By the type of the node: this is asked more often than anything else, and a table takes a fraction of what a chain of
# type checks does.
_NUMBERS: Final[Mapping[type, Callable[[Any, Environment], Exact]]] = {
    Number: lambda node, _: node.value,
    Unary: _unary,
    Binary: _binary,
    Power: _power,
    Extreme: _extreme,
    Call: _call,
    Tally: lambda node, environment: tally(node, evaluate(node.list, environment)),
}
_CONDITIONS: Final[Mapping[type, Callable[[Any, Environment], Truth]]] = {
    Name: _truth,
    Choice: _truth,
    Compare: _compare,
    Between: _between,
    Logic: _logic,
    Not: _not,
    Stated: _stated,
    IsWord: lambda node, environment: ask(node, evaluate(node.name, environment)),
    Has: lambda node, environment: ask(node, evaluate(node.list, environment)),
    Before: lambda node, environment: ask(node, evaluate(node.list, environment)),
}
