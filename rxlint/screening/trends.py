"""Values that should go one way from row to row, and the one that does not follow its neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from rxlint.notation.measures import Quantity
from rxlint.units import Unit, show

_FEW: int = 3


@dataclass(frozen=True, slots=True)
class OutOfLine:
    """The place of the value that stands out, and the values it stands among, in base units."""

    place: int
    values: tuple[Fraction, ...]


def out_of_line(quantities: Sequence[Quantity]) -> OutOfLine | None:
    """The row that does not follow its neighbours, by the low or the high ends of the rows; None if all do."""
    for end in (0, -1):
        values = [_end(each, end) for each in quantities]
        known = [value for value in values if value is not None]
        if len(known) == len(values):
            place = stands_out(known)
            if place is not None:
                return OutOfLine(place, tuple(known))
    return None


def _end(quantity: Quantity, end: int) -> Fraction | None:
    """The low or the high end of a row's value; what is set, where it is; None where it is open there."""
    if quantity.kind == "exact":
        return quantity.points[0]
    if quantity.kind in ("at most", "at least"):
        return quantity.points[0] if (quantity.kind == "at least") == (end == 0) else None
    return min(quantity.points) if end == 0 else max(quantity.points)


def stands_out(values: Sequence[Fraction]) -> int | None:
    """The place of a value that breaks the way that the others go; None where they go one way, or turn but once.

    That is a course which turns and turns back; or a step at an end, or in the middle of three, that is no smaller
    than the trend it goes against.
    """
    turns = _turns(values)
    if turns == 0 or len(values) < _FEW:
        return None
    if turns == 1 and not _is_against_trend(values):
        return None
    if len(values) == _FEW:
        return 1
    best = [place for place in range(len(values)) if _turns([*values[:place], *values[place + 1 :]]) == 0]
    return max(best or range(1, len(values) - 1), key=lambda place: (_distance(values, place), -place))


def _turns(values: Sequence[Fraction]) -> int:
    """How often the course turns; rows alike do not count."""
    ways = [after > before for before, after in pairwise(values) if after != before]
    return sum(one != other for one, other in pairwise(ways))


def _is_against_trend(values: Sequence[Fraction]) -> bool:
    steps = [after - before for before, after in pairwise(values) if after != before]
    if len(values) == _FEW:  # the middle one lies outside its neighbours, by as much as they differ or more
        trend = abs(values[2] - values[0])
        beyond = max(values[1] - max(values[0], values[2]), min(values[0], values[2]) - values[1])
        return 0 < trend <= beyond
    rising = [step for step in steps if step > 0]
    falling = [step for step in steps if step < 0]
    few, many = sorted((rising, falling), key=len)
    return len(few) == 1 and len(many) > 1 and abs(few[0]) >= min(abs(step) for step in many)


def _distance(values: Sequence[Fraction], place: int) -> Fraction:
    """How far a value lies from the middle of its neighbours, or from its one neighbour."""
    beside = [values[each] for each in (place - 1, place + 1) if 0 <= each < len(values)]
    return abs(values[place] - sum(beside, Fraction(0)) / len(beside))


def told_course(found: OutOfLine, units: Sequence[Unit]) -> str:
    """The values in their order, each in the unit of its row."""
    return ", ".join(show(value, unit) for value, unit in zip(found.values, units, strict=True))
