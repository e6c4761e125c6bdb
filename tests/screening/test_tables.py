"""Tables as wholes: what no row holds, what two rows hold, and the row that does not follow its neighbours."""

from fractions import Fraction

import pytest

from rxlint.packs.builtin import builtin_packs
from rxlint.screening.engine import Screening
from rxlint.screening.ruleset import prepare
from rxlint.screening.trends import stands_out
from tests.documents import outcome, screen

RULES = prepare([pack for pack in builtin_packs() if pack.name in ("notation", "library")])


def found(*lines: str, patient: tuple[str, ...] = (), more: str = "", kind: str = "template") -> Screening:
    before = "patient\n" + "".join(f"  {line}\n" for line in patient) if patient else ""
    text = f'{kind} "x"\n{before}settings\n' + "".join(f"  {line}\n" for line in lines) + more
    return screen(text, RULES)


def rules(screening: Screening) -> list[str]:
    return [finding.rule for finding in screening.findings]


def rows(*each: str) -> tuple[str, ...]:
    return ("rate by age", *(f"  {row}" for row in each))


@pytest.mark.parametrize(
    ("of", "patient", "gap"),
    [
        (("1 to 3 years 26 /min", "4 to 6 years 22 /min"), (), "3 years to 4 years"),
        (("1 to 3 years 26 /min", "3 to 6 years 22 /min"), ("age 3 to 7 years",), "6 years to 7 years"),
        (("1 to 3 years 26 /min", "3 to 6 years 22 /min"), ("age 6 to 24 months",), "6 months to 1 year"),
        (("1 to 3 years 26 /min", "3 to 6 years 22 /min"), ("age 40 years",), "40 years"),
        (("1 to 3 years 26 /min", "4 to 6 years 22 /min", "7 to 9 years 20 /min"), (), "and 6 years to 7 years"),
    ],
)
def test_what_no_row_holds_is_named(of: tuple[str, ...], patient: tuple[str, ...], gap: str) -> None:
    (finding,) = found(*rows(*of), patient=patient).findings
    assert finding.rule == "library.table-gap"
    assert f"{gap} (" in finding.message


@pytest.mark.parametrize("patient", [(), ("age 12 to 72 months",), ("age 2 years",), ("age 6 years",)])
def test_rows_that_touch_leave_nothing_out_and_share_nothing(patient: tuple[str, ...]) -> None:
    screening = found(*rows("1 to 3 years 26 /min", "3 to 6 years 22 /min"), patient=patient)
    assert rules(screening) == []
    assert {outcome(screening, f"library.table-{each}") for each in ("gap", "overlap", "uneven")} == {"met"}


def test_a_hole_that_the_order_is_not_for_is_not_told() -> None:
    assert rules(found(*rows("1 to 3 years 26 /min", "4 to 6 years 22 /min"), patient=("age 4 to 6 years",))) == []


def test_a_hole_of_several_tables_is_told_once() -> None:
    more = ("inspiratory time by age", "  1 to 3 years 0.7 s", "  4 to 6 years 0.8 s")
    (finding,) = found(*rows("1 to 3 years 26 /min", "4 to 6 years 22 /min"), *more).findings
    assert finding.message.startswith("rate and inspiratory time by age")
    assert [each.place.line for each in finding.related] == [4, 6]


def test_with_a_row_that_cannot_be_read_a_hole_is_not_checked() -> None:
    screening = found(*rows("1 to 3 years 26 /min", "3 to 4 years 24", "4 to 6 years 22 /min"))
    assert rules(screening) == ["notation.unit-missing"]
    assert outcome(screening, "library.table-gap") == "not checked"


@pytest.mark.parametrize(
    ("of", "both"),
    [
        (("1 to 4 years 26 /min", "3 to 6 years 22 /min"), "3 years to 4 years"),
        (("1 to 3 years 26 /min", "3 to 6 years 22 /min", "6 years 20 /min", "6 to 9 years 20 /min"), "6 years"),
    ],
)
def test_what_two_rows_hold_is_named(of: tuple[str, ...], both: str) -> None:
    (finding,) = found(*rows(*of)).findings
    assert finding.rule == "library.table-overlap"
    assert f"for {both}: " in finding.message


def test_one_end_that_reaches_over_two_rows_is_told_once() -> None:
    (finding,) = found(*rows("1 to 12 years 26 /min", "3 to 6 years 22 /min", "6 to 12 years 20 /min")).findings
    assert (finding.rule, len(finding.related)) == ("library.table-overlap", 2)


@pytest.mark.parametrize(
    ("values", "place"),
    [
        ((30, 26, 20), None),
        ((5, 5, 8, 8, 10), None),
        ((32, 22, 28, 18), 1),
        ((30, 26, 20, 24), 2),
        ((30, 26, 20, 21), None),
        ((18, 26, 12), 1),
        ((20, 22, 14), None),
        ((5, 6, 5), None),
        ((5, 8), None),
        ((30, 32, 26, 22, 16), None),
    ],
)
def test_the_value_that_stands_out(values: tuple[int, ...], place: int | None) -> None:
    assert stands_out([Fraction(each) for each in values]) == place
    assert (stands_out([Fraction(each) for each in reversed(values)]) is None) == (place is None)


def test_a_stepped_key_must_find_a_row_at_its_end() -> None:
    table = ("FiO2 35 %", "PEEP by FiO2", "  30 % to 40 % 5 cmH2O", "  40 % to 50 % 6 cmH2O")
    step = "titration\n  raise FiO2 by 5 % every 5 min up to {} % when SpO2 below 90 %\n"
    assert rules(found(*table, more=step.format(50), kind="prescription")) == []
    (finding,) = found(*table, more=step.format(60), kind="prescription").findings
    assert "no row for 50 % to 60 %" in finding.message or "no row for 55 % and 60 %" in finding.message
