"""Each outcome, from a document's text to its finding and its row in the coverage."""

import pytest

from rxlint.screening.ruleset import RuleSet
from tests.documents import ids, outcome, prescription, rule_text, rules_of, screen

CEILING = rules_of(
    rule_text(
        "inspiratory pressure <= 25 cmH2O",
        say="{inspiratory pressure}",
        when="mode type is PC",
        corrections="[{set: inspiratory pressure, to: 25 cmH2O}]",
        makes="[pressure above baseline]",
    )
)
PC = ("mode A/C-PC", "PEEP 5 cmH2O")


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ((*PC, "inspiratory pressure 25 cmH2O above ambient"), "met"),
        ((*PC, "inspiratory pressure 26 cmH2O above ambient"), "broken"),
        ((*PC, "inspiratory pressure 20 cmH2O above ambient allow 15 to 25 cmH2O"), "met"),
        ((*PC, "inspiratory pressure 20 cmH2O above ambient allow 15 to 26 cmH2O"), "can break"),
        ((*PC, "inspiratory pressure 26 cmH2O above ambient allow 15 to 30 cmH2O"), "broken"),
        ((*PC, "inspiratory pressure 26 to 30 cmH2O above ambient"), "broken"),
        ((*PC, "inspiratory pressure 20 to 30 cmH2O above ambient"), "can break"),
        ((*PC, "inspiratory pressure 20 cmH2O above PEEP"), "met"),
        ((*PC, "inspiratory pressure 21 cmH2O above PEEP"), "broken"),
        (PC, "not checked"),
        ((*PC, "inspiratory pressure 20"), "not checked"),
        (("mode A/C-VC", "inspiratory pressure 30 cmH2O above ambient"), "does not apply"),
        (("mode A/C-VC",), "does not apply"),
        (("inspiratory pressure 30 cmH2O above ambient",), "not checked"),
        (("inspiratory pressure 20 cmH2O above ambient",), "met"),
    ],
)
def test_outcome(lines: tuple[str, ...], expected: str) -> None:
    found = screen(prescription(*lines), CEILING)
    assert outcome(found, "trial.one") == expected
    assert found.coverage.counts[expected] == 1  # type: ignore[index]
    assert ids(found.findings) == (["trial.one"] if expected in ("broken", "can break") else [])
    assert all(finding.outcome == expected for finding in found.findings)


@pytest.mark.parametrize(
    "peep",
    ["PEEP 5 cmH2O allow 4 to 8 cmH2O", "EPAP 5 cmH2O allow 4 to 8 cmH2O"],
)
def test_a_value_that_stands_on_another_moves_with_what_is_allowed_of_that(peep: str) -> None:
    """20 above a PEEP of 5 is 25, and with a PEEP that staff may set 26."""
    found = screen(prescription("mode A/C-PC", peep, "inspiratory pressure 20 cmH2O above PEEP"), CEILING)
    assert outcome(found, "trial.one") == "can break"
    assert found.findings[0].example in ({"PEEP": "6 cmH2O"}, {"EPAP": "6 cmH2O"})


def test_a_value_per_kilogram_moves_with_the_weight_that_is_allowed() -> None:
    rules = rules_of(rule_text("tidal volume <= 500 mL"))
    before = "patient\n  weight 60 to {} kg\n"
    lines = ("mode A/C-VC", "tidal volume 6 mL/kg of measured weight")
    assert outcome(screen(prescription(*lines, kind="template", before=before.format(80)), rules), "trial.one") == "met"
    found = screen(prescription(*lines, kind="template", before=before.format(90)), rules)
    assert outcome(found, "trial.one") == "can break"


def test_a_kept_term_that_is_not_stated_is_asked_over_what_is_allowed() -> None:
    rules = rules_of(rule_text("pressure support <= 12 cmH2O"))
    lines = ("PEEP 5 cmH2O", "keep pressure support = inspiratory pressure - PEEP")
    wide = screen(prescription(*lines, "inspiratory pressure 15 to 18 cmH2O above ambient", kind="template"), rules)
    assert outcome(wide, "trial.one") == "can break"
    narrow = screen(prescription(*lines, "inspiratory pressure 15 to 17 cmH2O above ambient", kind="template"), rules)
    assert outcome(narrow, "trial.one") == "met"


def test_broken_shows_the_values_as_written_and_offers_the_correction() -> None:
    (finding,) = screen(prescription(*PC, "inspiratory pressure 26 cmH2O above ambient"), CEILING).findings
    assert finding.message == "26 cmH2O"
    assert finding.example is None
    assert (finding.place.line, finding.place.column, finding.place.end_column) == (5, 3, 46)
    (correction,) = finding.corrections
    assert correction.text == "inspiratory pressure 25 cmH2O above ambient instead of 26 cmH2O"
    assert correction.makes == "pressure above baseline 20 cmH2O"
    assert correction.place is not None and correction.replacement == "25 cmH2O"


