"""What rules answer whatever the numbers are, worked out once for all documents that state the same terms.

A scope's *shape* is what it states but for its numbers: which terms, which words and items, what is unreadable or off.
Of most rules that settles the answer - they do not apply, or lack something. A plan holds those answers and names the
rules that must be asked in earnest, with the formulas that these need. It changes nothing but the time: a rule whose
answer might depend on anything else is asked.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Final

from rxlint.expressions import AtPoint, Words, at_point, keys_in
from rxlint.expressions.certain import LACKING, OPEN, Certainty, Known, Some, bits_of, certain
from rxlint.model.facts import Facts
from rxlint.screening.answers import is_beyond
from rxlint.screening.finding import Outcome, Row, summarise
from rxlint.screening.ruleset import Prepared, RuleSet

_MOST_PLANS: Final = 500
_MOST_STEPS: Final = 20_000
_MOST_ROWS: Final = 50  # of one step
_SMALL: Final = Some(160)  # bits: whatever a person writes as a number
NOT_MODELLED: Final = "the mode is known, but not modelled"
Where = tuple[str | None, str | None]
"""A period and the label of a band, as a row of coverage has them."""


@dataclass(frozen=True, slots=True)
class Step:
    """A rule in its turn: what it answers in every scope of the shape, or None where it must be asked; ``varies`` where
    it must be asked of more than the values as set.

    ``rows`` remembers those that it has written, by outcome and where. Plans share their steps, and these their rows.
    """

    prepared: Prepared
    settled: AtPoint | None
    lacks: tuple[str, ...] = ()
    varies: bool = False
    rows: dict[tuple[Outcome, Where], Row] = field(default_factory=dict, compare=False)

    def settled_row(self, where: Where) -> Row:
        """The row of the settled answer."""
        assert self.settled is not None
        return self._row(self.settled.outcome, where, self.lacks, self.settled.reasons)

    def plain_row(self, outcome: Outcome, where: Where) -> Row:
        """A row that says an outcome and nothing else."""
        return self._row(outcome, where, (), ())

    def _row(self, outcome: Outcome, where: Where, lacks: tuple[str, ...], reasons: tuple[str, ...]) -> Row:
        known = self.rows.get((outcome, where))
        if known is None:
            if len(self.rows) >= _MOST_ROWS:
                self.rows.clear()
            known = self.rows[outcome, where] = Row(self.prepared.rule.id, outcome, lacks, reasons, *where)
        return known


@dataclass(slots=True)
class Plan:
    """The steps of a shape, and the formulas that the rules to be asked need, in an order to work them out."""

    steps: tuple[Step, ...]
    needed: tuple[str, ...]
    _split: dict[Where, tuple[tuple[Row, ...], tuple[tuple[Step, Row | None], ...]]] = field(default_factory=dict)

    @property
    def asked(self) -> tuple[Prepared, ...]:
        """The rules that must be asked."""
        return tuple(step.prepared for step in self.steps if step.settled is None)

    def split(self, where: Where) -> tuple[tuple[Row, ...], tuple[tuple[Step, Row | None], ...]]:
        """One row for each rule that is settled in all of its parts; and the steps of the other rules in their order,
        each with its row, or with None where it must be asked.
        """
        known = self._split.get(where)
        if known is None:
            if len(self._split) >= _MOST_ROWS:
                self._split.clear()
            known = self._split[where] = self._divided(where)
        return known

    def _divided(self, where: Where) -> tuple[tuple[Row, ...], tuple[tuple[Step, Row | None], ...]]:
        open_rules = {step.prepared.rule.id for step in self.steps if step.settled is None}
        settled: dict[str, list[Row]] = {}
        others: list[tuple[Step, Row | None]] = []
        for step in self.steps:
            row = step.settled_row(where) if step.settled is not None else None
            if row is not None and row.rule not in open_rules:
                settled.setdefault(row.rule, []).append(row)
            else:
                others.append((step, row))
        return summarise(settled, tuple(settled)).rules, tuple(others)


def plan_of(facts: Facts, rules: RuleSet, has_readings: bool) -> Plan | None:
    """The plan of a scope; None where a line could not be told, for then absence proves nothing."""
    if facts.scope.unsure:
        return None
    shape = _shape(facts), has_readings
    known = rules.plans.get(shape)
    if known is None:
        if len(rules.plans) >= _MOST_PLANS:
            rules.plans.clear()  # in one step: other threads may ask at the same time
        known = rules.plans[shape] = _made(facts, rules, has_readings)
    assert isinstance(known, Plan)
    return known


def may_break(facts: Facts, rules: RuleSet) -> Sequence[Prepared]:
    """The rules that other numbers in the same lines may break; in a scope without a plan, all of them."""
    plan = plan_of(facts, rules, bool(facts.document.blocks_of("readings")))
    return plan.asked if plan is not None else rules.rules


def _shape(facts: Facts) -> Hashable:
    scope = facts.scope
    return (
        frozenset((key, _mark(value)) for key, value in facts.constants.items()),
        frozenset(facts.axes),
        frozenset(facts.allowed),
        _ties(facts) if facts.allowed else facts.own,
        frozenset(facts.written),
        facts.unreadable,
        facts.off,
        frozenset(scope.by_key),
        facts.mode.code if facts.mode is not None else None,
        facts.band is None,
        facts.band is not None and facts.band.is_elsewhere,
        scope.readings is not None,
    )


def _ties(facts: Facts) -> Hashable:
    """What the formulas that the document brings read: they tell which rules come to read what may vary."""
    formulas = ((key, each[key]) for each in (facts.formulas, facts.written) for key in facts.own if key in each)
    return frozenset((key, keys_in(node)) for key, node in formulas)


def _mark(value: Any) -> Hashable:
    """All that a plan knows of a value."""
    if isinstance(value, Fraction):
        return _SMALL if bits_of(value) <= _SMALL.bits else OPEN
    if isinstance(value, Words | bool):
        return value
    if isinstance(value, tuple):
        return tuple(item.name for item in value)
    return OPEN


def _made(facts: Facts, rules: RuleSet, has_readings: bool) -> Plan:
    given = _Shape(facts)
    elsewhere = facts.band is not None and facts.band.is_elsewhere
    steps: list[Step] = []
    asked: set[str] = set()
    for prepared in rules.rules:
        if prepared.uses_readings == given.is_of_readings or (not given.is_of_readings and not has_readings):
            varies = elsewhere or _reads_any(facts, prepared.names_used, facts.allowed.keys())
            settled = _settled(prepared, facts, given, varies)
            lacks = tuple(sorted(facts.lacks(settled.missing))) if settled is not None else ()
            steps.append(_shared(Step(prepared, settled, lacks, varies), rules))
            if settled is None:
                asked |= prepared.names_used
    return Plan(tuple(steps), needed_by(asked, facts, rules))


def _shared(step: Step, rules: RuleSet) -> Step:
    """The same step, as another plan may have it already."""
    key = id(step.prepared), step.settled, step.lacks, step.varies
    if len(rules.steps) >= _MOST_STEPS:
        rules.steps.clear()
    known = rules.steps.setdefault(key, step)
    assert isinstance(known, Step)
    return known


def _reads_any(facts: Facts, names: frozenset[str], keys: AbstractSet[str]) -> bool:
    return bool(keys) and not keys.isdisjoint(facts.closure(names))


def _settled(prepared: Prepared, facts: Facts, given: _Shape, varies: bool) -> AtPoint | None:
    """What a rule answers for every document of the shape; None where that can't be told, or is a finding."""
    rule = prepared.rule
    assert rule.require is not None
    if is_beyond(prepared, facts):
        return AtPoint("not checked", reasons=(NOT_MODELLED,))
    applies = certain(rule.when, given) if rule.when is not None else True
    if applies is False:
        return AtPoint("does not apply")
    if varies or applies not in (True, LACKING):
        return None
    holds = certain(rule.require, given)
    if holds is True or holds is LACKING or (applies is LACKING and holds is False):
        return at_point(rule.when, rule.require, facts.as_set)
    return None


