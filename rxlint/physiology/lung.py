"""One linear compartment, passive, in steady state, under pressure control (pc) and constant-flow volume control (vc).

The compartment has compliance C, resistance Ri in inspiration and Re in expiration. p is the alveolar pressure above
set PEEP; it is also the volume above that at PEEP, divided by C. Steady state means that a cycle ends where it began.
Put u = Ti/(Ri C), v = Te/(Re C), x = e^-u, y = e^-v. Expiration, at PEEP: Re C p' = -p, so p ends y times as high.

Pressure control, pressure dP above PEEP for Ti: Ri C p' = dP - p, so p_end = dP (1 - x) + x p_0; and p_0 = y p_end.
  p_end = dP (1 - x) / (1 - x y),  p_0 = y p_end (intrinsic PEEP),  Vt = C (p_end - p_0).
  With a = 1 - x and b = 1 - y: 1 - x y = a + b - a b, whence Vt = C dP / (1/a + 1/b - 1), and because
  1/(1 - e^-u) = 1/2 + coth(u/2)/2,  Vt = 2 C dP / (coth(u/2) + coth(v/2)).

Volume control, volume Vt at constant flow for a flow time Tf, then a pause Tp: p rises by Vt/C and stays there.
  p_0 = y (p_0 + Vt/C), so p_0 = (Vt/C) / (e^v - 1) and p_end = p_0 + Vt/C = (Vt/C) / (1 - e^-v).
  Peak = plateau + Ri Vt/Tf, since the flow still runs when p reaches p_end.

Means over a cycle: Paw - Palv = R times flow, and the flow of a phase sums to Vt (or -Vt), so the mean airway pressure
less the mean alveolar pressure is (Ri - Re) Vt / T, T being the length of the cycle.

The same tidal volume, intrinsic PEEP and means of pressure-preset ventilation are treated in Marini JJ, Crooke PS,
Truwit JD, J Appl Physiol 1989;67:1081-92; the equations here are derived from the assumptions above, not copied.
"""

from __future__ import annotations

import math

from rxlint.physiology.errors import computable, not_negative, positive


@computable
def pc_tidal_volume(
    compliance: float,
    inspiratory_resistance: float,
    expiratory_resistance: float,
    pressure_above_peep: float,
    inspiratory_time: float,
    expiratory_time: float,
) -> float:
    """Tidal volume (mL) under pressure control."""
    u, v = _pc_times(
        compliance,
        inspiratory_resistance,
        expiratory_resistance,
        pressure_above_peep,
        inspiratory_time,
        expiratory_time,
    )
    return 2 * compliance * pressure_above_peep / (1 / math.tanh(u / 2) + 1 / math.tanh(v / 2))


@computable
def pc_intrinsic_peep(
    compliance: float,
    inspiratory_resistance: float,
    expiratory_resistance: float,
    pressure_above_peep: float,
    inspiratory_time: float,
    expiratory_time: float,
) -> float:
    """Intrinsic PEEP (cmH2O above set PEEP) under pressure control."""
    u, v = _pc_times(
        compliance,
        inspiratory_resistance,
        expiratory_resistance,
        pressure_above_peep,
        inspiratory_time,
        expiratory_time,
    )
    return pressure_above_peep * math.exp(-v) * math.expm1(-u) / math.expm1(-u - v)


@computable
def pc_end_inspiratory_pressure(
    compliance: float,
    inspiratory_resistance: float,
    expiratory_resistance: float,
    pressure_above_peep: float,
    inspiratory_time: float,
    expiratory_time: float,
    peep: float,
) -> float:
    """Alveolar pressure at the end of inspiration (cmH2O above ambient) under pressure control."""
    not_negative(peep=peep)
    u, v = _pc_times(
        compliance,
        inspiratory_resistance,
        expiratory_resistance,
        pressure_above_peep,
        inspiratory_time,
        expiratory_time,
    )
    return peep + pressure_above_peep * math.expm1(-u) / math.expm1(-u - v)


@computable
def pc_mean_alveolar_pressure(
    compliance: float,
    inspiratory_resistance: float,
    expiratory_resistance: float,
    pressure_above_peep: float,
    inspiratory_time: float,
    expiratory_time: float,
    peep: float,
) -> float:
    """Mean alveolar pressure (cmH2O above ambient) under pressure control."""
    not_negative(peep=peep)
    volume = pc_tidal_volume(
        compliance,
        inspiratory_resistance,
        expiratory_resistance,
        pressure_above_peep,
        inspiratory_time,
        expiratory_time,
    )
    surplus = (expiratory_resistance - inspiratory_resistance) * volume
    return peep + (pressure_above_peep * inspiratory_time + surplus) / (inspiratory_time + expiratory_time)


