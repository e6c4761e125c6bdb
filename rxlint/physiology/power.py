"""Mechanical power of the ventilator on the respiratory system, in cmH2O mL/s (for J/min convert by unit).

The published formulas carry 0.098 and 60 to turn litres and minutes into joules a minute; in coherent units both go.
"""

from __future__ import annotations

import math

from rxlint.physiology.errors import OutOfDomain, computable, not_negative, ordered, positive
from rxlint.physiology.timing import expiratory_time

_TERMS = 20


@computable
def vc_power(
    rate: float, volume: float, compliance: float, resistance: float, inspiratory_time: float, peep: float
) -> float:
    """Mechanical power under volume control from mechanics; constant flow without a pause.

    Gattinoni L et al., Intensive Care Med 2016;42:1567-75. Its RR (1 + I:E) / (60 I:E) is 1 / Ti.
    """
    positive(volume=volume, compliance=compliance, resistance=resistance)
    not_negative(peep=peep)
    expiratory_time(rate, inspiratory_time)  # for its refusal of a breath longer than its cycle
    return rate * volume * (volume * (1 / (2 * compliance) + resistance / inspiratory_time) + peep)


@computable
def vc_power_from_pressures(rate: float, volume: float, peak: float, plateau: float, peep: float) -> float:
    """Mechanical power under volume control from measured pressures (cmH2O above ambient); constant flow.

    Gattinoni L et al., Intensive Care Med 2016;42:1567-75, the short form.
    """
    positive(rate=rate, volume=volume)
    not_negative(peep=peep, plateau=plateau, peak=peak)
    ordered("PEEP", peep, "plateau", plateau)
    ordered("plateau", plateau, "peak", peak)
    return rate * volume * (peak - (plateau - peep) / 2)


@computable
def pc_power(rate: float, volume: float, pressure_above_peep: float, peep: float) -> float:
    """Mechanical power under pressure control with a rectangular pressure wave: the simplified form.

    Becher T et al., Intensive Care Med 2019;45:1321-3.
    """
    positive(rate=rate, volume=volume, pressure_above_peep=pressure_above_peep)
    not_negative(peep=peep)
    return rate * volume * (pressure_above_peep + peep)


@computable
def pc_power_with_rise_time(
    rate: float,
    volume: float,
    pressure_above_peep: float,
    peep: float,
    compliance: float,
    resistance: float,
    rise_time: float,
) -> float:
    """Mechanical power under pressure control with a straight rise of rise_time (s): the comprehensive form.

    Becher T et al., Intensive Care Med 2019;45:1321-3. With a rise time of zero it is the simplified form. Raises
    OutOfDomain where the correction eats up the whole energy of the breath, as with a volume that the pressure cannot
    go with.
    """
    positive(
        rate=rate,
        volume=volume,
        pressure_above_peep=pressure_above_peep,
        compliance=compliance,
        resistance=resistance,
    )
    not_negative(peep=peep, rise_time=rise_time)
    correction = pressure_above_peep**2 * compliance * _rise_loss(rise_time / (resistance * compliance))
    energy = (pressure_above_peep + peep) * volume - correction
    if energy <= 0:
        raise OutOfDomain(f"a volume of {volume:g} mL is too small for this pressure, compliance and rise time")
    return rate * energy


def _rise_loss(m: float) -> float:
    """0.5 - k + k^2 (1 - e^(-1/k)) with k = 1/m, the rise time being m time constants; 0 at m = 0, below 0.5 always.

    It is m times the sum of (-m)^n / (n + 3)!, which is used where the closed form would lose its digits.
    """
    if m >= 1:
        return 0.5 - 1 / m - math.expm1(-m) / m**2
    term, total = m / 6, 0.0
    for n in range(_TERMS):
        total += term
        term *= -m / (n + 4)
    return total
