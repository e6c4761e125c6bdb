"""Lung and power: filling and emptying as printed, and the coefficients that printed formulas carry.

A coefficient is laid bare by inputs of one; nothing here evaluates a formula by hand.
"""

import math

import pytest

from rxlint.physiology import lung, power, pressures

NEVER = 1e-9

# Per cent of the volume that is inhaled or exhaled after 1 to 4 time constants.
PARTS = [(1, 63), (2, 86), (3, 95), (4, 98)]


@pytest.mark.published("scribd.com 446780791, calculating time constants: 63, 86, 95 and 98 % inhaled or exhaled")
@pytest.mark.parametrize(("constants", "percent"), PARTS)
def test_filling_and_emptying_under_pressure_control(constants: int, percent: int) -> None:
    # Compliance, pressure and time constants of one: a full breath is one.
    filled = lung.pc_tidal_volume(1, 1, 1, 1, constants, 40)
    emptied = lung.pc_tidal_volume(1, 1, 1, 1, 40, constants)
    assert 100 * filled == pytest.approx(percent, abs=0.6)
    assert 100 * emptied == pytest.approx(percent, abs=0.6)


@pytest.mark.published(
    "coefficient of the printed formula: en.wikipedia.org, mean airway pressure, 0.5 x (PIP - PEEP) x Ti/Ttot"
)
def test_a_straight_rise_counts_half() -> None:
    ramp = pressures.mean_airway_pressure_ramp(1, 0, 1, 1) / pressures.mean_airway_pressure_square(1, 0, 1, 1)
    assert ramp == pytest.approx(0.5)
    # Constant flow against no resistance is that straight rise.
    breath = lung.vc_mean_airway_pressure(1, 1, NEVER, NEVER, 1, 0, 1, 0)
    assert breath / pressures.mean_airway_pressure_square(1, 0, 1, 1) == pytest.approx(0.5)


@pytest.mark.published(
    "coefficients of the printed formulas: Gattinoni L et al., Intensive Care Med 2016;42:1567-75, 0.5 x elastance and "
    "0.5 x (plateau - PEEP) (digest)"
)
def test_elastic_work_counts_half() -> None:
    assert power.vc_power(1, 1, 1, NEVER, 0.5, 0) == pytest.approx(0.5)
    assert power.vc_power_from_pressures(1, 1, 1, 1, 0) == pytest.approx(0.5)


def lost(pressure: float, compliance: float, k: float) -> float:
    """Work that a rise time takes from a breath, with k = R C / rise time."""
    volume = 2 * pressure * compliance
    full = power.pc_power(1, volume, pressure, 0)
    return full - power.pc_power_with_rise_time(1, volume, pressure, 0, compliance, k / compliance, 1)


# 0.098 x RR x ((dP + PEEP) x Vt - dP^2 x C x (0.5 - k + k^2 (1 - e^(-1/k)))), k = R C / rise time.
@pytest.mark.published(
    "coefficients of the printed formula: Becher T et al., Intensive Care Med 2019;45:1321-3 (digest)"
)
def test_coefficients_of_the_loss_by_a_rise_time() -> None:
    assert lost(1, 1, NEVER) == pytest.approx(0.5)
    assert math.log10(lost(10, 1, NEVER) / lost(1, 1, NEVER)) == pytest.approx(2)  # the exponent of dP
    k = 0.01  # so small that e^(-1/k) is nothing
    assert math.log(lost(1, 1, k) - 0.5 + k, k) == pytest.approx(2)  # the exponent of k
