"""One slip, one finding: the slips of a busy day, end to end with the built-in rules."""

import pytest

from rxlint.screening.finding import Finding
from tests.documents import ids, outcome, prescription, rule_text, rules_of, screen

ORDER = """prescription "Overnight support by tracheostomy"
patient
  age 7 years
settings night from 21:00 to 07:00
  mode                  SIMV-PC with PS
  PEEP                  {peep} cmH2O
  inspiratory pressure  17 cmH2O above ambient allow 15 to 20 cmH2O
  pressure support      12 cmH2O above PEEP allow 10 to 15 cmH2O
  keep                  pressure support = inspiratory pressure - PEEP
  rate                  20 /min
  inspiratory time      1 s
"""


def test_the_order_is_sound() -> None:
    assert ids(screen(ORDER.format(peep=5)).findings) == []


def test_peep_raised_by_two_with_support_and_peak_left_as_they_were() -> None:
    found = screen(ORDER.format(peep=7)).findings
    assert ids(found) == ["relation.broken"]
    finding = found[0]
    assert finding.level == "reject"
    assert finding.period == "night"
    assert finding.place.line == 9
    assert {related.place.line for related in finding.related} == {6, 7, 8}
    assert finding.calculation == (
        "pressure support = 12 cmH2O",
        "inspiratory pressure - PEEP = 17 cmH2O - 7 cmH2O = 10 cmH2O",
    )
    both = "pressure above baseline {0} cmH2O, support above baseline {0} cmH2O"
    told = {correction.text: correction.makes for correction in finding.corrections}
    assert told == {
        "PEEP 5 cmH2O instead of 7 cmH2O": both.format(12),
        "inspiratory pressure 19 cmH2O above ambient instead of 17 cmH2O": both.format(12),
        "pressure support 10 cmH2O instead of 12 cmH2O": both.format(10),
    }


def applied(text: str, finding: Finding, index: int) -> str:
    correction = finding.corrections[index]
    assert correction.place is not None and correction.replacement is not None
    lines = text.split("\n")
    at = correction.place.line - 1
    place = correction.place
    lines[at] = lines[at][: place.column - 1] + correction.replacement + lines[at][place.end_column - 1 :]
    return "\n".join(lines)


@pytest.mark.parametrize("index", [0, 1, 2])
def test_each_way_offered_restores_it(index: int) -> None:
    text = ORDER.format(peep=7)
    (finding,) = screen(text).findings
    assert "relation.broken" not in ids(screen(applied(text, finding, index)).findings)


@pytest.mark.parametrize(
    "relation",
    ["inspiratory pressure > PEEP + 12 cmH2O", "PEEP < inspiratory pressure - 12 cmH2O"],
)
def test_what_would_not_restore_it_is_not_offered(relation: str) -> None:
    lines = ("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient", f"keep {relation}")
    (finding,) = screen(prescription(*lines)).findings
    assert finding.rule == "relation.broken"
    assert finding.corrections == ()


def test_a_rounded_value_is_offered_only_where_it_restores() -> None:
    lines = ("PEEP 5 mbar", "inspiratory pressure 18 cmH2O above ambient", "pressure support 12 cmH2O")
    exact = screen(prescription(*lines, "keep pressure support = inspiratory pressure - PEEP")).findings[0]
    assert exact.corrections == ()
    loose = screen(prescription(*lines, "keep pressure support = inspiratory pressure - PEEP within 0.2 cmH2O"))
    assert "pressure support 13 cmH2O instead of 12 cmH2O" in {each.text for each in loose.findings[0].corrections}
    tight = screen(prescription(*lines, "keep pressure support = inspiratory pressure - PEEP within 0.05 cmH2O"))
    assert "pressure support 12.9 cmH2O instead of 12 cmH2O" in {each.text for each in tight.findings[0].corrections}


@pytest.mark.parametrize(("written", "offered"), [("0.9 s", "0.71 s"), ("900 ms", "706 ms")])
def test_a_correction_is_no_finer_than_what_can_be_set(written: str, offered: str) -> None:
    lines = ("mode A/C-VC", "tidal volume 400 mL", "inspiratory flow 34 L/min", f"inspiratory time {written}")
    (finding,) = [each for each in screen(prescription(*lines)).findings if each.rule == "timing.flow-conflict"]
    assert f"inspiratory time {offered} instead of {written}" in [each.text for each in finding.corrections]


