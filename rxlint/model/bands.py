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
from rxlint.model.reach import stepped
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
    """One band: its name, the key terms as axes over it, and the quantity each table gives in it.

    ``is_elsewhere`` where a key is set, and not to a value of this band: it is allowed, or reached by steps.
    """

    label: str
    keys: Mapping[str, Axis]
    rows: Mapping[str, Quantity]
    is_elsewhere: bool = False


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
    last = max(((row.high, row.low) for row in rows), default=None)
    return tuple(replace(row, closed=row.closed or (row.high, row.low) == last) for row in rows)


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


def bands_of(scope: Scope, moved: Mapping[str, Fraction] | None = None) -> list[Band | None]:
    """The bands of a scope's tables that its own facts reach; [None] where it has none that can be used.

    A table by a fact that is stated (an age) is used only where that fact lies: the other rows are for other patients.
    A key that is stepped reaches rows up to the end of its steps. ``moved`` are values of keys to take for stated.
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
    known = {by: moved[by] if moved is not None and by in moved else stated_key(by, scope) for by in tables}
    choices = [_key_bands(by, rows, known[by]) for by, rows in tables.items()]
    if prod(len(bands) for bands in choices) > MAX_BANDS:
        return [None]
    joined = [_join(parts) for parts in itertools.product(*choices)]
    return [band for band in joined if band is not None] or [None]


def table_keys(scope: Scope) -> Mapping[str, frozenset[str]]:
    """The keys of a scope's tables, each with the terms whose tables go by it."""
    found: dict[str, frozenset[str]] = {}
    for key, stated in scope.by_key.items():
        body = stated.statement.body
        if isinstance(body, n.TableHead):
            found[body.key.text] = found.get(body.key.text, frozenset()) | {key}
    return found


def _is_unknown(by: str, scope: Scope) -> bool:
    """Whether a table's key is stated but can't be read, so that nobody can tell which row holds."""
    stated = scope.by_key.get(by)
    return stated is not None and (by in scope.repeated or not stated.statement.readable)


def stated_key(by: str, scope: Scope) -> Axis | Fraction | None:
    """What the document itself says of a table's key, with what steps reach, where rows can be compared with that."""
    stated = scope.by_key.get(by)
    if stated is None or "" not in stated.statement.values or stated.statement.term is None:
        return None
    value = comparable(stated.statement.term, stated.statement.values[""])
    return stepped(scope, by, value) if value is not None else None


def comparable(by: Term, quantity: Quantity) -> Axis | Fraction | None:
    """What is stated of a table's key, to compare it with rows; None where rows would need what is computed from it."""
    if by.reference == "stated" or quantity.basis is not None:
        return None
    return axis_or_value(by.key, by, quantity)


def _key_bands(by: str, tables: Mapping[str, tuple[TableRow, ...]], known: Axis | Fraction | None = None) -> list[Band]:
    """The bands of all tables by one key. Where rows of a table overlap, nobody can tell which of them holds."""
    term = vocabulary().terms[by]
    bands: list[Band] = []
    for low, high, closed in _stretches([row for rows in tables.values() for row in rows]):
        covering = {key: [row.quantity for row in each if _covers(row, low, high, closed)]
                    for key, each in tables.items()}  # fmt: skip
        rows = {key: found[0] for key, found in covering.items() if len(found) == 1}
        keys = _keys(Axis(by, low, high, None, key_grid(term), low, (), None), closed, known)
        if any(covering.values()) and keys is not None:
            label = f"{term.phrase} {_label(term, low, high)}"
            bands.append(Band(label, keys, rows, _is_elsewhere(known, keys.get(by))))
    return bands


def _is_elsewhere(known: Axis | Fraction | None, here: Axis | None) -> bool:
    """Whether the key is set, and not to a value of this band."""
    return isinstance(known, Axis) and known.as_set is not None and (here is None or here.as_set is None)


def _stretches(rows: Sequence[TableRow]) -> list[tuple[Fraction, Fraction, bool]]:
    """The key cut where any row begins or ends: low, high, and whether the high end belongs to it.

    A row that holds for one value alone, and the high end of a table inside another, are stretches of no width.
    """
    cuts = sorted({end for row in rows for end in (row.low, row.high)})
    top = cuts[-1]
    points = {row.high for row in rows if row.closed and (row.low == row.high or row.high != top)}
    found = [(low, high, high == top and high not in points) for low, high in itertools.pairwise(cuts)]
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
    return show_key(term, low) if low == high else f"{show_key(term, low)} to {show_key(term, high)}"


def show_key(term: Term, value: Fraction) -> str:
    """A value of a table's key as text."""
    if term.form == "age" and term.unit is not None:
        months = _unit("months")
        return (
            show(value, term.unit) if value == 0 or (value / term.unit.factor).denominator == 1 else show(value, months)
        )
    return show(value, term.unit) if term.unit is not None else show(value, _unit("%"))


def _join(parts: tuple[Band, ...]) -> Band | None:
    """One band of all tables; None where the key of one is a value of another, and the two don't meet."""
    label = ", ".join(part.label for part in parts)
    keys = {key: axis for part in parts for key, axis in part.keys.items()}
    rows = {key: quantity for part in parts for key, quantity in part.rows.items()}
    for key in sorted(keys.keys() & rows.keys()):
        met = _keys(keys.pop(key), True, comparable(vocabulary().terms[key], rows[key]))
        if met is None:
            return None
        keys |= met
    return Band(label, keys, rows, any(part.is_elsewhere for part in parts))
