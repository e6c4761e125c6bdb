"""Checks what an expression measures: dimensions, conditions against numbers, words and items against their terms.

Weights. A value per kg of one basis never fits one of another. Weights themselves are all in kg: two of them may be
compared, added and divided whatever their bases, and a literal in plain kg takes the basis of what it stands with.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rxlint.expressions.names import BoolType, ListType, Names, NumberType, TextType, Type, WordsType
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
from rxlint.expressions.parse import Parsed, parse
from rxlint.expressions.problems import Problem, near
from rxlint.units import NUMBER, WEIGHT, Dimension, units_of, with_basis, without_basis

BASES: Final = ("predicted weight", "measured weight", "ideal weight")


@dataclass(frozen=True, slots=True)
class Checked:
    """The type of an expression, None where it has none; with problems the type says nothing."""

    type: Type | None
    errors: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class _Measure:
    """What a number measures, and whether it is made of literals only."""

    dimension: Dimension
    literal: bool = False


_Found = _Measure | Type | None  # None: a problem has been reported already


def check(node: Node, names: Names) -> Checked:
    """The type of a node, with every problem found in it."""
    checker = _Checker(names)
    found = checker.infer(node)
    kind = NumberType(found.dimension) if isinstance(found, _Measure) else found
    return Checked(kind, tuple(checker.problems))


def read_condition(text: str, names: Names) -> Parsed:
    """Parse and check a condition."""
    parsed = parse(text, names)
    if parsed.node is None:
        return parsed
    checker = _Checker(names)
    checker.condition(parsed.node)
    return Parsed(None, tuple(checker.problems)) if checker.problems else parsed


def read_number(text: str, names: Names, dimension: Dimension | None = None) -> Parsed:
    """Parse and check a number; of this dimension, if one is given."""
    parsed = parse(text, names)
    if parsed.node is None:
        return parsed
    checker = _Checker(names)
    found = checker.measure(parsed.node)
    if found is not None and dimension is not None:
        checker.fit(found, dimension, parsed.node, "here")
    return Parsed(None, tuple(checker.problems)) if checker.problems else parsed


class _Checker:
    def __init__(self, names: Names) -> None:
        self._names = names
        self.problems: list[Problem] = []

    def _blame(self, place: Node | Part, message: str, suggestions: tuple[str, ...] = ()) -> None:
        self.problems.append(Problem(place.start, place.end, message, suggestions))

    def infer(self, node: Node) -> _Found:
        match node:
            case Number():
                return self._number(node)
            case Name():
                kind = self._names.type_of(node.key)
                return _Measure(kind.dimension) if isinstance(kind, NumberType) else kind
            case Unary() | Binary() | Power() | Extreme() | Call() | Tally():
                return self._arithmetic(node)
            case Choice():
                return self._choice(node)
            case _:
                self._truth(node)
                return BoolType()

    def _truth(self, node: Compare | Between | Logic | Not | Stated | IsWord | Has | Before) -> None:
        match node:
            case Compare():
                self._comparison(node)
            case Between():
                self._between(node)
            case Logic():
                for part in node.parts:
                    self.condition(part)
            case Not():
                self.condition(node.operand)
            case Stated():
                if not isinstance(node.name, Name):
                    self._blame(node.name, "only a term can be stated")
            case IsWord():
                self._is_word(node)
            case Has():
                for wanted in node.parts:
                    self._part(wanted, node.list)
            case Before():
                self._part(node.first, node.list)
                self._part(node.second, node.list)

    def condition(self, node: Node) -> None:
        """Reports anything but a condition."""
        found = self.infer(node)
        if found is not None and not isinstance(found, BoolType):
            self._blame(node, f"{_described(found)} stands where a condition is needed")

    def measure(self, node: Node) -> _Measure | None:
        """What a number measures; reports anything but a number."""
        found = self.infer(node)
        if found is None or isinstance(found, _Measure):
            return found
        self._blame(node, f"{_described(found)} stands where a number is needed")
        return None

    def fit(self, found: _Measure, wanted: Dimension, node: Node, where: str) -> None:
        """Reports a number that is not of the dimension wanted."""
        plain = wanted == WEIGHT and _is_weight(found.dimension)
        if not plain and _together(found, _Measure(wanted)) != wanted:
            self._blame(
                node, f"{_said(found)} stands {where}, but {wanted.describe()} is needed", _units(found, wanted)
            )

    # numbers

    def _number(self, node: Number) -> _Measure | None:
        if any(base == "weight" and power < 0 for base, power in node.dimension.exponents):
            options = tuple(f"{node.text} of {basis}" for basis in BASES)
            self._blame(node, f"`{node.text}` does not say of which weight", options)
            return None
        return _Measure(node.dimension, literal=True)

    def _arithmetic(self, node: Unary | Binary | Power | Extreme | Call | Tally) -> _Measure | None:
        match node:
            case Unary():
                found = self.measure(node.operand)
                return self._root(node, found) if found is not None and node.operator == "square root" else found
            case Binary():
                return self._binary(node)
            case Power():
                base = self.measure(node.base)
                return None if base is None else _Measure(base.dimension.power(node.exponent), base.literal)
            case Extreme():
                return self._same(node.parts, f"in `{node.operator}`")
            case Call():
                return self._call(node)
            case Tally():
                return self._tally(node)

    def _root(self, node: Unary, found: _Measure) -> _Measure | None:
        if any(power % 2 for _, power in found.dimension.exponents):
            self._blame(node, f"{_said(found)} has no square root that could be measured")
            return None
        half = Dimension.of({base: power // 2 for base, power in found.dimension.exponents})
        return _Measure(half, found.literal)

    def _binary(self, node: Binary) -> _Measure | None:
        if node.operator in "+-":
            return self._same((node.left, node.right), f"around `{node.operator}`")
        left, right = self.measure(node.left), self.measure(node.right)
        if left is None or right is None:
            return None
        literal = left.literal and right.literal
        if node.operator == "*":
            return _Measure(_adopt(left, right) * _adopt(right, left), literal)
        if _is_weight(left.dimension) and _is_weight(right.dimension):
            return _Measure(NUMBER, literal)
        return _Measure(left.dimension / _adopt(right, left, 1), literal)

    def _same(self, nodes: tuple[Node, ...], where: str) -> _Measure | None:
        """What numbers that must go together measure; reports the first that does not fit those before it."""
        total: _Measure | None = None
        whole = True
        for node in nodes:
            found = self.measure(node)
            if found is None:
                whole = False
            elif total is None:
                total = found
            else:
                joint = _together(total, found)
                if joint is None:
                    self._blame(node, _mismatch(total, found, where), _units(found, total.dimension))
                    return None
                total = _Measure(joint, total.literal and found.literal)
        return total if whole else None

    def _call(self, node: Call) -> _Measure:
        function = node.function
        if len(node.arguments) != len(function.arguments):
            needed = len(function.arguments)
            self._blame(node, f"`{function.name} of` takes {needed} values, not {len(node.arguments)}")
        for place, (argument, wanted) in enumerate(zip(node.arguments, function.arguments, strict=False), 1):
            found = self.measure(argument)
            if found is not None:
                self.fit(found, wanted, argument, f"as value {place} of `{function.name} of`")
        return _Measure(function.result)

    def _tally(self, node: Tally) -> _Measure | None:
        kind = self._part(node.part, node.list)
        if node.operator == "count of":
            return _Measure(NUMBER)
        if kind is None:
            return None
        found = {kind.amounts.get(member) for member in kind.members(node.part.text)}
        dimension = next(iter(found)) if len(found) == 1 else None
        if dimension is None:
            self._blame(node.part, f"the items of `{node.part.text}` have no quantities that could be added up")
            return None
        return _Measure(dimension)

    def _choice(self, node: Choice) -> _Found:
        self.condition(node.condition)
        yes, no = self.infer(node.yes), self.infer(node.no)
        if yes is None or no is None:
            return None
        if isinstance(yes, BoolType) and isinstance(no, BoolType):
            return BoolType()
        if isinstance(yes, _Measure) and isinstance(no, _Measure):
            joint = _together(yes, no)
            if joint is not None:
                return _Measure(joint, yes.literal and no.literal)
            self._blame(node.no, _mismatch(yes, no, "in the two branches"), _units(no, yes.dimension))
            return None
        for branch, found in ((node.yes, yes), (node.no, no)):
            if not isinstance(found, _Measure | BoolType):
                self._blame(branch, f"{_described(found)} cannot be a branch: a number or a condition is needed")
                return None
        self._blame(node.no, "one branch is a number and the other a condition")
        return None

    # conditions

    def _comparison(self, node: Compare) -> None:
        if isinstance(node.left, Name) and node.operator in ("=", "!="):
            kind = self._names.type_of(node.left.key)
            if isinstance(kind, WordsType):
                form = "is" if node.operator == "=" else "is not"
                self._blame(node, f"`{node.left.text}` is a word: write `{node.left.text} {form} ...`")
                return
        sides = (node.left, node.right) if node.within is None else (node.left, node.right, node.within)
        self._same(sides, f"around `{node.operator}`")

    def _between(self, node: Between) -> None:
        self._same((node.value, node.low, node.high), "in `is between`")

    def _is_word(self, node: IsWord) -> None:
        kind = self._names.type_of(node.name.key) if isinstance(node.name, Name) else None
        if not isinstance(node.name, Name) or not isinstance(kind, WordsType):
            self._blame(node.name, "only a term whose value is a word can be asked for one")
            return
        for word in node.words:
            if word.text not in kind.words:
                allowed = near(word.text, kind.words) or tuple(sorted(kind.words)[:8])
                self._blame(word, f"`{node.name.text}` can never be `{word.text}`", allowed)

    def _part(self, part: Part, target: Node) -> ListType | None:
        kind = self._names.type_of(target.key) if isinstance(target, Name) else None
        if not isinstance(target, Name) or not isinstance(kind, ListType):
            self._blame(target, "only a term whose value is a list can be asked for an item")
            return None
        if not kind.members(part.text):
            self._blame(
                part, f"`{target.text}` can never hold `{part.text}`", near(part.text, (*kind.items, *kind.groups))
            )
            return None
        return kind


def _is_weight(dimension: Dimension) -> bool:
    return without_basis(dimension) == WEIGHT


def _together(left: _Measure, right: _Measure) -> Dimension | None:
    """What two numbers that may stand together measure; None if they may not."""
    if left.dimension == right.dimension:
        return left.dimension
    if not (_is_weight(left.dimension) and _is_weight(right.dimension)):
        return None
    if left.literal and left.dimension == WEIGHT:
        return right.dimension
    if right.literal and right.dimension == WEIGHT:
        return left.dimension
    return WEIGHT


def _adopt(found: _Measure, other: _Measure, sign: int = -1) -> Dimension:
    """The dimension of a factor; a literal in plain kg takes the basis of the weight that it cancels."""
    basis = other.dimension.basis
    plain = found.literal and found.dimension == WEIGHT
    if plain and basis is not None and (f"{basis} weight", sign) in other.dimension.exponents:
        return with_basis(WEIGHT, basis)
    return found.dimension


def _described(found: _Measure | Type) -> str:
    match found:
        case _Measure() | NumberType():
            return _said(found)
        case BoolType():
            return "a condition"
        case WordsType():
            return "a word"
        case ListType():
            return "a list"
        case TextType():
            return "text"


def _said(found: _Measure | NumberType) -> str:
    return "a number without a unit" if found.dimension == NUMBER else found.dimension.describe()


def _mismatch(first: _Measure, second: _Measure, where: str) -> str:
    plain = without_basis(first.dimension) == without_basis(second.dimension)
    why = "; per kg of one weight is not per kg of another" if plain else ""
    return f"{_said(first)} and {_said(second)} do not go together {where}{why}"


def _units(found: _Measure, wanted: Dimension) -> tuple[str, ...]:
    """Units that a bare number may lack."""
    return tuple(units_of(wanted)[:3]) if found.dimension == NUMBER else ()