def test_a_correction_speaks_in_the_line_s_own_reference() -> None:
    (finding,) = screen(prescription(*PC, "inspiratory pressure 22 cmH2O above PEEP"), CEILING).findings
    assert [each.text for each in finding.corrections] == [
        "inspiratory pressure 20 cmH2O above PEEP instead of 22 cmH2O"
    ]


def test_a_correction_that_restores_nothing_is_not_offered() -> None:
    corrections = "[{set: inspiratory pressure, to: 27 cmH2O}, {set: inspiratory pressure, to: 24 cmH2O}]"
    rules = rules_of(rule_text("inspiratory pressure <= 25 cmH2O", corrections=corrections))
    (finding,) = screen(prescription("inspiratory pressure 26 cmH2O above ambient"), rules).findings
    assert [each.text for each in finding.corrections] == [
        "inspiratory pressure 24 cmH2O above ambient instead of 26 cmH2O"
    ]


def test_can_break_shows_an_allowed_combination() -> None:
    line = "inspiratory pressure 20 cmH2O above ambient allow 15 to 30 cmH2O in steps of 5 cmH2O"
    (finding,) = screen(prescription(*PC, line), CEILING).findings
    assert finding.example == {"inspiratory pressure": "30 cmH2O"}
    assert finding.message == "allowed with inspiratory pressure 30 cmH2O: 30 cmH2O"
    assert finding.corrections == ()


def test_undecided_is_a_query_and_never_met() -> None:
    """A staircase of irrational look: no box of it can be decided before the search ends."""
    rules = rules_of(rule_text("modelled intrinsic PEEP != 1.23456789 cmH2O", level="reject"))
    before = "patient\n  compliance 20 to 80 mL/cmH2O\n  resistance 5 to 40 cmH2O/(L/s)\n"
    lines = ("mode A/C-PC", "PEEP 5 cmH2O", "inspiratory pressure 10 to 30 cmH2O above ambient", "rate 10 to 30 /min")
    found = screen(prescription(*lines, "inspiratory time 0.8 to 1.2 s", kind="template", before=before), rules)
    assert outcome(found, "trial.one") == "undecided"
    (finding,) = found.findings
    assert (finding.outcome, finding.level) == ("undecided", "query")
    assert finding.message.startswith("not decided for everything that is allowed: a rule of a test")


@pytest.mark.parametrize(
    ("lines", "lacks"),
    [
        (("rate 20 /min",), ("inspiratory time",)),
        (("rate 20 to 25 /min",), ("inspiratory time",)),
        ((), ("inspiratory time", "rate")),
    ],
)
def test_not_checked_names_the_terms_that_could_be_stated(lines: tuple[str, ...], lacks: tuple[str, ...]) -> None:
    rules = rules_of(rule_text("expiratory time >= 1 s"))
    row = next(iter(screen(prescription("PEEP 5 cmH2O", *lines), rules).coverage.rules))
    assert (row.outcome, row.lacks) == ("not checked", lacks)


def test_rules_on_readings_run_once_for_each_set_of_readings() -> None:
    rules = rules_of(rule_text("reading SpO2 >= target low SpO2", say="{reading SpO2}"))
    text = prescription("PEEP 5 cmH2O", before="targets\n  SpO2 94 to 98 %\n")
    assert outcome(screen(text, rules), "trial.one") == "not checked"
    text += (
        'readings at 2026-11-02 21:30 by "nurse"\n  SpO2 95 %\nreadings at 2026-11-02 23:30 by "nurse"\n  SpO2 90 %\n'
    )
    found = screen(text, rules)
    assert [(finding.message, finding.place.line) for finding in found.findings] == [("90 %", 9)]


def levels(rules: RuleSet, *lines: str) -> list[str]:
    return [finding.level for finding in screen(prescription(*lines), rules).findings]


def test_a_stricter_level_holds_where_its_condition_does() -> None:
    stricter = "[{level: reject, when: inspiratory pressure > 40 cmH2O}]"
    rules = rules_of(rule_text("inspiratory pressure <= 25 cmH2O", stricter=stricter))
    assert levels(rules, "inspiratory pressure 30 cmH2O above ambient") == ["query"]
    assert levels(rules, "inspiratory pressure 41 cmH2O above ambient") == ["reject"]
    practice = rules_of(
        rule_text("inspiratory pressure <= 25 cmH2O", stricter=stricter).replace("verified", "practice")
    )
    assert levels(practice, "inspiratory pressure 41 cmH2O above ambient") == ["query"]


def test_findings_come_by_level_and_then_by_line() -> None:
    rules = rules_of(
        rule_text("PEEP < 5 cmH2O", id="trial.peep", level="note"),
        rule_text("rate < 10 /min", id="trial.rate", level="reject"),
        rule_text("inspiratory time < 1 s", id="trial.time"),
        rule_text("inspiratory pressure < 10 cmH2O", id="trial.pressure"),
    )
    lines = ("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient", "inspiratory time 1 s", "rate 20 /min")
    found = screen(prescription(*lines), rules).findings
    assert [finding.rule for finding in found] == ["trial.rate", "trial.pressure", "trial.time", "trial.peep"]
