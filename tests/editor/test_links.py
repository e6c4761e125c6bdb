"""From one place to others: the template that is followed, who follows it, where else a term stands."""

from pathlib import Path

import pytest

from rxlint.editor.links import definition, highlights, references
from rxlint.editor.shapes import Location
from rxlint.editor.snapshot import Snapshot
from rxlint.notation.tree import Place
from tests.editor.texts import at, damaged, example, positions, prefixes, read
from tests.shelf import EXAMPLES

ORDER = "sound/TM-0417-tracheostomy-night"
TEMPLATE = EXAMPLES / "templates/tracheostomy-night.vrx"


def word_at(path: Path, place: Place) -> str:
    line = path.read_text("utf-8").split("\n")[place.line - 1]
    return line[place.column - 1 : place.end_column - 1]


def words(snapshot: Snapshot, found: tuple[Location, ...]) -> list[tuple[int, str]]:
    assert {each.path for each in found} <= {snapshot.path}
    lines = snapshot.text.split("\n")
    return [
        (each.place.line, lines[each.place.line - 1][each.place.column - 1 : each.place.end_column - 1])
        for each in found
    ]


def test_from_follows_to_the_id_of_the_template() -> None:
    order = example(ORDER)
    (found,) = definition(order, at(order, "tracheostomy-night", "follows"))
    assert (found.path, word_at(found.path, found.place)) == (TEMPLATE, "tracheostomy-night")
    assert definition(order, at(order, "follows")) == (found,)


def test_from_a_setting_to_the_template_s_line_for_it() -> None:
    order = example(ORDER)
    (found,) = definition(order, at(order, "inspiratory time", "settings night"))
    assert (found.path, found.place.line, word_at(found.path, found.place)) == (TEMPLATE, 44, "inspiratory time")
    (alarm,) = definition(order, at(order, "30 cmH2O", "high inspiratory pressure"))
    assert word_at(alarm.path, alarm.place) == "high inspiratory pressure"


def test_what_no_template_lays_down_leads_nowhere() -> None:
    order = example(ORDER)
    assert definition(order, at(order, "TM-0417")) == ()
    assert definition(order, at(order, "cylinder")) == ()
    alone = example("sound/TM-0515-adult-tube-mandatory-and-supported")
    assert definition(alone, at(alone, "rise time")) == ()


def test_from_a_term_in_a_sentence_to_the_line_that_states_it() -> None:
    order = example(ORDER)
    found = definition(order, at(order, "pressure support", "titration\n  raise inspiratory pressure and"))
    assert words(order, found) == [(35, "pressure support")]
    kept = definition(order, at(order, "PEEP", "pressure support = inspiratory pressure - "))
    assert words(order, kept) == [(33, "PEEP")]


def test_from_an_acceptance_to_what_it_accepts() -> None:
    order = example("sound/TM-0533-infant-finding-accepted")
    (found,) = definition(order, at(order, "alarms.decannulation"))
    assert "low inspiratory pressure" in order.lines[found.place.line - 1].text
    lines = words(order, definition(order, at(order, "low inspiratory pressure", "accept alarms.decannulation on ")))
    assert lines == [(found.place.line, "low inspiratory pressure")]


def test_from_the_id_of_a_template_to_all_that_follow_it() -> None:
    template = example("templates/tracheostomy-night")
    found = references(template, at(template, "tracheostomy-night", "id  "))
    assert EXAMPLES / f"{ORDER}.vrx" in {each.path for each in found}
    assert {word_at(each.path, each.place) for each in found} == {"tracheostomy-night"}
    text = {path: path.read_text("utf-8") for path in EXAMPLES.rglob("*.vrx")}
    following = {
        path for path, each in text.items() if "\n  follows " in each and "tracheostomy-night revision" in each
    }
    assert following == {each.path for each in found}


def test_from_the_id_of_an_order_to_its_readings() -> None:
    order = example("sound/TM-0508-adult-lung-protective")
    assert {each.path.name for each in references(order, at(order, "TM-0508"))} == {"TM-0508-second-day.vrx"}
    readings = example("readings/TM-0508-second-day")
    (found,) = definition(readings, at(readings, "TM-0508"))
    assert (found.path, word_at(found.path, found.place)) == (order.path, "TM-0508")


def test_from_a_setting_to_the_lines_that_its_findings_relate_to() -> None:
    order = example("slips/peep-raised-alone")
    found = references(order, at(order, "PEEP", "SIMV-PC with PS\n"))
    assert [line for line, _ in words(order, found)] == [42, 43]


BOTH = """\
prescription "p"
settings night
  rate  12 /min
  PEEP by FiO2
    30 % to 40 %  5 cmH2O
settings day
  rate  14 /min
  keep  rate <= 20 /min
back-up after apnoea 15 s
  rate  16 /min
alarms night
  high rate  40 /min
titration
  raise rate by 1 /min every 10 min
accepted
  accept alarms.too-wide on rate in night
"""


def test_the_same_term_at_other_times_and_in_sentences() -> None:
    snapshot = read(BOTH)
    found = references(snapshot, at(snapshot, "rate"))
    assert words(snapshot, found) == [(line, "rate") for line in (7, 8, 10, 14, 16)]


def test_highlights_are_the_term_itself_too() -> None:
    snapshot = read(BOTH)
    places = highlights(snapshot, at(snapshot, "rate"))
    assert [(each.line, each.column) for each in places] == [(3, 3), (7, 3), (8, 9), (10, 3), (14, 9), (16, 29)]
    assert highlights(snapshot, at(snapshot, "12 /min")) == ()
    assert len(highlights(snapshot, at(snapshot, "rate", "raise "))) == 6
    assert [each.line for each in highlights(snapshot, at(snapshot, "high rate"))] == [12]


def test_highlights_of_a_period_and_of_an_id() -> None:
    snapshot = read(BOTH)
    assert [each.line for each in highlights(snapshot, at(snapshot, "night"))] == [2, 11, 16]
    order = example(ORDER)
    assert [each.line for each in highlights(order, at(order, "tracheostomy-night"))] == [6]


@pytest.mark.parametrize("text", ["", "settings\n", "\n" * 60_000, "prescription"])
def test_where_nothing_stands_nothing_leads_anywhere(text: str) -> None:
    snapshot = read(text)
    for position in positions(snapshot, 3):
        assert definition(snapshot, position) == references(snapshot, position) == ()
        assert highlights(snapshot, position) == ()


def test_every_place_that_is_named_lies_in_its_text() -> None:
    seen = 0
    for snapshot in [*prefixes(40, "sound", "slips"), *damaged(40, "sound", "templates")]:
        for position in positions(snapshot, 6):
            found = [*definition(snapshot, position), *references(snapshot, position)]
            places = [each.place for each in found if each.path == snapshot.path]
            for place in [*places, *highlights(snapshot, position)]:
                assert 1 <= place.line <= len(snapshot.lines)
                assert place.column <= len(snapshot.lines[place.line - 1].text) + 1
                seen += 1
    assert seen > 100
