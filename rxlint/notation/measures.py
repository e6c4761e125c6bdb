"""From what a line says to exact values in base units, checked against its term: ranges, references, plausibility."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.amounts import (
    Unreadable,
    amount_hazards,
    decimals_of,
    dimensions_of,
    fitting_units,
    not_understood,
    read_amount,
    read_fraction,
    read_size,
    standard_share,
    unit_of,
)
from rxlint.notation.dates import check_date
from rxlint.notation.events import Event
from rxlint.notation.takes import check_taken
from rxlint.units import PLAIN, TIME, WEIGHT, Dimension, Unit, find_unit, show, to_base
from rxlint.vocabulary import Term

__all__ = [
    "Quantity",
    "Unreadable",
    "check_plausible",
    "dimensions_of",
    "read_amount",
    "read_fraction",
    "read_measure",
    "unit_of",
]

_REFERENCES: Final = {"ambient": "above ambient", "PEEP": "above PEEP"}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A stated quantity, exact in base units. ``points`` are the amounts of the value in their order.

    ``reference`` is "ambient" or "PEEP" where stated or fixed by the term; ``basis`` names the weight of a value per
    kilogram. ``allowed`` bounds what may be set without a new order, where that is stated; ``options`` are the choices.
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


def read_measure(term: Term, measure: n.Measure) -> tuple[Quantity, list[Event]]:
    """A measure as an exact quantity of its term, and what is to be said of it. Raises Unreadable where it can't be."""
    check_taken(term, measure)
    value = measure.value
    events: list[Event] = _hazards(term, measure)
    points, unit = _points(term, value)
    reference = _reference(term, measure)
    basis = _basis(term, measure, unit)
    if term.form == "ratio" and value.kind in ("between", "automatic"):
        points = tuple(sorted(points))  # 1:2 to 1:3 is written by the expiratory part, so its first end is the greater
    _check_order(value, points, unit, term.phrase)
    for point, amount in zip(points, value.amounts, strict=True):
        check_plausible(term, amount, point, unit)
    allowed, options = _allowed(term, measure, points, unit)
    for each in measure.qualifiers:
        if each.date is not None:
            check_date(each.date, each.start, each.end)
    at, after = measure.qualifier("at"), measure.qualifier("after")
    manner, place = measure.qualifier("manner"), measure.qualifier("place")
    quantity = Quantity(
        kind=value.kind,
        points=points,
        unit=unit,
        decimals=max(decimals_of(part.text) for amount in value.amounts for part in amount.parts),
        reference=reference,
        basis=basis,
        manner=manner.word if manner else None,
        manner_date=manner.date if manner else None,
        at=_size(at, term.at.dimension, term) if term.at else None,
        place=place.word if place else None,
        delay=_size(after, TIME, term),
        allowed=allowed,
        options=options,
        step=_step(term, measure.steps, unit),
        allow_span=(measure.allow.start, measure.allow.end) if measure.allow else None,
    )
    return quantity, events


def _size(qualifier: n.Qualifier | None, dimension: Dimension, term: Term) -> Fraction | None:
    if qualifier is None or qualifier.amount is None:
        return None
    return read_size(qualifier.amount, (dimension,), term.phrase)[0]


def _step(term: Term, steps: n.Amount | None, unit: Unit) -> Fraction | None:
    if steps is None:
        return None
    dimensions = (unit.dimension,) if unit is not PLAIN else ()
    read = (
        read_fraction(steps, term.phrase)
        if term.form == "fraction"
        else read_amount(steps, None, dimensions, term.phrase, standard_share(term))
    )
    if read[0] <= 0:
        raise not_understood(steps.start, steps.end, f"a step of {steps.parts[0].text}", "a step above zero")
    return read[0]


def _points(term: Term, value: n.Value, needed: Unit | None = None) -> tuple[tuple[Fraction, ...], Unit]:
    """The amounts of a value in base units. All have one dimension, that of ``needed`` where it is given."""
    fallback = next((amount.unit for amount in reversed(value.amounts) if amount.unit), None)
    points: list[Fraction] = []
    unit = needed
    for amount in value.amounts:
        if term.form == "fraction" and fallback is None:
            point, found = read_fraction(amount, term.phrase)
        else:
            point, found = read_amount(amount, fallback, dimensions_of(term), term.phrase, standard_share(term))
        if unit is not None and found.dimension != unit.dimension:  # 300 mL to 8 mL/kg
            read_amount(amount, fallback, (unit.dimension,), term.phrase)
        points.append(point)
        unit = found
    return tuple(points), unit or PLAIN


