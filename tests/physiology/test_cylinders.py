"""At which pressure a cylinder is full, by its letter; what is published about letters is held in tests/outside."""

import pytest

from rxlint.physiology.cylinders import full_pressure_of_letter

KPA = 10.197162129779283  # cmH2O; by definition, 1 cmH2O = 98.0665 Pa


@pytest.mark.parametrize(
    ("letter", "country", "kilopascals"), [("F", "UK", 13_700), ("CD", "UK", 23_000), ("HX", "UK", 23_000)]
)
def test_a_cylinder_is_full_at_the_pressure_of_its_letter(letter: str, country: str, kilopascals: float) -> None:
    assert full_pressure_of_letter(letter, country) == pytest.approx(kilopascals * KPA, rel=1e-9)


@pytest.mark.parametrize(("letter", "country"), [("F", None), ("F", ""), ("Q", "UK"), ("E", "AU")])
def test_of_other_letters_it_is_not_known(letter: str, country: str | None) -> None:
    assert full_pressure_of_letter(letter, country) is None
