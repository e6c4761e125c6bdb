"""The limits that rules set, row by row of their tables: which contradict one another, and which no case stands at."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Node, Value, keys_in, nodes, show, walk
from rxlint.model.names import derived_terms
from rxlint.packs import Defined, Pack, Rule
from rxlint.screening.comparisons import comparisons
from rxlint.screening.review_cases import CaseFacts, Remark
from rxlint.screening.review_space import can_hold
from rxlint.screening.ruleset import every_read
from rxlint.screening.values import show_value, unit_of_type
from rxlint.units import PLAIN, Dimension

_MOST_ROWS: Final = 60
_CLOSE: Final = Fraction(1, 10**9)


@dataclass(frozen=True, slots=True)
class Bound:
    """One end that a requirement sets: of what expression, from which side, how far, and under which conditions.

    ``row`` says which row of a table the limit is of, in words.
    """

    rule: Rule
    measured: Node
    is_least: bool
    is_open: bool
    limit: Fraction
    text: str
    when: tuple[Node, ...]

    def __str__(self) -> str:
        sign = (">" if self.is_least else "<") + ("" if self.is_open else "=")
        return f"{show(self.measured)} {sign} {self.text}"


@dataclass(frozen=True, slots=True)
class _Row:
    """A literal limit, or one row of a table of them."""

    value: Fraction
    text: str
    when: tuple[Node, ...]


def bounds_of(part: Rule, defined: Mapping[str, Defined]) -> tuple[Bound, ...]:
    """The limits that a requirement sets whatever else holds: those that `and` joins."""
    if part.require is None:
        return ()
    when = (part.when,) if part.when is not None else ()
    found: list[Bound] = []
    for measured, sign, limit in comparisons(part.require):
        for row in _rows(limit, defined):
            text, conditions = row.text, (*when, *row.when)
            found.append(Bound(part, measured, sign in (">", ">="), sign in ("<", ">"), row.value, text, conditions))
    return tuple(found)


def _rows(node: Node, defined: Mapping[str, Defined]) -> Iterator[_Row]:
    """The values of a limit that stands fixed: a literal, or the rows of a table of literals; none of anything else."""
    rows = list(itertools.islice(_every_row(node, defined, (), 8), _MOST_ROWS + 1))
    if len(rows) <= _MOST_ROWS and all(row is not None for row in rows):
        yield from (row for row in rows if row is not None)


def _every_row(node: Node, defined: Mapping[str, Defined], when: tuple[Node, ...], depth: int) -> Iterator[_Row | None]:
    if isinstance(node, nodes.Number):
        yield _Row(node.value, node.text, when)
    elif isinstance(node, nodes.Unary) and node.operator == "-" and isinstance(node.operand, nodes.Number):
        yield _Row(-node.operand.value, f"-{node.operand.text}", when)
    elif isinstance(node, nodes.Name) and node.key in defined and depth:
        yield from _every_row(defined[node.key].node, defined, when, depth - 1)
    elif isinstance(node, nodes.Choice) and depth:
        yield from _every_row(node.yes, defined, (*when, node.condition), depth)
        yield from _every_row(node.no, defined, (*when, nodes.Not(node.condition)), depth)
    else:
        yield None


# ---- limits that contradict one another


def contradictions(packs: Sequence[Pack], own: Pack) -> Iterator[Remark]:
    """Pairs of limits on one expression, one of them of ``own``, that can't both be kept where both apply."""
    defined = {key: each for pack in packs for key, each in pack.defined.items()}
    bounds = [bound for pack in packs for rule in rules_of(pack) for bound in bounds_of(rule, defined)]
    least = [bound for bound in bounds if bound.is_least]
    told: set[tuple[str, str, str]] = set()
    for low, high in itertools.product(least, (bound for bound in bounds if not bound.is_least)):
        is_own = own.name in (low.rule.pack, high.rule.pack)
        mark = (low.rule.id, high.rule.id, show(low.measured))
        if is_own and mark not in told and low.measured == high.measured and _are_apart(low, high):
            remark = _contradiction(low, high, defined, own)
            if remark is not None:
                told.add(mark)
                yield remark


