"""Oxygen: mixtures by mass balance, what a ventilator draws, what a transfer needs.

Flows in mL/s, FiO2 as a fraction, times in s, volumes in mL. Mass balance takes full mixing and a steady flow for
granted. Oxygen bled into a circuit mixes neither fully nor steadily: measured fractions depend on where it enters, on
leak and on pressure (Thys F et al., Eur Respir J 2002;19:653-7), so that a fraction computed here is an estimate.
"""

from __future__ import annotations

from rxlint.physiology.errors import OutOfDomain, computable, not_negative, ordered, positive
from rxlint.physiology.oxygenation import AIR, fraction_of_oxygen


@computable
def mixed_fraction(oxygen_flow: float, total_flow: float) -> float:
    """FiO2 when oxygen is part of a total flow, the rest being air."""
    positive(total_flow=total_flow)
    not_negative(oxygen_flow=oxygen_flow)
    ordered("oxygen flow", oxygen_flow, "total flow", total_flow)
    return AIR + (1 - AIR) * (oxygen_flow / total_flow)


@computable
def mixed_fraction_with_leak(oxygen_flow: float, minute_volume: float, leak: float) -> float:
    """FiO2 when oxygen is part of what the patient breathes and what leaks together."""
    positive(minute_volume=minute_volume)
    not_negative(leak=leak)
    return mixed_fraction(oxygen_flow, minute_volume + leak)


@computable
def oxygen_for_fraction(fio2: float, total_flow: float) -> float:
    """Oxygen flow (mL/s) that a fraction needs in a total flow; also what a ventilator that entrains air draws."""
    positive(total_flow=total_flow)
    return total_flow * ((fraction_of_oxygen(fio2) - AIR) / (1 - AIR))


@computable
def oxygen_for_fraction_with_leak(fio2: float, minute_volume: float, leak: float) -> float:
    """Oxygen flow (mL/s) that a fraction needs where gas leaks besides being breathed."""
    positive(minute_volume=minute_volume)
    not_negative(leak=leak)
    return oxygen_for_fraction(fio2, minute_volume + leak)


@computable
def generous_draw(fio2: float, total_flow: float) -> float:
    """Oxygen draw (mL/s) by the rule total flow x FiO2: on the safe side of the true draw, equal at an FiO2 of 1."""
    positive(total_flow=total_flow)
    return total_flow * fraction_of_oxygen(fio2)


@computable
def transfer_need(oxygen_draw: float, driving_gas: float, duration: float, factor: float) -> float:
    """Oxygen (mL) for a transfer: factor x duration x (draw + driving gas). Raises OutOfDomain for a factor below 1."""
    not_negative(oxygen_draw=oxygen_draw, driving_gas=driving_gas)
    positive(duration=duration, factor=factor)
    if factor < 1:
        raise OutOfDomain(f"a factor of {factor:g} leaves the transfer short of its own need")
    return factor * duration * (oxygen_draw + driving_gas)
