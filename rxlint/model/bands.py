"""Bands: the rows of a document's tables, cut where any of them begins or ends, so that each band holds one row of each table."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from rxlint.expressions import Axis
from rxlint.model.stated import Scope, Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity
from rxlint.notation.tree import Entry
from rxlint.units import Unit, show, to_base
from rxlint.vocabulary import Term, vocabulary


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
    last = len(stated.entry.rows) - 1
    for index, entry in enumerate(stated.entry.rows):
        statement = entry.statement
        if statement is None or not statement.readable or not isinstance(statement.body, n.Row):
            continue
        low, high, closed = _stretch(by, statement.body.key, statement.values)
        rows.append(TableRow(low, high, closed or index == last, statement.values[""], entry))
    return tuple(rows)


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
    """The finest step of a table's key that people write: a day of age, one hundredth of the standard unit otherwise."""
    unit = by.unit
    if by.form == "age":
        return to_base(Fraction(1), _unit("days"))
    return to_base(Fraction(1, 100), unit) if unit is not None else Fraction(1, 100)


def _unit(symbol: str) -> Unit:
    from rxlint.units import find_unit

    unit = find_unit(symbol)
    assert unit is not None
    return unit


def bands_of(scope: Scope) -> list[Band | None]:
    """The bands of a scope's tables; [None] where it has none that can be read."""
    tables: dict[str, dict[str, tuple[TableRow, ...]]] = {}
    for key, stated in scope.by_key.items():
        rows = table_rows(stated)
        body = stated.statement.body
        if rows and isinstance(body, n.TableHead) and key not in scope.repeated:
            tables.setdefault(body.key.text, {})[key] = rows
    if not tables:
        return [None]
    choices = [_key_bands(by, rows) for by, rows in tables.items()]
    return [_join(parts) for parts in itertools.product(*choices)]


def _key_bands(by: str, tables: Mapping[str, tuple[TableRow, ...]]) -> list[Band]:
    term = vocabulary().terms[by]
    grid = key_grid(term)
    cuts = sorted({end for rows in tables.values() for row in rows for end in (row.low, row.high)})
    stretches = (
        [(low, high, False) for low, high in itertools.pairwise(cuts)] if len(cuts) > 1 else [(cuts[0], cuts[0], True)]
    )
    bands: list[Band] = []
    for index, (low, high, closed) in enumerate(stretches):
        rows = {
            key: row.quantity for key, each in tables.items() for row in each if row.low <= low and high <= row.high
        }
        if not rows:
            continue
        top = high if closed or index == len(stretches) - 1 else max(low, high - grid)
        label = f"{term.phrase} {_show(term, low)} to {_show(term, high)}"
        bands.append(Band(label, {by: Axis(by, low, top, None, grid, low, (), None)}, rows))
    return bands


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
