"""Sizes and ages of bodies, each against a value that its source prints; nothing here is worked by hand."""

import datetime

import pytest

from rxlint.physiology import OutOfDomain, body, child_weight, growth
from rxlint.physiology.growth_tables import charts, modified_z_score, value_at
from rxlint.units import UNITS

INCH = UNITS["in"].scale
DAY = 86400
MONTH = 365.25 / 12 * DAY


@pytest.mark.published("ARDS Network chart of predicted body weight: its lowest row is 55 in, 34.0 kg (from memory)")
def test_the_chart_of_predicted_weight_begins_at_55_inches() -> None:
    assert body.predicted_weight_female(55 * INCH) == pytest.approx(34.0, abs=0.1)  # the chart is of the inch form
    for weight in (body.predicted_weight_male, body.predicted_weight_female):
        with pytest.raises(OutOfDomain, match="adult stature"):
            weight(54 * INCH)


@pytest.mark.published("kids.guinnessworldrecords.com: the tallest person ever measured 2.72 m")
def test_nobody_was_taller_than_the_record() -> None:
    for weight in (body.predicted_weight_male, body.predicted_weight_female):
        assert weight(272) > 0
        with pytest.raises(OutOfDomain, match="nobody is"):
            weight(273)


# novacalculator.com: 6 months 7 kg, 3 years 14 kg. proreckoner.com: 6 years 25 kg. onlinemedicaltools.com: 10 kg at
# 1 year, 18 kg at 5 and 25 kg at 6; 5 years last until the sixth birthday.
@pytest.mark.published(
    "worked examples of novacalculator.com, proreckoner.com and onlinemedicaltools.com, paediatric weight"
)
@pytest.mark.parametrize(("months", "weight"), [(6, 7), (12, 10), (36, 14), (60, 18), (71, 18), (72, 25)])
def test_emergency_weights_of_worked_examples(months: int, weight: float) -> None:
    assert child_weight.emergency_weight((months + 0.01) * MONTH) == weight


# 0.5 x months + 4, 2 x years + 8 for 1 to 5 years, 3 x years + 7 for 6 to 12 years.
@pytest.mark.published(
    "coefficients of the printed formula: Marikar D, BMJ Innov 2015, doi 10.1136/bmjinnov-2015-000059"
)
@pytest.mark.parametrize(
    ("first", "last", "step", "slope", "at_zero"), [(1, 11, 1, 0.5, 4), (12, 60, 12, 2, 8), (72, 144, 12, 3, 7)]
)
def test_coefficients_of_the_emergency_weight(first: int, last: int, step: int, slope: float, at_zero: float) -> None:
    low, high = (child_weight.emergency_weight((months + 0.01) * MONTH) for months in (first, last))
    count = last // step - first // step
    assert (high - low) / count == pytest.approx(slope)
    assert low - slope * (first // step) == pytest.approx(at_zero)


@pytest.mark.published(
    "aihaoyisheng.com and clincalcpro.com, paediatric weight: the formula of years is for 6 to 12 years"
)
def test_the_emergency_weight_ends_with_the_twelfth_year() -> None:
    assert child_weight.emergency_weight((12 * 12 + 0.01) * MONTH) > 0
    with pytest.raises(OutOfDomain, match="1 month to 12 years"):
        child_weight.emergency_weight((13 * 12 + 0.01) * MONTH)


@pytest.mark.published("novacalculator.com, example of a child of 3 years: (3 + 4) x 2 = 14 kg")
def test_the_older_emergency_weight_of_a_worked_example() -> None:
    assert child_weight.older_emergency_weight((36 + 0.01) * MONTH) == 14


# 2 x (years + 4) for 1 to 10 years.
@pytest.mark.published(
    "coefficients and ages of the printed formula: Luscombe MD et al., Emerg Med J 2011;28:590-3 (ages in a digest)"
)
def test_coefficients_and_ages_of_the_older_emergency_weight() -> None:
    first, last = (child_weight.older_emergency_weight((12 * years + 0.01) * MONTH) for years in (1, 10))
    assert (last - first) / 9 == 2
    assert first / 2 - 1 == 4
    with pytest.raises(OutOfDomain, match="1 to 10 years"):
        child_weight.older_emergency_weight((11 * 12 + 0.01) * MONTH)


# The row of 240 months has the medians 176.8492322 cm and 163.338251 cm. By the calendar, 20 years are 7305 days.
@pytest.mark.published("2000 CDC growth charts, data file STATAGE, row of 240 months: medians as printed")
def test_the_reference_ends_on_the_twentieth_birthday() -> None:
    lived = (datetime.date(2020, 1, 1) - datetime.date(2000, 1, 1)).total_seconds()
    assert growth.height_z_male(176.8492322, lived) == pytest.approx(0, abs=1e-4)
    assert growth.height_z_female(163.338251, lived) == pytest.approx(0, abs=1e-4)
    with pytest.raises(OutOfDomain, match="ends at 20 years"):
        growth.height_z_male(170, lived + DAY)


# The row of 96.5 months has the medians 15.78231007 and 15.82699517 kg/m2; for a child of 1 m that is the weight in kg.
@pytest.mark.published("2000 CDC growth charts, data file BMIAGEREV, row of 96.5 months: medians as printed")
def test_the_weight_of_the_median_bmi_at_a_metre_is_the_median() -> None:
    assert child_weight.median_bmi_weight_male(100, 96.5 * MONTH) == pytest.approx(15.78231007)
    assert child_weight.median_bmi_weight_female(100, 96.5 * MONTH) == pytest.approx(15.82699517)


@pytest.mark.published(
    "Centers for Disease Control and Prevention, modified z-scores: half the distance to z = 2 or -2 is 1"
)
@pytest.mark.parametrize("z", [2, -2])
def test_the_unit_of_a_modified_z_score(z: int) -> None:
    for chart in charts().values():
        point = chart.points[0]
        assert modified_z_score(point, value_at(point, z)) == pytest.approx(z)
