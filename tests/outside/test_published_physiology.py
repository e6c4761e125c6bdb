"""Values that others have published, each with its source."""

import pytest

from rxlint.physiology import body, lung, pressures, timing, volumes

# ARDS Network chart of predicted body weight and tidal volume (N Engl J Med 2000;342:1301-8, and the network's chart).
# The chart is of the inch form, 2.3 kg/in, from which 0.91 kg/cm differs by 0.0114 kg for each inch from 60 in.
# Rows: sex, height in inches, predicted weight in kg, tidal volume in mL at 6 mL/kg.
CHART = [
    ("F", 55, 34.0, 204), ("F", 60, 45.5, 273), ("F", 62, 50.1, 301), ("F", 64, 54.7, 328), ("F", 66, 59.3, 356),
    ("F", 68, 63.9, 383), ("F", 70, 68.5, 411), ("M", 60, 50.0, 300), ("M", 64, 59.2, 355), ("M", 68, 68.4, 410),
    ("M", 70, 73.0, 438), ("M", 72, 77.6, 466), ("M", 76, 86.8, 521),
]  # fmt: skip


@pytest.mark.published("ARDS Network chart of predicted body weight and tidal volume (layout from memory)")
@pytest.mark.parametrize(("sex", "inches", "weight", "volume"), CHART)
def test_predicted_weight_chart(sex: str, inches: int, weight: float, volume: int) -> None:
    function = body.predicted_weight_female if sex == "F" else body.predicted_weight_male
    ours = function(inches * 2.54)
    assert ours == pytest.approx(weight, abs=0.0115 * abs(inches - 60) + 1e-9)
    # The chart rounds to whole mL; the two forms add six times their difference.
    assert volumes.volume_of_weight(6, ours) == pytest.approx(volume, abs=0.5 + 6 * 0.0115 * abs(inches - 60) + 1e-9)


@pytest.mark.published("ARDS Network, N Engl J Med 2000;342:1301-8: coefficients of the formula in cm")
def test_predicted_weight_at_the_reference_height_is_the_constant() -> None:
    # ARDS Network, N Engl J Med 2000;342:1301-8: 50 or 45.5 kg and 0.91 kg for each cm from 152.4 cm.
    assert body.predicted_weight_male(152.4) == 50.0
    assert body.predicted_weight_female(152.4) == 45.5


def test_predicted_weights_by_hand() -> None:
    assert body.predicted_weight_male(175) == pytest.approx(70.57, abs=0.005)
    assert body.predicted_weight_female(160) == pytest.approx(52.42, abs=0.005)


# Emptied after 1 to 5 time constants: Intensive Care Med Exp 2024, doi 10.1186/s40635-024-00612-z.
@pytest.mark.published(
    "Intensive Care Med Exp 2024, doi 10.1186/s40635-024-00612-z: emptied after 1 to 5 time constants"
)
@pytest.mark.parametrize(("constants", "percent"), [(1, 63), (2, 86), (3, 95), (4, 98), (5, 99)])
def test_emptying(constants: int, percent: int) -> None:
    assert 100 * (1 - timing.fraction_left(constants * 0.5, 0.5)) == pytest.approx(percent, abs=0.6)


# Comments on the use of expiratory time constant for determinations of plateau pressure, respiratory system compliance,
# and total resistance. Crit Care 2013, doi 10.1186/cc12561, table 1, true values of two simulated patients: volume
# control at constant flow, 0.65 L, expiration 2.4 s, no set PEEP. R in cmH2O/(L/s), C in L/cmH2O.
@pytest.mark.published("Crit Care 2013, doi 10.1186/cc12561, table 1: true values of two simulated patients")
@pytest.mark.parametrize(
    ("resistance", "compliance", "time_constant", "plateau"), [(5, 0.05, 0.25, 13), (21, 0.095, 1.995, 9.78)]
)
def test_simulated_patients(resistance: float, compliance: float, time_constant: float, plateau: float) -> None:
    assert timing.time_constant(resistance / 1000, compliance * 1000) == pytest.approx(time_constant, rel=1e-9)
    ours = lung.vc_plateau(650, compliance * 1000, resistance / 1000, 2.4, 0)
    assert ours == pytest.approx(plateau, abs=0.005)


# Identities of the breath cycle, worked by hand: rate a minute, Ti, cycle, Te, Te/Ti, duty cycle in per cent.
CYCLES = [
    (12, 1.2, 5.0, 3.8, 3.17, 24.0), (15, 1.0, 4.0, 3.0, 3.0, 25.0), (16, 1.2, 3.75, 2.55, 2.13, 32.0),
    (20, 1.0, 3.0, 2.0, 2.0, 33.3), (30, 0.7, 2.0, 1.3, 1.86, 35.0), (35, 1.0, 1.714, 0.714, 0.71, 58.3),
    (40, 0.5, 1.5, 1.0, 2.0, 33.3), (60, 0.5, 1.0, 0.5, 1.0, 50.0),
]  # fmt: skip


@pytest.mark.parametrize("row", CYCLES)
def test_cycle_identities(row: tuple[int, float, float, float, float, float]) -> None:
    rate, ti, cycle, te, expiratory_part, duty = row
    assert timing.cycle_time(rate / 60) == pytest.approx(cycle, abs=5e-4)
    assert timing.expiratory_time(rate / 60, ti) == pytest.approx(te, abs=5e-4)
    assert 100 * timing.duty_cycle(rate / 60, ti) == pytest.approx(duty, abs=0.05)
    ratio = timing.ratio_at_rate(rate / 60, ti)
    assert 1 / ratio == pytest.approx(expiratory_part, abs=0.005)
    assert timing.ratio_of_times(ti, timing.expiratory_time(rate / 60, ti)) == pytest.approx(ratio, rel=1e-12)
    assert timing.inspiratory_time(ratio, rate / 60) == pytest.approx(ti, rel=1e-12)


def test_pressure_arithmetic() -> None:
    # Hand-worked from the definitions: above ambient 18 on PEEP 6; a plateau of 28 on 10; 420 mL in 30 mL/cmH2O.
    assert pressures.above_peep(18, 6) == 12
    assert pressures.above_ambient(12, 6) == 18
    assert pressures.driving_pressure(28, 10) == 18
    assert pressures.driving_pressure_of_volume(420, 30) == 14
    assert volumes.static_compliance(500, 15, 5) == 50
    assert volumes.minute_volume(16 / 60, 450) * 60 == pytest.approx(7200)
    assert volumes.volume_per_weight(420, 70) == 6
    # (Ti x peak + Te x PEEP) / (Ti + Te), with peak 20, PEEP 5, rate 20 a minute and Ti 1 s; half the rise for a ramp.
    assert pressures.mean_airway_pressure_square(20, 5, 1, 2) == pytest.approx(10)
    assert pressures.mean_airway_pressure_ramp(20, 5, 1, 2) == pytest.approx(7.5)
