"""Times of the breath cycle, and passive emptying. Times in s, rates in 1/s, I:E as the plain number Ti/Te."""

from __future__ import annotations

import math

from rxlint.physiology.errors import OutOfDomain, computable, not_negative, positive


@computable
def cycle_time(rate: float) -> float:
    """Time from one breath's start to the next (s) at a rate (1/s)."""
    positive(rate=rate)
    return 1 / rate


@computable
def expiratory_time(rate: float, inspiratory_time: float) -> float:
    """What the cycle leaves for expiration (s). Raises OutOfDomain if nothing is left."""
    _fits(rate, inspiratory_time)
    return 1 / rate - inspiratory_time


@computable
def inspiratory_time(ratio: float, rate: float) -> float:
    """Inspiratory time (s) from I:E as Ti/Te (1:2 is 0.5) and rate (1/s)."""
    positive(ratio=ratio, rate=rate)
    return ratio / ((1 + ratio) * rate)


@computable
def ratio_of_times(inspiratory_time: float, expiratory_time: float) -> float:
    """I:E as the plain number Ti/Te from both times (s); above 1 it is an inverse ratio."""
    positive(inspiratory_time=inspiratory_time, expiratory_time=expiratory_time)
    return inspiratory_time / expiratory_time


@computable
def ratio_at_rate(rate: float, inspiratory_time: float) -> float:
    """I:E as the plain number Ti/Te from rate (1/s) and inspiratory time (s)."""
    _fits(rate, inspiratory_time)
    return inspiratory_time / (1 / rate - inspiratory_time)


@computable
def duty_cycle(rate: float, inspiratory_time: float) -> float:
    """Inspiratory time as a fraction of the cycle (plain number between 0 and 1)."""
    _fits(rate, inspiratory_time)
    return rate * inspiratory_time


@computable
def time_constant(resistance: float, compliance: float) -> float:
    """Time constant (s) of a compartment: resistance (cmH2O s/mL) times compliance (mL/cmH2O)."""
    positive(resistance=resistance, compliance=compliance)
    return resistance * compliance


@computable
def fraction_left(time: float, time_constant: float) -> float:
    """Fraction of the volume still to be exhaled after a time (s) of passive emptying with a time constant (s)."""
    not_negative(time=time)
    positive(time_constant=time_constant)
    return math.exp(-time / time_constant)


def _fits(rate: float, inspiratory_time: float) -> None:
    positive(rate=rate, inspiratory_time=inspiratory_time)
    # Compared the way expiratory time is computed, so that what passes here leaves more than nothing.
    if not 1 / rate - inspiratory_time > 0:
        raise OutOfDomain(
            f"inspiratory time ({inspiratory_time:g} s) leaves no time for expiration in a cycle of {1 / rate:g} s"
        )
