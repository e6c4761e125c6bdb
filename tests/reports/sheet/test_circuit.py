"""The picture of the circuit: the order of the list, the way out of exhaled gas, names that are hostile."""

import pytest

from rxlint.expressions import Missing, condition
from rxlint.model.facts import Facts
from rxlint.reports.sheet.circuit import circuit_picture
from rxlint.reports.sheet.circuit_parts import Circuit, circuit_of
from rxlint.reports.sheet.picture import NotDrawn, Picture
from tests.reports.sheet.pictured import HOSTILE, drawn, faults, of_examples, rules, scope, sound, texts

TUBE = "tracheostomy uncuffed"
NONE = "No way out for exhaled gas is stated"
SLIPS = tuple(f"slips/*{word}*.vrx" for word in ("limb", "leak-p", "circuit", "assembly", "mask", "exchanger", "valve"))


def order(*lines: str, interface: str = "nasal mask non-vented", kind: str = "prescription", more: str = "") -> Facts:
    circuit = "".join(f"  {line}\n" for line in lines)
    return scope(f'{kind} "x"\nairway\n  interface {interface}\ncircuit\n{circuit}{more}')


def circuit(*lines: str, interface: str = "nasal mask non-vented", **more: str) -> Circuit:
    found = circuit_of(order(*lines, interface=interface, **more))
    assert isinstance(found, Circuit), found
    return found


def ways(found: Circuit) -> list[str]:
    return [each.words for each in found.exits]


def test_every_example_is_drawn_without_a_fault() -> None:
    seen = 0
    for name, facts in (*sound(), *of_examples(*SLIPS)):
        picture = circuit_picture(facts, "c1")
        if isinstance(picture, NotDrawn):
            assert picture.why, name
            continue
        seen += 1
        assert faults(picture, "c1") == [], name
    assert seen > 60


def test_all_sound_examples_have_a_circuit() -> None:
    assert all(isinstance(circuit_picture(facts), Picture) for _, facts in sound())


def test_parts_are_drawn_in_the_order_of_the_list() -> None:
    for name, facts in sound():
        stated = facts.constants["assembly"]
        assert isinstance(stated, tuple)
        picture = drawn(circuit_picture(facts))
        told = [
            text for text in texts(picture.svg) if text.split(" ")[0] in {item.name.split(" ")[0] for item in stated}
        ]
        names = iter(told)
        assert all(any(text.startswith(item.name[:9]) for text in names) for item in stated), name
        assert picture.table is not None
        assert [row[1] for row in picture.table.rows][: len(stated)] == [item.name for item in stated], name


def test_no_way_out_is_said_where_the_rule_says_so() -> None:
    """The picture and the rule of the circuit agree on every example."""
    rule = next(each.rule for each in rules().rules if each.rule.id == "circuit.no-exhalation-path")
    assert rule.when is not None
    assert rule.require is not None
    answers = set()
    for name, facts in (*sound(), *of_examples(*SLIPS)):
        picture = circuit_picture(facts)
        applies, holds = condition(rule.when, facts.as_set), condition(rule.require, facts.as_set)
        if isinstance(picture, NotDrawn) or isinstance(applies, Missing) or not applies:
            continue
        is_broken = not isinstance(holds, Missing) and not holds
        assert (NONE in picture.alt) == is_broken, name
        answers.add(is_broken)
    assert answers == {True, False}


PLAIN = "nasal mask non-vented"


@pytest.mark.parametrize(
    ("limb", "part", "interface", "expected"),
    [
        ("single with leak port", "leak port, nasal mask", PLAIN, "through the leak port"),
        ("single with exhalation valve", "exhalation valve, nasal mask", PLAIN, "through the exhalation valve"),
        ("single with leak port", "nasal mask", "nasal mask vented", "vent of the nasal mask"),
        ("single with exhalation valve", "mouthpiece", "mouthpiece", "beside the mouthpiece"),
        ("dual", "Y-piece, nasal mask", PLAIN, "not listed"),
    ],
)
def test_each_way_out_is_named(limb: str, part: str, interface: str, expected: str) -> None:
    facts = order(f"limb {limb}", f"assembly ventilator, tubing 180 cm, {part}", interface=interface)
    picture = drawn(circuit_picture(facts))
    found = circuit_of(facts)
    assert isinstance(found, Circuit)
    (way,) = ways(found)
    assert expected in way
    assert f"exhaled gas leaves {way}" in picture.alt
    assert "OUT" in texts(picture.svg)
    assert NONE not in picture.alt


