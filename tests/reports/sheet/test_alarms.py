"""The picture of the alarms: limits around what is expected, in words where there is no number."""

import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest

from rxlint.model.facts import Facts
from rxlint.reports.calculations import Value, values_of
from rxlint.reports.sheet.alarm_rows import WATCHED
from rxlint.reports.sheet.alarms import alarm_picture
from rxlint.reports.sheet.content_alarms import WATCHED as ASKED
from rxlint.reports.sheet.picture import NotDrawn, Picture, Table
from rxlint.reports.sheet.spans import bare
from rxlint.units import show
from tests.documents import document
from tests.reports.sheet.pictured import (
    EXAMPLES,
    HOSTILE,
    SVG,
    drawn,
    faults,
    of_examples,
    paths,
    rules,
    scope,
    scopes,
    sound,
    texts,
)

SLIPS = tuple(f"slips/{word}*.vrx" for word in ("minute-volume-alarm", "*alarm-off", "*leak-alarm", "*pressure-alarm"))
SETTINGS = """settings
  mode A/C-PC
  PEEP 5 cmH2O
  inspiratory pressure 20 cmH2O above ambient
  rate 16 /min
  inspiratory time 1 s
"""


def picture_of(facts: Facts, prefix: str = "alarms") -> Picture | NotDrawn:
    return alarm_picture(facts, rules().defined, prefix)


def order(*alarms: str, settings: str = SETTINGS, more: str = "") -> Picture:
    lines = "".join(f"  {line}\n" for line in alarms)
    return drawn(picture_of(scope(f'prescription "x"\n{settings}alarms\n{lines}{more}')))


def cell(table: Table | None, quantity: str, heading: str) -> str:
    assert table is not None
    (row,) = [row for row in table.rows if row[0] == quantity]
    return row[table.headings.index(heading)]


def test_every_example_is_drawn_without_a_fault() -> None:
    for name, facts in (*sound(), *of_examples(*SLIPS)):
        picture = drawn(picture_of(facts, "a1"))
        assert faults(picture, "a1") == [], name


# ---- the numbers are those of the program

TERMS = {
    "set rate": "rate",
    "baseline": "PEEP",
    "expected tidal volume": "tidal volume",
    "expected minute volume": "minute volume",
}


def expected_text(value: Value) -> str:
    if value.is_range:
        return f"{bare(value.low, value.unit)} to {show(value.high, value.unit)}"
    return show(value.low, value.unit)


def test_expected_values_are_the_derived_terms_as_they_are_told_elsewhere() -> None:
    seen = dict.fromkeys(TERMS, 0)
    for path in sorted([*EXAMPLES.glob("sound/*.vrx"), EXAMPLES / "templates/adult-transfer.vrx"]):
        text = path.read_text("utf-8")
        values = [each for each in values_of(document(text), frozenset(TERMS)) if each.readings is None]
        for facts in (each for each in scopes(text) if each.scope.readings is None):
            band = facts.band.label if facts.band is not None else None
            table = drawn(picture_of(facts)).table
            assert table is not None
            rows = {row[0]: row[table.headings.index("expected")] for row in table.rows}
            for value in values:
                quantity = TERMS[value.term]
                if (value.period, value.band) != (facts.period, band) or quantity not in rows:
                    continue
                seen[value.term] += 1
                assert rows[quantity].startswith(expected_text(value)), (path.name, value.term)
    assert seen["set rate"] > 30
    assert seen["expected minute volume"] > 10
    assert seen["baseline"] > 10


def test_the_peak_is_the_one_that_the_rules_compare_with() -> None:
    picture = order("low inspiratory pressure 10 cmH2O", "high inspiratory pressure 30 cmH2O")
    assert cell(picture.table, "inspiratory pressure", "expected") == "20 cmH2O, peak of the breaths"
    assert cell(picture.table, "inspiratory pressure", "low limit") == "10 cmH2O"
    assert cell(picture.table, "inspiratory pressure", "high limit") == "30 cmH2O"
    assert cell(picture.table, "inspiratory pressure", "beside it") == "PEEP 5 cmH2O"
    assert any("highest peak" in note for note in picture.notes)


def test_what_is_allowed_stands_beside_what_is_set() -> None:
    settings = SETTINGS.replace("rate 16 /min", "rate 16 /min allow 14 to 20 /min")
    picture = order("high rate 40 /min", settings=settings)
    assert cell(picture.table, "rate", "expected") == "16 /min (allowed 14 to 20), as set"
    assert "all that is allowed" in texts(picture.svg)


