"""The page in a real browser, from a server of files on this machine: what a second checker does with it.

Each test skips where Chromium, its driver or npm is missing. One made folder and one browser serve them all.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.conftest import ROOT
from tests.page.desk_page import DAY, START, DeskPage
from tests.page.serving import Served, serving
from tests.reports.sheet.browser import DESK, NARROWEST, PAPERS, PHONE, Browser, axe_source, barriers, browser, leaves

pytest.importorskip("selenium")

SOUND: Final = ROOT / "examples" / "sound" / "TM-0504-child-tube-volume-targeted.vrx"
CONTROL, TAB, ENTER, DOWN, HOME, END = "\ue009", "\ue004", "\ue007", "\ue015", "\ue011", "\ue010"
SLIP: Final = ROOT / "examples" / "slips" / "peep-raised-alone.vrx"


@pytest.fixture
def page(chromium: Browser, served: Served) -> Iterator[DeskPage]:
    """The page with an empty desk, its program loaded; at the end nothing was logged, or asked for elsewhere."""
    page = DeskPage(chromium, served.address)
    page.begin()
    yield page
    seen = chromium.seen()
    assert seen.beyond(served.address) == []
    assert [each for each in seen.logged if each.startswith(("SEVERE", "WARNING"))] == []


def typed(page: DeskPage, path: Path) -> None:
    page.new()
    page.write(path.read_text("utf-8"))
    page.wait_checked()


def line_of(text: str, start: str) -> int:
    return next(number for number, line in enumerate(text.splitlines(), 1) if line.strip().startswith(start))


def note_at(page: DeskPage, line: int) -> str:
    """The note that names a line; it must be the only one."""
    found = [told for told, place in zip(page.notes(), page.lines_of_notes(), strict=True) if place == f"line {line}"]
    assert len(found) == 1, page.notes()
    return found[0]


# ---- one order


def test_a_slip_is_told_at_its_line_and_its_correction_takes_it_away(page: DeskPage) -> None:
    typed(page, SLIP)
    line = line_of(page.text, "pressure support")
    page.until("the slip is told", lambda: page.lines_of_notes() == [f"line {line}"])
    assert "query" in note_at(page, line)
    page.show_line(line)
    assert page.marked_lines() == [line]
    if not page.all_shown("#notes .corrections"):
        page.press("#notes .note-open")
    assert "pressure support 10 cmH2O instead of 12 cmH2O" in page.shown("#notes .corrections")
    page.press("#notes .corrections button")
    page.until("the note is gone", lambda: page.notes() == [])
    assert re.search(r"(?m)^  pressure support +10 cmH2O", page.text)
    assert "no approval" in page.shown("#strip-told") and "no approval" in page.shown("#nothing")
    page.press("#undo")
    page.until("the slip is back", lambda: page.lines_of_notes() == [f"line {line}"])


def test_a_note_stands_at_the_height_of_its_line(page: DeskPage) -> None:
    typed(page, SLIP)
    page.until("the slip is told", page.notes)
    line = line_of(page.text, "pressure support")
    page.show_line(line)
    row = page.box_of_line(line)
    note = page.one(
        "const box = document.querySelector('#notes .finding').getBoundingClientRect();"
        "return {top: box.top, bottom: box.bottom, right: box.right}"
    )
    assert note["right"] <= row["left"], (note, row)
    assert note["top"] <= row["bottom"] and note["bottom"] >= row["top"], (note, row)


def test_what_is_typed_by_hand_is_checked_as_it_is_typed(page: DeskPage) -> None:
    typed(page, SOUND)
    before = page.notes()
    line = line_of(page.text, "high inspiratory pressure")
    page.one("document.querySelector('.cm-content').focus()")
    page.held([CONTROL], END)  # below the last line
    page.keys(*"alarms", ENTER, *"  high inspiratory pressure 12 cmH2O")
    page.wait_checked()
    page.until("more is told", lambda: len(page.notes()) > len(before))
    assert any(f"line {line}" in each or "said twice" in each or "repeated" in each for each in page.notes())


BEGUN: Final = 'prescription "Night"\n  id  TM-0001\nsettings\n'


def test_completion_offers_what_may_stand_there_and_the_keyboard_takes_it(page: DeskPage) -> None:
    page.new()
    page.write(BEGUN)
    page.keys(*"  trigger sens")
    page.until("it is offered", lambda: "trigger sensitivity" in page.shown(".cm-tooltip-autocomplete"))
    chosen = ".cm-tooltip-autocomplete [aria-selected]"

    def choose() -> list[str]:  # a key that comes at once with the offers is not meant for them
        page.keys(DOWN)
        return page.all_shown(chosen)

    page.until("it is chosen", choose)
    page.keys(ENTER)
    page.until("it is taken", lambda: page.text == BEGUN + "  trigger sensitivity")
    assert page.all_shown(".cm-tooltip-autocomplete") == []


def test_enter_begins_a_line_and_takes_no_offer_by_itself(page: DeskPage) -> None:
    page.new()
    page.write(BEGUN)
    page.keys(*"  trigger sens")
    page.until("it is offered", lambda: "trigger sensitivity" in page.shown(".cm-tooltip-autocomplete"))
    page.keys(ENTER)
    assert page.text.startswith(BEGUN + "  trigger sens\n")


def test_a_word_is_explained_without_a_mouse(page: DeskPage) -> None:
    page.new()
    page.write(BEGUN + "  PEEP  5 cmH2O")
    page.wait_checked()
    page.show_line(4)
    page.keys(HOME)
    page.one("document.querySelector('#tell').click()")
    page.until("it is explained", lambda: "end-expiratory" in page.shown("#told").lower())
    page.press("#told button")
    assert page.all_shown("#told") == []


def test_coverage_stays_in_view_and_leads_to_what_was_not_checked(page: DeskPage) -> None:
    typed(page, SOUND)
    page.one("window.scrollTo(0, document.body.scrollHeight)")
    told = page.one(
        "const box = document.querySelector('#strip').getBoundingClientRect(); return [box.top, box.bottom]"
    )
    assert told[0] >= -1 and told[1] > 20, told
    found = re.search(r"([0-9]+) checks made", page.shown("#strip-told"))
    assert found is not None and int(found[1]) > 100
    wanting = re.search(r"([0-9]+) could not be made", page.shown("#strip-told"))
    assert wanting is not None
    page.press("#strip-told .wanting-told")
    rows = page.until("the table", lambda: page.all_shown("#view-unchecked tbody tr"))
    assert len(rows) == int(wanting[1])


# ---- several files


def test_ten_files_are_dropped_and_each_is_checked(page: DeskPage) -> None:
    chosen = sorted((ROOT / "examples" / "slips").glob("*.vrx"))[:10]
    page.drop(*chosen)
    page.until("ten lie on the desk", lambda: len(page.documents()) >= 10)
    names = [each.name for each in chosen]
    assert [each for each in page.documents() if each in names] == names
    page.until("all are checked", lambda: not re.search("not checked yet|being checked", page.shown("#tray")))
    for name in names[:3]:
        page.take(name)
        page.wait_checked()
        page.until(f"{name} is told", lambda: len(page.notes()) >= 1)


def test_a_folder_brings_its_policy_and_its_templates(page: DeskPage, tmp_path: Path) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    page.drop(tmp_path / "examples")
    page.until("the folder lies on the desk", lambda: "examples/rxlint.yaml" in page.documents(), START)
    page.take("examples/sound/TM-0504-child-tube-volume-targeted.vrx")
    page.wait_checked()
    page.turn("unchecked")
    page.until("the policy holds", lambda: "site.peak-child" in page.shown("#view-unchecked"))


def test_two_revisions_are_compared_side_by_side(page: DeskPage) -> None:
    chosen = sorted((ROOT / "examples" / "story").rglob("*.vrx"))[:2]
    page.choose(*chosen)
    page.until("both lie on the desk", lambda: {each.name for each in chosen} <= set(page.documents()))
    page.take(chosen[1].name)
    page.turn("compare")
    told = page.until("the changes are told", lambda: page.all_shown("#compare-told tbody tr"))
    assert told
    assert len(page.all_shown("#compare-texts .cm-editor")) == 2
    boxes = page.one(
        "return [...document.querySelectorAll('#compare-texts .cm-editor')].map(each => each.getBoundingClientRect())"
        ".map(each => [each.left, each.right])"
    )
    assert boxes[0][1] <= boxes[1][0] + 1


def test_a_file_that_is_no_text_is_told_and_the_others_are_checked(page: DeskPage, tmp_path: Path) -> None:
    (tmp_path / "bad.vrx").write_bytes(b'prescription "x"\n  id \xff\n')
    shutil.copy(SLIP, tmp_path / "good.vrx")
    page.drop(tmp_path / "bad.vrx", tmp_path / "good.vrx")
    page.until("both lie there", lambda: {"bad.vrx", "good.vrx"} <= set(page.documents()))
    page.take("bad.vrx")
    assert "UTF-8" in page.until("it is told", lambda: page.shown("#unreadable"))
    page.take("good.vrx")
    page.until("the other is told", page.notes)


def test_what_is_saved_is_what_was_opened_and_typed(page: DeskPage, tmp_path: Path) -> None:
    data = SLIP.read_bytes().replace(b"\n", b"\r\n")
    (tmp_path / "crlf.vrx").write_bytes(data)
    page.drop(tmp_path / "crlf.vrx")
    page.until("it lies there", lambda: "crlf.vrx" in page.documents())
    page.take("crlf.vrx")
    page.wait_checked()
    target = tmp_path / "saved"
    target.mkdir()
    page.browser.command("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(target))
    page.press("#save")
    saved = page.until("it is saved", lambda: [each for each in target.iterdir() if each.suffix == ".vrx"])
    assert saved[0].read_bytes() == data


# ---- other views


def test_the_sheet_is_shown_and_prints(page: DeskPage) -> None:
    typed(page, SLIP)
    page.turn("sheet")
    page.until("the sheet is there", lambda: page.all_shown("#sheet-frame"))
    driver = page.browser.driver
    driver.switch_to.frame("sheet-frame")
    page.until("the sheet is shown", lambda: "Then, what rxlint worked out" in page.shown())
    family = page.one("return getComputedStyle(document.body).fontFamily")
    driver.switch_to.default_content()
    assert family
    mine = driver.current_window_handle
    page.press("#sheet-window")
    page.until("a window of its own", lambda: len(driver.window_handles) == 2)
    try:
        driver.switch_to.window(next(each for each in driver.window_handles if each != mine))
        page.until("the sheet is shown", lambda: "Then, what rxlint worked out" in page.shown())
        for paper in PAPERS:
            printed = leaves(page.browser.printed(paper))
            assert len(printed) >= 3
            assert "Checker'ssheet" in printed[0].text or "Checker\u2019ssheet" in printed[0].text
            assert any("pressuresupport" in leaf.text for leaf in printed)
    finally:
        driver.close()
        driver.switch_to.window(mine)


def options(page: DeskPage, place: str) -> list[str]:
    return list(
        page.one("return [...document.querySelectorAll(arguments[0] + ' option')].map(each => each.value)", place)
    )


def test_the_set_up_list_is_made_for_a_profile_that_lies_on_the_desk(page: DeskPage) -> None:
    profiles = sorted((ROOT / "examples" / "profiles").glob("*.yaml"))
    page.choose(SOUND, *profiles)
    page.until("they lie there", lambda: SOUND.name in page.documents())
    page.until("it is asked whether they shall hold", lambda: page.all_shown("#settings-offer button"))
    page.press("#settings-offer button")
    page.until("the settings lie there", lambda: "rxlint.yaml" in page.documents())
    page.take(SOUND.name)
    page.wait_checked()
    page.turn("setup")
    found = page.until("profiles to choose from", lambda: [each for each in options(page, "#setup-choices") if each])
    page.one(
        "const each = document.querySelector('#setup-choices select'); each.value = arguments[0];"
        "each.dispatchEvent(new Event('change', {bubbles: true}))",
        found[0],
    )
    page.until("the list", lambda: page.all_shown("#setup-place table"))
    assert "5 cmH2O" in page.shown("#setup-place").replace("\u00a0", " ")


def test_what_was_worked_out_is_shown_with_its_formula(page: DeskPage) -> None:
    typed(page, SOUND)
    page.turn("values")
    told = page.until("the values", lambda: page.all_shown("#values-place table, #values-place pre"))
    assert "=" in "".join(told)


# ---- without a network, and where something fails


def test_it_opens_again_without_a_network(made_page: Path, tmp_path: Path) -> None:
    with browser(tmp_path / "profile") as chromium, serving(made_page) as served:
        page = DeskPage(chromium, served.address)
        page.open()
        page.until("it is kept", lambda: "without a network" in page.shown("#kept"), START)
        served.stop()
        page.open()
        typed(page, SLIP)
        page.until("it is checked", page.notes)
        assert [each for each in chromium.seen().logged if each.startswith("SEVERE")] == []


@pytest.mark.parametrize(
    ("lost", "told"),
    [
        ("python/pyodide.asm.wasm", "pyodide.asm.wasm"),
        ("start.json", "start.json"),
        ("worker.js", "could not be started"),
        ("ready.zip", "ready.zip"),
    ],
)
def test_a_part_that_is_missing_is_told_in_plain_words(made_page: Path, tmp_path: Path, lost: str, told: str) -> None:
    with browser(tmp_path / "profile") as chromium, serving(made_page) as served:
        served.lost.add(lost)
        page = DeskPage(chromium, served.address)
        page.open(ready=False)
        shown = page.until("the failure is told", lambda: page.shown("#loading.failed"), START)
        assert "Nothing is checked" in shown and told in shown
        page.new()
        page.write("prescription ")
        assert "Not checked" in page.shown("#strip") and page.text.startswith("prescription")
        assert chromium.seen().beyond(served.address) == []


def test_loading_is_told_and_typing_is_possible_meanwhile(page: DeskPage) -> None:
    page.open(ready=False)
    assert page.all_shown("#loading progress")
    page.new()
    page.write(SLIP.read_text("utf-8"))
    page.until("it is checked when the program is there", page.notes, START)


# ---- for everybody


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    return axe_source(tmp_path_factory.mktemp("axe"))


@pytest.mark.parametrize("width", [PHONE, DESK])
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_no_barrier_is_found_in_any_view(page: DeskPage, axe: str, width: int, dark: bool) -> None:
    page.browser.show(width, dark=dark)
    assert barriers(page.browser, axe) == []
    page.choose(*sorted((ROOT / "examples" / "story").rglob("*.vrx"))[:2], SLIP)
    page.until("they lie there", lambda: SLIP.name in page.documents())
    page.take(SLIP.name)
    page.until("the slip is told", page.notes)
    for view in ("text", "sheet", "setup", "compare", "unchecked", "values"):
        page.turn(view)
        page.until("nothing is awaited", lambda: not page.one("return document.querySelector('[aria-busy=true]')"))
        found = barriers(page.browser, axe)
        assert found == [], (view, found)


@pytest.mark.parametrize("width", [NARROWEST, PHONE, 640, DESK])
def test_nothing_runs_over_the_edge_of_the_screen(page: DeskPage, width: int) -> None:
    page.browser.show(width)
    page.choose(SLIP)
    page.until("it lies there", lambda: SLIP.name in page.documents())
    page.take(SLIP.name)
    page.until("the slip is told", page.notes)
    for view in ("text", "sheet", "setup", "compare", "unchecked", "values"):
        page.turn(view)
        page.until("nothing is awaited", lambda: not page.one("return document.querySelector('[aria-busy=true]')"))
        inner, outer = page.one("return [document.documentElement.scrollWidth, window.innerWidth]")
        assert inner <= outer, view


def test_tab_leaves_the_text_and_reaches_everything(page: DeskPage) -> None:
    typed(page, SLIP)
    page.until("the slip is told", page.notes)
    page.one("document.querySelector('.cm-content').focus()")
    seen: list[str] = []
    for _ in range(80):
        page.keys(TAB)
        seen.append(
            str(
                page.one(
                    "const at = document.activeElement; const box = at.getBoundingClientRect();"
                    "return [at.id || at.className, getComputedStyle(at).outlineStyle, box.width > 0].join(' ')"
                )
            )
        )
    ids = {each.split(" ")[0] for each in seen}
    assert len(ids) > 12, seen
    assert not [each for each in seen if each.endswith("false") and not each.startswith(("cm-", "open"))], seen


def test_the_page_says_that_nothing_leaves_the_browser_and_stores_nothing(page: DeskPage, served: Served) -> None:
    typed(page, SLIP)
    page.until("the slip is told", page.notes)
    assert "Nothing typed here leaves this browser" in page.shown("footer")
    kept = page.one("return [localStorage.length, sessionStorage.length, document.cookie]")
    assert kept == [0, 0, ""]
    before = len(served.asked)
    page.write("\n# a comment more\n")
    page.wait_checked()
    assert len(served.asked) == before


def test_the_report_is_the_command_line_s_byte_for_byte(page: DeskPage, tmp_path: Path) -> None:
    from click.testing import CliRunner

    from rxlint.cli import main

    names = [SLIP, SOUND]
    page.choose(*names)
    page.until("they lie there", lambda: {each.name for each in names} <= set(page.documents()))
    target = tmp_path / "saved"
    target.mkdir()
    page.browser.command("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(target))
    page.one("document.querySelector('#reports').open = true")
    page.one(
        "[...document.querySelectorAll('#report-forms button')].find(each => /json/i.test(each.innerText)).click()"
    )
    saved = page.until("it is saved", lambda: [each for each in target.iterdir() if each.suffix == ".json"])
    folder = tmp_path / "library"
    folder.mkdir()
    for each in names:
        shutil.copy(each, folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        told = CliRunner().invoke(main, ["screen", "--format", "json", "--on", DAY, "."])
    assert json.loads(told.stdout)["documents"]
    assert saved[0].read_text("utf-8") == told.stdout
