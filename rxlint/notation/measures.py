"""From what a line says to exact values in base units, checked against its term: units, ranges, references, plausibility."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rxlint.notation import nodes as n
from rxlint.notation.events import Event
from rxlint.units import DISCOURAGED, PLAIN, WEIGHT, Dimension, Unit, find_unit, show, to_base, units_of, with_basis
from rxlint.vocabulary import Term


@dataclass(frozen=True, slots=True)
class Quantity:
    """A stated quantity, exact in base units. ``points`` are the amounts of the value in their order.

    ``reference`` is "ambient" or "PEEP" where stated or fixed by the term; ``basis`` names the weight of a value per kilogram.
    ``low`` and ``high`` bound what may be set (the ``allow``, else the value itself); ``options`` are its choices, if any.
    """

    kind: n.ValueKind
    points: tuple[Fraction, ...]
    unit: Unit
    decimals: int
    reference: str | None = None
    basis: str | None = None
    manner: str | None = None
    manner_date: str | None = None
    at: Fraction | None = None
    place: str | None = None
    delay: Fraction | None = None
    allowed: tuple[Fraction, Fraction] | None = None
    options: tuple[Fraction, ...] = ()
    step: Fraction | None = None
    allow_span: tuple[int, int] | None = None


class Unreadable(Exception):
    """The value can't be used; ``event`` says why."""

    def __init__(self, event: Event) -> None:
        super().__init__(event.name)
        self.event = event


_RARE = frozenset({"Pa", "bar", "psi", "dL", "L/h", "/h", "/s", "breaths/min", "hPa", "in", "ft", "mL/s", "L/s", "week", "month", "day", "year", "/day", "times/day"})


def unit_of(symbol: str) -> Unit | None:
    """The unit of a spelling, also of a discouraged one."""
    found = find_unit(symbol)
    return found if found is not None else find_unit(DISCOURAGED[symbol][0]) if symbol in DISCOURAGED else None


def dimensions_of(term: Term) -> tuple[Dimension, ...]:
    """The dimensions a term may be written in: its own, and each per kilogram where that is allowed."""
    own = tuple(unit.dimension for unit in term.units)
    return own + tuple(each / WEIGHT for each in own) if term.per_weight else own


def fitting_units(dimensions: tuple[Dimension, ...], standard: str | None) -> list[str]:
    """Unit symbols of these dimensions, the standard ones first. Shares (%, h/day) have one dimension and are told apart by name."""
    if standard is not None and dimensions == (Dimension(),):
        return [symbol for symbol in units_of(Dimension()) if is_daily(symbol) == is_daily(standard)]
    return [symbol for dimension in dimensions for symbol in units_of(dimension) if symbol not in _RARE]


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
            raise Unreadable(
                Event("reader.unit-missing", part.start, part.end, {"what": what, "expected": expected_units(dimensions, standard)},
                      tuple(f"{part.text} {each}" for each in fitting_units(dimensions, standard)[:2]))
            )  # fmt: skip
        found = unit_of(symbol)
        if found is None or found.dimension not in dimensions or (standard and is_daily(symbol) != is_daily(standard)):
            raise Unreadable(_mismatch(amount, what, symbol, found.dimension if found else Dimension(), dimensions, standard))
        unit = found
        total += to_base(part.number, unit)
    return total, unit


def _mismatch(
    amount: n.Amount, what: str, symbol: str, found: Dimension, dimensions: tuple[Dimension, ...], standard: str | None
) -> Event:
    needed = " or ".join(each.describe() for each in dimensions) or "a plain number"
    fields = {"what": what, "unit": symbol, "found": found.describe(), "needed": needed, "expected": expected_units(dimensions, standard)}
    return Event("reader.unit-mismatch", amount.start, amount.end, fields)


def read_fraction(amount: n.Amount, what: str) -> tuple[Fraction, Unit]:
    """An oxygen fraction: a percentage, or a bare number from 0 to 1. A bare number above 1 is an error."""
    percent = find_unit("%")
    assert percent is not None
    part = amount.parts[0]
    if part.unit is None and 0 <= part.number <= 1:
        return part.number, PLAIN
    if part.unit is None:
        readings = (f"{part.text} %", str(float(part.number / 100))) if part.number <= 100 else ()
        raise Unreadable(Event("reader.unit-missing", part.start, part.end, {"what": what, "expected": "%"}, readings))
    return read_amount(amount, None, (percent.dimension,), what)


