"""Classes of lung injury by oxygenation, as words. They judge nothing but the number: timing, imaging and origin, which
the definitions also ask for, are not known here.

A boundary belongs to the class that its source gives it to; a value within rounding of it counts as on it.
"""

from __future__ import annotations

from typing import Final, Literal

from rxlint.physiology.errors import OutOfDomain, not_negative, positive
from rxlint.physiology.oxygenation import MMHG

Severity = Literal["none", "mild", "mild to moderate", "moderate", "severe"]

_ROUNDING: Final = 1e-9

# Ranieri VM et al. (Berlin definition), JAMA 2012;307:2526-33: PaO2/FiO2 in mmHg, each the top of its class.
_BERLIN: Final[tuple[tuple[float, Severity], ...]] = ((100, "severe"), (200, "moderate"), (300, "mild"))
_BERLIN_PEEP: Final = 5.0

# Pediatric Acute Lung Injury Consensus Conference: Pediatr Crit Care Med 2015;16:428-39 (pages from memory), and the
# second one, Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68. Each number is the bottom of its class.
_OI_FIRST: Final[tuple[tuple[float, Severity], ...]] = ((16, "severe"), (8, "moderate"), (4, "mild"))
_OSI_FIRST: Final[tuple[tuple[float, Severity], ...]] = ((12.3, "severe"), (7.5, "moderate"), (5, "mild"))
_OI_SECOND: Final[tuple[tuple[float, Severity], ...]] = ((16, "severe"), (4, "mild to moderate"))
_OSI_SECOND: Final[tuple[tuple[float, Severity], ...]] = ((12, "severe"), (5, "mild to moderate"))


def berlin_class(pf_ratio: float, peep: float) -> Severity:
    """Class of an adult by PaO2/FiO2 and PEEP or CPAP (both cmH2O). Raises OutOfDomain below a PEEP of 5 cmH2O.

    Not corrected for altitude; above 1000 m the definition multiplies the ratio by barometric pressure / 760 mmHg.
    """
    positive(pf_ratio=pf_ratio)
    not_negative(peep=peep)
    if peep < _BERLIN_PEEP * (1 - _ROUNDING):
        raise OutOfDomain(f"the Berlin definition asks for a PEEP or CPAP of 5 cmH2O or more, not {peep:g}")
    in_mmhg = pf_ratio / MMHG
    return next((name for top, name in _BERLIN if in_mmhg <= top * (1 + _ROUNDING)), "none")


def first_paediatric_class(oxygenation_index: float) -> Severity:
    """Class of a ventilated child by oxygenation index, consensus of 2015."""
    return _paediatric(_OI_FIRST, oxygenation_index)


def first_paediatric_class_by_saturation(saturation_index: float) -> Severity:
    """Class of a ventilated child by oxygen saturation index, consensus of 2015."""
    return _paediatric(_OSI_FIRST, saturation_index)


def second_paediatric_class(oxygenation_index: float) -> Severity:
    """Class of a ventilated child by oxygenation index, consensus of 2023; graded 4 h or more after diagnosis."""
    return _paediatric(_OI_SECOND, oxygenation_index)


def second_paediatric_class_by_saturation(saturation_index: float) -> Severity:
    """Class of a ventilated child by oxygen saturation index, consensus of 2023."""
    return _paediatric(_OSI_SECOND, saturation_index)


def _paediatric(classes: tuple[tuple[float, Severity], ...], index: float) -> Severity:
    positive(index=index)
    return next((name for bottom, name in classes if index >= bottom * (1 - _ROUNDING)), "none")
