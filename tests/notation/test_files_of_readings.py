"""Files that hold readings alone: how they are told from an order whose first line is lost, and written back."""

import pytest

from rxlint.notation.write import render_document, sections_of, write
from tests.documents import document

SETS = "readings at 2026-11-24 08:00\n  SpO2 93 %\n"


def events(text: str) -> list[tuple[int, str]]:
    return [(each.entry.lines[0].number, each.event.name) for each in document(text).reported]


@pytest.mark.parametrize(
    ("text", "kind", "told"),
    [
        ("readings for TM-1 revision 2\n" + SETS, "readings", [(1, "reader.readings-alone")]),
        ("# first a comment\n\n" + SETS, "readings", [(3, "reader.readings-unnamed")]),
        (SETS + "alarms\n  low SpO2 90 %\n", "readings", [(3, "reader.not-readings")]),
        (SETS + 'prescription "x"\n', "prescription", []),
        ('prescription "x"\nreadings for TM-1 revision 2\n' + SETS, "prescription", []),
        ("alarms\n  low SpO2 90 %\n" + SETS, None, [(1, "reader.no-document")]),
        ("readings for TM-1\n" + SETS, None, [(1, "reader.not-understood")]),
        ("readings for TM-1 revision 0\n" + SETS, None, [(1, "reader.not-understood")]),
        ("readings for TM-1 revision 1.5\n" + SETS, None, [(1, "reader.not-understood")]),
        (
            "readings for TM-1 revision 2\n  SpO2 93 %\n",
            "readings",
            [(2, "reader.heading-has-no-details"), (1, "reader.readings-alone")],
        ),
    ],
)
def test_a_file_of_readings_is_told_by_its_first_line(text: str, kind: str | None, told: list[tuple[int, str]]) -> None:
    assert document(text).kind == kind
    assert events(text) == told


def test_nothing_but_readings_is_read_of_it() -> None:
    found = document(SETS + "settings\n  PEEP 5 cmH2O\n" + SETS)
    assert [block.section for block in found.blocks] == ["readings", "readings"]


def test_it_is_written_back_as_it_stood_and_in_canonical_layout() -> None:
    text = "readings for TM-1  revision 2 # of the ward\n" + SETS
    found = document(text)
    assert write(found) == text
    canonical = "readings for TM-1 revision 2\n\nreadings at 2026-11-24 08:00\n  SpO2  93 %\n"
    assert render_document(sections_of(found)) == canonical
    assert render_document(sections_of(document(canonical))) == canonical
