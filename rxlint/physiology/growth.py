"""Growth z-scores and modified z-scores of children by the CDC 2000 reference, birth to 20 years.

Weight in kg, height in cm (recumbent length below 24 months, standing height from then on), age in s. Z-scores of BMI
are the LMS ones of the year 2000; the extension of 2022 above the 95th centile is not in them. No function here
corrects an age for preterm birth. All raise OutOfDomain for an age outside the reference.
"""

from __future__ import annotations

from rxlint.physiology.errors import computable, positive
from rxlint.physiology.growth_tables import Sex, chart_at, modified_z_score, z_score


@computable
def weight_z_male(weight: float, age: float) -> float:
    """Weight-for-age z-score of a boy."""
    positive(weight=weight)
    return z_score(chart_at("weight", "male", age), weight)


@computable
def weight_z_female(weight: float, age: float) -> float:
    """Weight-for-age z-score of a girl."""
    positive(weight=weight)
    return z_score(chart_at("weight", "female", age), weight)


@computable
def height_z_male(height: float, age: float) -> float:
    """Length-for-age (below 24 months) or stature-for-age z-score of a boy."""
    positive(height=height)
    return z_score(chart_at("stature", "male", age), height)


@computable
def height_z_female(height: float, age: float) -> float:
    """Length-for-age (below 24 months) or stature-for-age z-score of a girl."""
    positive(height=height)
    return z_score(chart_at("stature", "female", age), height)


@computable
def bmi_z_male(weight: float, height: float, age: float) -> float:
    """BMI-for-age z-score of a boy of 24 months or more."""
    return z_score(chart_at("BMI", "male", age), _bmi(weight, height))


@computable
def bmi_z_female(weight: float, height: float, age: float) -> float:
    """BMI-for-age z-score of a girl of 24 months or more."""
    return z_score(chart_at("BMI", "female", age), _bmi(weight, height))


@computable
def weight_modified_z_male(weight: float, age: float) -> float:
    """Modified weight-for-age z-score of a boy."""
    return _modified_weight("male", weight, age)


@computable
def weight_modified_z_female(weight: float, age: float) -> float:
    """Modified weight-for-age z-score of a girl."""
    return _modified_weight("female", weight, age)


@computable
def height_modified_z_male(height: float, age: float) -> float:
    """Modified length-for-age (below 24 months) or stature-for-age z-score of a boy."""
    return _modified_height("male", height, age)


@computable
def height_modified_z_female(height: float, age: float) -> float:
    """Modified length-for-age (below 24 months) or stature-for-age z-score of a girl."""
    return _modified_height("female", height, age)


@computable
def bmi_modified_z_male(weight: float, height: float, age: float) -> float:
    """Modified BMI-for-age z-score of a boy of 24 months or more."""
    return modified_z_score(chart_at("BMI", "male", age), _bmi(weight, height))


@computable
def bmi_modified_z_female(weight: float, height: float, age: float) -> float:
    """Modified BMI-for-age z-score of a girl of 24 months or more."""
    return modified_z_score(chart_at("BMI", "female", age), _bmi(weight, height))


def _modified_weight(sex: Sex, weight: float, age: float) -> float:
    positive(weight=weight)
    return modified_z_score(chart_at("weight", sex, age), weight)


def _modified_height(sex: Sex, height: float, age: float) -> float:
    positive(height=height)
    return modified_z_score(chart_at("stature", sex, age), height)


def _bmi(weight: float, height: float) -> float:
    positive(weight=weight, height=height)
    metres = height / 100
    return weight / (metres * metres)
