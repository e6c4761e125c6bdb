"""Cylinders and suction catheters, each against a value that its source prints; nothing here is worked by hand."""

import pytest

from rxlint.physiology import cylinders, suction
from rxlint.units import UNITS

L_MIN = UNITS["L/min"].scale
LITRE = UNITS["L"].scale
PSI = UNITS["psi"].scale
KPA = UNITS["kPa"].scale
MM = UNITS["mm"].scale


def litres(letter: str, country: str, pressure: float) -> float:
    found = cylinders.contents_of_letter(letter, country, pressure)
    assert found is not None
    return found / LITRE


@pytest.mark.published("Lutman D, Petros AJ, Emerg Med J 2006;23:703-4: contents and pressures of D, CD and F")
@pytest.mark.parametrize(
    ("letter", "contents", "pressure"), [("D", 340, 13_700), ("CD", 460, 23_000), ("F", 1360, 13_700)]
)
def test_british_letters(letter: str, contents: float, pressure: float) -> None:
    assert litres(letter, "UK", pressure * KPA) == pytest.approx(contents)
    cylinder = cylinders.CYLINDERS["UK", letter]
    assert (cylinder.least, cylinder.most) == (contents, contents)


@pytest.mark.published("theexpeditiondoc.com, life span of an oxygen cylinder: contents of D, E, F, G and J")
@pytest.mark.parametrize(("letter", "contents"), [("D", 340), ("E", 680), ("F", 1360), ("G", 3400), ("J", 6800)])
def test_contents_of_british_letters(letter: str, contents: float) -> None:
    cylinder = cylinders.CYLINDERS["UK", letter]
    assert (cylinder.least, cylinder.most) == (contents, contents)


# Litres for each psi on the gauge. The page reckons with a full cylinder of 2000 psi, 13 790 kPa, the tables with
# 13 700: two thirds of a per cent apart. C stands in this table and not in that of contents.
@pytest.mark.published("theexpeditiondoc.com, life span of an oxygen cylinder: conversion factors in L/psi")
@pytest.mark.parametrize(
    ("letter", "factor"), [("C", 0.085), ("D", 0.17), ("E", 0.34), ("F", 0.68), ("G", 1.7), ("J", 3.4)]
)
def test_conversion_factors_of_british_letters(letter: str, factor: float) -> None:
    assert litres(letter, "UK", 1 * PSI) == pytest.approx(factor, rel=0.008)


# Litres for each psi: D 0.16, E 0.28, G 2.41, H and K 3.14, M 1.56.
@pytest.mark.published("turk.globalbizfin.com 1017018860, duration of an oxygen cylinder: factors in L/psi")
@pytest.mark.parametrize(
    ("letter", "factor"), [("D", 0.16), ("E", 0.28), ("G", 2.41), ("H", 3.14), ("K", 3.14), ("M", 1.56)]
)
def test_conversion_factors_of_american_letters(letter: str, factor: float) -> None:
    assert litres(letter, "US", 1 * PSI) == pytest.approx(factor)


@pytest.mark.published("costcalculator.calculator.city, oxygen tank duration: E at 1200 psi less 200 psi is 280 L")
def test_contents_above_a_residual() -> None:
    assert litres("E", "US", 1200 * PSI) - litres("E", "US", 200 * PSI) == pytest.approx(280)


@pytest.mark.published(
    "ehow.co.uk, how to calculate oxygen cylinder duration: a full E of 2200 psi at 2 L/min, 308 minutes"
)
def test_a_full_american_cylinder() -> None:
    cylinder = cylinders.CYLINDERS["US", "E"]
    assert cylinder.full_pressure == pytest.approx(2200 * PSI)
    time = cylinders.duration(cylinder.least * LITRE, 0, 2 * L_MIN)
    assert cylinders.whole_minutes(time) == 308


# A bronchoscope of 5.7 mm fills 40 % of the area of a tube of 9 mm, 51 % of 8 mm and 66 % of 7 mm. The geometry is that
# of a catheter.
@pytest.mark.published("Lindholm CE et al., Crit Care Med 1978;6:223-7, as quoted in reviews (from memory)")
@pytest.mark.parametrize(("tube", "per_cent"), [(9, 40), (8, 51), (7, 66)])
def test_area_that_a_round_instrument_fills(tube: float, per_cent: float) -> None:
    assert 100 * suction.catheter_area_ratio(5.7 * MM, tube * MM) == pytest.approx(per_cent, abs=0.5)
