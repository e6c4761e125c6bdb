"""The value at which a difference comes to nothing, in exact fractions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

Gap = Callable[[Fraction], Fraction | None]
"""How far one side of a comparison lies above the other; None where a side has no value."""

_FACTORS: Final = tuple(Fraction(each) for each in ("1.01", "1.3", "0.7", "2", "0.5", "5", "0.2", "20", "0.05"))
_NARROW: Final = Fraction(1, 10**8)
_MOST: Final = 80


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where two sides meet: in one value, if that is exact, or else between two values that lie close together."""

    low: Fraction
    high: Fraction

    @property
    def exact(self) -> Fraction | None:
        """The one value."""
        return self.low if self.low == self.high else None


def meeting(gap: Gap, start: Fraction) -> Meeting | None:
    """Where a difference is nothing, from a value at which it is known; None where it is not found.

    A straight line and a hyperbola are solved exactly; of anything else two values are found, by halving, between which
    the difference changes its sign.
    """
    before = gap(start)
    if before is None:
        return None
    if before == 0:
        return Meeting(start, start)
    for guess in (_line(gap, start, before), _hyperbola(gap, start, before)):
        if guess is not None and gap(guess) == 0:
            return Meeting(guess, guess)
    return _halved(gap, start, before)


def _line(gap: Gap, start: Fraction, before: Fraction) -> Fraction | None:
    other = start * Fraction(101, 100) if start else Fraction(1)
    after = gap(other)
    if after is None or after == before:
        return None
    return start - before * (other - start) / (after - before)


def _hyperbola(gap: Gap, start: Fraction, before: Fraction) -> Fraction | None:
    if not start:
        return None
    found = _line(lambda inverse: gap(1 / inverse) if inverse else None, 1 / start, before)
    return 1 / found if found else None


def _halved(gap: Gap, start: Fraction, before: Fraction) -> Meeting | None:
    for factor in _FACTORS:
        other = start * factor if start else factor
        after = gap(other)
        if after is not None and (after > 0) != (before > 0):
            return _between(gap, start, before, other)
    return None


def _between(gap: Gap, one: Fraction, at_one: Fraction, other: Fraction) -> Meeting | None:
    for _ in range(_MOST):
        if abs(one - other) <= _NARROW * max(abs(one), abs(other)):
            return Meeting(min(one, other), max(one, other))
        middle = ((one + other) / 2).limit_denominator(10**12)
        found = gap(middle)
        if found is None:
            return None
        if found == 0:
            return Meeting(middle, middle)
        if (found > 0) == (at_one > 0):
            one = middle
        else:
            other = middle
    return None
