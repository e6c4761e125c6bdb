"""The picture of an order's breaths: its numbers are those of the calculations, and what is not known is not drawn."""

from fractions import Fraction
from functools import cache

import pytest

from rxlint.model.facts import Facts
from rxlint.reports.sheet.drawing import svg_of
from rxlint.reports.sheet.picture import NotDrawn, Picture
from rxlint.reports.sheet.waves import HEADING, breath_pictures
from rxlint.reports.sheet.waves_breaths import CALCULATED, PREDICTED, SET, Breath, Line, Mark
from rxlint.reports.sheet.waves_layout import Content, drawing_of
from rxlint.reports.sheet.waves_order import Order
from tests.reports.sheet.pictured import HOSTILE, drawn, faults, of_examples, paths, scope, sound, texts

ALARM, MANDATORY, SUPPORTED, LUNG = "1.6 3.4", ("2", None), ("2", "7 4"), ("1", None)
NO_LUNG = "the order states no compliance of the patient and no resistance of the patient"
MECHANICS = "compliance 50 mL/cmH2O", "resistance 10 cmH2O/(L/s)"
SLOW = "compliance 70 mL/cmH2O", "resistance 20 cmH2O/(L/s)", "expiratory resistance 28 cmH2O/(L/s)"
PC = (
    "mode A/C-PC",
    "PEEP 5 cmH2O",
    "inspiratory pressure 16 cmH2O above ambient",
    "rate 15 /min",
    "inspiratory time 1 s",
)
VC = "mode A/C-VC", "PEEP 5 cmH2O", "tidal volume 500 mL", "rate 15 /min", "inspiratory time 1 s"
SIMV = (
    "mode SIMV-PC with PS", "PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient",
    "pressure support 10 cmH2O above PEEP", "rate 15 /min", "inspiratory time 1 s", "rise time 150 ms",
)  # fmt: skip
TARGET = (
    "mode A/C-vtPC", "PEEP 5 cmH2O", "volume target 500 mL", "minimum inspiratory pressure 10 cmH2O above ambient",
    "maximum inspiratory pressure 22 cmH2O above ambient", "rate 15 /min", "inspiratory time 1 s",
)  # fmt: skip
CSV = "mode CSV-PS", "PEEP 5 cmH2O", "pressure support 10 cmH2O above PEEP", "rise time 150 ms", "cycle-off 25 %"


def order(*settings: str, patient: tuple[str, ...] = (), alarms: tuple[str, ...] = (), more: str = "") -> Facts:
    sections = (("patient", patient), ("settings", settings), ("alarms", alarms))
    lines = "".join(f"{name}\n" + "".join(f"  {each}\n" for each in found) for name, found in sections if found)
    return scope(f'prescription "x"\n{lines}{more}')


def picture(facts: Facts, which: int = 0) -> Picture:
    return drawn(breath_pictures(facts)[which])


def rows(found: Picture) -> dict[str, tuple[str, str]]:
    """What the table says, by what it is of."""
    assert found.table is not None
    kept = {what: (value, origin) for what, value, origin in found.table.rows}
    assert len(kept) == len(found.table.rows), "two rows of one name"
    return kept


def panels(found: Picture) -> list[str]:
    names = ("Airway pressure", "Flow, L/min", "Volume, mL")
    return [name for name in names if any(text.startswith(name) for text in texts(found.svg))]


def lines(found: Picture, style: tuple[str, str | None]) -> list[list[tuple[float, float]]]:
    return [
        points for each, points in paths(found.svg)
        if (each.get("stroke-width"), each.get("stroke-dasharray")) == style and len(points) > 2
    ]  # fmt: skip


# ---- every example
@cache
def examples() -> tuple[tuple[str, Facts, tuple[Picture | NotDrawn, ...]], ...]:
    return tuple((name, facts, breath_pictures(facts, "w1")) for name, facts in sound())


