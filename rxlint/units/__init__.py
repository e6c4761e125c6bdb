"""Units of measurement: dimensions, exact factors, the spellings accepted and discouraged, and quantities as text.

Base units are coherent: cmH2O, mL, s, cm, kg (weight), degC, mg (mass of water) and the plain number 1. A factor is
an exact fraction, generated once, so nothing here needs a units library at run time. What a value means in a
prescription (a term, a reference pressure, a permitted unit) is not decided here.
"""

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
    with_basis,
    without_basis,
)
from rxlint.units.spellings import ALIASES, DISCOURAGED
from rxlint.units.table import PLAIN, UNITS, Unit, find_unit, from_base, show, to_base, units_of

__all__ = [
    "ALIASES",
    "COMPLIANCE",
    "DISCOURAGED",
    "ENERGY",
    "FLOW",
    "LENGTH",
    "MASS",
    "NUMBER",
    "PLAIN",
    "POWER",
    "PRESSURE",
    "RATE",
    "RESISTANCE",
    "TEMPERATURE",
    "TIME",
    "UNITS",
    "VOLUME",
    "WEIGHT",
    "Dimension",
    "Unit",
    "find_unit",
    "from_base",
    "show",
    "to_base",
    "units_of",
    "with_basis",
    "without_basis",
]
