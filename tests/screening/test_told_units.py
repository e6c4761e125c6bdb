"""A message that asks for a unit is told in it, also where the term would choose a unit by its size."""

import datetime
from fractions import Fraction

import pytest

from rxlint.library.screen import screen_bytes
from rxlint.packs import Case
from rxlint.packs.pack import Spot
from rxlint.screening.cases import screen_case
from rxlint.screening.ruleset import builtin_rules
from rxlint.screening.values import show_number, show_value
from rxlint.units import find_unit


def test_a_time_of_the_document_is_told_in_the_unit_that_is_asked_for() -> None:
    days, years = find_unit("days"), find_unit("years")
    assert days is not None and years is not None
    age = Fraction(9 * years.factor)
    assert show_number(age, days, "population oldest age") == "3287 days"
    assert show_number(age, years, "population oldest age", asked=True) == "9 years"
    assert show_value(age, years, "population oldest age", asked=True) == "9 years"


@pytest.mark.parametrize(
    ("checked", "told"),
    [
        ("2026-11-19 09:14", "1 min before"),
        ("2026-11-18 09:50", "23.42 h before"),
        ("2025-11-19 09:15", "365 days before"),
    ],
)
def test_a_time_between_two_dates_is_told_in_a_unit_that_is_easily_read(checked: str, told: str) -> None:
    """A slip of a minute as well as one of a year."""
    order = (
        'prescription "x"\n  notation 1\n  id TM-1\n  written 2026-11-19 09:15 by "consultant"\n'
        f'  checked {checked} by "pharmacist"\n'
    )
    screening = screen_bytes("x.vrx", order.encode(), builtin_rules(), datetime.date(2026, 11, 24)).screening
    assert screening is not None
    (finding,) = (each for each in screening.findings if each.rule == "governance.dates-order")
    assert finding.message == f"the order was checked {told} it was written"


def test_a_late_check_is_told_in_the_days_of_its_limit() -> None:
    case = Case(
        "fires", 'document written 2026-11-02 09:00 by "a"; document checked 2026-11-09 10:50 by "b"', False, Spot(1, 1)
    )
    (finding,) = (each for each in screen_case(case, builtin_rules()).findings if each.rule == "governance.check-late")
    assert "checked 7.076 days after" in finding.message
