"""What fits together and what does not: weights and literals, each mistake told once, and what it stands for."""

from __future__ import annotations

import pytest

from rxlint.expressions import check, nodes, read_condition, read_number
from rxlint.expressions.names import BoolType, ListType, NumberType, Type
from rxlint.units import NUMBER, PRESSURE, VOLUME, WEIGHT, Dimension
from tests.expressions.invented import ASSEMBLY, MODES, NAMES, InventedNames

PER_KG = "8 mL/kg of predicted weight"
MEASURED = "8 mL/kg of measured weight"

ACCEPTED = [
    f"{PER_KG} * 70 kg < 500 mL",
    f"70 kg * {PER_KG} < 500 mL",
    f"{PER_KG} * (2 * 35 kg) < 500 mL",
    f"{PER_KG} * (70 kg + 2 kg) < 500 mL",
    f"{PER_KG} * least of (60 kg, 70 kg) < 500 mL",
    f"{PER_KG} * (if (ready) then (60 kg) else (70 kg)) < 500 mL",
    f"{MEASURED} * (measured weight - 5 kg) < 500 mL",
    f"{MEASURED} * (5 kg + measured weight) < 500 mL",
    f"tidal volume / predicted weight < {PER_KG}",
    "measured weight / predicted weight < 1.2",
    "measured weight > predicted weight",
    "measured weight - predicted weight > 5 kg",
    "dead space of (70 kg) < 200 mL",
    "dead space of (predicted weight) < 200 mL",
    "dead space of (measured weight - predicted weight) < 200 mL",
    "square root (PEEP * PEEP) > 3 cmH2O",
    "PEEP ^ 2 > 9 cmH2O * 1 cmH2O",
    "PEEP / 1 cmH2O ^ 2 > 9 / 1 cmH2O",
    "if (ready) then (PEEP > 3 cmH2O) else (ready)",
    "least of (PEEP, 5 cmH2O, peak) > 3 cmH2O",
]


@pytest.mark.parametrize("text", ACCEPTED)
def test_what_fits(text: str) -> None:
    assert read_condition(text, NAMES).errors == ()


# text, the piece at fault, a part of the message, how many suggestions; nothing else is told of it
REFUSED = [
    (f"{PER_KG} * (leak share * 70 kg) < 500 mL", "500 mL", "do not go together around `<`", 0),
    (f"{PER_KG} * least of (70 kg, measured weight) < 500 mL", "500 mL", "do not go together", 0),
    (f"{PER_KG} * (if (ready) then (70 kg) else (leak share * 70 kg)) < 500 mL", "500 mL", "do not go together", 0),
    (f"{MEASURED} * (measured weight - predicted weight) < 500 mL", "500 mL", "do not go together", 0),
    (f"{PER_KG} > {MEASURED}", MEASURED, "; per kg of one weight is not per kg of another", 0),
    ("PEEP > 3 s", "3 s", "do not go together around `>`", 0),
    ("PEEP > 5", "5", "do not go together around `>`", 3),
    ("PEEP is between 3 s and 5 cmH2O", "3 s", "do not go together in `is between`", 0),
    ("PEEP is between 3 cmH2O and 5 s", "5 s", "do not go together in `is between`", 0),
    ("PEEP + 3 s + 1 s > 4 cmH2O", "3 s", "do not go together around `+`", 0),
    ("least of (PEEP, 3 s) > 4 s", "3 s", "do not go together in `least of`", 0),
    ("square root (PEEP) > 3 s", "square root (PEEP)", "no square root", 0),
    ("square root (PEEP + 3 s) > 3 s", "3 s", "do not go together", 0),
    ("(PEEP + 3 s) ^ 2 > 3 s", "3 s", "do not go together", 0),
    ("(PEEP + 3 s) * 2 > 3 s", "3 s", "do not go together", 0),
    ("sum of tubing in assembly > 3 s", "tubing", "no quantities", 0),
    ("sum of interface in assembly > 3 s", "interface", "no quantities", 0),
    ("(if (ready) then (PEEP) else (3 s)) > 4 s", "3 s", "do not go together in the two branches", 0),
    ("if (ready) then (mode) else (PEEP)", "mode", "a word cannot be a branch", 0),
    ("if (ready) then (remark) else (PEEP)", "remark", "text cannot be a branch", 0),
    ("if (ready) then (PEEP) else (assembly)", "assembly", "a list cannot be a branch", 0),
    ("not (PEEP)", "(PEEP)", "where a condition is needed", 0),
    ("not (mode)", "(mode)", "a word stands where a condition is needed", 0),
    ("dead space of (PEEP) < 5 mL", "PEEP", "as value 1 of `dead space of`", 0),
    ("hill of (PEEP, PEEP) < 5", "PEEP", "as value 2 of `hill of`", 0),
    ("staircase of (measured weight) < 5", "measured weight", "but pressure is needed", 0),
    ("staircase of (5) < 5", "5", "a number without a unit stands as value 1", 3),
    ("(if (ready) then (PEEP + 3 s) else (PEEP)) > 4 s", "3 s", "do not go together around `+`", 0),
    (f"{MEASURED} * (measured weight - 5 kg of predicted weight) < 500 mL", "500 mL", "do not go together", 0),
    ("hill of (PEEP + 3 s, 2) < 5", "3 s", "do not go together", 0),
    ("mode is tracheostomy", "tracheostomy", "can never be `tracheostomy`", len(MODES)),
    ("mode = mode", "mode = mode", "write `mode is ...`", 0),
    ("mode != mode", "mode != mode", "write `mode is not ...`", 0),
    ("5 cmH2O is stated", "5 cmH2O", "only a term can be stated", 0),
]


