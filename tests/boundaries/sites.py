"""The comparisons that the numbers of a pack stand in, with the terms that the pack defines written out.

A rule's conditions are taken with every term of a pack put in place of its name, so that a row of a table stands in the
comparison that it is a limit of. What is between two ends is two comparisons.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from rxlint.expressions import Node, nodes, walk
from rxlint.packs import Pack, Rule
from rxlint.packs.yaml_tree import read_tree
from tests.literals import Limit, builtin_limits, expressions_of, load, pack_text

_NOT_A_LIMIT: Final = "multiplies or divides by one of a unit"


@dataclass(frozen=True, slots=True, eq=False)
class Conditions:
    """What a rule, or a part of it, asks, written out: when it applies, what it requires, what makes it stricter."""

    rule: Rule
    when: Node | None
    require: Node
    stricter: tuple[Node, ...]

    @property
    def roots(self) -> tuple[tuple[str, Node], ...]:
        """The conditions with what they are called."""
        whole = (("require", self.require), *(("stricter", each) for each in self.stricter))
        return whole if self.when is None else (("when", self.when), *whole)


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    """A comparison of a rule that a number of a pack stands in; ``place`` is the condition that holds it."""

    conditions: Conditions
    place: str
    compare: nodes.Compare
    number: nodes.Number

    @property
    def rule(self) -> Rule:
        """The rule, or the part of it."""
        return self.conditions.rule


@dataclass(frozen=True, slots=True, eq=False)
class Numbered:
    """A number of a pack with the comparisons of rules in which it stands."""

    limit: Limit
    number: nodes.Number
    sites: tuple[Site, ...]

    @property
    def is_limit(self) -> bool:
        """Whether it limits anything: one of a unit only changes what is measured."""
        return not self.limit.excepted.startswith(_NOT_A_LIMIT)


@cache
def pack_of(name: str) -> Pack:
    """A built-in pack, whose nodes are those of ``numbers_of``."""
    return load(pack_text(name), name)


@cache
def numbers_of(name: str) -> tuple[Numbered, ...]:
    """Every number of a built-in pack, in the order of `tests.literals`."""
    pack = pack_of(name)
    found = list(_nodes(pack, name))
    limits = builtin_limits(name)
    assert [each.value for each in found] == [each.value for each in limits], "both go through the file in one order"
    sites: dict[int, list[Site]] = {}
    for conditions in conditions_of(pack):
        for site in _sites(conditions):
            sites.setdefault(id(site.number), []).append(site)
    return tuple(
        Numbered(limit, number, tuple(sites.get(id(number), ()))) for limit, number in zip(limits, found, strict=True)
    )


def _nodes(pack: Pack, name: str) -> Iterator[nodes.Number]:
    for expression in expressions_of(pack, read_tree(pack_text(name), name)):
        numbers = {each.start: each for each in walk(expression.node) if isinstance(each, nodes.Number)}
        yield from (numbers[start] for start in sorted(numbers))


def conditions_of(pack: Pack) -> Iterator[Conditions]:
    """What the rules of a pack ask, part by part."""
    defined = {key: each.node for key, each in pack.defined.items()}
    for rule in pack.rules:
        stricter = tuple(written_out(each.when, defined) for each in rule.stricter)
        for part in rule.parts or (rule,):
            if part.require is not None:
                when = written_out(part.when, defined) if part.when is not None else None
                yield Conditions(part, when, written_out(part.require, defined), stricter)


def written_out(node: Node, defined: Mapping[str, Node]) -> Node:
    """A node with defined terms in place of their names. Numbers stay the very objects that they are."""
    if isinstance(node, nodes.Name):
        return written_out(defined[node.key], defined) if node.key in defined else node
    whole = rebuilt(node, lambda each: written_out(each, defined))
    if isinstance(whole, nodes.Between):
        least = nodes.Compare(">=", whole.value, whole.low)
        return nodes.Logic("and", (least, nodes.Compare("<=", whole.value, whole.high)))
    return whole


def with_node(root: Node, old: Node, new: Node) -> Node:
    """A tree with one node, told by its identity, replaced wherever it stands."""
    return new if root is old else rebuilt(root, lambda each: with_node(each, old, new))


def rebuilt(node: Node, made: Callable[[Node], Node]) -> Node:
    """A node of the same kind over what is made of each node directly under it; what holds no number, as it is."""
    match node:
        case nodes.Unary() | nodes.Not():
            return replace(node, operand=made(node.operand))
        case nodes.Binary():
            return replace(node, left=made(node.left), right=made(node.right))
        case nodes.Power():
            return replace(node, base=made(node.base))
        case nodes.Extreme() | nodes.Logic():
            return replace(node, parts=tuple(made(each) for each in node.parts))
        case nodes.Call():
            return replace(node, arguments=tuple(made(each) for each in node.arguments))
        case nodes.Choice():
            return replace(node, condition=made(node.condition), yes=made(node.yes), no=made(node.no))
        case nodes.Compare():
            within = made(node.within) if node.within is not None else None
            return replace(node, left=made(node.left), right=made(node.right), within=within)
        case nodes.Between():
            return replace(node, value=made(node.value), low=made(node.low), high=made(node.high))
        case _:
            return node


def _sites(conditions: Conditions) -> Iterator[Site]:
    for place, root in conditions.roots:
        for compare in (each for each in walk(root) if isinstance(each, nodes.Compare)):
            for number in _own_numbers(compare):
                yield Site(conditions, place, compare, number)


def _own_numbers(compare: nodes.Compare) -> Iterator[nodes.Number]:
    """The numbers of a comparison's two sides, without those of comparisons within them."""
    waiting: list[Node] = [compare.left, compare.right, *([compare.within] if compare.within is not None else [])]
    while waiting:
        here = waiting.pop(0)
        if isinstance(here, nodes.Number):
            yield here
        elif isinstance(here, nodes.Choice):
            waiting += [here.yes, here.no]  # what chooses between them is a condition of its own
        else:
            waiting += nodes.children(here)
