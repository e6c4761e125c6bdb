"""One amount - a number with its unit - as an exact value in base units."""

from __future__ import annotations

import itertools
from fractions import Fraction
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.events import Event
from rxlint.units import DISCOURAGED, PLAIN, WEIGHT, Dimension, Unit, find_unit, to_base, units_of
from rxlint.vocabulary import Term

# Units that are read and not offered: too large, too small or too rare for what is ordered.
_RARE: Final = frozenset(
    {
        *("Pa", "hPa", "bar", "psi", "dL", "L/h", "L/s", "mL/s", "in", "ft"),
        *("/h", "/s", "/day", "times/day", "breaths/min", "day", "week", "month", "year"),
    }
)
# Discouraged spellings that mean another unit than the standard one they are told to be replaced by.
_MEANS: Final = {"lbs": "lb"}
_NEVER_READ: Final = frozenset({"F"})  # no scale of ours: reading 98 F as 98 degC would be a guess


class Unreadable(Exception):
    """The value can't be used; ``event`` says why."""

    def __init__(self, event: Event) -> None:
        super().__init__(event.name)
        self.event = event


def unit_of(symbol: str) -> Unit | None:
    """The unit of a spelling, also of a discouraged one; None where it is no unit or none that can be converted."""
    found = find_unit(_MEANS.get(symbol, symbol))
    if found is not None or symbol in _NEVER_READ or symbol not in DISCOURAGED:
        return found
    return find_unit(DISCOURAGED[symbol][0])


def is_another_unit(symbol: str) -> bool:
    """Whether a discouraged spelling is of another unit than its standard one: the number would change with it."""
    read = unit_of(symbol)
    return read is None or read != find_unit(DISCOURAGED[symbol][0])


def dimensions_of(term: Term) -> tuple[Dimension, ...]:
    """The dimensions a term may be written in: its own, and each per kilogram where that is allowed."""
    own = tuple(unit.dimension for unit in term.units)
    return own + tuple(each / WEIGHT for each in own) if term.per_weight else own


def standard_share(term: Term) -> str | None:
    """The unit of a term that is a share: % and h/day have one dimension, and are told apart by it."""
    return term.units[0].symbol if term.units and term.units[0].dimension == Dimension() else None


def fitting_units(dimensions: tuple[Dimension, ...], standard: str | None) -> list[str]:
    """Unit symbols of these dimensions, the standard ones first. Shares (%, h/day) are told apart by name."""
    if standard is not None and dimensions == (Dimension(),):
        return [symbol for symbol in units_of(Dimension()) if is_daily(symbol) == is_daily(standard)]
    symbols = [symbol for dimension in dimensions for symbol in units_of(dimension) if symbol not in _RARE]
    return sorted(symbols, key=lambda symbol: symbol != standard)  # the term's own unit first, the rest as they were


def is_daily(symbol: str) -> bool:
    """Whether a share is a time a day."""
    return symbol.endswith("/day")


def expected_units(dimensions: tuple[Dimension, ...], standard: str | None = None, limit: int = 3) -> str:
    """Unit symbols to offer, the standard ones first."""
    symbols = fitting_units(dimensions, standard)
    return " or ".join(symbols[:limit]) if symbols else "no unit"


def decimals_of(text: str) -> int:
    """Decimals written in a number."""
    return len(text.partition(".")[2])


def not_understood(start: int, end: int, what: str, expected: str) -> Unreadable:
    """The error for a part of a line that reads well and makes no sense where it stands."""
    return Unreadable(Event("reader.not-understood", start, end, {"what": what, "expected": expected}))


