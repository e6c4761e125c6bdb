"""Gas exchange, humidity and gas volumes against values that others have published; what is worked by hand says so."""

import pytest

from rxlint.physiology import OutOfDomain, carbon_dioxide, humidity, oxygenation, severity
from rxlint.units import UNITS

MMHG = UNITS["mmHg"].scale
KPA = UNITS["kPa"].scale
L_MIN = UNITS["L/min"].scale
MG_L = UNITS["mg/L"].scale


@pytest.mark.published(
    "sample values of primidi.com, alveolar gas equation; dennishuang.com, notes on the oxygen cascade"
)
def test_alveolar_oxygen_full_form() -> None:
    # primidi.com: 107 mmHg from FiO2 0.21, 760, 47 and 36 mmHg and 0.8.
    full = oxygenation.alveolar_oxygen_full(0.21, 760 * MMHG, 36 * MMHG, 0.8) / MMHG
    assert full == pytest.approx(107, abs=0.5)
    # dennishuang.com: the correction of the full form is about 2 mmHg at a PaCO2 of 40.
    short, full = (
        form(0.21, 760 * MMHG, 40 * MMHG, 0.8) / MMHG
        for form in (oxygenation.alveolar_oxygen, oxygenation.alveolar_oxygen_full)
    )
    assert full - short == pytest.approx(2, abs=0.15)


def test_alveolar_oxygen() -> None:
    # By hand: 0.5 x 713 - 60 / 0.8.
    assert oxygenation.alveolar_oxygen(0.5, 760 * MMHG, 60 * MMHG, 0.8) / MMHG == pytest.approx(281.5)
    # At an FiO2 of 1 nitrogen plays no part, so nor does the quotient: PB - 47 - PaCO2 (by hand).
    for quotient in (0.7, 0.8, 1.0, 1.2):
        assert oxygenation.alveolar_oxygen_full(1, 760 * MMHG, 40 * MMHG, quotient) / MMHG == pytest.approx(673)


def test_ratio_of_oxygen_tension() -> None:
    # By hand: 8.7 kPa at 0.5 are 17.4 kPa, 130.5 mmHg.
    assert oxygenation.pf_ratio(8.7 * KPA, 0.5) / MMHG == pytest.approx(130.5, abs=0.05)
    assert oxygenation.sf_ratio(0.92, 0.4) == pytest.approx(230)


# onlycalculators.com, oxygenation index: FiO2 0.60, 12 cmH2O, 70 mmHg give about 10.3; a second example of the same
# kind, 20 cmH2O, 0.60 and 60 mmHg, gives 20.
@pytest.mark.parametrize(
    ("pressure", "fraction", "tension", "index", "within"), [(12, 0.6, 70, 10.3, 0.05), (20, 0.6, 60, 20.0, 1e-9)]
)
@pytest.mark.published("onlycalculators.com, oxygenation index, and a second example of the same kind")
def test_oxygenation_index(pressure: float, fraction: float, tension: float, index: float, within: float) -> None:
    assert oxygenation.oxygenation_index(pressure, fraction, tension * MMHG) == pytest.approx(index, abs=within)


def test_saturation_and_rox_index() -> None:
    # By hand: 15 x 0.5 x 100 / 92, 14 x 0.6 x 100 / 92, 92 / 0.6 / 32 and 96 / 0.4 / 22.
    assert oxygenation.saturation_index(15, 0.5, 0.92) == pytest.approx(8.15, abs=0.005)
    assert oxygenation.saturation_index(14, 0.6, 0.92) == pytest.approx(9.13, abs=0.005)
    assert oxygenation.rox_index(0.92, 0.6, 32 / 60) == pytest.approx(4.79, abs=0.005)
    assert oxygenation.rox_index(0.96, 0.4, 22 / 60) == pytest.approx(10.91, abs=0.005)
    assert oxygenation.rox_index(1.0, 0.5, 0.5) > 0  # it has no limit of 97 %


