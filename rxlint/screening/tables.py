"""Tables: rows that leave out a stretch or the stated patient, rows that overlap, a row out of line.

A row from one end to another holds its low end and not its high one, but for the last row, as the notation says.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice, pairwise
from typing import Final, NamedTuple

from rxlint.expressions import Axis
from rxlint.model.bands import TableRow, comparable, show_key, stated_key, table_rows
from rxlint.model.facts import Facts
from rxlint.model.stated import Scope, Stated
from rxlint.notation import nodes as n
from rxlint.notation.tree import Entry
from rxlint.screening.steps import MOST_STEPS, course_of, walk_course
from rxlint.screening.trends import out_of_line, told_course
from rxlint.screening.walks import Found, Walk
from rxlint.vocabulary import Term, vocabulary

TABLE_EVENTS: Final = ("library.table-gap", "library.table-overlap", "library.table-uneven")
_MOST_POINTS: Final = 500  # more steps than a table's key can have


class Stretch(NamedTuple):
    """A stretch of a table's key; a value alone where both ends are the same."""

    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class _Table:
    """A table: its term, its key, its rows by their low ends, and whether all of them could be read."""

    key: str
    by: Term
    stated: Stated
    rows: tuple[TableRow, ...]
    is_whole: bool


def walk_tables(facts: Facts) -> Walk:
    """What there is to say of the tables of one scope."""
    walk = Walk()
    scope = facts.scope
    tables = list(_tables(scope))
    for table in tables:
        walk.ran |= {"library.table-overlap"}
        _overlaps(table, walk)
        if table.is_whole:
            walk.ran |= {"library.table-gap", "library.table-uneven"}
            _uneven(table, walk)
        else:
            for event in ("library.table-gap", "library.table-uneven"):
                walk.unsure[event] = "a row of a table could not be read"
    _gaps([table for table in tables if table.is_whole], facts, walk)
    return walk


def _tables(scope: Scope) -> Iterator[_Table]:
    for key, stated in scope.by_key.items():
        head = stated.statement.body
        rows = table_rows(stated)
        if isinstance(head, n.TableHead) and rows and key not in scope.repeated:
            in_order = tuple(sorted(rows, key=lambda row: (row.low, row.high)))
            yield _Table(key, vocabulary().terms[head.key.text], stated, in_order, len(rows) == len(stated.entry.rows))


# ---- what no row holds


def left_out(rows: Sequence[TableRow], wanted: Axis | Fraction | None) -> tuple[Stretch, ...]:
    """What of a table's key no row holds: of what is wanted, or between the rows where nothing is known to be.

    Rows for single values alone leave something between them on purpose; only what is wanted can be missing there.
    """
    points = _points(wanted)
    if points is not None:
        return tuple(Stretch(point, point) for point in points if not any(_holds(row, point) for row in rows))
    if isinstance(wanted, Axis):
        return tuple(_missing(rows, wanted.low, wanted.high))
    ends = [row for row in rows if row.low < row.high]
    if not ends:
        return ()
    return tuple(_missing(rows, min(row.low for row in rows), max(row.high for row in rows)))


