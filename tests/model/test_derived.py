"""Derived terms: every way reads and has the term's dimension; which way is taken; what is lacking where none is."""

from fractions import Fraction

import pytest

from rxlint.expressions import Missing, NumberType, check
from rxlint.model.derived import DERIVED
from rxlint.model.facts import lacking
from rxlint.model.names import base_names, derived_terms, stated_types
from rxlint.units import find_unit, without_basis
from tests.documents import all_facts, facts, in_unit, prescription

KEYS = [each.key for each in DERIVED]


def test_names_are_not_used_twice() -> None:
    assert len(set(KEYS)) == len(KEYS)
    assert not set(KEYS) & stated_types().keys()


@pytest.mark.parametrize("key", KEYS)
def test_every_way_has_the_dimension_of_the_term(key: str) -> None:
    term = derived_terms()[key]
    wanted = base_names().type_of(key)
    assert isinstance(wanted, NumberType)
    plain = without_basis(wanted.dimension)
    assert term.unit.dimension == plain if term.unit is not None else not plain.exponents
    for way in term.ways:
        assert check(way.node, base_names()).type == wanted, way.text


@pytest.mark.parametrize("key", KEYS)
def test_every_term_says_what_it_means_and_where_each_way_is_from(key: str) -> None:
    term = derived_terms()[key]
    assert term.ways and len(term.means) > 8
    assert all(len(way.source) >= len("definition") for way in term.ways)


@pytest.mark.parametrize("key", KEYS)
def test_a_term_is_defined_after_the_terms_it_uses(key: str) -> None:
    """So one pass finds the first way that could ever be taken: a better one can't turn up later."""
    before = set(KEYS[: KEYS.index(key)])
    used = {each for way in derived_terms()[key].ways for each in way.keys}
    assert used & set(KEYS) <= before


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (("rate 20 /min", "inspiratory time 1 s", "I:E 1:1"), 1),
        (("rate 20 /min", "I:E 1:2"), 1),
        (("tidal volume 500 mL", "inspiratory flow 30 L/min", "inspiratory pause 0.5 s"), 1.5),
        (("tidal volume 500 mL", "inspiratory flow 30 L/min"), 1),
        (("inspiratory time 2 s", "tidal volume 500 mL", "inspiratory flow 30 L/min"), 2),
    ],
)
def test_the_first_way_whose_terms_are_there_is_taken(lines: tuple[str, ...], expected: float) -> None:
    assert in_unit(facts(prescription(*lines)).as_set.value("inspiration")) == pytest.approx(expected)


def test_a_way_whose_term_cannot_be_read_is_not_replaced_by_a_later_one() -> None:
    found = facts(prescription("rate 20 /min", "inspiratory time 1", "I:E 1:2"))
    value = found.as_set.value("inspiration")
    assert isinstance(value, Missing) and value.terms == {"inspiratory time"}


def test_readings_come_before_the_model() -> None:
    text = (
        prescription("PEEP 5 cmH2O")
        + 'readings at 2026-11-02 21:30 by "nurse"\n  plateau pressure 20 cmH2O\n  total PEEP 7 cmH2O\n'
    )
    without, read = all_facts(text)
    assert in_unit(read.as_set.value("driving pressure")) == 13
    assert isinstance(without.as_set.value("driving pressure"), Missing)


def test_power_counts_the_time_of_the_flow_without_the_pause() -> None:
    # Worked by hand from the published form (Intensive Care Med 2016;42:1567-75), 0.098 rounded there:
    # 0.098 x 26 x (0.44^2 x (1 / (2 x 0.04) + 8 / 0.6) + 0.44 x 10) = 23.95 J/min
    lines = (
        "mode A/C-VC", "PEEP 10 cmH2O", "tidal volume 440 mL", "rate 26 /min", "inspiratory flow 44 L/min",
        "inspiratory pause 0.3 s", "inspiratory time 0.9 s",
    )  # fmt: skip
    patient = "patient\n  compliance 40 mL/cmH2O\n  resistance 8 cmH2O/(L/s)\n"
    power = in_unit(facts(prescription(*lines, before=patient)).as_set.value("mechanical power"))
    joules = find_unit("J/min")
    assert joules is not None
    assert float(power / joules.factor) == pytest.approx(23.95, abs=0.03)


@pytest.mark.parametrize(
    ("stated", "centimetres"),
    [
        (("height 141 cm", "arm span 160 cm", "diagnosis chest wall"), 160),
        (("height 141 cm", "arm span 160 cm", "diagnosis neuromuscular, chest wall"), 160),
        (("height 141 cm", "diagnosis chest wall"), 141),
        (("arm span 160 cm", "diagnosis chest wall"), 160),
        (("height 156 cm", "arm span 160 cm", "diagnosis obstructive"), 156),
        (("height 156 cm", "arm span 160 cm"), 156),
        (("arm span 160 cm",), 160),
        (("height 156 cm", "arm span 160 kg", "diagnosis obstructive"), 156),
        (("height 156 cm", "arm span 160 kg"), 156),
    ],
)
def test_the_arm_span_stands_in_for_height(stated: tuple[str, ...], centimetres: int) -> None:
    """45.5 + 0.91 x (height - 152.4) for women: ARDS Network, N Engl J Med 2000;342:1301-8."""
    text = 'prescription "x"\npatient\n  sex female\n' + "".join(f"  {each}\n" for each in stated)
    found = in_unit(facts(text).as_set.value("predicted weight"))
    assert found == Fraction("45.5") + Fraction("0.91") * (centimetres - Fraction("152.4"))


def test_an_arm_span_that_cannot_be_read_is_not_passed_over_where_it_counts() -> None:
    lines = "  sex female\n  height 141 cm\n  arm span 160 kg\n  diagnosis chest wall\n"
    value = facts(f'prescription "x"\npatient\n{lines}').as_set.value("predicted weight")
    assert isinstance(value, Missing)
    assert value.terms == {"patient arm span"}


@pytest.mark.parametrize(
    ("lines", "key", "expected"),
    [
        (("PEEP 5 cmH2O",), "PEEP", {"PEEP"}),
        (("rate 20 /min",), "expiratory time", {"inspiratory time"}),
        ((), "cycle time", {"rate"}),
        (("PEEP 5 cmH2O",), "supported peak", {"pressure support"}),
        (("rate 20 /min",), "duty cycle", {"inspiratory time"}),
        ((), "predicted weight", {"patient sex", "patient height"}),
        (("tidal volume 400 mL",), "volume per measured weight", {"patient weight"}),
    ],
)
def test_lacking_names_the_stated_terms_that_the_nearest_way_needs(
    lines: tuple[str, ...], key: str, expected: set[str]
) -> None:
    found = facts(prescription(*lines))
    assert lacking(found, key) == expected
    assert lacking(found, key) <= stated_types().keys()


@pytest.mark.parametrize("key", KEYS)
def test_an_empty_document_lacks_stated_terms_only(key: str) -> None:
    found = facts('prescription "x"\n')
    value = found.as_set.value(key)
    assert isinstance(value, Missing)
    assert value.terms and value.terms <= stated_types().keys()
