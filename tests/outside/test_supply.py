"""Leak, oxygen, cylinders and suction against values that others have published; what is worked by hand says so."""

import math

import pytest

from rxlint.physiology import OutOfDomain, cylinders, leak, oxygen, suction
from rxlint.units import UNITS

L_MIN = UNITS["L/min"].scale
LITRE = UNITS["L"].scale
PSI = UNITS["psi"].scale
KPA = UNITS["kPa"].scale
FRENCH = UNITS["Fr"].scale
MM = UNITS["mm"].scale

# Borel JC et al., Chest 2009;135:669-77: vented masks leaked 30 to 45 L/min at an inspiratory pressure of 14 cmH2O and
# an expiratory one of 4. The other flows are worked by hand, flow being in proportion to the square root.
ORIFICE = [
    (2, 11.34, 17.01),
    (4, 16.04, 24.05),
    (5, 17.93, 26.89),
    (10, 25.35, 38.03),
    (14, 30, 45),
    (25, 40.09, 60.13),
]


@pytest.mark.parametrize(("pressure", "low", "high"), ORIFICE)
def test_flow_through_an_orifice(pressure: float, low: float, high: float) -> None:
    for stated, expected in ((30, low), (45, high)):
        ours = leak.orifice_flow(stated * L_MIN, 14, pressure) / L_MIN
        assert ours == pytest.approx(expected, abs=0.006)


def test_the_models_meet_at_the_stated_pressure_and_part_elsewhere() -> None:
    assert leak.linear_flow(30, 14, 14) == leak.orifice_flow(30, 14, 14) == 30
    assert leak.linear_flow(30, 14, 7) == 15
    assert leak.linear_flow(30, 14, 4) < leak.orifice_flow(30, 14, 4)
    assert leak.linear_flow(30, 14, 25) > leak.orifice_flow(30, 14, 25)


def test_mean_leak_and_capacity() -> None:
    # By hand from the flows above, 14 over 4 cmH2O, 1 s of 4 s: (30 x 1 + 16.04 x 3) / 4, (45 x 1 + 24.05 x 3) / 4.
    assert leak.orifice_mean(30 * L_MIN, 14, 14, 4, 1, 3) / L_MIN == pytest.approx(19.53, abs=0.01)
    assert leak.orifice_mean(45 * L_MIN, 14, 14, 4, 1, 3) / L_MIN == pytest.approx(29.29, abs=0.01)
    assert leak.linear_mean(28 * L_MIN, 14, 14, 4, 1, 3) / L_MIN == pytest.approx((28 + 3 * 8) / 4)
    # 16.04 L/min for 3 s and for 1 s, 11.34 L/min for 3 s.
    assert leak.orifice_capacity(30 * L_MIN, 14, 4, 3) == pytest.approx(802, abs=0.5)
    assert leak.orifice_capacity(30 * L_MIN, 14, 4, 1) == pytest.approx(267, abs=0.5)
    assert leak.orifice_capacity(30 * L_MIN, 14, 2, 3) == pytest.approx(567, abs=0.5)
    assert leak.linear_capacity(28 * L_MIN, 14, 4, 3) == pytest.approx(8 / 60 * 3 * 1000)
    assert leak.orifice_capacity(500, 14, 0, 3) == 0
    with pytest.raises(OutOfDomain, match="EPAP"):
        leak.orifice_mean(500, 14, 4, 14, 1, 3)


def test_mixing() -> None:
    # medicalalgorithms.com, FIO2 from ventilatory minute volume and oxygen flow rate: (air x 0.21 + oxygen) / total.
    for total, flow in ((8, 2), (10, 4), (40, 10), (8, 0), (8, 8)):
        published = ((total - flow) * 0.21 + flow) / total
        assert oxygen.mixed_fraction(flow * L_MIN, total * L_MIN) == pytest.approx(published)
    # By hand: 0.4075, 0.526; back again 1.924, 2.962 and 10 L/min.
    assert oxygen.mixed_fraction(2 * L_MIN, 8 * L_MIN) == pytest.approx(0.4075)
    assert oxygen.mixed_fraction(4 * L_MIN, 10 * L_MIN) == pytest.approx(0.526)
    for fraction, volume, needed in ((0.4, 8, 1.924), (0.6, 6, 2.962), (1.0, 10, 10.0), (0.21, 6, 0.0)):
        assert oxygen.oxygen_for_fraction(fraction, volume * L_MIN) / L_MIN == pytest.approx(needed, abs=0.0005)
    with pytest.raises(OutOfDomain, match="oxygen flow"):
        oxygen.mixed_fraction(9, 8)