def rules_of(pack: Pack) -> Iterator[Rule]:
    """Every requirement of a pack, the rows of a policy too."""
    rows = (row.rule for row in pack.policy.rows) if pack.policy is not None else ()
    for rule in (*pack.rules, *rows):
        yield from rule.parts or (rule,)


def _are_apart(low: Bound, high: Bound) -> bool:
    """Whether no value keeps both."""
    return low.limit > high.limit or (low.limit == high.limit and (low.is_open or high.is_open))


def _contradiction(low: Bound, high: Bound, defined: Mapping[str, Defined], own: Pack) -> Remark | None:
    one, other = (low, high) if low.rule.pack == own.name else (high, low)
    conditions = tuple(dict.fromkeys((*one.when, *other.when)))
    if _exclude_one_another(conditions):
        return None
    both: Node = nodes.Logic("and", conditions) if len(conditions) > 1 else (conditions or (_TRUE,))[0]
    search = can_hold(None, both, defined)
    if search.found == "no":
        return None
    with_other = "another requirement of it" if one.rule.id == other.rule.id else other.rule.id
    told = f"{one} can't be kept together with {other} of {with_other}"
    if search.found == "can't be told":
        return Remark(one.rule.spot, one.rule.id, f"{told}; whether both ever apply can't be told", is_told=False)
    where = f", and both apply with {_example(search.example)}" if search.example else ""
    return Remark(one.rule.spot, one.rule.id, told + where)


def _exclude_one_another(conditions: Sequence[Node]) -> bool:
    """Whether conditions leave no value of one expression, such as ages below 12 years and from 12 years on."""
    found = [
        (measured, sign, limit.value)
        for condition in conditions
        for measured, sign, limit in comparisons(condition)
        if isinstance(limit, nodes.Number)
    ]
    return any(
        low == high and (bottom > top or (bottom == top and (least, most) != (">=", "<=")))
        for (low, least, bottom), (high, most, top) in itertools.product(found, found)
        if least in (">", ">=") and most in ("<", "<=")
    )


_TRUE: Final = nodes.Compare(
    "=", nodes.Number(Fraction(0), "0", Dimension()), nodes.Number(Fraction(0), "0", Dimension())
)


def _example(values: Mapping[str, Value] | None) -> str:
    told = [f"{key} {_shown(key, value)}" for key, value in sorted((values or {}).items())]
    return ", ".join(told)


def _shown(key: str, value: Value) -> str:
    from rxlint.expressions import NumberType
    from rxlint.model.names import stated_types

    kind = stated_types().get(key)
    return show_value(value, unit_of_type(kind.dimension) if isinstance(kind, NumberType) else PLAIN, key)


# ---- limits at which no case stands


def unvisited(rule: Rule, cases: Sequence[CaseFacts], defined: Mapping[str, Defined]) -> Iterator[Remark]:
    """Requirements whose limit is never the value itself in a case: whether it is still allowed, no case says."""
    for part in rule.parts or (rule,):
        for measured, sign, limit in comparisons(part.require) if part.require is not None else ():
            if not any(_rows(limit, defined)) or any(_rows(measured, defined)) or not _can_be_met(measured, defined):
                continue
            if not any(_stands_at(each, measured, limit) for each in cases):
                told = f"no case stands at the limit itself of {show(measured)} {sign} {show(limit)}"
                yield Remark(rule.spot, rule.id, told)


def _can_be_met(measured: Node, defined: Mapping[str, Defined]) -> bool:
    """Whether what is measured can come to a limit exactly: no function, root or power stands in it."""
    keys = every_read([measured], defined)
    ways = [way.node for key in keys if key in derived_terms() for way in derived_terms()[key].ways]
    every = [measured, *ways, *(defined[key].node for key in keys if key in defined)]
    return bool(keys_in(measured)) and not any(_is_curved(each) for node in every for each in walk(node))


def _is_curved(node: Node) -> bool:
    return isinstance(node, nodes.Call | nodes.Power) or (isinstance(node, nodes.Unary) and "root" in node.operator)


def _stands_at(case: CaseFacts, measured: Node, limit: Node) -> bool:
    for value, end in zip(case.values(measured), case.values(limit), strict=False):
        if isinstance(value, Fraction) and isinstance(end, Fraction) and abs(value - end) <= _CLOSE * abs(end):
            return True
    return False
