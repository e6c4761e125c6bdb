"""The breaths that an order gives, as lines and numbers to draw: all that is known of them, and nothing beyond that.

Without compliance and resistance that is what is set: the pressure of a breath that pressure drives, flow and volume
of one that the volume drives. With them it is what the model of ``physiology.waveforms`` makes of what is set.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from rxlint.physiology import OutOfDomain
from rxlint.physiology import waveforms as model
from rxlint.reports.sheet.waves_order import BACK_UP, Lacking, Order, Settings, flow_time, unit
from rxlint.units import Unit, show

Panel = Literal["pressure", "flow", "volume"]
Kind = Literal["mandatory", "supported", "spontaneous"]
Given = Literal["mandatory", "supported"]  # by the ventilator
Style = Literal["mandatory", "supported", "lung", "uncertain"]
Point = tuple[float, float]
Area = tuple[Point, ...]

UNITS: Final[dict[Panel, Unit]] = {"pressure": unit("cmH2O"), "flow": unit("L/min"), "volume": unit("mL")}
SET: Final = "set in the order"
CALCULATED: Final = "calculated from the order"
CALCULATED_OTHERWISE: Final = "calculated from the order, the pressure rising at once"
PREDICTED: Final = "predicted by the model"
CONSTANT_FLOW: Final = "set in the order, flow taken as constant"

LEFT_IN: Final = "left in"
LOOKED_FOR: Final = "the ventilator looks for the pressure itself: it lies within the shaded stretch"

_STEPS: Final = 30  # to each phase: a curve of straight pieces that the eye takes for smooth
_ROUNDING: Final = 1e-6  # within this two numbers of one meaning are one number
_TO_SEE: Final = 0.5  # cmH2O: pressure left in the lung that is worth a label of its own


@dataclass(frozen=True, slots=True)
class Line:
    """A line in a panel: time (s) from the breath's start, and the value in the panel's unit."""

    panel: Panel
    style: Style
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """A number of a breath: its row of the table, and where it is labelled in the picture, if it is.

    ``level`` is its value in the panel's unit and ``time`` that of its dot (s, from the breath's start).
    """

    term: str
    short: str
    text: str
    origin: str
    panel: Panel | None = None
    level: float | None = None
    time: float | None = None


@dataclass(frozen=True, slots=True)
class Breath:
    """What can be drawn of a breath. ``slot`` is its share of the time axis (s).

    ``areas`` are stretches of pressure within which its line lies somewhere. ``lacking`` says why panels are missing;
    ``left`` is the alveolar pressure above the baseline (cmH2O) that it ends with, and ``flow`` its last flow (L/min).
    """

    kind: Kind
    under: str
    slot: float
    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]
    areas: tuple[Area, ...] = ()
    lacking: Lacking = ()
    notes: tuple[str, ...] = ()
    left: float = 0.0
    flow: float = 0.0


def near(value: float, measure: Unit) -> str:
    """A predicted value as text, to three figures."""
    size = abs(value / float(measure.factor))
    places = 0 if size == 0 else max(0, 2 - math.floor(math.log10(size)))
    return show(value, measure, places)


def shown(panel: Panel, value: float) -> float:
    """A value in base units in the panel's unit."""
    return value / float(UNITS[panel].factor)


# ---- mandatory
def mandatory_breath(order: Order, settings: Settings, lung: model.Mechanics | Lacking) -> Breath | Lacking:
    """The breath that the ventilator times, or why nothing of it can be drawn."""
    try:
        if settings.control == "volume":
            return _of_volume(order, settings, lung)
        if settings.control == "pressure":
            return _of_pressure(order, settings, lung)
        return _of_target(order, settings, lung)
    except OutOfDomain as error:
        return (str(error),)


def _of_pressure(order: Order, settings: Settings, lung: model.Mechanics | Lacking) -> Breath:
    assert settings.pressure is not None
    peak = settings.baseline + settings.pressure
    mark = Mark(
        "highest airway pressure, mandatory breath", "peak", order.text(settings.level), SET, "pressure", peak,
        settings.rise,
    )  # fmt: skip
    if not isinstance(lung, model.Mechanics):
        plan = _pressure_plan(settings, settings.pressure)
        line = Line("pressure", "mandatory", profile(plan, settings.baseline))
        return Breath(
            "mandatory",
            _times(settings),
            settings.cycle,
            (line,),
            (mark,),
            lacking=lung,
            notes=no_rise(order, settings.rise, settings.is_back_up),
        )
    wave = model.pressure_controlled(
        lung, settings.pressure, settings.rise, settings.inspiration, settings.expiration, settings.baseline
    )
    return _predicted(order, settings, wave, (mark,), no_rise(order, settings.rise, settings.is_back_up))


