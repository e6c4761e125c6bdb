"""Dates and times of day: those of the calendar and the clock alone."""

from __future__ import annotations

import datetime
import re
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.amounts import not_understood

_TIME_OF_DAY: Final = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")


def check_date(date: str, start: int, end: int) -> None:
    """Raises Unreadable where a date is not one of the calendar. Its shape is the grammar's affair."""
    try:
        datetime.date.fromisoformat(date)
    except ValueError:
        what, expected = f"{date} is not a date of the calendar", "year-month-day such as 2026-11-02"
        raise not_understood(start, end, what, expected) from None


def check_moment(moment: n.Moment) -> None:
    """Raises Unreadable where a moment's date is not one of the calendar or its time not one of a day."""
    check_date(moment.date, moment.start, moment.end)
    if moment.time is not None and not _TIME_OF_DAY.fullmatch(moment.time):
        raise not_understood(moment.start, moment.end, f"{moment.time} is no time of day", "00:00 to 23:59")