def test_every_example_has_pictures_without_a_fault_or_reasons() -> None:
    seen = 0
    for name, facts, found in examples():
        assert len(found) == (2 if "fallback block" in facts.constants else 1), name
        for each, prefix in zip(found, ("w1-breaths", "w1-back-up"), strict=False):
            if isinstance(each, NotDrawn):
                assert each.why and all(each.why), name
                continue
            seen += 1
            assert faults(each, prefix) == [], name
            assert each.notes and all(note[0] == note[0].upper() and note.endswith(".") for note in each.notes), name
            assert any("not a recording" in text for text in texts(each.svg)), name
            assert len(panels(each)) == 3 or any("not drawn: " in note for note in each.notes), name
    assert seen > 40


def test_every_sound_prescription_is_drawn_but_for_high_flow() -> None:
    for name, facts in of_examples("sound/*.vrx"):
        assert facts.mode is not None
        assert all(isinstance(each, Picture) for each in breath_pictures(facts)) or facts.mode.pattern == "high flow", (
            name
        )


def test_numbers_that_are_told_as_calculated_are_those_of_the_calculations() -> None:
    keys = {
        "highest airway pressure, mandatory breath": "modelled peak",
        "pressure in the lung at the end of inspiration, mandatory breath": "modelled plateau",
        "tidal volume, mandatory breath": "modelled tidal volume",
        "total PEEP": "modelled total PEEP",
        "intrinsic PEEP": "modelled intrinsic PEEP",
    }
    told = set()
    for name, facts, found in examples():
        for each in found:
            for what, (value, origin) in (rows(each) if isinstance(each, Picture) else {}).items():
                if origin.startswith("calculated"):
                    key = keys.get(what, what)
                    assert value == Order(facts).text(key), (name, what)
                    told.add(key)
    assert told == set(keys.values())


def test_a_number_that_the_model_shares_with_the_calculations_is_never_told_otherwise() -> None:
    """Every modelled term of a breath that is drawn with its lung stands in the table, as the reports tell it."""
    seen = 0
    for name, facts, found in examples():
        first = found[0]
        if isinstance(first, Picture) and "Flow, L/min" in panels(first) and lines(first, LUNG):
            values = {value for value, _ in rows(first).values()}
            for key in ("modelled tidal volume", "modelled plateau", "modelled total PEEP", "modelled peak"):
                if isinstance(facts.as_set.value(key), Fraction):
                    seen += 1
                    assert Order(facts).text(key) in values, (name, key)
    assert seen > 5


def test_every_alarm_limit_that_is_stated_stands_in_the_table_and_pressures_in_the_picture() -> None:
    for name, facts, found in examples():
        for each in found:
            if not isinstance(each, Picture):
                continue
            told = rows(each)
            for term in ("high inspiratory pressure", "low inspiratory pressure", "low PEEP", "high tidal volume"):
                if isinstance(facts.as_set.value(f"alarm {term}"), Fraction):
                    text = Order(facts).text(f"alarm {term}")
                    assert told[f"{term} alarm"] == (text, SET), name
                    if "volume" not in term:
                        assert f"{term.replace('inspiratory ', '')} alarm {text}" in texts(each.svg), name


# ---- what is drawn with the lung's mechanics, and what without
def test_pressure_control_with_mechanics_has_three_panels() -> None:
    found = picture(order(*PC, patient=MECHANICS))
    assert panels(found) == ["Airway pressure", "Flow, L/min", "Volume, mL"]
    told = rows(found)
    assert told["tidal volume, mandatory breath"] == ("474.5 mL", CALCULATED)
    assert told["highest airway pressure, mandatory breath"] == ("16 cmH2O", SET)
    assert "volume 474.5 mL" in texts(found.svg) and "peak 16 cmH2O" in texts(found.svg)
    assert "peak inspiratory flow, mandatory breath 65.9 L/min" in found.alt
    assert "No rise time is stated: the pressure is drawn rising at once." in found.notes
    assert any("compliance 50 mL/cmH2O, resistance 10 cmH2O/(L/s)" in note for note in found.notes)
    assert len(lines(found, MANDATORY)) == 6 and len(lines(found, LUNG)) == 2


