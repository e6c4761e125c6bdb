"""Flow through a leak port: from one stated flow and pressure to other pressures, mean over the breath, capacity.

Two models are in use, and which one is meant must be said. Square root: an orifice, through which flow rises with the
square root of the pressure (Bernoulli's law). Linear: flow in proportion to pressure, as it is commonly extrapolated
from expiration (Lujan M, Florez P, Pomares X, J Clin Med 2023;12:2692). Above the stated pressure the linear model
gives more, below it less. Flows in mL/s, pressures in cmH2O above ambient, times in s.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from rxlint.physiology.errors import computable, not_negative, ordered, positive

Model = Callable[[float, float, float], float]


@computable
def orifice_flow(stated_leak: float, stated_pressure: float, pressure: float) -> float:
    """Leak at a pressure by the square-root model."""
    _stated(stated_leak, stated_pressure, pressure)
    return stated_leak * math.sqrt(pressure / stated_pressure)


@computable
def linear_flow(stated_leak: float, stated_pressure: float, pressure: float) -> float:
    """Leak at a pressure by the linear model."""
    _stated(stated_leak, stated_pressure, pressure)
    return stated_leak * pressure / stated_pressure


@computable
def orifice_mean(
    stated_leak: float,
    stated_pressure: float,
    ipap: float,
    epap: float,
    inspiratory_time: float,
    expiratory_time: float,
) -> float:
    """Mean leak over a breath of two pressure levels, by time, square-root model."""
    return _mean(orifice_flow, (stated_leak, stated_pressure), (ipap, epap), (inspiratory_time, expiratory_time))


@computable
def linear_mean(
    stated_leak: float,
    stated_pressure: float,
    ipap: float,
    epap: float,
    inspiratory_time: float,
    expiratory_time: float,
) -> float:
    """Mean leak over a breath of two pressure levels, by time, linear model."""
    return _mean(linear_flow, (stated_leak, stated_pressure), (ipap, epap), (inspiratory_time, expiratory_time))


@computable
def orifice_capacity(stated_leak: float, stated_pressure: float, epap: float, expiratory_time: float) -> float:
    """Volume (mL) that a port passes in expiration at the expiratory pressure, square-root model.

    It is to be compared with the tidal volume: a port that passes less cannot clear what is breathed out.
    """
    positive(expiratory_time=expiratory_time)
    return orifice_flow(stated_leak, stated_pressure, epap) * expiratory_time


@computable
def linear_capacity(stated_leak: float, stated_pressure: float, epap: float, expiratory_time: float) -> float:
    """Volume (mL) that a port passes in expiration at the expiratory pressure, linear model."""
    positive(expiratory_time=expiratory_time)
    return linear_flow(stated_leak, stated_pressure, epap) * expiratory_time


def _stated(stated_leak: float, stated_pressure: float, pressure: float) -> None:
    positive(stated_leak=stated_leak, stated_pressure=stated_pressure)
    not_negative(pressure=pressure)


def _mean(
    model: Model, stated: tuple[float, float], pressures: tuple[float, float], times: tuple[float, float]
) -> float:
    (ipap, epap), (inspiratory_time, expiratory_time) = pressures, times
    not_negative(ipap=ipap, epap=epap)
    ordered("EPAP", epap, "IPAP", ipap)
    positive(inspiratory_time=inspiratory_time, expiratory_time=expiratory_time)
    # As a mean of two weighted flows, so that it never lies outside them by a rounding.
    share = inspiratory_time / (inspiratory_time + expiratory_time)
    low = model(*stated, epap)
    return low + (model(*stated, ipap) - low) * share