# Ranieri VM et al., JAMA 2012;307:2526-33: mild 200 < ratio <= 300, moderate 100 < ratio <= 200, severe <= 100 mmHg,
# each with 5 cmH2O or more. In kPa 40, 26.7 and 13.3.
@pytest.mark.parametrize(
    ("ratio", "name"),
    [
        (300.1, "none"),
        (300, "mild"),
        (200.1, "mild"),
        (200, "moderate"),
        (100.1, "moderate"),
        (100, "severe"),
        (65, "severe"),
    ],
)
@pytest.mark.published("Berlin definition: Ranieri VM et al., JAMA 2012;307:2526-33, table")
def test_berlin_classes(ratio: float, name: str) -> None:
    assert severity.berlin_class(ratio * MMHG, 5) == name


def test_berlin_classes_in_kilopascals_and_without_pressure() -> None:
    assert severity.berlin_class(40.1 * KPA, 5) == "none"
    assert severity.berlin_class(39.9 * KPA, 5) == "mild"
    assert severity.berlin_class(13.3 * KPA, 8) == "severe"
    assert severity.berlin_class(oxygenation.pf_ratio(120 * MMHG, 0.6), 5) == "moderate"  # 200 by way of a quotient


@pytest.mark.published(
    "Berlin definition: Ranieri VM et al., JAMA 2012;307:2526-33, table: PEEP or CPAP of 5 cmH2O or more"
)
def test_berlin_class_from_5_cmh2o_on() -> None:
    assert severity.berlin_class(150 * MMHG, 5.0) == "moderate"
    with pytest.raises(OutOfDomain, match="5 cmH2O or more"):
        severity.berlin_class(150 * MMHG, 4.9)


# Consensus of 2015, PMC6589490 table 1: index 4 to under 8, 8 to under 16, 16 and above; by saturation 5, 7.5 and 12.3.
# Consensus of 2023 (Pediatr Crit Care Med 2023;24:143-68): from 4 or 5 on, severe from 16 or 12 on.
@pytest.mark.parametrize(
    ("function", "index", "name"),
    [
        (severity.first_paediatric_class, 3.99, "none"),
        (severity.first_paediatric_class, 4, "mild"),
        (severity.first_paediatric_class, 7.99, "mild"),
        (severity.first_paediatric_class, 8, "moderate"),
        (severity.first_paediatric_class, 15.99, "moderate"),
        (severity.first_paediatric_class, 16, "severe"),
        (severity.first_paediatric_class_by_saturation, 4.99, "none"),
        (severity.first_paediatric_class_by_saturation, 5, "mild"),
        (severity.first_paediatric_class_by_saturation, 7.49, "mild"),
        (severity.first_paediatric_class_by_saturation, 7.5, "moderate"),
        (severity.first_paediatric_class_by_saturation, 12.29, "moderate"),
        (severity.first_paediatric_class_by_saturation, 12.3, "severe"),
        (severity.second_paediatric_class, 3.99, "none"),
        (severity.second_paediatric_class, 4, "mild to moderate"),
        (severity.second_paediatric_class, 15.99, "mild to moderate"),
        (severity.second_paediatric_class, 16, "severe"),
        (severity.second_paediatric_class_by_saturation, 4.99, "none"),
        (severity.second_paediatric_class_by_saturation, 5, "mild to moderate"),
        (severity.second_paediatric_class_by_saturation, 11.99, "mild to moderate"),
        (severity.second_paediatric_class_by_saturation, 12, "severe"),
    ],
)
@pytest.mark.published(
    "paediatric consensus of 2015, PMC6589490 table 1, and of 2023, Pediatr Crit Care Med 2023;24:143-68 (digest)"
)
def test_paediatric_classes(function, index: float, name: str) -> None:  # type: ignore[no-untyped-def]
    assert function(index) == name