def read_measure(term: Term, measure: n.Measure) -> tuple[Quantity, list[Event]]:
    """A measure as an exact quantity of its term, with what is worth saying. Raises Unreadable where it can't be used."""
    value = measure.value
    events: list[Event] = _hazards(term, measure)
    fallback = next((amount.unit for amount in reversed(value.amounts) if amount.unit), None)
    points, unit = _points(term, value, fallback)
    reference = _reference(term, measure)
    basis = _basis(term, measure, unit)
    _check_order(value, points, unit, term.phrase)
    _check_plausible(term, value, points, unit)
    allowed, options = _allowed(term, measure, points, unit)
    step = _amount_of(measure.steps, (unit.dimension,) if unit is not PLAIN else (), term, unit)
    at = measure.qualifier("at")
    after = measure.qualifier("after")
    manner = measure.qualifier("manner")
    place = measure.qualifier("place")
    decimals = max(decimals_of(part.text) for amount in value.amounts for part in amount.parts)
    return Quantity(
        kind=value.kind,
        points=points,
        unit=unit,
        decimals=decimals,
        reference=reference,
        basis=basis,
        manner=manner.word if manner else None,
        manner_date=manner.date if manner else None,
        at=_amount_of(at.amount, (term.at.dimension,), term, term.at) if at and term.at else None,
        place=place.word if place else None,
        delay=_amount_of(after.amount, (_TIME,), term, None) if after else None,
        allowed=allowed,
        options=options,
        step=step,
        allow_span=(measure.allow.start, measure.allow.end) if measure.allow else None,
    ), events


_SECOND = find_unit("s")
assert _SECOND is not None
_TIME = _SECOND.dimension


def _amount_of(amount: n.Amount | None, dimensions: tuple[Dimension, ...], term: Term, unit: Unit | None) -> Fraction | None:
    if amount is None:
        return None
    if term.form == "fraction":
        return read_fraction(amount, term.phrase)[0]
    return read_amount(amount, None, dimensions, term.phrase)[0]


def _points(term: Term, value: n.Value, fallback: str | None) -> tuple[tuple[Fraction, ...], Unit]:
    if term.form == "fraction":
        percent = fallback is not None
        read = [
            read_amount(amount, fallback, (Dimension(),), term.phrase) if percent else read_fraction(amount, term.phrase)
            for amount in value.amounts
        ]
    else:
        read = [read_amount(amount, fallback, dimensions_of(term), term.phrase, _standard(term)) for amount in value.amounts]
    return tuple(point for point, _ in read), read[-1][1]


def _standard(term: Term) -> str | None:
    return term.units[0].symbol if term.units and term.units[0].dimension == Dimension() else None


def _reference(term: Term, measure: n.Measure) -> str | None:
    stated = measure.qualifier("reference")
    if term.reference == "stated" and stated is None:
        raise Unreadable(
            Event("reader.reference-missing", measure.value.start, measure.value.end, {"what": term.phrase, "value": ""},
                  ("above ambient", "above PEEP"))
        )  # fmt: skip
    if stated is None:
        return term.reference if term.reference in ("ambient", "PEEP") else None
    if term.reference in ("ambient", "PEEP", "difference", None) and stated.word != term.reference:
        needed = {"ambient": "above ambient", "PEEP": "above PEEP"}.get(term.reference or "", "no reference")
        fields = {"what": term.phrase, "stated": f"above {stated.word}", "needed": needed}
        raise Unreadable(Event("reader.reference-mismatch", measure.start, measure.end, fields))
    return stated.word


def _basis(term: Term, measure: n.Measure, unit: Unit) -> str | None:
    stated = measure.qualifier("basis")
    per_weight = unit.dimension in tuple(each.dimension / WEIGHT for each in term.units)
    if per_weight and stated is None:
        raise Unreadable(
            Event("reader.basis-missing", measure.value.start, measure.value.end, {"what": term.phrase, "value": ""},
                  ("of predicted weight", "of measured weight"))
        )  # fmt: skip
    if stated is not None and not per_weight:
        fields = {"what": f"of {stated.word}", "expected": f"{term.phrase} in a unit per kilogram, or no weight"}
        raise Unreadable(Event("reader.not-understood", stated.start, stated.end, fields))
    if stated is not None and stated.word:
        with_basis(unit.dimension, stated.word)
    return stated.word if stated else None


def _check_order(value: n.Value, points: tuple[Fraction, ...], unit: Unit, what: str) -> None:
    if value.kind in ("between", "automatic") and points[0] > points[1]:
        fields = {"what": what, "low": show(points[0], unit), "high": show(points[1], unit)}
        raise Unreadable(Event("reader.reversed-range", value.start, value.end, fields))