def _of_volume(order: Order, settings: Settings, lung: model.Mechanics | Lacking) -> Breath:
    assert settings.volume is not None
    flowing = flow_time(settings)
    pause = max(0.0, settings.inspiration - flowing)
    flow = settings.volume / flowing
    stated = settings.flow is not None
    key = settings.total.replace("tidal volume", "inspiratory flow")
    flow_text = order.text(key) if stated else near(flow, UNITS["flow"])
    marks = [
        Mark("peak inspiratory flow, mandatory breath", "in", flow_text, SET if stated else CONSTANT_FLOW, "flow",
             shown("flow", flow), flowing),
        Mark("tidal volume, mandatory breath", "", order.text(settings.total), SET, "volume",
             shown("volume", settings.volume), flowing),
    ]  # fmt: skip
    notes = [] if stated else ["the flow is drawn constant over the time for it, as no inspiratory flow is set"]
    if abs(pause - settings.pause) > _ROUNDING + settings.inspiration / 100:
        notes.append(f"the flow lasts {near(flowing, unit('s'))} and the pause {near(pause, unit('s'))} in the picture")
    if isinstance(lung, model.Mechanics):
        wave = model.volume_controlled(lung, settings.volume, flowing, pause, settings.expiration, settings.baseline)
        text, origin = agreed(order, "modelled peak", wave.peak_pressure, UNITS["pressure"], not settings.is_back_up)
        top = shown("volume", wave.start * lung.compliance + settings.volume)
        marks[-1] = replace(marks[-1], level=top)
        marks.insert(0, Mark("highest airway pressure, mandatory breath", "peak", text, origin, "pressure",
                             wave.peak_pressure, flowing))  # fmt: skip
        if settings.highest is not None and wave.peak_pressure > settings.baseline + settings.highest:
            notes.append("the peak lies above the highest pressure that is allowed: not all of the volume may flow in")
        return _predicted(order, settings, wave, marks, notes)
    high, full = shown("flow", flow), shown("volume", settings.volume)
    end, cycle = settings.inspiration, settings.cycle
    lines = (
        Line("pressure", "mandatory", ((end, settings.baseline), (cycle, settings.baseline))),
        Line("flow", "mandatory", ((0.0, 0.0), (0.0, high), (flowing, high), (flowing, 0.0), (end, 0.0))),
        Line("volume", "mandatory", ((0.0, 0.0), (flowing, full), (end, full))),
    )
    return Breath("mandatory", _times(settings), cycle, lines, tuple(marks), lacking=lung, notes=tuple(notes))


def _of_target(order: Order, settings: Settings, lung: model.Mechanics | Lacking) -> Breath | Lacking:
    bounds = limit_marks(order, settings.baseline, settings.lowest, settings.highest)
    goal = goal_marks(order, settings.total, settings.volume)
    if isinstance(lung, model.Mechanics) and settings.volume is not None:
        needed = model.pc_pressure_for_volume(
            lung, settings.volume, settings.rise, settings.inspiration, settings.expiration
        )
        pressure, notes = within(order, settings.total, settings.baseline, (settings.lowest, settings.highest), needed)
        wave = model.pressure_controlled(
            lung, pressure, settings.rise, settings.inspiration, settings.expiration, settings.baseline
        )
        mark = Mark(
            "highest airway pressure, mandatory breath", "peak", near(wave.peak_pressure, UNITS["pressure"]), PREDICTED,
            "pressure", wave.peak_pressure, settings.rise,
        )  # fmt: skip
        return _predicted(
            order, settings, wave, (mark, *bounds, *goal), (*notes, *no_rise(order, settings.rise, settings.is_back_up))
        )
    if settings.highest is None:
        return order.why_none("maximum inspiratory pressure")
    why = lung if not isinstance(lung, model.Mechanics) else order.why_none(settings.total)
    plans = [_pressure_plan(settings, each) for each in (settings.lowest, settings.highest) if each is not None]
    lines, area = between([profile(plan, settings.baseline) for plan in plans], settings, "mandatory")
    return Breath(
        "mandatory", _times(settings), settings.cycle, lines, (*bounds, *goal), (area,), why,
        (LOOKED_FOR, *no_rise(order, settings.rise, settings.is_back_up)),
    )  # fmt: skip