def _points(wanted: Axis | Fraction | None) -> list[Fraction] | None:
    """The single values that are wanted; None where it is a range, or nothing."""
    if isinstance(wanted, Fraction):
        return [wanted]
    if wanted is None:
        return None
    if wanted.options:
        return [option for option in wanted.options if isinstance(option, Fraction)]
    if wanted.low == wanted.high:
        return [wanted.low]
    if wanted.step is None or (wanted.high - wanted.low) / wanted.step > _MOST_POINTS:
        return None
    first = -((wanted.origin - wanted.low) // wanted.step)
    last = (wanted.high - wanted.origin) // wanted.step
    return [wanted.origin + place * wanted.step for place in range(int(first), int(last) + 1)]


def _holds(row: TableRow, value: Fraction) -> bool:
    return row.low <= value < row.high or (row.closed and value == row.high)


def _missing(rows: Sequence[TableRow], low: Fraction, high: Fraction) -> Iterator[Stretch]:
    """The stretches from ``low`` to ``high`` that no row holds."""
    reached = low
    for row in sorted(rows, key=lambda row: row.low):
        if row.low > reached and reached < high:
            yield Stretch(reached, min(row.low, high))
        reached = max(reached, row.high)
    if reached < high:
        yield Stretch(reached, high)


def _wanted(table: _Table, facts: Facts) -> list[Axis | Fraction | None]:
    """What the document says of a table's key, and where steps take it that move two terms together."""
    reached: list[Axis | Fraction | None] = []
    for stated in facts.scope.several.get("raise", ()):
        course = course_of(facts, stated)
        if course is not None and course.is_coupled and table.by.key in course.keys:
            reached += [values[table.by.key] for values in islice(walk_course(course), MOST_STEPS)]
    return [*_stated(table, facts.scope), *reached]


def _stated(table: _Table, scope: Scope) -> list[Axis | Fraction | None]:
    """What is stated of a table's key: one thing, or a thing for each row where that is a table too."""
    stated = scope.by_key.get(table.by.key)
    if stated is None or not isinstance(stated.statement.body, n.TableHead):
        return [stated_key(table.by.key, scope)]
    head = vocabulary().terms[stated.statement.body.key.text]
    patient = stated_key(head.key, scope)
    meant = [row for row in table_rows(stated) if _meets(row, patient)]
    return [comparable(table.by, row.quantity) for row in meant] or [None]


def _meets(row: TableRow, known: Axis | Fraction | None) -> bool:
    match known:
        case None:
            return True
        case Axis():
            return row.low <= known.high and (known.low < row.high or (row.closed and known.low == row.high))
        case _:
            return _holds(row, known)


def _gaps(tables: Sequence[_Table], facts: Facts, walk: Walk) -> None:
    """One finding for tables that leave out the same: what is wrong is then their key, or the patient."""
    alike: dict[tuple[str, tuple[Stretch, ...]], list[_Table]] = {}
    for table in tables:
        gaps = sorted({gap for wanted in _wanted(table, facts) for gap in left_out(table.rows, wanted)})
        if gaps:
            alike.setdefault((table.by.key, tuple(gaps)), []).append(table)
    for (_, gaps_of_all), group in alike.items():
        _tell_gap(group, gaps_of_all, facts.scope, walk)


def _tell_gap(group: Sequence[_Table], gaps: Sequence[Stretch], scope: Scope, walk: Walk) -> None:
    table = group[0]
    before = next((row for row in reversed(table.rows) if row.high <= gaps[0].low), None)
    after = next((row for row in table.rows if row.low >= gaps[0].high), None)
    place = after or before or table.rows[0]
    related = [(row.entry, "the row beside it") for row in (before, after) if row is not None and row is not place]
    stated = scope.by_key.get(table.by.key)
    if stated is not None:
        related.append((stated.entry, f"{table.by.phrase} is stated here"))
    related += [(other.stated.entry, "this table leaves out the same") for other in group[1:]]
    fields = {
        "what": _and([each.key for each in group]),
        "by": table.by.phrase,
        "gap": _and([_stretch_text(table.by, gap) for gap in gaps]),
        "why": _why(table, before, after, stated),
    }
    _found(walk, "library.table-gap", place.entry, fields, related)


def _why(table: _Table, before: TableRow | None, after: TableRow | None, stated: Stated | None) -> str:
    if stated is not None:
        whole = _stretch_text(table.by, Stretch(table.rows[0].low, max(row.high for row in table.rows)))
        if before is None or after is None:
            return f"the rows hold for {whole}, and the order is for more or for others"
    if before is None or after is None:
        return "no row is beside it"
    return f"one row ends at {show_key(table.by, before.high)}, the next begins at {show_key(table.by, after.low)}"


def _stretch_text(by: Term, stretch: Stretch) -> str:
    low, high = show_key(by, stretch.low), show_key(by, stretch.high)
    return low if stretch.low == stretch.high else f"{low} to {high}"


# ---- what two rows hold


def _overlaps(table: _Table, walk: Walk) -> None:
    """Rows that hold for the same, the row with the most others first, so that one slip is told once."""
    rows = list(table.rows)
    while True:
        partners = {index: _partners(rows, index) for index in range(len(rows))}
        worst = max(partners, key=lambda index: len(partners[index]), default=None)
        if worst is None or not partners[worst]:
            return
        row = rows[worst]
        others = partners[worst]
        shared = [Stretch(max(row.low, each.low), min(row.high, each.high)) for each in others]
        fields = {
            "what": table.key,
            "by": table.by.phrase,
            "both": _and([_stretch_text(table.by, each) for each in shared]),
            "row": _row_text(row),
            "others": _and([_row_text(each) for each in others]),
        }
        _found(walk, "library.table-overlap", row.entry, fields, [(each.entry, "this row too") for each in others])
        rows.pop(worst)


def _partners(rows: Sequence[TableRow], index: int) -> list[TableRow]:
    one = rows[index]
    return [other for place, other in enumerate(rows) if place != index and _overlap(one, other)]


def _overlap(one: TableRow, other: TableRow) -> bool:
    low, high = max(one.low, other.low), min(one.high, other.high)
    return low < high or (low == high and _holds(one, low) and _holds(other, low))


# ---- a row out of line


def _uneven(table: _Table, walk: Walk) -> None:
    """A row whose value does not follow its neighbours; not where rows overlap, for then their order is not known."""
    if any(_overlap(one, other) for one, other in pairwise(table.rows)):
        return
    quantities = [row.quantity for row in table.rows]
    if len({(each.basis, each.reference) for each in quantities}) > 1:
        walk.unsure["library.table-uneven"] = "the rows are above or of different things"
        return
    found = out_of_line(quantities)
    if found is None:
        return
    row = table.rows[found.place]
    beside = [table.rows[place] for place in (found.place - 1, found.place + 1) if 0 <= place < len(table.rows)]
    fields = {
        "what": table.key,
        "by": table.by.phrase,
        "course": told_course(found, [each.unit for each in quantities]),
        "row": _row_text(row),
    }
    _found(walk, "library.table-uneven", row.entry, fields, [(each.entry, "the row beside it") for each in beside])


def _found(
    walk: Walk, event: str, entry: Entry, fields: dict[str, str], related: Iterable[tuple[Entry, str]] = ()
) -> None:
    walk.found.append(Found(event, entry, entry.indent, len(entry.text.rstrip()), fields, tuple(related)))


def _row_text(row: TableRow) -> str:
    return " ".join(row.entry.text.split())


def _and(parts: Sequence[str]) -> str:
    told = list(dict.fromkeys(parts))
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