def _allowed(
    term: Term, measure: n.Measure, points: tuple[Fraction, ...], unit: Unit
) -> tuple[tuple[Fraction, Fraction] | None, tuple[Fraction, ...]]:
    """What may be set without a new order: bounds, and the choices where only those are allowed."""
    allow = measure.allow
    if allow is None:
        options = points if measure.value.kind == "one of" else ()
        return None, options
    fallback = next((amount.unit for amount in reversed(allow.amounts) if amount.unit), None)
    allowed, _ = _points(term, allow, fallback)
    _check_order(allow, allowed, unit, f"{term.phrase}, allowed")
    low, high = _bounds(term, allow, allowed)
    if not all(low <= point <= high for point in points):
        fields = {"what": term.phrase, "set": show(points[0], unit), "allowed": f"{show(low, unit)} to {show(high, unit)}"}
        raise Unreadable(Event("reader.outside-allowed", measure.value.start, allow.end, fields))
    return (low, high), allowed if allow.kind == "one of" else ()


def _bounds(term: Term, allow: n.Value, points: tuple[Fraction, ...]) -> tuple[Fraction, Fraction]:
    low, high = term.plausible or (Fraction(0), max(points))
    if allow.kind == "at most":
        return min(low, points[0]), points[0]
    if allow.kind == "at least":
        return points[0], max(high, points[0])
    return min(points), max(points)


def _check_plausible(term: Term, value: n.Value, points: tuple[Fraction, ...], unit: Unit) -> None:
    if term.plausible is None or unit.dimension not in tuple(each.dimension for each in term.units[:1] or (PLAIN,)):
        return
    low, high = term.plausible
    for point, amount in zip(points, value.amounts, strict=True):
        if not low <= point <= high:
            told = f"{show(low, term.unit or PLAIN)} to {show(high, term.unit or PLAIN)}"
            slips = _slips(term, amount, unit, low, high)
            fields = {"what": term.phrase, "value": show(point, unit), "range": told, "slips": ", ".join(slips)}
            raise Unreadable(Event("reader.implausible", amount.start, amount.end, fields, tuple(slips.values())))


def _slips(term: Term, amount: n.Amount, unit: Unit, low: Fraction, high: Fraction) -> dict[str, str]:
    """The slips of writing that would explain an implausible amount: what happened, and what it would then read."""
    part = amount.parts[0]
    tail = f" {part.unit}" if part.unit else ""
    found: dict[str, str] = {}

    def offer(why: str, number: Fraction, text: str, of: Unit) -> None:
        if low <= to_base(number, of) <= high:
            found[why] = text

    offer("tenfold too large", part.number / 10, f"{_decimal(part.number / 10)}{tail}", unit)
    offer("tenfold too small", part.number * 10, f"{_decimal(part.number * 10)}{tail}", unit)
    if term.form == "fraction":
        offer("a fraction written as a percentage", part.number * 100, f"{_decimal(part.number * 100)} %", unit)
    for symbol in fitting_units((unit.dimension,), unit.symbol):
        other = find_unit(symbol)
        if other is not None and symbol != part.unit and other.factor != unit.factor:
            offer(f"the unit {symbol} meant", part.number, f"{part.text} {symbol}", other)
    digits = part.text
    if digits.isdigit() and len(digits) == 2 and digits[0] != digits[1] and digits[1] != "0":
        offer("digits swapped", Fraction(digits[::-1]), f"{digits[::-1]}{tail}", unit)
    return dict(list(found.items())[:4])


def _decimal(number: Fraction) -> str:
    text = f"{float(number):.6f}".rstrip("0").rstrip(".")
    return text or "0"


def _hazards(term: Term, measure: n.Measure) -> list[Event]:
    """Hazards of numbers and units that leave the meaning certain: trailing zeros and discouraged units."""
    amounts = list(measure.value.amounts) + [each.amount for each in measure.qualifiers if each.amount is not None]
    amounts += list(measure.allow.amounts) if measure.allow else []
    amounts += [measure.steps] if measure.steps else []
    return [event for amount in amounts for event in amount_hazards(amount, term.decimals)]


def amount_hazards(amount: n.Amount, decimals: int | None) -> list[Event]:
    """Hazards of one amount. ``decimals`` is None where trailing zeros are no hazard."""
    events: list[Event] = []
    for part in amount.parts:
        if decimals is not None and part.text.endswith("0") and decimals_of(part.text) > decimals:
            better = part.text.rstrip("0").rstrip(".")
            events.append(
                Event("reader.trailing-zero", part.start, part.number_end, {"what": part.text, "better": better}, (better,))
            )
        if part.unit in DISCOURAGED:
            standard, why = DISCOURAGED[part.unit]
            start = part.end - len(part.unit)
            events.append(
                Event("reader.unit-discouraged", start, part.end, {"unit": part.unit, "standard": standard, "why": why}, (standard,))
            )
    return events