def test_a_rise_time_is_drawn_and_the_calculations_without_it_are_told_beside() -> None:
    found = picture(order(*PC, "rise time 150 ms", patient=MECHANICS))
    told = rows(found)
    assert told["tidal volume, mandatory breath"] == ("462 mL", PREDICTED)
    assert told["modelled tidal volume"] == ("474.5 mL", "calculated from the order, the pressure rising at once")
    assert any("the picture has the rise time of 150 ms" in note for note in found.notes)


def test_pressure_control_without_mechanics_has_its_set_pressure_alone() -> None:
    found = picture(order(*PC))
    assert panels(found) == ["Airway pressure"]
    assert f"Flow and volume not drawn: {NO_LUNG}." in found.notes
    assert any(text.startswith("Flow and volume not drawn") for text in texts(found.svg))
    assert "volume" not in " ".join(rows(found))
    assert len(lines(found, MANDATORY)) == 2 and not lines(found, LUNG)


@pytest.mark.parametrize(
    ("patient", "why"),
    [
        (MECHANICS[:1], "the order states no resistance of the patient"),
        (MECHANICS[1:], "the order states no compliance of the patient"),
        (("compliance 50 mL/cmH2O", "resistance 1O cmH2O/(L/s)"), "resistance of the patient is stated but could"),
        ((*MECHANICS, "expiratory resistance much"), "expiratory resistance of the patient is stated but could"),
    ],
)
def test_half_of_the_mechanics_is_none(patient: tuple[str, ...], why: str) -> None:
    found = picture(order(*PC, patient=patient))
    assert panels(found) == ["Airway pressure"]
    assert any(why in note for note in found.notes), found.notes


def test_volume_control_without_mechanics_has_flow_and_volume_of_the_inspiration() -> None:
    found = picture(order(*VC))
    assert panels(found) == ["Airway pressure", "Flow, L/min", "Volume, mL"]
    why = f"Pressure in inspiration and flow and volume in expiration not drawn: {NO_LUNG}."
    assert why in found.notes
    told = rows(found)
    assert told["peak inspiratory flow, mandatory breath"] == ("30 L/min", "set in the order, flow taken as constant")
    assert told["tidal volume, mandatory breath"] == ("500 mL", SET)
    assert "highest airway pressure, mandatory breath" not in told
    volume = lines(found, MANDATORY)
    assert [len(each) for each in volume] == [5, 5, 3, 3]  # flow and volume of both; the baseline has two points


def test_volume_control_with_a_flow_and_mechanics_has_the_peak_of_the_calculations() -> None:
    found = picture(order(*VC[:-1], "inspiratory flow 30 L/min", "inspiratory pause 0.2 s", patient=MECHANICS))
    told = rows(found)
    assert told["peak inspiratory flow, mandatory breath"] == ("30 L/min", SET)
    assert told["highest airway pressure, mandatory breath"][1] == CALCULATED
    assert told["highest airway pressure, mandatory breath"][0] == "20.04 cmH2O"
    assert not any("constant" in note for note in found.notes)


def test_times_that_do_not_fit_are_told_or_not_drawn() -> None:
    longer = order(*VC, "inspiratory flow 45 L/min", "inspiratory pause 0.1 s")
    assert "The flow lasts 0.667 s and the pause 0.333 s in the picture." in picture(longer).notes
    (none,) = breath_pictures(order(*VC, "inspiratory flow 20 L/min"))
    assert isinstance(none, NotDrawn)
    assert none.why[0].endswith("the tidal volume takes longer at the inspiratory flow than the inspiration lasts")
    (none,) = breath_pictures(order(*VC, "inspiratory pause 1 s"))
    assert isinstance(none, NotDrawn) and "leaves no time for the flow" in none.why[0]


def test_a_peak_above_the_highest_pressure_is_told() -> None:
    found = picture(order(*VC, "maximum inspiratory pressure 15 cmH2O above ambient", patient=MECHANICS))
    assert any("lies above the highest pressure that is allowed" in note for note in found.notes)
    found = picture(order(*VC, "maximum inspiratory pressure 35 cmH2O above ambient", patient=MECHANICS))
    assert not any("lies above the highest" in note for note in found.notes)


