"""What changed between two texts: what is the same however it is written, and what is told of what is not."""

import itertools
import random
import re
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.notation.write import render_document, sections_of
from rxlint.screening.change import Change
from rxlint.screening.change_derived import implied_of, predicted_of
from rxlint.screening.change_scopes import both_of
from rxlint.screening.changes import changes_of
from rxlint.text import Problem, read_source
from tests.cli.orders import SOUND
from tests.conftest import ROOT
from tests.documents import document

FILES = [
    path
    for folder in ("examples/sound", "examples/templates", "examples/slips", "tests/cases", "tests/cases/vignettes")
    for path in sorted((ROOT / folder).glob("*.vrx"))
]
TEXTS = [path.read_text("utf-8") for path in FILES if not isinstance(read_source(path.read_bytes()), Problem)]
SOUND_FILES = [path for path in FILES if path.parent.name in ("sound", "templates")]


def changes(old: str, new: str) -> list[Change]:
    return [each for each in changes_of(document(old), document(new)) if each.is_change]


def told(old: str, new: str) -> list[tuple[str, str, str | None, str | None]]:
    return [(each.kind, each.term, each.before, each.after) for each in changes_of(document(old), document(new))]


def settings(*lines: str, before: str = "", kind: str = "prescription") -> str:
    return f'{kind} "x"\n{before}settings\n' + "".join(f"  {line}\n" for line in lines)


# ---- the same, however it is written


@pytest.mark.parametrize("text", TEXTS)
def test_a_document_is_as_it_was(text: str) -> None:
    assert changes_of(document(text), document(text)) == ()


@pytest.mark.parametrize("path", SOUND_FILES, ids=lambda path: path.stem)
def test_a_tidied_document_says_the_same(path: Path) -> None:
    text = path.read_text("utf-8")
    tidied = render_document(sections_of(document(text)))
    assert changes(text, tidied) == []
    assert tidied != text


@given(st.sampled_from(TEXTS), st.randoms(use_true_random=False))
def test_comments_and_blank_lines_change_nothing(text: str, chance: random.Random) -> None:
    lines: list[str] = []
    for line in text.split("\n"):
        if line and chance.random() < 0.2 and not lines_on(lines):
            lines.append(chance.choice(["", "# a remark", "   ", "    # another"]))
        lines.append(line)
    assert changes_of(document(text), document("\n".join(lines))) == ()


def lines_on(lines: list[str]) -> bool:
    """Whether the line before goes on: nothing may stand between."""
    return bool(lines) and lines[-1].split("#")[0].rstrip().endswith(",")


FACTORS = {
    "cmH2O": ("Pa", Fraction(980665, 10000)),
    "mL": ("L", Fraction(1, 1000)),
    "s": ("ms", Fraction(1000)),
    "ms": ("s", Fraction(1, 1000)),
    "L/min": ("mL/min", Fraction(1000)),
    "/min": ("/h", Fraction(60)),
    "kPa": ("Pa", Fraction(1000)),
    "kg": ("g", Fraction(1000)),
    "mL/kg": ("L/kg", Fraction(1, 1000)),
}
AMOUNT = re.compile(
    r"(?<=\s)(?:(\d+(?:\.\d+)?) to )?(\d+(?:\.\d+)?) (cmH2O|mL|s|ms|L/min|/min|kPa|kg|mL/kg)(?=[\s,]|$)"
)


def decimal(value: Fraction) -> str:
    return f"{float(value):.10f}".rstrip("0").rstrip(".")


def in_other_units(text: str, chance: random.Random) -> str:
    """The text with some amounts in another unit, exactly; lines that would not be readable then are left alone.

    A value and what is allowed beside it stand in one unit: only lines with one amount or one range are written anew.
    """

    def other(match: re.Match[str]) -> str:
        unit, factor = FACTORS[match[3]]
        low = f"{decimal(Fraction(match[1]) * factor)} to " if match[1] else ""
        return f"{low}{decimal(Fraction(match[2]) * factor)} {unit}"

    before = text.split("\n")
    after = [
        AMOUNT.sub(other, line) if len(AMOUNT.findall(line)) == 1 and chance.random() < 0.5 else line for line in before
    ]
    for entry in document("\n".join(after)).entries:
        if entry.statement is not None and not entry.statement.readable:
            for line in entry.lines:
                after[line.number - 1] = before[line.number - 1]
    return "\n".join(after)


