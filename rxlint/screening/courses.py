"""Readings held against older sets than the one before them: a slow course whose single steps are all small.

What a rule asks of two sets in a row it asks here of a set and an older one, as far back as nothing says that a
setting was changed in between. From where something was told already, a course begins anew: it is told once.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from rxlint.expressions import Value, at_point, keys_in, nodes
from rxlint.model.earlier import INTERVAL, earlier_values
from rxlint.model.facts import Facts
from rxlint.model.sets import moment_of
from rxlint.model.stated import EARLIER
from rxlint.notation.tree import Block
from rxlint.screening.answers import why_unsure
from rxlint.screening.ruleset import Prepared, RuleSet

_LONGEST: Final = "drift: longest time between sets"
_PAIR: Final = 2  # sets that the screening itself holds against one another
_Key = tuple[str | None, str | None, str | None]


def slow_courses(scopes: Sequence[Facts], rules: RuleSet) -> Iterator[tuple[Prepared, Facts]]:
    """Every rule that a set of readings breaks against an older set than the one before it, with the facts of both."""
    courses = [course for course in _courses(scopes) if len(course) > _PAIR]
    asked = asked_of_courses(rules) if courses else []
    needed = [_needed(each) for each in asked]
    for course in courses:
        by_block = {id(facts.scope.readings): facts for facts in course}
        told: dict[int, set[int]] = {}  # of each set by its block: the rules that it was told for, by their place
        for facts in course:
            own = told.setdefault(id(facts.scope.readings), set())
            waiting = {at for at, each in enumerate(asked) if not why_unsure(each.asks_presence, facts)}
            for held, passed in _held_against(facts, by_block):
                waiting -= told.get(id(passed), set())
                broken = [at for at in sorted(waiting) if _is_broken(asked[at], needed[at], held)]
                own.update(broken)
                waiting.difference_update(broken)
                if held is not facts:  # against the set before it, the screening itself has told it
                    yield from ((asked[at], held) for at in broken)
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
    """The same set against the one before it, then against older ones, each with the last that was passed."""
    yield facts, None
    longest = facts.as_set.value(_LONGEST)
    later, passed = facts.scope.readings, _block_of(facts)
    while later is not None and passed is not None and not _is_changed(passed, later):
        further = by_block.get(id(passed))
        before = _block_of(further) if further is not None else None
        if further is None or before is None or _is_changed(before, passed):
            return
        held = _against(facts, further)
        interval = held.constants.get(INTERVAL)
        if isinstance(longest, Fraction) and isinstance(interval, Fraction) and interval > longest:
            return
        yield held, passed
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


def _is_broken(prepared: Prepared, needed: frozenset[str], facts: Facts) -> bool:
    rule = prepared.rule
    if rule.require is None or not all(key in facts.constants or key in facts.formulas for key in needed):
        return False
    return at_point(rule.when, rule.require, facts.as_set).outcome == "broken"


def _needed(prepared: Prepared) -> frozenset[str]:
    """The readings without which a comparison can't be broken; most sets lack those of most rules."""
    require = prepared.rule.require
    keys = keys_in(require) if isinstance(require, nodes.Compare) else frozenset[str]()
    return frozenset(key for key in keys if key.removeprefix(EARLIER).startswith("reading "))
