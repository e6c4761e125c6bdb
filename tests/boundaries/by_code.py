"""Limits that no condition of a rule reads, but code: whether a case stands at the very value.

There the comparison stands in code, so nothing can be worked out for both of its answers. But a case that stands at the
limit itself is no longer what it says when the pack's number is moved by one part in a million, one way or the other:
so the case holds the number, and on which side of it the value itself lies.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from typing import Final

from rxlint.packs import Case, Pack, Rule
from rxlint.screening.cases import failure_of, used_by
from rxlint.screening.ruleset import RuleSet, prepare
from tests.boundaries.sites import Numbered, pack_of
from tests.literals import load, pack_text

_A_LITTLE: Final = (1 + Fraction(1, 10**6), 1 - Fraction(1, 10**6))


def case_at(name: str, numbered: Numbered) -> str:
    """The rule of a case that is no longer what it says when a number of a pack is moved a little; empty for none."""
    for factor in _A_LITTLE:
        pack = load(numbered.limit.changed(pack_text(name), factor), name)
        rules = _ready(pack)
        for rule, case in _sound_cases(name):
            if failure_of(rule, case, pack, rules) is not None:
                return rule.id
    return ""


@cache
def _sound_cases(name: str) -> tuple[tuple[Rule, Case], ...]:
    """The cases of rules that code finds, as far as they are what they say of the pack as it is."""
    pack = pack_of(name)
    rules = _ready(pack)
    return tuple((rule, case) for rule, case in _cases(pack) if failure_of(rule, case, pack, rules) is None)


def _cases(pack: Pack) -> Iterator[tuple[Rule, Case]]:
    return ((rule, case) for rule in pack.rules if rule.found_by for case in rule.cases)


def _ready(pack: Pack) -> RuleSet:
    return prepare((pack, *used_by(pack)))
