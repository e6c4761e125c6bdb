"""A value in a document's text: where it stands, in which units its term may be written, and the text with another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from fractions import Fraction
from typing import Any, Final

from rxlint.model.facts import Facts
from rxlint.notation import nodes as n
from rxlint.notation.amounts import is_daily, unit_of
from rxlint.notation.tree import Entry
from rxlint.units import PLAIN, UNITS, Unit, units_of, without_basis
from rxlint.vocabulary import Term

_PREFERRED: Final = (
    *("cmH2O", "mbar", "kPa", "mmHg", "mL", "L", "s", "ms", "min", "h", "months", "days", "weeks", "years"),
    *("L/min", "mL/min", "mL/s", "/min", "/h", "cm", "mm", "kg", "g", "lb", "mL/kg", "L/kg"),
)
_PLACES: Final = 12


@dataclass(frozen=True, slots=True)
class Standing:
    """An amount in a text: its entry, the amount, the others of the same value, and the unit it is written in."""

    entry: Entry
    amount: n.Amount
    together: tuple[n.Amount, ...]
    unit: Unit
    term: Term | None


def stands_at(facts: Facts, key: str) -> Standing | None:
    """Where the number of a key stands; None where it stands nowhere, or is no single amount."""
    value, stated = facts.constants.get(key), facts.stated(key)
    if stated is None or not isinstance(value, Fraction) or isinstance(value, bool):
        return None
    if not stated.statement.readable or stated.statement.body is None:
        return None
    body = stated.statement.body
    is_window = stated.statement.term is not None and stated.statement.term.kind == "window"
    if is_window and isinstance(body, n.Measure) and body.value.kind == "exact":
        return None  # both ends are one number: neither can be moved alone
    for together in _values(body):
        fallback = next((each.unit for each in reversed(together) if each.unit), None)
        for amount in together:
            unit = _unit(amount, fallback)
            if unit is not None and amount.parts[0].number * unit.factor == value:
                return Standing(stated.entry, amount, together, unit, stated.statement.term)
    return None


def _unit(amount: n.Amount, fallback: str | None) -> Unit | None:
    if len(amount.parts) != 1 or amount.ratio:
        return None
    symbol = amount.parts[0].unit or fallback
    return unit_of(symbol) if symbol else PLAIN


def _values(body: Any) -> Iterator[tuple[n.Amount, ...]]:
    """The amounts of a statement, those that make one value together."""
    if isinstance(body, n.Value):
        yield body.amounts
    elif isinstance(body, n.Amount):
        yield (body,)
    elif isinstance(body, tuple):
        for each in body:
            yield from _values(each)
    elif is_dataclass(body):
        for field in fields(body):
            yield from _values(getattr(body, field.name))


def is_plausible(standing: Standing, value: Fraction) -> bool:
    """Whether the reader takes a value of this size; of one per kilogram nothing is known here."""
    term = standing.term
    if term is None or term.plausible is None or without_basis(term.dimension) != standing.unit.dimension:
        return value >= 0
    return term.plausible[0] <= value <= term.plausible[1]


def units_for(standing: Standing) -> list[Unit]:
    """The units in which the value may be written, the one that it is written in first."""
    own = standing.unit
    if standing.term is not None and standing.term.form == "fraction":  # a share of oxygen may stand without a unit
        return [own, UNITS["%"] if own is PLAIN else PLAIN]
    if own is PLAIN:
        return [own]
    others = [UNITS[each] for each in units_of(own.dimension) if is_daily(each) == is_daily(own.symbol)]
    others = [each for each in others if each.factor != own.factor]
    return [own, *sorted(others, key=lambda each: _PREFERRED.index(each.symbol) if each.symbol in _PREFERRED else 99)]


def places_of(number: Fraction, part: Fraction = Fraction(1, 10**6)) -> int:
    """Decimal places of which a step is no more than this part of a number; of nothing, that part itself."""
    size = abs(number) * part or part
    return next(places for places in range(-12, 40) if Fraction(10) ** -places <= size)


def rounded(facts: Facts, key: str, value: Fraction) -> Fraction:
    """A value near another that can be written in the unit that the key is written in."""
    standing = stands_at(facts, key)
    if standing is None:
        return value
    step = Fraction(10) ** -places_of(value / standing.unit.factor, Fraction(1, 1000))
    return round(value / standing.unit.factor / step) * step * standing.unit.factor


def decimal(value: Fraction, places: int = _PLACES) -> str | None:
    """An exact decimal; None for a value that has none of so many places."""
    if (value * 10**places).denominator != 1:
        return None
    whole, part = divmod(abs(value) * 10**places, 10**places)
    digits = f"{whole}.{int(part):0{places}d}".rstrip("0").rstrip(".")
    return f"-{digits}" if value < 0 else digits


def with_values(facts: Facts, texts: Mapping[str, tuple[str, Unit]]) -> str | None:
    """The document's text with these keys written as these numbers in these units; None where one stands nowhere, or
    another number of the same value has no decimal in the unit.
    """
    changes: dict[tuple[int, int, int], str] = {}
    own = {key: standing.amount for key in texts if (standing := stands_at(facts, key)) is not None}
    for key, (text, unit) in texts.items():
        standing = stands_at(facts, key)
        if standing is None:
            return None
        for each in standing.together:
            if each is not standing.amount and any(each is amount for amount in own.values()):
                continue  # the other end of a range, which is told a number of its own
            other = decimal(each.parts[0].number * standing.unit.factor / unit.factor)
            number = text if each is standing.amount else other
            if number is None:
                return None
            place = standing.entry.place(each.start, each.end)
            written = f"{number} {unit.symbol}".rstrip()
            changes[place.line, place.column, place.end_column] = written
    lines = "".join(line.text + line.ending for entry in facts.document.entries for line in entry.lines).split("\n")
    for (line, start, end), written in sorted(changes.items(), reverse=True):
        row = lines[line - 1]
        lines[line - 1] = row[: start - 1] + written + row[end - 1 :]
    return "\n".join(lines)
