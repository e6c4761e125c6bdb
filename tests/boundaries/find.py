"""A scope of a rule's own cases in which a comparison decides what the rule answers, and the value that decides it."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import Final

from rxlint.expressions import Value, keys_in, nodes, walk
from rxlint.model.facts import Facts
from rxlint.screening.review_cases import CaseFacts
from tests.boundaries.sites import Conditions, Numbered, Site, with_node
from tests.boundaries.solve import Meeting, meeting
from tests.boundaries.trial import TRUTHS, cases_of, counted, gap_of, is_live, moved, must_answer, truth_of
from tests.boundaries.written import is_plausible, rounded, stands_at

_FINE: Final = Fraction(1, 10**6)
Moves = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """A scope in which a comparison decides the outcome once ``key`` comes to where its sides meet.

    ``beside`` is what else was moved to get there. ``in_text`` says whether all of that stands in the document, so that
    it can be written there.
    """

    site: Site
    case: CaseFacts
    scope: int
    key: str
    meeting: Meeting
    beside: Moves
    in_text: bool
    tally: nodes.Tally | None = None  # what is counted in the list that the key is: then the value is a count
    only: tuple[Fraction, ...] = ()  # the values at which it decides, where it does not at all of them
    other: Trial | None = None  # a trial that decides where this one does not

    def at(self, value: Fraction) -> Facts:
        """The facts with the key at a value."""
        facts = self.case.scopes[self.scope]
        to: Value = value if self.tally is None else counted(facts, self.tally, value)
        return moved(facts, {**self.beside, self.key: to})

    @property
    def around(self) -> tuple[Fraction, ...]:
        """A value below the limit, the limit itself where it is exact, and a value above."""
        low, high = self.meeting.low, self.meeting.high
        step = Fraction(1) if self.tally is not None else max(abs(low), abs(high)) * _FINE or _FINE
        return (low - step, *(() if self.meeting.exact is None else (low,)), high + step)


@dataclass(frozen=True, slots=True)
class NotFound:
    """Why no scope was found."""

    why: str


def trials_of(pack: str, numbered: Numbered) -> Iterator[Trial | NotFound]:
    """Scopes that serve, those first in which nothing else must be moved; and why others don't."""
    if not numbered.sites:
        yield NotFound(BY_CODE)
    for with_moves in (False, True):
        for site in numbered.sites:
            for case in cases_of(pack)[site.rule.id]:
                for scope in range(len(case.scopes)):
                    yield from _trials(site, case, scope, with_moves)


BY_CODE: Final = "no condition of a rule reads it, but code or a message"
_NO_CASE: Final = "no case of the rule states anything in one scope"
_NO_VALUE: Final = "in no case of the rule do both sides have a value"
_NOT_LIVE: Final = "in no case of the rule is its row the one that counts"
_NO_MEETING: Final = "no value was found at which the two sides meet"
_NOT_DECIDING: Final = "where the two sides meet, something else decides what the rule answers"
RANK: Final = (_NO_CASE, _NO_VALUE, _NOT_LIVE, _NO_MEETING, _NOT_DECIDING)


def _trials(site: Site, case: CaseFacts, scope: int, with_moves: bool) -> Iterator[Trial | NotFound]:
    facts = case.scopes[scope]
    for moves in _moves(site.conditions, facts) if with_moves else ({},):
        here = moved(facts, moves)
        if gap_of(site.compare, here.as_set) is None:
            yield NotFound(_NO_VALUE)
            if not with_moves:
                continue
            return
        if not is_live(site, here):
            yield NotFound(_NOT_LIVE)
            continue
        for key in keys_of(site.compare, here):
            if key not in moves:
                yield _trial(site, case, scope, key, moves)
        if not with_moves:
            yield from _counts(site, case, scope)


def _counts(site: Site, case: CaseFacts, scope: int) -> Iterator[Trial | NotFound]:
    """Trials in which the parts of a list are counted."""
    facts = case.scopes[scope]
    for tally in (each for each in walk(site.compare) if isinstance(each, nodes.Tally)):
        if tally.operator == "count of" and isinstance(tally.list, nodes.Name):
            key = tally.list.key
            gaps = {
                count: gap_of(site.compare, moved(facts, {key: counted(facts, tally, Fraction(count))}).as_set)
                for count in range(5)
            }
            at = next((Fraction(count) for count, gap in gaps.items() if gap == 0), None)
            if at is not None:
                trial = Trial(site, case, scope, key, Meeting(at, at), {}, False, tally)
                yield trial if decides(trial) else NotFound(_NOT_DECIDING)


def _trial(site: Site, case: CaseFacts, scope: int, key: str, moves: Moves) -> Trial | NotFound:
    facts = moved(case.scopes[scope], moves)
    start = facts.as_set.value(key)
    assert isinstance(start, Fraction), "keys without a number are not tried"
    found = meeting(lambda value: gap_of(site.compare, moved(facts, {key: value}).as_set), start)
    if found is None:
        return NotFound(_NO_MEETING)
    parts: dict[bool, Trial] = {}
    around = Trial(site, case, scope, key, found, moves, False).around
    besides = (each for value in around for each in _between_rows(site, facts, key, value))
    for beside in itertools.chain(({},), itertools.islice(besides, _MOST_BESIDE)):
        moved_too = {**moves, **beside}
        in_text = is_plain(case) and all(
            _may_stand(case.scopes[scope], each, value) for each, value in {**moved_too, key: found.low}.items()
        )
        trial = Trial(site, case, scope, key, found, moved_too, in_text)
        values = deciding(trial)
        if len(values) == len(around) and len(set(values.values())) == 2:
            return trial
        for truth in set(values.values()):
            only = tuple(value for value, each in values.items() if each == truth)
            if len(only) > len(parts[truth].only if truth in parts else ()):
                parts[truth] = replace(trial, in_text=False, only=only)
    if len(parts) == 2 and {*parts[True].only, *parts[False].only} == {*around}:
        return replace(parts[True], other=parts[False])
    return NotFound(_NOT_DECIDING)