@given(st.sampled_from([path.read_text("utf-8") for path in SOUND_FILES]), st.randoms(use_true_random=False))
def test_an_exact_change_of_unit_is_no_change(text: str, chance: random.Random) -> None:
    written = in_other_units(text, chance)
    found = changes_of(document(text), document(written))
    assert [each for each in found if each.is_change] == []
    assert bool(found) == (written != text)


def test_another_unit_is_told_apart_and_is_no_change() -> None:
    assert told(settings("PEEP 5 cmH2O", "rate 20 /min"), settings("PEEP 490.3325 Pa", "rate 20 bpm")) == [
        ("reworded", "PEEP", "5 cmH2O", "490.3325 Pa"),
        ("reworded", "rate", "20 /min", "20 bpm"),
    ]


def test_a_fraction_and_a_percentage_say_the_same() -> None:
    assert told(settings("FiO2 40 %"), settings("FiO2 0.4")) == [("reworded", "FiO2", "40 %", "0.4")]


# ---- references and weights


PEEP = "PEEP 6 cmH2O"


@pytest.mark.parametrize(
    ("old", "new", "kind"),
    [
        ("18 cmH2O above ambient", "12 cmH2O above PEEP", "reworded"),
        ("12 cmH2O above PEEP", "1765.197 Pa above ambient", "reworded"),
        ("18 cmH2O above ambient", "18 cmH2O above PEEP", "changed"),
        ("18 cmH2O above ambient allow 16 to 20 cmH2O", "12 cmH2O above PEEP allow 10 to 14 cmH2O", "reworded"),
        ("18 cmH2O above ambient allow 16 to 20 cmH2O", "12 cmH2O above PEEP", "range changed"),
        ("18 cmH2O above ambient allow 16 to 20 cmH2O", "18 cmH2O above ambient allow 16 to 22 cmH2O", "range changed"),
        ("18 cmH2O above ambient allow 16 to 20 cmH2O", "19 cmH2O above ambient allow 16 to 20 cmH2O", "changed"),
    ],
)
def test_a_pressure_is_compared_by_what_it_is_above(old: str, new: str, kind: str) -> None:
    first, second = (settings(PEEP, f"inspiratory pressure {each}") for each in (old, new))
    (change,) = changes_of(document(first), document(second))
    assert (change.term, change.kind) == ("inspiratory pressure", kind)
    assert ("the same value as set, " in change.how) == ("above PEEP" in old + new and "18 cmH2O above PEEP" not in new)


def test_the_same_pressure_moves_apart_where_its_baseline_may_move() -> None:
    old, new = (
        settings("PEEP 6 cmH2O allow 4 to 8 cmH2O", f"inspiratory pressure {each}")
        for each in ("18 cmH2O above ambient", "12 cmH2O above PEEP")
    )
    (change,) = changes_of(document(old), document(new))
    assert change.kind == "range changed" and "what else is allowed is not the same" in change.how


def test_a_volume_is_compared_by_the_weight_it_is_counted_by() -> None:
    patient = "patient\n  sex female\n  height 160 cm\n  weight 60 kg measured\n"
    old, new, other = (
        settings(f"tidal volume {each}", before=patient)
        for each in ("7 mL/kg of measured weight", "420 mL", "7 mL/kg of predicted weight")
    )
    (same,) = changes_of(document(old), document(new))
    assert same.kind == "reworded" and same.how == "the same value as set, 420 mL, written without a weight"
    (change,) = changes_of(document(old), document(other))
    assert change.kind == "changed"


# ---- lists, tables, sentences, periods


ASSEMBLY = 'prescription "x"\ncircuit\n  assembly  {}\n'


@pytest.mark.parametrize(
    ("old", "new", "how"),
    [
        ("ventilator, filter, tubing, leak port", "ventilator, tubing, leak port, filter", "moved filter"),
        ("ventilator, filter, leak port", "ventilator, filter, filter, leak port", "added filter"),
        ("ventilator, filter, leak port", "ventilator, leak port", "removed filter"),
        ("ventilator, HME 12 mL", "ventilator, HME 15 mL", "HME 12 mL -> 15 mL"),
        ("ventilator, HME 12 mL", "ventilator, HME", "HME 12 mL -> without a size"),
        ("ventilator, HME", "ventilator, HME filter, catheter mount", "added HME filter, catheter mount; removed HME"),
    ],
)
def test_an_assembly_is_compared_by_its_parts(old: str, new: str, how: str) -> None:
    (change,) = changes(ASSEMBLY.format(old), ASSEMBLY.format(new))
    assert change.how == how


