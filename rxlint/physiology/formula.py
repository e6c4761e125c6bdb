"""What is known of a formula, and bounds on its value over intervals of its arguments."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from rxlint.physiology.errors import OutOfDomain
from rxlint.units import Dimension

Known = Literal["published", "derived", "common practice", "from memory"]

# Two computed values of an exactly monotone formula may come out the wrong way round by a few roundings.
_ROUNDING: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Formula:
    """A function with its arguments in order, its text and source, and how the result moves with each argument.

    A direction is +1 or -1 where the result never falls or never rises as that argument grows, the others being fixed,
    over the whole domain; 0 where it has no effect; None where neither is proven.
    """

    name: str
    arguments: tuple[tuple[str, Dimension], ...]
    result: Dimension
    function: Callable[..., float]
    text: str
    source: str
    known: Known
    directions: tuple[int | None, ...]

    def __post_init__(self) -> None:
        if len(self.directions) != len(self.arguments):
            raise ValueError(f"{self.name}: {len(self.arguments)} arguments, {len(self.directions)} directions")


def enclose(formula: Formula, lows: Sequence[float], highs: Sequence[float]) -> tuple[float, float] | None:
    """Bounds on the formula over the box of intervals from lows to highs; the exact value twice where all are points.

    The bounds hold at every point of the box that is in the domain. None, which is to be read as "not decided", where
    an interval lies in an argument without a direction, or where a corner is outside the domain. Raises ValueError for
    a box of the wrong size or an interval that ends before it starts.
    """
    if not len(lows) == len(highs) == len(formula.arguments):
        raise ValueError(f"{formula.name} takes {len(formula.arguments)} arguments")
    least: list[float] = []
    most: list[float] = []
    for low, high, direction in zip(lows, highs, formula.directions, strict=True):
        if low > high:
            raise ValueError(f"{formula.name}: an interval from {low} to {high}")
        if direction is None and low != high:
            return None
        falling = direction == -1
        least.append(high if falling else low)
        most.append(low if falling else high)
    try:
        bottom, top = formula.function(*least), formula.function(*most)
    except OutOfDomain:
        return None
    if least == most:
        return bottom, top
    margin = _ROUNDING * max(abs(bottom), abs(top))
    return bottom - margin, top + margin
