"""One comparison in one scope: what the rule must answer below, at and above the limit, and what it does answer.

What it must answer does not come from comparing the two sides: the comparison is taken for true or for false, as its
operator says of the side on which the value was put, and the rest of the rule is worked out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Final

from rxlint.expressions import Environment, Item, Missing, Node, Value, at_point, condition, nodes, number
from rxlint.model.facts import Facts
from rxlint.packs import LEVELS, Rule
from rxlint.screening.answers import answer_as_set
from rxlint.screening.cases import used_by
from rxlint.screening.review_cases import CaseFacts, facts_of_cases
from rxlint.screening.ruleset import Prepared, RuleSet, prepare, slot_values
from rxlint.units import Dimension
from tests.boundaries.sites import Conditions, Site, pack_of, with_node
from tests.packs.cases import PACKS, READER

_ZERO: Final = nodes.Number(Fraction(0), "0", Dimension())
TRUTHS: Final = {True: nodes.Compare("=", _ZERO, _ZERO), False: nodes.Compare("!=", _ZERO, _ZERO)}
_HOLDS: Final[Mapping[str, tuple[int, ...]]] = {
    "<": (-1,),
    "<=": (-1, 0),
    ">": (1,),
    ">=": (0, 1),
    "=": (0,),
    "!=": (-1, 1),
}


@cache
def rules_of(name: str) -> RuleSet:
    """The rules of a pack, of those that it uses, and of the one that says where a text can't be read."""
    pack = pack_of(name)
    reader = [each for each in PACKS if each.name == READER and name != READER]
    return prepare([pack, *(each for each in used_by(pack) if each.name != READER), *reader])


@cache
def prepared_of(name: str) -> Mapping[int, Prepared]:
    """The prepared rules of a pack by the identity of the rule, or the part of it."""
    return {id(each.rule): each for each in rules_of(name).rules}


@cache
def cases_of(name: str) -> Mapping[str, tuple[CaseFacts, ...]]:
    """By rule, the facts of its cases. Those of pairs of revisions are left out: no requirement is asked of them."""
    pack = pack_of(name)
    return {
        rule.id: tuple(each for each in facts_of_cases(rule, pack) if each.case.before is None) for rule in pack.rules
    }


def moved(facts: Facts, values: Mapping[str, Value]) -> Facts:
    """The facts with these keys fixed at other values: those that are stated, and those that are worked out."""
    return replace(
        facts,
        constants={**facts.constants, **values},
        axes={key: axis for key, axis in facts.axes.items() if key not in values},
        formulas={key: node for key, node in facts.formulas.items() if key not in values},
        written={key: node for key, node in facts.written.items() if key not in values},
    )


def gap_of(compare: nodes.Compare, environment: Environment) -> Fraction | None:
    """How far the left side lies above the right; of two that may differ by some amount, how far beyond that amount."""
    left, right = number(compare.left, environment), number(compare.right, environment)
    if isinstance(left, Missing) or isinstance(right, Missing):
        return None
    if compare.within is None:
        return left - right
    within = number(compare.within, environment)
    return None if isinstance(within, Missing) else abs(left - right) - within


def truth_of(compare: nodes.Compare, gap: Fraction) -> bool:
    """What the operator says of a difference."""
    sign = (gap > 0) - (gap < 0)
    if compare.within is not None:
        return (sign <= 0) == (compare.operator == "=")
    return sign in _HOLDS[compare.operator]


def is_live(site: Site, facts: Facts) -> bool:
    """Whether the number has a part in the comparison here: in a table, whether its row is the one."""
    other = replace(site.number, value=site.number.value * Fraction(101, 100) if site.number.value else Fraction(1))
    changed = with_node(site.compare, site.number, other)
    assert isinstance(changed, nodes.Compare), "a number within it was changed"
    here, there = gap_of(site.compare, facts.as_set), gap_of(changed, facts.as_set)
    return here is not None and there is not None and here != there


def must_answer(site: Site, facts: Facts, truth: bool) -> str:
    """What the rule answers where the comparison is true, or false, whatever its sides come to."""
    return told(site.conditions, facts, (site.compare, truth))


def told(conditions: Conditions, facts: Facts, fixed: tuple[Node, bool] | None = None) -> str:
    """The outcome of a rule by the exact evaluator; broken with its level. One comparison may be taken for settled."""
    when, require, stricter = conditions.when, conditions.require, conditions.stricter
    if fixed is not None:
        node, truth = fixed
        when = with_node(when, node, TRUTHS[truth]) if when is not None else None
        require = with_node(require, node, TRUTHS[truth])
        stricter = tuple(with_node(each, node, TRUTHS[truth]) for each in stricter)
    outcome = at_point(when, require, facts.as_set).outcome
    return _with_level(outcome, conditions.rule, stricter, facts)


def _with_level(outcome: str, rule: Rule, stricter: tuple[Node, ...], facts: Facts) -> str:
    if outcome != "broken":
        return outcome
    level = rule.level
    for each, node in zip(rule.stricter, stricter, strict=True):
        if condition(node, facts.as_set) is True:
            level = min(level, each.level, key=LEVELS.index)
    return f"broken, {rule.bounded(level)}"


def answered(name: str, rule: Rule, facts: Facts) -> str:
    """The outcome as a screening finds it: by the compiled conditions, and exactly where these can't be trusted."""
    rules = rules_of(name)
    answer = answer_as_set(prepared_of(name)[id(rule)], facts, slot_values(facts, rules))
    return _with_level(answer.outcome, rule, tuple(each.when for each in rule.stricter), facts)


def counted(facts: Facts, tally: nodes.Tally, count: Fraction) -> tuple[Item, ...]:
    """The list that is counted in, with so many of what is counted at its end."""
    assert isinstance(tally.list, nodes.Name) and count.denominator == 1, "whole parts of a list of the document"
    items = facts.as_set.value(tally.list.key)
    assert isinstance(items, tuple), "it is a list"
    others = tuple(each for each in items if each.name not in tally.part.members)
    return (*others, *([Item(min(tally.part.members))] * max(int(count), 0)))
