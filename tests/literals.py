"""Every number that stands in the expressions of a rule pack: where it stands, what it is, where in the file.

Numbers are counted in the conditions and values of `define` and in `when`, `require`, `each` and `stricter` of rules.
Messages, corrections and cases set no limit, and an exponent is the shape of a formula: they aren't counted.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import Final, Literal

from rxlint.data import data_folder
from rxlint.expressions import Node, nodes, walk
from rxlint.model.names import own_key
from rxlint.packs import Pack, Rule, load_text
from rxlint.packs.pack import Spot
from rxlint.packs.yaml_tree import Mapping_, Scalar, Sequence_, Tree, read_tree
from rxlint.units import NUMBER, Dimension, without_basis

Kind = Literal["of", "rule"]
In = Literal["when", "is", "as", "require", "stricter"]
_DIGITS: Final = re.compile(r"-?\d+(?:\.\d+)?")
_NOTHING: Final = "5 % of nothing is nothing: no change of this size can be made"
_WHOLE: Final = "the whole of something, or one of a thing that is counted: it follows from the sense of the words"
_EMPTY: Final = Mapping_((), Spot(1, 1))
_ONE_OF_A_UNIT: Final = "multiplies or divides by one of a unit, to change what is measured and not how much"


@dataclass(frozen=True, slots=True)
class Where:
    """The place of a number: a term of `define` or a rule, the row or part (from 1), the expression, which number."""

    kind: Kind
    name: str
    row: int | None
    part: int | None
    place: In
    nth: int

    def __str__(self) -> str:
        row = f", row {self.row}" if self.row else f", part {self.part}" if self.part else ""
        return f"{self.name}{row}, {self.place}" + (f", number {self.nth}" if self.nth > 1 else "")


@dataclass(frozen=True, slots=True)
class Limit:
    """A number of a pack.

    `value` is in base units, `text` with its unit; `start` to `end` are its digits in the file; `excepted` says why it
    needs no source, and is empty where it does.
    """

    where: Where
    value: Fraction
    dimension: Dimension
    text: str
    start: int
    end: int
    excepted: str

    def changed(self, source: str, factor: Fraction) -> str:
        """The pack's text with this number multiplied."""
        digits = source[self.start : self.end]
        return source[: self.start] + decimal(Fraction(digits) * factor) + source[self.end :]


@dataclass(frozen=True, slots=True)
class _Expression:
    where: Where
    node: Node
    scalar: Scalar


def pack_names() -> list[str]:
    """The built-in packs."""
    return sorted(path.stem for path in data_folder("rules").glob("*.yaml"))


@cache
def pack_text(name: str) -> str:
    """The text of a built-in pack."""
    return (data_folder("rules") / f"{name}.yaml").read_text(encoding="utf-8")


def decimal(value: Fraction) -> str:
    """An exact decimal, for values that have one. Raises ValueError for others."""
    places = next((places for places in range(13) if (value * 10**places).denominator == 1), None)
    if places is None:
        raise ValueError(f"{value} is no decimal of twelve places")
    whole, part = divmod(abs(value) * 10**places, 10**places)
    digits = f"{whole}.{int(part):0{places}d}" if places else f"{whole}"
    return f"-{digits}" if value < 0 else digits


def load(text: str, name: str) -> Pack:
    """A pack from its text. Raises ValueError where it does not load."""
    pack, problems = load_text(text, f"rules/{name}.yaml")
    if pack is None:
        raise ValueError("\n".join(map(str, problems)))
    return pack


def limits_of(text: str, name: str) -> tuple[Limit, ...]:
    """Every number of a pack, in the order of the file."""
    pack, tree = load(text, name), read_tree(text, name)
    starts = _line_starts(text)
    found = (limit for each in expressions_of(pack, tree) for limit in _numbers(each, text, starts))
    return tuple(_counted(found))


@cache
def builtin_limits(name: str) -> tuple[Limit, ...]:
    """Every number of a built-in pack as it is in the checkout."""
    return limits_of(pack_text(name), name)


def changed_by(text: str, limits: Iterable[Limit], factor: Fraction) -> str:
    """A pack's text with some of its numbers multiplied, the last in the file first so that places stay true."""
    for limit in sorted(limits, key=lambda each: -each.start):
        text = limit.changed(text, factor)
    return text


def _counted(limits: Iterator[Limit]) -> Iterator[Limit]:
    """The numbers of one place counted from 1; a rule's `stricter` are counted through, as if they were one."""
    seen: Counter[Where] = Counter()
    for limit in limits:
        seen[limit.where] += 1
        yield replace(limit, where=replace(limit.where, nth=seen[limit.where]))