def test_an_expiratory_limb_goes_back_to_the_ventilator() -> None:
    facts = order(
        "limb dual",
        "assembly ventilator, filter, tubing 160 cm, Y-piece, endotracheal tube",
        "expiratory limb tubing 150 cm, water trap, filter",
        interface="endotracheal tube cuffed",
    )
    picture = drawn(circuit_picture(facts))
    said = texts(picture.svg)
    assert {"E1", "E2", "E3", "OUT", "water trap", "tubing 150 cm"} <= set(said)
    assert "exhaled gas leaves at the ventilator, by way of the expiratory limb" in said
    assert picture.table is not None
    assert [row[:3] for row in picture.table.rows if row[0].startswith("E")] == [
        ("E1", "tubing", "150 cm"), ("E2", "water trap", ""), ("E3", "filter", ""),
    ]  # fmt: skip
    assert faults(picture, "circuit") == []


def test_no_way_out_is_stated_in_the_drawing() -> None:
    facts = order("limb single with leak port", "assembly ventilator, filter, tubing 180 cm, nasal mask")
    picture = drawn(circuit_picture(facts))
    assert f"{NONE}." in texts(picture.svg)
    assert "OUT" not in texts(picture.svg)


def test_a_mask_of_which_the_vent_is_not_stated_is_told_apart_from_none() -> None:
    found = circuit(
        "limb single with leak port", "assembly ventilator, tubing 180 cm, nasal mask", interface="nasal mask"
    )
    assert found.exits == ()
    assert found.absent == (
        "Whether the nasal mask is vented is not stated: nobody can tell where exhaled gas leaves.",
    )


def test_parts_out_of_order_are_drawn_as_they_stand() -> None:
    facts = order(
        "limb dual",
        "assembly endotracheal tube, Y-piece, tubing 160 cm, filter, ventilator",
        "expiratory limb filter, tubing 160 cm",
        interface="endotracheal tube cuffed",
    )
    picture = drawn(circuit_picture(facts))
    said = texts(picture.svg)
    wanted = ["endotracheal tube", "Y-piece", "tubing 160 cm", "filter", "ventilator", "patient"]
    assert [text for text in said if text in wanted][:6] == wanted
    assert "The list of parts does not begin with the ventilator." in picture.alt
    assert faults(picture, "circuit") == []


def test_breath_goes_both_ways_on_the_patient_s_side_of_the_way_out() -> None:
    assert circuit("assembly ventilator, tubing 1 m, leak port, HME 30 mL, nasal mask").turn == 2
    assert circuit("assembly ventilator, leak port, tubing 1 m, leak port, nasal mask").turn == 3
    assert circuit("assembly ventilator, tubing 1 m, nasal mask").turn is None
    assert circuit("assembly ventilator, tubing 1 m", interface="mouthpiece").turn == 2
    dual = circuit("assembly ventilator, tubing 1 m, Y-piece, nasal mask", "expiratory limb tubing 1 m, filter")
    assert dual.turn == 2
    assert dual.joint == 2


def test_no_breath_comes_back_past_a_speaking_valve() -> None:
    found = circuit("assembly ventilator, tubing 1 m, leak port, speaking valve, tracheostomy tube", interface=TUBE)
    assert [each.text for each in found.exits] == [
        "a way out through the leak port, but no breath comes back to it past the speaking valve",
        "exhaled gas leaves past the tube, by the mouth: the speaking valve lets none of it back",
    ]
    assert found.turn == 5  # no part has breath both ways
    closed = circuit("assembly ventilator, tubing 1 m, speaking valve, tracheostomy tube", interface=TUBE)
    assert closed.absent == (f"{NONE}.",)
    assert ways(closed) == []


def test_nor_does_any_come_back_by_an_expiratory_limb_past_a_speaking_valve() -> None:
    parts = "assembly ventilator, tubing 1 m, Y-piece, speaking valve, tracheostomy tube"
    picture = drawn(circuit_picture(order(parts, "expiratory limb tubing 1 m, filter", interface=TUBE)))
    said = texts(picture.svg)
    assert "no breath comes back here past the speaking valve" in said
    assert "exhaled gas leaves at the ventilator, by way of the expiratory limb" not in said
    assert faults(picture, "circuit") == []


def test_past_a_tube_breath_leaves_only_if_the_cuff_leaves_room() -> None:
    facts = scope(
        'prescription "x"\nairway\n  interface tracheostomy cuffed\n  cuff inflated\n'
        "circuit\n  assembly ventilator, tubing 1 m, leak port, speaking valve, tracheostomy tube\n"
    )
    assert "if the cuff leaves room (cuff: inflated)" in drawn(circuit_picture(facts)).alt


