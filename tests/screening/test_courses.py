"""Readings that creep: each step within its limit, the whole beyond it. Told once, and only on the same settings."""

import pytest

from rxlint.screening.engine import screen_document
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import builtin_rules
from tests.documents import DAY, document

Reading = tuple[str, str]
SETTINGS = "mode A/C-VC\n  PEEP 5 cmH2O\n  tidal volume 400 mL\n  rate 15 /min"


def text(*sets: Reading) -> str:
    """An order with sets of readings: when, and what was read."""
    told = "".join(f"readings {when}\n  {read}\n" for when, read in sets)
    return f'prescription "x"\n  written 2026-11-20 08:00 by "a"\nsettings\n  {SETTINGS}\n{told}'


def drift(*sets: Reading) -> list[Finding]:
    found = screen_document(document(text(*sets)), builtin_rules(), DAY).findings
    return [each for each in found if each.rule.startswith("drift.")]


def plateaus(*values: int, every: int = 2) -> list[Reading]:
    return [
        (f"at 2026-11-{22 + every * at // 24} {every * at % 24:02}:00", f"plateau pressure {value} cmH2O")
        for at, value in enumerate(values)
    ]


def test_a_creep_of_small_steps_is_found_once_where_it_is_beyond() -> None:
    (finding,) = drift(*plateaus(18, 20, 22, 24, 26))
    assert finding.rule == "drift.plateau-rising" and finding.place.line == 15
    assert finding.message == "the plateau rose from 18 cmH2O to 24 cmH2O in 6 h, with no change of settings noted"
    assert [each.place.line for each in finding.related] == [9]


def test_a_creep_that_goes_on_is_found_again_from_where_it_was_told() -> None:
    assert [each.message.partition(" in ")[0] for each in drift(*plateaus(18, 20, 22, 24, 26, 28, 30))] == [
        "the plateau rose from 18 cmH2O to 24 cmH2O",
        "the plateau rose from 24 cmH2O to 30 cmH2O",
    ]


def test_a_jump_is_told_against_the_set_before_it_and_begins_a_course() -> None:
    assert [each.message.partition(" in ")[0] for each in drift(*plateaus(18, 20, 25, 27))] == [
        "the plateau rose from 20 cmH2O to 25 cmH2O",
    ]


def test_the_nearest_set_that_shows_it_is_the_one_that_is_told() -> None:
    (finding,) = drift(*plateaus(16, 18, 20, 23, every=1))
    assert finding.message.startswith("the plateau rose from 18 cmH2O to 23 cmH2O in 2 h")


@pytest.mark.parametrize("values", [(18, 20, 22), (18, 20, 18, 20, 22, 21), (24, 22, 20, 18, 16), (18,), (18, 22)])
def test_what_stays_within_the_limit_is_silent(values: tuple[int, ...]) -> None:
    assert drift(*plateaus(*values)) == []


def test_the_order_of_the_sets_in_the_file_does_not_matter() -> None:
    (finding,) = drift(*reversed(plateaus(18, 20, 22, 24)))
    assert "from 18 cmH2O to 24 cmH2O" in finding.message and finding.place.line == 9


def test_a_change_in_between_ends_the_course() -> None:
    sets = plateaus(18, 20, 22, 24)
    for at in (1, 2, 3):
        changed = [*sets]
        changed[at] = (f"after change {sets[at][0]}", sets[at][1])
        assert drift(*changed) == []
    before = [*sets]
    before[1] = (f"before change {sets[1][0]}", sets[1][1])
    assert drift(*before) == []


def test_after_a_change_the_course_goes_on_from_there() -> None:
    sets = plateaus(30, 18, 20, 22, 24)
    sets[1] = (f"after change {sets[1][0]}", sets[1][1])
    (finding,) = drift(*sets)
    assert "from 18 cmH2O to 24 cmH2O" in finding.message


def test_an_order_written_in_between_ends_the_course() -> None:
    sets = [(when.replace("11-22", "11-20"), read) for when, read in plateaus(18, 20, 22, 24, every=3)]
    assert drift(*sets) == []  # written at 08:00, between 06:00 and 09:00


def test_more_than_a_day_is_no_course() -> None:
    assert drift(*plateaus(18, 20, 22, 24, every=9)) == []
    assert len(drift(*plateaus(18, 20, 22, 24, every=8))) == 1


def test_a_set_that_says_nothing_of_it_is_looked_past() -> None:
    sets = plateaus(18, 20, 22, 24)
    sets[1] = (sets[1][0], "SpO2 96 %")
    (finding,) = drift(*sets)
    assert "from 18 cmH2O to 24 cmH2O" in finding.message


def test_the_other_readings_creep_too() -> None:
    saturation = [(when, f"SpO2 {98 - 2 * at} %") for at, (when, _) in enumerate(plateaus(0, 0, 0, 0))]
    assert [each.message.partition(" in ")[0] for each in drift(*saturation)] == ["SpO2 fell from 98 % to 92 %"]