def test_a_minute_volume_comes_from_the_volume_aimed_at_where_none_is_set() -> None:
    more = "targets\n  expired tidal volume 400 to 500 mL\n"
    picture = order("low minute volume 3 L/min", more=more)
    assert cell(picture.table, "minute volume", "expected") == "6.4 to 8 L/min, set rate x volume aimed at"


def test_readings_have_a_mark_of_their_own() -> None:
    more = 'readings at 2026-11-24 08:00 by "nurse"\n  minute volume 6.2 L/min\n  SpO2 93 %\n'
    found = scopes(f'prescription "x"\n{SETTINGS}alarms\n  low minute volume 3 L/min\n  low SpO2 90 %\n{more}')
    (read,) = [each for each in found if each.scope.readings is not None]
    picture = drawn(picture_of(read))
    assert cell(picture.table, "minute volume", "read") == "6.2 L/min"
    assert cell(picture.table, "SpO2", "read") == "93 %"
    assert len(list(ET.fromstring(picture.svg).iter(f"{SVG}circle"))) == 3  # two of rows, one of the legend


def test_a_limit_per_kilogram_is_told_as_a_flow_and_as_written() -> None:
    weight = "patient\n  weight 80 kg measured 2026-11-01\n"
    picture = order("low minute volume 50 mL/kg/min of measured weight", more=weight)
    told = cell(picture.table, "minute volume", "low limit")
    assert told == "4 L/min (written: 50 mL/kg/min of measured weight)"


def test_both_limits_stand_in_one_unit() -> None:
    picture = order("low inspiratory pressure 10 cmH2O", "high inspiratory pressure 3 kPa")
    low, high = (cell(picture.table, "inspiratory pressure", f"{side} limit") for side in ("low", "high"))
    assert low == "10 cmH2O"
    assert high == "30.59 cmH2O (written: 3 kPa)"


# ---- geometry


def marks(picture: Picture, kind: str) -> list[list[tuple[float, float]]]:
    """Diamonds, or the thick lines of limits, of the first row, without the legend."""
    found = paths(picture.svg)
    if kind == "limit":
        return [line for attributes, line in found if attributes.get("stroke-width") == "3"]
    return [line for attributes, line in found if attributes["fill"] == "currentColor" and len(line) == 4]


def test_limits_and_expected_value_stand_on_one_scale() -> None:
    picture = order("low inspiratory pressure 10 cmH2O", "high inspiratory pressure 30 cmH2O")
    low, high = sorted(line[0][0] for line in marks(picture, "limit"))
    assert {"0", "40"} <= set(texts(picture.svg))
    assert low == pytest.approx(190 + 400 * 10 / 40)
    assert high == pytest.approx(190 + 400 * 30 / 40)
    diamond = marks(picture, "expected")[0]
    assert (diamond[0][0] + diamond[2][0]) / 2 == pytest.approx(190 + 400 * 20 / 40)


def zones(picture: Picture) -> list[tuple[float, float]]:
    found = [line for attributes, line in paths(picture.svg) if attributes["fill"].startswith("url")]
    return sorted((min(x for x, _ in line), max(x for x, _ in line)) for line in found[:-1])  # the last is the legend's


def test_the_alarm_sounds_outside_its_limits() -> None:
    picture = order("low inspiratory pressure 10 cmH2O", "high inspiratory pressure 30 cmH2O")
    assert zones(picture) == [(190, 290), (490, 590)]


def test_swapped_limits_leave_no_value_without_an_alarm() -> None:
    picture = order("low inspiratory pressure 30 cmH2O", "high inspiratory pressure 10 cmH2O")
    (start, low), (high, end) = sorted(zones(picture))
    assert (start, end) == (190, 590)
    assert low > high
    assert {"low 30 cmH2O", "high 10 cmH2O"} <= set(texts(picture.svg))


def test_a_saturation_scale_ends_at_the_whole() -> None:
    picture = order("low SpO2 92 %", "high SpO2 99 %", more="targets\n  SpO2 94 to 98 %\n")
    assert "100" in texts(picture.svg)
    assert cell(picture.table, "SpO2", "aimed at") == "94 to 98 %"


# ---- in words


def test_what_is_off_or_not_stated_is_told_in_words() -> None:
    picture = order('low minute volume off because "awake"', "high minute volume 12 L/min", "high rate 30 /min")
    assert cell(picture.table, "minute volume", "low limit") == 'off, "awake"'
    assert cell(picture.table, "rate", "low limit") == "not stated"
    assert {"low off", '"awake"', "low not stated"} <= set(texts(picture.svg))
    assert "no limit stated for: inspiratory pressure" in " ".join(texts(picture.svg))


