"""The growth reference and the weights of children for the registry, with the proofs of their directions.

A z-score rises with the measurement: (X/M)^L rises with X where L is above zero and falls where it is below, and L
divides it. So does a modified z-score, which is a straight line on either side of the median. With age at a fixed
measurement they fall nearly everywhere, but not far from the median, where L and S count for more than M: no direction.
The median of weight rises with age throughout (`tests/physiology/test_growth.py` holds every row against the next), and
so do those of length and stature, hence the weight of a height age rises with height; from the length to the stature
chart it steps up. The median of BMI falls and rises again.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from rxlint.physiology import child_weight, growth
from rxlint.physiology.formula import Formula
from rxlint.units import LENGTH, NUMBER, TIME, WEIGHT, Dimension, with_basis

_CDC: Final = "2000 CDC growth charts (Kuczmarski RJ et al., Vital Health Stat 11 2002;(246):1-190), LMS method"
_MODIFIED: Final = "modified z-scores in the CDC growth charts, Centers for Disease Control and Prevention; " + _CDC
_METHODS: Final = (
    "compared in Ward SL et al., Pediatr Crit Care Med 2018;19:e643-52; medians of the 2000 CDC growth charts"
)
_COURSE: Final = "Advanced Paediatric Life Support course since 2011, cited by Marikar D, BMJ Innov 2015"
_OLDER: Final = (
    "Advanced Paediatric Life Support course before 2011, cited by Luscombe MD et al., Emerg Med J 2011;28:590-3"
)

_IDEAL: Final = with_basis(WEIGHT, "ideal")
_ESTIMATED: Final = with_basis(WEIGHT, "estimated")
_WEIGHT: Final[tuple[str, Dimension]] = ("child weight", WEIGHT)
_HEIGHT: Final[tuple[str, Dimension]] = ("child height", LENGTH)
_AGE: Final[tuple[str, Dimension]] = ("child age", TIME)

_Z: Final = "((X / M)^L - 1) / (L x S)"
_MODIFIED_Z: Final = "(X - M) / half the distance from M to the value at z = 2 or -2"


def _of_both(
    name: str,
    arguments: tuple[tuple[str, Dimension], ...],
    result: Dimension,
    functions: tuple[Callable[..., float], Callable[..., float]],
    text: str,
    source: str,
    directions: tuple[int | None, ...],
) -> tuple[Formula, Formula]:
    """The same formula for boys and for girls."""
    male, female = functions
    return (
        Formula(f"{name}, male", arguments, result, male, text, source, "published", directions),
        Formula(f"{name}, female", arguments, result, female, text, source, "published", directions),
    )


_SCORES: Final = (
    *_of_both("weight-for-age z-score", (_WEIGHT, _AGE), NUMBER, (growth.weight_z_male, growth.weight_z_female),
              f"{_Z} of weight at the age", _CDC, (1, None)),
    *_of_both("height-for-age z-score", (_HEIGHT, _AGE), NUMBER, (growth.height_z_male, growth.height_z_female),
              f"{_Z} of height at the age", _CDC, (1, None)),
    *_of_both("BMI-for-age z-score", (_WEIGHT, _HEIGHT, _AGE), NUMBER, (growth.bmi_z_male, growth.bmi_z_female),
              f"{_Z} of weight / height^2 at the age", _CDC, (1, -1, None)),
    *_of_both("weight-for-age modified z-score", (_WEIGHT, _AGE), NUMBER,
              (growth.weight_modified_z_male, growth.weight_modified_z_female),
              f"{_MODIFIED_Z}, weight at the age", _MODIFIED, (1, None)),
    *_of_both("height-for-age modified z-score", (_HEIGHT, _AGE), NUMBER,
              (growth.height_modified_z_male, growth.height_modified_z_female),
              f"{_MODIFIED_Z}, height at the age", _MODIFIED, (1, None)),
    *_of_both("BMI-for-age modified z-score", (_WEIGHT, _HEIGHT, _AGE), NUMBER,
              (growth.bmi_modified_z_male, growth.bmi_modified_z_female),
              f"{_MODIFIED_Z}, weight / height^2 at the age", _MODIFIED, (1, -1, None)),
)  # fmt: skip

_WEIGHTS: Final = (
    *_of_both("median weight for age", (_AGE,), _IDEAL,
              (child_weight.median_weight_male, child_weight.median_weight_female),
              "50th centile of weight at the age", _METHODS, (1,)),
    *_of_both("weight of median BMI", (_HEIGHT, _AGE), _IDEAL,
              (child_weight.median_bmi_weight_male, child_weight.median_bmi_weight_female),
              "50th centile of BMI at the age x height^2", _METHODS, (1, None)),
    *_of_both("weight of height age", (_HEIGHT,), _IDEAL,
              (child_weight.height_age_weight_male, child_weight.height_age_weight_female),
              "50th centile of weight at the age whose median height it is", _METHODS, (1,)),
    *_of_both("weight at centile of height", (_HEIGHT, _AGE), _IDEAL,
              (child_weight.same_centile_weight_male, child_weight.same_centile_weight_female),
              "weight with the z-score of height at the age", _METHODS, (1, None)),
)  # fmt: skip

# Both count completed months or years, so they rise in steps; the newer one steps up at the first birthday (9.5 to 10)
# and at the sixth (18 to 25).
_EMERGENCY: Final = (
    Formula(
        "emergency weight, newer course formula",
        (_AGE,),
        _ESTIMATED,
        child_weight.emergency_weight,
        "0.5 x months + 4 below 1 year, 2 x years + 8 to 5 years, 3 x years + 7 to 12 years",
        _COURSE,
        "published",
        (1,),
    ),
    Formula(
        "emergency weight, older course formula",
        (_AGE,),
        _ESTIMATED,
        child_weight.older_emergency_weight,
        "2 x (years + 4), 1 to 10 years",
        _OLDER,
        "published",
        (1,),
    ),
)

GROWTH_FORMULAS: Final = (*_SCORES, *_WEIGHTS, *_EMERGENCY)
