"""A lung of one compartment, taken through breath after breath until nothing changes any more.

It is the study's own and shares nothing with what it is held against: phases of exponential filling and emptying
(Marini JJ, Crooke PS, Truwit JD, J Appl Physiol 1989;67:1081-92), an effort of the patient's as pressure added in
inspiration. Volumes in mL, pressures in cmH2O, times in s, rates /min, flows in L/min, resistances in cmH2O/(L/s).
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Lung:
    """Compliance of the respiratory system in mL/cmH2O, and resistance in inspiration and in expiration."""

    compliance: float
    inspiratory: float
    expiratory: float

    @property
    def filling(self) -> float:
        """Time constant of inspiration in s."""
        return self.compliance * self.inspiratory / 1000

    @property
    def emptying(self) -> float:
        """Time constant of expiration in s."""
        return self.compliance * self.expiratory / 1000


@dataclass(frozen=True)
class Breath:
    """How each breath is given: a volume or a pressure above PEEP, at the rate that really occurs."""

    peep: float
    rate: float
    time: float
    volume: float | None = None
    pressure: float | None = None
    pause: float = 0
    effort: float = 0

    @property
    def expiration(self) -> float:
        """What is left of the cycle for expiration, in s."""
        return 60 / self.rate - self.time


@dataclass(frozen=True)
class Cycle:
    """What a breath comes to: ``trapped`` is the pressure above PEEP that is left at the end of expiration."""

    tidal: float
    minute: float
    peak: float
    plateau: float
    trapped: float
    emptied: float


def steady(lung: Lung, breath: Breath) -> Cycle:
    """The cycle that repeats itself. ``emptied`` counts expiratory time constants in the time for expiration."""
    left, before = 0.0, -1.0
    out = math.exp(-breath.expiration / lung.emptying)
    while abs(left - before) > 1e-6:
        before = left
        left = _inspired(lung, breath, left) * out
    full = _inspired(lung, breath, left)
    tidal = full - left
    return Cycle(
        tidal=tidal,
        minute=tidal * breath.rate / 1000,
        peak=_peak(lung, breath, full, tidal),
        plateau=breath.peep + full / lung.compliance - breath.effort,
        trapped=left / lung.compliance,
        emptied=breath.expiration / lung.emptying,
    )


def _inspired(lung: Lung, breath: Breath, left: float) -> float:
    """The volume above rest at the end of inspiration."""
    if breath.volume is not None:
        return left + breath.volume
    assert breath.pressure is not None
    aim = lung.compliance * (breath.pressure + breath.effort)
    return aim + (left - aim) * math.exp(-breath.time / lung.filling)


def _peak(lung: Lung, breath: Breath, full: float, tidal: float) -> float:
    if breath.pressure is not None:
        return breath.peep + breath.pressure
    flow = tidal / (breath.time - breath.pause)  # mL/s
    return breath.peep + full / lung.compliance + lung.inspiratory * flow / 1000


def pressure_for(lung: Lung, breath: Breath, volume: float) -> float:
    """The pressure above PEEP with which breaths of this timing come to a volume: the model is linear in pressure."""
    one = steady(lung, Breath(breath.peep, breath.rate, breath.time, pressure=1.0)).tidal
    return volume / one - breath.effort
