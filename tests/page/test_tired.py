"""What a tired checker relies on: the note in hand stands at its line among many, the strip says of which document it
tells, the few to reject are found among many files, and paper says as much as the screen.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial
from typing import Final

import pytest

from tests.conftest import ROOT
from tests.page.desk_page import DeskPage
from tests.page.serving import Served
from tests.reports.sheet.browser import Browser, leaves, squeezed

pytest.importorskip("selenium")

ALT, DOWN, PAGE_DOWN = "\ue00a", "\ue015", "\ue00f"
SLIPS: Final = ROOT / "examples" / "slips"
SLIP: Final = SLIPS / "peep-raised-alone.vrx"
SOUND: Final = ROOT / "examples" / "sound" / "TM-0504-child-tube-volume-targeted.vrx"


@pytest.fixture
def page(chromium: Browser, served: Served) -> Iterator[DeskPage]:
    opened = DeskPage(chromium, served.address)
    opened.open()
    yield opened
    chromium.run("window.onbeforeunload = null")


def laid(page: DeskPage, text: str) -> None:
    page.new()
    page.write(text)
    page.wait_checked()
    page.until("it is told", page.notes)


def spoilt() -> str:
    """An order in which every number of a detail can't be read, so that each such line has its note."""
    return re.sub(r"(?m)^(  \S.*?)(\d)", r"\1?\2", SOUND.read_text("utf-8"))


def in_hand(page: DeskPage) -> tuple[int, float, float]:
    """The line of the note in hand, and how high the line and the note stand."""
    line, top = page.one(
        "const note = document.querySelector('.finding.in-hand');"
        "return [Number(/[0-9]+/.exec(note.querySelector('.place').textContent)[0]), note.getBoundingClientRect().top]"
    )
    return int(line), page.box_of_line(int(line))["top"], float(top)


def test_the_note_in_hand_stands_at_its_line_among_many(page: DeskPage) -> None:
    laid(page, spoilt())
    assert len(page.all_shown("#notes .finding")) > 30
    page.press("#notes .note-open", 12)
    before = 0
    for _ in range(3):
        page.held([ALT], DOWN)

        def stands(after: int = before) -> int:
            line, wanted, found = in_hand(page)
            return line if line > after and abs(found - wanted) < 40 else 0

        before = page.until("the note stands at its line", stands, 10)
    assert len(page.all_shown("#notes .note-body")) == 1  # of many notes one is open at a time


def test_the_strip_names_the_document_and_a_day_that_is_not_today(page: DeskPage) -> None:
    page.choose(SLIP, SOUND)
    page.until("both lie there", lambda: len(page.documents()) == 2)

    def named(path: str) -> bool:
        return page.shown("#strip-name") == path

    for path in (SLIP.name, SOUND.name):
        page.take(path)
        for view in ("setup", "compare", "text"):
            page.turn(view)
            page.until(f"{path} is named", partial(named, path))
    assert "24 November 2026, which is not today" in page.shown("#strip-day")
    page.one("const day = document.querySelector('#day'); day.value = ''; day.dispatchEvent(new Event('change'))")
    page.until("today holds, and nothing is said of it", lambda: page.shown("#strip-day") == "")
    assert page.one("return document.querySelector('#day').value") != ""


def test_documents_to_reject_are_found_among_many_files(page: DeskPage) -> None:
    names = [each.name for each in sorted(SLIPS.glob("*.vrx"))[:20]]
    page.drop(*(SLIPS / each for each in names), ROOT / "examples" / "README.md")
    page.until("all lie there", lambda: len(page.documents()) == 21)
    assert "20 documents" in page.shown("#tray-title") and "1 other" in page.shown("#tray-title")
    page.until("all are checked", lambda: "still to be checked" not in page.shown("#tray-title"))
    page.one(
        "const choice = document.querySelector('.choosing select');"
        "choice.value = 'reject'; choice.dispatchEvent(new Event('change'))"
    )
    page.until("fewer are shown", lambda: len(page.all_shown("#tray .slips[aria-label=Documents] .slip")) < 20)
    others = page.all_shown("#tray .slips[aria-label=Documents] .slip:not([aria-current])")
    assert others and all(re.search("\u25a0\u00a0[1-9]", each) for each in others)


def test_keys_never_leave_the_focus_in_a_view_that_is_out_of_sight(page: DeskPage) -> None:
    laid(page, SLIP.read_text("utf-8"))
    page.held([ALT], DOWN)
    page.held([ALT], PAGE_DOWN)
    assert page.one("return document.activeElement.id") == "tab-sheet"


@pytest.mark.parametrize("dark", [False, True])
def test_the_text_prints_with_its_notes_and_the_caution(page: DeskPage, dark: bool) -> None:
    laid(page, SLIP.read_text("utf-8"))
    name = page.shown("#strip-name")
    page.browser.show(1280, dark=dark, paper=True)
    assert (
        page.one("return getComputedStyle(document.body).color") == "rgb(24, 28, 26)"
    )  # dark ink, whatever the screen
    printed = leaves(page.browser.printed("A4"))
    told = "".join(each.text for each in printed)
    for each in (name, "43 pressure support 12 cmH2O above PEEP (query: F1)", "1 query", "could not be made"):
        assert squeezed(each) in told, each
    for each in ("Each of these alone would restore it", "A screening aid, not a medical device"):
        assert squeezed(each) in told, each
    assert "Apply" not in told and "Undo" not in told
    assert all(each.words for each in printed)  # no leaf is empty
