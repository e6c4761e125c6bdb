"""Acceptances: what they mark, what they do not reach, and what becomes of those that are not in order."""

import datetime

import pytest

from rxlint.packs.builtin import builtin_packs
from rxlint.screening import engine
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.ruleset import RuleSet, prepare
from tests.documents import DAY, document, ids

HEAD = """\
prescription "case"
  id TM-1
  revision 1
  status active
  written 2026-11-20 09:00 by "registrar"
  review by 2027-01-01
checked 2026-11-20 10:00 by "second checker"
"""
WHO = 'until 2027-01-01 because "stiff chest wall" by "consultant"'


def rules() -> RuleSet:
    return prepare([pack for pack in builtin_packs() if pack.name in ("notation", "pressure", "governance", "mode")])


RULES = rules()


def screened(settings: str, *accepted: str, day: datetime.date | None = DAY) -> Screening:
    lines = "".join(f"  accept {line}\n" for line in accepted)
    return screen_document(document(f"{HEAD}{settings}accepted\n{lines}"), RULES, day)


def settings(pressure: str, name: str = "") -> str:
    return (
        f"settings{name}\n  mode A/C-PC\n  PEEP 5 cmH2O\n  inspiratory pressure {pressure}\n  rate 15 /min\n"
        "  inspiratory time 1 s\n"
    )


HIGH = settings("45 cmH2O above ambient")
NIGHT_AND_DAY = settings("45 cmH2O above ambient", " night from 22:00 to 07:00") + settings(
    "46 cmH2O above ambient", " day from 07:00 to 22:00"
)


def counting(screening: Screening) -> list[str]:
    return ids(each for each in screening.findings if each.counts)


def test_an_accepted_finding_is_kept_and_does_not_count() -> None:
    found = screened(HIGH, f"pressure.peak-high {WHO}")
    assert counting(found) == []
    (accepted,) = found.findings
    assert accepted.rule == "pressure.peak-high"
    assert accepted.acceptance is not None
    told = accepted.acceptance
    assert (told.until, told.because, told.by) == ("2027-01-01", "stiff chest wall", "consultant")
    assert told.place.line == 15


def test_an_acceptance_of_one_period_leaves_the_other() -> None:
    found = screened(NIGHT_AND_DAY, f"pressure.peak-high in night {WHO}")
    assert [each.period for each in found.findings if each.counts] == ["day"]
    assert [each.period for each in found.findings if not each.counts] == ["night"]


def test_an_acceptance_on_a_term_leaves_findings_elsewhere() -> None:
    found = screened(HIGH, f"pressure.peak-high on inspiratory pressure {WHO}")
    assert counting(found) == []
    assert counting(screened(HIGH, f"pressure.peak-high on rate {WHO}")) == [
        "governance.acceptance-unneeded",
        "pressure.peak-high",
    ]


@pytest.mark.parametrize(("day", "counts"), [(datetime.date(2027, 1, 1), False), (datetime.date(2027, 1, 2), True)])
def test_the_date_itself_still_counts(day: datetime.date, counts: bool) -> None:
    found = screened(HIGH, f"pressure.peak-high {WHO}", day=day)
    assert ("pressure.peak-high" in counting(found)) is counts
    assert ("governance.acceptance-expired" in counting(found)) is counts


def test_without_a_day_no_date_is_judged() -> None:
    assert "pressure.peak-high" not in counting(screened(HIGH, f"pressure.peak-high {WHO}", day=None))


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('pressure.peak-high until 2027-01-01 by "consultant"', "incomplete"),
        ('pressure.peak-high because "stiff chest wall" by "consultant"', "incomplete"),
        ('pressure.peak-high until 2027-01-01 because "stiff chest wall"', "incomplete"),
        (f"pressure.peak-hihg {WHO}", "unknown"),
        ('pressure.peak-high until 2027-01-01 because "x" by "REGISTRAR"', "own"),
        ('pressure.peak-high until 2026-11-23 because "x" by "consultant"', "expired"),
    ],
)
def test_an_acceptance_that_is_not_in_order_accepts_nothing(line: str, fault: str) -> None:
    assert counting(screened(HIGH, line)) == [f"governance.acceptance-{fault}", "pressure.peak-high"]


def test_what_cannot_be_read_cannot_be_accepted() -> None:
    found = screened(settings("45 above ambient"), f"notation.unit-missing {WHO}")
    assert counting(found) == ["governance.acceptance-refused", "notation.unit-missing"]


def test_a_value_within_what_was_accepted_is_accepted() -> None:
    at = f"pressure.peak-high on inspiratory pressure at 45 cmH2O above ambient {WHO}"
    assert counting(screened(settings("44 cmH2O above ambient"), at)) == []
    assert counting(screened(settings("45.1 cmH2O above ambient"), at)) == [
        "governance.acceptance-worse",
        "pressure.peak-high",
    ]


def test_a_wider_allowed_range_is_worse() -> None:
    at = f"pressure.peak-high on inspiratory pressure at 45 cmH2O above ambient {WHO}"
    allowed = settings("44 cmH2O above ambient allow 42 to 46 cmH2O")
    assert "governance.acceptance-worse" in counting(screened(allowed, at))


def test_where_better_lies_is_asked_of_the_rule() -> None:
    at = f"pressure.not-above-baseline on inspiratory pressure at 4 cmH2O above ambient {WHO}"
    higher, lower = settings("4.5 cmH2O above ambient"), settings("3 cmH2O above ambient")
    assert "governance.acceptance-worse" not in counting(screened(higher, at))
    assert "governance.acceptance-worse" in counting(screened(lower, at))


def test_a_rule_that_could_not_be_checked_may_still_need_its_acceptance() -> None:
    unread = HIGH.replace("45 cmH2O above ambient", "45 cmHzO above ambient")
    assert "governance.acceptance-unneeded" not in counting(screened(unread, f"pressure.peak-high {WHO}"))


def test_a_fault_in_acceptances_hides_no_finding(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr(engine, "judge", fail)
    found = screened(HIGH, f"pressure.peak-high {WHO}")
    assert "pressure.peak-high" in counting(found)
    assert {crash.rule for crash in found.crashes} >= {"governance.acceptance-expired", "governance.acceptance-own"}