def no_rise(order: Order, rise: float, is_back_up: bool = False) -> tuple[str, ...]:
    """What is to be said where no rise time is stated."""
    key = f"{BACK_UP}rise time" if is_back_up else "rise time"
    if rise > 0 or order.facts.is_stated(key):
        return ()
    return ("no rise time is stated: the pressure is drawn rising at once",)


def _pressure_plan(settings: Settings, pressure: float) -> model.Plan:
    return model.pressure_plan(pressure, settings.rise, settings.inspiration, settings.expiration)


def within(
    order: Order, total: str, baseline: float, limits: tuple[float | None, float | None], needed: float
) -> tuple[float, tuple[str, ...]]:
    """The pressure that a volume target (by its key) comes to within its limits, and what is to be said of it.

    Pressures are in cmH2O above the baseline.
    """
    lowest, highest = limits
    found = needed if highest is None else min(needed, highest)
    found = found if lowest is None else max(found, lowest)
    at = near(baseline + needed, UNITS["pressure"])
    note = f"the volume target of {order.text(total)} takes {at} above ambient at the stated compliance and resistance"
    if found < needed:
        note += ", more than the highest that is allowed: it is not reached"
    elif found > needed:
        note += ", less than the lowest that is allowed: more than the target flows in"
    return found, (note,)


def between(profiles: Sequence[tuple[Point, ...]], settings: Settings, style: Style) -> tuple[tuple[Line, ...], Area]:
    """The lines that a pressure lies between, and the area: from the baseline where no lowest pressure is stated."""
    lines = tuple(Line("pressure", style, points) for points in profiles)
    low = profiles[0] if len(profiles) > 1 else ((0.0, settings.baseline), (profiles[0][-1][0], settings.baseline))
    return lines, (*profiles[-1], *reversed(low))


def goal_marks(order: Order, total: str, volume: float | None) -> tuple[Mark, ...]:
    """The volume that a breath aims at, where it is stated; it has its row in the table."""
    return () if volume is None else (Mark("volume target", "target", order.text(total), SET),)


def limit_marks(order: Order, baseline: float, lowest: float | None, highest: float | None) -> tuple[Mark, ...]:
    """The lowest and the highest pressure (above the baseline) that a volume target may use, where they are stated."""
    return tuple(
        Mark(f"{key} inspiratory pressure", short, order.text(f"{key} inspiratory pressure"), SET, "pressure",
             baseline + level)
        for key, short, level in (("minimum", "at least", lowest), ("maximum", "at most", highest))
        if level is not None
    )  # fmt: skip


def profile(plan: model.Plan, baseline: float) -> tuple[Point, ...]:
    """The airway pressure that a plan sets, from the baseline and back to it."""
    points, begun = [(0.0, baseline)], 0.0
    for phase in plan:
        points += [(begun, baseline + phase.begin), (begun + phase.length, baseline + phase.end)]
        begun += phase.length
    return tuple(dict.fromkeys(points))


def _times(settings: Settings) -> str:
    seconds = unit("s")
    return f"{show(settings.inspiration, seconds)} in, {show(settings.expiration, seconds)} out"


# ---- predicted
def course(wave: model.Waveform, kind: Given, before: float) -> tuple[Line, ...]:
    """The lines of a predicted breath; ``before`` is the flow (L/min) that it begins with."""
    moments = [each for phase in wave.moments(_STEPS) for each in phase]
    peep = shown("pressure", wave.peep)
    ends = [each for phase in wave.moments(1) for each in phase]  # between them it is straight: the flow is constant
    airway = tuple((each.time, shown("pressure", each.airway)) for each in ends)
    flow = tuple((each.time, shown("flow", each.flow)) for each in moments)
    return (
        Line("pressure", "lung", tuple((each.time, shown("pressure", each.alveolar)) for each in moments)),
        Line("pressure", kind, ((0.0, peep), *airway)),
        Line("flow", kind, ((0.0, before), *flow)),
        Line("volume", kind, tuple((each.time, shown("volume", each.volume)) for each in moments)),
    )


