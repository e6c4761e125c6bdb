"""Set-up lists: what is keyed in, converted back, is what is prescribed; what can't be is never rounded in silence."""

from dataclasses import dataclass
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.packs.profile import Profile
from rxlint.packs.profile_load import load_profile_text
from rxlint.screening.setup import Line, SetUp, set_up
from rxlint.screening.setup_checks import checks_of
from tests.documents import facts

# One of each in cmH2O, by the definition of the conventional centimetre of water: 98.0665 Pa.
IN_CMH2O = {"cmH2O": Fraction(1), "kPa": 1000 / Fraction("98.0665"), "mbar": 100 / Fraction("98.0665")}


def profile(*settings: str, alarms: tuple[str, ...] = (), more: str = "", modes: str = "A/C-PC: a") -> Profile:
    rows = "".join(f"  - {{{each}}}\n" for each in settings)
    told = "".join(f"  - {{{each}}}\n" for each in alarms)
    text = (
        f"profile: Trial\nrevision: 1\nsummary: of a test\nlimbs: {{dual: two}}\nmodes: {{{modes}}}\n"
        f"settings:\n{rows}" + (f"alarms:\n{told}" if told else "") + more
    )
    found, problems = load_profile_text(text, "trial.yaml")
    assert found is not None, "\n".join(map(str, problems))
    return found


def order(*settings: str, mode: str = "A/C-PC", more: str = "") -> str:
    lines = "".join(f"  {each}\n" for each in (f"mode {mode}", *settings))
    return f'prescription "x"\ncircuit\n  limb dual\nsettings\n{lines}{more}'


def sheet(text: str, ventilator: Profile) -> SetUp:
    return set_up(facts(text), ventilator)


def line(found: SetUp, key: str) -> Line:
    return next(each for each in found.lines if each.key == key)


# ---- back from the dial


@dataclass(frozen=True)
class Wish:
    """An order and a ventilator with steps of its own, for the conversion there and back."""

    peep: Fraction
    pressure: Fraction
    written: str
    support: Fraction
    rate: int
    time: Fraction
    unit: str
    above: str
    step: str
    high: int

    @property
    def text(self) -> str:
        return order(
            f"PEEP {number(self.peep)} cmH2O",
            f"inspiratory pressure {number(self.pressure)} cmH2O above {self.written}",
            f"pressure support {number(self.support)} cmH2O above PEEP",
            f"rate {self.rate} /min",
            f"inspiratory time {number(self.time)} s",
            mode="SIMV-PC with PS",
        )

    def ventilator(self, near: str = "0", time: str = '"I:E"') -> Profile:
        ends = f"range: 0 to {self.high}, step: {self.step}, near enough: {near}"
        duration = "range: 1:0.5 to 1:9, step: 0.5" if "I:E" in time else 'unit: "%", range: 0 to 90, step: 5'
        return profile(
            f"setting: PEEP, name: b, unit: {self.unit}, {ends}",
            f"setting: inspiratory pressure, name: c, unit: {self.unit}, {ends}, entered: above {self.above}",
            f"setting: pressure support, name: d, unit: {self.unit}, {ends}, entered: above {self.above}",
            "setting: rate, name: e, unit: /min, range: 0 to 60, step: 1",
            f"setting: {time}, name: f, {duration}",
            modes="SIMV-PC with PS: a",
        )

    def wanted(self, baseline: Fraction) -> dict[str, Fraction]:
        """The numbers that the ventilator must show, by hand, where its baseline is this one (cmH2O)."""
        one = IN_CMH2O[self.unit]
        peak = self.pressure + (baseline if self.written == "PEEP" else 0)
        support = self.support + baseline
        counted = baseline if self.above == "PEEP" else 0
        return {
            "PEEP": self.peep / one,
            "inspiratory pressure": (peak - counted) / one,
            "pressure support": (support - counted) / one,
        }