def test_mixing_with_leak() -> None:
    # By hand: 4 L/min into 8 L/min are 0.605, with 24 L/min of leak 0.309. Thys F et al., Eur Respir J 2002;19:653-7,
    # found on leak circuits that more than 0.30 takes a very high oxygen flow.
    assert oxygen.mixed_fraction_with_leak(4 * L_MIN, 8 * L_MIN, 0) == pytest.approx(0.605)
    assert oxygen.mixed_fraction_with_leak(4 * L_MIN, 8 * L_MIN, 24 * L_MIN) == pytest.approx(0.309, abs=0.0005)
    # 32 x 0.19 / 0.79 = 7.70 L/min for 0.4, where the rule by minute volume alone says 3.2.
    need = oxygen.oxygen_for_fraction_with_leak(0.4, 8 * L_MIN, 24 * L_MIN) / L_MIN
    assert need == pytest.approx(7.70, abs=0.005)
    assert oxygen.generous_draw(0.4, 8 * L_MIN) / L_MIN == pytest.approx(3.2)


def test_the_generous_draw_is_never_below_the_true_one() -> None:
    for fraction in (0.21, 0.4, 0.6, 0.8, 1.0):
        assert oxygen.generous_draw(fraction, 100) >= oxygen.oxygen_for_fraction(fraction, 100)
    assert oxygen.generous_draw(1, 100) == pytest.approx(oxygen.oxygen_for_fraction(1, 100))


@pytest.mark.published("frcemexam.com, oxygen requirements for patient transfer; irescue.uk, transfer equipment")
def test_transfers() -> None:
    # frcemexam.com, oxygen requirements for patient transfer: 10 L/min for 16 minutes, doubled, are 320 L; 6 L/min at
    # 0.6 with 0.5 L/min of driving gas for 60 minutes, doubled, are 492 L.
    assert oxygen.transfer_need(10 * L_MIN, 0, 16 * 60, 2) / LITRE == pytest.approx(320)
    draw = oxygen.generous_draw(0.6, 6 * L_MIN)
    assert oxygen.transfer_need(draw, 0.5 * L_MIN, 3600, 2) / LITRE == pytest.approx(492)
    # irescue.uk, transfer equipment: 15 L/min for 30 minutes are 450 L, doubled 900 L.
    assert oxygen.transfer_need(15 * L_MIN, 0, 1800, 1) / LITRE == pytest.approx(450)
    assert oxygen.transfer_need(15 * L_MIN, 0, 1800, 2) / LITRE == pytest.approx(900)


def test_a_factor_below_one_is_refused() -> None:
    with pytest.raises(OutOfDomain, match="short of its own need"):
        oxygen.transfer_need(10, 0, 60, 0.9)


# Published worked durations: full contents in L at a full pressure in psi, pressure, residual, L/min, minutes.
# - 288 L and 576 min: D, 0.16 L/psi, 2000 psi, residual 200, 0.5 L/min (citing the American Academy of Orthopaedic
#   Surgeons for the residual)
# - 70 min: E, 0.28 L/psi, 1200 psi, residual 200, 4 L/min (costcalculator.calculator.city, oxygen tank duration)
# - 308 min: E, 2200 psi, 2 L/min (ehow.co.uk, how to calculate oxygen cylinder duration)
# - 28 min: E of 660 L at 1900 psi, 500 psi, 6 L/min, rounded down (manuelsweb.com, after Nagelhout JJ, Zaglaniczy KL,
#   Nurse Anesthesia, 2001)
DURATIONS = [
    (0.16 * 2200, 2200, 2000, 200, 0.5, 576),
    (0.28 * 2200, 2200, 1200, 200, 4, 70),
    (0.28 * 2200, 2200, 2200, 0, 2, 308),
    (660, 1900, 500, 0, 6, 28),
]


@pytest.mark.published(
    "worked durations: turk.globalbizfin.com, costcalculator.calculator.city, ehow.co.uk, manuelsweb.com"
)
@pytest.mark.parametrize(("full", "full_at", "pressure", "residual", "flow", "minutes"), DURATIONS)
def test_cylinder_durations(
    full: float, full_at: float, pressure: float, residual: float, flow: float, minutes: int
) -> None:
    usable = cylinders.usable_contents(full * LITRE, full_at * PSI, pressure * PSI, residual * PSI)
    time = cylinders.duration(usable, 0, flow * L_MIN)
    assert cylinders.whole_minutes(time) == minutes


def test_reserve_residual_and_rounding() -> None:
    usable = cylinders.usable_contents(352 * LITRE, 2200 * PSI, 2000 * PSI, 200 * PSI)
    assert usable / LITRE == pytest.approx(288)  # as published above
    assert cylinders.duration(usable, usable / 2, 0.5 * L_MIN) / 60 == pytest.approx(288)
    # British style by hand, whole contents: 340 / 15 = 22.7, 680 / 2 = 340, 1360 / 15 = 90.7.
    for litres, flow, minutes in ((340, 15, 22), (680, 2, 340), (1360, 15, 90)):
        assert cylinders.whole_minutes(cylinders.duration(litres * LITRE, 0, flow * L_MIN)) == minutes
    assert cylinders.whole_minutes(59.999) == 0
    assert cylinders.whole_minutes(math.nextafter(60, 0)) == 1  # a rounding, not a second
    with pytest.raises(OutOfDomain, match="residual pressure"):
        cylinders.usable_contents(1000, 100, 10, 20)
    with pytest.raises(OutOfDomain, match="reserve"):
        cylinders.duration(100, 101, 1)