def test_what_is_at_hand_has_no_order() -> None:
    old = 'prescription "x"\nequipment\n  suction, battery 9 h\n  self-inflating bag\n'
    new = 'prescription "x"\nequipment\n  self-inflating bag, battery 540 min, suction\n'
    assert changes(old, new) == []
    assert told(old, new.replace("540 min", "8 h").replace(", suction", "")) == [
        ("changed", "equipment", "battery 9 h", "battery 8 h"),
        ("removed", "equipment", "suction", None),
    ]


def test_a_table_is_compared_by_its_rows() -> None:
    old = settings("rate by age", "  1 to 3 years  22 to 30 /min", "  3 to 6 years  20 to 25 /min", kind="template")
    new = settings("rate by age", "  12 to 36 months  22 to 32 /min", "  6 to 9 years  18 /min", kind="template")
    assert told(old, new) == [
        ("range changed", "rate, 12 to 36 months", "22 to 30 /min", "22 to 32 /min"),
        ("added", "rate, 6 to 9 years", None, "18 /min"),
        ("removed", "rate, 3 to 6 years", "20 to 25 /min", None),
    ]


def test_an_alarm_that_is_switched_off_is_a_change() -> None:
    old, new = (
        'prescription "x"\nalarms\n  low SpO2  92 %\n',
        'prescription "x"\nalarms\n  low SpO2  off because "x"\n',
    )
    assert told(old, new) == [("changed", "alarm low SpO2", "92 %", 'off because "x"')]


def test_relations_are_compared_by_what_they_say() -> None:
    old = settings("keep pressure support = inspiratory pressure - PEEP within 1 cmH2O")
    assert changes(old, settings("keep  pressure support =  inspiratory pressure - PEEP within 98.0665 Pa")) == []
    (change,) = changes(old, settings("keep pressure support = inspiratory pressure - PEEP"))
    assert (change.kind, change.term) == ("changed", "keep")


def test_a_step_is_held_against_the_step_of_the_same_term() -> None:
    step = "  raise inspiratory pressure by 1 cmH2O every 10 min up to {} cmH2O above ambient when EtCO2 above 6 kPa\n"
    other = "  lower rate by 2 /min every 30 min down to 12 /min when EtCO2 below 4 kPa\n"
    old = f'prescription "x"\ntitration\n{step.format(20)}{other}'
    new = f'prescription "x"\ntitration\n{other}{step.format(22)}'
    assert [(each.kind, each.term) for each in changes(old, new)] == [("changed", "titration raise")]


TWO = """prescription "x"
alarms
  apnoea after 15 s
settings night from {hours}
  PEEP {night} cmH2O
settings day
  PEEP {day} cmH2O
"""


def two(night: int = 5, day: int = 4, hours: str = "21:00 to 07:00") -> str:
    return TWO.format(night=night, day=day, hours=hours)


def test_a_change_says_in_which_period_it_stands() -> None:
    (change,) = changes(two(), two(night=6))
    assert (change.term, change.period) == ("PEEP", "night")
    (everywhere,) = changes(two(night=5, day=5), two(night=6, day=6))
    assert (everywhere.term, everywhere.period) == ("PEEP", None)


def test_other_hours_and_another_name_of_a_period_are_changes() -> None:
    assert told(two(), two(hours="22:00 to 07:00")) == [
        ("changed", "period", "night from 21:00 to 07:00", "night from 22:00 to 07:00")
    ]
    renamed = two().replace("settings day", "settings awake")
    assert told(two(), renamed) == [("changed", "period", "day", "awake")]


def test_a_period_that_came_is_held_against_what_held_all_day() -> None:
    old = settings("PEEP 5 cmH2O", "rate 20 /min")
    new = f"{old}settings night from 21:00 to 07:00\n  PEEP 6 cmH2O\n"
    found = changes(old, new)
    assert [(each.term, each.before, each.after, each.period) for each in found] == [
        ("period", "all day", "night from 21:00 to 07:00", None),
        ("PEEP", "5 cmH2O", "6 cmH2O", "night"),
    ]


def test_a_back_up_and_its_delay_are_compared() -> None:
    old = settings("mode CPAP") + "back-up after apnoea 15 s\n  rate 20 /min\n"
    assert [each.term for each in changes(old, old.replace("15 s", "20 s"))] == ["back-up"]
    assert [each.term for each in changes(old, settings("mode CPAP"))] == ["back-up", "fallback rate"]


