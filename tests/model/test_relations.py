"""`keep` lines: what defines a term, what narrows, and the two views of a kept term."""

from fractions import Fraction

import pytest

from rxlint.expressions import Missing
from rxlint.model.facts import AS_WRITTEN
from tests.documents import allowed, facts, in_unit, prescription, told

KEEP = "keep pressure support = inspiratory pressure - PEEP"


def test_as_allowed_a_kept_term_is_what_its_relation_makes_of_it() -> None:
    lines = (
        "PEEP 5 cmH2O allow 4 to 6 cmH2O",
        "inspiratory pressure 17 cmH2O above ambient allow 15 to 20 cmH2O",
        "pressure support 12 cmH2O above PEEP allow 10 to 15 cmH2O",
    )
    found = facts(prescription(*lines, KEEP))
    assert "pressure support" not in found.axes and "pressure support" in found.formulas
    assert allowed(found, "pressure support") == (9, 16)
    assert allowed(found, "supported peak - inspiratory pressure") == (0, 0)
    axis = found.axes["pressure support" + AS_WRITTEN]
    assert told(axis.low, axis.high, axis.as_set) == (10, 15, 12)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("pressure support 13 cmH2O", 13),
        ("pressure support 13 cmH2O above PEEP allow 10 to 15 cmH2O", 13),
    ],
)
def test_as_set_a_kept_term_is_what_is_written(line: str, expected: int) -> None:
    found = facts(prescription("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient", line, KEEP))
    assert in_unit(found.as_set.value("pressure support")) == expected
    assert allowed(found, "pressure support") == (12, 12)


def test_as_set_a_kept_pressure_above_peep_is_what_is_written() -> None:
    lines = ("PEEP 5 cmH2O", "inspiratory pressure 10 cmH2O above PEEP", "pressure support 12 cmH2O")
    found = facts(prescription(*lines, "keep inspiratory pressure = supported peak"))
    assert in_unit(found.as_set.value("inspiratory pressure")) == 15
    assert allowed(found, "inspiratory pressure") == (17, 17)


def test_a_kept_term_that_is_not_stated_comes_from_its_relation_in_both_views() -> None:
    found = facts(prescription("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient", KEEP))
    assert in_unit(found.as_set.value("pressure support")) == 12
    assert in_unit(found.as_set.value("supported peak")) == 17
    assert not found.is_stated("pressure support")


def test_a_condition_narrows_and_defines_nothing() -> None:
    found = facts(prescription("PEEP 4 to 8 cmH2O", "keep PEEP >= 6 cmH2O", kind="template"))
    assert found.relations.definitions == ()
    assert len(found.space.constraints) == 1
    assert found.axes["PEEP"].low == 4


def test_a_second_definition_of_a_term_narrows() -> None:
    lines = ("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient", "pressure support 12 cmH2O")
    found = facts(prescription(*lines, KEEP, "keep pressure support = 12 cmH2O"))
    assert [each.target for each in found.relations.definitions] == ["pressure support"]
    assert [each.text for each in found.relations.conditions] == ["pressure support = 12 cmH2O"]


@pytest.mark.parametrize(
    "relations",
    [
        ("keep PEEP = PEEP + 1 cmH2O",),
        (KEEP, "keep inspiratory pressure = PEEP + pressure support"),
        ("keep pressure support = supported peak - PEEP",),
        (
            "keep rate = 60 /min - rate of",
            "keep inspiratory time = cycle time / 3",
            "keep rate = 1 / (3 * inspiratory time)",
        ),
    ],
    ids=["itself", "two lines", "a derived term", "two lines and a derived term"],
)
def test_a_ring_defines_nothing_and_is_marked(relations: tuple[str, ...]) -> None:
    found = facts(prescription("PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient", *relations))
    circular = [each for each in found.relations.definitions if each.circular]
    assert len(circular) == len(found.relations.definitions) >= 1
    for each in circular:
        assert each.target is not None
        assert found.formulas.get(each.target) is not each.node
    for key in found.formulas:
        found.as_set.value(key)  # ends


def test_chains_without_a_ring_are_followed() -> None:
    lines = ("PEEP 5 cmH2O", "keep inspiratory pressure = 3 * PEEP", KEEP)
    found = facts(prescription(*lines))
    assert in_unit(found.as_set.value("pressure support")) == 10
    assert not any(each.circular for each in found.relations.definitions)


def test_what_cannot_be_read_is_kept_with_its_problem() -> None:
    found = facts(prescription("PEEP 5 cmH2O", "keep PEEP = 5", "keep PEEPP > 3 cmH2O"))
    assert [each.text for each in found.relations.unreadable] == ["PEEP = 5", "PEEPP > 3 cmH2O"]
    assert found.relations.unreadable[1].problems[0].suggestions[0] == "PEEP"
    assert found.space.constraints == ()
    assert found.as_set.value("PEEP") == Fraction(5)


def test_a_kept_term_lacks_what_its_relation_lacks() -> None:
    value = facts(prescription("PEEP 5 cmH2O", KEEP)).as_set.value("pressure support")
    assert isinstance(value, Missing) and value.terms == {"inspiratory pressure"}
