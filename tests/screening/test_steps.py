"""Steps as orders: coupled terms, rows read again at each step, two titrations together, alarms on the way."""

import pytest

from rxlint.packs.builtin import builtin_packs
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import prepare
from tests.documents import pack_of, prescription, rule_text, screen

AREAS = ("notation", "relation", "pressure", "titration", "alarms")
OWN = pack_of(
    rule_text("inspiratory pressure + pressure support <= 36 cmH2O", id="trial.sum", level="reject"),
    rule_text("alarm high rate >= back-up rate + 5 /min", id="trial.alarm", say="{back-up rate}"),
)
RULES = prepare([*(pack for pack in builtin_packs() if pack.name in AREAS), OWN])
SIMV = ("mode SIMV-PC with PS", "PEEP 5 cmH2O")
TOGETHER = "raise inspiratory pressure and pressure support by 1 cmH2O up to {} when EtCO2 above 6 kPa"


def found(*lines: str, steps: tuple[str, ...], more: str = "") -> list[Finding]:
    before = "titration\n" + "".join(f"  {step}\n" for step in steps) + more
    rules = ("titration.", "trial.", "relation.")
    screening = screen(prescription(*lines, before=before), RULES)
    asked = ("titration.unmeasured", "titration.no-condition")
    return [each for each in screening.findings if each.rule.startswith(rules) and each.rule not in asked]


def test_what_moves_together_is_walked_and_the_first_step_is_named() -> None:
    lines = (*SIMV, "inspiratory pressure 20 cmH2O above ambient", "pressure support 12 cmH2O")
    (finding,) = found(*lines, steps=(TOGETHER.format("26 cmH2O above ambient"),))
    assert finding.rule == "titration.breaks-rule"
    assert finding.message.startswith("with step 3, inspiratory pressure 23 cmH2O:")
    assert found(*lines, steps=(TOGETHER.format("22 cmH2O above ambient"),)) == []


def test_a_value_above_peep_moves_as_it_is_written() -> None:
    """PEEP and a pressure above it are both raised by 1, so what is above ambient rises by 2."""
    lines = (*SIMV, "inspiratory pressure 12 cmH2O above PEEP", "pressure support 18 cmH2O")
    step = "raise PEEP and inspiratory pressure by 1 cmH2O up to 7 cmH2O when SpO2 below 90 %"
    (finding,) = found(*lines, steps=(step,))
    assert finding.message.startswith("with step 1, PEEP 6 cmH2O:")


def test_the_row_of_a_table_is_read_again_at_each_step() -> None:
    lines = ("mode S/T-PS", "EPAP 5 cmH2O", "IPAP 14 cmH2O", "back-up rate by IPAP")
    table = ("  10 to 16 cmH2O 12 /min", "  16 to 20 cmH2O 20 /min")
    step = "raise IPAP and EPAP by 1 cmH2O up to 18 cmH2O above ambient when SpO2 below 90 %"
    more = "alarms\n  high rate 24 /min\n"
    (finding,) = found(*lines, *table, steps=(step,), more=more)
    assert (finding.rule, finding.level) == ("titration.crosses-alarm", "query")
    assert finding.message == "with step 2, IPAP 16 cmH2O: 20 /min (trial.alarm)"
    assert found(*lines, *table, steps=(step.replace("18", "15"),), more=more) == []


def test_a_relation_is_kept_in_the_row_that_is_reached() -> None:
    lines = ("mode A/C-PC", "FiO2 35 %", "PEEP by FiO2", "  30 % to 40 % 5 cmH2O", "  40 % to 60 % 12 cmH2O")
    rest = ("inspiratory pressure 17 cmH2O above ambient", "keep inspiratory pressure - PEEP >= 8 cmH2O")
    step = "raise FiO2 by 5 % every 5 min up to {} % when SpO2 below 90 %"
    (finding,) = found(*lines, *rest, steps=(step.format(60),))
    assert finding.message.startswith("with step 1, FiO2 40 %:")
    short = step.replace("5 % every", "4 % every").format("39.9")
    assert found(*lines, *rest, steps=(short,)) == []


def test_a_kept_term_is_taken_out_of_its_own_range_by_a_step() -> None:
    lines = (*SIMV, "inspiratory pressure 17 cmH2O above ambient", "pressure support 12 cmH2O allow 10 to 14 cmH2O")
    keep = "keep pressure support = inspiratory pressure - PEEP"
    (finding,) = found(*lines, keep, steps=(TOGETHER.format("20 cmH2O above ambient"),))
    assert finding.rule == "titration.leaves-range"
    assert finding.message == (
        "the steps take pressure support to 15 cmH2O (outside from step 3 on); allowed is 10 cmH2O to 14 cmH2O"
    )


BOTH = (
    "raise IPAP by 2 cmH2O up to {} cmH2O above ambient when rate above 25 /min",
    "raise EPAP by 1 cmH2O up to 8 cmH2O when SpO2 below 88 %",
)


