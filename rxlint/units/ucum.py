"""The code of each unit in the Unified Code for Units of Measure (UCUM, ucum.org; essence 2.2 of 2024-06-17).

UCUM's month is a twelfth of a year of 365.25 days, as ours is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from rxlint.units.table import PLAIN, Unit

SYSTEM: Final = "http://unitsofmeasure.org"
"""The URI by which UCUM is known to other systems."""

_PLAIN: Final = "1"
_OTHERWISE: Final[Mapping[str, str]] = {  # codes that are not the symbol itself
    "cmH2O": "cm[H2O]", "mmHg": "mm[Hg]", "psi": "[psi]", "day": "d", "days": "d", "week": "wk", "weeks": "wk",
    "month": "mo", "months": "mo", "year": "a", "years": "a", "breaths/min": "{breaths}/min", "/day": "/d",
    "times/day": "{times}/d", "h/day": "h/d", "min/day": "min/d", "in": "[in_i]", "ft": "[ft_i]", "Fr": "[Ch]",
    "lb": "[lb_av]", "degC": "Cel", "mL/cmH2O": "mL/cm[H2O]", "L/cmH2O": "L/cm[H2O]",
    "mL/cmH2O/kg": "mL/cm[H2O]/kg", "cmH2O/(L/s)": "cm[H2O]/(L/s)", "cmH2O/(L/min)": "cm[H2O]/(L/min)",
}  # fmt: skip


def ucum_code(unit: Unit) -> str:
    """The UCUM code of a unit."""
    return _PLAIN if unit is PLAIN else _OTHERWISE.get(unit.symbol, unit.symbol)
