"""Dead space, alveolar ventilation, and carbon dioxide against ventilation.

Volumes in mL, rates in 1/s, ventilations in mL/s, partial pressures in cmH2O. What relates two carbon dioxide tensions
holds in a steady state, with the same carbon dioxide output and dead space before and after, for modest changes.
"""

from __future__ import annotations

from typing import Final

from rxlint.physiology.errors import OutOfDomain, computable, not_negative, positive
from rxlint.units import UNITS

# mL/kg. A teaching rule (Radford EP, J Appl Physiol 1955;7:451-60; from memory). In single patients weight says next to
# nothing of the dead space: Brewer LM, Orr JA, Pace NL, Respir Care 2008;53:885-91.
ANATOMICAL_PER_KG: Final = 2.2

# 0.863 mmHg (L/min)/(mL/min): 760 mmHg x 310.15 K / 273.15 K, with the carbon dioxide output in mL/min of dry gas at
# standard conditions and the ventilation in L/min at body conditions. In one unit of flow it is 863 mmHg.
_CO2_PRESSURE: Final = 863.0 * UNITS["mmHg"].scale


@computable
def anatomical_dead_space(weight: float) -> float:
    """Anatomical dead space (mL) by the rule of 2.2 mL/kg of predicted or ideal weight (kg)."""
    positive(weight=weight)
    return ANATOMICAL_PER_KG * weight


@computable
def alveolar_ventilation(rate: float, volume: float, dead_space: float) -> float:
    """Ventilation that reaches the alveoli (mL/s). Raises OutOfDomain if the dead space takes the whole breath."""
    positive(rate=rate)
    return rate * _alveolar(volume, dead_space)


@computable
def rate_for_added_dead_space(rate: float, volume: float, dead_space: float, added: float) -> float:
    """Rate (1/s) that keeps the alveolar ventilation after dead space (mL) is added at the same tidal volume."""
    positive(rate=rate)
    not_negative(added_dead_space=added)
    return rate * _alveolar(volume, dead_space) / _alveolar(volume, dead_space + added)


@computable
def paco2_after(paco2: float, ventilation: float, new_ventilation: float) -> float:
    """PaCO2 (cmH2O) to be expected when the alveolar ventilation goes from one value to another (both mL/s)."""
    positive(paco2=paco2, alveolar_ventilation=ventilation, new_alveolar_ventilation=new_ventilation)
    return paco2 * ventilation / new_ventilation


@computable
def ventilation_for(ventilation: float, paco2: float, target_paco2: float) -> float:
    """Ventilation (mL/s; alveolar, or minute volume at an unchanged tidal volume) that a target PaCO2 asks for."""
    positive(ventilation=ventilation, paco2=paco2, target_paco2=target_paco2)
    return ventilation * paco2 / target_paco2


@computable
def rate_for(rate: float, paco2: float, target_paco2: float) -> float:
    """Rate (1/s) that a target PaCO2 asks for at the same tidal volume."""
    positive(rate=rate, paco2=paco2, target_paco2=target_paco2)
    return rate * paco2 / target_paco2


@computable
def volume_for(volume: float, dead_space: float, paco2: float, target_paco2: float) -> float:
    """Tidal volume (mL) that a target PaCO2 asks for at the same rate and dead space."""
    positive(paco2=paco2, target_paco2=target_paco2)
    return dead_space + _alveolar(volume, dead_space) * paco2 / target_paco2


@computable
def paco2_of_output(co2_output: float, ventilation: float) -> float:
    """PaCO2 (cmH2O) from carbon dioxide output (mL/s, dry, standard conditions) and alveolar ventilation (mL/s)."""
    positive(co2_output=co2_output, alveolar_ventilation=ventilation)
    return _CO2_PRESSURE * co2_output / ventilation


def _alveolar(volume: float, dead_space: float) -> float:
    positive(volume=volume)
    not_negative(dead_space=dead_space)
    if dead_space >= volume:
        raise OutOfDomain(f"a dead space of {dead_space:g} mL takes the whole tidal volume of {volume:g} mL")
    return volume - dead_space
