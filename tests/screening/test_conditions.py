"""Conditions against the order's own aims, units of pressures: what the cases of the rules don't look at."""

from collections import Counter

import pytest

from rxlint.notation.document import read_document
from rxlint.packs import EVENTS
from rxlint.screening.conditions import _EFFECTS
from rxlint.screening.conditions import EVENTS as OWN
from rxlint.screening.engine import screen_document
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import builtin_rules
from rxlint.text import Source, source_of_text
from rxlint.vocabulary import vocabulary
from tests.documents import DAY

HEAD = 'prescription "case"\n  id TM-1\n'


def findings(text: str, *rules: str) -> list[Finding]:
    source = source_of_text(text)
    assert isinstance(source, Source)
    screened = screen_document(read_document(source), builtin_rules(), DAY)
    assert screened.crashes == ()
    return [each for each in screened.findings if each.rule in rules]


def called(when: str, *sections: str) -> list[str]:
    text = "\n".join([HEAD.rstrip(), *sections, "escalation", f'  call "registrar" when {when}', ""])
    return [each.rule for each in findings(text, "escalation.due-as-wanted", "escalation.due-as-usual")]


RISK = "patient\n  hypercapnia risk no"
AIMS = "targets\n  SpO2 88 to 92 %"
ALARMS = "alarms\n  low SpO2 85 %\n  high SpO2 96 %"


@pytest.mark.parametrize(
    ("when", "sections", "told"),
    [
        ("SpO2 above 95 %", (RISK,), []),  # usual is 94 to 98 %
        ("SpO2 above 93 %", (RISK,), ["escalation.due-as-usual"]),
        ("SpO2 above 93 %", (), []),  # of whom is not said
        ("SpO2 above 93 %", (RISK, ALARMS), []),  # the alarms' own range goes before what is usual
        ("SpO2 above 85 %", (ALARMS,), ["escalation.due-as-wanted"]),
        ("SpO2 above 87 %", (ALARMS,), []),
        ("SpO2 above 87 %", (ALARMS, AIMS), ["escalation.due-as-wanted"]),  # and aims before both
        ("SpO2 above 89 %", (AIMS,), []),  # some of what is wanted lies below it
        ("SpO2 above 87 % and rate below 40 /min", (AIMS, "targets\n  rate 12 to 20 /min"), []),
        ("rate above 40 /min or SpO2 above 87 %", (AIMS,), ["escalation.due-as-wanted"]),
        ("SpO2 above 87 %", ("alarms\n  low SpO2 85 %",), []),  # one alarm alone bounds nothing above
    ],
)
def test_a_call_is_held_against_aims_then_alarms_then_what_is_usual(
    when: str, sections: tuple[str, ...], told: list[str]
) -> None:
    assert called(when, *sections) == told


def test_a_finding_stands_at_the_alternative_that_is_wrong_and_says_what_is_wanted() -> None:
    line = '  call "registrar" when rate above 40 /min or SpO2 above 87 % for 5 min'
    found = findings(f"{HEAD}{AIMS}\nescalation\n{line}\n", "escalation.due-as-wanted")
    assert len(found) == 1
    place = found[0].place
    assert line[place.column - 1 : place.end_column - 1] == "SpO2 above 87 %"
    assert "SpO2 from 88 % to 92 % is aimed at" in found[0].message


def test_a_call_in_the_aims_of_one_period_alone_is_told_for_that_period() -> None:
    text = f"{HEAD}targets night\n  SpO2 88 to 92 %\ntargets day\n  SpO2 94 to 98 %\nescalation\n"
    found = findings(text + '  call "registrar" when SpO2 above 90 %\n', "escalation.due-as-wanted")
    assert [each.period for each in found] == ["day"]


def test_effects_are_of_settings_that_can_be_stepped_on_readings_that_can_be_named() -> None:
    terms = vocabulary().terms
    for setting, effects in _EFFECTS.items():
        assert terms[setting].kind == "value"
        assert effects
        assert all(f"reading {reading}" in terms and sign in (1, -1) for reading, sign in effects.items())


def test_every_effect_is_told_one_way_and_no_other() -> None:
    """Of the four sentences that a setting and a reading make, the two that feed themselves are told."""
    words = {"SpO2": "90 %", "pH": "7.3", "PaCO2": "6 kPa", "rate": "20 /min", "total PEEP": "12 cmH2O"}
    steps = {
        "FiO2": ("by 5 % every 10 min", "up to 50 %", "down to 21 %"),
        "rate": ("by 1 /min every 10 min", "up to 30 /min", "down to 8 /min"),
        "IPAP": ("by 1 cmH2O every 10 min", "up to 25 cmH2O", "down to 8 cmH2O"),
    }
    for setting, (size, up, down) in steps.items():
        for reading, sign in _EFFECTS[setting].items():
            if reading not in words:
                continue
            told = Counter[str]()
            for verb, end in (("raise", up), ("lower", down)):
                for compare in ("above", "below"):
                    line = f"  {verb} {setting} {size} {end} when {reading} {compare} {words[reading]}\n"
                    if findings(f"{HEAD}titration\n{line}", "titration.worsens"):
                        told[f"{verb} {compare}"] += 1
            expected = {"raise above", "lower below"} if sign > 0 else {"raise below", "lower above"}
            assert set(told) == expected, (setting, reading)


def test_pressures_of_an_order_are_told_at_the_first_odd_one_with_the_others_beside_it() -> None:
    text = f"{HEAD}settings\n  PEEP 5 cmH2O\n  inspiratory pressure 17 mbar above ambient\nalarms\n"
    text += "  high inspiratory pressure 30 cmH2O\n  low PEEP 3 mbar\ntargets\n  plateau pressure up to 28 cmH2O\n"
    found = findings(text, "pressure.mixed-units")
    assert [each.place.line for each in found] == [5]
    assert [each.place.line for each in found[0].related] == [8]


def test_a_table_row_in_another_unit_is_seen() -> None:
    text = f"{HEAD}settings\n  PEEP 5 cmH2O\n  IPAP by age\n    under 2 years 12 cmH2O\n    2 years and over 1.4 kPa\n"
    assert [each.place.line for each in findings(text, "pressure.mixed-units")] == [7]


def test_what_is_measured_and_the_cuff_keep_their_own_units() -> None:
    text = f"{HEAD}airway\n  cuff pressure 20 mmHg\nsettings\n  PEEP 5 cmH2O\n"
    text += "readings 2026-11-20\n  plateau pressure 24 mbar\n"
    assert findings(text, "pressure.mixed-units") == []


def test_each_own_event_is_known_and_has_its_rule() -> None:
    found_by = builtin_rules().found_by
    for event in (*OWN, "titration.step-size", "pressures.mixed-units", "weaning.beyond-a-day", "weaning.extend-size"):
        assert event in EVENTS and found_by[event]
