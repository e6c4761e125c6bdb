"""A message that asks for a unit is told in it, also where the term would choose a unit by its size."""

from fractions import Fraction

from rxlint.screening.values import show_number, show_value
from rxlint.units import find_unit


def test_a_time_of_the_document_is_told_in_the_unit_that_is_asked_for() -> None:
    days, years = find_unit("days"), find_unit("years")
    assert days is not None and years is not None
    age = Fraction(9 * years.factor)
    assert show_number(age, days, "population oldest age") == "3287 days"
    assert show_number(age, years, "population oldest age", asked=True) == "9 years"
    assert show_value(age, years, "population oldest age", asked=True) == "9 years"