def number(value: Fraction) -> str:
    return f"{float(value):g}"


wishes = st.builds(
    Wish,
    peep=st.integers(0, 24).map(lambda each: Fraction(each, 2)),
    pressure=st.integers(26, 70).map(lambda each: Fraction(each, 2)),
    written=st.sampled_from(["ambient", "PEEP"]),
    support=st.integers(2, 40).map(lambda each: Fraction(each, 2)),
    rate=st.sampled_from([10, 12, 15, 20, 24, 25, 30]),
    time=st.integers(3, 18).map(lambda each: Fraction(each, 10)),
    unit=st.sampled_from(["cmH2O", "cmH2O", "kPa", "mbar"]),
    above=st.sampled_from(["ambient", "PEEP"]),
    step=st.sampled_from(["0.5", "1"]),
    high=st.sampled_from([20, 60]),
)


@given(wishes)
def test_what_is_keyed_in_is_what_is_prescribed_or_nothing(wish: Wish) -> None:
    found = sheet(wish.text, wish.ventilator())
    for key, wanted in wish.wanted(wish.peep).items():
        told = line(found, key)
        inside = 0 <= wanted <= wish.high
        on_a_step = inside and (wanted / Fraction(wish.step)).denominator == 1
        assert told.number == wanted
        assert told.state == ("set" if on_a_step else "between" if inside else "beyond")
        assert bool(told.keyed) == on_a_step
        assert len(told.choices) == (0 if on_a_step else 2 if inside else 1)


@given(wishes)
def test_a_time_comes_back_from_a_ratio_and_from_a_share(wish: Wish) -> None:
    cycle = Fraction(60, wish.rate)
    ratio = line(sheet(wish.text, wish.ventilator()), "I:E")
    share = line(sheet(wish.text, wish.ventilator(time="duty cycle")), "duty cycle")
    assert ratio.number is not None and share.number is not None
    assert cycle / (1 + ratio.number) == wish.time
    assert cycle * share.number / 100 == wish.time
    assert (ratio.state == "set") == (Fraction(1, 2) <= ratio.number <= 9 and (ratio.number * 2).denominator == 1)
    assert (share.state == "set") == (share.number <= 90 and (share.number / 5).denominator == 1)


@given(wishes)
def test_what_is_near_enough_is_near_enough_above_the_baseline_that_is_keyed_in(wish: Wish) -> None:
    near = Fraction(2, 5)
    found = sheet(wish.text, wish.ventilator(near="0.4"))
    baseline = line(found, "PEEP")
    keyed = baseline.value if baseline.value is not None else wish.peep
    for key, wanted in wish.wanted(keyed).items():
        told = line(found, key)
        if told.state in ("set", "near"):
            assert told.number is not None
            assert abs(told.number - wanted) <= near
            assert (told.number / Fraction(wish.step)).denominator == 1
            assert (told.state == "set") == (told.number == wanted)
        else:
            steps = [
                abs(wanted - each * Fraction(wish.step)) for each in range(int(wish.high / Fraction(wish.step)) + 1)
            ]
            best = sorted(steps)[:2]
            assert best[0] > near or best[0] == best[1]


# ---- one thing at a time

PEEP = "setting: PEEP, name: b, unit: cmH2O, range: 0 to 20, step: 1"
ABOVE_PEEP = "setting: inspiratory pressure, name: c, unit: cmH2O, range: 2 to 30, step: 2, entered: above PEEP"


def test_a_value_between_steps_is_shown_both_ways_and_left_to_the_prescriber() -> None:
    found = sheet(order("PEEP 5 cmH2O", "inspiratory pressure 18 cmH2O above ambient"), profile(PEEP, ABOVE_PEEP))
    told = line(found, "inspiratory pressure")
    assert (told.state, told.keyed, told.number) == ("between", "", Fraction(13))
    steps = "from 2 cmH2O above PEEP to 30 cmH2O above PEEP in steps of 2"
    assert told.why == f"13 cmH2O above PEEP lies between two steps: it is set {steps}"
    assert told.choices == (
        "12 cmH2O above PEEP (17 cmH2O above ambient)",
        "14 cmH2O above PEEP (19 cmH2O above ambient)",
    )
    assert not found.can_be_keyed_in


