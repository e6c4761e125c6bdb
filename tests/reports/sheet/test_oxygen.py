"""The picture of the oxygen supply: the program's own draws against time, and the times that have to be covered."""

import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest

from rxlint.expressions import Missing, condition
from rxlint.model.facts import Facts
from rxlint.reports.calculations import values_of
from rxlint.reports.sheet.oxygen import oxygen_picture
from rxlint.reports.sheet.oxygen_lines import Supply, change_times, supply_of
from rxlint.reports.sheet.picture import NotDrawn, Picture
from rxlint.units import UNITS, show
from tests.documents import document
from tests.reports.sheet.pictured import SVG, drawn, faults, of_examples, paths, rules, scope, sound, texts

SLIPS = tuple(f"slips/*{word}*.vrx" for word in ("cylinder", "supply", "oxygen", "transfer", "the-way"))
LITRE, MINUTE = UNITS["L"].factor, UNITS["min"].factor


def picture_of(facts: Facts, prefix: str = "oxygen") -> Picture | NotDrawn:
    return oxygen_picture(facts, rules().defined, prefix)


def order(*oxygen: str, fio2: str = "100 %", more: str = "") -> Facts:
    """A breath of 500 mL twelve times a minute: 6 L/min."""
    lines = "".join(f"  {line}\n" for line in oxygen)
    settings = f"settings\n  mode A/C-VC\n  PEEP 5 cmH2O\n  tidal volume 500 mL\n  rate 12 /min\n  FiO2 {fio2}\n"
    limb = "circuit\n  limb single with exhalation valve\n"
    return scope(f'prescription "x"\n{limb}{settings}oxygen\n{lines}{more}')


def supply(*oxygen: str, fio2: str = "100 %") -> Supply:
    found = supply_of(order(*oxygen, fio2=fio2))
    assert isinstance(found, Supply), found
    return found


def why_not(facts: Facts) -> str:
    found = picture_of(facts)
    assert isinstance(found, NotDrawn), found
    (why,) = found.why
    return why


def test_every_example_is_drawn_without_a_fault() -> None:
    seen = 0
    for name, facts in (*sound(), *of_examples(*SLIPS)):
        picture = picture_of(facts, "o1")
        if isinstance(picture, NotDrawn):
            assert picture.why, name
            continue
        seen += 1
        assert faults(picture, "o1") == [], name
    assert seen > 15


def test_numbers_are_the_derived_terms_as_they_are_told_elsewhere() -> None:
    text = (
        'prescription "x"\nsettings\n  mode A/C-VC\n  tidal volume 500 mL\n  rate 12 /min\n'
        "oxygen\n  flow 2 L/min\n  cylinder D UK at 137 bar\n  cylinders 3\n  transfer 40 min\n"
    )
    told = {value.term: value for value in values_of(document(text))}
    found = supply_of(scope(text))
    assert isinstance(found, Supply)
    (line,) = found.lines
    assert found.contents == told["oxygen in cylinders"].low
    assert line.draw == told["planned oxygen draw"].low
    assert float(line.lasts) == pytest.approx(float(told["oxygen lasts"].low))
    picture = drawn(picture_of(scope(text)))
    assert picture.table is not None
    assert picture.table.rows[0][1] == show(told["planned oxygen draw"].low, UNITS["L/min"]) == "2 L/min"


def test_the_supply_runs_out_in_the_picture_where_the_rule_says_so() -> None:
    """The least draw as set, against the time that has to be covered: the rule of the supply, on every example."""
    rule = next(each.rule for each in rules().rules if each.rule.id == "oxygen.supply")
    assert rule.require is not None
    answers = set()
    for name, facts in (*of_examples("sound/*transfer*.vrx"), *of_examples(*SLIPS[:2])):
        found = supply_of(facts)
        holds = condition(rule.require, facts.as_set)
        if not isinstance(found, Supply) or found.must_last is None or isinstance(holds, Missing):
            continue
        counted = [line for line in found.lines if line.key == "oxygen: oxygen draw" and "most" not in line.words]
        for line in counted:
            assert (line.lasts >= found.must_last) == bool(holds), name
            answers.add(bool(holds))
    assert answers == {True, False}


