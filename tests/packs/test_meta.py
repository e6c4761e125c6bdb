"""What every built-in rule owes its reader, beyond `test_rules.py`: numbers tried out, messages in units, a page."""

import re
from collections.abc import Iterable, Iterator
from typing import Final

import pytest

from rxlint.expressions import NumberType, check, walk
from rxlint.expressions.nodes import Compare
from rxlint.packs import BASES, Case, Rule, Slot
from rxlint.reports.rule_page import rule_page
from rxlint.units import find_unit, without_basis
from tests.packs.cases import PACK_OF, RULES

each_rule = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
AMOUNT = re.compile(r"(?<![\w.])\d+(?:\.\d+)? (?:(?:to|and) \d+(?:\.\d+)? )?([^\s;,]+)")
NUMBER = re.compile(r"\d+(?:\.\d+)?")


def parts(rule: Rule) -> tuple[Rule, ...]:
    return rule.parts or (rule,)


def measures(rule: Rule) -> bool:
    """Whether the rule compares measured amounts, not counts or words: only then it has a boundary and units."""
    names = PACK_OF[rule.id].names
    compared = [
        check(side, names).type
        for part in parts(rule)
        if part.require is not None
        for node in walk(part.require)
        if isinstance(node, Compare)
        for side in (node.left, node.right)
    ]
    return any(isinstance(each, NumberType) and any(without_basis(each.dimension).exponents) for each in compared)


def facts(case: Case) -> frozenset[str]:
    lines = re.split(r"[;\n]", case.text)
    return frozenset(line.strip() for line in lines if line.strip())


def units_by_dimension(cases: Iterable[Case]) -> Iterator[set[str]]:
    """The units in which the cases write amounts, those of one dimension together."""
    found: dict[object, set[str]] = {}
    for case in cases:
        for text in AMOUNT.findall(case.text):
            unit = find_unit(text)
            if unit is not None:
                found.setdefault(unit.dimension, set()).add(unit.symbol)
    yield from found.values()


def turns_on_a_number(rule: Rule) -> bool:
    """Whether a case in which it fires and one in which it holds differ in the numbers of one fact, and in nothing."""
    firing, holding = ([facts(case) for case in rule.cases if case.kind == kind] for kind in ("fires", "holds"))
    return any(in_one_number(fires - holds, holds - fires) for fires in firing for holds in holding)


def in_one_number(one: frozenset[str], other: frozenset[str]) -> bool:
    """Whether what only one side states is one fact, and differs from the other side's in its numbers alone."""
    if len(one) != 1 or len(other) != 1:
        return False
    return NUMBER.sub("#", next(iter(one))) == NUMBER.sub("#", next(iter(other)))


MEASURING = [rule for rule in RULES if measures(rule)]
each_measuring = pytest.mark.parametrize("rule", MEASURING, ids=lambda rule: rule.id)

# Rules whose cases differ in more than the number of one fact, or where the fact turns by a word: for these a reader
# has to look whether the boundary is there. A rule that has such cases may not stand here.
WITHOUT_BOUNDARY: Final = frozenset({
    "pressure.stated-twice", "pressure.zero-support", "volume.predicted-weight-child",
    "airway.cuff-contradiction", "alarms.decannulation", "humidity.exchanger-small-child",
    "oxygen.supply-margin", "patient.height-weight-swapped", "patient.height-in-inches",
    "patient.hours-unaided", "reading.pressure-outside-target", "weaning.shrinks", "weaning.not-ready",
})  # fmt: skip
# Rules that compare dates, which have no unit, and one that compares hours a day with a whole day.
WITHOUT_OTHER_UNIT: Final = frozenset({
    "governance.review-due", "governance.expired", "governance.review-far", "governance.dates-order",
    "governance.check-at-once", "governance.check-late", "reading.ahead", "reading.stale",
    "patient.no-breath-off-ventilator",
})  # fmt: skip


@each_rule
def test_a_rule_has_a_basis_and_a_source(rule: Rule) -> None:
    assert rule.basis in BASES
    assert re.search(r"[A-Za-z]{3}", rule.source)


def test_rules_that_measure_are_known() -> None:
    ids = {rule.id for rule in MEASURING}
    assert {"pressure.peak-high", "oxygen.supply", "timing.rate-for-age"} <= ids
    assert not {"governance.identity", "circuit.order", "notation.unit-missing"} & ids


@each_measuring
def test_two_cases_show_where_a_rule_that_measures_turns(rule: Rule) -> None:
    assert turns_on_a_number(rule) != (rule.id in WITHOUT_BOUNDARY)


@each_measuring
def test_a_rule_that_measures_is_tried_in_another_unit(rule: Rule) -> None:
    several = any(len(units) > 1 for units in units_by_dimension(rule.cases))
    assert several != (rule.id in WITHOUT_OTHER_UNIT)


def test_what_is_no_boundary_is_seen() -> None:
    one, other, third = (frozenset({text}) for text in ("PEEP 9 cmH2O", "PEEP 8 cmH2O", "EPAP 8 cmH2O"))
    assert in_one_number(one, other)
    assert not in_one_number(one, third)
    assert not in_one_number(one | third, other)


@each_rule
def test_each_slot_of_a_message_is_told_in_a_unit_that_measures_it(rule: Rule) -> None:
    names = PACK_OF[rule.id].names
    for slot in (each for part in parts(rule) for each in part.say.parts if isinstance(each, Slot)):
        if slot.node is None:
            continue
        checked = check(slot.node, names)
        assert checked.errors == ()
        if slot.unit is not None:
            assert isinstance(checked.type, NumberType)
            assert without_basis(checked.type.dimension) == slot.unit.dimension


@each_rule
def test_a_rule_has_a_page(rule: Rule) -> None:
    lines = list(rule_page(rule))
    assert lines[0] == f"{rule.id}: {rule.title}"
    text = " ".join(" ".join(lines).split())
    for told in (rule.because, rule.source):
        assert " ".join(told.split()) in text
    assert sum(line.lstrip().startswith(("fires", "holds", "silent")) for line in lines) >= len(rule.cases)