@computable
def vc_inspiratory_time(volume: float, flow: float, pause: float) -> float:
    """Inspiratory time (s) of a volume (mL) at constant flow (mL/s), with its pause (s)."""
    positive(volume=volume, flow=flow)
    not_negative(pause=pause)
    return volume / flow + pause


@computable
def vc_intrinsic_peep(volume: float, compliance: float, expiratory_resistance: float, expiratory_time: float) -> float:
    """Intrinsic PEEP (cmH2O above set PEEP) under volume control; the pattern of inspiration makes no difference."""
    positive(
        volume=volume,
        compliance=compliance,
        expiratory_resistance=expiratory_resistance,
        expiratory_time=expiratory_time,
    )
    v = expiratory_time / (expiratory_resistance * compliance)
    # y / (1 - y) rather than 1 / (e^v - 1), which overflows where the lung has long been empty.
    return volume / compliance * math.exp(-v) / -math.expm1(-v)


@computable
def vc_plateau(
    volume: float, compliance: float, expiratory_resistance: float, expiratory_time: float, peep: float
) -> float:
    """Plateau pressure (cmH2O above ambient) under volume control, intrinsic PEEP included."""
    not_negative(peep=peep)
    return peep + vc_intrinsic_peep(volume, compliance, expiratory_resistance, expiratory_time) + volume / compliance


@computable
def vc_peak(
    volume: float,
    compliance: float,
    inspiratory_resistance: float,
    expiratory_resistance: float,
    flow: float,
    expiratory_time: float,
    peep: float,
) -> float:
    """Peak airway pressure (cmH2O above ambient) under volume control at constant flow (mL/s)."""
    positive(inspiratory_resistance=inspiratory_resistance, flow=flow)
    plateau = vc_plateau(volume, compliance, expiratory_resistance, expiratory_time, peep)
    return plateau + inspiratory_resistance * flow


@computable
def vc_mean_alveolar_pressure(
    volume: float,
    compliance: float,
    expiratory_resistance: float,
    flow_time: float,
    pause: float,
    expiratory_time: float,
    peep: float,
) -> float:
    """Mean alveolar pressure (cmH2O above ambient) under volume control; the flow lasts flow_time (s), then a pause."""
    held = _held(volume, compliance, expiratory_resistance, flow_time, pause, expiratory_time)
    not_negative(peep=peep)
    return peep + (held + expiratory_resistance * volume) / (flow_time + pause + expiratory_time)


@computable
def vc_mean_airway_pressure(
    volume: float,
    compliance: float,
    inspiratory_resistance: float,
    expiratory_resistance: float,
    flow_time: float,
    pause: float,
    expiratory_time: float,
    peep: float,
) -> float:
    """Mean airway pressure (cmH2O above ambient) under volume control; the flow lasts flow_time (s), then a pause."""
    held = _held(volume, compliance, expiratory_resistance, flow_time, pause, expiratory_time)
    positive(inspiratory_resistance=inspiratory_resistance)
    not_negative(peep=peep)
    return peep + (held + inspiratory_resistance * volume) / (flow_time + pause + expiratory_time)


def _pc_times(
    compliance: float,
    inspiratory_resistance: float,
    expiratory_resistance: float,
    pressure_above_peep: float,
    inspiratory_time: float,
    expiratory_time: float,
) -> tuple[float, float]:
    """Inspiratory and expiratory time in time constants, after checking the domain."""
    positive(
        compliance=compliance,
        inspiratory_resistance=inspiratory_resistance,
        expiratory_resistance=expiratory_resistance,
        pressure_above_peep=pressure_above_peep,
        inspiratory_time=inspiratory_time,
        expiratory_time=expiratory_time,
    )
    return (
        inspiratory_time / (inspiratory_resistance * compliance),
        expiratory_time / (expiratory_resistance * compliance),
    )


def _held(
    volume: float,
    compliance: float,
    expiratory_resistance: float,
    flow_time: float,
    pause: float,
    expiratory_time: float,
) -> float:
    """Integral of p over flow time and pause (cmH2O s)."""
    positive(flow_time=flow_time)
    not_negative(pause=pause)
    start = vc_intrinsic_peep(volume, compliance, expiratory_resistance, expiratory_time)
    rise = volume / compliance
    return (start + rise / 2) * flow_time + (start + rise) * pause
