"""When a request holds: the period of a section and the last day of an order as a Timing of HL7 FHIR R5."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from rxlint.exchange.fhir_values import Element, concept
from rxlint.notation import nodes as n
from rxlint.notation.render import render_heading

_DAY: Final = 24 * 60


def timing_of(period: n.Period | None, last_day: str | None) -> Element | None:
    """The timing; None where it would say nothing.

    The hours are told as times of day with a duration where all windows last as long as one another; the period's own
    words stand beside them in any case.
    """
    repeat: Element = {"boundsPeriod": {"end": last_day}} if last_day is not None else {}
    if period is not None and period.windows:
        lengths = {_minutes(each) for each in period.windows}
        if len(lengths) == 1:
            repeat |= _hours(period.windows, lengths.pop())
    found: Element = {"repeat": repeat} if repeat else {}
    if period is not None:
        found["code"] = concept(period_text(period))
    return found or None


def period_text(period: n.Period) -> str:
    """A period as a heading tells it."""
    return render_heading(n.Heading("settings", 0, 0, period=period)).removeprefix("settings ")


def _hours(windows: tuple[n.Window, ...], minutes: int) -> Element:
    whole = minutes % 60 == 0
    return {
        "duration": Decimal(minutes // 60 if whole else minutes),
        "durationUnit": "h" if whole else "min",
        "frequency": len(windows),
        "period": Decimal(1),
        "periodUnit": "d",
        "timeOfDay": [f"{_of_day(each.start_time) // 60:02}:{_of_day(each.start_time) % 60:02}:00" for each in windows],
    }


def _minutes(window: n.Window) -> int:
    return (_of_day(window.end_time) - _of_day(window.start_time)) % _DAY or _DAY


def _of_day(time: str) -> int:
    """Minutes since midnight; 24:00 is the next one, and FHIR has no such time."""
    hours, minutes = map(int, time.split(":"))
    return (60 * hours + minutes) % _DAY
