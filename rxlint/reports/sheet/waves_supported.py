"""The supported breath that an order gives. When it comes and what the patient adds to it no order can say."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from rxlint.physiology import OutOfDomain
from rxlint.physiology import waveforms as model
from rxlint.reports.sheet.waves_breaths import (
    LOOKED_FOR,
    PREDICTED,
    SET,
    UNITS,
    Area,
    Breath,
    Line,
    Mark,
    Point,
    course,
    flow_marks,
    goal_marks,
    left_marks,
    limit_marks,
    near,
    no_rise,
    shown,
    within,
)
from rxlint.reports.sheet.waves_order import Lacking, Order, pressure_limits, unit

_EMPTY: Final = 0.01  # of the volume: what counts as emptied where no rate says when the next breath comes
_SCHEMATIC: Final = 0.4  # of its stretch of the time axis: how far a breath is drawn whose end is not known
_OPEN_TIME: Final = 2.0  # s: that stretch, where no rate says how long it is


@dataclass(frozen=True, slots=True)
class Support:
    """The settings of a supported breath in base units; ``pressure`` is above the baseline, None for a volume target.

    ``lowest`` and ``highest`` are what a volume target may use; ``slot`` is the cycle of the set rate, if there is one.
    """

    baseline: float
    rise: float
    pressure: float | None = None
    share: float | None = None
    shortest: float = 0.0
    longest: float = math.inf
    volume: float | None = None
    lowest: float | None = None
    highest: float | None = None
    slot: float | None = None
    level: str = "supported peak"
    total: str = "volume target"
    notes: tuple[str, ...] = ()


def supported_settings(order: Order, mandatory: Breath | None) -> Support | Lacking:
    """The settings of the supported breath, or why they are not all there."""
    mode = order.facts.mode
    assert mode is not None
    is_targeted = mode.type == "vtPS"
    lacking = order.why_none("baseline", *([] if is_targeted else ["support above baseline"]))
    if lacking:
        return lacking
    baseline = order.number("baseline") or 0.0
    pressure = None if is_targeted else order.number("support above baseline")
    if baseline < 0:
        return ("the baseline is below ambient",)
    if pressure is not None and pressure <= 0:
        return ("the support is not above zero",)
    total = "volume target" if order.number("volume target") is not None else "tidal volume"
    lowest, highest = pressure_limits(order, baseline) if is_targeted else (None, None)
    share = order.optional("cycle-off")
    longest = order.optional("maximum inspiratory time")
    return Support(
        baseline,
        order.optional("rise time") or 0.0,
        pressure,
        share if share is not None and 0 < share < 1 else None,
        order.optional("minimum inspiratory time") or 0.0,
        math.inf if longest is None else longest,
        order.number(total) if is_targeted else None,
        lowest,
        highest,
        mandatory.slot if mandatory is not None else None,
        total=total,
    )


def supported_breath(
    order: Order, support: Support, lung: model.Mechanics | Lacking, before: Breath | None
) -> Breath | Lacking:
    """The supported breath after the mandatory one, or why nothing of it can be drawn."""
    try:
        if isinstance(lung, model.Mechanics) and support.share is not None:
            found = _with_target(order, support, lung, before)
            if isinstance(found, Support):
                return _predicted(order, found, lung, before)
        return _set(order, support, lung)
    except OutOfDomain as error:
        return (str(error),)


def _with_target(order: Order, support: Support, lung: model.Mechanics, before: Breath | None) -> Support | Lacking:
    """The support with the pressure that its volume target takes: that of the mandatory breath where it has one."""
    if support.pressure is not None:
        return support
    if before is not None:
        peak = next((each.level for each in before.marks if each.short == "peak"), None)
        return replace(support, pressure=peak - support.baseline) if peak is not None else before.lacking
    if support.volume is None:
        return order.why_none(support.total)
    assert support.share is not None
    limits = (support.shortest, support.longest)
    time = model.supported_inspiratory_time(lung, 1.0, support.rise, support.share, 0.0, *limits)
    of_one = model.pressure_supported(lung, 1.0, support.rise, time, 1.0, support.baseline, 0.0).tidal_volume
    needed = support.volume / of_one  # the lung is linear: twice the pressure, twice the volume in the same time
    pressure, notes = within(order, support.total, support.baseline, (support.lowest, support.highest), needed)
    return replace(support, pressure=pressure, notes=notes)


def _predicted(order: Order, support: Support, lung: model.Mechanics, before: Breath | None) -> Breath:
    assert support.pressure is not None
    assert support.share is not None
    start = before.left if before is not None else 0.0
    limits = (support.shortest, support.longest)
    time = model.supported_inspiratory_time(lung, support.pressure, support.rise, support.share, start, *limits)
    emptying = model.emptying_time(lung, _EMPTY)
    slot = support.slot if support.slot is not None and support.slot > time else time + emptying
    wave = model.pressure_supported(lung, support.pressure, support.rise, time, slot - time, support.baseline, start)
    peak, top = wave.peak_pressure, lung.compliance * (wave.end_inspiratory_pressure - wave.peep)
    is_set = order.facts.mode is not None and order.facts.mode.type != "vtPS"
    text = order.text(support.level) if is_set else near(peak, UNITS["pressure"])
    marks = (
        Mark("highest airway pressure, supported breath", "peak", text, SET if is_set else PREDICTED, "pressure", peak,
             support.rise),
        *limit_marks(order, support.baseline, support.lowest, support.highest),
        *goal_marks(order, support.total, support.volume),
        Mark("tidal volume, supported breath, without effort", "", near(wave.tidal_volume, UNITS["volume"]), PREDICTED,
             "volume", shown("volume", top), time),
        *flow_marks(wave, "supported", inward=True),
        *left_marks(wave, "supported"),
        Mark("inspiratory time, supported breath, without effort", "", near(time, unit("s")), PREDICTED),
    )  # fmt: skip
    under = f"ends at {order.text('cycle-off')} of peak flow, here after {near(time, unit('s'))}"
    if time in limits:
        under = f"ends at its {'shortest' if time == support.shortest else 'longest'} time, {near(time, unit('s'))}"
    notes = [
        "the supported breath is drawn without any effort after the trigger; effort changes its flow, its volume and "
        "its length",
        "the supported breath begins with what the mandatory breath has left in the lung"
        if before is not None
        else "the supported breath is followed until 1 % of its volume is left; the patient starts the next",
        *support.notes,
        *no_rise(order, support.rise),
    ]
    return Breath(
        "supported", under, slot, course(wave, "supported", before.flow if before is not None else 0.0), marks,
        notes=tuple(notes), left=wave.end,
    )  # fmt: skip


# ---- without compliance and resistance
def _set(order: Order, support: Support, lung: model.Mechanics | Lacking) -> Breath | Lacking:
    """What is set of the pressure; where it ends is known only within the times that are stated."""
    slot = support.slot if support.slot is not None else max([_OPEN_TIME, *_finite(1.5 * support.longest)])
    levels = [support.lowest, support.highest] if support.pressure is None else [support.pressure]
    pressures = [each for each in levels if each is not None]
    if not pressures:
        return order.why_none("maximum inspiratory pressure")
    ends = support.longest if support.longest < slot else None
    drawn = _SCHEMATIC * slot if ends is None else ends
    sure = min(max(support.shortest, support.rise), drawn)
    if support.rise >= drawn:
        return ("the rise time is as long as the inspiration",)
    lines: list[Line] = []
    for pressure in pressures:
        top = support.baseline + pressure
        begun: tuple[Point, ...] = ((0.0, support.baseline), (support.rise, top), (sure, top))
        rest: tuple[Point, ...] = ((sure, top), (drawn, top))
        if ends is not None:
            rest = (*rest, (ends, support.baseline), (slot, support.baseline))
        lines += [Line("pressure", "supported", begun), Line("pressure", "uncertain", rest)]
    marks = [] if support.pressure is None else [
        Mark("highest airway pressure, supported breath", "peak", order.text(support.level), SET, "pressure",
             support.baseline + support.pressure, support.rise)
    ]  # fmt: skip
    areas = (_area(support, pressures, drawn),) if support.pressure is None else ()
    target = goal_marks(order, support.total, support.volume)
    notes = [_end_note(support, ends), *no_rise(order, support.rise)]
    if support.pressure is None:
        notes.append(LOOKED_FOR)
    why = _why(order, support, lung)
    limits = limit_marks(order, support.baseline, support.lowest, support.highest)
    return Breath(
        "supported", _ending(order, support), slot, tuple(lines), (*marks, *limits, *target),
        areas, why, tuple(notes),
    )  # fmt: skip


def _why(order: Order, support: Support, lung: model.Mechanics | Lacking) -> Lacking:
    """Why flow and volume are not drawn."""
    if not isinstance(lung, model.Mechanics):
        return lung
    if support.share is None and order.number("cycle-off") is not None:
        return (f"a cycle-off of {order.text('cycle-off')} gives the breath no end",)
    return order.why_none("cycle-off", *([support.total] if support.pressure is None else []))


def _finite(value: float) -> tuple[float, ...]:
    return (value,) if math.isfinite(value) else ()


def _area(support: Support, pressures: list[float], drawn: float) -> Area:
    base, rise = support.baseline, support.rise
    low = base + (pressures[0] if len(pressures) > 1 else 0.0)
    return ((0.0, base), (rise, base + pressures[-1]), (drawn, base + pressures[-1]), (drawn, low), (rise, low))


def _ending(order: Order, support: Support) -> str:
    """How the breath ends, in words under its name."""
    parts = []
    if support.share is not None:
        parts.append(f"ends at {order.text('cycle-off')} of peak flow")
    least, most = support.shortest > 0, math.isfinite(support.longest)
    if least and most:
        parts.append(f"{order.text('minimum inspiratory time')} to {order.text('maximum inspiratory time')}")
    elif most:
        parts.append(f"{order.text('maximum inspiratory time')} at most")
    elif least:
        parts.append(f"{order.text('minimum inspiratory time')} at least")
    return ", ".join(parts) or "its end is not stated"


def _end_note(support: Support, ends: float | None) -> str:
    when = "when the flow has fallen far enough" if support.share is not None else "when the patient breathes out"
    if ends is None:
        return f"the supported breath ends {when}; when that is cannot be told, so the line stops short of an end"
    return f"the supported breath ends {when}, at the latest where the thin line falls"
