"""Bands: the rows of a document's tables, cut where any begins or ends, so that each band holds one row of each."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import prod
from typing import Final

from rxlint.expressions import Axis
from rxlint.model.quantities import axis_or_value
from rxlint.model.stated import Scope, Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity
from rxlint.notation.tree import Entry
from rxlint.units import Unit, find_unit, show, to_base
from rxlint.vocabulary import Term, vocabulary

MAX_BANDS: Final = 400
"""More bands than a protocol can have; where tables make more, their terms are not checked."""


@dataclass(frozen=True, slots=True)
class TableRow:
    """A row with the stretch of its key it holds for: low included, high excluded unless ``closed``."""

    low: Fraction
    high: Fraction
    closed: bool
    quantity: Quantity
    entry: Entry


@dataclass(frozen=True, slots=True)
class Band:
    """One band: its name, the key terms as axes over it, and the quantity each table gives in it."""

    label: str
    keys: Mapping[str, Axis]
    rows: Mapping[str, Quantity]


def table_rows(stated: Stated) -> tuple[TableRow, ...]:
    """The readable rows of a table, in the order written."""
    head = stated.statement.body
    if not isinstance(head, n.TableHead):
        return ()
    by = vocabulary().terms[head.key.text]
    rows: list[TableRow] = []
    for entry in stated.entry.rows:
        statement = entry.statement
        if statement is None or not statement.readable or not isinstance(statement.body, n.Row):
            continue
        low, high, closed = _stretch(by, statement.body.key, statement.values)
        rows.append(TableRow(low, high, closed, statement.values[""], entry))
    top = max((row.high for row in rows), default=None)
    return tuple(replace(row, closed=row.closed or row.high == top) for row in rows)


def _stretch(by: Term, key: n.RowKey, values: Mapping[str, Quantity]) -> tuple[Fraction, Fraction, bool]:
    least, most = by.plausible or (Fraction(0), Fraction(10**9))
    first = values["key 0"].points[0]
    match key.kind:
        case "between":
            return first, values["key 1"].points[0], False
        case "under":
            return min(least, first), first, False
        case "over":
            return first, max(most, first), True
        case _:
            return first, first, True


def key_grid(by: Term) -> Fraction:
    """The finest step of a table's key that people write: a day of age, else one hundredth of the standard unit."""
    unit = by.unit
    if by.form == "age":
        return to_base(Fraction(1), _unit("days"))
    return to_base(Fraction(1, 100), unit) if unit is not None else Fraction(1, 100)


def _unit(symbol: str) -> Unit:
    unit = find_unit(symbol)
    assert unit is not None
    return unit


def bands_of(scope: Scope) -> list[Band | None]:
    """The bands of a scope's tables that its own facts reach; [None] where it has none that can be used.

    A table by a fact that is stated (an age) is used only where that fact lies: the other rows are for other patients.
    """
    tables: dict[str, dict[str, tuple[TableRow, ...]]] = {}
    for key, stated in scope.by_key.items():
        rows = table_rows(stated)
        body = stated.statement.body
        if (
            rows
            and isinstance(body, n.TableHead)
            and key not in scope.repeated
            and not _is_unknown(body.key.text, scope)
        ):
            tables.setdefault(body.key.text, {})[key] = rows
    if not tables:
        return [None]
    choices = [_key_bands(by, rows, _stated_key(by, scope)) for by, rows in tables.items()]
    if prod(len(bands) for bands in choices) > MAX_BANDS:
        return [None]
    return [_join(parts) for parts in itertools.product(*choices)] or [None]


def _is_unknown(by: str, scope: Scope) -> bool:
    """Whether a table's key is stated but can't be read, so that nobody can tell which row holds."""
    stated = scope.by_key.get(by)
    return stated is not None and (by in scope.repeated or not stated.statement.readable)


