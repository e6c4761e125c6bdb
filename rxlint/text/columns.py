"""Columns as editors count them. Ours count code points from 1; the protocol of language servers counts UTF-16 units
from 0, so that a character beyond U+FFFF takes two.
"""

from __future__ import annotations

from typing import Final

_LAST_OF_ONE_UNIT: Final = "\uffff"


def units_before(line: str, column: int) -> int:
    """How many UTF-16 units stand before a column (code points, from 1) of a line; beyond its end, all of them."""
    before = line[: max(column - 1, 0)]
    return len(before) if before.isascii() else len(before) + sum(char > _LAST_OF_ONE_UNIT for char in before)


def column_at(line: str, units: int) -> int:
    """The column (code points, from 1) after so many UTF-16 units; inside a character, where it begins; beyond the
    line's end, the end.
    """
    if line.isascii():
        return min(max(units, 0), len(line)) + 1
    used = 0
    for column, char in enumerate(line, 1):
        used += 2 if char > _LAST_OF_ONE_UNIT else 1
        if used > units:
            return column
    return len(line) + 1