CHECK = 'checked 2026-11-02 16:05 by "pharmacist" code 00112233445566778899aabbccddeeff\n'
NURSE = 'checked 2026-11-03 09:00 by "nurse"\n'


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("", CHECK, ("checked", None, '2026-11-02 16:05 by "pharmacist"', "with a code")),
        (NURSE, "", ("checked", '2026-11-03 09:00 by "nurse"', None, "")),
        (CHECK, CHECK.replace("16:05", "17:00").replace("00", "11"),
         ('checked by "pharmacist"', "2026-11-02 16:05", "2026-11-02 17:11", "with another code")),
        (CHECK, CHECK.partition(" code")[0] + "\n",
         ('checked by "pharmacist"', "2026-11-02 16:05", "2026-11-02 16:05", "without a code now")),
    ],
)  # fmt: skip
def test_a_check_is_told_once_and_readably(old: str, new: str, told: tuple[str, str | None, str | None, str]) -> None:
    (change,) = changes(settings("PEEP 5 cmH2O") + old, settings("PEEP 5 cmH2O") + new)
    assert (change.term, change.before, change.after, change.how) == told
    assert change.key == "checked" and not change.is_order


def test_a_check_by_another_role_is_another_check() -> None:
    found = changes(settings("PEEP 5 cmH2O") + CHECK, settings("PEEP 5 cmH2O") + NURSE)
    assert [each.kind for each in found] == ["added", "removed"]


def test_a_heading_is_told_without_its_own_word() -> None:
    old = settings("mode CPAP") + "back-up after apnoea 15 s\n  rate 20 /min\n"
    (change,) = changes(old, old.replace("15 s", "20 s"))
    assert (change.before, change.after) == ("after apnoea 15 s", "after apnoea 20 s")
    readings = 'readings at 2026-11-03 04:00 by "nurse"\n  SpO2 95 %\n'
    (change,) = changes(SOUND, SOUND + readings)
    assert change.after == 'at 2026-11-03 04:00 by "nurse": SpO2 95 %'


# ---- every line is accounted for


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (settings("PEEP 5 cmH2O"), settings("PEEP 5 cmH2O", "PEPE 6 cmH2O")),
        (settings("PEEP 5 cmH2O"), settings("PEEP 5 cmH2O") + "nonsense here\n"),
        (settings("PEEP 5 cmH2O"), settings("PEEP 5 cmH2O", "PEEP 6 cmH2O")),
        (settings("PEEP 5 cmH2O"), settings("PEEP 5")),
        (settings("PEEP 5"), settings("PEEP 6")),
        (settings("PEEP 5 cmH2O"), settings("PEEP 5 cmH2O") + "settings nigth frm 21:00\n  PEEP 5 cmH2O\n"),
        (settings("rate by age", "  1 to 3 years  22 /min"), settings("rate by age", "  1 to 3 years  22")),
        (settings("PEEP 5 cmH2O"), settings("PEEP 5 cmH2O").replace("prescription", "template")),
        (settings("PEEP 5 cmH2O"), settings("PEEP 5 cmH2O").replace('"x"', '"y"')),
        (SOUND, SOUND.replace("checked 2026-11-02 16:05", "checked 2026-11-02 16:06")),
        (SOUND, SOUND + 'readings at 2026-11-03 04:00 by "nurse"\n  SpO2 95 %\n'),
    ],
)
def test_no_change_is_passed_over(old: str, new: str) -> None:
    assert changes(old, new) != []
    assert changes(new, old) != []


def test_a_line_that_can_t_be_read_says_so() -> None:
    (change,) = changes(settings("PEEP 5 cmH2O"), settings("PEEP 5"))
    assert (change.before, change.after, change.how) == ("5 cmH2O", "5", "the line can't be read now")


def test_taking_out_any_line_is_a_change() -> None:
    lines = SOUND.split("\n")
    for number, line in enumerate(lines):
        if not line.strip():
            continue
        without = "\n".join(lines[:number] + lines[number + 1 :])
        assert changes(SOUND, without), line


def test_any_two_documents_can_be_compared_both_ways() -> None:
    chance = random.Random(7)
    for old, new in chance.sample([*itertools.permutations(TEXTS, 2)], 60):
        there, back = changes_of(document(old), document(new)), changes_of(document(new), document(old))
        assert bool(there) == bool(back) == (old != new)
        assert all(each.before is not None or each.after is not None for each in there)