@pytest.mark.parametrize(
    ("require", "to", "written", "offered"),
    [
        ("inspiratory pressure >= 17.3 cmH2O", "17.3 cmH2O", "15 cmH2O", "18 cmH2O"),  # 17 would break it still
        ("inspiratory pressure <= 17.6 cmH2O", "17.6 cmH2O", "20 cmH2O", "17 cmH2O"),
        ("inspiratory pressure <= 17.4 cmH2O", "17.4 cmH2O", "20 cmH2O", "17 cmH2O"),
        ("inspiratory pressure = 17.4 cmH2O", "17.4 cmH2O", "20 cmH2O", "17.4 cmH2O"),
        ("inspiratory pressure >= 1.7213 kPa", "1.7213 kPa", "1.5 kPa", "1.8 kPa"),
    ],
)
def test_a_correction_is_rounded_to_the_side_that_restores(require: str, to: str, written: str, offered: str) -> None:
    rules = rules_of(rule_text(require, corrections=f"[{{set: inspiratory pressure, to: {to}}}]"))
    found = screen(prescription("mode A/C-PC", f"inspiratory pressure {written} above ambient"), rules)
    (finding,) = found.findings
    (correction,) = finding.corrections
    assert correction.replacement == offered


def test_a_line_of_unknown_term_proves_no_absence() -> None:
    """`bak-up rate` may be the back-up rate: the rule that misses one is not checked, and nothing else is said."""
    lines = ("mode CSV-PS", "PEEP 5 cmH2O", "pressure support 10 cmH2O")
    without = screen(prescription(*lines))
    assert ids(without.findings) == ["mode.no-back-up"]
    misspelt = screen(prescription(*lines, "bak-up rate 12 /min"))
    assert ids(misspelt.findings) == ["notation.unknown-term"]
    assert outcome(misspelt, "mode.no-back-up") == "not checked"
    row = next(row for row in misspelt.coverage.rules if row.rule == "mode.no-back-up")
    assert row.reasons == ("a line of settings could not be read",)


def test_a_missing_setting_is_not_told_beside_an_unknown_line() -> None:
    lines = ("mode A/C-PC", "PEEP 5 cmH2O", "inspiratory pressure 15 cmH2O above ambient", "rate 20 /min")
    assert ids(screen(prescription(*lines)).findings) == ["mode.setting-missing"]
    found = screen(prescription(*lines, "insp time 1 s"))
    assert ids(found.findings) == ["notation.unknown-term"]
    assert outcome(found, "mode.setting-missing") == "not checked"


def test_an_unknown_line_elsewhere_changes_nothing() -> None:
    lines = ("mode CSV-PS", "PEEP 5 cmH2O", "pressure support 10 cmH2O")
    found = screen(prescription(*lines, before="patient\n  wieght 22 kg\n"))
    assert ids(found.findings) == ["mode.no-back-up", "notation.unknown-term"]


@pytest.mark.parametrize("line", ["aim of caer comfort", "goal comfort", "goal Confort alone", "aim: comfort"])
def test_an_unknown_line_may_be_what_a_rule_asks_about_where_it_holds_a_word_of_it(line: str) -> None:
    """A rule that is silent where comfort is the aim is not checked then, and coverage says why."""
    lines = ("mode CSV-PS", "PEEP 5 cmH2O", "pressure support 10 cmH2O")
    found = screen(prescription(*lines, before=f"patient\n  {line}\n"))
    assert "mode.no-back-up" not in ids(found.findings)
    row = next(row for row in found.coverage.rules if row.rule == "mode.no-back-up")
    assert (row.outcome, row.reasons) == ("not checked", ("a line of patient could not be read",))


def test_a_line_that_cannot_be_read_is_stated() -> None:
    """The rule that asks for it is silent, the rules that need it are not checked: the line's own finding is enough."""
    lines = (
        "mode A/C-PC",
        "PEEP 5",
        "inspiratory pressure 15 cmH2O above ambient",
        "rate 20 /min",
        "inspiratory time 1 s",
    )
    found = screen(prescription(*lines))
    assert ids(found.findings) == ["notation.unit-missing"]
    assert outcome(found, "mode.setting-missing") == "met"
    rules = rules_of(rule_text("PEEP <= 3 cmH2O"), rule_text("PEEP is stated", id="trial.presence"))
    plain = screen(prescription(*lines), rules)
    assert plain.findings == ()
    assert (outcome(plain, "trial.one"), outcome(plain, "trial.presence")) == ("not checked", "met")
    row = next(row for row in plain.coverage.rules if row.rule == "trial.one")
    assert row.reasons == ("PEEP is stated but could not be read",)


@pytest.mark.parametrize("when", ["rate is stated", "PEEP is stated and rate is stated"])
def test_a_rule_that_does_not_apply_for_an_absence_is_not_checked_beside_an_unknown_line(when: str) -> None:
    rules = rules_of(rule_text("rate < 10 /min", when=when))
    assert outcome(screen(prescription("PEEP 5 cmH2O"), rules), "trial.one") == "does not apply"
    assert outcome(screen(prescription("PEEP 5 cmH2O", "raet 20 /min"), rules), "trial.one") == "not checked"


def test_a_rule_that_would_not_apply_anyway_does_not_apply_beside_an_unknown_line() -> None:
    rules = rules_of(rule_text("rate < 10 /min", when="mode pattern is CMV and trigger is stated"))
    assert outcome(screen(prescription("mode CMV-PC", "triger flow"), rules), "trial.one") == "not checked"
    assert outcome(screen(prescription("mode A/C-PC", "triger flow"), rules), "trial.one") == "does not apply"


