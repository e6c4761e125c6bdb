"""A site's limit and another limit on the same setting: where both are left on the same side, the stricter one speaks.

One slip, one finding: the other is told with it, and never hides a stricter level. Values as set alone are looked at,
for of two things that are only allowed each may be another slip; and a finding that is accepted stays by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, Literal

from rxlint.expressions import Node, NumberType, condition, evaluate, keys_in, nodes
from rxlint.model.facts import Facts
from rxlint.model.names import base_names
from rxlint.packs import LEVELS, Rule
from rxlint.screening.comparisons import comparisons
from rxlint.screening.finding import Finding
from rxlint.vocabulary import vocabulary

_GIVEN: Final = frozenset({"document", "patient", "airway"})  # sections that say for whom it is, and set nothing
_CLOSE: Final = 1e-9

Side = Literal["above", "below"]
Asked = Mapping[int, tuple[Rule, Facts]]
"""By the identity of a finding on values as set: the requirement that is broken, and the facts that break it."""


@dataclass(frozen=True, slots=True)
class _Left:
    """A limit that is left: on which side, and how many times the value is the limit, or the limit the value."""

    side: Side
    by: float


def stricter_speaks(findings: Sequence[Finding], asked: Asked) -> list[Finding]:
    """The findings, those of a limit that a stricter one on the same setting speaks for told with that one."""
    told = {id(each): each for each in findings}
    for row in findings:
        rule, facts = asked.get(id(row), (None, None))
        if rule is None or facts is None or rule.basis != "policy" or len(rule.at) != 1 or id(row) not in told:
            continue
        own = _left(rule, rule.at[0], facts)
        if own is None:
            continue
        group = [(row, own, 0)]
        for other in findings:
            second, others_facts = asked.get(id(other), (None, None))
            if second is None or other is row or others_facts is not facts or id(other) not in told:
                continue
            left = _left(second, rule.at[0], facts)
            if left is not None and left.side == own.side:
                group.append((other, left, 1))
        _keep_one(group, told)
    return [told[id(each)] for each in findings if id(each) in told]


def _keep_one(group: Sequence[tuple[Finding, _Left, int]], told: dict[int, Finding]) -> None:
    """Of limits that are left on one side, that of the strictest level stays, then the narrowest, then the site's."""
    order = sorted(group, key=lambda each: (LEVELS.index(each[0].level), -round(each[1].by / _CLOSE), each[2]))
    first, *others = (finding for finding, _, _ in order)
    if not others:
        return
    more = [each for other in others for each in (replace(told[id(other)], also=()), *told[id(other)].also)]
    told[id(first)] = replace(told[id(first)], also=(*told[id(first)].also, *more))
    for other in others:
        del told[id(other)]


def _left(rule: Rule, key: str, facts: Facts) -> _Left | None:
    """On which side a setting leaves a requirement that limits it and nothing else; None where it is not so."""
    if rule.require is None:
        return None
    found: list[_Left] = []
    for part in _parts(rule.require):
        if condition(part, facts.as_set) is not True:
            left = next(_broken(part, key, facts), None)
            if left is None:
                return None
            found.append(left)
    if not found or len({each.side for each in found}) > 1:
        return None
    return max(found, key=lambda each: each.by)


def _parts(node: Node) -> Iterator[Node]:
    if isinstance(node, nodes.Logic) and node.operator == "and":
        for part in node.parts:
            yield from _parts(part)
    else:
        yield node


def _broken(part: Node, key: str, facts: Facts) -> Iterator[_Left]:
    """The comparisons of a part that are broken, and that hold the setting alone against something that is given."""
    for measured, sign, limit in comparisons(part):
        if not _rises(measured, key, facts) or not _is_given(limit, facts):
            continue
        value, end = evaluate(measured, facts.as_set), evaluate(limit, facts.as_set)
        if not isinstance(value, Fraction | float) or not isinstance(end, Fraction | float) or value <= 0 or end <= 0:
            continue
        if sign in ("<", "<=") and value >= end:
            yield _Left("above", float(value / end))
        elif sign in (">", ">=") and value <= end:
            yield _Left("below", float(end / value))


def _rises(node: Node, key: str, facts: Facts) -> bool:
    """Whether a number rises with a setting, and depends on no other."""
    match node:
        case nodes.Name() if node.key == key:
            return True
        case nodes.Name():
            formula = facts.formulas.get(node.key)
            return formula is not None and node.key not in facts.written and _rises(formula, key, facts)
        case nodes.Binary(operator="+" | "*"):
            return any(
                _rises(one, key, facts) and _is_given(other, facts)
                for one, other in ((node.left, node.right), (node.right, node.left))
            )
        case nodes.Binary(operator="-" | "/"):
            return _rises(node.left, key, facts) and _is_given(node.right, facts)
        case nodes.Choice():
            taken = condition(node.condition, facts.as_set)
            return isinstance(taken, bool) and _rises(node.yes if taken else node.no, key, facts)
        case _:
            return False


def _is_given(node: Node, facts: Facts) -> bool:
    """Whether a value rests on literals, words and what the patient is, and on no number that the order sets."""
    if isinstance(node, nodes.Choice):  # of a table, only the row that holds counts
        taken = condition(node.condition, facts.as_set)
        return isinstance(taken, bool) and _is_given(node.yes if taken else node.no, facts)
    for key in keys_in(node):
        formula = facts.formulas.get(key)
        if formula is not None:
            if not _is_given(formula, facts):
                return False
        elif isinstance(base_names().types.get(key), NumberType):
            term = vocabulary().terms.get(key)
            if term is None or term.section not in _GIVEN:
                return False
    return True