@pytest.mark.parametrize(
    ("end", "message"),
    [
        (18, "with step 2 of line 3 and step 2 of line 4, IPAP 18 cmH2O and EPAP 7 cmH2O:"),
        (16, None),
    ],
)
def test_two_titrations_break_together_what_neither_breaks_alone(end: int, message: str | None) -> None:
    lines = ("mode S/T-PS", "EPAP 5 cmH2O", "IPAP 14 cmH2O", "keep IPAP + EPAP <= 24 cmH2O")
    findings = found(*lines, steps=(BOTH[0].format(end), BOTH[1]))
    assert [each.rule for each in findings] == (["titration.breaks-together"] if message else [])
    assert all(each.message.startswith(message or "-") for each in findings)


def test_steps_forth_and_back_drive_two_terms_apart() -> None:
    """Both are raised together, one is lowered alone, and so on: the other climbs out of its range."""
    lines = (*SIMV, "inspiratory pressure 17 cmH2O above ambient", "pressure support 12 cmH2O allow 8 to 14 cmH2O")
    back = "lower inspiratory pressure by 1 cmH2O down to 16 cmH2O above ambient when EtCO2 below 5 kPa"
    steps = (TOGETHER.format("18 cmH2O above ambient"), back)
    (finding,) = found(*lines, steps=steps)
    assert finding.rule == "titration.breaks-together"
    assert finding.message.startswith("with step 3 of line 3 and step 2 of line 4, inspiratory pressure 18 cmH2O and")


def test_what_a_step_alone_reaches_is_judged_by_the_rule_itself_on_its_steps() -> None:
    lines = (*SIMV, "inspiratory pressure 20 cmH2O above ambient", "pressure support 12 cmH2O")
    step = "raise pressure support by 3 cmH2O up to 18 cmH2O when EtCO2 above 6 kPa"
    (finding,) = found(*lines, steps=(step,))
    assert (finding.rule, finding.outcome) == ("trial.sum", "can break")
    assert finding.example is not None and finding.example["pressure support"] == "18 cmH2O"
    assert finding.sound == ("pressure support 12 to 15 cmH2O",)


PER_KILOGRAM = "tidal volume 6 mL/kg of measured weight allow 5 to 8 mL/kg"


@pytest.mark.parametrize(
    ("step", "rule"),
    [
        ("raise tidal volume by 1 mL/kg up to 8 mL/kg when pH below 7.2", None),
        ("raise tidal volume by 1 mL/kg up to 9 mL/kg when pH below 7.2", "titration.leaves-range"),
        ("raise tidal volume by 1 mL/kg up to 6 mL/kg when pH below 7.2", "titration.no-progress"),
        ("raise tidal volume by 25 mL up to 400 mL when pH below 7.2", None),
        ("raise tidal volume by 25 mL up to 410 mL when pH below 7.2", "titration.leaves-range"),
    ],
)
def test_a_step_per_kilogram_moves_what_is_written_per_kilogram(step: str, rule: str | None) -> None:
    more = "patient\n  weight 50 kg\n"
    findings = found("mode A/C-VC", PER_KILOGRAM, steps=(step,), more=more)
    assert [each.rule for each in findings] == ([rule] if rule else [])


OXYGEN = ("mode A/C-PC", "FiO2 50 %")
UP = "raise FiO2 by 5 % every 10 min up to 70 % when SpO2 below 90 %"
DOWN = "lower FiO2 by 5 % every 30 min down to {} when SpO2 above 96 %"


def test_what_was_raised_may_be_lowered_to_where_it_was_set() -> None:
    """Oxygen is given to a range and weaned again (BTS guideline for oxygen use, Thorax 2017;72 Suppl 1)."""
    assert found(*OXYGEN, steps=(UP, DOWN.format("50 %"))) == []
    assert found(*OXYGEN, steps=(DOWN.format("40 %"), UP)) == []
    assert found(*OXYGEN, steps=(UP, DOWN.format("50 %").replace("5 %", "15 %"))) == []
    assert [each.rule for each in found(*OXYGEN, steps=(UP, DOWN.format("50 %").replace("5 %", "25 %")))] == [
        "titration.step-size"
    ]


def test_what_nothing_else_raises_that_far_is_still_found() -> None:
    assert [each.rule for each in found(*OXYGEN, steps=(DOWN.format("50 %"),))] == ["titration.no-progress"]
    for end in ("60 %", "70 %"):  # lowered to more than is set
        assert [each.rule for each in found(*OXYGEN, steps=(UP, DOWN.format(end)))] == ["titration.no-progress"]
    other = "raise PEEP by 1 cmH2O every 10 min up to 9 cmH2O when SpO2 below 90 %"
    lines = (*OXYGEN, "PEEP 5 cmH2O")
    assert [each.rule for each in found(*lines, steps=(other, DOWN.format("50 %")))] == ["titration.no-progress"]
    again = "lower FiO2 by 5 % every 30 min down to 60 % when SpO2 above 97 %"
    assert "titration.no-progress" in [each.rule for each in found(*OXYGEN, steps=(again, DOWN.format("50 %")))]