# ---- mandatory and supported
def test_mandatory_breaths_are_solid_and_supported_ones_dashed() -> None:
    found = picture(order(*SIMV, "cycle-off 25 %", patient=MECHANICS))
    assert {"mandatory", "supported"} <= set(texts(found.svg))
    assert len(lines(found, MANDATORY)) == len(lines(found, SUPPORTED)) == 3
    assert {"peak, mandatory 17 cmH2O", "peak, supported 15 cmH2O"} <= set(texts(found.svg))
    assert "A mandatory breath and then" not in found.alt
    assert "a mandatory and then a supported breath" in found.alt
    told = rows(found)
    assert told["inspiratory time, supported breath, without effort"] == ("0.843 s", PREDICTED)
    assert any("without any effort" in note for note in found.notes)
    assert any("one cycle of the set rate" in note for note in found.notes)


def test_equal_peaks_are_labelled_once() -> None:
    settings = [each.replace("support 10", "support 12") for each in SIMV]
    found = picture(order(*settings, "cycle-off 25 %"))
    assert texts(found.svg).count("peak 17 cmH2O") == 1


def test_a_supported_breath_without_mechanics_has_no_end() -> None:
    found = picture(order(*SIMV, "cycle-off 25 %"))
    assert panels(found) == ["Airway pressure"]
    assert "…" in texts(found.svg)
    assert any("the line stops short of an end" in note for note in found.notes)
    assert "ends at 25 % of peak flow" in texts(found.svg)


@pytest.mark.parametrize(
    ("cycling", "why"),
    [
        ("cycle-off 0 %", "a cycle-off of 0 % gives the breath no end"),
        ("trigger flow", "the order states no cycle-off"),
        ("cycle-off 25 5", "cycle-off is stated but could not be read"),
    ],
)
def test_support_that_nothing_ends_has_no_flow_and_no_volume(cycling: str, why: str) -> None:
    found = picture(order(*SIMV, cycling, patient=MECHANICS))
    assert f"Flow and volume of the supported breath not drawn: {why}." in found.notes
    assert len(lines(found, MANDATORY)) == 3 and len(lines(found, SUPPORTED)) == 1


def test_a_longest_time_gives_it_a_latest_end() -> None:
    times = "minimum inspiratory time 0.5 s", "maximum inspiratory time 1.3 s"
    found = picture(order(*SIMV, *times))
    assert "…" not in texts(found.svg)
    assert any("at the latest where the thin line falls" in note for note in found.notes)
    assert "0.5 s to 1.3 s" in " ".join(texts(found.svg))
    limited = picture(order(*SIMV, "cycle-off 5 %", "maximum inspiratory time 1.1 s", patient=SLOW))
    assert rows(limited)["inspiratory time, supported breath, without effort"] == ("1.1 s", PREDICTED)
    assert "longest time" in " ".join(texts(limited.svg))
    held = picture(order(*SIMV, "cycle-off 60 %", "minimum inspiratory time 1.2 s", patient=MECHANICS))
    assert rows(held)["inspiratory time, supported breath, without effort"] == ("1.2 s", PREDICTED)


def test_what_is_left_in_the_lung_is_labelled_and_alarm_volumes_count_from_it() -> None:
    alarms = "high tidal volume 700 mL", "low tidal volume 200 mL"
    found = picture(order(*SIMV[:4], "rate 22 /min", "inspiratory time 1 s", patient=SLOW, alarms=alarms))
    told = rows(found)
    assert told["volume left in the lung, mandatory breath"] == ("223 mL", PREDICTED)
    assert "left in, mandatory 223 mL" in texts(found.svg)
    assert any("count from the volume that is left in the lung" in note for note in found.notes)
    tops = [points[0][1] for each, points in paths(found.svg) if each.get("stroke-dasharray") == ALARM]
    assert len(tops) == 2
    # 500 mL between the two limits; the axis of volume has 200 mL a step
    ticks = {text: y for text, y in ticks_of(found) if text in ("200", "400")}
    assert tops[1] - tops[0] == pytest.approx(500 / 200 * (ticks["200"] - ticks["400"]), abs=0.3)
    assert ticks["200"] - 23 / 200 * (ticks["200"] - ticks["400"]) > tops[1]


