"""What the steps of a titration break on their way: relations, rules that may reject, alarms; alone and two together.

What a setting reaches that is stepped alone is allowed too, and rules judge all that is allowed by themselves. What
moves together, and what only the order itself asks of values as set, is walked here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from rxlint.expressions import at_point, condition, decide
from rxlint.model.bands import table_keys
from rxlint.model.facts import AS_WRITTEN, Facts, SetEnvironment
from rxlint.model.relations import Relation
from rxlint.packs import Rule
from rxlint.screening.plans import may_break
from rxlint.screening.ranges import bounds_of
from rxlint.screening.ruleset import Prepared, RuleSet
from rxlint.screening.steps import (
    MOST_STATES,
    MOST_STEPS,
    Course,
    Values,
    environment_of,
    told_values,
    walk_course,
    walk_pair,
)
from rxlint.screening.values import Teller, show_number, unit_for
from rxlint.screening.walks import BUDGET, Found, Walk


@dataclass(frozen=True, slots=True)
class Breach:
    """What is broken at a state: the rule, or the line; why; and whether it is to be rejected."""

    rule: str
    message: str
    rejects: bool


@dataclass(frozen=True, slots=True)
class _Watch:
    """What is sound at the start, and may be broken by steps."""

    facts: Facts
    rules: RuleSet
    relations: tuple[Relation, ...]
    prepared: tuple[Prepared, ...]
    roaming: tuple[str, ...] = ()  # keys that two titrations can take beyond the end of either

    def breaches(self, values: Values, with_alarms: bool) -> Iterator[Breach] | None:
        """What is broken at a state; None where a table has no row for it."""
        found = environment_of(self.facts, values)
        return None if found is None else self._breaches(found[0], found[1], values, with_alarms)

    def _breaches(
        self, here: Facts, environment: SetEnvironment, values: Values, with_alarms: bool
    ) -> Iterator[Breach]:
        yield from self._outside(values)
        for relation in self.relations:
            follows = relation.target is not None and relation.target not in values
            if not follows and relation.whole is not None and condition(relation.whole, environment) is False:
                yield Breach(f"keep {relation.text}", "the order's own relation", True)
        for each in self.prepared:
            rejects = may_reject(each.rule)
            if not rejects and not with_alarms:
                continue
            if _is_broken(each.rule, environment) and not _speaks_anyway(each.rule, self.facts):
                rejects = rejects and _level_there(each.rule, environment) == "reject"
                if rejects or (with_alarms and _reads_alarm(each, self.facts)):
                    teller = Teller(here, each.names, self.rules.defined)
                    yield Breach(each.rule.id, teller.message(each.rule.say, environment), rejects)

    def _outside(self, values: Values) -> Iterator[Breach]:
        for key in self.roaming:
            bounds = bounds_of(self.facts, key)
            if bounds is not None and not bounds[0] <= values[key] <= bounds[1]:
                name, unit = key.removesuffix(AS_WRITTEN), unit_for(key, self.facts, {})
                low, high = (show_number(end, unit, name) for end in bounds)
                yield Breach("its own line", f"{name} may be {low} to {high}", True)


def walk_steps(facts: Facts, course: Course, rules: RuleSet, walk: Walk) -> frozenset[str]:
    """The first step of one titration that breaks something sound at the start; the rules that were told."""
    walk.ran |= {"titration.breaks-rule", "titration.crosses-alarm"}
    watch = _watch(facts, rules, (course,), frozenset())
    alarm: tuple[int, Values, Breach] | None = None
    for count, values in enumerate(walk_course(course), 1):
        if count > MOST_STEPS:
            walk.unsure["titration.breaks-rule"] = f"more than {MOST_STEPS} steps"
            break
        found = watch.breaches(values, with_alarms=alarm is None)
        if found is None:
            walk.unsure["titration.breaks-rule"] = f"a table has no row for step {count} of line {course.line}"
            break
        for breach in found:
            if breach.rejects:
                _tell_step(facts, course, (count, values, breach), walk)
                first = _tell_step(facts, course, alarm, walk) if alarm is not None and alarm[0] < count else ()
                return frozenset((breach.rule, *first))
            alarm = alarm or (count, values, breach)
    return frozenset(_tell_step(facts, course, alarm, walk)) if alarm is not None else frozenset()


def _tell_step(facts: Facts, course: Course, found: tuple[int, Values, Breach], walk: Walk) -> tuple[str, ...]:
    count, values, breach = found
    (what, value), *_ = told_values(facts, values, course.keys[:1])
    _tell(course, walk, breach, (what, str(count), value))
    return (breach.rule,)


def _tell(course: Course, walk: Walk, breach: Breach, told: tuple[str, str, str], beside: Course | None = None) -> None:
    what, step, value = told
    together = "titration.breaks-rule" if beside is None else "titration.breaks-together"
    fields = {"what": what, "step": step, "value": value, "rule": breach.rule, "message": breach.message}
    entry = course.stated.entry
    related = ((beside.stated.entry, "the other steps stand here"),) if beside is not None else ()
    event = together if breach.rejects else "titration.crosses-alarm"
    walk.found.append(Found(event, entry, entry.indent, len(entry.text.rstrip()), fields, related))


# ---- two together


def walk_together(facts: Facts, courses: Sequence[Course], rules: RuleSet, told: frozenset[str], walk: Walk) -> None:
    """For each two titrations the first combination of their steps that breaks what neither breaks alone."""
    for first, second in combinations(courses, 2):
        walk.ran.add("titration.breaks-together")
        watch = _watch(facts, rules, (first, second), told)
        if watch.relations or watch.prepared or watch.roaming:
            told |= _walk_two(first, second, watch, walk)


def _walk_two(first: Course, second: Course, watch: _Watch, walk: Walk) -> frozenset[str]:
    for reached in walk_pair(first, second):
        if reached is None:
            walk.unsure["titration.breaks-together"] = f"more than {MOST_STATES} combinations of steps"
            break
        found = watch.breaches(reached.values, with_alarms=True)
        if found is None:
            walk.unsure["titration.breaks-together"] = "a table has no row for some combination of steps"
            continue
        breach = next(found, None)
        if breach is not None:
            one, two = reached.steps
            keys = tuple(dict.fromkeys((*first.keys, *second.keys)))
            *before, (what, value) = told_values(watch.facts, reached.values, keys)
            names = "".join(f"{name} {each} and " for name, each in before)
            step = f"{one} of line {first.line} and step {two} of line {second.line}"
            _tell(second, walk, breach, (names + what, step, value), first)
            return frozenset((breach.rule,))
    return frozenset()


# ---- what is watched


def _watch(facts: Facts, rules: RuleSet, courses: Sequence[Course], told: frozenset[str]) -> _Watch:
    """What is sound at the start and read by rules that every one of some titrations moves; not what was told before.

    Where one moves what another does, it can take it back, and the other's steps begin anew: then each moves all.
    """
    moved = [_affected(facts, course) for course in courses]
    shared = len(courses) > 1 and not frozenset(courses[0].keys).isdisjoint(courses[1].keys)
    moved = [frozenset[str]().union(*moved)] if shared else moved
    boxed = all(_is_allowed(facts, course) for course in courses)
    prepared = tuple(
        each
        for each in may_break(facts, rules)
        if not each.uses_readings
        and each.rule.id not in told
        and (each.rule.as_set_only or not boxed)
        and (may_reject(each.rule) or _reads_alarm(each, facts))
        and _reads_all(facts, each.names_used, moved)
        and _is_met(each.rule, facts.as_set)
    )
    relations = tuple(
        each
        for each in facts.relations.readable
        if each.whole is not None
        and not each.circular
        and f"keep {each.text}" not in told
        and _reads_all(facts, facts.reads(each.whole), moved)
        and condition(each.whole, facts.as_set) is True
    )
    roaming = sorted({key for course in courses for key in course.keys}) if shared else ()
    return _Watch(facts, rules, relations, prepared, tuple(roaming))


def _affected(facts: Facts, course: Course) -> frozenset[str]:
    """The keys that a titration moves, and the terms whose tables go by them."""
    by = table_keys(facts.scope)
    return frozenset(course.keys).union(*(by.get(key, frozenset()) for key in course.keys))


def _reads_all(facts: Facts, keys: frozenset[str], moved: Sequence[frozenset[str]]) -> bool:
    reads = facts.closure(keys)
    return all(reads & each for each in moved)


def _is_allowed(facts: Facts, course: Course) -> bool:
    """Whether everything that a titration reaches counts as allowed, so that rules judge it by themselves."""
    if course.is_coupled:
        return False
    (key,) = course.keys
    axis = facts.allowed.get(key)
    return key in table_keys(facts.scope) or (axis is not None and axis.low <= course.limit <= axis.high)


def may_reject(rule: Rule) -> bool:
    """Whether a rule rejects, always or where one of its stricter conditions holds."""
    return "reject" in {rule.bounded(rule.level), *(rule.bounded(each.level) for each in rule.stricter)}


def _reads_alarm(prepared: Prepared, facts: Facts) -> bool:
    return any(key.startswith("alarm ") for key in facts.closure(prepared.names_used))


def _level_there(rule: Rule, environment: SetEnvironment) -> str:
    if rule.bounded(rule.level) == "reject" or any(
        rule.bounded(each.level) == "reject" and condition(each.when, environment) is True for each in rule.stricter
    ):
        return "reject"
    return rule.level


def _is_met(rule: Rule, environment: SetEnvironment) -> bool:
    assert rule.require is not None
    return at_point(rule.when, rule.require, environment).outcome in ("met", "does not apply")


def _is_broken(rule: Rule, environment: SetEnvironment) -> bool:
    assert rule.require is not None
    return at_point(rule.when, rule.require, environment).outcome == "broken"


def _speaks_anyway(rule: Rule, facts: Facts) -> bool:
    """Whether a rule finds by itself that something allowed breaks it: one slip, one finding."""
    assert rule.require is not None
    return not rule.as_set_only and decide(rule.when, rule.require, facts.space, BUDGET, facts.common).outcome in (
        "can break", "broken everywhere",
    )  # fmt: skip
