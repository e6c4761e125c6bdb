"""Where a domain or a class ends, the end itself; and what is refused beside the arguments of a registered formula."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from rxlint.physiology import (
    FORMULAS,
    Formula,
    OutOfDomain,
    child_weight,
    cylinders,
    enclose,
    growth,
    oxygenation,
    power,
    pressures,
    severity,
)
from rxlint.physiology.growth_tables import Point, Sex, charts, value_at, z_score
from rxlint.units import NUMBER

MONTH = 30.4375 * 86400
HEIGHT_AGE: tuple[tuple[Callable[[float], float], Sex], ...] = (
    (child_weight.height_age_weight_male, "male"),
    (child_weight.height_age_weight_female, "female"),
)


@pytest.mark.parametrize(("function", "sex"), HEIGHT_AGE)
def test_the_first_and_the_last_median_height_still_have_a_weight(function: Callable[[float], float], sex: Sex) -> None:
    weight, length, stature = (charts()[measure, sex] for measure in ("weight", "length", "stature"))
    for height, months in (
        (length.points[0].median, length.ages[0]),
        (stature.points[-1].median, stature.ages[-1]),
        (length.at(6.5).median, 6.5),
        (stature.at(60.5).median, 60.5),
    ):
        assert function(height) == pytest.approx(weight.at(months).median, rel=1e-12)


def test_a_median_at_either_end_of_a_chart_has_the_age_of_that_end() -> None:
    chart = charts()["stature", "female"]
    assert chart.age_of_median(chart.points[0].median) == chart.ages[0]
    assert chart.age_of_median(chart.points[-1].median) == pytest.approx(chart.ages[-1], rel=1e-12)


def test_bmi_begins_at_24_months_to_the_second() -> None:
    median = charts()["BMI", "male"].at(24).median
    assert growth.bmi_z_male(median * 0.85**2, 85, 24 * MONTH) == pytest.approx(0, abs=1e-9)


def test_where_the_power_is_zero_the_logarithm_is_normal() -> None:
    point = Point(0.0, 20.0, 0.1)  # z = ln(X / M) / S: Cole TJ, Green PJ, Stat Med 1992;11:1305-19
    assert z_score(point, 20 * 2.718281828459045) == pytest.approx(10)
    assert value_at(point, 10) == pytest.approx(20 * 2.718281828459045)
    assert value_at(point, -10) == pytest.approx(20 / 2.718281828459045)


def test_a_z_score_at_which_the_value_would_be_nothing_is_refused() -> None:
    point = Point(1.0, 20.0, 0.1)
    assert value_at(point, -9.5) == pytest.approx(1)
    with pytest.raises(OutOfDomain, match="no value has a z-score of -10"):
        value_at(point, -10)


def test_a_formula_with_as_many_directions_as_arguments_is_taken() -> None:
    assert Formula("x", (("p", NUMBER),), NUMBER, abs, "", "", "derived", (None,)).directions == (None,)


@pytest.mark.parametrize(("low", "high", "bottom", "top"), [(0.25, 2.0, 0.5, 4.0), (2.0, 8.0, 0.125, 0.5)])
def test_bounds_leave_room_for_rounding_on_both_sides(low: float, high: float, bottom: float, top: float) -> None:
    found = enclose(FORMULAS["cycle time"], [low], [high])
    assert found is not None
    for end, margin in ((bottom, bottom - found[0]), (top, found[1] - top)):
        assert 0.9e-12 * top < margin < 1e-9 * end


def test_what_stands_in_the_wrong_order_or_below_zero_is_refused() -> None:
    with pytest.raises(OutOfDomain, match=r"PEEP \(8\) must not be above plateau \(5\)"):
        power.vc_power_from_pressures(0.3, 400, 30, 5, 8)
    assert power.vc_power_from_pressures(0.5, 400, 30, 8, 8) == 6000
    with pytest.raises(OutOfDomain, match=r"total PEEP \(12\) must not be above plateau \(10\)"):
        pressures.driving_pressure(10, 12)
    assert pressures.driving_pressure(10, 10) == 0
    with pytest.raises(OutOfDomain, match="time must not be negative"):
        cylinders.whole_minutes(-1)


def test_an_energy_that_vanishes_is_refused() -> None:
    with pytest.raises(OutOfDomain, match="too small for this pressure"):
        power.pc_power_with_rise_time(0.3, 5e-324, 0.1, 0, 50, 0.01, 0)


def test_no_class_for_impossible_numbers() -> None:
    for ratio, peep in ((0.0, 5.0), (-100.0, 5.0), (100.0, -1.0)):
        with pytest.raises(OutOfDomain, match=r"must (be above zero|not be negative)"):
            severity.berlin_class(ratio, peep)
    for function in (
        severity.first_paediatric_class,
        severity.first_paediatric_class_by_saturation,
        severity.second_paediatric_class,
        severity.second_paediatric_class_by_saturation,
    ):
        with pytest.raises(OutOfDomain, match="index must be above zero"):
            function(0.0)


def test_a_value_within_rounding_of_a_boundary_counts_as_on_it() -> None:
    least = 1 - 1e-9
    assert severity.berlin_class(150 * oxygenation.MMHG, 5.0 * least) == "moderate"
    with pytest.raises(OutOfDomain, match="5 cmH2O or more"):
        severity.berlin_class(150 * oxygenation.MMHG, 5.0 * (1 - 2e-9))
    assert severity.first_paediatric_class(16 * least) == "severe"
    assert severity.first_paediatric_class(16 * (1 - 2e-9)) == "moderate"
    assert severity.second_paediatric_class_by_saturation(5 * least) == "mild to moderate"
    assert severity.second_paediatric_class_by_saturation(5 * (1 - 2e-9)) == "none"


@pytest.mark.parametrize("top", [100, 200, 300])
def test_the_last_ratio_that_counts_as_on_a_boundary(top: int) -> None:
    limit = top * (1 + 1e-9)
    ratio = limit * oxygenation.MMHG
    tried = (ratio, math.nextafter(ratio, 0), math.nextafter(ratio, math.inf))
    on_it = [each for each in tried if each / oxygenation.MMHG == limit]
    assert on_it
    names = ("severe", "moderate", "mild", "none")
    assert severity.berlin_class(on_it[0], 5) == names[top // 100 - 1]
    assert severity.berlin_class(ratio * (1 + 1e-12), 5) == names[top // 100]


def test_a_formula_for_a_sex_has_the_function_of_that_sex() -> None:
    for sex in ("male", "female"):
        named = [formula for name, formula in FORMULAS.items() if name.endswith(f", {sex}")]
        assert len(named) >= 8
        assert all(formula.function.__name__.endswith(f"_{sex}") for formula in named)


def test_no_oxygen_at_all_in_the_alveoli_is_refused() -> None:
    barometric = 1000.0
    inspired = barometric - oxygenation.BODY_VAPOUR
    with pytest.raises(OutOfDomain, match="no oxygen is left"):
        oxygenation.alveolar_oxygen(1.0, barometric, inspired, 1.0)
    assert oxygenation.alveolar_oxygen(1.0, barometric, inspired - 1, 1.0) == pytest.approx(1)
