"""Alveolar oxygen, and the ratios and indices of oxygenation.

Pressures in cmH2O (partial pressures too), FiO2 and SpO2 as fractions, rates in 1/s. The indices carry the units of
their publications: oxygen tensions in mmHg, mean airway pressure in cmH2O, saturation in per cent, rates a minute.
"""

from __future__ import annotations

from typing import Final

from rxlint.physiology.errors import OutOfDomain, computable, positive
from rxlint.units import UNITS

AIR: Final = 0.21
MMHG: Final = UNITS["mmHg"].scale
BODY_VAPOUR: Final = 47 * MMHG
"""Vapour pressure of water at 37 degrees C, as the alveolar gas equation is taught: 47 mmHg."""

# Above it the dissociation curve is flat and says little: Pediatric Acute Lung Injury Consensus Conference, Pediatr
# Crit Care Med 2015;16:428-39 (volume and pages from memory).
HIGHEST_SATURATION: Final = 0.97

# Ratio of carbon dioxide given off to oxygen taken up. Outside these no steady state is known; the limits are ours.
_LOWEST_QUOTIENT: Final = 0.6
_HIGHEST_QUOTIENT: Final = 1.3


@computable
def alveolar_oxygen(fio2: float, barometric_pressure: float, paco2: float, quotient: float) -> float:
    """Alveolar oxygen tension (cmH2O), short form: FiO2 (PB - 47 mmHg) - PaCO2 / R."""
    inspired = _inspired(fio2, barometric_pressure, paco2, quotient)
    return _left(inspired - paco2 / quotient)


@computable
def alveolar_oxygen_full(fio2: float, barometric_pressure: float, paco2: float, quotient: float) -> float:
    """Alveolar oxygen tension (cmH2O), full form: the short one plus PaCO2 x FiO2 x (1 - R) / R."""
    inspired = _inspired(fio2, barometric_pressure, paco2, quotient)
    return _left(inspired - paco2 * (1 - fio2 * (1 - quotient)) / quotient)


@computable
def pf_ratio(pao2: float, fio2: float) -> float:
    """PaO2 / FiO2 (cmH2O)."""
    positive(pao2=pao2)
    return pao2 / fraction_of_oxygen(fio2)


@computable
def sf_ratio(spo2: float, fio2: float) -> float:
    """SpO2 / FiO2, the saturation in per cent. Raises OutOfDomain above 97 %."""
    return 100 * _steep(spo2) / fraction_of_oxygen(fio2)


@computable
def oxygenation_index(mean_airway_pressure: float, fio2: float, pao2: float) -> float:
    """Oxygenation index: mean airway pressure (cmH2O) x FiO2 x 100 / PaO2 (in mmHg)."""
    positive(mean_airway_pressure=mean_airway_pressure, pao2=pao2)
    return mean_airway_pressure * fraction_of_oxygen(fio2) * 100 / (pao2 / MMHG)


@computable
def saturation_index(mean_airway_pressure: float, fio2: float, spo2: float) -> float:
    """Oxygen saturation index: mean airway pressure (cmH2O) x FiO2 x 100 / SpO2 (%). Raises OutOfDomain above 97 %."""
    positive(mean_airway_pressure=mean_airway_pressure)
    return mean_airway_pressure * fraction_of_oxygen(fio2) / _steep(spo2)


@computable
def rox_index(spo2: float, fio2: float, rate: float) -> float:
    """ROX index: SpO2 (%) / FiO2 / breaths a minute. For pneumonia on high-flow nasal oxygen only."""
    positive(rate=rate)
    return 100 * _saturation(spo2) / fraction_of_oxygen(fio2) / (60 * rate)


def fraction_of_oxygen(fio2: float) -> float:
    """The FiO2 itself. Raises OutOfDomain unless it is a fraction from 0.21 to 1."""
    positive(fio2=fio2)
    if not AIR <= fio2 <= 1:
        raise OutOfDomain(f"FiO2 is a fraction from {AIR} (air) to 1 (pure oxygen), not {fio2:g}")
    return fio2


def _saturation(spo2: float) -> float:
    positive(spo2=spo2)
    if spo2 > 1:
        raise OutOfDomain(f"a saturation is at most 100 %, not {100 * spo2:g} %")
    return spo2


def _steep(spo2: float) -> float:
    if _saturation(spo2) > HIGHEST_SATURATION:
        raise OutOfDomain(f"SpO2 stands for PaO2 only up to 97 %, not at {100 * spo2:g} %")
    return spo2


def _inspired(fio2: float, barometric_pressure: float, paco2: float, quotient: float) -> float:
    positive(barometric_pressure=barometric_pressure, paco2=paco2, respiratory_quotient=quotient)
    if not _LOWEST_QUOTIENT <= quotient <= _HIGHEST_QUOTIENT:
        raise OutOfDomain(f"the respiratory quotient lies between 0.6 and 1.3, not at {quotient:g}")
    return fraction_of_oxygen(fio2) * (barometric_pressure - BODY_VAPOUR)


def _left(tension: float) -> float:
    if tension <= 0:
        raise OutOfDomain("with these values no oxygen is left in the alveoli")
    return tension