@pytest.mark.parametrize(("text", "piece", "message", "suggestions"), REFUSED)
def test_each_mistake_is_told_once(text: str, piece: str, message: str, suggestions: int) -> None:
    errors = read_condition(text, NAMES).errors
    assert [text[error.start : error.end] for error in errors] == [piece]
    assert message in errors[0].message
    assert len(errors[0].suggestions) == suggestions


def test_a_mismatch_of_weights_alone_speaks_of_weights() -> None:
    assert "per kg" not in read_condition("PEEP > 3 s", NAMES).errors[0].message


NOTHING = nodes.Part("nonsense")
LIST, PEEP = nodes.Name("assembly", "assembly"), nodes.Name("peep", "PEEP")
HME = nodes.Part("HME", ASSEMBLY.members("HME"))


@pytest.mark.parametrize(
    "node",
    [
        nodes.Before(HME, NOTHING, LIST),
        nodes.Before(NOTHING, HME, LIST),
        nodes.Has(LIST, (HME, NOTHING), True),
        nodes.Tally("count of", NOTHING, LIST),
        nodes.Tally("sum of", NOTHING, LIST),
    ],
)
def test_an_item_that_a_list_never_holds(node: nodes.Node) -> None:
    errors = check(node, NAMES).errors
    assert [error.message for error in errors] == ["`assembly` can never hold `nonsense`"]


class MixedNames(InventedNames):
    """The list has a group whose items are measured in different things."""

    def type_of(self, key: str) -> Type:
        assert key == "assembly"
        groups = {"both": frozenset(("HME", "filter")), "some": frozenset(("HME", "tubing"))}
        return ListType(ASSEMBLY.items, groups, {"HME": VOLUME, "filter": PRESSURE})


@pytest.mark.parametrize("group", ["both", "some"])
def test_quantities_of_different_kinds_are_not_added_up(group: str) -> None:
    errors = check(nodes.Tally("sum of", nodes.Part(group), LIST), MixedNames()).errors
    assert [error.message for error in errors] == [f"the items of `{group}` have no quantities that could be added up"]
    assert check(nodes.Tally("count of", nodes.Part(group), LIST), MixedNames()).errors == ()


def test_suggestions_for_an_item_are_taken_from_items_and_groups() -> None:
    for wrong, meant in (("HMF", "HME"), ("interfac", "interface")):
        errors = check(nodes.Has(LIST, (nodes.Part(wrong),), False), NAMES).errors
        assert errors[0].suggestions == (meant,)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("PEEP", PRESSURE),
        ("- PEEP", PRESSURE),
        ("absolute (PEEP)", PRESSURE),
        ("PEEP ^ 2", PRESSURE.power(2)),
        ("PEEP ^ -1", PRESSURE.power(-1)),
        ("square root (PEEP ^ 4)", PRESSURE.power(2)),
        ("PEEP / peak", NUMBER),
        ("PEEP * peak", PRESSURE * PRESSURE),
        ("count of HME in assembly", NUMBER),
        ("sum of HME in assembly", VOLUME),
        ("dead space of (70 kg)", VOLUME),
        ("measured weight - predicted weight", WEIGHT),
        ("measured weight / predicted weight", NUMBER),
    ],
)
def test_what_a_number_measures(text: str, dimension: Dimension) -> None:
    parsed = read_number(text, NAMES, dimension)
    assert parsed.errors == () and parsed.node is not None
    assert check(parsed.node, NAMES).type == NumberType(dimension)


def test_a_condition_has_the_type_of_one() -> None:
    for text in ("ready", "PEEP > 3 cmH2O", "if (ready) then (ready) else (PEEP is stated)"):
        node = read_condition(text, NAMES).node
        assert node is not None and check(node, NAMES).type == BoolType()


def test_everything_under_a_node_is_found() -> None:
    three = [nodes.Name(key, key) for key in ("peep", "support", "peak")]
    for node, keys in (
        (nodes.Power(PEEP, 2), {"peep"}),
        (nodes.Unary("-", PEEP), {"peep"}),
        (nodes.Compare("=", three[0], three[1], three[2]), {"peep", "support", "peak"}),
        (nodes.Between(*three), {"peep", "support", "peak"}),
        (nodes.Choice(*three), {"peep", "support", "peak"}),
        (nodes.Stated(PEEP, False), {"peep"}),
        (nodes.Before(HME, HME, LIST), {"assembly"}),
    ):
        assert nodes.keys_in(node) == keys
        assert nodes.depth_of(node) == 2
    assert nodes.depth_of(PEEP) == 1
    assert [found.key for found in nodes.walk(nodes.Between(*three)) if isinstance(found, nodes.Name)] == [
        "peep",
        "support",
        "peak",
    ]