@pytest.mark.published("pulmtools.com, desired minute ventilation; medicalalgorithms.com, ventilator rate")
def test_ventilation_and_rate_for_a_tension() -> None:
    # 55 to 40 mmHg at 8.0 L/min asks for 11.0 L/min; a rate of 10 at 60 mmHg becomes 15 for 40 mmHg.
    assert carbon_dioxide.ventilation_for(8 * L_MIN, 55 * MMHG, 40 * MMHG) / L_MIN == pytest.approx(11.0)
    assert carbon_dioxide.rate_for(10 / 60, 60 * MMHG, 40 * MMHG) * 60 == pytest.approx(15)


def test_carbon_dioxide_against_ventilation() -> None:
    # ozemedicine.com: carbon dioxide output of 200 mL/min and a constant of 0.863. By hand 0.863 x 200 / 4.315 = 40.0.
    tension = carbon_dioxide.paco2_of_output(0.2 * L_MIN, 4.315 * L_MIN)
    assert tension / MMHG == pytest.approx(40.0, abs=0.05)
    # 0.863 mmHg (L/min)/(mL/min) is 760 mmHg with the volume of dry gas at 0 degrees C taken to 37 degrees C.
    one = carbon_dioxide.paco2_of_output(0.001 * L_MIN, 1 * L_MIN)
    assert one / MMHG == pytest.approx(760 * (310.15 / 273.15) / 1000, rel=5e-4)
    # By hand: 450 mL, dead space 150 mL, 16 a minute are 4.8 L/min; from 60 to 45 mmHg that is 6.4 L/min, 550 mL.
    assert carbon_dioxide.alveolar_ventilation(16 / 60, 450, 150) / L_MIN == pytest.approx(4.8)
    volume = carbon_dioxide.volume_for(450, 150, 60 * MMHG, 45 * MMHG)
    assert volume == pytest.approx(550)
    assert carbon_dioxide.alveolar_ventilation(16 / 60, volume, 150) / L_MIN == pytest.approx(6.4)
    assert carbon_dioxide.paco2_after(60 * MMHG, 4.8 * L_MIN, 6.4 * L_MIN) / MMHG == pytest.approx(45)


def test_dead_space() -> None:
    # By hand: 70 kg, 420 mL and a device of 50 mL leave 216 mL; a rate of 20 must become 24.6 to make up for it.
    anatomical = carbon_dioxide.anatomical_dead_space(70)
    assert anatomical == pytest.approx(154)
    assert carbon_dioxide.alveolar_ventilation(1, 420, anatomical + 50) == pytest.approx(216)
    rate = carbon_dioxide.rate_for_added_dead_space(20 / 60, 420, anatomical, 50)
    assert 60 * rate == pytest.approx(24.6, abs=0.05)
    assert carbon_dioxide.alveolar_ventilation(20 / 60, 420, 154) / L_MIN == pytest.approx(5.32)
    assert carbon_dioxide.alveolar_ventilation(rate, 420, 204) / L_MIN == pytest.approx(5.32)
    with pytest.raises(OutOfDomain, match="takes the whole tidal volume"):
        carbon_dioxide.alveolar_ventilation(1, 30, 30)


# medicalalgorithms.com, measured and relative humidity at a specified temperature: degrees C, mg/L of saturated air,
# and vapour pressure in mmHg. The table at 19, 20, 30, 32 to 34, 37, 40 and 41 degrees, as it stands there.
SATURATED = [
    (19, 16.3, 16.5), (20, 17.3, 17.5), (30, 30.4, 31.7), (32, 33.8, 35.5), (33, 35.6, 37.6), (34, 37.6, 39.8),
    (37, 43.9, 46.9), (40, 51.1, 55.1), (41, 53.7, 58.1),
]  # fmt: skip