def _stated_key(by: str, scope: Scope) -> Axis | Fraction | None:
    """What the document itself says of a table's key, where that can be compared with the rows."""
    stated = scope.by_key.get(by)
    if stated is None or "" not in stated.statement.values or stated.statement.term is None:
        return None
    quantity = stated.statement.values[""]
    if stated.statement.term.reference == "stated" or quantity.basis is not None:
        return None  # rows would have to be compared with what is computed from it
    return axis_or_value(by, stated.statement.term, quantity)


def _key_bands(by: str, tables: Mapping[str, tuple[TableRow, ...]], known: Axis | Fraction | None = None) -> list[Band]:
    term = vocabulary().terms[by]
    bands: list[Band] = []
    for low, high, closed in _stretches([row for rows in tables.values() for row in rows]):
        rows = {key: row.quantity for key, each in tables.items() for row in each if _covers(row, low, high, closed)}
        keys = _keys(Axis(by, low, high, None, key_grid(term), low, (), None), closed, known)
        if rows and keys is not None:
            bands.append(Band(f"{term.phrase} {_label(term, low, high)}", keys, rows))
    return bands


def _stretches(rows: Sequence[TableRow]) -> list[tuple[Fraction, Fraction, bool]]:
    """The key cut where any row begins or ends: low, high, and whether the high end belongs to it.

    A row that holds for one value alone, and the high end of a table inside another, are stretches of no width.
    """
    cuts = sorted({end for row in rows for end in (row.low, row.high)})
    top = cuts[-1]
    found = [(low, high, high == top) for low, high in itertools.pairwise(cuts)]
    points = {row.high for row in rows if row.closed and (row.low == row.high or row.high != top)}
    return sorted([*found, *((point, point, True) for point in points)])


def _covers(row: TableRow, low: Fraction, high: Fraction, closed: bool) -> bool:
    if low == high:
        return row.low <= low and (low < row.high or (row.closed and low == row.high))
    return row.low <= low and (high < row.high or (high == row.high and (row.closed or not closed)))


def _keys(stretch: Axis, closed: bool, known: Axis | Fraction | None) -> dict[str, Axis] | None:
    """The key's axis in a stretch, cut to what is stated of it: none for one value, None where they don't meet."""
    inside = stretch.high if closed else max(stretch.low, stretch.high - stretch.grid)
    match known:
        case None:
            return {stretch.key: replace(stretch, high=inside)}
        case Axis():
            return _cut(stretch, inside, closed, known)
        case _:
            reached = stretch.low <= known < stretch.high or (closed and known == stretch.high)
            return {} if reached else None


def _cut(stretch: Axis, inside: Fraction, closed: bool, known: Axis) -> dict[str, Axis] | None:
    def reached(value: object) -> bool:
        return isinstance(value, Fraction) and (
            stretch.low <= value < stretch.high or (closed and value == stretch.high)
        )

    as_set = known.as_set if reached(known.as_set) else None
    if known.options:
        options = tuple(option for option in known.options if reached(option))
        return {stretch.key: replace(known, options=options, as_set=as_set)} if options else None
    low, high = max(stretch.low, known.low), min(inside, known.high)
    return {stretch.key: replace(known, low=low, high=high, as_set=as_set)} if low <= high else None


def _label(term: Term, low: Fraction, high: Fraction) -> str:
    return _show(term, low) if low == high else f"{_show(term, low)} to {_show(term, high)}"


def _show(term: Term, value: Fraction) -> str:
    if term.form == "age" and term.unit is not None:
        months = _unit("months")
        return (
            show(value, term.unit) if value == 0 or (value / term.unit.factor).denominator == 1 else show(value, months)
        )
    return show(value, term.unit) if term.unit is not None else show(value, _unit("%"))


def _join(parts: tuple[Band, ...]) -> Band:
    label = ", ".join(part.label for part in parts)
    keys = {key: axis for part in parts for key, axis in part.keys.items()}
    rows = {key: quantity for part in parts for key, quantity in part.rows.items()}
    return Band(label, keys, rows)