def ticks_of(found: Picture) -> list[tuple[str, float]]:
    import xml.etree.ElementTree as ET

    from tests.reports.sheet.pictured import SVG

    return [(each.text or "", float(each.attrib["y"])) for each in ET.fromstring(found.svg).iter(f"{SVG}text")]


def test_timed_breaths_have_the_level_of_supported_ones() -> None:
    settings = "mode S/T-PS", "EPAP 4 cmH2O", "pressure support 10 cmH2O above PEEP", "back-up rate 15 /min"
    found = picture(order(*settings, "inspiratory time 1 s"))
    assert rows(found)["highest airway pressure, mandatory breath"] == ("14 cmH2O", SET)
    assert "EPAP 4 cmH2O" in texts(found.svg)
    untimed = picture(order(*settings, "maximum inspiratory time 1.2 s"))
    assert "The mandatory breath is not drawn: the order states no inspiratory time." in untimed.notes
    assert rows(untimed)["highest airway pressure, supported breath"] == ("14 cmH2O", SET)


def test_a_spontaneous_mode_has_one_supported_breath_and_its_back_up() -> None:
    back_up = "back-up after apnoea 15 s\n  inspiratory pressure 17 cmH2O above ambient\n  rate 16 /min\n  I:E 1:2\n"
    facts = order(*CSV, patient=MECHANICS, more=back_up)
    first, second = (drawn(each) for each in breath_pictures(facts))
    assert "one supported breath" in first.alt
    assert any("until 1 % of its volume is left" in note for note in first.notes)
    assert "two mandatory breaths" in second.alt
    assert rows(second)["highest airway pressure, mandatory breath"] == ("17 cmH2O", SET)
    assert "1.25 s in, 2.5 s out" in texts(second.svg)
    assert "These breaths begin after an apnoea of 15 s." in second.notes
    assert first.heading == HEADING != second.heading


@pytest.mark.parametrize(
    ("lines_", "why"),
    [
        ("", "the order states no pressure or volume in the back-up section that a breath can be drawn by"),
        ("  tidal volume 400 mL\n", "the order states no inspiratory time in the back-up section"),
        (
            "  tidal volume 400 mL\n  inspiratory pressure 17 cmH2O above ambient\n",
            "states both a pressure and a volume",
        ),
        ("  tidal volume 400 mL\n  rate 12 /min\n  inspiratory time 6 s\n", "leaves no time for expiration"),
        ("  inspiratory pressure 4 cmH2O above ambient\n  rate 12 /min\n  inspiratory time 1 s\n", "is not above zero"),
    ],
)
def test_a_back_up_that_can_t_be_drawn_says_why(lines_: str, why: str) -> None:
    _, found = breath_pictures(order(*CSV, more=f"back-up after apnoea 15 s\n{lines_}"))
    assert isinstance(found, NotDrawn)
    assert any(why in each for each in found.why), found.why


def test_a_back_up_by_volume_has_its_own_peep() -> None:
    lines_ = "  PEEP 6 cmH2O\n  tidal volume 400 mL\n  rate 12 /min\n  inspiratory time 1 s\n"
    found = picture(order(*CSV, more=f"back-up after apnoea 15 s\n{lines_}"), 1)
    assert rows(found)["pressure between breaths"] == ("6 cmH2O", SET)
    assert rows(found)["tidal volume, mandatory breath"] == ("400 mL", SET)


# ---- volume targets
def test_a_volume_target_without_mechanics_is_a_stretch_of_pressure() -> None:
    found = picture(order(*TARGET))
    assert any(each["fill"].startswith("url(") for each, _ in paths(found.svg))
    assert {"at most 22 cmH2O", "at least 10 cmH2O"} <= set(texts(found.svg))
    assert any("it lies within the shaded stretch" in note for note in found.notes)
    assert rows(found)["volume target"] == ("500 mL", SET)