@pytest.mark.parametrize(
    ("pressure", "state", "keyed"),
    [
        ("17 cmH2O above ambient", "set", "12 cmH2O above PEEP"),
        ("12 cmH2O above PEEP", "set", "12 cmH2O above PEEP"),
        ("35 cmH2O above ambient", "set", "30 cmH2O above PEEP"),
        ("37 cmH2O above ambient", "beyond", ""),
        ("6 cmH2O above ambient", "beyond", ""),
    ],
)
def test_the_ends_of_a_dial(pressure: str, state: str, keyed: str) -> None:
    found = sheet(order("PEEP 5 cmH2O", f"inspiratory pressure {pressure}"), profile(PEEP, ABOVE_PEEP))
    told = line(found, "inspiratory pressure")
    assert (told.state, told.keyed) == (state, keyed)


def test_two_levels_keyed_in_near_their_own_come_apart_and_that_is_told() -> None:
    dial = "unit: kPa, range: 0 to 4, step: 0.05, near enough: 0.025"
    ventilator = profile(
        f"setting: PEEP, name: b, {dial}",
        f"setting: inspiratory pressure, name: c, {dial}, entered: above PEEP",
        f"setting: pressure support, name: d, {dial}, entered: above PEEP",
        modes="SIMV-PC with PS: a",
    )
    levels = ("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient", "pressure support 12 cmH2O above PEEP")
    found = sheet(order(*levels, mode="SIMV-PC with PS"), ventilator)
    keyed = {each.key: each.keyed for each in found.lines}
    assert keyed["inspiratory pressure"] == "1.15 kPa above PEEP"  # 17 cmH2O less the 0.5 kPa that is keyed in
    assert keyed["pressure support"] == "1.2 kPa above PEEP"
    told = list(checks_of(found))
    assert "a mandatory breath reaches 16.83 cmH2O (1.65 kPa) above ambient" in told
    assert "a supported breath reaches 17.34 cmH2O (1.7 kPa) above ambient" in told
    assert [each for each in told if "as keyed in they differ by 0.5099 cmH2O" in each]


def test_what_is_left_open_is_asked_and_nothing_is_filled_in() -> None:
    needed = "must be set: [{name: shape, ask: level or falling, modes: [A/C-PC]}]\n"
    ventilator = profile(
        PEEP, ABOVE_PEEP, alarms=("alarm: apnoea, name: n, unit: s, range: 5 to 30, step: 5",), more=needed
    )
    found = sheet(order("inspiratory pressure 12 cmH2O above PEEP"), ventilator)
    assert found.asks == (
        "b (PEEP): the prescription does not say; it is set from 0 cmH2O to 20 cmH2O in steps of 1",
        "n (apnoea): the prescription does not say; it is set from 5 s to 30 s in steps of 5",
        "shape: level or falling",
    )
    # above PEEP is above PEEP, whatever PEEP is; but nobody knows what the patient gets, so it stays unknown
    assert line(found, "inspiratory pressure").state == "not known"


def test_a_range_without_a_value_is_a_question() -> None:
    found = sheet(order("PEEP 4 to 8 cmH2O"), profile(PEEP))
    assert found.asks == ("b (PEEP): the prescription gives a range and no value to begin with: 4 to 8 cmH2O",)


def test_what_can_t_be_read_is_no_question_and_no_value() -> None:
    found = sheet(order("PEEP 5"), profile(PEEP))
    assert (line(found, "PEEP").state, found.asks) == ("not known", ())
    assert not found.can_be_keyed_in


