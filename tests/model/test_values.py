"""What a line says, as a value: fixed, free, or a formula over what is written."""

from fractions import Fraction

import pytest

from rxlint.expressions import Missing, Words
from rxlint.model.facts import AS_WRITTEN, Facts
from tests.documents import all_facts, allowed, facts, in_unit, prescription, told

PATIENT = "patient\n  sex female\n  height 160 cm\n  weight 60 kg measured 2026-10-30\n"
# 45.5 kg + 0.91 kg for each centimetre above 152.4 (ARDS Network. N Engl J Med 2000;342:1301-8)
PREDICTED = Fraction(455, 10) + Fraction(91, 100) * (160 - Fraction(1524, 10))


def missing(found: Facts, key: str) -> Missing:
    value = found.as_set.value(key)
    assert isinstance(value, Missing), value
    return value


def test_a_pressure_above_ambient_is_what_is_written() -> None:
    found = facts(prescription("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient"))
    assert in_unit(found.as_set.value("inspiratory pressure")) == 17
    assert in_unit(found.as_set.value("pressure above baseline")) == 12
    assert found.as_set.value("inspiratory pressure reference") == Words(frozenset({"ambient"}))


def test_a_pressure_above_peep_is_a_formula_over_peep() -> None:
    found = facts(prescription("PEEP 5 cmH2O", "inspiratory pressure 12 cmH2O above PEEP"))
    assert in_unit(found.constants["inspiratory pressure" + AS_WRITTEN]) == 12
    assert in_unit(found.as_set.value("inspiratory pressure")) == 17
    assert in_unit(found.as_set.with_value("PEEP", Fraction(8)).value("inspiratory pressure")) == 20


def test_a_pressure_above_peep_stays_tied_to_peep_over_ranges() -> None:
    lines = ("PEEP 4 to 8 cmH2O", "inspiratory pressure 12 to 20 cmH2O above PEEP")
    found = facts(prescription(*lines, kind="template"))
    assert allowed(found, "inspiratory pressure") == (16, 28)
    assert allowed(found, "pressure above baseline") == (12, 20)  # and not 8 to 24: the range is of what is written


def test_pressure_support_is_above_peep_and_a_two_level_order_above_ambient() -> None:
    found = facts(prescription("PEEP 5 cmH2O", "pressure support 10 cmH2O"))
    assert in_unit(found.as_set.value("supported peak")) == 15
    two = facts(prescription("EPAP 5 cmH2O", "IPAP 15 cmH2O"))
    assert in_unit(two.as_set.value("supported peak")) == 15
    assert in_unit(two.as_set.value("support above baseline")) == 10
    assert in_unit(two.as_set.value("pressure above baseline")) == 10


@pytest.mark.parametrize(
    ("basis", "weight"),
    [("predicted weight", PREDICTED), ("measured weight", Fraction(60))],
)
def test_a_value_per_kilogram_is_a_formula_over_its_weight(basis: str, weight: Fraction) -> None:
    found = facts(prescription(f"tidal volume 6 mL/kg of {basis}", before=PATIENT))
    assert in_unit(found.as_set.value("tidal volume")) == pytest.approx(6 * weight, rel=1e-12)
    assert found.as_set.value("tidal volume basis") == Words(frozenset({basis}))


@pytest.mark.parametrize("manner", ["estimated", "birth", "dry"])
def test_a_basis_is_taken_from_a_weight_known_that_way(manner: str) -> None:
    before = f"patient\n  weight 3 kg {manner} 2026-10-30\n"
    found = facts(prescription(f"tidal volume 5 mL/kg of {manner} weight", before=before))
    assert in_unit(found.as_set.value("tidal volume")) == 15
    other = facts(prescription("tidal volume 5 mL/kg of ideal weight", before=before))
    assert missing(other, "tidal volume").terms == {"ideal weight"}


def test_a_weight_that_is_missing_is_what_a_value_per_kilogram_lacks() -> None:
    found = facts(prescription("tidal volume 6 mL/kg of predicted weight", before="patient\n  sex female\n"))
    assert missing(found, "tidal volume").terms == {"patient height"}
    assert missing(facts(prescription("tidal volume 6 mL/kg of measured weight")), "tidal volume").terms == {
        "patient weight"
    }


def test_a_target_is_two_points_and_may_have_one_end() -> None:
    targets = "targets\n  SpO2 94 to 98 %\n  pH at least 7.3\n  plateau pressure up to 30 cmH2O\n  EtCO2 5 kPa\n"
    found = facts(prescription("PEEP 5 cmH2O", before=targets))
    assert in_unit(found.as_set.value("target low SpO2")) * 100 == 94
    assert in_unit(found.as_set.value("target high SpO2")) * 100 == 98
    assert in_unit(found.as_set.value("target low pH")) == Fraction(73, 10)
    assert missing(found, "target high pH").terms == {"target high pH"}
    assert missing(found, "target low plateau pressure").terms
    assert found.as_set.value("target low EtCO2") == found.as_set.value("target high EtCO2")