def flow_marks(wave: model.Waveform, kind: Kind, *, inward: bool) -> Iterator[Mark]:
    """The highest flows in (where it is not told already) and out."""
    moments = [each for phase in wave.moments(1) for each in phase]
    for words, short, value in (
        ("inspiratory", "in", wave.peak_flow),
        ("expiratory", "out", wave.peak_expiratory_flow),
    ):
        if short == "out" or inward:
            time = next(each.time for each in moments if each.flow == value)
            yield Mark(f"peak {words} flow, {kind} breath", short, near(abs(value), UNITS["flow"]), PREDICTED, "flow",
                       shown("flow", value), time)  # fmt: skip


def left_marks(wave: model.Waveform, kind: Kind) -> Iterator[Mark]:
    """The volume that a breath begins with, where it is worth a label: tidal volumes count from it."""
    if wave.start >= _TO_SEE:
        volume = wave.start * wave.mechanics.compliance
        yield Mark(f"volume left in the lung, {kind} breath", LEFT_IN, near(volume, UNITS["volume"]), PREDICTED,
                   "volume", shown("volume", volume), 0.0)  # fmt: skip


def _predicted(
    order: Order, settings: Settings, wave: model.Waveform, marks: Sequence[Mark], notes: Sequence[str] = ()
) -> Breath:
    """A mandatory breath in steady state, with the numbers that the calculations have of it."""
    found = [*marks, *flow_marks(wave, "mandatory", inward=settings.control != "volume")]
    derived = not settings.is_back_up
    end, cycle = wave.inspiratory_time, wave.length
    rows: list[tuple[str, str, str, float, Panel | None, float]] = [
        ("pressure in the lung at the end of inspiration, mandatory breath", "plateau", "modelled plateau",
         wave.end_inspiratory_pressure, "pressure", end),
        ("total PEEP", "total PEEP", "modelled total PEEP", wave.peep + wave.start,
         "pressure" if wave.start >= _TO_SEE else None, cycle),
        ("intrinsic PEEP", "", "modelled intrinsic PEEP", wave.start, None, 0.0),
    ]  # fmt: skip
    found += left_marks(wave, "mandatory")
    if settings.control != "volume":
        top = wave.mechanics.compliance * (wave.end_inspiratory_pressure - wave.peep)
        text, origin = agreed(order, "modelled tidal volume", wave.tidal_volume, UNITS["volume"], derived)
        found.append(Mark("tidal volume, mandatory breath", "", text, origin, "volume", shown("volume", top), end))
        found += differing(order, "modelled tidal volume", wave.tidal_volume, derived)
    for term, short, key, value, panel, time in rows:
        text, origin = agreed(order, key, value, UNITS["pressure"], derived)
        level = shown("pressure", value) if panel is not None else None
        found.append(Mark(term, short, text, origin, panel, level, time if panel is not None else None))
        found += differing(order, key, value, derived)
    said = list(notes)
    if any(each.origin == CALCULATED_OTHERWISE for each in found) and settings.rise > 0:
        said.append(
            "the calculations take the pressure to rise at once; the picture has the rise time of "
            f"{order.text('rise time')}, so its numbers differ a little (both are in the table)"
        )
    last = [each for phase in wave.moments(1) for each in phase][-1]
    before = shown("flow", last.flow)
    return Breath(
        "mandatory", _times(settings), cycle, course(wave, "mandatory", before), tuple(found),
        notes=tuple(said), left=wave.end, flow=before,
    )  # fmt: skip


def agreed(order: Order, key: str, value: float, measure: Unit, derived: bool = True) -> tuple[str, str]:
    """The text of a predicted number and where it is from: that of the calculations where they have the same number."""
    if derived and _is_same(order.number(key), value):
        return order.text(key), CALCULATED
    return near(value, measure), PREDICTED


def differing(order: Order, key: str, value: float, derived: bool = True) -> Iterator[Mark]:
    """What the calculations have instead, where they have another number."""
    known = order.number(key)
    if derived and known is not None and not _is_same(known, value):
        yield Mark(key, "", order.text(key), CALCULATED_OTHERWISE)


def _is_same(known: float | None, value: float) -> bool:
    return known is not None and math.isclose(known, value, rel_tol=_ROUNDING, abs_tol=_ROUNDING)