def needed_by(names: Iterable[str], facts: Facts, rules: RuleSet) -> tuple[str, ...]:
    """The formulas that names come to, those that documents bring before those of the rules that read them."""
    seen: set[str] = set()
    waiting = list(names)
    while waiting:
        key = waiting.pop()
        if key not in seen:
            seen.add(key)
            waiting += keys_in(facts.formulas[key]) if key in facts.formulas else ()
    own = [key for key in facts.own if key in seen and key in rules.slots]
    others = (key for key in facts.formulas if key in seen and key not in facts.own and key in rules.slots)
    return (*own, *others)


class _Shape:
    """What all documents of a shape have in common, read off one of them."""

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self._known: dict[str, Known] = {}
        self._own = facts.own | facts.written.keys()
        self.is_of_readings = facts.scope.readings is not None

    def is_stated(self, key: str) -> bool:
        """Whether every document of the shape states it."""
        return self._facts.is_stated(key)

    def known(self, key: str) -> Known:
        """What is known of its value."""
        if key not in self._known:
            self._known[key] = OPEN  # one that is defined by itself
            self._known[key] = self._find(key)
        return self._known[key]

    def _find(self, key: str) -> Known:
        facts = self._facts
        if key in facts.allowed or key in facts.axes or key in self._own:
            return OPEN
        if key in facts.constants:
            value = facts.constants[key]
            mark = _mark(value)
            if isinstance(mark, Some | Certainty):
                return mark
            assert isinstance(value, Words | bool | tuple)
            return value
        if key in facts.formulas:
            return certain(facts.formulas[key], self)
        return LACKING
