"""What an expression comes to whatever the numbers are: all that it asks of words, lists and presence is known.

Most rules have nothing to say of most documents, and what decides that is rarely a number. Where the answer here is
certain, it is the exact evaluator's answer for every document that states the same terms with the same words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Final, Protocol

from rxlint.expressions import exact
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
    Stated,
    Tally,
    Unary,
)
from rxlint.expressions.values import Item, Missing, Value, Words
from rxlint.units.dimensions import NUMBER

_MOST_BITS: Final = 4_000
"""Of a number that is surely not too large to be worked out; what is (``arithmetic.is_huge``) counts as missing."""


class Certainty(Enum):
    """What is known of an expression whose value is not."""

    TRUTH = "true or false, and surely not missing"
    LACKING = "surely missing, and for the same reasons"
    OPEN = "anything"


TRUTH, LACKING, OPEN = Certainty.TRUTH, Certainty.LACKING, Certainty.OPEN


@dataclass(frozen=True, slots=True)
class Some:
    """Some number, surely not missing, whose numerator and denominator have no more bits than this."""

    bits: int


Known = bool | Fraction | Words | tuple[Item, ...] | Some | Certainty
"""A value that is the same in all these documents, or what else is known. Of items, their names are the same."""


class Given(Protocol):
    """What all the documents have in common."""

    def known(self, key: str) -> Known:
        """What is known of a term's value."""

    def is_stated(self, key: str) -> bool:
        """Whether all of them state it; that none of them does where not."""


def bits_of(value: Fraction) -> int:
    """How many bits the longer of numerator and denominator has."""
    return max(value.numerator.bit_length(), value.denominator.bit_length())


def certain(node: Node, given: Given) -> Known:
    """What is known of a checked expression."""
    match node:
        case Name():
            return given.known(node.key)
        case Number():
            return node.value
        case Unary() | Binary() | Extreme() | Tally() | Call():
            return _number(node, given)
        case Compare():
            within = (node.within,) if node.within is not None else ()
            return _compared(node.operator, [certain(each, given) for each in (node.left, node.right, *within)])
        case Between():
            value, low, high = (certain(each, given) for each in (node.value, node.low, node.high))
            return _logic((_compared("<=", (low, value)), _compared("<=", (value, high))), False)
        case Logic():
            return _logic([certain(part, given) for part in node.parts], node.operator == "or")
        case Not():
            found = certain(node.operand, given)
            return not found if isinstance(found, bool) else found
        case Stated():
            stated = given.is_stated(node.name.key) if isinstance(node.name, Name) else False
            return stated != node.negated
        case IsWord():
            return _asked(node, certain(node.name, given))
        case Has() | Before():
            return _asked(node, certain(node.list, given))
        case Choice():
            return _choice(node, given)
        case _:  # a power: of zero, or one that grows large
            return OPEN


def _is_there(value: Known) -> bool:
    """Whether a number or a truth is surely not missing."""
    return isinstance(value, bool | Fraction | Some) or value is TRUTH


def _of_parts(parts: Sequence[Known], otherwise: Known) -> Known:
    """What is known of something that is missing where any of its parts is, for the reasons of all that are."""
    if not all(part is LACKING or _is_there(part) for part in parts):
        return OPEN
    return LACKING if LACKING in parts else otherwise


# numbers


def _number(node: Unary | Binary | Extreme | Tally | Call, given: Given) -> Known:
    match node:
        case Tally():
            return _tally(node, certain(node.list, given))
        case Call():  # a function may refuse what it is given
            return _of_parts([certain(each, given) for each in node.arguments], OPEN)
        case Unary():
            parts = [certain(node.operand, given)]
            return _of_parts(parts, OPEN if node.operator == "square root" else Some(_bits(parts[0])))
        case Extreme():
            parts = [certain(part, given) for part in node.parts]
            return _of_parts(parts, Some(max(map(_bits, parts))))
    left, right = certain(node.left, given), certain(node.right, given)
    bits = _bits(left) + _bits(right) + 1
    fine = bits <= _MOST_BITS and (node.operator != "/" or (isinstance(right, Fraction) and right != 0))
    return _of_parts([left, right], Some(bits) if fine else OPEN)


def _bits(value: Known) -> int:
    if isinstance(value, Some):
        return value.bits
    return bits_of(value) if isinstance(value, Fraction) else 0


def _tally(node: Tally, items: Known) -> Known:
    if items is LACKING:
        return LACKING
    if node.operator != "count of" or not isinstance(items, tuple):
        return OPEN
    return Fraction(sum(item.name in node.part.members for item in items))


def _choice(node: Choice, given: Given) -> Known:
    which = certain(node.condition, given)
    if isinstance(which, bool):
        return certain(node.yes if which else node.no, given)
    parts = [certain(node.yes, given), certain(node.no, given)]
    if which is not TRUTH or not all(map(_is_there, parts)):
        return OPEN
    truths = isinstance(parts[0], bool) or parts[0] is TRUTH
    return TRUTH if truths else Some(max(map(_bits, parts)))


# conditions


def _compared(operator: str, parts: Sequence[Known]) -> Known:
    values = [part for part in parts if isinstance(part, Fraction)]
    if len(values) < len(parts):
        return _of_parts(parts, TRUTH)
    literals = [Number(value, "", NUMBER) for value in values]
    found = exact.condition(Compare(operator, *literals), _Nothing())
    assert isinstance(found, bool)
    return found


class _Nothing:
    """No terms at all: literals need none."""

    def value(self, key: str) -> Value | Missing:
        return Missing(frozenset((key,)))

    def is_stated(self, key: str) -> bool:  # noqa: ARG002 - as the protocol has it
        return False


def _logic(parts: Sequence[Known], decides: bool) -> Known:
    """`and`, which one false part decides, or `or`, which a true one does."""
    if any(part is decides for part in parts):
        return decides
    if all(part is (not decides) for part in parts):
        return not decides
    if all(part is LACKING or isinstance(part, bool) for part in parts):
        return LACKING
    return TRUTH if all(map(_is_there, parts)) else OPEN


def _asked(node: IsWord | Has | Before, value: Known) -> Known:
    if value is LACKING:
        return LACKING
    if isinstance(node, IsWord):
        if not isinstance(value, Words):
            return OPEN
        found = exact.word_found(value, frozenset(word.text for word in node.words))
        return LACKING if found is None else found != node.negated
    if not isinstance(value, tuple):
        return OPEN
    if isinstance(node, Has):
        return exact.list_has(value, node.parts, node.every)
    return exact.list_before(value, node.first, node.second)
