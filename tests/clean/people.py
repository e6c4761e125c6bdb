"""Who is ventilated: ages, sexes and sizes.

Children are sized by the UK-WHO growth references (Cole TJ et al., Ann Hum Biol 2011;38:7-11; WHO Child Growth
Standards 2006) as the package rcpchgrowth carries them. Adults have the stature that the UK 1990 reference ends with;
what age takes of it follows Sorkin JD et al., Am J Epidemiol 1999;150:969-77 (from memory: 3 cm in men and 5 cm in
women by 70).
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Final, Literal

from rcpchgrowth import measurement_from_sds  # type: ignore[import-untyped]

Sex = Literal["female", "male"]
Group = Literal["newborn", "infant", "child", "adolescent", "adult"]
Span = tuple[float, float]

_FARTHEST: Final = 1.7
"""Nobody is drawn farther than so many standard deviations from the median: odd sizes are another study."""


@dataclass(frozen=True)
class Person:
    """A patient: age in years and as written, size in cm and kg; weeks of gestation and corrected age as written."""

    group: Group
    sex: Sex
    years: float
    age: str
    height: float
    weight: float
    gestation: str = ""
    corrected: str = ""
    span: float = 0

    @property
    def predicted(self) -> float:
        """Predicted weight of an adult in kg (ARDS Network, N Engl J Med 2000;342:1301-8), by arm span if known."""
        return (50.0 if self.sex == "male" else 45.5) + 0.91 * ((self.span or self.height) - 152.4)

    @property
    def kilograms(self) -> float:
        """The weight that volumes are counted by, in kg."""
        return self.predicted if self.group == "adult" else self.weight

    @property
    def weighed(self) -> str:
        """How an order names that weight."""
        return "predicted weight" if self.group == "adult" else "measured weight"


def limited(rng: Random, mean: float = 0, spread: float = 0.8) -> float:
    """A normal deviate that is not far out."""
    return max(-_FARTHEST, min(_FARTHEST, rng.gauss(mean, spread)))


def a_sex(rng: Random) -> Sex:
    return "female" if rng.random() < 0.5 else "male"


def reference(method: str, sex: Sex, age: float, deviation: float) -> float:
    """Height in cm or weight in kg at an age in decimal years (below 0: before term) and a standard deviation score."""
    told = measurement_from_sds(
        reference="uk-who", measurement_method=method, requested_sds=deviation, sex=sex, age=max(age, -0.25)
    )
    return float(told)


def sized(rng: Random, sex: Sex, age: float, thin: float = 0) -> tuple[float, float]:
    """Height and weight that belong together; ``thin`` lowers the weight's standard deviation score."""
    tall = limited(rng)
    heavy = max(-_FARTHEST, min(_FARTHEST, 0.75 * tall + 0.5 * limited(rng) - thin))
    return reference("height", sex, age, tall), reference("weight", sex, age, heavy)


def _kilograms(weight: float) -> float:
    return round(weight, 2 if weight < 5 else 1 if weight < 30 else 0)


def _counted(number: int, unit: str) -> str:
    return f"{number} {unit if number != 1 else unit.removesuffix('s')}"


def newborn(rng: Random, weeks: tuple[int, int]) -> Person:
    """A newborn in the first ten days, born in these completed weeks of gestation."""
    sex = a_sex(rng)
    born, days, lived = rng.randint(*weeks), rng.randint(0, 6), rng.randint(1, 10)
    before_term = (born * 7 + days - 280) / 365.25
    height, weight = sized(rng, sex, before_term)
    gestation = _counted(born, "weeks") + (f" {_counted(days, 'days')}" if days else "")
    return Person(
        "newborn", sex, lived / 365.25, _counted(lived, "days"), round(height * 2) / 2, _kilograms(weight), gestation
    )


def infant(rng: Random, months: tuple[int, int], early: bool = False, thin: float = 0) -> Person:
    """An infant; one born early has a gestation and a corrected age, and the size of the corrected age."""
    sex, lived = a_sex(rng), rng.randint(*months)
    weeks = rng.randint(25, 30) if early else 40
    corrected = lived - (40 - weeks) * 7 / 30.4375
    height, weight = sized(rng, sex, corrected / 12, thin)
    return Person(
        "infant",
        sex,
        lived / 12,
        _counted(lived, "months"),
        round(height),
        _kilograms(weight),
        _counted(weeks, "weeks") if early else "",
        _counted(max(1, int(corrected)), "months") if early else "",
    )


def child(rng: Random, years: tuple[int, int], thin: float = 0) -> Person:
    """A child or an adolescent of completed years, with months below six."""
    sex, whole, months = a_sex(rng), rng.randint(*years), rng.randint(0, 11)
    age = whole + months / 12
    height, weight = sized(rng, sex, age, thin)
    written = _counted(whole, "years") + (f" {_counted(months, 'months')}" if months and whole < 6 else "")
    written = _counted(12 * whole + months, "months") if whole < 2 else written
    group: Group = "adolescent" if whole >= 13 else "child"
    return Person(group, sex, age, written, round(height), _kilograms(weight))


def adult(rng: Random, years: tuple[int, int], mass: Span, curved: bool = False) -> Person:
    """An adult with a body mass index in this span; ``curved`` spines lose height, and the arm span is measured."""
    sex, whole = a_sex(rng), rng.randint(*years)
    young = reference("height", sex, 19.5, limited(rng))
    lost = max(0, whole - 40) * (0.1 if sex == "male" else 0.167)
    height = round(young - lost)
    span = float(height)
    if curved:
        height -= rng.randint(8, 16)
    weight = round(rng.uniform(*mass) * (height / 100) ** 2)
    return Person("adult", sex, whole, f"{whole} years", height, weight, span=span if curved else 0)