# Lutman D, Petros AJ, Emerg Med J 2006;23:703-4: D 340 L and F 1360 L at 13 700 kPa, CD 460 L at 23 000 kPa. E, G and
# J: theexpeditiondoc.com. American: 352, 616, 3432, 5302 and 6908 L are the published factors times 2200 psi.
@pytest.mark.parametrize(
    ("country", "letter", "litres", "pressure"),
    [
        ("UK", "D", 340, 13_700 * KPA),
        ("UK", "CD", 460, 23_000 * KPA),
        ("UK", "E", 680, 13_700 * KPA),
        ("UK", "F", 1360, 13_700 * KPA),
        ("UK", "G", 3400, 13_700 * KPA),
        ("UK", "J", 6800, 13_700 * KPA),
        ("US", "D", 352, 2200 * PSI),
        ("US", "E", 616, 2200 * PSI),
        ("US", "M", 3432, 2200 * PSI),
        ("US", "G", 5302, 2200 * PSI),
        ("US", "H", 6908, 2200 * PSI),
        ("US", "K", 6908, 2200 * PSI),
    ],
)
def test_letters(country: str, letter: str, litres: float, pressure: float) -> None:
    for part in (1.0, 0.5):
        found = cylinders.contents_of_letter(letter, country, part * pressure)
        assert found is not None
        assert found / LITRE == pytest.approx(part * litres, rel=1e-6)


# Table after the oxygen guideline of the Thoracic Society of Australia and New Zealand: litres, without a pressure.
@pytest.mark.published("table after the oxygen guideline of the Thoracic Society of Australia and New Zealand")
@pytest.mark.parametrize("country", ["AU", "NZ"])
def test_letters_without_a_pressure(country: str) -> None:
    table = {"C": (550, 550), "D": (1500, 1500), "E": (3800, 5200), "G": (7600, 8800)}
    for letter, (least, most) in table.items():
        cylinder = cylinders.CYLINDERS[country, letter]
        assert (cylinder.least, cylinder.most) == (least, most)
        assert cylinders.contents_of_letter(letter, country, 10_000 * KPA) is None


def test_a_letter_alone_says_nothing() -> None:
    assert cylinders.contents_of_letter("E", None, 13_700 * KPA) is None
    assert cylinders.contents_of_letter("E", "UK", None) is None
    assert cylinders.contents_of_letter("Q", "UK", 13_700 * KPA) is None
    british, tasman = (cylinders.CYLINDERS[country, "E"] for country in ("UK", "AU"))
    assert tasman.least / british.most > 5


def test_suction_catheters() -> None:
    # 1 Fr is a third of a millimetre (UCUM: [Ch] = mm/3). By hand: 10 Fr in 7.0 mm are 47.6 % and 22.7 %, 12 Fr in
    # 8.0 mm 50 % and 25 %, 14 Fr in 8.0 mm 58.3 % and 34.0 %.
    for french, tube, diameter, area in ((10, 7.0, 47.6, 22.7), (12, 8.0, 50.0, 25.0), (14, 8.0, 58.3, 34.0)):
        given = (french * FRENCH, tube * MM)
        assert 100 * suction.catheter_diameter_ratio(*given) == pytest.approx(diameter, abs=0.05)
        assert 100 * suction.catheter_area_ratio(*given) == pytest.approx(area, abs=0.05)
    # Russian CJ et al., Respir Care 2014: an area ratio of 50 % is a diameter ratio of 70 %.
    assert 100 * suction.catheter_area_ratio(0.7, 1) == pytest.approx(50, abs=1.5)


def test_rules_of_thumb_for_catheters_differ() -> None:
    # medicalalgorithms.com: the size below twice the inner diameter, 14 Fr for 8 mm and 8 or 9 Fr for 5 mm. It passes
    # half of the area and fails half of the diameter.
    for french, tube in ((14, 8), (9, 5), (8, 5)):
        assert suction.catheter_area_ratio(french * FRENCH, tube * MM) < 0.5
        assert suction.catheter_diameter_ratio(french * FRENCH, tube * MM) > 0.5
    # A page gives Fr = diameter / 2 + 0.4, 4.4 Fr for 8 mm: wrong by a factor, as half of the diameter is 12 Fr.
    assert suction.catheter_diameter_ratio(12 * FRENCH, 8 * MM) == pytest.approx(0.5)
    assert suction.catheter_diameter_ratio(4.4 * FRENCH, 8 * MM) < 0.2
