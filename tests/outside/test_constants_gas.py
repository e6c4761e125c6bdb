"""Numbers of gas exchange and humidity, each against a value that its source prints; nothing here is worked by hand."""

import pytest

from rxlint.physiology import OutOfDomain, carbon_dioxide, humidity, oxygen, oxygenation
from rxlint.units import UNITS

MMHG = UNITS["mmHg"].scale
L_MIN = UNITS["L/min"].scale


# FiO2 0.21, quotient 0.8, vapour 47 mmHg. The page's question at FiO2 0.40 turns 50 / 0.8 into 40 and is left out.
@pytest.mark.published("respcalc.com, alveolar gas equation questions 1 and 3")
@pytest.mark.parametrize(("barometric", "paco2", "alveolar"), [(760, 40, 99.73), (700, 38, 89.63)])
def test_alveolar_oxygen_short_form(barometric: float, paco2: float, alveolar: float) -> None:
    ours = oxygenation.alveolar_oxygen(0.21, barometric * MMHG, paco2 * MMHG, 0.8) / MMHG
    assert ours == pytest.approx(alveolar, abs=0.005)


# mdicu.com: 80 mmHg at 40 % are 200 mmHg. ehow.com, how to calculate the ratio: 92 mmHg at 0.32 are 287.5 mmHg.
@pytest.mark.published("mdicu.com, oxygenation index; ehow.com, how to calculate the ratio of PaO2 to FiO2")
@pytest.mark.parametrize(("tension", "fraction", "ratio"), [(80, 0.4, 200), (92, 0.32, 287.5)])
def test_ratio_of_tension(tension: float, fraction: float, ratio: float) -> None:
    assert oxygenation.pf_ratio(tension * MMHG, fraction) / MMHG == pytest.approx(ratio)


# Documentation of the R package phoenix: 92 / 0.21 = 438.0952; of the R package cliot: 88 / 0.6 = 146.7.
@pytest.mark.published("documentation of the R packages phoenix (phoenix_respiratory) and cliot (sf_ratio)")
@pytest.mark.parametrize(
    ("saturation", "fraction", "ratio", "within"), [(0.92, 0.21, 438.0952, 5e-5), (0.88, 0.6, 146.7, 0.05)]
)
def test_ratio_of_saturation(saturation: float, fraction: float, ratio: float, within: float) -> None:
    assert oxygenation.sf_ratio(saturation, fraction) == pytest.approx(ratio, abs=within)


@pytest.mark.published("Pediatr Crit Care Med 2015;16:428-39 (pages from memory): SpO2 of 97 % or less")
def test_saturation_stands_for_tension_up_to_97_per_cent() -> None:
    assert oxygenation.saturation_index(10, 0.5, 0.97) > 0
    with pytest.raises(OutOfDomain, match="only up to 97 %"):
        oxygenation.saturation_index(10, 0.5, 0.98)
    with pytest.raises(OutOfDomain, match="only up to 97 %"):
        oxygenation.sf_ratio(0.98, 0.5)


@pytest.mark.published("medicalalgorithms.com, oxygen saturation index: FIO2 from 0.21 to 1.00")
def test_fractions_go_from_air_to_pure_oxygen() -> None:
    assert oxygenation.fraction_of_oxygen(0.21) == 0.21
    assert oxygenation.fraction_of_oxygen(1.00) == 1.00
    for fraction in (0.20, 1.01):
        with pytest.raises(OutOfDomain, match="FiO2 is a fraction"):
            oxygenation.fraction_of_oxygen(fraction)


@pytest.mark.published("Loewen C, high flow calculations, 2009: 10 L/min of air with 6 L/min of oxygen; parts for 70 %")
def test_mixtures_of_air_and_oxygen() -> None:
    assert oxygen.mixed_fraction(6 * L_MIN, 16 * L_MIN) == pytest.approx(0.506, abs=0.0005)
    # 1.63 parts of oxygen to one of air.
    part = oxygen.oxygen_for_fraction(0.70, 2.63 * L_MIN) / L_MIN
    assert part == pytest.approx(1.63, abs=0.005)


@pytest.mark.published("ozemedicine.com, hypoxia: the conversion constant is 0.863 mmHg (L/min)/(mL/min)")
def test_tension_of_one_millilitre_of_carbon_dioxide() -> None:
    ours = carbon_dioxide.paco2_of_output(0.001 * L_MIN, 1 * L_MIN) / MMHG
    assert ours == pytest.approx(0.863, abs=0.0005)


@pytest.mark.published(
    "Brewer LM, Orr JA, Pace NL, Respir Care 2008;53:885-91: textbooks teach about 1 mL for every pound"
)
def test_dead_space_of_150_pounds() -> None:
    assert carbon_dioxide.anatomical_dead_space(150 * UNITS["lb"].scale) == pytest.approx(150, rel=0.005)


@pytest.mark.published("Magnus form, WMO-No. 8, for water, -45 to 60 degrees C (range from memory)")
def test_vapour_pressure_is_stated_up_to_60_degrees() -> None:
    # hydro-wiki.de, saturated vapour pressure, after the same guide: 0.6112 kPa at 0 degrees.
    assert humidity.saturated_vapour_pressure(0) / UNITS["kPa"].scale == pytest.approx(0.6112)
    assert humidity.saturated_vapour_pressure(60) > 0
    with pytest.raises(OutOfDomain, match="up to 60 degrees"):
        humidity.saturated_vapour_pressure(60.1)


@pytest.mark.published("definition of body conditions: 37 degrees C, saturated, where the factor to them is 1")
def test_gas_warmer_than_the_body_is_refused() -> None:
    assert humidity.body_volume_of_saturated(1, 37, 760 * MMHG) == pytest.approx(1.000, abs=0.0005)
    with pytest.raises(OutOfDomain, match="warmer than the body"):
        humidity.body_volume_of_saturated(1, 37.1, 760 * MMHG)