def _reference(term: Term, measure: n.Measure) -> str | None:
    stated = measure.qualifier("reference")
    if stated is None:
        if term.reference == "stated":
            # a limit of the pressure is told apart from the pressure itself: another rule speaks of it
            limit = term.phrase.startswith(("minimum", "maximum"))
            name = "reader.limit-reference-missing" if limit else "reader.reference-missing"
            fields = {"what": term.phrase, "stated": "no reference", "needed": "above ambient or above PEEP"}
            readings = tuple(_REFERENCES.values())
            end = measure.value.end
            raise Unreadable(Event(name, measure.value.start, end, fields, readings, over=(end, end)))
        return term.reference if term.reference in _REFERENCES else None
    if term.reference not in ("stated", stated.word):
        needed = _REFERENCES.get(term.reference or "", "no reference")
        fields = {"what": term.phrase, "stated": f"above {stated.word}", "needed": needed}
        raise Unreadable(Event("reader.reference-mismatch", stated.start, stated.end, fields))
    return stated.word


def _basis(term: Term, measure: n.Measure, unit: Unit) -> str | None:
    stated = measure.qualifier("basis")
    per_weight = unit.dimension in tuple(each.dimension / WEIGHT for each in term.units)
    if per_weight and stated is None:
        fields = {"what": term.phrase, "value": ""}
        readings = ("of predicted weight", "of measured weight")
        end = measure.value.end
        raise Unreadable(Event("reader.basis-missing", measure.value.start, end, fields, readings, over=(end, end)))
    if stated is not None and not per_weight:
        raise not_understood(
            stated.start, stated.end, f"of {stated.word}", f"{term.phrase} in a unit per kilogram, or no weight"
        )
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
    allowed, _ = _points(term, allow, unit)
    for point, amount in zip(allowed, allow.amounts, strict=True):
        check_plausible(term, amount, point, unit)
    if term.form == "ratio":
        allowed = tuple(sorted(allowed))
    _check_order(allow, allowed, unit, f"{term.phrase}, allowed")
    low, high = _bounds(term, allow, allowed, points)
    if not all(low <= point <= high for point in points):
        fields = {
            "what": term.phrase,
            "set": show(points[0], unit),
            "allowed": f"{show(low, unit)} to {show(high, unit)}",
        }
        raise Unreadable(Event("reader.outside-allowed", measure.value.start, allow.end, fields))
    return (low, high), allowed if allow.kind == "one of" else ()


def _bounds(
    term: Term, allow: n.Value, allowed: tuple[Fraction, ...], points: tuple[Fraction, ...]
) -> tuple[Fraction, Fraction]:
    """The ends of what may be set. An open end is that of the plausible range, which is of the whole value."""
    low, high = term.plausible or (Fraction(0), max(allowed))
    if allow.kind == "at most":
        return min(low, *allowed, *points), allowed[0]
    if allow.kind == "at least":
        return allowed[0], max(high, *allowed, *points)
    return min(allowed), max(allowed)


def check_plausible(term: Term, amount: n.Amount, point: Fraction, unit: Unit) -> None:
    """Raises Unreadable for a value that no patient or ventilator has."""
    standard = term.unit or PLAIN
    bounds = term.plausible if unit.dimension == standard.dimension else None
    weighed = term.per_kilogram
    if weighed is not None and unit.dimension == weighed.unit.dimension:
        bounds, standard = weighed.plausible, weighed.unit
    if bounds is None:
        return
    low, high = bounds
    if low <= point <= high:
        return
    slips = _slips(term, amount, unit, low, high)
    fields = {
        "what": term.phrase,
        "value": show(point, unit),
        "range": f"{show(low, standard)} to {show(high, standard)}",
        "slips": f"; a slip that would explain it: {', '.join(slips)}" if slips else "",
    }
    raise Unreadable(Event("reader.implausible", amount.start, amount.end, fields, tuple(slips.values())))


def _slips(term: Term, amount: n.Amount, unit: Unit, low: Fraction, high: Fraction) -> dict[str, str]:
    """The slips of writing that would explain an implausible amount: what happened, and what it would then read."""
    part = amount.parts[0]
    tail = f" {part.unit}" if part.unit else ""
    found: dict[str, str] = {}

    def offer(why: str, number: Fraction, after: str, of: Unit, digits: str | None = None) -> None:
        if low <= to_base(number, of) <= high:  # and is no number too large to be a float
            found[why] = f"{digits if digits is not None else _decimal(number)}{after}"

    offer("tenfold too large", part.number / 10, tail, unit)
    offer("tenfold too small", part.number * 10, tail, unit)
    if term.form == "fraction":
        offer("a fraction written as a percentage", part.number * 100, " %", unit)
    for symbol in fitting_units((unit.dimension,), unit.symbol):
        other = find_unit(symbol)
        if other is not None and symbol != part.unit and other.factor != unit.factor:
            offer(f"the unit {symbol} meant", part.number, f" {symbol}", other, part.text)
    digits = part.text
    if digits.isdigit() and len(digits) == 2 and digits[0] != digits[1] and digits[1] != "0":
        offer("digits swapped", Fraction(digits[::-1]), tail, unit, digits[::-1])
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
