"""Readings held against older sets than the one before them: a slow course whose single steps are all small.

What a rule asks of two sets in a row it asks here of a set and an older one, as far back as nothing says that a
setting was changed in between. From where something was told already, a course begins anew: it is told once.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from rxlint.expressions import CLOSE, UNREADABLE, Value, at_point, keys_in, nodes
from rxlint.model.earlier import INTERVAL, between, earlier_types, earlier_values, values_of
from rxlint.model.facts import Facts
from rxlint.model.sets import moment_of
from rxlint.model.stated import EARLIER
from rxlint.notation.tree import Block
from rxlint.screening.answers import quick, why_unsure
from rxlint.screening.plans import needed_by
from rxlint.screening.ruleset import Prepared, RuleSet, slot_values

_LONGEST: Final = "drift: longest time between sets"
_PAIR: Final = 2  # sets that the screening itself holds against one another
_Key = tuple[str | None, str | None, str | None]


def slow_courses(scopes: Sequence[Facts], rules: RuleSet) -> Iterator[tuple[Prepared, Facts]]:
    """Every rule that a set of readings breaks against an older set than the one before it, with the facts of both."""
    courses = [course for course in _courses(scopes) if len(course) > _PAIR]
    asked = asked_of_courses(rules) if courses else []
    for course in courses:
        by_block = {id(facts.scope.readings): facts for facts in course}
        told: dict[int, set[int]] = {}  # of each set by its block: the rules that it was told for, by their place
        sets = _Sets(rules)
        for facts in course:
            own = told.setdefault(id(facts.scope.readings), set())
            waiting = {at for at, each in enumerate(asked) if not why_unsure(each.asks_presence, facts)}
            against = _Against(facts, rules, asked, sets)
            for further, passed in _held_against(facts, by_block):
                waiting -= told.get(id(passed), set())
                broken = against.broken(further, sorted(waiting))
                own.update(broken)
                waiting.difference_update(broken)
                if passed is not None:  # against the set before it, the screening itself has told it
                    yield from ((asked[at], _against(facts, further)) for at in broken)
                if not waiting:
                    break


def asked_of_courses(rules: RuleSet) -> list[Prepared]:
    """The rules that hold a set of readings against the one before it."""
    return [each for each in rules.rules if any(key.startswith(EARLIER) for key in each.reads)]


def _courses(scopes: Sequence[Facts]) -> Iterator[list[Facts]]:
    """The sets of readings of each period, band and mode, the oldest first."""
    found: dict[_Key, list[tuple[datetime.datetime, Facts]]] = {}
    for facts in scopes:
        moment = moment_of(facts.scope.readings) if facts.scope.readings is not None else None
        if moment is not None and not (facts.band is not None and facts.band.is_elsewhere):
            band, mode = facts.band, facts.mode
            key = facts.period, band.label if band is not None else None, mode.code if mode is not None else None
            found.setdefault(key, []).append((moment, facts))
    for course in found.values():
        yield [facts for _, facts in sorted(course, key=lambda each: each[0])]


def _held_against(facts: Facts, by_block: Mapping[int, Facts]) -> Iterator[tuple[Facts, Block | None]]:
    """Facts whose set before is to be held against this set: its own, then older ones, each with the last that was
    passed.
    """
    yield facts, None
    longest = facts.as_set.value(_LONGEST)
    later, passed = facts.scope.readings, _block_of(facts)
    while later is not None and passed is not None and not _is_changed(passed, later):
        further = by_block.get(id(passed))
        before = _block_of(further) if further is not None else None
        if further is None or before is None or _is_changed(before, passed) or facts.scope.readings is None:
            return
        interval = between(before, facts.scope.readings)[INTERVAL]
        if isinstance(longest, Fraction) and isinstance(interval, Fraction) and interval > longest:
            return
        yield further, passed
        later, passed = passed, before


def _block_of(facts: Facts) -> Block | None:
    first = next(iter(facts.scope.earlier.values()), None)
    return first.block if first is not None else None


def _is_changed(before: Block, later: Block) -> bool:
    """Whether the headings of two sets in a row say that a setting was changed between them."""
    first = before.heading.change if before.heading is not None else None
    second = later.heading.change if later.heading is not None else None
    return (first == "before" and second != "before") or (second == "after" and first != "after")


def _against(facts: Facts, further: Facts) -> Facts:
    """A set of readings as if the set before another one were the one before it."""
    scope = replace(facts.scope, earlier=further.scope.earlier)
    values, unreadable = earlier_values(scope)
    old = earlier_values(facts.scope)
    kept: dict[str, Value] = {key: value for key, value in facts.constants.items() if key not in old[0]}
    return replace(
        facts, scope=scope, constants=kept | values, unreadable=facts.unreadable - old[1] | unreadable, _closures={}
    )


class _Sets:
    """What sets of readings say, by slot and as compiled conditions take it; of each set worked out once."""

    def __init__(self, rules: RuleSet) -> None:
        self._slots = rules.slots
        self._known: dict[int, tuple[Facts, dict[int, Any]]] = {}  # with the facts, so that they stay their own
        self.keys = frozenset(earlier_types())
        self.all = tuple(rules.slots[key] for key in self.keys if key in rules.slots)

    def before(self, facts: Facts) -> dict[int, Any]:
        """What the set before that of these facts says."""
        known = self._known.get(id(facts))
        if known is None:
            values, unreadable = values_of(facts.scope.earlier)
            found: dict[str, Any] = {**values, **dict.fromkeys(unreadable, UNREADABLE)}
            known = self._known[id(facts)] = facts, self.by_slot(found)
        return known[1]

    def by_slot(self, values: Mapping[str, Any]) -> dict[int, Any]:
        """Values by slot, numbers as floats."""
        found = ((self._slots[key], value) for key, value in values.items() if key in self._slots)
        return {slot: float(value) if isinstance(value, Fraction) else value for slot, value in found}


class _Against:
    """One set of readings, to be held against many: what does not change with the other set is worked out once."""

    def __init__(self, facts: Facts, rules: RuleSet, asked: Sequence[Prepared], sets: _Sets) -> None:
        self._facts, self._rules, self._asked, self._sets = facts, rules, asked, sets
        needed = needed_by(frozenset[str]().union(*(each.names_used for each in asked)), facts, rules)
        self._formulas = [key for key in needed if not sets.keys.isdisjoint(facts.closure((key,)))]
        self._values = slot_values(facts, rules, needed)
        self._wanted = [[rules.slots[key] for key in _needed(each)] for each in asked]

    def broken(self, further: Facts, waiting: Sequence[int]) -> list[int]:
        """The rules, by their place, that the set breaks against the one before that of ``further``."""
        values = self._against_set(further)
        held: Facts | None = None
        found: list[int] = []
        for at in waiting:
            if any(values[slot] is None or values[slot] is UNREADABLE for slot in self._wanted[at]):
                continue  # most sets lack the readings of most rules
            require = self._asked[at].require
            if self._is_plain and require is not None and require.run(values) is True:
                continue  # whatever it asks beside
            outcome = quick(self._asked[at], values) if self._is_plain else None
            if outcome is None:
                rule = self._asked[at].rule
                held = held or _against(self._facts, further)
                assert rule.require is not None
                outcome = at_point(rule.when, rule.require, held.as_set).outcome
            if outcome == "broken":
                found.append(at)
        return found

    def _against_set(self, further: Facts) -> list[Any]:
        values = self._values.copy()
        for slot in self._sets.all:
            values[slot] = None
        for slot, value in self._sets.before(further).items():
            values[slot] = value
        block, readings = _block_of(further), self._facts.scope.readings
        if block is not None and readings is not None:
            for slot, value in self._sets.by_slot(between(block, readings)).items():
                values[slot] = value
        self._is_plain = True  # no formula needs the exact evaluator
        for key in self._formulas:
            known = self._rules.ways.get(id(self._facts.formulas[key]))
            result = known.run(values) if known is not None and key not in self._facts.written else CLOSE
            self._is_plain = self._is_plain and result is not CLOSE
            values[self._rules.slots[key]] = result
        return values


def _needed(prepared: Prepared) -> frozenset[str]:
    """The readings without which a comparison can't be broken; most sets lack those of most rules."""
    require = prepared.rule.require
    keys = keys_in(require) if isinstance(require, nodes.Compare) else frozenset[str]()
    return frozenset(key for key in keys if key.removeprefix(EARLIER).startswith("reading "))