# ---- what has to be covered


def test_a_reserve_as_a_time_is_added_to_the_way() -> None:
    found = supply("cylinder 1000 L", "transfer 60 min", "reserve 20 min")
    assert (found.way, found.must_last, found.twice) == (60 * MINUTE, 80 * MINUTE, None)
    assert {"end of the way, 60 min", "way and reserve, 80 min"} <= set(
        texts(drawn(picture_of(order("cylinder 1000 L", "transfer 60 min", "reserve 20 min"))).svg)
    )


def test_a_reserve_as_a_share_is_of_the_way() -> None:
    assert supply("cylinder 1000 L", "transfer 60 min", "reserve 50 %").must_last == 90 * MINUTE


def test_without_a_reserve_the_margin_of_the_rules_is_marked() -> None:
    facts = order("cylinder 1000 L", "transfer 60 min")
    found = supply_of(facts)
    assert isinstance(found, Supply)
    margin = facts.as_set.value("oxygen: oxygen margin")
    assert isinstance(margin, Fraction)
    assert found.twice == margin * 60 * MINUTE
    picture = drawn(picture_of(facts))
    assert "2 times the way, 2 h" in texts(picture.svg)
    assert "No reserve is stated" in picture.alt


def test_the_longest_way_that_is_allowed_counts() -> None:
    text = (
        'template "x"\nsettings\n  mode A/C-VC\n  tidal volume 500 mL\n  rate 12 /min\n  FiO2 40 to 80 %\n'
        "oxygen\n  cylinder 1000 L\n  transfer 30 to 90 min\n  reserve 30 min\n"
    )
    found = supply_of(scope(text))
    assert isinstance(found, Supply)
    assert (found.way, found.must_last) == (90 * MINUTE, 120 * MINUTE)
    assert all("most allowed" in line.words for line in found.lines)


# ---- draws


def test_draws_are_those_of_the_rules() -> None:
    found = supply("cylinder 1000 L", "transfer 60 min", fio2="60.5 %")
    least, most = found.lines
    # 6 L/min x (0.605 - 0.21) / 0.79 = 3 L/min, and the rule of minute volume x fraction
    assert float(least.draw / LITRE * MINUTE) == pytest.approx(3)
    assert float(most.draw / LITRE * MINUTE) == pytest.approx(6 * 0.605)
    assert [line.letter for line in found.lines] == ["A", "B"]


def test_lines_between_the_least_and_the_most_stand_in_the_table_alone() -> None:
    facts = order("cylinder 1000 L", "transfer 60 min", fio2="50 % allow 40 to 60 %")
    picture = drawn(picture_of(facts))
    assert picture.table is not None
    assert [row[0] for row in picture.table.rows] == ["A", "not drawn", "not drawn", "B"]
    assert {"A", "B"} <= set(texts(picture.svg))


def test_on_a_leak_circuit_the_leak_is_counted() -> None:
    facts = next(facts for name, facts in sound() if name.startswith("TM-0523"))
    found = supply_of(facts)
    assert isinstance(found, Supply)
    assert {line.key for line in found.lines} == {"transport: draw with leak"}
    value = facts.as_set.value("transport: draw with leak")
    assert found.lines[0].draw == value


# ---- cylinders


def test_a_cylinder_is_changed_when_it_is_empty() -> None:
    found = supply("cylinder 600 L", "cylinders 3", "transfer 60 min")
    (line,) = found.lines  # pure oxygen: both draws are 6 L/min
    assert [float(time / MINUTE) for time in change_times(found, line)] == pytest.approx([100, 200])
    picture = drawn(picture_of(order("cylinder 600 L", "cylinders 3", "transfer 60 min")))
    assert picture.table is not None
    assert picture.table.rows[0][4] == "at 100 min, 3 h 20 min"
    assert "Change of cylinder: A every 100 min." in picture.alt