# ---- what follows from it


MODEL = """prescription "x"
patient
  age 40 years
  compliance 40 mL/cmH2O
  resistance 10 cmH2O/(L/s)
settings
  mode {mode}
  PEEP 5 cmH2O
  inspiratory pressure {pressure} cmH2O above ambient
  rate {rate} /min
  inspiratory time 1 s
{more}"""


def model(mode: str = "A/C-PC", pressure: str = "17", rate: str = "15", more: str = "") -> str:
    return MODEL.format(mode=mode, pressure=pressure, rate=rate, more=more)


def implied(old: str, new: str) -> dict[str, tuple[str | None, str | None]]:
    both = both_of(document(old), document(new))
    return {each.term: (each.told(each.before), each.told(each.after)) for each in implied_of(both) if each.is_changed}


def test_what_follows_is_told_before_and_after() -> None:
    found = implied(model(), model(rate="20"))
    assert found["ratio of times"] == ("1:3", "1:2")
    assert found["expiratory time"] == ("3 s", "2 s")
    assert "mandatory peak" not in found
    assert implied(model(), model(pressure="20"))["mandatory peak"] == ("17 cmH2O", "20 cmH2O")
    assert implied(model(), model()) == {}


def test_what_follows_of_a_range_is_a_range() -> None:
    old, new = (settings("PEEP 5 cmH2O", f"inspiratory pressure {each} cmH2O above ambient", kind="template")
                for each in ("15 to 20", "15 to 22"))  # fmt: skip
    assert implied(old, new)["pressure above baseline"] == ("10 cmH2O to 15 cmH2O", "10 cmH2O to 17 cmH2O")


READ = 'readings at 2026-11-02 04:00 by "nurse"\n  PaCO2 6 kPa\n'


def predicted(old: str, new: str) -> list[tuple[str, float, float]]:
    first, second = document(old), document(new)
    found = predicted_of(first, second, both_of(first, second))
    return [
        (each.reading, float(each.measured / each.unit.factor), round(float(each.expected / each.unit.factor), 6))
        for each in found
    ]


def volume(rate: int, more: str = "", mode: str = "A/C-VC") -> str:
    return settings(f"mode {mode}", "PEEP 5 cmH2O", "tidal volume 400 mL", f"rate {rate} /min") + more


def test_carbon_dioxide_follows_the_ventilation_where_both_are_known() -> None:
    assert predicted(volume(15, READ), volume(20)) == [("PaCO2", 6, 4.5)]
    expired = READ.replace("PaCO2", "EtCO2")
    assert predicted(volume(20, expired), volume(15)) == [("EtCO2", 6, 8)]


def test_readings_from_before_the_change_count_of_the_new_order_alone() -> None:
    before = READ.replace("readings at", "readings before change at")
    assert predicted(volume(15), volume(20, before)) == [("PaCO2", 6, 4.5)]
    assert predicted(volume(15, before), volume(20)) == []
    assert predicted(volume(15), volume(20, READ)) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (volume(15), volume(20)),  # nothing was measured
        (volume(15, READ), volume(15)),  # nothing changed
        (volume(10, READ), volume(21)),  # more than a modest change
        (volume(15, READ, mode="SIMV-VC"), volume(20, mode="SIMV-VC")),  # the patient adds breaths
        (volume(15, READ), volume(15).replace("400 mL", "450 mL")),  # the dead space is not known
        (volume(15, READ), volume(20).replace("  rate 20 /min\n", "")),
    ],
)
def test_nothing_is_predicted_that_is_not_known(old: str, new: str) -> None:
    assert predicted(old, new) == []


def test_the_dead_space_is_taken_off_where_it_is_known() -> None:
    patient = "patient\n  sex male\n  height 175.5 cm\n"
    old, new = (
        volume(15, READ).replace("settings", f"{patient}settings"),
        volume(15).replace("settings", f"{patient}settings"),
    )
    ((reading, measured, expected),) = predicted(old, new.replace("400 mL", "500 mL"))
    # 2.2 mL/kg of 50 + 0.91 (175.5 - 152.4) = 71.021 kg: 156.2462 mL, which leaves 243.7538 and 343.7538 mL of a breath
    assert (reading, measured) == ("PaCO2", 6)
    assert expected == pytest.approx(6 * 243.7538 / 343.7538, rel=1e-6)
