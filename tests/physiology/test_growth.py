"""What the proofs of the growth formulas rest on, and where they refuse."""

from collections.abc import Callable
from itertools import pairwise

import pytest

from rxlint.physiology import OutOfDomain, child_weight, growth
from rxlint.physiology.growth_tables import Measure, Sex, charts, months_of

MONTH = 30.4375 * 86400
YEAR = 12 * MONTH
SEXES: tuple[Sex, ...] = ("male", "female")
RISING: tuple[Measure, ...] = ("weight", "length", "stature")


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("measure", RISING)
def test_medians_rise_with_age(measure: Measure, sex: Sex) -> None:
    chart = charts()[measure, sex]
    assert all(first < second for first, second in pairwise(chart.ages))
    assert all(first.median < second.median for first, second in pairwise(chart.points))


@pytest.mark.parametrize("sex", SEXES)
def test_the_median_of_bmi_falls_and_rises(sex: Sex) -> None:
    medians = [point.median for point in charts()["BMI", sex].points]
    lowest = medians.index(min(medians))
    assert 0 < lowest < len(medians) - 1
    assert all(first >= second for first, second in pairwise(medians[: lowest + 1]))
    assert all(first <= second for first, second in pairwise(medians[lowest:]))


def test_both_ends_of_a_modified_z_score_exist_in_every_row() -> None:
    for chart in charts().values():
        assert all(abs(2 * point.power * point.variation) < 1 for point in chart.points)


def test_between_rows_the_line_is_straight_and_at_the_rows_it_is_theirs() -> None:
    chart = charts()["weight", "female"]
    for age, point in zip(chart.ages, chart.points, strict=True):
        assert chart.at(age).median == pytest.approx(point.median, rel=1e-15)
    first, second = chart.at(30.5), chart.at(31.5)
    assert chart.at(31.0).median == pytest.approx((first.median + second.median) / 2)
    assert chart.at(30.75).variation == pytest.approx(0.75 * first.variation + 0.25 * second.variation)


@pytest.mark.parametrize("function", [child_weight.height_age_weight_male, child_weight.height_age_weight_female])
def test_the_weight_of_a_height_age_steps_up_from_the_length_to_the_stature_chart(
    function: Callable[[float], float],
) -> None:
    sex: Sex = "male" if function is child_weight.height_age_weight_male else "female"
    seam = charts()["stature", sex].points[0].median
    below, at, above = function(seam - 1e-9), function(seam), function(seam + 1e-9)
    assert below < at <= above
    assert at == charts()["weight", sex].at(24).median
    assert at - below < 0.2
    for outside in (charts()["length", sex].points[0].median - 0.01, charts()["stature", sex].points[-1].median + 0.01):
        with pytest.raises(OutOfDomain, match="is the median of no age"):
            function(outside)


def test_length_below_24_months_and_stature_from_then_on() -> None:
    length, stature = charts()["length", "male"], charts()["stature", "male"]
    before = 23.99
    assert growth.height_z_male(length.at(before).median, before * MONTH) == pytest.approx(0, abs=1e-9)
    assert growth.height_z_male(stature.at(24).median, 24 * MONTH) == pytest.approx(0, abs=1e-9)


def test_ages_outside_the_reference_are_refused() -> None:
    assert months_of(20 * YEAR) == 240
    with pytest.raises(OutOfDomain, match="ends at 20 years"):
        growth.weight_z_male(70, 20.01 * YEAR)
    with pytest.raises(OutOfDomain, match="begins at 24 months"):
        growth.bmi_z_female(10, 75, 23.9 * MONTH)
    for function, years in (
        (child_weight.emergency_weight, 13.0),
        (child_weight.emergency_weight, 0.05),
        (child_weight.older_emergency_weight, 0.95),
        (child_weight.older_emergency_weight, 11.0),
    ):
        with pytest.raises(OutOfDomain, match="emergency estimate is for"):
            function(years * YEAR)


def test_a_centile_that_no_weight_has_is_refused() -> None:
    with pytest.raises(OutOfDomain, match="no value has a z-score"):
        child_weight.same_centile_weight_male(200, 8 * YEAR)
