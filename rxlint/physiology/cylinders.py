"""Oxygen cylinders: what is in one, how long it lasts, and what a letter means in which country.

Volumes in mL of free gas, pressures in cmH2O above ambient, flows in mL/s, times in s. Contents are taken to be in
proportion to the pressure. A letter means nothing without its country: an Australian E holds five to eight times as
much as a British one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from rxlint.physiology.errors import computable, not_negative, ordered, positive
from rxlint.physiology.formula import Known
from rxlint.units import UNITS

# A duration that falls short of a whole minute by no more than a rounding is that minute.
_ROUNDING: Final = 1e-9


@computable
def contents(full_contents: float, full_pressure: float, pressure: float) -> float:
    """Contents (mL) at a pressure."""
    positive(full_contents=full_contents, full_pressure=full_pressure)
    not_negative(cylinder_pressure=pressure)
    return full_contents * (pressure / full_pressure)


@computable
def usable_contents(full_contents: float, full_pressure: float, pressure: float, residual_pressure: float) -> float:
    """Contents (mL) at a pressure, less those at the residual pressure that is to stay in the cylinder."""
    positive(full_contents=full_contents, full_pressure=full_pressure)
    not_negative(cylinder_pressure=pressure, residual_pressure=residual_pressure)
    ordered("residual pressure", residual_pressure, "cylinder pressure", pressure)
    return full_contents * ((pressure - residual_pressure) / full_pressure)


@computable
def duration(usable: float, reserve: float, oxygen_draw: float) -> float:
    """How long (s) usable contents last at a draw, when a reserve (mL) is to be left. `whole_minutes` rounds it."""
    not_negative(usable_contents=usable, reserve=reserve)
    positive(oxygen_draw=oxygen_draw)
    ordered("reserve", reserve, "usable contents", usable)
    return (usable - reserve) / oxygen_draw


def whole_minutes(time: float) -> int:
    """Whole minutes of a time (s), rounded down, as a supply must be."""
    not_negative(time=time)
    return math.floor(time / 60 + _ROUNDING)


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A letter in a country: least and most contents when full (L), the pressure that is full (cmH2O), the source."""

    country: str
    letter: str
    least: float
    most: float
    full_pressure: float | None
    source: str
    known: Known


_KPA: Final = UNITS["kPa"].scale
_PSI: Final = UNITS["psi"].scale
_FULL_US: Final = 2200.0

_TRANSPORT: Final = "Lutman D, Petros AJ, Emerg Med J 2006;23:703-4"
_TRANSFER: Final = (
    "published British lists for transfers (Emerg Med J 2006;23:703-4 for D; course notes); pressure from memory"
)
_FACTORS: Final = "American cylinder factors in L/psi, as taught with a residual of 200 psi; full at 2200 psi"
_TASMAN: Final = "table after the oxygen guideline of the Thoracic Society of Australia and New Zealand"


def _british(letter: str, litres: float, kilopascals: float, source: str, known: Known) -> Cylinder:
    return Cylinder("UK", letter, litres, litres, kilopascals * _KPA, source, known)


def _american(letter: str, litres_a_psi: float) -> Cylinder:
    litres = litres_a_psi * _FULL_US
    return Cylinder("US", letter, litres, litres, _FULL_US * _PSI, _FACTORS, "published")


def _tasman(country: str, letter: str, least: float, most: float) -> Cylinder:
    return Cylinder(country, letter, least, most, None, _TASMAN, "published")


CYLINDERS: Final = {
    (each.country, each.letter): each
    for each in (
        _british("C", 170, 13_700, "from memory", "from memory"),
        _british("D", 340, 13_700, _TRANSPORT, "published"),
        _british("CD", 460, 23_000, _TRANSPORT, "published"),
        _british("E", 680, 13_700, _TRANSFER, "published"),
        _british("F", 1360, 13_700, _TRANSPORT, "published"),
        _british("G", 3400, 13_700, _TRANSFER, "published"),
        _british("J", 6800, 13_700, _TRANSFER, "published"),
        _british("HX", 2300, 23_000, "from memory", "from memory"),
        _american("D", 0.16),
        _american("E", 0.28),
        _american("M", 1.56),
        _american("G", 2.41),
        _american("H", 3.14),
        _american("K", 3.14),
        *(
            _tasman(country, letter, least, most)
            for country in ("AU", "NZ")
            for letter, least, most in (("C", 550, 550), ("D", 1500, 1500), ("E", 3800, 5200), ("G", 7600, 8800))
        ),
    )
}
"""Every letter by country and letter."""


def full_pressure_of_letter(letter: str, country: str | None) -> float | None:
    """The pressure (cmH2O) at which a cylinder of that letter and country is full; None where the table has none."""
    cylinder = CYLINDERS.get((country or "", letter))
    return cylinder.full_pressure if cylinder is not None else None


def contents_of_letter(letter: str, country: str | None, pressure: float | None) -> float | None:
    """Contents (mL) of a cylinder by letter, country and pressure (cmH2O).

    None where they are not certain: without a country or a pressure, for a letter that is not in the table, and where
    the table has no pressure at which the cylinder is full. Raises OutOfDomain for a pressure that is negative.
    """
    cylinder = CYLINDERS.get((country or "", letter))
    if cylinder is None or cylinder.full_pressure is None or pressure is None:
        return None
    return contents(cylinder.least * UNITS["L"].scale, cylinder.full_pressure, pressure)
