"""Problems of an expression, and suggestions by small edit distance."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

_MOST: Final = 3


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong, where (code point offsets in the expression's text), and what may have been meant, best first."""

    start: int
    end: int
    message: str
    suggestions: tuple[str, ...] = ()


def near(text: str, candidates: Iterable[str]) -> tuple[str, ...]:
    """Up to three candidates that are a small slip away from `text`, the nearest first; case makes no difference."""
    return nearest(text, candidates)[1]


def nearest(text: str, candidates: Iterable[str]) -> tuple[int, tuple[str, ...]]:
    """The same, with the number of slips of the nearest one."""
    wanted = text.casefold()
    limit = 1 + len(wanted) // 5
    scored = []
    for candidate in candidates:
        folded = candidate.casefold()
        if abs(len(folded) - len(wanted)) <= limit:
            distance = _distance(wanted, folded, limit)
            if distance <= limit and distance < max(len(wanted), len(folded)):
                scored.append((distance, candidate))
    scored.sort()
    return scored[0][0] if scored else 0, tuple(dict.fromkeys(candidate for _, candidate in scored))[:_MOST]


def _distance(left: str, right: str, limit: int) -> int:
    """Edits (a sign put in, left out or changed, two neighbours swapped) between two texts; stops above the limit."""
    before: list[int] = []
    row = list(range(len(right) + 1))
    for i, sign in enumerate(left, 1):
        older, before, row = before, row, [i]
        for j, other in enumerate(right, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (sign != other))
            if i > 1 and j > 1 and sign == right[j - 2] and left[i - 2] == other:
                cost = min(cost, older[j - 2] + 1)
            row.append(cost)
        if min(row) > limit:
            return limit + 1
    return row[-1]
