"""An order with so many sets of readings that its file is long: a patient watched minute by minute."""

import datetime as dt
from dataclasses import replace

from writing import Order, Section, as_notation, quantity

NURSE = "night nurse, intensive care"


def readings(taken: dt.datetime, number: int) -> Section:
    """One set; its values move a little from one to the next."""
    moment = f"{taken:%Y-%m-%d %H:%M}"
    rows = (
        quantity("heart rate", 76 + number * 7 % 11, "/min"),
        quantity("SpO2", 92 + number * 3 % 4, "%"),
        quantity("EtCO2", 5 + number * 5 % 7 / 10, "kPa"),
    )
    return Section(f'readings at {moment} by "{NURSE}"', "readings", rows, f"{moment} {NURSE}")


def with_readings(order: Order, last: dt.date, lines: int) -> Order:
    """The order with as many sets of readings as give its file at least so many lines, the last of the day before."""
    missing = lines - as_notation(order).count("\n")
    sets = max(0, -(-missing // (len(readings(dt.datetime(2026, 1, 1), 0).rows) + 2)))  # a heading, a blank line
    end = dt.datetime.combine(last - dt.timedelta(days=1), dt.time(23))
    # Closer than an hour apart where there are many, so that none was taken before the order was written.
    taken = [end - dt.timedelta(minutes=number) for number in range(sets - 1, -1, -1)]
    return replace(order, sections=(*order.sections, *map(readings, taken, range(sets))))
