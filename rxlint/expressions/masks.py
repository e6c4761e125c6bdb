"""Sets of truth values, for what a condition may be over a whole box: true, false, missing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

T: Final = 1
F: Final = 2
M: Final = 4

_EACH: Final = (T, F, M)


def _both_at_points(left: int, right: int) -> int:
    if F in (left, right):
        return F
    return T if left == right == T else M


def _table() -> tuple[tuple[int, ...], ...]:
    rows = []
    for left in range(8):
        row = []
        for right in range(8):
            total = 0
            for one in _EACH:
                for other in _EACH:
                    if left & one and right & other:
                        total |= _both_at_points(one, other)
            row.append(total)
        rows.append(tuple(row))
    return tuple(rows)


_BOTH: Final = _table()


def opposite(mask: int) -> int:
    """Every value turned round; missing stays missing."""
    return (mask & M) | (F if mask & T else 0) | (T if mask & F else 0)


def every(masks: Iterable[int]) -> int:
    """What `and` of conditions with these sets may be."""
    total = T
    for mask in masks:
        total = _BOTH[total][mask]
    return total


def either(masks: Iterable[int]) -> int:
    """What `or` of conditions with these sets may be."""
    return opposite(every(opposite(mask) for mask in masks))


def of_truth(truth: object) -> int:
    """The set of one value; anything but a truth value counts as missing."""
    return T if truth is True else F if truth is False else M