def test_where_nothing_is_expected_the_row_says_so() -> None:
    picture = order("low minute volume 3 L/min")
    assert cell(picture.table, "minute volume", "expected") == "not known for want of tidal volume"
    assert "expected: not known for want of tidal volume" in texts(picture.svg)


def test_a_limit_that_can_t_be_read_is_told() -> None:
    picture = order("low minute volume 3 L/min", "high minute volume 12 parsecs")
    assert cell(picture.table, "minute volume", "high limit") == "stated, could not be read"


def test_delays_are_told_with_their_limits() -> None:
    picture = order("low SpO2 86 % after 30 s", "apnoea after 20 s", "disconnection on")
    assert cell(picture.table, "SpO2", "low limit") == "86 % after 30 s"
    assert cell(picture.table, "time without a breath (apnoea)", "high limit") == "20 s"
    assert cell(picture.table, "time without a breath (apnoea)", "expected").startswith("3.75 s")
    assert cell(picture.table, "time disconnected (disconnection)", "high limit") == "on, no value stated"
    assert faults(picture, "alarms") == []


def test_a_leak_limit_as_a_share_stands_on_a_scale_of_shares() -> None:
    picture = order("high leak 40 %")
    assert cell(picture.table, "leak", "high limit") == "40 %"
    assert cell(picture.table, "leak", "expected") == "not known: the limit is a share of the flow"


def test_the_range_of_a_limit_is_drawn_with_both_ends() -> None:
    lines = SETTINGS + "alarms\n  low inspiratory pressure 10 to 12 cmH2O\n"
    picture = drawn(picture_of(scope(f'template "x"\n{lines}')))
    assert cell(picture.table, "inspiratory pressure", "low limit") == "10 to 12 cmH2O"
    assert len(marks(picture, "limit")) == 2
    assert "the limit may be set here" in texts(picture.svg)


def test_power_loss_is_told_in_words() -> None:
    assert "power loss alarm: on" in texts(order("power loss on").svg)
    assert 'power loss alarm: off, "never plugged in"' in texts(order('power loss off because "never plugged in"').svg)
    assert "power loss alarm: not stated" in texts(order("high rate 30 /min").svg)


def test_hostile_reasons_are_text() -> None:
    reason = HOSTILE.replace("\\", "\\\\").replace('"', '\\"')
    picture = order(f'low minute volume off because "{reason}"', f'power loss off because "{reason}"')
    assert faults(picture, "alarms") == []
    assert HOSTILE in cell(picture.table, "minute volume", "low limit")
    assert HOSTILE in cell(picture.table, "power loss", "low limit")


def test_an_order_without_alarms_is_not_drawn() -> None:
    assert picture_of(scope(f'prescription "x"\n{SETTINGS}')) == NotDrawn(
        "Alarm limits", ("the order states no alarm",)
    )


def test_an_absurd_limit_is_drawn_where_it_stands() -> None:
    picture = order("low inspiratory pressure 10 cmH2O", "high inspiratory pressure 120 cmH2O", "high leak 0 L/min")
    assert faults(picture, "alarms") == []
    assert cell(picture.table, "leak", "high limit") == "0 L/min"


def test_without_the_terms_of_rules_nothing_is_invented() -> None:
    from rxlint.model.facts import facts_of

    text = f'prescription "x"\n{SETTINGS}alarms\n  high inspiratory pressure 30 cmH2O\n'
    (facts,) = facts_of(document(text))
    picture = drawn(alarm_picture(facts, {}))
    assert cell(picture.table, "inspiratory pressure", "expected").startswith("not known")


def test_the_same_facts_give_the_same_picture() -> None:
    _, facts = sound()[0]
    assert picture_of(facts) == picture_of(facts)
    assert isinstance(facts.constants["alarm apnoea"], Fraction)


def test_the_sums_that_are_asked_measure_from_what_the_picture_shows() -> None:
    """Two tables say which expected value a limit watches: for the picture with its ways, for the sums with a side."""
    shown = {key: row for row in WATCHED for key in (row.low, row.high) if key is not None}
    for asked in ASKED:
        row = shown[asked.alarm]
        is_low = asked.side == "below"
        assert asked.alarm == (row.low if is_low else row.high)
        ways = [way.low if is_low else way.high for way in row.ways]
        target = [f"target {'low' if is_low else 'high'} {row.target}"] if row.target is not None else []
        assert [key for key, _ in asked.expected] == [each for each in (*ways, *target) if each in dict(asked.expected)]