@pytest.mark.parametrize(("temperature", "water", "pressure"), SATURATED)
@pytest.mark.published("medicalalgorithms.com, measured and relative humidity at a specified temperature, table")
def test_saturated_air(temperature: float, water: float, pressure: float) -> None:
    assert humidity.saturated_humidity(temperature) / MG_L == pytest.approx(water, rel=0.006)
    assert humidity.saturated_vapour_pressure(temperature) / MMHG == pytest.approx(pressure, rel=0.006)
    assert humidity.relative_humidity(water * MG_L, temperature) == pytest.approx(1, rel=0.006)


# Handbook of Chemistry and Physics, 62nd edition, 1981, as printed in appendix one of a book of the United Nations
# University: degrees C, g/m3, millibar.
@pytest.mark.parametrize(
    ("temperature", "water", "pressure"),
    [(0, 4.86, 6.11), (10, 9.42, 12.28), (20, 17.33, 23.40), (30, 30.43, 42.48), (34, 37.66, 53.26)],
)
@pytest.mark.published("Handbook of Chemistry and Physics, 62nd edition, 1981, table")
def test_saturated_air_of_the_handbook(temperature: float, water: float, pressure: float) -> None:
    assert humidity.saturated_humidity(temperature) / MG_L == pytest.approx(water, rel=0.006)
    hectopascals = humidity.saturated_vapour_pressure(temperature) / UNITS["hPa"].scale
    assert hectopascals == pytest.approx(pressure, rel=0.006)


@pytest.mark.published("table behind get_btps_factor of the package rslab; ld99.com for body to standard conditions")
def test_gas_volumes_of_published_tables() -> None:
    # Table behind the function get_btps_factor of the package rslab (760 mmHg): 20, 21 and 22 degrees C.
    for temperature, factor in ((20, 1.102), (21, 1.096), (22, 1.091)):
        ours = humidity.body_volume_of_saturated(1000, temperature, 760 * MMHG) / 1000
        assert ours == pytest.approx(factor, abs=0.0006)
    # ld99.com: from body to standard conditions 0.8262.
    assert humidity.standard_volume_of_body(1000, 760 * MMHG) / 1000 == pytest.approx(0.8262, abs=0.00005)


def test_gas_volumes() -> None:
    # By hand, dry gas at 20 and 23 degrees C: 760 / 713 x 310.15 / 293.15 and / 296.15.
    assert humidity.body_volume_of_dry(1, 20, 760 * MMHG) == pytest.approx(1.1277, abs=5e-5)
    assert humidity.body_volume_of_dry(1, 23, 760 * MMHG) == pytest.approx(1.1163, abs=5e-5)
    # Gas of the body's own conditions stays as it is.
    assert humidity.body_volume_of_saturated(1, 37, 760 * MMHG) == pytest.approx(1, abs=5e-5)


def test_limits_of_the_gas_formulas() -> None:
    # Fractions and per cent: 21 without a unit, 0.4 % and 1.2 are no FiO2.
    assert oxygenation.pf_ratio(100, 1) == 100
    for fio2 in (21, 0.004, 1.2, 1.01):
        with pytest.raises(OutOfDomain, match="FiO2 is a fraction"):
            oxygenation.pf_ratio(100, fio2)
    with pytest.raises(OutOfDomain, match="at most 100 %"):
        oxygenation.rox_index(1.01, 0.5, 0.5)
    for quotient in (0.6, 1.3):
        assert oxygenation.alveolar_oxygen(0.5, 1000, 50, quotient) > 0
    for quotient in (0.59, 1.31):
        with pytest.raises(OutOfDomain, match="respiratory quotient"):
            oxygenation.alveolar_oxygen(0.5, 1000, 50, quotient)
    with pytest.raises(OutOfDomain, match="no oxygen is left"):
        oxygenation.alveolar_oxygen(0.21, 760 * MMHG, 130 * MMHG, 0.8)
    with pytest.raises(OutOfDomain, match="warmer than the body"):
        humidity.body_volume_of_saturated(1, 37.1, 1000)
    with pytest.raises(OutOfDomain, match="below the vapour pressure"):
        humidity.body_volume_of_dry(1, 20, 47 * MMHG)
