"""What to check once a ventilator runs as its list says: what the settings should come to, which alarms to try.

What they should come to is worked out from the order. Which alarms to try, and how, is common practice, no published
source; the ventilator's own instructions come first.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from rxlint.model.facts import Facts, SetEnvironment
from rxlint.model.names import derived_terms
from rxlint.packs.profile import IN_PLACE_OF_TIME, Dial
from rxlint.screening.dial_text import prescribed_text, time_of
from rxlint.screening.setup import Line, SetUp, as_keyed
from rxlint.screening.values import show_number, unit_for
from rxlint.units import find_unit, show

# Derived terms in the order in which they can be read off a running ventilator, and how a person would call them.
_SEEN: Final = (
    ("mandatory peak", "a mandatory breath reaches {} above ambient"),
    ("supported peak", "a supported breath reaches {} above ambient"),
    ("baseline", "between breaths the pressure stays at {} above ambient"),
    ("inspiration", "a mandatory inspiration lasts {}"),
    ("ratio of times", "inspiration to expiration is {} where the patient does not trigger"),
    ("expected tidal volume", "a mandatory breath is {}"),
    ("expected minute volume", "mandatory breaths alone make {}"),
    ("mean port leak", "the leak port alone lets out {} on average; much less means that it may be blocked"),
    ("estimated FiO2", "the oxygen that is bled in comes to about {}, an estimate"),
    ("oxygen lasts", "the cylinders last {} at this draw"),
)
_PEAKS: Final = {
    "inspiratory pressure": ("mandatory peak",),
    "IPAP": ("mandatory peak", "supported peak"),
    "pressure support": ("supported peak",),
}
_TIMES: Final = ("inspiratory time", "I:E", *IN_PLACE_OF_TIME)
_TRIALS: Final = {
    "alarm disconnection": "open the circuit at the patient's end: {} must sound {}",
    "alarm apnoea": "let the test lung rest in a mode that waits for a breath: {} must sound {}",
    "alarm high inspiratory pressure": "close the outlet for a breath: {} must sound at {}",
    "alarm low minute volume": "open the circuit and wait: {} must sound below {}",
    "alarm power loss": "pull the mains plug: {} must sound, and the breaths go on",
}
_TARGET: Final = "target "


def checks_of(sheet: SetUp) -> Iterator[str]:
    """The checks of one period, before and after the patient is joined. Values are those of what is keyed in."""
    by_key = {line.key: line for line in sheet.lines}
    for key, how in _TRIALS.items():
        line = by_key.get(key)
        if line is not None and line.keyed and line.prescribed != "off":
            yield "before the patient is joined, " + how.format(line.name, _limit(line))
    if all(line.keyed for line in sheet.lines if line.key in ("limb", "mode")):  # else nothing can be foretold
        values = _keyed_values(sheet)
        yield from _seen(sheet, values)
        yield from _levels_apart(sheet.facts, values)
        yield from _back_up(sheet.facts)
    yield from _targets(sheet.facts)


def _limit(line: Line) -> str:
    """An alarm's limit as it is keyed in: as it is prescribed, with what the dial reads where that is another text."""
    keyed = line.keyed
    if line.both:  # near what is prescribed: it sounds where it is keyed in
        return line.both
    return line.prescribed if line.same or line.number is None else f"{line.prescribed} ({keyed})"


def _keyed_values(sheet: SetUp) -> SetEnvironment:
    """The values that the ventilator is keyed to: for a line that is keyed in near what is prescribed, what that is."""
    values = as_keyed(sheet.facts, sheet.profile)
    for line in sheet.lines:
        if line.state == "near" and line.value is not None and line.dial is not None:
            for key, value in _comes_to(line, line.value, line.dial, values):
                values = values.with_value(key, value)
    return values


def _comes_to(line: Line, value: Fraction, dial: Dial, values: SetEnvironment) -> Iterator[tuple[str, Fraction]]:
    """The derived terms that a line sets, with their values."""
    baseline, cycle = values.value("baseline"), values.value("cycle time")
    if line.key in _PEAKS and isinstance(baseline, Fraction):
        peak = value + baseline if dial.above == "PEEP" else value
        yield from ((key, peak) for key in _PEAKS[line.key])
    elif line.key in _TIMES and isinstance(cycle, Fraction):
        time = time_of(line.key, value, cycle)
        yield from (("inspiration", time), ("inspiratory time", time), ("I:E", time / (cycle - time)))
    elif line.key in ("rate", "back-up rate"):
        yield "set rate", value
    elif line.key in ("tidal volume", "volume target"):
        yield "expected tidal volume", value


def _seen(sheet: SetUp, values: SetEnvironment) -> Iterator[str]:
    facts, derived = sheet.facts, derived_terms()
    pressure = next(
        (line.dial.unit for line in sheet.lines if line.dial is not None and line.key in ("PEEP", "EPAP")), None
    )
    for key, how in _SEEN:
        value = values.value(key) if key in facts.formulas else None
        if isinstance(value, Fraction) and not (key == "supported peak" and not _has_support(facts)):
            unit = derived[key].unit or unit_for(key, facts, {})
            told = show_number(value, unit, key)
            if pressure is not None and pressure.dimension == unit.dimension and pressure != unit:
                told = f"{told} ({show(value, pressure)})"
            yield how.format(told)


def _has_support(facts: Facts) -> bool:
    """Whether a supported breath is another breath than a mandatory one."""
    return facts.mode is not None and (facts.mode.support is not None or facts.mode.pattern in ("CSV", "S/T"))


def _levels_apart(facts: Facts, values: SetEnvironment) -> Iterator[str]:
    """Two levels that are prescribed alike and, each keyed in near its own, come apart."""
    keyed = [values.value(key) for key in ("mandatory peak", "supported peak")]
    if facts.as_set.value("mandatory peak") != facts.as_set.value("supported peak"):
        return
    first, second = keyed
    if isinstance(first, Fraction) and isinstance(second, Fraction) and first != second:
        unit = derived_terms()["baseline"].unit
        gap = show(abs(first - second), unit) if unit is not None else ""
        yield f"mandatory and supported breaths are to reach the same pressure; as keyed in they differ by {gap}"


def _back_up(facts: Facts) -> Iterator[str]:
    delay = facts.constants.get("fallback delay")
    unit = find_unit("s")
    if isinstance(delay, Fraction) and unit is not None:
        yield f"after {show(delay, unit)} without a breath the back-up settings begin"


def _targets(facts: Facts) -> Iterator[str]:
    for key, stated in facts.scope.by_key.items():
        if key.startswith(_TARGET) and stated.statement.readable:
            name = key.removeprefix(_TARGET)
            ends = [facts.as_set.value(f"target {end} {name}") for end in ("low", "high")]
            unit = unit_for(f"target low {name}", facts, {})
            text = prescribed_text(stated, facts)
            if "kg" in text and all(isinstance(each, Fraction) for each in ends):
                low, high = (show_number(each, unit) for each in ends if isinstance(each, Fraction))
                text = f"{text}, which is {low} to {high}"
            yield f"target: {name} {text}"