def test_what_staff_may_move_lies_within_what_is_allowed() -> None:
    wide = order("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient allow 14 to 20 cmH2O")
    told = line(sheet(wide, profile(PEEP, ABOVE_PEEP)), "inspiratory pressure")
    assert told.moves == "10 cmH2O above PEEP to 14 cmH2O above PEEP"  # 9 and 15 can't be set, 8 and 16 are not allowed
    assert told.follows == ()


def test_what_hangs_on_something_that_may_be_moved_is_keyed_in_anew() -> None:
    text = order("PEEP 5 cmH2O allow 4 to 8 cmH2O", "inspiratory pressure 17 cmH2O above ambient")
    told = line(sheet(text, profile(PEEP, ABOVE_PEEP)), "inspiratory pressure")
    assert (told.keyed, told.follows) == ("12 cmH2O above PEEP", ("PEEP",))


def test_a_value_per_kilogram_is_worked_out_or_says_what_is_missing() -> None:
    ventilator = profile("setting: tidal volume, name: v, unit: mL, range: 20 to 900, step: 5", modes="A/C-VC: v")
    text = order("tidal volume 6 mL/kg of measured weight", mode="A/C-VC")
    told = line(sheet(text + "patient\n  weight 70 kg measured 2026-11-01\n", ventilator), "tidal volume")
    assert (told.state, told.keyed, told.prescribed) == ("set", "420 mL", "6 mL/kg of measured weight")
    told = line(sheet(text, ventilator), "tidal volume")
    assert (told.state, told.why) == (
        "not known",
        "it can't be worked out from what is prescribed: patient weight is missing",
    )


def test_a_range_of_a_term_that_means_the_same_is_a_question_too() -> None:
    dial = "setting: [rate, back-up rate], name: r, unit: /min, range: 4 to 60, step: 1"
    found = sheet(order("back-up rate 12 to 16 /min", mode="S/T-PS"), profile(dial, modes="S/T-PS: s"))
    assert found.asks == ("r (rate): the prescription gives a range and no value to begin with: 12 to 16 /min",)


def test_a_trigger_in_another_dimension_can_t_be_entered() -> None:
    dial = "setting: trigger sensitivity, name: t, unit: L/min, range: 1 to 9, step: 1"
    told = line(sheet(order("trigger sensitivity 2 cmH2O"), profile(dial)), "trigger sensitivity")
    assert (told.state, told.why) == ("unlike", "it is prescribed as a pressure, and this ventilator takes a flow")
    same = line(sheet(order("trigger sensitivity 2 L/min"), profile(dial)), "trigger sensitivity")
    assert (same.state, same.keyed) == ("set", "2 L/min")


def test_a_fraction_and_a_share_of_oxygen() -> None:
    dial = "setting: FiO2, name: o, unit: fraction, range: 0.21 to 1, step: 0.01"
    for text in ("40 %", "0.4"):
        assert line(sheet(order(f"FiO2 {text}"), profile(dial)), "FiO2").keyed == "0.4"


@pytest.mark.parametrize("text", ["FiO2 21 %", "FiO2 0.21"])
def test_room_air_needs_no_mixer(text: str) -> None:
    """A ventilator without one gives it anyhow; the list says so, and nothing is beyond it."""
    found = sheet(order(text), profile(PEEP))
    assert found.lacking == ()
    assert found.beside == (("FiO2", f"{text.removeprefix('FiO2 ')}, room air, for which no mixer is needed"),)


@pytest.mark.parametrize(
    "text",
    [
        "FiO2 22 %",
        "FiO2 21 % allow 21 to 30 %",
        "FiO2 21 %\ntitration\n  raise FiO2 by 5 % every 5 min up to 40 % when SpO2 below 90 %",
    ],
)
def test_more_than_room_air_needs_one(text: str) -> None:
    found = sheet(order(text), profile(PEEP))
    assert [key for key, _ in found.lacking] == ["FiO2"] and found.beside == ()


