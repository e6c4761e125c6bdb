"""The nodes of an expression. `start` and `end` are code point offsets in the text it was read from.

Positions take no part in equality, so that two readings of the same words are equal wherever they stood.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from rxlint.expressions.names import Function
from rxlint.units.dimensions import Dimension


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Anything that stands somewhere in a text."""

    start: int = field(default=0, compare=False)
    end: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Number(Placed):
    """A literal: its exact value in base units, its text as written, its dimension with any basis of weight."""

    value: Fraction
    text: str
    dimension: Dimension


@dataclass(frozen=True, slots=True)
class Name(Placed):
    """A term by its key; `text` is the spelling used."""

    key: str
    text: str


@dataclass(frozen=True, slots=True)
class Unary(Placed):
    """`-`, `absolute` or `square root` of a number."""

    operator: str
    operand: Node


@dataclass(frozen=True, slots=True)
class Binary(Placed):
    """`+`, `-`, `*` or `/`."""

    operator: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Power(Placed):
    """A whole power, from -9 to 9."""

    base: Node
    exponent: int


@dataclass(frozen=True, slots=True)
class Extreme(Placed):
    """`least of` or `greatest of`."""

    operator: str
    parts: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Call(Placed):
    """A function passed in, with its arguments."""

    function: Function
    arguments: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Choice(Placed):
    """`if (condition) then (yes) else (no)`, of numbers or of conditions."""

    condition: Node
    yes: Node
    no: Node


@dataclass(frozen=True, slots=True)
class Compare(Placed):
    """`=`, `!=`, `<`, `<=`, `>` or `>=`; the first two may have a tolerance."""

    operator: str
    left: Node
    right: Node
    within: Node | None = None


@dataclass(frozen=True, slots=True)
class Between(Placed):
    """Membership of a closed range."""

    value: Node
    low: Node
    high: Node


@dataclass(frozen=True, slots=True)
class Logic(Placed):
    """`and` or `or` of two or more conditions."""

    operator: str
    parts: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Not(Placed):
    """The opposite of a condition."""

    operand: Node


@dataclass(frozen=True, slots=True)
class Stated(Placed):
    """Whether a term is stated, readable or not."""

    name: Node
    negated: bool


@dataclass(frozen=True, slots=True)
class Part(Placed):
    """A word, or an item or group of a list with the items it stands for."""

    text: str
    members: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class IsWord(Placed):
    """Whether a term has one of these words; `listed` if it was written with `is one of`."""

    name: Node
    words: tuple[Part, ...]
    negated: bool
    listed: bool = False


@dataclass(frozen=True, slots=True)
class Has(Placed):
    """Whether a list has any, or every, of these items; `listed` if it was written with `any of` or `every of`."""

    list: Node
    parts: tuple[Part, ...]
    every: bool
    listed: bool = False


@dataclass(frozen=True, slots=True)
class Before(Placed):
    """Whether a list has both, and the first of one stands before the first of the other."""

    first: Part
    second: Part
    list: Node


@dataclass(frozen=True, slots=True)
class Tally(Placed):
    """`count of` or `sum of` an item or group in a list: how many, or the sum of the quantities stated with them."""

    operator: str
    part: Part
    list: Node


Node = (
    Number
    | Name
    | Unary
    | Binary
    | Power
    | Extreme
    | Call
    | Choice
    | Compare
    | Between
    | Logic
    | Not
    | Stated
    | IsWord
    | Has
    | Before
    | Tally
)


_MOST_REMEMBERED: Final = 20_000
_keys_of: dict[int, tuple[Node, frozenset[str]]] = {}  # by identity; the node is kept, so that it stays its own


def children(node: Node) -> tuple[Node, ...]:
    """The nodes directly under this one, in the order they are written."""
    match node:
        case Unary() | Not():
            return (node.operand,)
        case Binary() | Compare():
            within = node.within if isinstance(node, Compare) else None
            return (node.left, node.right) if within is None else (node.left, node.right, within)
        case Power():
            return (node.base,)
        case Extreme() | Logic():
            return node.parts
        case Call():
            return node.arguments
        case Choice():
            return node.condition, node.yes, node.no
        case Between():
            return node.value, node.low, node.high
        case Stated() | IsWord():
            return (node.name,)
        case Has() | Before() | Tally():
            return (node.list,)
        case _:
            return ()


def walk(node: Node) -> Iterator[Node]:
    """The node and everything under it. Does not recurse, so that it is safe on a tree of any depth."""
    waiting = [node]
    while waiting:
        here = waiting.pop()
        yield here
        waiting.extend(reversed(children(here)))


def keys_in(node: Node) -> frozenset[str]:
    """The keys that it names, those it only asks whether they are stated included. Remembered for the node itself: the
    formulas of derived terms are asked for again in every document, and comparing whole trees would take as long.
    """
    known = _keys_of.get(id(node))
    if known is None or known[0] is not node:
        if len(_keys_of) >= _MOST_REMEMBERED:
            _keys_of.clear()
        known = node, frozenset(found.key for found in walk(node) if isinstance(found, Name))
        _keys_of[id(node)] = known
    return known[1]


def depth_of(node: Node) -> int:
    """How deep the tree is; 1 for a leaf."""
    deepest = 0
    waiting = [(node, 1)]
    while waiting:
        here, depth = waiting.pop()
        deepest = max(deepest, depth)
        waiting.extend((child, depth + 1) for child in children(here))
    return deepest
