"""From lark's tree to nodes. Nothing here recurses, so that no text can be nested too deeply for it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from lark import Token
from lark.visitors import Transformer_NonRecursive

from rxlint.expressions.lexicon import Lexicon
from rxlint.expressions.names import ListType
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
from rxlint.expressions.problems import Problem
from rxlint.units import PLAIN, UNITS, with_basis

MOST_DIGITS: Final = 18
HIGHEST_POWER: Final = 9
_NEGATIVE_FORMS: Final = frozenset(("is not", "is not stated", "is not one of"))

Piece = Any  # a token, or a node that was built before


class Builder(Transformer_NonRecursive[Token, Any]):
    """Builds the nodes of one expression; what is wrong with it although it could be parsed is put into `problems`."""

    def __init__(self, lexicon: Lexicon) -> None:
        super().__init__(visit_tokens=False)
        self._lexicon = lexicon
        self.problems: list[Problem] = []

    # conditions

    def any_of(self, pieces: list[Piece]) -> Node:
        return self._logic("or", pieces)

    def every_of(self, pieces: list[Piece]) -> Node:
        return self._logic("and", pieces)

    def _logic(self, operator: str, pieces: list[Piece]) -> Node:
        parts: tuple[Node, ...] = tuple(pieces[::2])
        return parts[0] if len(parts) == 1 else Logic(operator, parts, **_span(pieces))

    def denied(self, pieces: list[Piece]) -> Node:
        only: Node = pieces[0] if len(pieces) == 1 else Not(pieces[1], **_span(pieces))
        return only

    def comparison(self, pieces: list[Piece]) -> Node:
        left, operator, right, *tolerance = pieces
        within = tolerance[1] if tolerance else None
        if within is not None and operator not in ("=", "!="):
            self._blame(tolerance, f"`within` goes with = and != only, not with {operator}")
        return Compare(str(operator), left, right, within, **_span(pieces))

    def between(self, pieces: list[Piece]) -> Node:
        return Between(pieces[0], pieces[2], pieces[4], **_span(pieces))

    def stated(self, pieces: list[Piece]) -> Node:
        return Stated(pieces[0], pieces[1] in _NEGATIVE_FORMS, **_span(pieces))

    def is_word(self, pieces: list[Piece]) -> Node:
        return IsWord(pieces[0], (_part(pieces[2]),), pieces[1] in _NEGATIVE_FORMS, **_span(pieces))

    def is_one_of(self, pieces: list[Piece]) -> Node:
        subject, form, options = pieces[0], pieces[1], pieces[2::2]
        negated = form in _NEGATIVE_FORMS
        if all(isinstance(option, Token) for option in options):
            return IsWord(subject, tuple(_part(option) for option in options), negated, True, **_span(pieces))
        numbers = [option for option in options if isinstance(option, Number)]
        if len(numbers) < len(options):
            self._blame(options, "words and numbers cannot stand in one list")
        operator = "!=" if negated else "="
        parts = tuple(Compare(operator, subject, number, **_span(pieces)) for number in numbers)
        return parts[0] if len(parts) == 1 else Logic("and" if negated else "or", parts, **_span(pieces))

    def has(self, pieces: list[Piece]) -> Node:
        subject, form = pieces[0], pieces[1]
        parts = tuple(self._item(token, subject) for token in pieces[2::2])
        return Has(subject, parts, form == "has every of", form != "has", **_span(pieces))

    def before(self, pieces: list[Piece]) -> Node:
        target = self.name(pieces[4:5])
        return Before(self._item(pieces[0], target), self._item(pieces[2], target), target, **_span(pieces))

    # numbers

    def chain(self, pieces: list[Piece]) -> Node:
        result: Node = pieces[0]
        for operator, right in zip(pieces[1::2], pieces[2::2], strict=True):
            result = Binary(str(operator), result, right, start=result.start, end=right.end)
        return result

    def negated(self, pieces: list[Piece]) -> Node:
        return Unary("-", pieces[1], **_span(pieces))

    def unary(self, pieces: list[Piece]) -> Node:
        return Unary(str(pieces[0]), pieces[2], **_span(pieces))

    def raised(self, pieces: list[Piece]) -> Node:
        digits = str(pieces[2])
        if "." in digits or len(digits) > 2 or abs(int(digits)) > HIGHEST_POWER:
            limits = f"-{HIGHEST_POWER} to {HIGHEST_POWER}"
            self._blame(pieces[2:], f"a power must be a whole number from {limits}; for a root use `square root (...)`")
            digits = "1"
        return Power(pieces[0], int(digits), **_span(pieces))

    def extreme(self, pieces: list[Piece]) -> Node:
        return Extreme(str(pieces[0]), tuple(pieces[2:-1:2]), **_span(pieces))

    def call(self, pieces: list[Piece]) -> Node:
        function = self._lexicon.functions[pieces[0].value.key]
        return Call(function, tuple(pieces[2:-1:2]), **_span(pieces))

    def tally(self, pieces: list[Piece]) -> Node:
        target = self.name(pieces[3:4])
        return Tally(str(pieces[0]), self._item(pieces[1], target), target, **_span(pieces))

    def choice(self, pieces: list[Piece]) -> Node:
        return Choice(pieces[2], pieces[6], pieces[10], **_span(pieces))

    # leaves

    def bracketed(self, pieces: list[Piece]) -> Node:
        inner: Node = pieces[1]
        return replace(inner, **_span(pieces))

    def name(self, pieces: list[Piece]) -> Node:
        spelled = pieces[0].value
        return Name(spelled.key, str(spelled), **_span(pieces))

    def quantity(self, pieces: list[Piece]) -> Node:
        digits = str(pieces[0])
        if len(digits) > MOST_DIGITS:
            self._blame(pieces[:1], f"a number may have at most {MOST_DIGITS} digits")
            digits = "0"
        unit = UNITS[str(pieces[1])] if len(pieces) > 1 else PLAIN
        dimension = unit.dimension
        text = f"{digits} {unit.symbol}".strip()
        if len(pieces) > 2:
            try:
                dimension = with_basis(dimension, str(pieces[2]))
                text = f"{text} of {pieces[2]}"
            except ValueError:
                self._blame(pieces[2:], f"{unit.symbol} holds no weight, so it cannot be of {pieces[2]}")
        return Number(Fraction(digits) * unit.factor, text, dimension, **_span(pieces))

    def _item(self, token: Token, target: Node) -> Part:
        name = getattr(token.value, "key", None)
        # A term's name may also be an item's (the interfaces); its spelling then says which item.
        text = str(token) if name is None else self._as_item(str(token))
        kind = self._lexicon.types.get(target.key) if isinstance(target, Name) else None
        members = kind.members(text) if isinstance(kind, ListType) else frozenset[str]()
        return replace(_part(token), text=text, members=members)

    def _as_item(self, spelling: str) -> str:
        folded = spelling.casefold()
        return next((item for item in self._lexicon.items if item.casefold() == folded), spelling)

    def _blame(self, pieces: list[Piece], message: str) -> None:
        span = _span(pieces)
        self.problems.append(Problem(span["start"], span["end"], message))


def _part(token: Token) -> Part:
    return Part(str(token), **_span([token]))


def _span(pieces: list[Piece]) -> dict[str, Any]:
    first, last = pieces[0], pieces[-1]
    start = first.start_pos if isinstance(first, Token) else first.start
    end = last.end_pos if isinstance(last, Token) else last.end
    return {"start": start or 0, "end": end or 0}
