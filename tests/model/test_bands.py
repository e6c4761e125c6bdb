"""Bands: tables cut where any of them begins or ends, and where the document's own facts lie."""

from fractions import Fraction

import pytest

from rxlint.expressions import Missing
from rxlint.model.bands import MAX_BANDS
from rxlint.model.facts import Facts, at_values
from tests.documents import all_facts, in_unit, prescription, told

YEAR = 31_557_600
DAY = 86_400

RATES = ("rate by age", "  1 to 3 years  22 to 30 /min", "  3 to 6 years  20 to 25 /min")


def template(*settings: str, patient: str = "") -> list[Facts]:
    before = f"patient\n  {patient}\n" if patient else ""
    return all_facts(prescription(*settings, kind="template", before=before))


def labels(found: list[Facts]) -> list[str]:
    return [each.band.label if each.band else "none" for each in found]


def ages(each: Facts) -> tuple[object, object]:
    axis = each.axes["patient age"]
    return axis.low / YEAR, axis.high / YEAR


def test_each_row_is_a_band_with_its_key_and_its_value() -> None:
    found = template(*RATES)
    assert labels(found) == ["age 1 year to 3 years", "age 3 years to 6 years"]
    young, old = found
    assert told(young.axes["rate"].low * 60, young.axes["rate"].high * 60) == (22, 30)
    assert told(old.axes["rate"].low * 60, old.axes["rate"].high * 60) == (20, 25)


def test_a_row_s_high_end_is_excluded_but_the_last_one_s() -> None:
    young, old = template(*RATES)
    assert ages(young) == (1, 3 - Fraction(DAY, YEAR))
    assert ages(old) == (3, 6)


def test_open_rows_reach_to_what_is_plausible() -> None:
    found = template("rate by age", "  under 1 years  30 to 40 /min", "  1 years and over  20 to 30 /min")
    assert ages(found[0])[0] == 0
    assert ages(found[1]) == (1, 120)


def test_two_tables_are_cut_at_the_ends_of_both() -> None:
    found = template(*RATES, "inspiratory time by age", "  2 to 4 years  0.8 s", "  4 to 8 years  1 s")
    spans = [(label.removeprefix("age ")) for label in labels(found)]
    assert spans == [
        "1 year to 2 years",
        "2 years to 3 years",
        "3 years to 4 years",
        "4 years to 6 years",
        "6 years",
        "6 years to 8 years",
    ]
    stated = [("rate" in each.axes, "inspiratory time" in each.constants) for each in found]
    assert stated == [(True, False), (True, True), (True, True), (True, True), (True, True), (False, True)]
    assert isinstance(found[0].as_set.value("inspiratory time"), Missing)


def test_tables_by_two_keys_make_every_pair() -> None:
    found = template(*RATES, "PEEP by weight", "  5 to 10 kg  5 cmH2O", "  10 to 20 kg  6 cmH2O")
    assert len(found) == 4
    assert all({"patient age", "patient weight"} <= each.axes.keys() for each in found)
    assert sorted({in_unit(each.as_set.value("PEEP")) for each in found}) == [5, 6]


def test_rows_for_single_values_are_bands_too() -> None:
    found = template("PEEP by age", "  5 years  4 cmH2O", "  6 years  5 cmH2O")
    assert labels(found) == ["age 5 years", "age 6 years"]
    assert [in_unit(each.as_set.value("PEEP")) for each in found] == [4, 5]
    assert [ages(each) for each in found] == [(5, 5), (6, 6)]


@pytest.mark.parametrize(("age", "rate"), [("2 years", 22), ("3 years", 20), ("6 years", 20)])
def test_a_stated_age_picks_its_row(age: str, rate: int) -> None:
    (found,) = template(*RATES, patient=f"age {age}")
    assert found.axes["rate"].low * 60 == rate
    assert "patient age" not in found.axes
    assert in_unit(found.as_set.value("patient age")) % YEAR == 0


def test_an_age_between_the_last_day_of_a_row_and_the_next_row_still_has_its_row() -> None:
    (found,) = template(*RATES, patient="age 1095 days")
    assert found.axes["rate"].low * 60 == 22


def test_a_stated_range_cuts_the_bands() -> None:
    found = template(*RATES, patient="age 2 to 4 years")
    assert [ages(each) for each in found] == [(2, 3 - Fraction(DAY, YEAR)), (3, 4)]
    (one,) = template(*RATES, patient="age 4 to 9 years")
    assert ages(one) == (4, 6)


def test_an_age_no_row_reaches_leaves_the_term_unknown() -> None:
    (found,) = template(*RATES, patient="age 40 years")
    assert found.band is None
    assert found.is_stated("rate")
    assert isinstance(found.as_set.value("rate"), Missing)


def test_an_age_that_cannot_be_read_picks_no_row() -> None:
    (found,) = template(*RATES, patient="age 7")
    assert found.band is None
    assert {"patient age", "rate"} <= found.unreadable


