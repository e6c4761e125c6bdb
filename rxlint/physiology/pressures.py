"""Pressure arithmetic (cmH2O): references of an inspiratory pressure, driving pressure, mean airway pressure."""

from __future__ import annotations

from rxlint.physiology.errors import computable, not_negative, ordered, positive


@computable
def above_ambient(pressure_above_peep: float, peep: float) -> float:
    """An inspiratory pressure above ambient, from one above PEEP."""
    not_negative(pressure_above_peep=pressure_above_peep, peep=peep)
    return pressure_above_peep + peep


@computable
def above_peep(pressure_above_ambient: float, peep: float) -> float:
    """An inspiratory pressure above PEEP, from one above ambient. Raises OutOfDomain if it lies below PEEP."""
    not_negative(pressure_above_ambient=pressure_above_ambient, peep=peep)
    ordered("PEEP", peep, "inspiratory pressure above ambient", pressure_above_ambient)
    return pressure_above_ambient - peep


@computable
def driving_pressure(plateau: float, total_peep: float) -> float:
    """Plateau less total PEEP (set and intrinsic). For a passive patient only."""
    not_negative(plateau=plateau, total_peep=total_peep)
    ordered("total PEEP", total_peep, "plateau", plateau)
    return plateau - total_peep


@computable
def driving_pressure_of_volume(volume: float, compliance: float) -> float:
    """Driving pressure of a tidal volume (mL) in a compliance (mL/cmH2O). For a passive patient only."""
    positive(volume=volume, compliance=compliance)
    return volume / compliance


@computable
def mean_airway_pressure_square(peak: float, peep: float, inspiratory_time: float, expiratory_time: float) -> float:
    """Mean airway pressure of a rectangular pressure wave; pressures above ambient, times in s."""
    return peep + (peak - peep) * _share(peak, peep, inspiratory_time, expiratory_time)


@computable
def mean_airway_pressure_ramp(peak: float, peep: float, inspiratory_time: float, expiratory_time: float) -> float:
    """Mean airway pressure of a constant-flow breath taken as a straight rise from PEEP to peak: half the rise.

    It leaves out the step that resistance adds at the start of flow, so it is too low where resistance is high;
    `lung.vc_mean_airway_pressure` has the step.
    """
    return peep + (peak - peep) / 2 * _share(peak, peep, inspiratory_time, expiratory_time)


def _share(peak: float, peep: float, inspiratory_time: float, expiratory_time: float) -> float:
    not_negative(peak=peak, peep=peep)
    ordered("PEEP", peep, "peak", peak)
    positive(inspiratory_time=inspiratory_time, expiratory_time=expiratory_time)
    return inspiratory_time / (inspiratory_time + expiratory_time)
