"""Points to try in a box: its ends and its middle, on the steps and at the author's resolution where they can be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import product
from typing import Final

from rxlint.expressions.intervals import Cell, Cells
from rxlint.expressions.space import Axis
from rxlint.expressions.values import Value

_CORNERS: Final = 64
_FEW_CORNERS: Final = 4
_NEIGHBOURS: Final = 16

Point = Mapping[str, Value]
_Candidates = tuple[Value, Value, Value]


def first_cell(axis: Axis) -> Cell | None:
    """All that an axis allows; None if that is nothing."""
    if axis.options:
        return Cell(options=axis.options)
    low, high = axis.low, axis.high
    if axis.step is not None:
        low, high = _up(low, axis.step, axis.origin), _down(high, axis.step, axis.origin)
    return Cell(low, high) if low <= high else None


def is_writable(axis: Axis, value: Value) -> bool:
    """Whether an author would write this value: on a step, or else at the resolution, an end, or as it is set."""
    if axis.options:
        return value in axis.options
    if not isinstance(value, Fraction) or not axis.low <= value <= axis.high:
        return False
    if axis.step is not None:
        return (value - axis.origin) % axis.step == 0
    return value % axis.grid == 0 or value in (axis.low, axis.high, axis.as_set)


def may_be_written(axis: Axis, cell: Cell) -> bool:
    """Whether a cell holds a value that an author would write."""
    low, _, high = _candidates(axis, cell)
    return any(is_writable(axis, value) for value in (low, high, _as_set(axis, cell, low)))


def split(axis: Axis, cell: Cell) -> list[Cell]:
    """The cell in parts: every option, or two halves that share an end only if there are no steps."""
    if cell.options:
        return [Cell(options=(option,)) for option in cell.options]
    if axis.step is not None:
        middle = cell.low + (cell.high - cell.low) // axis.step // 2 * axis.step
        return [Cell(cell.low, middle), Cell(middle + axis.step, cell.high)]
    middle = (cell.low + cell.high) / 2
    snapped = round(middle / axis.grid) * axis.grid
    middle = snapped if cell.low < snapped < cell.high else middle
    return [Cell(cell.low, middle), Cell(middle, cell.high)]


class Ends:
    """The values to try in a cell: a low, a middle and a high one, writable if it holds any that is.

    Worked out once for each cell of a search, however many of its boxes share it.
    """

    def __init__(self) -> None:
        # By axis and the cell's identity; the cell is kept, so that it stays its own.
        self._known: dict[tuple[str, int], tuple[Cell, _Candidates]] = {}
        self._near: dict[tuple[str, int], tuple[Cell, tuple[Value, ...]]] = {}

    def of(self, axis: Axis, cell: Cell) -> _Candidates:
        """The three values of a cell; some may be the same."""
        place = axis.key, id(cell)
        known = self._known.get(place)
        if known is None:
            known = self._known[place] = cell, _candidates(axis, cell)
        return known[1]

    def near(self, axis: Axis, cell: Cell) -> tuple[Value, ...]:
        """The writable values next to the middle of a cell, below and above; all of a choice."""
        place = axis.key, id(cell)
        known = self._near.get(place)
        if known is None:
            known = self._near[place] = cell, _neighbours(axis, cell)
        return known[1]


def points_in(axes: Mapping[str, Axis], cells: Cells, thorough: bool, known: Ends | None = None) -> Iterator[Point]:
    """Points of a box, the likeliest examples first; every corner of not too many if `thorough`."""
    keys = list(cells)
    known = known or Ends()
    ends = [known.of(axes[key], cells[key]) for key in keys]
    if thorough:
        as_set = [_as_set(axes[key], cells[key], middle) for key, (_, middle, _) in zip(keys, ends, strict=True)]
        yield dict(zip(keys, as_set, strict=True))
    yield {key: middle for key, (_, middle, _) in zip(keys, ends, strict=True)}
    corners = [tuple(dict.fromkeys((low, high))) for low, _, high in ends]
    if _size_of(corners) > (_CORNERS if thorough else _FEW_CORNERS):
        corners = [(pair[0],) for pair in corners]
        yield {key: high for key, (_, _, high) in zip(keys, ends, strict=True)}
    for values in product(*corners):
        yield dict(zip(keys, values, strict=True))


def neighbours_of(axes: Mapping[str, Axis], cells: Cells, known: Ends | None = None) -> Iterator[Point]:
    """Writable points close to the middle of a box too small to hold one."""
    keys = list(cells)
    known = known or Ends()
    choices = [known.near(axes[key], cells[key]) for key in keys]
    if all(choices) and _size_of(choices) <= _NEIGHBOURS:
        for values in product(*choices):
            yield dict(zip(keys, values, strict=True))


def _size_of(choices: list[tuple[Value, ...]]) -> int:
    size = 1
    for choice in choices:
        size *= len(choice)
    return size


def _candidates(axis: Axis, cell: Cell) -> _Candidates:
    if cell.options:
        return cell.options[0], cell.options[len(cell.options) // 2], cell.options[-1]
    unit, origin = (axis.grid, Fraction(0)) if axis.step is None else (axis.step, axis.origin)
    inner_low, inner_high = _up(cell.low, unit, origin), _down(cell.high, unit, origin)
    low = cell.low if is_writable(axis, cell.low) or inner_low > cell.high else inner_low
    high = cell.high if is_writable(axis, cell.high) or inner_high < cell.low else inner_high
    middle = _down((cell.low + cell.high) / 2, unit, origin)
    if middle < cell.low:
        middle = inner_low if inner_low <= cell.high else low if is_writable(axis, low) else high
    return low, middle, high


def _as_set(axis: Axis, cell: Cell, otherwise: Value) -> Value:
    value = axis.as_set
    if cell.options:
        return value if value is not None and value in cell.options else otherwise
    inside = isinstance(value, Fraction) and cell.low <= value <= cell.high
    return value if value is not None and inside and is_writable(axis, value) else otherwise


def _neighbours(axis: Axis, cell: Cell) -> tuple[Value, ...]:
    if cell.options:
        return cell.options
    unit, origin = (axis.grid, Fraction(0)) if axis.step is None else (axis.step, axis.origin)
    middle = (cell.low + cell.high) / 2
    near = (_down(middle, unit, origin), _up(middle, unit, origin))
    return tuple(dict.fromkeys(min(max(value, axis.low), axis.high) for value in near))


def _down(value: Fraction, unit: Fraction, origin: Fraction) -> Fraction:
    return (value - origin) // unit * unit + origin


def _up(value: Fraction, unit: Fraction, origin: Fraction) -> Fraction:
    return -((origin - value) // unit) * unit + origin