def test_rows_out_of_order_keep_their_values() -> None:
    found = template("rate by age", "  3 to 6 years  20 /min", "  1 to 3 years  25 /min")
    assert [told(ages(each)[0], in_unit(each.as_set.value("rate")) * 60) for each in found] == [(1, 25), (3, 20)]


def test_a_key_that_is_set_and_allowed_keeps_its_set_value_in_its_band() -> None:
    lines = (
        "rate 20 /min allow 15 to 30 /min",
        "inspiratory time by rate",
        "  10 to 25 /min  1 s",
        "  25 to 40 /min  0.8 s",
    )
    slow, fast = template(*lines)
    assert slow.axes["rate"].as_set == Fraction(20, 60)
    assert told(slow.axes["rate"].low * 60, fast.axes["rate"].low * 60, fast.axes["rate"].high * 60) == (15, 25, 30)
    assert fast.axes["rate"].as_set is None


def test_more_bands_than_the_limit_leave_the_terms_unknown() -> None:
    rows = [f"  {first} to {first + 1} days  20 /min" for first in range(1, MAX_BANDS + 2)]
    (found,) = template("rate by age", *rows)
    assert found.band is None and "rate" in found.unreadable
    assert len(template("rate by age", *rows[:-1])) == MAX_BANDS


def test_a_row_that_cannot_be_read_is_no_band() -> None:
    found = template("rate by age", "  1 to 3 years  22", "  3 to 6 years  20 /min")
    assert labels(found) == ["age 3 years to 6 years"]


def test_an_axis_of_a_band_can_be_written() -> None:
    assert [each.axes["patient age"].grid for each in template(*RATES)] == [DAY, DAY]


def test_a_row_for_the_last_value_alone_is_the_last_row() -> None:
    found = template("PEEP by FiO2", "  30 % to 40 %  5 cmH2O", "  40 %  6 cmH2O")
    assert labels(found) == ["FiO2 30 % to 40 %", "FiO2 40 %"]
    assert [in_unit(each.as_set.value("PEEP")) for each in found] == [5, 6]


def test_where_two_rows_hold_nobody_can_tell_the_value() -> None:
    found = template("PEEP by age", "  1 to 4 years  5 cmH2O", "  3 to 6 years  6 cmH2O")
    known = [each.constants.get("PEEP") for each in found]
    assert [value is None for value in known] == [False, True, False]
    assert "PEEP" in found[1].unreadable


def test_a_key_that_is_a_table_itself_is_met_row_by_row() -> None:
    """Nobody from 1 to 3 years weighs 20 kg here, so no band pairs that age with that row."""
    text = prescription(
        "PEEP by weight", "  8 to 14 kg  5 cmH2O", "  14 to 30 kg  6 cmH2O", kind="template",
        before="patient\n  weight by age\n    1 to 3 years  8 to 13 kg\n    3 to 9 years  12 to 30 kg\n",
    )  # fmt: skip
    found = all_facts(text)
    pairs = [(ages(each)[0], told(each.axes["patient weight"].low, each.axes["patient weight"].high)) for each in found]
    assert [(age, low) for age, (low, _) in pairs] == [(1, 8), (3, 12), (3, 14)]
    assert pairs[0][1][1] == 13 and pairs[2][1][1] == 30


STEPPED = "titration\n  raise FiO2 by 5 % every 5 min up to 50 % when SpO2 below 90 %\n"


def test_a_key_that_is_stepped_reaches_the_next_rows() -> None:
    rows = ("  30 % to 40 %  5 cmH2O", "  40 % to 60 %  8 cmH2O")
    here, there = all_facts(prescription("FiO2 35 %", "PEEP by FiO2", *rows, before=STEPPED))
    assert here.band is not None and there.band is not None
    assert (here.band.is_elsewhere, there.band.is_elsewhere) == (False, True)
    assert in_unit(here.as_set.value("FiO2")) == Fraction(35, 100)
    assert here.allowed["FiO2"].high < Fraction(40, 100)
    assert told(there.allowed["FiO2"].low, there.allowed["FiO2"].high) == (Fraction(2, 5), Fraction(1, 2))


def test_facts_are_made_again_where_a_key_has_moved() -> None:
    rows = ("  10 to 16 cmH2O  12 /min", "  16 to 20 cmH2O  20 /min")
    (found,) = all_facts(prescription("EPAP 5 cmH2O", "IPAP 14 cmH2O", "back-up rate by IPAP", *rows))
    moved = at_values(found, {"IPAP": Fraction("18")})
    assert at_values(found, {"IPAP": Fraction("15")}) is found
    assert moved is not None and moved.constants["back-up rate"] == Fraction(20, 60)
    assert at_values(found, {"IPAP": Fraction("21")}) is None
