"""Sizes of steps: larger than the way to their end, finer than can be set, sooner than their effect can be seen."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from rxlint.model.facts import Facts
from rxlint.model.names import own_key
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.screening.conditions import duration_of
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.steps import course_of, end_of, farthest_start, moved_key, own_axis
from rxlint.screening.values import show_number, time_unit
from rxlint.screening.walks import Walk
from rxlint.units import PRESSURE, RATE, Dimension
from rxlint.vocabulary import vocabulary

EVENT: Final = "titration.step-size"


def walk_step_sizes(facts: Facts, rules: RuleSet, walk: Walk) -> None:
    """Every step of a scope whose size has something to say: one finding a line, the first reason there is."""
    for stated in facts.scope.several.get("raise", ()):
        step = stated.statement.body
        if not isinstance(step, n.Step) or not stated.statement.readable:
            continue
        walk.ran.add(EVENT)
        why = next(_reasons(facts, rules, stated, step), None)
        if why is not None:
            size = stated.statement.values["step"]
            what = " and ".join(phrase.text for phrase in step.terms)
            walk.whole(EVENT, stated.entry, what=what, step=show_number(size.points[0], size.unit), why=why)


def _reasons(facts: Facts, rules: RuleSet, stated: Stated, step: n.Step) -> Iterator[str]:
    size = stated.statement.values["step"]
    if size.points[0] <= 0:
        return  # a step of nothing is told as one that never reaches its end
    way = _way(facts, stated)
    if way is not None and 0 < way < size.points[0]:
        yield f"the whole way to its end is {show_number(way, size.unit)}, less than one step"
    finest = _limit(facts, rules, f"finest step of {_kind(step, size.unit.dimension)}")
    if finest is not None and size.points[0] < finest:
        yield f"ventilators are set in steps of {show_number(finest, size.unit)} or more"
    every = stated.statement.values.get("every")
    if every is None:
        return
    told = f"every {_time(every.points[0])}"
    soonest = _limit(facts, rules, f"soonest step of {'oxygen' if _is_oxygen(step) else 'ventilation'}")
    if soonest is not None and every.points[0] < soonest:
        yield f"{told} is sooner than its effect is seen, which takes {_time(soonest)}"
    waited = _waited(step.when) if step.when is not None else Fraction(0)
    if every.points[0] < waited:
        yield f"its condition has to hold for {_time(waited)}, so it can't be due {told}"


def _way(facts: Facts, stated: Stated) -> Fraction | None:
    """How far the steps go: from what is set, or from the far end of what may be set; None where that is not known."""
    course, end = course_of(facts, stated), end_of(facts, stated)
    step, size = stated.statement.body, stated.statement.values["step"]
    if end is None or not isinstance(step, n.Step) or stated.statement.term is None:
        return None
    sign = 1 if stated.statement.term.phrase == "raise" else -1
    if course is not None:
        first = course.keys[0]
        return (end - farthest_start(facts, stated, first, course.starts[first])) * sign
    name = step.terms[0].text
    axis = own_axis(facts, name)
    if axis is None or axis.options or axis.key != moved_key(facts, name, size):
        return None
    return (end - (axis.low if sign > 0 else axis.high)) * sign


def _waited(when: n.Condition) -> Fraction:
    """For how long a condition has to hold at the least before it counts."""
    return min(max(duration_of(each) for each in both) for both in when.either)


def _time(value: Fraction) -> str:
    return show_number(value, time_unit(value))


def _limit(facts: Facts, rules: RuleSet, name: str) -> Fraction | None:
    key = own_key("titration", name)
    value = facts.as_set.value(key) if key in rules.defined else None
    return value if isinstance(value, Fraction) else None


def _is_oxygen(step: n.Step) -> bool:
    return step.terms[0].text in ("FiO2", "oxygen flow")


def _kind(step: n.Step, dimension: Dimension) -> str:
    if vocabulary().terms[step.terms[0].text].form == "fraction":
        return "oxygen"
    return "pressure" if dimension == PRESSURE else "rate" if dimension == RATE else "anything else"
