"""An order in which no detail line is like any line of any other order, and which still says what it said.

Values get decimals that only this document has: 5 cmH2O in document 4217 becomes 5.004217 cmH2O. Pressures that belong
together move together, so that inspiratory pressure stays the sum of PEEP and pressure support; times and upper ends
of ranges move down, for they may stand at the most that is usual. A line of words alone gets a comment,
`# sheet 4217`, and a text names the sheet. Headings stay as they are.
"""

import re
from dataclasses import replace
from decimal import Decimal

from writing import Order, Row, Section, Value

MOST = 100_000  # documents; beyond, the decimals of one could be those of another
_RANGE = re.compile(r"[\d.]+ to [\d.]+")
_NUMBER = re.compile(r"(?<![\w.:-])\d+(?:\.(\d+))?(?![\w.:-])")
# How many steps of a document's own decimals a pressure moves by: those of PEEP and of support make those of the peak.
_STEPS = {"pressure support": 2, "IPAP": 3, "inspiratory pressure": 3}
_ABOVE_PEEP = "above PEEP"
_DOWN = ("after ", "inspiratory time", "high SpO2")  # a text that begins so, or a term that ends so, moves down


def distinct(order: Order, number: int) -> Order:
    """The order as document `number`, which counts from 1 to MOST."""
    if not 1 <= number <= MOST:
        raise ValueError(f"documents without a line in common are numbered from 1 to {MOST:,}, not {number:,}")
    return replace(order, sections=tuple(_section(part, number) for part in order.sections))


def _section(part: Section, number: int) -> Section:
    return replace(part, rows=tuple(_row(row, number) for row in part.rows))


def _row(row: Row, number: int) -> Row:
    if row.measured:
        steps = number * (2 if _ABOVE_PEEP in row.text else _STEPS.get(row.term, 1))
        steps = -steps if row.text.startswith(_DOWN) or row.term.endswith(_DOWN) else steps
        if _RANGE.match(row.text) and isinstance(row.value, tuple):
            ends = _moved(row.value[0], steps), _moved(row.value[1], -steps)
            _, unit = row.text.split(f" to {row.value[1]}", 1)
            return replace(row, text=f"{ends[0]} to {ends[1]}{unit}", value=ends)
        return replace(row, text=_moved(row.text, steps), value=_each(row.value, steps))
    if row.text.endswith('"') and isinstance(row.value, str):
        return replace(row, text=f'{row.text[:-1]}, sheet {number}"', value=f'{row.value[:-1]}, sheet {number}"')
    return replace(row, remark=f"sheet {number}")


def _each(value: Value, steps: int) -> Value:
    return _moved(value, steps) if isinstance(value, str) else tuple(_moved(part, steps) for part in value)


def _moved(text: str, steps: int) -> str:
    """Every number of a text moved by as many millionths of its last decimal's unit."""

    def moved(found: re.Match[str]) -> str:
        decimals = len(found[1] or "")
        return f"{Decimal(found[0]) + Decimal(steps).scaleb(-6 - decimals):f}".rstrip("0")

    return _NUMBER.sub(moved, text)
