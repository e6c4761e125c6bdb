"""What stands at a place: zone, section, period, the statement before it, and what may come there."""

import pytest

from rxlint.editor.shapes import Position
from rxlint.editor.where import followings, offset_in, piece_at, pieces_of, where
from tests.editor.places import ALL, HEAD, example, marked, snapshot_of


@pytest.mark.parametrize(
    ("text", "zone", "section"),
    [
        ("|", "margin", None),
        (HEAD + "|", "margin", None),
        (HEAD + "sett|ings", "margin", None),
        (HEAD + "settings\n  |", "detail", "settings"),
        (HEAD + "settings\n  PEEP 5 |cmH2O", "detail", "settings"),
        (HEAD + "settings\n  PEEP by FiO2\n    |", "row", "settings"),
        (HEAD + "settings\n  PEEP by FiO2\n    30 % to 40 %|  5 cmH2O", "row", "settings"),
        (HEAD + "settings\n  PEEP by FiO2\n    30 %  5 cmH2O\n  |", "detail", "settings"),
        (HEAD + "settings\n  PEEP by FiO2\n    rate |", "detail", "settings"),
        (HEAD + "settings\n  # a com|ment", "comment", None),
        (HEAD + 'escalation\n  ceiling "no in|tubation"', "text", None),
        (HEAD + 'escalation\n  ceiling "no in|', "text", None),
        (HEAD + "settings\n | PEEP 5 cmH2O", "nowhere", None),
        (HEAD + 'checked 2026-11-02 by "x"\n  |', "nowhere", None),
        (HEAD + "setings\n  |", "nowhere", None),
        ("  |", "nowhere", None),
    ],
)
def test_the_zone_and_section_of_a_place(text: str, zone: str, section: str | None) -> None:
    found = where(*marked(text))
    assert (found.zone, found.section) == (zone, section)


def test_a_place_knows_its_period() -> None:
    spot = where(*marked(HEAD + "settings night from 21:00 to 07:00\n  rate 20 /min\nalarms night\n  |"))
    assert (spot.section, spot.period) == ("alarms", "night")


def test_a_list_goes_on_over_lines_and_comments() -> None:
    text = HEAD + "circuit\n  assembly ventilator,\n    # a comment\n    filter,\n    tub|"
    begun = where(*marked(text)).begun
    assert begun is not None and begun.term is not None
    assert begun.term.phrase == "assembly"
    assert [chunk.text for chunk in begun.chunks] == ["ventilator", ",", "filter", ",", "tub"]


def test_a_list_that_ended_does_not_go_on() -> None:
    begun = where(*marked(HEAD + "circuit\n  assembly ventilator\n    tub|")).begun
    assert begun is not None and begun.form is None


def test_places_beyond_the_text_are_its_end() -> None:
    snapshot = snapshot_of(HEAD)
    assert where(snapshot, Position(99, 99)).position == Position(3, 1)
    assert where(snapshot, Position(1, 99)).position == Position(1, 17)
    assert where(snapshot, Position(-1, -1)).position == Position(1, 1)


def test_what_follows_is_told_for_each_phrase_that_may_be_being_typed() -> None:
    spot = where(*marked(HEAD + "settings\n  inspiratory pressure 17 cmH2O above P|"))
    assert spot.begun is not None
    found = next(each for each in followings(spot.begun, spot.before) if each.words == ("above", "P"))
    assert {"above PEEP", "above ambient", "allow"} <= set(found.keywords)
    assert [piece.kind for piece in found.pieces] == ["NUMBER", "UNIT"]


def test_nothing_follows_what_can_t_be_read() -> None:
    spot = where(*marked(HEAD + "settings\n  PEEP 5 gallons of |"))
    assert spot.begun is not None
    assert all("gallons" in each.words for each in followings(spot.begun, spot.before))  # it would have to be a phrase


def test_small_departures_are_read_in_a_whole_statement() -> None:
    snapshot, position = marked(HEAD + "settings\n  PEEP 5cm|H2O")
    entry = snapshot.entry_at(position)
    assert entry is not None
    pieces = pieces_of("detail", "settings", None, entry)
    assert [(piece.kind, piece.text) for piece in pieces] == [("term", "PEEP"), ("NUMBER", "5"), ("UNIT", "cmH2O")]
    offset = offset_in(entry, position)
    assert offset is not None
    found = piece_at(pieces, offset)
    assert found is not None and pieces[found].kind == "UNIT"


def test_the_pieces_of_every_sound_statement_are_all_of_it() -> None:
    """Where a detail is readable, its pieces hold all its words but commas, each at its own place."""
    seen = 0
    for path in ALL[::4]:
        snapshot = example(path)
        assert snapshot.document is not None
        for block in snapshot.document.blocks:
            for entry in block.details:
                statement = entry.statement
                is_relation = statement is not None and statement.term is not None and statement.term.form == "relation"
                if statement is None or not statement.readable or entry.events or is_relation:
                    continue
                pieces = pieces_of("detail", block.section, None, entry)
                joined = " ".join(entry.text[piece.start : piece.end] for piece in pieces)
                assert joined.replace(",", " ").split() == entry.text.replace(",", " ").split(), entry.text
                seen += 1
    assert seen > 1_000