def test_many_cylinders_are_told_in_words_alone() -> None:
    picture = drawn(picture_of(order("cylinder 340 L", "cylinders 20", "transfer 60 min")))
    assert picture.table is not None
    assert picture.table.rows[0][4] == "every 56 min"
    assert faults(picture, "oxygen") == []


# ---- geometry


def test_the_line_goes_from_full_to_empty() -> None:
    facts = order("cylinder 600 L", "transfer 60 min", "reserve 20 min")
    picture = drawn(picture_of(facts))
    (line,) = [points for attributes, points in paths(picture.svg) if attributes.get("stroke-width") == "2.6"][:1]
    ways = {points[0][0] for attributes, points in paths(picture.svg) if attributes.get("stroke-dasharray") == "5 3"}
    (start, full), (end, empty) = line
    way, last = sorted(ways)
    per_minute = (end - start) / 100  # 600 L at 6 L/min
    assert way - start == pytest.approx(60 * per_minute, abs=0.2)
    assert last - start == pytest.approx(80 * per_minute, abs=0.2)
    axis = next(points for attributes, points in paths(picture.svg) if attributes.get("stroke-width") == "1.4")
    assert empty == pytest.approx(axis[1][1], abs=0.2)
    assert full < empty


def test_a_supply_that_lasts_far_longer_leaves_the_way_in_sight() -> None:
    picture = drawn(picture_of(order("cylinder 10000 L", "transfer 30 min", "reserve 30 min")))
    ways = sorted(points[0][0] for each, points in paths(picture.svg) if each.get("stroke-dasharray") == "5 3")
    assert ways[1] - ways[0] > 50
    assert "27 h 46 min" in picture.alt


def test_a_short_supply_says_by_how_much() -> None:
    facts = order("cylinder 300 L", "transfer 60 min", "reserve 30 min")
    table = drawn(picture_of(facts)).table
    assert table is not None
    assert table.rows[0][5:] == ("empty 10 min before", "empty 40 min before")


# ---- not drawn


def test_what_is_lacking_is_told() -> None:
    assert why_not(scope('prescription "x"\nsettings\n  PEEP 5 cmH2O\n')) == "the order states no oxygen supply"
    assert "no cylinder is stated" in why_not(order("flow 2 L/min"))
    assert "not certain" in why_not(order("cylinder E at 137 bar"))
    assert "not certain" in why_not(order("cylinder 12 firkins"))
    bare = scope('prescription "x"\nsettings\n  mode A/C-PC\n  rate 12 /min\n  FiO2 40 %\noxygen\n  cylinder 340 L\n')
    assert "for want of tidal volume" in why_not(bare)
    assert "nothing is drawn" in why_not(order("cylinder 340 L", "flow 0 L/min"))


def test_a_supply_without_a_way_says_so() -> None:
    picture = drawn(picture_of(order("cylinder 340 L")))
    assert "How long the supply has to last is not stated" in picture.alt
    assert faults(picture, "oxygen") == []


def test_the_same_facts_give_the_same_picture() -> None:
    facts = order("cylinder 600 L", "cylinders 3", "transfer 60 min")
    assert picture_of(facts) == picture_of(facts)
    circles = list(ET.fromstring(drawn(picture_of(facts)).svg).iter(f"{SVG}circle"))
    assert len(circles) == 4  # two changes, the letter of the line, the same in the legend


def test_the_line_that_is_empty_first_is_the_heavy_one() -> None:
    facts = order("cylinder 10000 L", "cylinders 2", "transfer 30 min", "reserve 30 min", fio2="50 % allow 40 to 60 %")
    picture = drawn(picture_of(facts))
    lines = {}
    for attributes, points in paths(picture.svg):
        if attributes.get("stroke-width") in ("1.6", "2.6") and len(points) == 2 and points[1][1] > points[0][1]:
            (left, full), (right, low) = points
            lines[attributes["stroke-width"]] = ((low - full) / (right - left), attributes.get("stroke-dasharray"))
    assert lines["2.6"][0] > lines["1.6"][0]
    assert (lines["2.6"][1], lines["1.6"][1]) == (None, "7 4")
    assert "A dot is" not in picture.alt  # none is changed in the time that is shown
