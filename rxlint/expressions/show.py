"""Nodes back to text, in one canonical form; and the value of every sub-expression."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, assert_never

from rxlint.expressions.exact import evaluate
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
    Power,
    Stated,
    Tally,
    Unary,
    children,
)
from rxlint.expressions.values import Environment, Missing, Value

_OR: Final = 0
_AND: Final = 1
_NOT: Final = 2
_RELATION: Final = 3
_SUM: Final = 4
_PRODUCT: Final = 5
_SIGNED: Final = 6
_POWER: Final = 7
_ATOM: Final = 8


@dataclass(frozen=True, slots=True)
class Step:
    """The value of a sub-expression: how deep it stands, its canonical text, and what it came to."""

    depth: int
    text: str
    value: Value | Missing


def trace(node: Node, environment: Environment) -> tuple[Step, ...]:
    """The value of every sub-expression, each before its parts; literals are left out, for they show themselves."""
    steps: list[Step] = []
    waiting = [(node, 0)]
    while waiting:
        here, depth = waiting.pop()
        steps.append(Step(depth, show(here), _value(here, environment)))
        waiting.extend((child, depth + 1) for child in reversed(children(here)) if not isinstance(child, Number))
    return tuple(steps)


def _value(node: Node, environment: Environment) -> Value | Missing:
    return evaluate(node, environment)


def show(node: Node) -> str:
    """The canonical text of a node: reading it again gives an equal node."""
    match node:
        case Number() | Name():
            return node.text
        case Unary() | Binary() | Power() | Extreme() | Call() | Tally():
            return _show_number(node)
        case Choice():
            return f"if ({show(node.condition)}) then ({show(node.yes)}) else ({show(node.no)})"
        case Compare():
            within = "" if node.within is None else f" within {_within(node.within, _SUM)}"
            return f"{_within(node.left, _SUM)} {node.operator} {_within(node.right, _SUM)}{within}"
        case Between():
            value, low, high = (_within(part, _SUM) for part in (node.value, node.low, node.high))
            return f"{value} is between {low} and {high}"
        case Logic():
            level = _AND if node.operator == "and" else _OR
            return f" {node.operator} ".join(_within(part, level + 1) for part in node.parts)
        case Not():
            return f"not {_within(node.operand, _NOT)}"
        case Stated():
            return f"{show(node.name)} {'is not stated' if node.negated else 'is stated'}"
        case IsWord() | Has():
            return _show_words(node)
        case Before():
            return f"{node.first.text} before {node.second.text} in {show(node.list)}"
        case _:
            assert_never(node)


def _show_number(node: Unary | Binary | Power | Extreme | Call | Tally) -> str:
    match node:
        case Unary():
            if node.operator == "-":
                return f"- {_within(node.operand, _SIGNED)}"
            return f"{node.operator} ({_within(node.operand, _SUM)})"
        case Binary():
            level = _SUM if node.operator in "+-" else _PRODUCT
            return f"{_within(node.left, level)} {node.operator} {_within(node.right, level + 1)}"
        case Power():
            return f"{_within(node.base, _ATOM)} ^ {node.exponent}"
        case Extreme():
            return f"{node.operator} ({', '.join(_within(part, _SUM) for part in node.parts)})"
        case Call():
            return f"{node.function.name} of ({', '.join(_within(part, _SUM) for part in node.arguments)})"
        case Tally():
            return f"{node.operator} {node.part.text} in {show(node.list)}"


def _show_words(node: IsWord | Has) -> str:
    if isinstance(node, IsWord):
        form = "is not" if node.negated else "is"
        form = f"{form} one of" if node.listed else form
        return f"{show(node.name)} {form} {', '.join(word.text for word in node.words)}"
    form = "has" if not node.listed else "has every of" if node.every else "has any of"
    return f"{show(node.list)} {form} {', '.join(part.text for part in node.parts)}"


def _within(node: Node, level: int) -> str:
    """The text of a node where nothing that binds less tightly than `level` may stand bare."""
    text = show(node)
    return text if _level(node) >= level else f"({text})"


def _level(node: Node) -> int:
    match node:
        case Logic():
            return _AND if node.operator == "and" else _OR
        case Not():
            return _NOT
        case Compare() | Between() | Stated() | IsWord() | Has() | Before():
            return _RELATION
        case Binary():
            return _SUM if node.operator in "+-" else _PRODUCT
        case Unary():
            return _SIGNED if node.operator == "-" else _ATOM
        case Number():
            return _SIGNED if node.value < 0 else _ATOM
        case Power():
            return _POWER
        case _:
            return _ATOM
