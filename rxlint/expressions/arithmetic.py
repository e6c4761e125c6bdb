"""Exact arithmetic on fractions, and comparisons; shared by the exact evaluator and the exact boxes."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Final

# Square roots are cut off, not rounded, to this grid: the result never falls when the argument rises, and roots that
# are decimals, halves or thirds come out exactly.
_ROOT_GRID: Final = 60**40
# Nobody's prescription needs more; a document that chains powers must not stop the program.
_MOST_BITS: Final = 8192


def settled(result: float) -> Fraction:
    """The result of a function, rid of the noise of its floats: its first eleven significant digits.

    Otherwise 2.2 times 50 would be above 110, and 8 / 5 above 1.6. It never falls when the result rises.
    """
    return Fraction(f"{result:.11g}")


def root_of(value: Fraction) -> Fraction:
    """The square root of a number that is not negative, cut off to a grid far finer than any float."""
    return Fraction(math.isqrt(value.numerator * _ROOT_GRID**2 // value.denominator), _ROOT_GRID)


def is_huge(value: Fraction) -> bool:
    """Whether a fraction has grown beyond what is worth calculating exactly."""
    return value.numerator.bit_length() + value.denominator.bit_length() > _MOST_BITS


def holds(operator: str, difference: Fraction) -> bool:
    """Whether left and right, with this left minus right, are as the operator says."""
    match operator:
        case "=":
            return difference == 0
        case "!=":
            return difference != 0
        case "<":
            return difference < 0
        case "<=":
            return difference <= 0
        case ">":
            return difference > 0
        case ">=":
            return difference >= 0
    raise ValueError(f"not a comparison: {operator!r}")
