"""Mechanical power: against the printed formulas in their own units, and against work by integration."""

import math

import pytest
from scipy.integrate import quad

from rxlint.physiology import power
from rxlint.units import UNITS

JOULE_A_MINUTE = UNITS["J/min"].scale


def test_volume_control_agrees_with_the_printed_form_and_with_measured_pressures() -> None:
    # Litres, minutes, I:E and 0.098, as printed: Gattinoni L et al., Intensive Care Med 2016;42:1567-75.
    rate, volume, elastance, resistance, peep, ratio = 20, 0.42, 12 / 0.42, 10, 10, 0.42 / (3 - 0.42)
    printed = (
        0.098 * rate * (volume**2 * (elastance / 2 + rate * (1 + ratio) / (60 * ratio) * resistance) + volume * peep)
    )
    ours = power.vc_power(20 / 60, 420, 420 / 12, 0.010, 0.42, 10) / JOULE_A_MINUTE
    assert ours == pytest.approx(printed, rel=1e-3)  # 0.098 stands for 0.0980665
    assert ours == pytest.approx(21.403, rel=1e-3)
    short = power.vc_power_from_pressures(20 / 60, 420, 32, 22, 10) / JOULE_A_MINUTE
    assert short == pytest.approx(ours, rel=1e-9)


def test_pressure_control_agrees_with_the_printed_forms() -> None:
    # As printed: Becher T et al., Intensive Care Med 2019;45:1321-3.
    k = 10 * 0.035 / 0.2
    loss = 14**2 * 0.035 * (0.5 - k + k**2 * (1 - math.exp(-1 / k)))
    simple = power.pc_power(20 / 60, 420, 14, 10) / JOULE_A_MINUTE
    assert simple == pytest.approx(0.098 * 20 * 0.42 * 24, rel=1e-3)
    risen = power.pc_power_with_rise_time(20 / 60, 420, 14, 10, 35, 0.010, 0.2) / JOULE_A_MINUTE
    assert risen == pytest.approx(0.098 * 20 * (24 * 0.42 - loss), rel=1e-3)


@pytest.mark.parametrize("rise_time", [0.02, 0.1, 0.349, 0.351, 0.7])
def test_the_loss_of_a_rise_time_is_work_not_done(rise_time: float) -> None:
    """Work of a pressure that rises in a straight line and then holds, against the same volume at full pressure."""
    compliance, resistance, pressure, peep, ti = 35.0, 0.010, 14.0, 10.0, 3.0
    tau = resistance * compliance

    def flow(time: float) -> float:
        ramp = compliance * pressure / rise_time
        if time < rise_time:
            return ramp * (1 - math.exp(-time / tau))
        return ramp * (1 - math.exp(-rise_time / tau)) * math.exp(-(time - rise_time) / tau)

    def work(time: float) -> float:
        return (peep + pressure * min(time / rise_time, 1)) * flow(time)

    volume = quad(flow, 0, rise_time)[0] + quad(flow, rise_time, ti)[0]
    energy = quad(work, 0, rise_time)[0] + quad(work, rise_time, ti)[0]
    ours = power.pc_power_with_rise_time(1.0, volume, pressure, peep, compliance, resistance, rise_time)
    assert ours == pytest.approx(energy, rel=1e-7)


def test_no_rise_time_is_the_simplified_form() -> None:
    given = (0.3, 400.0, 12.0, 8.0)
    assert power.pc_power_with_rise_time(*given, 30.0, 0.01, 0.0) == power.pc_power(*given)


def test_both_branches_of_the_loss_meet() -> None:
    below, above = (
        power.pc_power_with_rise_time(1.0, 400.0, 12.0, 8.0, 100.0, 0.01, rise) for rise in (0.9999999, 1.0)
    )
    assert below == pytest.approx(above, rel=1e-6)