def test_a_setting_that_cannot_be_read_is_not_called_unused_as_well() -> None:
    found = screen(prescription("mode CPAP", "PEEP 5 cmH2O", "back-up rate 12 /min", "inspiratory flow 40-60 L/min"))
    assert ids(found.findings) == ["notation.range-dash"]


def test_presence_asked_in_a_defined_term_counts_too() -> None:
    define = "define:\n  monitored:\n    as: rate is stated or back-up rate is stated\n    means: x\n    source: y\n"
    rules = rules_of(rule_text("monitored"), define=define)
    assert outcome(screen(prescription("PEEP 5 cmH2O"), rules), "trial.one") == "broken"
    assert outcome(screen(prescription("PEEP 5 cmH2O", "raet 20 /min"), rules), "trial.one") == "not checked"


def test_ten_broken_lines_give_ten_findings_and_the_good_lines_are_checked() -> None:
    broken = [
        "PEEP 5",
        "inspiratory pressure 17 cmH2O",
        "inspiratory tmie 1 s",
        "rise time 150ms",
        "cycle-off .25 %",
        "trigger flwo",
        "inspiratory flow 40-60 L/min",
        "FiO2 40",
        "volume target 1,5 mL",
        "tidal volume 450 cc",
    ]
    found = screen(prescription("mode SIMV-PC", "rate 20 /min", *broken, "maximum inspiratory time 1 s"))
    notation = [finding for finding in found.findings if finding.rule.startswith(("notation.", "pressure.reference"))]
    assert sorted(finding.place.line for finding in notation) == list(range(5, 15))
    unused = [finding for finding in found.findings if finding.rule == "mode.setting-unused"]
    assert 15 in {finding.place.line for finding in unused}


def test_several_modes_of_a_template_do_not_accuse_each_other_s_settings() -> None:
    lines = (
        "mode A/C-PC or A/C-VC",
        "PEEP 5 cmH2O",
        "inspiratory pressure 15 cmH2O above ambient",
        "inspiratory time 1 s",
        "rate 12 /min",
        "tidal volume 450 mL",
    )
    found = screen(prescription(*lines, kind="template")).findings
    assert "mode.setting-unused" not in ids(found)
    more = screen(prescription(*lines, "cycle-off 25 %", kind="template")).findings
    assert [finding.message for finding in more if finding.rule == "mode.setting-unused"] == [
        "cycle-off has no effect in A/C-PC or A/C-VC"
    ]
    fewer = screen(prescription(*lines[:-1], kind="template")).findings
    assert [finding.message for finding in fewer if finding.rule == "mode.setting-missing"] == [
        "A/C-VC needs tidal volume, which the order does not state"
    ]


@pytest.mark.parametrize(
    ("relations", "expected"),
    [
        (("keep PEEP >= 5 cmH2O", "keep rate > 30 /min"), ["rate > 30 /min"]),
        (("keep PEEP > 9 cmH2O", "keep rate > 30 /min"), ["PEEP > 9 cmH2O", "rate > 30 /min"]),
        (("keep PEEP > 6 cmH2O", "keep PEEP < 6 cmH2O"), ["PEEP > 6 cmH2O and PEEP < 6 cmH2O"]),
        (("keep PEEP > 6 cmH2O", "keep rate < 15 /min"), []),
    ],
)
def test_relations_that_leave_nothing_are_found_wherever_they_stand(
    relations: tuple[str, ...], expected: list[str]
) -> None:
    found = screen(prescription("PEEP 4 to 8 cmH2O", "rate 10 to 20 /min", *relations, kind="template")).findings
    wanted = [f"nothing that the order allows keeps {each}" for each in expected]
    assert [each.message for each in found if each.rule == "relation.unsatisfiable"] == wanted


def test_a_relation_over_ranges_alone_sets_nothing_that_could_break_it() -> None:
    lines = (
        "PEEP 4 to 8 cmH2O",
        "inspiratory pressure 12 to 20 cmH2O above ambient",
        "keep inspiratory pressure > PEEP",
    )
    assert outcome(screen(prescription(*lines, kind="template")), "relation.broken") == "does not apply"
    lacks = screen(prescription("PEEP 5 cmH2O", "keep inspiratory pressure > PEEP"))
    assert outcome(lacks, "relation.broken") == "not checked"


def test_a_range_that_a_missing_term_would_be_needed_for_is_not_called_kept() -> None:
    lines = ("PEEP 5 cmH2O allow 4 to 6 cmH2O", "pressure support 12 cmH2O allow 10 to 14 cmH2O")
    found = screen(prescription(*lines, "keep pressure support = inspiratory pressure - PEEP"))
    assert outcome(found, "relation.leaves-range") == "not checked"
    row = next(row for row in found.coverage.rules if row.rule == "relation.leaves-range")
    assert row.reasons == ("lacks inspiratory pressure",)