def test_a_target_per_kilogram_is_a_formula_over_its_weight() -> None:
    before = PATIENT + "targets\n  expired tidal volume 6 to 8 mL/kg of measured weight\n"
    found = facts(prescription("PEEP 5 cmH2O", before=before))
    assert in_unit(found.as_set.value("target low expired tidal volume")) == 360
    assert in_unit(found.as_set.value("target high expired tidal volume")) == 480


@pytest.mark.parametrize(
    ("line", "ends", "as_set"),
    [
        ("PEEP 5 cmH2O allow 4 to 8 cmH2O", (4, 8), 5),
        ("PEEP 4 to 8 cmH2O", (4, 8), None),
        ("PEEP up to 8 cmH2O", (0, 8), None),
        ("PEEP at least 8 cmH2O", (8, 40), None),
        ("PEEP 5 or 8 cmH2O", (5, 8), None),
        ("PEEP automatic between 4 and 8 cmH2O", (4, 8), None),
    ],
)
def test_what_may_vary_is_an_axis(line: str, ends: tuple[int, int], as_set: int | None) -> None:
    found = facts(prescription(line))
    axis = found.axes["PEEP"]
    assert told(axis.low, axis.high, axis.as_set) == (*ends, as_set)
    assert allowed(found, "PEEP") == ends
    if as_set is None:
        assert missing(found, "PEEP").reasons == ("PEEP is stated as a range",)


def test_steps_and_the_author_s_resolution_are_kept() -> None:
    axis = facts(prescription("PEEP 5 cmH2O allow 4 to 8 cmH2O in steps of 2 cmH2O")).axes["PEEP"]
    assert told(axis.step, axis.origin, axis.grid) == (2, 4, 1)
    assert facts(prescription("inspiratory time 0.8 to 1.25 s")).axes["inspiratory time"].grid == Fraction(1, 100)


def test_terms_stated_twice_or_unreadable_are_unknown_with_all_that_goes_with_them() -> None:
    found = facts(prescription("PEEP 5 cmH2O", "PEEP 7 cmH2O", "inspiratory pressure 17 cmH2O", "rate 20"))
    assert {"PEEP", "inspiratory pressure", "inspiratory pressure reference", "rate"} <= found.unreadable
    for key in ("PEEP", "inspiratory pressure", "rate"):
        assert missing(found, key).reasons == (f"{key} is stated but could not be read",)
        assert found.is_stated(key)
    assert missing(found, "cycle time").terms == {"rate"}
    window = facts(prescription("PEEP 5 cmH2O", before="targets\n  SpO2 94 to 98\n"))
    assert {"target low SpO2", "target high SpO2"} <= window.unreadable


def test_an_alarm_that_is_off_is_stated_without_a_value() -> None:
    found = facts(prescription("PEEP 5 cmH2O", before='alarms\n  low rate off because "by day"\n  power loss off\n'))
    assert found.off == {"alarm low rate"}
    assert found.is_stated("alarm low rate")
    assert missing(found, "alarm low rate").reasons == ("alarm low rate is switched off",)
    assert found.as_set.value("alarm power loss") == Words(frozenset({"off"}))


def test_words_left_open_are_silent_and_choices_are_an_axis() -> None:
    found = facts(prescription("PEEP 5 cmH2O", before="airway\n  interface tracheostomy\n"))
    value = found.as_set.value("interface")
    assert isinstance(value, Words) and value.stated == {"tracheostomy"} and "cuffed" in value.silent
    choice = facts(prescription("trigger flow or pressure", kind="template"))
    assert [option.stated for option in choice.axes["trigger"].options if isinstance(option, Words)] == [
        {"flow"},
        {"pressure"},
    ]


def test_each_mode_of_a_choice_has_facts_of_its_own() -> None:
    found = all_facts(prescription("mode A/C-PC or A/C-VC", kind="template"))
    assert [each.mode.code for each in found if each.mode] == ["A/C-PC", "A/C-VC"]
    assert [each.as_set.value("mode type") for each in found] == [Words(frozenset({"PC"})), Words(frozenset({"VC"}))]


def test_a_mode_that_cannot_be_read_leaves_its_parts_unknown() -> None:
    found = facts(prescription("mode A/C-XX", "PEEP 5 cmH2O"))
    assert found.mode is None
    assert {"mode", "mode pattern", "mode type", "mode support"} <= found.unreadable


def test_a_missing_thing_of_the_back_up_is_not_the_setting_s() -> None:
    text = prescription("rate 20 /min") + "back-up after apnoea 15 s\n  rate 12 /min\n"
    found = facts(text)
    assert in_unit(found.as_set.value("fallback rate")) * 60 == 12
    assert in_unit(found.as_set.value("rate")) * 60 == 20
    assert found.as_set.value("fallback delay") == 15
    assert found.is_stated("fallback block")