def expressions_of(pack: Pack, tree: Tree) -> Iterator[_Expression]:
    for term, body in _mapping(_mapping(tree).get("define")).items:
        node = pack.defined[own_key(pack.name, term.text)].node
        yield from _term(term.text, node, _mapping(body))
    for rule, body in zip(pack.rules, _items(_mapping(tree).get("rules")), strict=True):
        yield from _rule(rule, _mapping(body))


def _term(name: str, node: Node, body: Mapping_) -> Iterator[_Expression]:
    if body.get("rows") is None:
        yield _Expression(Where("of", name, None, None, "as", 0), node, _scalar(body.get("as")))
        return
    for number, row in enumerate(map(_mapping, _items(body.get("rows"))), 1):
        value = node
        if row.get("otherwise") is None:
            assert isinstance(node, nodes.Choice), "rows that are not the last load as a choice"
            yield _Expression(Where("of", name, number, None, "when", 0), node.condition, _scalar(row.get("when")))
            value, node = node.yes, node.no
        scalar = _scalar(row.get("otherwise") or row.get("is"))
        yield _Expression(Where("of", name, number, None, "is", 0), value, scalar)


def _rule(rule: Rule, body: Mapping_) -> Iterator[_Expression]:
    yield from _conditions(rule, body, None, rule.when)
    for number, (part, own) in enumerate(zip(rule.parts, map(_mapping, _items(body.get("each"))), strict=True), 1):
        when = part.when
        if rule.when is not None and own.get("when") is not None:
            assert isinstance(when, nodes.Logic), "a part's condition is joined to the rule's"
            when = when.parts[1]
        yield from _conditions(part, own, number, when)
    for stricter, tree in zip(rule.stricter, map(_mapping, _items(body.get("stricter"))), strict=True):
        yield _Expression(Where("rule", rule.id, None, None, "stricter", 0), stricter.when, _scalar(tree.get("when")))


def _conditions(rule: Rule, body: Mapping_, part: int | None, when: Node | None) -> Iterator[_Expression]:
    if when is not None and body.get("when") is not None:
        yield _Expression(Where("rule", rule.id, None, part, "when", 0), when, _scalar(body.get("when")))
    if rule.require is not None and body.get("require") is not None:
        yield _Expression(Where("rule", rule.id, None, part, "require", 0), rule.require, _scalar(body.get("require")))


def _numbers(expression: _Expression, text: str, starts: list[int]) -> Iterator[Limit]:
    found = {each.start: each for each in walk(expression.node) if isinstance(each, nodes.Number)}
    factors, compared = _factors(expression.node), _compared(expression.node)
    for node in (found[at] for at in sorted(found)):
        digits = _DIGITS.search(expression.scalar.text, node.start, node.end)
        assert digits is not None, "a number has digits"
        spot = expression.scalar.spot_of(digits.start())
        start = starts[spot.line - 1] + spot.column - 1
        assert text.startswith(digits.group(), start), f"{digits.group()} is not at {spot}"
        is_limit = (
            node.start in compared and node.text == "1"
        )  # `score > 1`; `100 %` and `24 h/day` are a whole there too
        excepted = _excepted(node, digits.group(), node.start in factors, is_limit)
        end = start + len(digits.group())
        yield Limit(expression.where, node.value, node.dimension, node.text, start, end, excepted)


def _excepted(node: nodes.Number, digits: str, is_factor: bool, is_limit: bool) -> str:
    if node.value == 0:
        return _NOTHING
    if without_basis(node.dimension) == NUMBER and node.value == 1 and not is_limit:
        return _WHOLE
    return _ONE_OF_A_UNIT if digits == "1" and is_factor else ""


def _factors(node: Node) -> frozenset[int]:
    products = (each for each in walk(node) if isinstance(each, nodes.Binary) and each.operator in "*/")
    return frozenset(side.start for each in products for side in (each.left, each.right))


def _compared(node: Node) -> frozenset[int]:
    """Where the numbers start that a quantity is compared with; a count of parts is none, one being its unit."""
    pairs = ((each.left, each.right) for each in walk(node) if isinstance(each, nodes.Compare))
    return frozenset(
        one.start
        for left, right in pairs
        for one, other in ((left, right), (right, left))
        if isinstance(one, nodes.Number) and not isinstance(other, nodes.Tally)
    )


def _line_starts(text: str) -> list[int]:
    return [0, *(match.end() for match in re.finditer("\n", text))]


def _mapping(tree: Tree | None) -> Mapping_:
    assert tree is None or isinstance(tree, Mapping_), "the pack has loaded, so its shape is known"
    return tree if tree is not None else _EMPTY


def _items(tree: Tree | None) -> tuple[Tree, ...]:
    assert tree is None or isinstance(tree, Sequence_), "the pack has loaded, so its shape is known"
    return tree.items if tree is not None else ()


def _scalar(tree: Tree | None) -> Scalar:
    assert isinstance(tree, Scalar), "the pack has loaded, so its shape is known"
    return tree
