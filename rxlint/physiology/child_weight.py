"""Weights of children by height or age (kg): four ways to an ideal weight, and the estimates for an emergency.

The four are those compared by Ward SL et al., Pediatr Crit Care Med 2018;19:e643-52; none is a gold standard, and they
differ by a tenth and more. Height in cm, age in s, by the CDC 2000 reference. An emergency estimate counts completed
months or years, as the course does; a measured weight always comes first.
"""

from __future__ import annotations

import math
from typing import Final

from rxlint.physiology.errors import OutOfDomain, computable, not_negative, positive
from rxlint.physiology.growth_tables import SECONDS_A_MONTH, STATURE_FROM, Sex, chart_at, charts, value_at, z_score

_MONTHS_A_YEAR: Final = 12


@computable
def median_weight_male(age: float) -> float:
    """50th centile of weight for age, boys."""
    return chart_at("weight", "male", age).median


@computable
def median_weight_female(age: float) -> float:
    """50th centile of weight for age, girls."""
    return chart_at("weight", "female", age).median


@computable
def median_bmi_weight_male(height: float, age: float) -> float:
    """Weight that gives a boy of 24 months or more the 50th centile of BMI for his age (the BMI method)."""
    return _median_bmi_weight("male", height, age)


@computable
def median_bmi_weight_female(height: float, age: float) -> float:
    """Weight that gives a girl of 24 months or more the 50th centile of BMI for her age (the BMI method)."""
    return _median_bmi_weight("female", height, age)


@computable
def height_age_weight_male(height: float) -> float:
    """50th centile of weight at the age for which the height is the 50th centile, boys (McLaren's method)."""
    return _height_age_weight("male", height)


@computable
def height_age_weight_female(height: float) -> float:
    """50th centile of weight at the age for which the height is the 50th centile, girls (McLaren's method)."""
    return _height_age_weight("female", height)


@computable
def same_centile_weight_male(height: float, age: float) -> float:
    """Weight at the centile for age on which the height lies, boys (Moore's method)."""
    return _same_centile_weight("male", height, age)


@computable
def same_centile_weight_female(height: float, age: float) -> float:
    """Weight at the centile for age on which the height lies, girls (Moore's method)."""
    return _same_centile_weight("female", height, age)


@computable
def emergency_weight(age: float) -> float:
    """Emergency estimate of the Advanced Paediatric Life Support course since 2011, 1 month to 12 years.

    Below a year 0.5 x months + 4, from 1 to 5 years 2 x years + 8, from 6 to 12 years 3 x years + 7; there is a step of
    7 kg at the sixth birthday. As cited by Marikar D, BMJ Innov 2015, doi 10.1136/bmjinnov-2015-000059.
    """
    not_negative(age=age)
    months = math.floor(age / SECONDS_A_MONTH)
    years = months // _MONTHS_A_YEAR
    if months < 1 or years > 12:
        raise OutOfDomain("the emergency estimate is for 1 month to 12 years")
    if years < 1:
        return 0.5 * months + 4
    return 2 * years + 8 if years <= 5 else 3 * years + 7


@computable
def older_emergency_weight(age: float) -> float:
    """Emergency estimate of the same course before 2011, 1 to 10 years: 2 x (years + 4)."""
    not_negative(age=age)
    years = math.floor(age / SECONDS_A_MONTH) // _MONTHS_A_YEAR
    if not 1 <= years <= 10:
        raise OutOfDomain("the older emergency estimate is for 1 to 10 years")
    return 2.0 * (years + 4)


def _median_bmi_weight(sex: Sex, height: float, age: float) -> float:
    positive(height=height)
    metres = height / 100
    return chart_at("BMI", sex, age).median * metres * metres


def _height_age_weight(sex: Sex, height: float) -> float:
    positive(height=height)
    length, stature = charts()["length", sex], charts()["stature", sex]
    low, high = length.points[0].median, stature.points[-1].median
    if not low <= height <= high:
        raise OutOfDomain(f"{height:g} cm is the median of no age: medians go from {low:g} to {high:g} cm")
    # The median length of 24 months is above the median stature of 24 months. What lies between is taken as stature, so
    # a child is as old as the stature chart says wherever that chart says anything, and the weight never falls.
    if height >= stature.points[0].median:
        age = stature.age_of_median(height)
    else:
        age = min(length.age_of_median(height), STATURE_FROM)
    return charts()["weight", sex].at(age).median


def _same_centile_weight(sex: Sex, height: float, age: float) -> float:
    positive(height=height)
    return value_at(chart_at("weight", sex, age), z_score(chart_at("stature", sex, age), height))
