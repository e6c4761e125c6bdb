"""Growth: against printed percentiles, worked examples of the reference's makers, and other packages' tables."""

import csv
import gzip
import importlib.util
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest
from scipy.special import boxcox

from rxlint.physiology import OutOfDomain, child_weight, growth
from rxlint.physiology.growth_tables import Measure, Point, Sex, charts, modified_z_score, value_at, z_score

MONTH = 30.4375 * 86400
THIRD = NormalDist().inv_cdf(0.03)
PERCENTILES = Path(__file__).with_name("cdc2000_percentiles.csv")
MEASURES: tuple[Measure, ...] = ("weight", "length", "stature", "BMI")
SEXES: tuple[Sex, ...] = ("male", "female")
CHARTS = [(measure, sex) for measure in MEASURES for sex in SEXES]


def printed(measure: str, sex: str) -> list[tuple[float, float, float, float]]:
    """Age, 3rd, 50th and 97th percentile of every row of a chart, copied from the files named in the CSV's heading."""
    with PERCENTILES.open(encoding="utf-8", newline="") as lines:
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        return [
            (float(row["age"]), float(row["P3"]), float(row["P50"]), float(row["P97"]))
            for row in rows
            if row["chart"] == measure and row["sex"] == sex
        ]


@pytest.mark.published(
    "2000 CDC growth charts, data files WTAGEINF, LENAGEINF, WTAGE, STATAGE and BMIAGEREV: percentiles as printed"
)
@pytest.mark.parametrize(("measure", "sex"), CHARTS)
def test_every_row_gives_the_printed_percentiles(measure: Measure, sex: Sex) -> None:
    rows = printed(measure, sex)
    assert len(rows) == {"weight": 243, "length": 26, "stature": 218, "BMI": 218}[measure]
    assert tuple(row[0] for row in rows) == charts()[measure, sex].ages
    for age, third, median, ninety_seventh in rows:
        point = charts()[measure, sex].at(age)
        for z, percentile in ((THIRD, third), (0.0, median), (-THIRD, ninety_seventh)):
            assert value_at(point, z) == pytest.approx(percentile, rel=1e-6)
            assert z_score(point, percentile) == pytest.approx(z, abs=1e-5)


@pytest.mark.published(
    "Centers for Disease Control and Prevention, growth charts data files: worked example of a boy of 9 months"
)
def test_worked_example_of_the_reference() -> None:
    # Centers for Disease Control and Prevention, growth charts data files: a boy of 9 months, by the row for 9.5
    # months, has L -0.1600954, M 9.476500305, S 0.11218624; the 5th percentile is 7.90 kg; 9.7 kg is z 0.207, at the
    # 58th percentile.
    point = charts()["weight", "male"].at(9.5)
    assert (point.power, point.median, point.variation) == (-0.1600954, 9.476500305, 0.11218624)
    assert value_at(point, -1.645) == pytest.approx(7.90, abs=0.005)
    z = growth.weight_z_male(9.7, 9.5 * MONTH)
    assert z == pytest.approx(0.207, abs=0.0005)
    assert 100 * NormalDist().cdf(z) == pytest.approx(58, abs=0.5)


@pytest.mark.published(
    "Centers for Disease Control and Prevention, modified z-scores in the CDC growth charts, as told at pedinfo.org"
)
def test_modified_z_score_of_the_reference() -> None:
    # Centers for Disease Control and Prevention, modified z-scores in the CDC growth charts, as told at pedinfo.org:
    # for a boy of 48.5 months the mean BMI is 15.62, the value at z = -2 is 13.74, a BMI of 12 has modified z -3.85.
    age = 48.5
    point = charts()["BMI", "male"].at(age)
    assert point.median == pytest.approx(15.62, abs=0.01)  # printed without its third decimal, which is 8
    assert value_at(point, -2) == pytest.approx(13.74, abs=0.005)
    assert modified_z_score(point, 12) == pytest.approx(-3.85, abs=0.02)  # from the rounded values: -3.62 / 0.94
    assert growth.bmi_modified_z_male(12, 100, age * MONTH) == pytest.approx(-3.85, abs=0.02)
    # By the definition told there the distance to the values at z = 2 and -2 counts as 2.
    assert modified_z_score(point, value_at(point, 2)) == pytest.approx(2)
    assert modified_z_score(point, value_at(point, -2)) == pytest.approx(-2)


@pytest.mark.parametrize(
    ("point", "values"), [(charts()[key].at(age), (0.5, 0.9, 1.1, 2.0)) for key in CHARTS for age in (24.2, 24.4)]
)
def test_z_scores_agree_with_an_independent_transformation(point: Point, values: tuple[float, ...]) -> None:
    for value in values:
        assert z_score(point, value * point.median) == pytest.approx(boxcox(value, point.power) / point.variation)


@pytest.mark.published("2000 CDC growth charts, data files LENAGEINF and STATAGE: medians as printed")
@pytest.mark.parametrize(("sex", "height_z"), [("male", growth.height_z_male), ("female", growth.height_z_female)])
def test_the_length_chart_ends_and_the_stature_chart_begins_at_24_months(
    sex: str, height_z: Callable[[float, float], float]
) -> None:
    """As the files say: LENAGEINF is for lying children, STATAGE for standing ones from 24 to 240 months."""
    lying = {age: median for age, _, median, _ in printed("length", sex)}
    standing = {age: median for age, _, median, _ in printed("stature", sex)}
    for age in (0.0, 0.5, 9.5, 23.5):
        assert height_z(lying[age], age * MONTH) == pytest.approx(0, abs=1e-9)
    for age in (24.0, 24.5, 96.5, 240.0):
        assert height_z(standing[age], age * MONTH) == pytest.approx(0, abs=1e-9)
    with pytest.raises(OutOfDomain, match="ends at 20 years"):
        height_z(170, 240.1 * MONTH)


