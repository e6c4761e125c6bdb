"""A part of the limits answers at its very value as its operator says, in each unit; the page tells of all of them.

All of them take minutes: `python -m tests.boundaries`. Which part is tried here changes with the rules, so that no
limit stays untried through many changes.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest

from rxlint.expressions import nodes
from rxlint.units import UNITS, Unit
from tests.boundaries.check import checked
from tests.boundaries.find import Trial, trials_of
from tests.boundaries.page import PAGE, faults_of, line_of, row_of
from tests.boundaries.sites import Numbered, Site, numbers_of, with_node
from tests.boundaries.solve import Meeting, meeting
from tests.boundaries.study import HOW, verdict
from tests.boundaries.trial import truth_of
from tests.boundaries.written import decimal, stands_at, units_for, with_values
from tests.documents import facts, prescription
from tests.literals import pack_names
from tests.slips.harness import digest_of_rules

_PART = 29  # every so many limits are tried
_AGAIN = "the page is stale: run `python -m tests.boundaries`"


@cache
def limits() -> tuple[tuple[str, Numbered], ...]:
    return tuple((name, each) for name in pack_names() for each in numbers_of(name) if each.is_limit)


def page() -> str:
    return PAGE.read_text("utf-8")


def test_a_part_of_the_limits_answers_as_it_must_and_as_the_page_tells() -> None:
    start = int(digest_of_rules(), 16) % _PART
    found = [verdict(name, each) for name, each in limits()[start::_PART]]
    assert len(found) > 25
    assert faults_of(found) == []
    rows = {f"| {row_of(each)[0]} | {row_of(each)[1]} |": each.how for each in found}
    assert {row for row in rows if row in page()} == {row for row, how in rows.items() if how != "two units"}, _AGAIN


def test_the_page_counts_every_limit_and_none_is_wrong() -> None:
    rows = [line.strip("| ").split(" | ") for line in page().splitlines() if line.startswith("| ")]
    counted = {row[0]: list(map(int, row[1:])) for row in rows if row[0] in (*pack_names(), "all")}
    names = [name for name, _ in limits()]
    assert {name: row[0] for name, row in counted.items() if name != "all"} == {
        name: names.count(name) for name in pack_names() if name in names
    }, _AGAIN
    assert all(sum(row[1 : len(HOW) + 1]) == row[0] and row[-1] == 0 for row in counted.values())
    assert counted["all"][1] > 0.8 * counted["all"][0] - counted["all"][4]  # most of what rules read, in two units


def test_a_number_that_is_not_tried_says_why() -> None:
    rows = [line for line in page().splitlines() if line.startswith("| `")]
    assert rows and all(len(line.strip("| ").split(" | ")) == 3 for line in rows)


# ---- the trial itself


def first_trial(name: str) -> tuple[Numbered, Trial]:
    numbered = next(each for each in numbers_of(name) if each.is_limit)
    return numbered, next(each for each in trials_of(name, numbered) if isinstance(each, Trial) and each.in_text)


@pytest.mark.parametrize("operator", ["<=", ">", "=", "!="])
def test_another_operator_than_the_rule_s_is_told(operator: str) -> None:
    """The very trial, with an operator that the pack does not have: the rule's answers are then wrong."""
    numbered, trial = first_trial("monitoring")
    site = trial.site
    other = replace(site.compare, operator=operator)
    assert site.compare.operator == "<"
    conditions = site.conditions
    when = with_node(conditions.when, site.compare, other) if conditions.when is not None else None
    changed = replace(conditions, when=when, require=with_node(conditions.require, site.compare, other))
    wrong = replace(trial, site=Site(changed, site.place, other, site.number))
    assert checked("monitoring", numbered, trial).faults == ()
    told = checked("monitoring", numbered, wrong).faults
    assert any("in floats" in each for each in told) and any("is right for the document" in each for each in told)


def test_a_limit_that_lies_elsewhere_is_told() -> None:
    numbered, trial = first_trial("monitoring")
    assert trial.meeting.exact is not None
    beyond = trial.meeting.exact / 2
    told = checked("monitoring", numbered, replace(trial, meeting=Meeting(beyond, beyond))).faults
    assert any("do not meet" in each for each in told) and any("where the limit is" in each for each in told)


@pytest.mark.parametrize(
    ("operator", "truths"),
    [
        ("<", (True, False, False)),
        ("<=", (True, True, False)),
        (">", (False, False, True)),
        (">=", (False, True, True)),
        ("=", (False, True, False)),
        ("!=", (True, False, True)),
    ],
)
def test_what_an_operator_says_below_at_and_above(operator: str, truths: tuple[bool, ...]) -> None:
    name = nodes.Name("PEEP", "PEEP")
    compare = nodes.Compare(operator, name, name)
    assert tuple(truth_of(compare, Fraction(gap)) for gap in (-1, 0, 1)) == truths


def test_where_two_sides_meet() -> None:
    assert meeting(lambda x: 3 * x - 7, Fraction(5)) == Meeting(Fraction(7, 3), Fraction(7, 3))
    assert meeting(lambda x: 60 / x - 16 if x else None, Fraction(2)) == Meeting(Fraction(15, 4), Fraction(15, 4))
    root = meeting(lambda x: x * x - 2, Fraction(1))
    assert root is not None and root.exact is None
    assert root.low**2 < 2 < root.high**2 and root.high - root.low < Fraction(1, 10**7)
    assert meeting(lambda x: x * x + 1, Fraction(1)) is None
    assert meeting(lambda _: None, Fraction(1)) is None


def test_a_value_is_written_where_it_stands() -> None:
    found = facts(prescription("mode A/C-PC", "PEEP 5 cmH2O", "FiO2 40 %  # as before"))
    assert with_values(found, {"PEEP": ("4.9033", UNITS["mbar"]), "FiO2": ("0.4", units_for_share())}) == (
        'prescription "x"\nsettings\n  mode A/C-PC\n  PEEP 4.9033 mbar\n  FiO2 0.4  # as before\n'
    )
    assert with_values(found, {"rate": ("12", UNITS["/min"])}) is None


def units_for_share() -> Unit:
    standing = stands_at(facts(prescription("FiO2 40 %")), "FiO2")
    assert standing is not None
    return units_for(standing)[1]


def test_an_end_of_a_range_is_moved_with_the_other_in_one_unit() -> None:
    found = facts('prescription "x"\ntargets\n  EtCO2  35 to 45 mmHg\n')
    assert with_values(found, {"target low EtCO2": ("40", UNITS["mmHg"])}) == (
        'prescription "x"\ntargets\n  EtCO2  40 mmHg to 45 mmHg\n'
    )
    both = {"target low EtCO2": ("4", UNITS["kPa"]), "target high EtCO2": ("6", UNITS["kPa"])}
    assert with_values(found, both) == 'prescription "x"\ntargets\n  EtCO2  4 kPa to 6 kPa\n'
    one = facts('prescription "x"\ntargets\n  EtCO2  40 mmHg\n')
    assert stands_at(one, "target low EtCO2") is None  # both ends are that number


def test_decimals() -> None:
    assert [decimal(Fraction(each)) for each in ("0.35", "-2", "20", "0")] == ["0.35", "-2", "20", "0"]
    assert decimal(Fraction(1, 3)) is None


def test_a_row_is_told_in_one_line() -> None:
    assert line_of(("a | b", "c")) == "| a \\| b | c |\n"
