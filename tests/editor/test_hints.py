"""What follows from a value, beside it: worked out with its numbers, never judged, and nothing where it can't be."""

import re

import pytest

from rxlint.editor.hints import hints
from rxlint.editor.snapshot import Snapshot
from tests.editor.texts import damaged, example, prefixes, read

ALL = (1, 10**6)
HEAD = (
    'prescription "p"\npatient\n  age  54 years\n  sex  male\n  height  178 cm\n  weight  81 kg measured 2026-10-30\n'
)


def told(snapshot: Snapshot) -> dict[str, str]:
    """The hints by the first words of their line."""
    found: dict[str, str] = {}
    for hint in hints(snapshot, *ALL):
        line = snapshot.lines[hint.at.line - 1].text
        found[" ".join(line[: hint.at.column - 1].split())] = hint.text
    return found


def test_the_hints_of_an_order() -> None:
    assert told(example("sound/TM-0417-tracheostomy-night", ruled=False)) == {
        "inspiratory pressure 17 cmH2O above ambient allow 15 to 20 cmH2O": "12 cmH2O above PEEP",
        "pressure support 12 cmH2O above PEEP allow 10 to 15 cmH2O": "peak 17 cmH2O above ambient",
        "rate 20 /min": "I:E 1:2",
        "inspiratory time 1 s": "I:E 1:2",
        "cylinder 460 L": "lasts 920 min",
    }


def test_a_tooltip_shows_the_calculation_and_its_source() -> None:
    snapshot = example("sound/TM-0417-tracheostomy-night", ruled=False)
    (hint,) = hints(snapshot, 35, 35)
    assert hint.tooltip.split("\n") == [
        "supported peak = PEEP + pressure support = 5 cmH2O + 12 cmH2O = 17 cmH2O",
        "pressure that a supported breath is set to reach, above ambient; source: ISO 19223:2019 (pressures relative "
        "to ambient and to the baseline); read through public summaries",
    ]


def test_a_template_has_ranges_and_a_table_one_hint_a_row() -> None:
    found = told(example("templates/tracheostomy-night", ruled=False))
    assert found["pressure support 9 to 16 cmH2O above PEEP"] == "peak 15 to 20 cmH2O above ambient"
    assert found["6 to 9 years 18 to 24 /min"] == "I:E 1:3.76 to 1:1.5"
    assert found["12 to 16 years 12 to 20 /min"] == "I:E 1:4.56 to 1:1.5"


@pytest.mark.parametrize(
    ("volume", "hint"),
    [
        ("tidal volume  440 mL", "6.003 mL/kg of predicted weight"),  # 50 + 0.91 x (178 - 152.4) = 73.296 kg
        ("tidal volume  6 mL/kg of predicted weight", "439.8 mL"),
    ],
)
def test_a_volume_per_kilogram_and_the_other_way_round(volume: str, hint: str) -> None:
    found = told(read(f"{HEAD}settings\n  mode  A/C-VC\n  {volume}\n"))
    assert list(found.values()) == [hint]


def child(weight: str) -> dict[str, str]:
    return told(
        read(f'prescription "p"\npatient\n  age  4 years\n  weight  {weight}\nsettings\n  tidal volume  112 mL\n')
    )


def test_a_small_child_is_counted_by_a_measured_weight_and_never_by_an_estimate() -> None:
    assert child("16 kg measured 2026-10-30") == {"tidal volume 112 mL": "7 mL/kg of measured weight"}
    assert child("16 kg estimated") == {}
    assert child("16 kg birth") == {}


def test_a_volume_target_has_no_hint_where_the_volume_comes_from_elsewhere() -> None:
    both = f"{HEAD}settings\n  tidal volume  440 mL\n  volume target  500 mL\n"
    assert "volume target 500 mL" not in told(read(both))


def test_a_back_up_rate_has_no_ratio_of_the_rate_s() -> None:
    text = f"{HEAD}settings\n  rate  15 /min\n  back-up rate  12 /min\n  inspiratory time  1 s\n"
    assert told(read(text)) == {"rate 15 /min": "I:E 1:3", "inspiratory time 1 s": "I:E 1:3"}


def test_an_alarm_of_minute_volume_has_the_expected_one_unless_it_is_off() -> None:
    text = f"{HEAD}settings\n  tidal volume  500 mL\n  rate  12 /min\nalarms\n  low minute volume  4 L/min\n"
    assert told(read(text))["low minute volume 4 L/min"] == "expected minute volume 6 L/min"
    assert "expected" not in str(told(read(text.replace("4 L/min", 'off because "x"'))))


def test_a_pressure_above_peep_has_its_peak() -> None:
    text = "settings\n  PEEP  5 cmH2O\n  inspiratory pressure  12 cmH2O above PEEP\n"
    assert list(told(read(HEAD + text)).values()) == ["peak 17 cmH2O above ambient"]
    without = text.replace("  PEEP  5 cmH2O\n", "")
    assert told(read(HEAD + without)) == {}


def test_periods_that_differ_are_told_together() -> None:
    text = (
        f"{HEAD}settings\n  tidal volume  500 mL\n  inspiratory time  1 s\n"
        "settings night\n  rate  12 /min\nsettings day\n  rate  15 /min\n"
    )
    snapshot = read(text)
    assert told(snapshot)["rate 12 /min"] == "I:E 1:4"
    assert told(snapshot)["rate 15 /min"] == "I:E 1:3"


def test_only_the_lines_that_are_asked_for() -> None:
    snapshot = example("sound/TM-0417-tracheostomy-night", ruled=False)
    assert [hint.at.line for hint in hints(snapshot, 34, 37)] == [34, 35, 37]
    assert hints(snapshot, 1, 10) == ()


def test_no_hint_says_that_anything_is_right() -> None:
    words = re.compile(r"\b(ok|fine|good|right|correct|safe|normal|within|sound|approved)\b", re.IGNORECASE)
    for name in ("sound/TM-0508-adult-lung-protective", "templates/neuromuscular-night"):
        for hint in hints(example(name, ruled=False), *ALL):
            assert words.search(f"{hint.text} {hint.tooltip.split('; source')[0]}") is None


def test_a_hint_stands_behind_a_line_that_reads_whatever_else_is_written() -> None:
    seen = 0
    for snapshot in [*prefixes(60, "sound", "slips"), *damaged(60, "sound", "slips")]:
        found = hints(snapshot, *ALL)
        assert [hint.at for hint in found] == sorted(hint.at for hint in found)
        for hint in found:
            entry = snapshot.entry_at(hint.at)
            assert entry is not None and entry.statement is not None and entry.statement.readable
            assert hint.at.column - 1 == len(entry.text.split("\n")[-1])
            assert hint.text and hint.tooltip
        seen += len(found)
    assert seen > 150