def _may_stand(facts: Facts, key: str, value: Fraction) -> bool:
    standing = stands_at(facts, key)
    return standing is not None and is_plausible(standing, value)


def is_plain(case: CaseFacts) -> bool:
    """Whether everything in a case is fixed: no table, nothing that may be set, no second document."""
    return not case.case.library and all(facts.band is None and not facts.axes for facts in case.scopes)


def decides(trial: Trial) -> bool:
    """Whether the comparison decides at every value, and is not the same at all of them."""
    values = deciding(trial)
    return len(values) == len(trial.around) and len(set(values.values())) == 2


def deciding(trial: Trial) -> dict[Fraction, bool]:
    """The values at which the rule answers one thing where the comparison is true and another where it is false; with
    each, what the comparison is there.
    """
    truths: dict[Fraction, bool] = {}
    for value in trial.around:
        facts = trial.at(value)
        gap = gap_of(trial.site.compare, facts.as_set)
        if gap is None or (gap and value == trial.meeting.exact) or not is_live(trial.site, facts):
            continue
        if must_answer(trial.site, facts, True) != must_answer(trial.site, facts, False):
            truths[value] = truth_of(trial.site.compare, gap)
    return truths


# ---- what may be moved


def keys_of(compare: nodes.Compare, facts: Facts) -> list[str]:
    """The keys that may be moved to make the sides of a comparison meet: those that it names and the document states,
    those that these are worked out from, then those that it names and that are worked out.
    """
    named = sorted(keys_in(compare))
    leaves = sorted(facts.closure(named))
    written = [key for key in (*named, *leaves) if stands_at(facts, key)]
    return list(dict.fromkeys(key for key in (*written, *named, *leaves) if _is_number(facts, key)))


def _is_number(facts: Facts, key: str) -> bool:
    value = facts.as_set.value(key)
    return isinstance(value, Fraction) and not isinstance(value, bool)


def _moves(conditions: Conditions, facts: Facts) -> Iterator[Moves]:
    """A scope in which one key lies elsewhere among the limits that the rule has for it, so that another row counts."""
    for key, limits in _thresholds(conditions).items():
        if _is_number(facts, key):
            ends = sorted(limits)
            middles = [(low + high) / 2 for low, high in itertools.pairwise(ends)]
            for value in (ends[0] / 2, *middles, ends[-1] * Fraction(3, 2)):
                yield {key: rounded(facts, key, value)}


@cache
def _thresholds(conditions: Conditions) -> Mapping[str, frozenset[Fraction]]:
    """By term, the plain numbers that it is compared with."""
    found: dict[str, set[Fraction]] = {}
    for _, root in conditions.roots:
        for each in walk(root):
            if isinstance(each, nodes.Compare):
                for one, other in ((each.left, each.right), (each.right, each.left)):
                    if isinstance(one, nodes.Name) and isinstance(other, nodes.Number):
                        found.setdefault(one.key, set()).add(other.value)
    return {key: frozenset(values) for key, values in found.items()}


def _between_rows(site: Site, facts: Facts, key: str, value: Fraction) -> Iterator[Moves]:
    """What must be moved beside, so that the row which a condition chooses makes the difference: a value between what
    the two rows allow.
    """
    here = moved(facts, {key: value})
    for outer in _outer(site):
        for other in keys_of(outer, here):
            if other != key:
                ends = [_meets(site, outer, here, other, truth) for truth in (True, False)]
                known = [each for each in ends if each is not None]
                apart = len(known) == 2 and known[0] != known[1]
                values = [(known[0] + known[1]) / 2] if apart else [each * by for each in known for by in _BESIDE]
                yield from ({other: rounded(facts, other, each)} for each in values)


_MOST_BESIDE: Final = 20  # of what is moved beside, for one value of one scope
_BESIDE: Final = (Fraction(99, 100), Fraction(101, 100))


def _outer(site: Site) -> Iterable[nodes.Compare]:
    """The other comparisons of the rule, those first that hold this one within them."""
    every = [each for _, root in site.conditions.roots for each in walk(root) if isinstance(each, nodes.Compare)]
    others = [each for each in every if each is not site.compare]
    return sorted(others, key=lambda each: not any(inner is site.compare for inner in walk(each)))


def _meets(site: Site, outer: nodes.Compare, facts: Facts, key: str, truth: bool) -> Fraction | None:
    """Where the sides of another comparison meet while this one is taken for true, or false."""
    settled = with_node(outer, site.compare, TRUTHS[truth])
    assert isinstance(settled, nodes.Compare), "something within it was settled"
    start = facts.as_set.value(key)
    if not isinstance(start, Fraction):
        return None
    found = meeting(lambda value: gap_of(settled, moved(facts, {key: value}).as_set), start)
    return found.low if found is not None else None