def test_alarms_that_a_monitor_gives_are_set_there() -> None:
    alarms = "alarms\n  low SpO2 90 %\n  low EtCO2 4 kPa\n  high rate 30 /min\n"
    found = sheet(order(more=alarms + "monitoring\n  pulse oximeter\n"), profile(PEEP))
    assert found.beside == (("low SpO2, at the pulse oximeter", "90 %"),)
    assert [key for key, _ in found.lacking] == ["alarm low EtCO2", "alarm high rate"]


def test_an_alarm_that_is_off() -> None:
    off = 'alarms\n  apnoea off because "x"\n'
    fixed, free = (f"alarm: apnoea, name: n, unit: s, range: 5 to 30, step: 5{more}" for more in ("", ", off: mute"))
    told = line(sheet(order(more=off), profile(PEEP, alarms=(fixed,))), "alarm apnoea")
    assert (told.state, told.why) == ("no place", "this ventilator's alarm can't be switched off")
    assert line(sheet(order(more=off), profile(PEEP, alarms=(free,))), "alarm apnoea").keyed == "mute"


def test_a_back_up_block_counts_from_its_own_baseline() -> None:
    block = "back-up after apnoea 15 s\n  PEEP 6 cmH2O\n  inspiratory pressure 18 cmH2O above ambient\n  rate 15 /min\n"
    ventilator = profile(
        "setting: PEEP, name: b, unit: cmH2O, range: 0 to 20, step: 1",
        "setting: fallback PEEP, name: c, unit: cmH2O, range: 0 to 20, step: 1",
        "setting: fallback inspiratory pressure, name: d, unit: cmH2O, range: 0 to 40, step: 1, entered: above PEEP",
        "setting: fallback delay, name: e, unit: s, range: 5 to 30, step: 5",
        modes="CSV-PS: a",
    )
    found = sheet(order("PEEP 5 cmH2O", "pressure support 10 cmH2O above PEEP", mode="CSV-PS", more=block), ventilator)
    keyed = {each.key: each.keyed for each in found.lines}
    assert (keyed["fallback PEEP"], keyed["fallback delay"]) == ("6 cmH2O", "15 s")
    assert keyed["fallback inspiratory pressure"] == "12 cmH2O above PEEP"
    assert [key for key, _ in found.lacking] == ["pressure support", "fallback rate"]


def test_flow_from_volume_time_and_pause() -> None:
    dial = "setting: inspiratory flow, name: q, unit: L/min, range: 5 to 90, step: 1"
    text = order(
        "tidal volume 400 mL", "inspiratory time 1 s", "inspiratory pause 0.2 s", "rate 15 /min", mode="A/C-VC"
    )
    told = line(sheet(text, profile(dial, modes="A/C-VC: v")), "inspiratory flow")
    assert (told.state, told.keyed) == ("set", "30 L/min")  # 400 mL in 0.8 s


def test_a_mode_that_is_known_and_not_modelled() -> None:
    found = sheet(
        order("PEEP 5 cmH2O", mode="pressure release"), profile(PEEP, ABOVE_PEEP, modes="pressure release: r")
    )
    assert [each.keyed for each in found.lines] == ["two", "r", "5 cmH2O"]


def test_an_alarm_is_tried_where_it_is_keyed_in() -> None:
    """Near what is prescribed, it sounds at the value of the dial and not at that of the order."""
    near = "alarm: high inspiratory pressure, name: h, unit: mbar, range: 10 to 60, step: 1, near enough: 0.5"
    alarms = (f"{near}, entered: above ambient",)
    found = sheet(order(more="alarms\n  high inspiratory pressure 29 cmH2O\n"), profile(PEEP, alarms=alarms))
    # 29 cmH2O are 28.44 mbar; 28 mbar are 28.55 cmH2O
    assert any(
        each.endswith("h must sound at 28 mbar above ambient (28.55 cmH2O above ambient)") for each in checks_of(found)
    )