@pytest.mark.parametrize(
    ("target", "volume", "words"),
    [
        ("500 mL", "500 mL", "takes 16.6 cmH2O above ambient at the stated compliance and resistance."),
        ("1100 mL", "733 mL", "more than the highest that is allowed: it is not reached."),
        ("100 mL", "216 mL", "less than the lowest that is allowed: more than the target flows in."),
    ],
)
def test_a_volume_target_with_mechanics_finds_its_pressure(target: str, volume: str, words: str) -> None:
    found = picture(order(*TARGET[:2], f"volume target {target}", *TARGET[3:], patient=MECHANICS))
    assert rows(found)["tidal volume, mandatory breath"] == (volume, PREDICTED)
    assert any(note.endswith(words) for note in found.notes), found.notes


def test_targeted_support_finds_its_pressure_too() -> None:
    settings = "mode CSV-vtPS", "PEEP 5 cmH2O", "volume target 400 mL", "cycle-off 25 %", "rise time 150 ms"
    found = picture(order(*settings, "maximum inspiratory pressure 22 cmH2O above ambient", patient=MECHANICS))
    assert rows(found)["tidal volume, supported breath, without effort"] == ("400 mL", PREDICTED)
    assert rows(found)["volume target"] == ("400 mL", SET)
    short = picture(order(*settings, "maximum inspiratory pressure 14 cmH2O above ambient", patient=MECHANICS))
    assert rows(short)["highest airway pressure, supported breath"] == ("14 cmH2O", PREDICTED)
    assert any(note.endswith("more than the highest that is allowed: it is not reached.") for note in short.notes)
    plain = picture(order(*settings, "maximum inspiratory pressure 22 cmH2O above ambient"))
    assert any("within the shaded stretch" in note for note in plain.notes)
    timed = "mode S/T-vtPS", *settings[1:], "back-up rate 15 /min", "inspiratory time 1 s"
    both = rows(picture(order(*timed, "maximum inspiratory pressure 22 cmH2O above ambient", patient=MECHANICS)))
    pressure = both["highest airway pressure, mandatory breath"]
    assert both["highest airway pressure, supported breath"] == pressure
    assert both["tidal volume, mandatory breath"] == ("400 mL", PREDICTED)


# ---- what is not drawn, and what is drawn as set
@pytest.mark.parametrize(
    ("settings", "why"),
    [
        (("PEEP 5 cmH2O",), "the order states no mode"),
        (("mode unheard-of",), "the mode can't be read"),
        (("mode pressure release",), "breaths of this mode (airway pressure release) are not modelled"),
        (("mode high flow", "gas flow 30 L/min"), "a high flow of gas past the patient sets no pressure and no breath"),
        (("mode CPAP",), "the order states no PEEP"),
        (("mode A/C-PC", "PEEP 5 cmH2O"), "no inspiratory pressure, no inspiratory time and no rate"),
        (
            ("mode A/C-PC", "PEEP 4 to 6 cmH2O", *PC[2:4], "inspiratory time 0.8 to 1 s"),
            "the mandatory breath is not drawn: PEEP and inspiratory time are stated as a range",
        ),
        ((*PC[:4], "inspiratory time 5 s"), "is not above zero"),
        ((*PC, "rise time 1200 ms"), "rise time (1.2) must not be above inspiratory time (1)"),
    ],
)
def test_what_can_t_be_drawn_says_why(settings: tuple[str, ...], why: str) -> None:
    (found,) = breath_pictures(order(*settings))
    assert isinstance(found, NotDrawn)
    assert any(why in each for each in found.why), found.why


def test_cpap_is_its_baseline() -> None:
    found = picture(order("mode CPAP", "PEEP 6 cmH2O", patient=MECHANICS, alarms=("low PEEP 4 cmH2O",)))
    assert panels(found) == ["Airway pressure"]
    assert {"spontaneous", "PEEP 6 cmH2O", "low PEEP alarm 4 cmH2O"} <= set(texts(found.svg))
    assert any("flow and volume are the patient's own" in note for note in found.notes)
    assert "The length of the time axis has no meaning here." in found.notes


