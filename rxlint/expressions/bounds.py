"""The range of a number over everything that a space allows: an enclosure, tightened by splitting."""

from __future__ import annotations

from fractions import Fraction

from rxlint.expressions.intervals import BoxEvaluator, Cells
from rxlint.expressions.nodes import Node
from rxlint.expressions.samples import first_cell, split
from rxlint.expressions.space import Space

_Box = tuple[Cells, Fraction, Fraction]


def bounds(node: Node, space: Space, boxes: int = 200) -> tuple[Fraction, Fraction] | None:
    """The lowest and highest value a number can have, none outside; None where it can be missing or has no end.

    Constraints are not used, so the range may be wider than what they leave. No more than ``boxes`` boxes are looked
    at, so it may be wider than the truth where the same term stands several times.
    """
    reads = space.reads(node)
    start = {axis.key: cell for axis in space.axes if axis.key in reads and (cell := first_cell(axis)) is not None}
    first = _measured(node, space, start)
    if first is None:
        return None
    open_boxes: list[_Box] = [first]
    used = 1
    while used < boxes:
        low, high = min(box[1] for box in open_boxes), max(box[2] for box in open_boxes)
        worst = next((box for box in open_boxes if box[1] == low and _can_split(box)), None) or next(
            (box for box in open_boxes if box[2] == high and _can_split(box)), None
        )
        if worst is None or high - low == 0:
            break
        parts = _split(node, space, worst)
        if parts is None:
            return None
        used += len(parts)
        open_boxes = [box for box in open_boxes if box is not worst] + parts
    return min(box[1] for box in open_boxes), max(box[2] for box in open_boxes)


def _measured(node: Node, space: Space, cells: Cells) -> _Box | None:
    found = BoxEvaluator(space, cells, in_fractions=True).range_of(node)
    return None if found is None else (cells, found[0], found[1])


def _can_split(box: _Box) -> bool:
    return box[1] != box[2] and any(not cell.is_point for cell in box[0].values())


def _split(node: Node, space: Space, box: _Box) -> list[_Box] | None:
    cells = box[0]
    axes = {axis.key: axis for axis in space.axes}
    widest = max(
        (key for key, cell in cells.items() if not cell.is_point),
        key=lambda key: _share(axes[key].high - axes[key].low, cells[key]),
    )
    parts = [_measured(node, space, {**cells, widest: cell}) for cell in split(axes[widest], cells[widest])]
    return None if any(part is None for part in parts) else [part for part in parts if part is not None]


def _share(whole: Fraction, cell: object) -> Fraction:
    options = getattr(cell, "options", ())
    if options:
        return Fraction(len(options) + 1)
    return (cell.high - cell.low) / whole if whole else Fraction(0)  # type: ignore[attr-defined]
