"""Sets of truth values: `and`, `or` and `not` of two sets are those of every pair of their members."""

from __future__ import annotations

from itertools import product

import pytest

from rxlint.expressions import masks
from rxlint.expressions.masks import F, M, T, either, every, of_truth, opposite

MEMBERS = {T: True, F: False, M: None}


def members(mask: int) -> set[bool | None]:
    return {value for bit, value in MEMBERS.items() if mask & bit}


def both(left: bool | None, right: bool | None) -> bool | None:
    """Kleene's strong `and`."""
    if left is False or right is False:
        return False
    return None if left is None or right is None else True


def one(left: bool | None, right: bool | None) -> bool | None:
    """Kleene's strong `or`."""
    if left is True or right is True:
        return True
    return None if left is None or right is None else False


@pytest.mark.parametrize(("left", "right"), list(product(range(8), range(8))))
def test_pairs(left: int, right: int) -> None:
    pairs = list(product(members(left), members(right)))
    if left and right:
        assert members(every((left, right))) == {both(*pair) for pair in pairs}
        assert members(either((left, right))) == {one(*pair) for pair in pairs}
    assert members(masks._table()[left][right]) == {both(*pair) for pair in pairs}


def test_single_values() -> None:
    assert [opposite(mask) for mask in range(8)] == [0, F, T, T | F, M, F | M, T | M, T | F | M]
    assert [of_truth(truth) for truth in (True, False, None, 1, "true")] == [T, F, M, M, M]
    assert every(()) == T and either(()) == F
    assert len(masks._table()) == 8 and all(len(row) == 8 for row in masks._table())
