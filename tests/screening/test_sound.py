"""The range that would be sound: verified, as wide as it can be, with what is set in it, told where there is one."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rxlint.expressions import Axis, Node, Space, decide, read_condition
from rxlint.model.names import base_names
from rxlint.screening.sound import BUDGET, sound_axes
from tests.documents import all_facts, prescription, rule_text, rules_of, screen

CONDITIONS = (
    "inspiratory pressure <= 25 cmH2O",
    "inspiratory pressure - PEEP <= 14 cmH2O",
    "inspiratory pressure >= PEEP + 6 cmH2O and inspiratory pressure - PEEP <= 18 cmH2O",
    "PEEP * PEEP / (1 cmH2O) <= inspiratory pressure + 20 cmH2O",
    "PEEP != 7 cmH2O",
    "inspiratory pressure / PEEP <= 4",
)


def condition(text: str) -> Node:
    read = read_condition(text, base_names())
    assert read.node is not None, read.errors
    return read.node


@st.composite
def lines(draw: st.DrawFn, key: str, after: str, low: int, high: int) -> str:
    ends = sorted(draw(st.lists(st.integers(low, high), min_size=2, max_size=2, unique=True)))
    stretch = f"{ends[0]} to {ends[1]} cmH2O"
    match draw(st.sampled_from(("range", "allowed", "steps"))):
        case "range":
            return f"{key} {stretch}{after}"
        case "allowed":
            return f"{key} {draw(st.integers(*ends))} cmH2O{after} allow {stretch}"
        case _:
            return f"{key} {ends[0]} cmH2O{after} allow {stretch} in steps of {draw(st.integers(1, 3))} cmH2O"


def marks_beside(whole: Axis, part: Axis) -> list[Fraction]:
    """The next values on both sides that an author could write."""
    unit = whole.step or whole.grid
    beside = [part.low - unit, part.high + unit]
    if whole.step is None:
        beside = [max(beside[0], whole.low), min(beside[1], whole.high)]
    return [each for each in beside if whole.low <= each <= whole.high and not part.low <= each <= part.high]


@settings(max_examples=60)
@given(lines("PEEP", "", 3, 14), lines("inspiratory pressure", " above ambient", 8, 40), st.sampled_from(CONDITIONS))
def test_a_sound_range_is_verified_and_cannot_be_wider(peep: str, pressure: str, text: str) -> None:
    (facts,) = all_facts(prescription(peep, pressure, kind="template"))
    space, require = facts.space, condition(text)
    for key, part in sound_axes(None, require, space, [axis.key for axis in space.axes]).items():
        whole = space.axis_of[key]
        assert whole.low <= part.low <= part.high <= whole.high
        assert whole.as_set is None or part.low <= whole.as_set <= part.high  # type: ignore[operator]
        assert holds(space, require, part)
        for value in marks_beside(whole, part):
            low, high = min(part.low, value), max(part.high, value)
            assert not holds(space, require, Axis(key, low, high, whole.step, whole.grid, whole.origin)), (part, value)


def holds(space: Space, require: Node, axis: Axis) -> bool:
    axes = tuple(axis if each.key == axis.key else each for each in space.axes)
    narrowed = Space(axes, space.formulas, space.constants, space.stated, space.constraints)
    return decide(None, require, narrowed, BUDGET).outcome in ("met", "does not apply")


@pytest.mark.parametrize(
    ("settings_", "sound"),
    [
        (("PEEP 5 cmH2O", "inspiratory pressure 20 cmH2O above ambient allow 15 to 30 cmH2O"),
         ("inspiratory pressure 15 to 25 cmH2O above ambient",)),
        (("PEEP 5 cmH2O", "inspiratory pressure 16 to 22 cmH2O above PEEP"),
         ("inspiratory pressure 16 to 20 cmH2O above PEEP",)),
        (("PEEP 4 to 8 cmH2O", "inspiratory pressure 16 to 22 cmH2O above PEEP"),
         ("inspiratory pressure 16 to 17 cmH2O above PEEP",)),
        (("PEEP 4 to 8 cmH2O", "inspiratory pressure 18 to 19 cmH2O above PEEP"), ("PEEP 4 to 6 cmH2O",)),
        (("PEEP 5 cmH2O or 8 cmH2O", "inspiratory pressure 20 cmH2O above PEEP"), ("PEEP 5 cmH2O",)),
        (("PEEP 5 to 9 cmH2O", "inspiratory pressure 18 to 30 cmH2O above PEEP"), ()),
    ],
)  # fmt: skip
def test_what_is_told_beside_a_finding(settings_: tuple[str, ...], sound: tuple[str, ...]) -> None:
    rules = rules_of(rule_text("inspiratory pressure <= 25 cmH2O"))
    (finding,) = screen(prescription(*settings_, kind="template"), rules).findings
    assert (finding.outcome, finding.sound) == ("can break", sound)


def test_what_is_broken_as_set_has_no_sound_range() -> None:
    rules = rules_of(rule_text("inspiratory pressure <= 25 cmH2O"))
    order = prescription("inspiratory pressure 26 cmH2O above ambient allow 20 to 30 cmH2O")
    (finding,) = screen(order, rules).findings
    assert (finding.outcome, finding.sound) == ("broken", ())


def test_a_rule_broken_between_the_ends_is_caught_with_its_example() -> None:
    """Sound at either end of every range, and broken where the two are taken from the middle."""
    rules = rules_of(rule_text("(PEEP - 8 cmH2O) * (PEEP - 8 cmH2O) / (1 cmH2O) >= 1 cmH2O", say="{PEEP}"))
    for peep in (5, 12):
        assert screen(prescription(f"PEEP {peep} cmH2O"), rules).findings == ()
    (finding,) = screen(prescription("PEEP 5 to 12 cmH2O", kind="template"), rules).findings
    assert (finding.outcome, finding.example) == ("can break", {"PEEP": "8 cmH2O"})
    assert finding.sound == ("PEEP 9 to 12 cmH2O",)


@pytest.mark.parametrize(
    "settings_",
    [
        # taken apart, the driving pressure of 12 to 16 above a PEEP of 4 to 10 would be 6 to 22
        ("PEEP 4 to 10 cmH2O", "inspiratory pressure 12 to 16 cmH2O above PEEP"),
        # each range alone allows 10 to 26; the relation does not
        ("PEEP 4 to 10 cmH2O", "inspiratory pressure 20 to 30 cmH2O above ambient",
         "keep inspiratory pressure - PEEP <= 16 cmH2O", "keep inspiratory pressure - PEEP >= 12 cmH2O"),
    ],
)  # fmt: skip
def test_what_looks_broken_end_by_end_and_is_sound_is_met(settings_: tuple[str, ...]) -> None:
    rules = rules_of(rule_text("inspiratory pressure - PEEP is between 12 cmH2O and 16 cmH2O"))
    screening = screen(prescription(*settings_, kind="template"), rules)
    assert screening.findings == () and screening.coverage.counts["met"] == 1


def test_an_inspiration_up_to_as_long_as_expiration_is_met_for_all_rates() -> None:
    """Both times are the cycle, shared out by the ratio: at 1:1 they touch at every rate."""
    rules = rules_of(rule_text("inspiration <= expiratory time"))
    order = prescription("rate 10 to 30 /min", "I:E 1:1 to 1:2", kind="template")
    assert screen(order, rules).coverage.counts["met"] == 1
    (finding,) = screen(order.replace("1:1 to", "1.1:1 to"), rules).findings
    assert finding.outcome == "can break"


def test_bands_that_say_the_same_but_differ_in_what_is_sound_tell_none() -> None:
    rules = rules_of(rule_text("inspiratory pressure - PEEP <= 20 cmH2O", say="it is above 20"))
    lines = ("PEEP by age", "  1 to 3 years 5 to 6 cmH2O", "  3 to 6 years 4 to 6 cmH2O")
    text = prescription(*lines, "inspiratory pressure 20 to 30 cmH2O above ambient", kind="template")
    (finding,) = screen(text, rules).findings
    assert finding.band is None or finding.band.endswith("and 1 other row")
    assert finding.sound == ()