# Printed medians of weight (kg), CDC 2000 data files WTAGE: the row half a month after the birthday.
@pytest.mark.published("2000 CDC growth charts, data file WTAGE: medians as printed")
@pytest.mark.parametrize(
    ("years", "boys", "girls"),
    [
        (5, 18.486, 18.023),
        (8, 25.753, 25.757),
        (10, 32.088, 33.064),
        (12, 40.674, 41.828),
        (15, 56.491, 52.136),
        (18, 67.290, 56.230),
    ],
)
def test_median_weights(years: int, boys: float, girls: float) -> None:
    age = (12 * years + 0.5) * MONTH
    assert child_weight.median_weight_male(age) == pytest.approx(boys, abs=0.0006)
    assert child_weight.median_weight_female(age) == pytest.approx(girls, abs=0.0006)


def test_ideal_weights_of_one_boy() -> None:
    # Worked by hand from the printed rows for 96.5 months: median BMI 15.782, median weight 25.753 kg, median stature
    # 128.12 cm. A boy of 8 years and 128 cm; the four methods are those of Pediatr Crit Care Med 2018;19:e643-52.
    age = 96.5 * MONTH
    assert child_weight.median_bmi_weight_male(128, age) == pytest.approx(15.782 * 1.28**2, abs=0.005)
    assert child_weight.height_age_weight_male(128.12) == pytest.approx(25.753, abs=0.005)
    assert child_weight.same_centile_weight_male(128.12, age) == pytest.approx(25.753, abs=0.005)
    assert child_weight.height_age_weight_male(128) == pytest.approx(25.75, abs=0.08)
    assert child_weight.same_centile_weight_male(128, age) == pytest.approx(25.67, abs=0.05)


# Advanced Paediatric Life Support course: formulas as cited by Marikar D, BMJ Innov 2015, and at stemlynsblog.org; the
# weights follow from them by hand. Age in months, since 2011, before 2011.
@pytest.mark.parametrize(
    ("months", "newer", "older"),
    [
        (1, 4.5, None),
        (6, 7, None),
        (12, 10, 10),
        (36, 14, 14),
        (48, 16, 16),
        (71, 18, 18),
        (72, 25, 20),
        (96, 31, 24),
        (120, 37, 28),
        (144, 43, None),
        (155, 43, None),
    ],
)
def test_emergency_weights(months: int, newer: float, older: float | None) -> None:
    assert child_weight.emergency_weight(months * MONTH) == newer
    if older is not None:
        assert child_weight.older_emergency_weight(months * MONTH) == older


def folder_of(package: str) -> Path:
    spec = importlib.util.find_spec(package)
    if spec is None or not spec.submodule_search_locations:
        pytest.skip(f"{package} is not installed")
    return Path(spec.submodule_search_locations[0])


def same(measure: Measure, sex: Sex, age: float, values: tuple[float, float, float]) -> None:
    point = charts()[measure, sex].at(age)
    # The makers' two publications differ in the last digits of a few rows, nowhere by more than this.
    ours = (point.power, point.median, point.variation)
    assert ours == pytest.approx(values, rel=2e-5, abs=1e-6), (measure, sex, age)


def rcpch_rows(name: str) -> Iterator[tuple[Measure, Sex, dict[str, float]]]:
    path = folder_of("rcpchgrowth") / "data_tables" / name
    measurement: dict[str, dict[str, Any]] = json.loads(path.read_text("utf-8"))["measurement"]
    names: tuple[tuple[str, Measure], ...] = (("height", "stature"), ("weight", "weight"), ("bmi", "BMI"))
    for theirs, ours in names:
        for sex in SEXES:
            for row in measurement.get(theirs, {}).get(sex, []):
                yield ours, sex, row


def test_rows_agree_with_the_tables_of_a_growth_chart_package() -> None:
    """Package rcpchgrowth, which has its own copy of the CDC 2000 reference from 2 years on."""
    compared = 0
    for measure, sex, row in rcpch_rows("cdc2-20.json"):
        age = round(row["decimal_age"] * 24) / 2
        if age > 240:  # BMI goes on for half a month
            continue
        same(measure, sex, age, (row["L"], row["M"], row["S"]))
        compared += 1
    assert compared > 1000


def test_rows_agree_with_the_reference_file_of_the_makers_program() -> None:
    """Package growthcleanpy carries that file; it is another publication of the same L, M and S than the data files."""
    path = folder_of("growthcleanpy") / "reference" / "CDCref_d.csv.gz"
    columns: tuple[tuple[str, Measure], ...] = (("WT", "weight"), ("LG", "length"), ("HT", "stature"), ("BMI", "BMI"))
    compared = 0
    with gzip.open(path, "rt", encoding="utf-8", newline="") as lines:
        for row in csv.DictReader(lines):
            if row["denom"] != "age":
                continue
            age, sex = float(row["_AGEMOS1"]), SEXES[int(row["SEX"]) - 1]
            for column, measure in columns:
                texts = [row[f"_{letter}{column}1"].strip() for letter in "LMS"]
                if all(texts) and age in charts()[measure, sex].ages:
                    same(measure, sex, age, (float(texts[0]), float(texts[1]), float(texts[2])))
                    compared += 1
    assert compared > 1300