def test_what_the_parts_hold_is_told_where_it_is_stated() -> None:
    parts = "assembly ventilator, tubing 1 m, leak port, HME 12 mL, CO2 adapter 5 mL, nasal mask"
    facts = order("limb single with leak port", parts)
    assert facts.constants["apparatus dead space"] == 17
    assert "hold 17 mL" in " ".join(texts(drawn(circuit_picture(facts)).svg))
    none = order("limb single with leak port", "assembly ventilator, tubing 1 m, leak port, nasal mask")
    assert " mL" not in drawn(circuit_picture(none)).alt


def test_a_limb_that_joins_nowhere_is_drawn_apart() -> None:
    facts = order("limb dual", "assembly ventilator, tubing 1 m, nasal mask", "expiratory limb tubing 1 m, filter")
    said = " ".join(texts(drawn(circuit_picture(facts)).svg))
    assert "Where this limb joins the other" in said
    only = order("limb dual", "expiratory limb tubing 1 m, filter")
    picture = drawn(circuit_picture(only))
    assert "The parts from the ventilator to the patient are not listed" in picture.alt
    assert faults(picture, "circuit") == []


def test_a_template_s_alternatives_are_shown_as_such() -> None:
    facts = order(
        "limb single with leak port or dual",
        "assembly ventilator, tubing 180 cm",
        interface="nasal mask vented or oronasal mask non-vented or mouthpiece",
        kind="template",
    )
    picture = drawn(circuit_picture(facts))
    assert "limb: single with leak port or dual" in texts(picture.svg)
    found = circuit_of(facts)
    assert isinstance(found, Circuit)
    assert ways(found) == [
        "through the vent of the nasal mask, if the interface is nasal mask vented",
        "beside the mouthpiece, if the interface is mouthpiece",
    ]
    assert found.absent == (f"{NONE}, if the interface is oronasal mask non-vented.",)
    assert faults(picture, "circuit") == []


def test_high_flow_asks_for_no_way_out() -> None:
    facts = order(
        "assembly ventilator, tubing 180 cm, tracheostomy tube",
        interface="tracheostomy cuffed",
        more="settings\n  mode high flow\n  gas flow 40 L/min\n",
    )
    assert "nobody breathes out into this circuit" in drawn(circuit_picture(facts)).alt


def test_what_belongs_to_a_part_stands_in_it() -> None:
    facts = order(
        "leak port flow 24 L/min at 10 cmH2O",
        "humidifier temperature 37 degC",
        "assembly ventilator, heated humidifier, tubing 180 cm, leak port, nasal mask",
        more="oxygen\n  flow 2 L/min at leak port\n",
    )
    found = circuit_of(facts)
    assert isinstance(found, Circuit)
    assert found.parts[1].more == ("set to 37 degC",)
    assert found.parts[3].more == ("24 L/min at 10 cmH2O", "oxygen enters: 2 L/min at leak port")


def test_oxygen_that_enters_at_a_part_that_is_not_there_is_told() -> None:
    facts = order("assembly ventilator, tubing 180 cm, nasal mask", more="oxygen\n  flow 2 L/min at leak port\n")
    assert "oxygen 2 L/min at leak port, at none of these parts" in drawn(circuit_picture(facts)).alt


def test_hostile_names_are_text() -> None:
    name = HOSTILE.replace("\\", "\\\\").replace('"', '\\"')
    parts = "assembly ventilator, tubing 180 cm, leak port, nasal mask"
    picture = drawn(circuit_picture(order(f'ventilator "{name}"', parts)))
    assert faults(picture, "circuit") == []
    assert picture.table is not None
    assert picture.table.rows[0][3] == HOSTILE
    hidden = drawn(circuit_picture(order('ventilator "plain \u202eterces"', parts)))
    assert "\u202e" not in hidden.svg + hidden.alt + str(hidden.table)
    assert "its name is stated and could not be read" in hidden.alt + str(hidden.table)


def test_an_assembly_that_can_t_be_read_is_not_drawn() -> None:
    unreadable = circuit_picture(order("assembly ventilator, wormhole, nasal mask"))
    assert unreadable == NotDrawn("Circuit as listed", ("the assembly is stated and could not be read",))
    nothing = circuit_picture(order("limb dual"))
    assert nothing == NotDrawn("Circuit as listed", ("the order lists no parts of a circuit",))


def test_the_same_facts_give_the_same_picture() -> None:
    facts = order("limb single with leak port", "assembly ventilator, tubing 180 cm, leak port, nasal mask")
    assert circuit_picture(facts, "a") == circuit_picture(facts, "a")
    with pytest.raises(ValueError, match="does not begin an id"):
        circuit_picture(facts, 'a" onload="x')
