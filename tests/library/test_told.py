"""A screened document without its tree says all that a report asks, also after it was written and read."""

import json
from pathlib import Path

import pytest

from rxlint import packs
from rxlint.library.entry import Entry, front_of, read_front, used
from rxlint.library.told import packed, read_coverage, read_told, told, unpacked, whole, write_coverage, write_told
from rxlint.reports import totals
from rxlint.reports.pieces import common_of, pieces_of
from rxlint.screening import finding
from tests.formats import HOSTILE, run

RESULTS = run()


def test_what_is_written_is_read_back() -> None:
    for screened in RESULTS:
        given = told(screened)
        assert given.screening == screened.screening
        coverage = given.screening.coverage if given.screening is not None else finding.Coverage({}, ())
        again = read_told(
            unpacked(packed(write_told(given))), read_coverage(write_coverage(coverage)), given.shown, None
        )
        assert again == given
        if given.screening is not None and again.screening is not None:
            one, other = (list(each.coverage.counts.items()) for each in (again.screening, given.screening))
            assert one == other


def test_only_the_lines_that_are_told_are_written() -> None:
    for screened in RESULTS:
        found = told(screened).texts
        findings = screened.screening.findings if screened.screening is not None else ()
        assert len(found) <= sum(1 + len(each.related) for each in findings)
        assert all(screened.texts[place] == text for place, text in found.items())


def test_a_name_is_no_part_of_what_is_written() -> None:
    screened = next(each for each in RESULTS if HOSTILE in each.shown)
    given = told(screened)
    for text in (write_told(given), pieces_of(given).json, pieces_of(given).text):
        assert given.shown not in text
        assert json.dumps(given.shown)[1:-1] not in text


@pytest.mark.parametrize("spoilt", ["", "{}", "[]", '{"makers":[],"plain":[1],"rows":[],"root":0}', "{"])
def test_anything_else_is_refused(spoilt: str) -> None:
    with pytest.raises((ValueError, LookupError, TypeError)):
        read_told(spoilt, finding.Coverage({}, ()), "a.vrx", None)


def test_a_front_is_read_back() -> None:
    for screened in RESULTS:
        pieces = pieces_of(told(screened))
        trace = [("heads", "TM-1 \x1f é", ""), ("is searched", "", True)]
        assert read_front(front_of(pieces, trace)) == (pieces, [list(each) for each in trace])


def test_an_entry_counts_as_its_document() -> None:
    one, two = totals.Totals(), totals.Totals()
    for screened in RESULTS:
        given = told(screened)
        entry = Entry(
            given.shown, pieces_of(given), common_of(given), packed(write_told(given)),
            tuple(map(used, given.policies)), Path("/site/rxlint.yaml"),
        )  # fmt: skip
        one.add(screened)
        two.add(entry)
        assert whole(entry).screening == screened.screening
        assert whole(entry).settings == Path("/site/rxlint.yaml")
    assert one == two


def test_the_names_of_levels_and_outcomes_are_those_of_the_rules() -> None:
    assert totals.LEVELS == packs.LEVELS
    assert totals.OUTCOMES == finding.OUTCOMES
