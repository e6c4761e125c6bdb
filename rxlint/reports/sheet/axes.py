"""Plain geometry of a drawing: a straight scale, round ticks, a path through points, labels that keep clear.

Every coordinate is rounded to a tenth of a unit, so that the same numbers always give the same text.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

_ROUND_STEPS: Final = (1, 2, 5, 10, 20)
_DECIMALS: Final = 1


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale from values to coordinates; ``start`` and ``end`` are the coordinates of ``low`` and ``high``.

    Raises ValueError where the two ends are the same value.
    """

    low: float
    high: float
    start: float
    end: float

    def __post_init__(self) -> None:
        if not self.low < self.high:
            raise ValueError(f"a scale from {self.low} to {self.high} has no length")

    def at(self, value: float) -> float:
        """The coordinate of a value."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def nice_ticks(low: float, high: float, most: int) -> tuple[float, ...]:
    """At most so many round values (1, 2 or 5 times a power of ten apart) that lie between two ends, both included.

    There are always at least two. Raises ValueError where the ends leave no length, or ``most`` is below 5: the steps
    are up to two and a half times as long as the next shorter ones, so that fewer might leave a single tick.
    """
    if not low < high or most < 5:
        raise ValueError(f"no ticks between {low} and {high}")
    power = 10.0 ** math.floor(math.log10((high - low) / most))
    for size in (power * each for each in _ROUND_STEPS):
        first, last = math.ceil(low / size - 1e-9), math.floor(high / size + 1e-9)
        if last - first < most:
            return tuple(round(number * size, 10) for number in range(first, last + 1))
    raise AssertionError("twenty times the power is coarse enough for every length")


def whole_steps(low: float, high: float, most: int) -> tuple[float, float]:
    """The ends of the shortest scale that begins and ends at round values and holds both ends."""
    size = _step(nice_ticks(low, high, most))
    return math.floor(low / size + 1e-9) * size, math.ceil(high / size - 1e-9) * size


def _step(ticks: Sequence[float]) -> float:
    return ticks[1] - ticks[0] if len(ticks) > 1 else 1.0


def tick_text(value: float, ticks: Sequence[float]) -> str:
    """A tick's value with as many decimals as its neighbours need."""
    size = _step(ticks)
    places = max(0, -math.floor(math.log10(size) + 1e-9))
    return f"{value:.{places}f}"


def number(value: float) -> str:
    """A coordinate as text: rounded, without needless zeros, never ``-0``."""
    text = f"{value:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def path(points: Iterable[tuple[float, float]]) -> str:
    """The ``d`` of an SVG path of straight lines through points."""
    return " ".join(f"{'L' if count else 'M'}{number(x)} {number(y)}" for count, (x, y) in enumerate(points))


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its corners; y grows downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places as near to those wanted as they can be, each at least a gap from the next, from low to high.

    ``wanted`` is in rising order. Where there is no room for all of them the last ones stand beyond ``high``.
    """
    groups: list[tuple[float, int]] = []  # where a run of touching places begins, and how many they are
    for place in wanted:
        groups.append((place, 1))
        while len(groups) > 1 and groups[-2][0] + groups[-2][1] * gap > groups[-1][0]:
            (first, many), (second, more) = groups[-2:]
            # the mean of what its members would like the run to begin at
            begin = (first * many + (second - many * gap) * more) / (many + more)
            groups[-2:] = [(begin, many + more)]
    places = [begin + count * gap for begin, many in groups for count in range(many)]
    for index in range(len(places) - 1, -1, -1):
        ceiling = high if index == len(places) - 1 else places[index + 1] - gap
        places[index] = min(places[index], ceiling)
    for index, place in enumerate(places):
        floor = low if index == 0 else places[index - 1] + gap
        places[index] = max(place, floor)
    return places
