"""The checking program is started anew in the page: after a silence, after it came to a stop, after a failed start.

A test stands between the page and its program: it keeps single questions from it, and makes a minute short.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

from tests.page.desk_page import EVERY, START, WHY, DeskPage
from tests.page.serving import Served, serving
from tests.page.test_hostile import SLIP, SOUND, laid, raw, slip_of
from tests.reports.sheet.browser import Browser, browser

pytest.importorskip("selenium")

ANEW: Final = "#start-anew"
UNFINISHED: Final = (
    "Not checked: the checking program did not finish with it; it is asked again when the text is changed"
)
POLICY: Final = (
    "pack: p\nrevision: 1\nsummary: s\nlimits:\n  - id: p.one\n    of: PEEP\n"
    "    allow: 0 to 1 cmH2O\n    level: query\n    source: s\n"
)

# Every worker of the page, what it was asked, and a question about one file that never reaches it.
BETWEEN: Final = """
window.program = {workers: [], asked: [], stuck: null, isQuick: false};
const later = window.setTimeout;
window.setTimeout = (act, delay, ...given) =>
  later.call(window, act, delay === 60000 && window.program.isQuick ? 500 : delay, ...given);
window.Worker = class extends Worker {
  constructor(...given) { super(...given); window.program.workers.push(this); }
  postMessage(message) {
    const question = JSON.parse(message.question);
    window.program.asked.push([window.program.workers.indexOf(this), message.id, question]);
    const {stuck} = window.program;
    if (stuck === null || question.ask !== stuck[0] || question.path !== stuck[1]) super.postMessage(message);
  }
};
"""


@pytest.fixture(scope="module")
def chromium(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with browser(tmp_path_factory.mktemp("profile")) as started:
        started.command("Page.addScriptToEvaluateOnNewDocument", source=BETWEEN)
        yield started


@pytest.fixture
def page(chromium: Browser, served: Served) -> Iterator[DeskPage]:
    """The page with its program loaded; at the end nothing was logged."""
    opened = DeskPage(chromium, served.address)
    opened.open()
    yield opened
    seen = chromium.seen()
    assert seen.beyond(served.address) == []
    assert [each for each in seen.logged if each.startswith(("SEVERE", "WARNING"))] == []


def asked_of(page: DeskPage, worker: int) -> list[dict[str, Any]]:
    """The questions that reached a worker, the first of the page being 0."""
    return [question for at, _, question in page.one("return window.program.asked") if at == worker]


def stick(page: DeskPage, ask: str, path: str) -> None:
    """From now on the program never answers a question about a file, and a minute is half a second."""
    page.one("window.program.stuck = [arguments[0], arguments[1]]; window.program.isQuick = true", ask, path)


def silent(page: DeskPage) -> str:
    """What is told once the program has been silent for the whole time."""
    told = str(page.until("the silence is told", lambda: page.shown("#loading.failed")))
    page.one("window.program.isQuick = false")
    return told


def start_anew(page: DeskPage) -> None:
    """Press the button; loading is shown as at first, and no document counts as checked."""
    page.press(ANEW)
    assert page.all_shown("#loading progress") and not page.all_shown("#loading.failed")
    page.until("no document counts as checked", lambda: page.one(
        "return [...document.querySelectorAll('.slip:not([aria-current])')].every(e => e.querySelector('.untold'))"
        " && document.querySelector('#strip-told').matches('.waiting, :has(.unchecked-yet)')"
    ))  # fmt: skip
    assert not page.is_ready()
    page.until("the program is loaded", page.is_ready, START)


def checked(page: DeskPage, path: str) -> None:
    page.until(
        f"{path} is checked",
        lambda: "checked" not in slip_of(page, path) and not page.one(
            "return document.querySelector('#strip-told').classList.contains('waiting')"
        ),
    )  # fmt: skip


def test_one_document_that_takes_too_long_does_not_block_the_others(page: DeskPage) -> None:
    laid(
        page,
        ("rxlint.yaml", "policies: [p.yaml]\n"),
        ("p.yaml", POLICY),
        ("a.vrx", SLIP),
        ("b.vrx", SOUND),
        ("long.vrx", SOUND),
    )
    page.take("a.vrx")
    page.write("# mine\n")
    page.wait_checked()
    for path in ("a.vrx", "b.vrx"):
        checked(page, path)
    slips = {path: slip_of(page, path) for path in ("a.vrx", "b.vrx")}
    notes = page.notes()
    text = page.text
    assert any("p.one" in each for each in raw(page, "#notes .rule"))
    page.take("long.vrx")
    page.wait_checked()
    stick(page, "look", "long.vrx")
    page.write("# longer\n")
    told = silent(page)
    assert "It is at long.vrx." in told and "Start the checking program anew" in told
    page.take("a.vrx")
    start_anew(page)

    page.until("the findings are there again", lambda: page.notes() == notes)
    checked(page, "a.vrx")
    checked(page, "b.vrx")
    assert {path: slip_of(page, path) for path in slips} == slips
    assert "takes too long" in slip_of(page, "long.vrx")
    page.take("long.vrx")
    page.until("it is told", lambda: UNFINISHED in page.shown("#strip"))
    page.turn("sheet")
    page.until("the view says so too", lambda: "did not finish with it" in page.shown("#view-sheet"))
    page.turn("text")
    page.one("document.querySelector('#report-forms button').click()")
    page.until("no report lacks it", lambda: "No report of all documents: in long.vrx" in page.shown("#said"))

    asked = asked_of(page, 1)
    about = [each["ask"] for each in asked if "long.vrx" in json.dumps(each)]
    assert about == ["put"]  # what is found in b.vrx hangs on it: both say that they are the same order
    order = [each["ask"] for each in asked]
    told_of = [each.get("path") or each["files"][0]["path"] for each in asked if each["ask"] in ("take", "put")]
    assert order[0] == "day" and told_of == ["p.yaml", "rxlint.yaml", "a.vrx", "b.vrx", "long.vrx"]
    looks = [each["path"] for each in asked if each["ask"] == "look"]
    assert looks[0] == "a.vrx"
    assert order.index("look") > max(at for at, each in enumerate(order) if each in ("take", "put"))

    page.one("window.program.stuck = null")
    page.write("# shorter\n")
    checked(page, "long.vrx")
    page.wait_checked()
    assert any("p.one" in each for each in raw(page, "#notes .rule"))
    page.press("#undo")
    page.press("#undo")
    assert page.text == SOUND
    page.take("a.vrx")
    assert page.text == text
    page.press("#undo")
    assert page.text == SLIP


@pytest.mark.skipif(not EVERY, reason=WHY)
def test_a_text_that_was_changed_since_is_asked_about_again(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP), ("long.vrx", SOUND))
    page.take("long.vrx")
    page.wait_checked()
    stick(page, "look", "long.vrx")
    page.write("# longer\n")
    assert "It is at long.vrx." in silent(page)
    page.write("# other\n")
    page.one("window.program.stuck = null")
    start_anew(page)
    checked(page, "long.vrx")
    page.wait_checked()
    checked(page, "a.vrx")


@pytest.mark.skipif(not EVERY, reason=WHY)
def test_what_the_old_program_says_late_is_not_heard(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP))
    page.wait_checked()
    notes = page.notes()
    stick(page, "put", "a.vrx")
    page.write("\n")
    silent(page)
    page.one("window.program.stuck = null")
    page.press(ANEW)
    page.one(
        "const [old] = window.program.workers;"
        "const say = data => old.dispatchEvent(new MessageEvent('message', {data}));"
        "for (let id = 0; id < 200; id += 1) say({id, answer: '{\"paths\": []}'});"
        "say({failed: 'The program came to a stop: test.'}); old.dispatchEvent(new Event('error'))"
    )
    assert page.all_shown("#loading progress") and not page.all_shown("#loading.failed")
    page.until("the program is loaded", page.is_ready, START)
    assert "takes too long" in slip_of(page, "a.vrx") and page.notes() == []
    page.write("\n")
    checked(page, "a.vrx")
    page.until("the findings are there again", lambda: len(page.notes()) == len(notes))


def test_it_is_started_anew_after_it_came_to_a_stop(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP), ("b.vrx", SOUND))
    page.take("b.vrx")
    page.wait_checked()
    page.take("a.vrx")
    page.wait_checked()
    notes = page.notes()
    page.turn("sheet")
    page.until("the sheet", lambda: page.all_shown("#sheet-frame"))
    page.one(
        "const [worker] = window.program.workers; worker.terminate();"
        "worker.dispatchEvent(new MessageEvent('message', {data: {failed: 'The program came to a stop: test.'}}))"
    )
    page.until("it is told", lambda: "Nothing is checked" in page.shown("#loading"))
    start_anew(page)
    page.until("the sheet is there again", lambda: page.all_shown("#sheet-frame"))
    page.turn("text")
    page.until("the findings are there again", lambda: page.notes() == notes)
    checked(page, "b.vrx")
    assert page.text == SLIP


@pytest.mark.skipif(not EVERY, reason=WHY)
def test_a_document_at_which_it_came_to_a_stop_is_left_out(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP), ("b.vrx", SOUND))
    page.take("b.vrx")
    page.wait_checked()
    page.one("window.program.stuck = ['look', 'b.vrx']")
    page.write("# more\n")
    page.until("it is asked", lambda: page.one("return window.program.asked.at(-1)[2].path") == "b.vrx"
               and page.one("return window.program.asked.at(-1)[2].ask") == "look")  # fmt: skip
    page.one(
        "window.program.workers[0].dispatchEvent("
        "new MessageEvent('message', {data: {failed: 'The program came to a stop: test.'}}))"
    )
    page.until("it is told", lambda: "It came to a stop at b.vrx." in page.shown("#loading"))
    start_anew(page)
    checked(page, "a.vrx")
    assert "the program stopped at it" in slip_of(page, "b.vrx")
    assert "came to a stop at it; it is asked again when the text is changed" in page.shown("#strip")
    page.one("window.program.stuck = null")
    page.write("# more\n")
    checked(page, "b.vrx")
    page.wait_checked()


def test_a_first_start_that_failed_is_tried_again_with_what_was_written(made_page: Path, tmp_path: Path) -> None:
    with browser(tmp_path / "profile") as chromium, serving(made_page) as served:
        served.lost.add("start.json")
        page = DeskPage(chromium, served.address)
        page.open(ready=False)
        page.until("the failure is told", lambda: page.shown("#loading.failed"), START)
        page.write(SLIP)
        served.lost.clear()
        start_anew(page)
        page.wait_checked()
        assert page.notes() and page.text == SLIP
