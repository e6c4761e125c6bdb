"""A site's limit and another on the same setting: the stricter speaks, the other is told with it, none is hidden."""

import pytest

from rxlint.packs import Pack
from rxlint.screening.finding import Finding
from tests.packs.policies import order, policy, row, screened

MASK = "interface oronasal mask vented"
ADULT = ("+patient", "age 44 years", "diagnosis neuromuscular", "+airway", MASK, "+settings", "mode S/T-PS")
HIGH = "pressure.baseline-high"


def limits(fields: str, level: str = "query", identifier: str = "site.one") -> Pack:
    return policy(row("limits", fields, identifier, level))


def found(asks: Pack, *lines: str) -> list[Finding]:
    wanted = ("site.one", "site.two", HIGH, "humidity.temperature", "pressure.baseline-low-for-leak-port")
    whole = screened(order(*ADULT, *lines), asks, alone=False).findings
    return [each for each in whole if each.rule in wanted]


def told(findings: list[Finding]) -> list[tuple[str, str, list[tuple[str, str]]]]:
    return [(each.rule, each.level, [(one.rule, one.level) for one in each.also]) for each in findings]


def test_of_two_limits_with_one_level_the_narrower_speaks() -> None:
    assert told(found(limits("of: EPAP; allow: up to 8 cmH2O"), "EPAP 30 cmH2O")) == [
        ("site.one", "query", [(HIGH, "query")])
    ]
    assert told(found(limits("of: EPAP; allow: up to 28 cmH2O"), "EPAP 30 cmH2O")) == [
        (HIGH, "query", [("site.one", "query")])
    ]


def test_a_reject_is_never_told_with_a_query() -> None:
    wide = limits("of: EPAP; allow: up to 28 cmH2O", "reject")
    assert told(found(wide, "EPAP 30 cmH2O")) == [("site.one", "reject", [(HIGH, "query")])]
    narrow = limits("of: EPAP; allow: up to 8 cmH2O", "note")
    assert told(found(narrow, "EPAP 30 cmH2O")) == [(HIGH, "query", [("site.one", "note")])]


def test_a_limit_that_only_one_leaves_speaks_alone() -> None:
    assert told(found(limits("of: EPAP; allow: up to 8 cmH2O"), "EPAP 9 cmH2O")) == [("site.one", "query", [])]


@pytest.mark.parametrize(
    "allow",
    ["EPAP 4 cmH2O allow 4 to 30 cmH2O", "EPAP 30 cmH2O"],
)
def test_only_values_as_set_are_taken_together(allow: str) -> None:
    findings = found(limits("of: EPAP; allow: up to 8 cmH2O"), allow)
    assert len(findings) == (2 if "allow" in allow else 1)
    assert all(each.also == () for each in findings if each.outcome == "can break")


def test_limits_on_different_sides_are_two_findings() -> None:
    """The site asks for less than 3 cmH2O; a leak port asks for at least 4 cmH2O: 3.5 cmH2O leaves both."""
    asks = limits("of: EPAP; allow: up to 3 cmH2O")
    lines = ("+circuit", "limb single with leak port", "+settings", "EPAP 3.5 cmH2O")
    whole = screened(order(*ADULT[:-2], *lines), asks, alone=False).findings
    sides = [each for each in whole if each.rule in ("site.one", "pressure.baseline-low-for-leak-port")]
    assert [(each.rule, each.also) for each in sides] == [
        ("pressure.baseline-low-for-leak-port", ()),
        ("site.one", ()),
    ]


def test_a_limit_on_another_setting_or_on_two_of_them_is_not_the_same() -> None:
    ipap = limits("of: IPAP; allow: up to 10 cmH2O")
    assert [each.also for each in found(ipap, "EPAP 30 cmH2O", "IPAP 40 cmH2O") if each.rule == "site.one"] != []
    assert all(one.rule != HIGH for each in found(ipap, "EPAP 30 cmH2O", "IPAP 40 cmH2O") for one in each.also)
    above = limits("of: pressure above baseline; allow: up to 5 cmH2O")
    assert sorted(told(found(above, "EPAP 30 cmH2O", "IPAP 40 cmH2O"))) == [
        (HIGH, "query", []),
        ("site.one", "query", []),
    ]


def test_a_finding_that_is_accepted_stays_by_itself_and_so_does_the_other() -> None:
    accepted = 'accept site.one until 2026-12-31 because "the lung needs it" by "consultant"'
    lines = ("EPAP 30 cmH2O", "+accepted", accepted)
    findings = found(limits("of: EPAP; allow: up to 8 cmH2O"), *lines)
    assert [(each.rule, each.counts, each.also) for each in findings] == [
        (HIGH, True, ()),
        ("site.one", False, ()),
    ]


def test_without_a_policy_nothing_is_taken_together() -> None:
    whole = screened(order(*ADULT, "EPAP 30 cmH2O"), alone=False).findings
    assert all(each.also == () for each in whole) and any(each.rule == HIGH for each in whole)
