"""Volumes: minute volume, volume per weight, and the static compliance of a tidal volume."""

from __future__ import annotations

from rxlint.physiology.errors import OutOfDomain, computable, not_negative, positive


@computable
def minute_volume(rate: float, volume: float) -> float:
    """Minute volume as a flow (mL/s) from rate (1/s) and tidal volume (mL)."""
    positive(rate=rate, volume=volume)
    return rate * volume


@computable
def volume_per_weight(volume: float, weight: float) -> float:
    """Volume per weight (mL/kg)."""
    positive(volume=volume, weight=weight)
    return volume / weight


@computable
def volume_of_weight(volume_per_weight: float, weight: float) -> float:
    """Volume (mL) from a volume per weight (mL/kg) and that weight (kg)."""
    positive(volume_per_weight=volume_per_weight, weight=weight)
    return volume_per_weight * weight


@computable
def static_compliance(volume: float, plateau: float, total_peep: float) -> float:
    """Compliance (mL/cmH2O) from tidal volume (mL), plateau and total PEEP (cmH2O). For a passive patient only."""
    positive(volume=volume)
    not_negative(plateau=plateau, total_peep=total_peep)
    if plateau <= total_peep:
        raise OutOfDomain(f"plateau ({plateau:g}) must be above total PEEP ({total_peep:g})")
    return volume / (plateau - total_peep)
