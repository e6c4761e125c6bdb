"""The CDC 2000 growth reference: L, M and S at an age, z-scores and values at a z-score, height age.

The numbers stand in `cdc2000.csv` (public domain, attribution there). Rows are for the middle of a month of age: 9.5
months is the row of a child who is 9 months old and not yet 10. Between rows L, M and S are interpolated in a straight
line, which the makers allow for finer ages ("interpolation could be used") and their own program does. Below 24 months
the length chart is for a recumbent child, from 24 months on the stature chart for a standing one, as in those charts;
weight is one chart throughout. z = ((X/M)^L - 1) / (L S), or ln(X/M) / S where L is zero: Cole TJ, Green PJ, Stat Med
1992;11:1305-19.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final, Literal

from rxlint.physiology.errors import OutOfDomain, not_negative

Sex = Literal["male", "female"]
Measure = Literal["weight", "length", "stature", "BMI"]

SECONDS_A_MONTH: Final = 30.4375 * 86400
STATURE_FROM: Final = 24.0  # months
OLDEST: Final = 240.0  # months

_FILE: Final = Path(__file__).with_name("cdc2000.csv")


@dataclass(frozen=True, slots=True)
class Point:
    """L (power), M (median) and S (coefficient of variation) at one age; M in kg, cm or kg/m2."""

    power: float
    median: float
    variation: float


@dataclass(frozen=True, slots=True)
class Chart:
    """Points of one measure and sex, by ascending age in months."""

    ages: tuple[float, ...]
    points: tuple[Point, ...]

    def at(self, months: float) -> Point:
        """The point at an age, in a straight line between the rows on either side."""
        below = min(max(bisect_right(self.ages, months) - 1, 0), len(self.ages) - 2)
        low, high = self.points[below], self.points[below + 1]
        part = (months - self.ages[below]) / (self.ages[below + 1] - self.ages[below])
        return Point(
            _between(low.power, high.power, part),
            _between(low.median, high.median, part),
            _between(low.variation, high.variation, part),
        )

    def age_of_median(self, value: float) -> float:
        """The age in months at which the value is the median, for a chart whose medians rise with age."""
        medians = [point.median for point in self.points]
        below = min(max(bisect_right(medians, value) - 1, 0), len(medians) - 2)
        part = (value - medians[below]) / (medians[below + 1] - medians[below])
        return _between(self.ages[below], self.ages[below + 1], part)


@cache
def charts() -> Mapping[tuple[Measure, Sex], Chart]:
    """Every chart, read once."""
    import csv  # few orders are for children, and nobody else should wait for it

    with _FILE.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    measures: tuple[Measure, ...] = ("weight", "length", "stature", "BMI")
    sexes: tuple[Sex, ...] = ("male", "female")
    return {(measure, sex): _chart(rows, f"{sex} {measure}") for measure in measures for sex in sexes}


def chart_at(measure: Measure, sex: Sex, age: float) -> Point:
    """The point of a measure, sex and age (s); "stature" means length below 24 months. Raises OutOfDomain."""
    months = months_of(age)
    if measure == "stature" and months < STATURE_FROM:
        measure = "length"
    if measure == "BMI" and months < STATURE_FROM:
        raise OutOfDomain(f"the CDC 2000 reference for BMI begins at 24 months, not at {months:g} months")
    return charts()[measure, sex].at(months)


def months_of(age: float) -> float:
    """An age (s) in months of 30.4375 days. Raises OutOfDomain for an age that the reference does not reach."""
    not_negative(age=age)
    months = age / SECONDS_A_MONTH
    if months > OLDEST:
        raise OutOfDomain(f"the CDC 2000 reference ends at 20 years, not at {months / 12:g} years")
    return months


def z_score(point: Point, value: float) -> float:
    """How many standard deviations a positive value is from the median, by the LMS method."""
    logarithm = math.log(value / point.median)
    if point.power == 0:
        return logarithm / point.variation
    return math.expm1(point.power * logarithm) / (point.power * point.variation)


def value_at(point: Point, z: float) -> float:
    """The value at a z-score. Raises OutOfDomain for a z-score that no positive value has."""
    if point.power == 0:
        return point.median * math.exp(point.variation * z)
    change = point.power * point.variation * z
    if change <= -1:
        raise OutOfDomain(f"no value has a z-score of {z:g} in the CDC 2000 reference")
    return point.median * math.exp(math.log1p(change) / point.power)


def modified_z_score(point: Point, value: float) -> float:
    """The distance from the median, in halves of the distance between the median and the value at z = 2 or -2.

    Centers for Disease Control and Prevention, modified z-scores in the CDC growth charts: for finding implausible
    values, since LMS z-scores of very heavy children are pressed together.
    """
    half = (value_at(point, 2) - point.median) if value >= point.median else (point.median - value_at(point, -2))
    return (value - point.median) / (half / 2)


def _chart(rows: list[dict[str, str]], name: str) -> Chart:
    filled = [row for row in rows if row[f"{name} M"]]
    points = tuple(Point(*(float(row[f"{name} {letter}"]) for letter in "LMS")) for row in filled)
    return Chart(tuple(float(row["age"]) for row in filled), points)


def _between(low: float, high: float, part: float) -> float:
    return low + (high - low) * part
