"""Predicted body weight of adults, centimetre form: ARDS Network, N Engl J Med 2000;342:1301-8."""

from __future__ import annotations

from typing import Final

from rxlint.physiology.errors import OutOfDomain, computable, positive

# 55 in, the lowest row of the ARDS Network chart of predicted body weight (from memory). The line reaches zero near
# 1 m, and no formula is agreed for smaller statures (Martin DC, Richards GN, BMC Pulm Med 2017;17:85).
LOWEST_HEIGHT: Final = 139.7
# The tallest person on record (from memory): above it a height is a slip of unit or digit.
HIGHEST_HEIGHT: Final = 272.0

_KG_PER_CM: Final = 0.91
_REFERENCE_HEIGHT: Final = 152.4


@computable
def predicted_weight_male(height: float) -> float:
    """Predicted body weight (kg) of a man from height (cm). Raises OutOfDomain outside adult stature."""
    return _predicted(50.0, height)


@computable
def predicted_weight_female(height: float) -> float:
    """Predicted body weight (kg) of a woman from height (cm). Raises OutOfDomain outside adult stature."""
    return _predicted(45.5, height)


def _predicted(at_reference: float, height: float) -> float:
    positive(height=height)
    if height < LOWEST_HEIGHT:
        raise OutOfDomain(f"predicted body weight is for adult stature, {LOWEST_HEIGHT:g} cm and up, not {height:g} cm")
    if height > HIGHEST_HEIGHT:
        raise OutOfDomain(f"nobody is {height:g} cm tall; heights are taken up to {HIGHEST_HEIGHT:g} cm")
    return at_reference + _KG_PER_CM * (height - _REFERENCE_HEIGHT)