def read_amount(
    amount: n.Amount, fallback: str | None, dimensions: tuple[Dimension, ...], what: str, standard: str | None = None
) -> tuple[Fraction, Unit]:
    """An amount in base units with the unit it was written in. Raises Unreadable for a missing or unfitting unit."""
    if amount.ratio:
        if dimensions:
            raise Unreadable(_mismatch(amount, what, "a ratio", Dimension(), dimensions, standard))
        return amount.parts[0].number, PLAIN
    total = Fraction(0)
    unit = PLAIN
    for part in amount.parts:
        symbol = part.unit or fallback
        if symbol is None:
            if not dimensions:
                return part.number, PLAIN
            fields = {"what": what, "expected": expected_units(dimensions, standard)}
            readings = tuple(f"{part.text} {each}" for each in fitting_units(dimensions, standard)[:2])
            raise Unreadable(Event("reader.unit-missing", part.start, part.end, fields, readings))
        found = unit_of(symbol)
        daily = found is not None and is_daily(found.symbol)
        if found is None or found.dimension not in dimensions or (standard and daily != is_daily(standard)):
            dimension = found.dimension if found else Dimension()
            raise Unreadable(_mismatch(amount, what, symbol, dimension, dimensions, standard))
        unit = found
        total += to_base(part.number, unit)
    _check_parts(amount)
    return total, unit


def _check_parts(amount: n.Amount) -> None:
    """Refuses 4 months 7 months and 7 years 14 months: a later part is less than one of the unit before it."""
    for before, part in itertools.pairwise(amount.parts):
        larger, smaller = unit_of(before.unit or ""), unit_of(part.unit or "")
        if larger is None or smaller is None:
            continue
        if smaller.factor >= larger.factor or to_base(part.number, smaller) >= larger.factor:
            what = f"{part.text} {part.unit} can't follow {before.text} {before.unit}"
            raise not_understood(part.start, part.end, what, f"less than one of {before.unit}, in a smaller unit")


def _mismatch(
    amount: n.Amount, what: str, symbol: str, found: Dimension, dimensions: tuple[Dimension, ...], standard: str | None
) -> Event:
    fields = {
        "what": what,
        "unit": symbol,
        "found": "another scale" if symbol in _NEVER_READ else found.describe(),
        "needed": " or ".join(each.describe() for each in dimensions) or "a plain number",
        "expected": expected_units(dimensions, standard),
    }
    return Event("reader.unit-mismatch", amount.start, amount.end, fields)


def read_fraction(amount: n.Amount, what: str) -> tuple[Fraction, Unit]:
    """An oxygen fraction: a percentage, or a bare number from 0 to 1. A bare number above 1 is an error."""
    percent = find_unit("%")
    assert percent is not None
    part = amount.parts[0]
    if amount.ratio:
        raise not_understood(amount.start, amount.end, f"{part.text} is no share", "a percentage, or a number up to 1")
    if part.unit is None and 0 <= part.number <= 1:
        return part.number, PLAIN
    if part.unit is None:
        readings = (f"{part.text} %", str(float(part.number / 100))) if part.number <= 100 else ()
        raise Unreadable(Event("reader.unit-missing", part.start, part.end, {"what": what, "expected": "%"}, readings))
    return read_amount(amount, None, (percent.dimension,), what, percent.symbol)


def read_size(
    amount: n.Amount,
    dimensions: tuple[Dimension, ...],
    what: str,
    *,
    zero: bool = True,
) -> tuple[Fraction, Unit]:
    """An amount of something that can't be less than nothing: a time, a volume, a length, a step (never zero).

    Raises Unreadable as ``read_amount``, and for an amount below zero or, unless ``zero``, of zero.
    """
    base, unit = read_amount(amount, None, dimensions, what)
    if base < 0 or (base == 0 and not zero):
        text = amount.parts[0].text
        limit = "an amount of zero or more" if zero else "an amount above zero"
        raise not_understood(amount.start, amount.end, f"{what} of {text}", limit)
    return base, unit


def amount_hazards(amount: n.Amount, decimals: int | None) -> list[Event]:
    """Hazards of one amount. ``decimals`` is None where trailing zeros are no hazard."""
    events: list[Event] = []
    for part in amount.parts:
        if decimals is not None and part.text.endswith("0") and decimals_of(part.text) > decimals:
            better = part.text.rstrip("0").rstrip(".")
            fields = {"what": part.text, "better": better}
            events.append(Event("reader.trailing-zero", part.start, part.number_end, fields, (better,)))
        if part.unit is not None and part.unit in DISCOURAGED:
            standard, why = DISCOURAGED[part.unit]
            start = part.end - len(part.unit)
            fields = {"unit": part.unit, "standard": standard, "why": why}
            readings = () if is_another_unit(part.unit) else (standard,)
            events.append(Event("reader.unit-discouraged", start, part.end, fields, readings))
    return events
