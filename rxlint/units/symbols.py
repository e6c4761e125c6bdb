"""The unit symbols that may be written, by what they measure; the first of each line is the one preferred.

Only symbols stand here. Their factors are in `factors.py`, which is generated: a symbol added here has no factor, and
so is no unit yet, until `python -m rxlint.units.generate` has been run.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from rxlint.units.dimensions import (
    COMPLIANCE,
    ENERGY,
    FLOW,
    LENGTH,
    MASS,
    NUMBER,
    POWER,
    PRESSURE,
    RATE,
    RESISTANCE,
    TEMPERATURE,
    TIME,
    VOLUME,
    WEIGHT,
    Dimension,
)

_BY_DIMENSION: Final[tuple[tuple[Dimension, str], ...]] = (
    (PRESSURE, "cmH2O mbar hPa kPa Pa mmHg bar psi"),
    (VOLUME, "mL L dL"),
    (FLOW, "L/min L/s mL/min mL/s L/h"),
    # A month is a twelfth of a year and a year 365.25 days: our convention, used for ages and dates of review only.
    (TIME, "s ms min h day days week weeks month months year years"),
    (RATE, "/min breaths/min /s /h /day times/day"),
    (NUMBER, "% h/day min/day"),
    (LENGTH, "cm mm m in ft Fr"),
    (WEIGHT, "kg g lb"),
    (TEMPERATURE, "degC"),
    (MASS, "mg"),
    (VOLUME / WEIGHT, "mL/kg L/kg"),
    (FLOW / WEIGHT, "mL/kg/min L/min/kg"),
    (COMPLIANCE, "mL/cmH2O L/cmH2O mL/mbar mL/kPa L/kPa"),
    (COMPLIANCE / WEIGHT, "mL/cmH2O/kg"),
    (RESISTANCE, "cmH2O/(L/s) mbar/(L/s) kPa/(L/s) cmH2O/(L/min)"),
    (ENERGY, "J"),
    (POWER, "J/min"),
    (MASS / VOLUME, "mg/L"),
)

SYMBOLS: Final[Mapping[str, Dimension]] = {
    symbol: dimension for dimension, symbols in _BY_DIMENSION for symbol in symbols.split()
}