def test_a_range_about_what_is_set_is_told() -> None:
    found = picture(order(*PC[:2], "inspiratory pressure 16 cmH2O above ambient allow 14 to 18 cmH2O", *PC[3:]))
    assert "Inspiratory pressure is drawn as set, 16 cmH2O; the order allows 14 cmH2O to 18 cmH2O." in found.notes
    assert "peak 16 cmH2O" in texts(found.svg)


def test_a_setting_that_can_t_be_read_is_not_taken_for_one_that_is_left_out() -> None:
    found = picture(order(*PC, "rise time 15O ms"))
    assert "Rise time is stated but could not be read: drawn as if nothing were stated." in found.notes
    assert not any("no rise time is stated" in note.lower() for note in found.notes)


def test_alarms_that_are_off_or_not_stated_are_told() -> None:
    alarms = 'low inspiratory pressure off because "speech"', "high tidal volume 700 mL"
    found = picture(order(*PC, alarms=alarms))
    assert "The low inspiratory pressure alarm is switched off." in found.notes
    assert any(
        note.startswith("The order states no high inspiratory pressure alarm, no low PEEP") for note in found.notes
    )
    assert "The high tidal volume alarm is not drawn, for no volume is." in found.notes
    assert rows(found)["high tidal volume alarm"] == ("700 mL", SET)


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        (PC, "a breath that the patient triggers has the same course"),
        (("mode SIMV-PC", *PC[1:]), "breaths of the patient between these get no support"),
    ],
)
def test_breaths_of_the_patient_are_told_of(settings: tuple[str, ...], words: str) -> None:
    assert any(words in note[:1].lower() + note[1:] for note in picture(order(*settings)).notes)
    assert not any(words in note for note in picture(order("mode CMV-PC", *PC[1:])).notes)


# ---- the drawing itself
def test_the_same_order_gives_the_same_picture_and_its_own_ids() -> None:
    facts = order(*PC, patient=MECHANICS)
    assert breath_pictures(facts, "a") == breath_pictures(facts, "a")
    assert breath_pictures(facts, "a")[0] != breath_pictures(facts, "b")[0]
    with pytest.raises(ValueError, match="does not begin an id"):
        breath_pictures(facts, 'a" onload="x')


def test_hostile_words_stay_words() -> None:
    line = Line("pressure", "mandatory", ((0.0, 5.0), (1.0, 20.0), (2.0, 5.0)))
    mark = Mark("x", HOSTILE, HOSTILE, SET, "pressure", 20.0, 1.0)
    breath = Breath("mandatory", HOSTILE + "\u202e", 2.0, (line,), (mark,))
    alarm = Mark("x", "a\u202eb", HOSTILE, SET, "pressure", 30.0)
    content = Content(
        HOSTILE, HOSTILE, (breath,), Mark("x", "\x1b[31m", "5", SET, "pressure", 5.0), (alarm,), (HOSTILE,)
    )
    svg = svg_of(drawing_of(content), "p")
    found = Picture("x", svg, HOSTILE)
    assert "<script" not in svg
    assert "\u202e" not in svg and "\x1b" not in svg
    assert all("W" * 20 in each or len(each) < 200 for each in texts(found.svg))


def test_the_curves_reach_the_numbers_that_are_labelled() -> None:
    """The highest point of the volume's line stands at the height of its label's dot, and the axis agrees."""
    found = picture(order(*PC, patient=MECHANICS))
    volume = lines(found, MANDATORY)[-1]
    ticks = dict(ticks_of(found))
    top, low = min(y for _, y in volume), max(y for _, y in volume)
    each = (ticks["100"] - ticks["400"]) / 300
    assert (ticks["400"] - 4 - top) / each + 400 == pytest.approx(474.5 + 1.2, abs=1)  # with what is left in the lung
    assert (ticks["400"] - 4 - low) / each + 400 == pytest.approx(1.2, abs=1)
