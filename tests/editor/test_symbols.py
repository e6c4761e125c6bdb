"""The outline: the document, its sections with their periods, their settings, the rows of tables."""

from collections.abc import Iterator

from rxlint.editor.shapes import Symbol
from rxlint.editor.symbols import symbols
from rxlint.notation.tree import Place
from tests.editor.texts import damaged, example, prefixes, read


def named(found: tuple[Symbol, ...], name: str) -> Symbol:
    return next(each for each in found if each.name == name)


def test_the_outline_of_an_order() -> None:
    (document,) = symbols(example("sound/TM-0417-tracheostomy-night", ruled=False))
    assert (document.name, document.kind) == ("Overnight support by tracheostomy", "document")
    assert document.detail == "prescription TM-0417 revision 3"
    assert document.place == Place(1, 1, 76, 55)
    sections = [each.name for each in document.children if each.kind == "section"]
    assert sections[:5] == ["patient", "airway", "circuit", "settings night from 21:00 to 07:00", "oxygen"]
    assert sections[-1] == 'checked 2026-11-02 16:05 by "second checker, pharmacy"'
    assert named(document.children, "id").detail == "TM-0417"
    settings = named(document.children, "settings night from 21:00 to 07:00")
    assert settings.place == Place(31, 1, 40, 47)
    pressure = named(settings.children, "inspiratory pressure")
    assert pressure.detail == "17 cmH2O above ambient allow 15 to 20 cmH2O"
    assert pressure.name_place == Place(34, 3, 34, 23)


def test_the_rows_of_a_table_stand_under_it() -> None:
    (document,) = symbols(example("templates/tracheostomy-night", ruled=False))
    rate = named(named(document.children, "settings").children, "rate")
    assert (rate.detail, rate.place.line, rate.place.end_line) == ("by age", 40, 43)
    assert [(row.name, row.kind, row.detail) for row in rate.children] == [
        ("6 to 9 years", "row", "18 to 24 /min"),
        ("9 to 12 years", "row", "16 to 22 /min"),
        ("12 to 16 years", "row", "12 to 20 /min"),
    ]


def test_what_can_not_be_read_is_shown_as_it_stands() -> None:
    (document,) = symbols(read('prescription "p"\nsettings\n  PEPE  5 cmH2O\n  PEEP  five\n'))
    assert [(each.name, each.detail) for each in named(document.children, "settings").children] == [
        ("PEPE 5 cmH2O", ""),
        ("PEEP", "five"),
    ]


def test_sections_without_a_document_stand_by_themselves() -> None:
    assert [(each.name, each.kind) for each in symbols(read("settings\n  PEEP  5 cmH2O\nalarms\n"))] == [
        ("settings", "section"),
        ("alarms", "section"),
    ]


def test_a_document_without_a_title_has_a_name_all_the_same() -> None:
    assert symbols(read('prescription ""\n'))[0].name == "a document without a title"


def within(found: tuple[Symbol, ...], outer: Place | None = None) -> Iterator[Symbol]:
    """All symbols, each asserted to lie in the one that holds it and after the one before it."""
    last = (0, 0)
    for each in found:
        start, end = (each.place.line, each.place.column), (each.place.end_line, each.place.end_column)
        name = each.name_place
        assert last <= start <= (name.line, name.column) <= (name.end_line, name.end_column) <= end
        if outer is not None:
            assert (outer.line, outer.column) <= start and end <= (outer.end_line, outer.end_column)
        assert each.name.strip() and "\n" not in each.name + each.detail
        last = end
        yield each
        yield from within(each.children, each.place)


def test_symbols_lie_within_one_another_in_order() -> None:
    seen = 0
    for snapshot in [*prefixes(120, "sound", "templates", "slips"), *damaged(120, "sound", "templates", "slips")]:
        seen += sum(1 for _ in within(symbols(snapshot)))
    assert seen > 4_000
