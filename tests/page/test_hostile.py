"""What is made to deceive, to stop or to take over the page, and what becomes of it, in a real browser.

A test may stand between the page and its program: it holds questions back, spoils them, or ends the program.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator
from typing import Final

import pytest

from tests.conftest import ROOT
from tests.page.desk_page import DeskPage
from tests.page.serving import Served
from tests.reports.sheet.browser import Browser, browser

pytest.importorskip("selenium")

SLIP: Final = (ROOT / "examples" / "slips" / "peep-raised-alone.vrx").read_text("utf-8")
SOUND: Final = (ROOT / "examples" / "sound" / "TM-0504-child-tube-volume-targeted.vrx").read_text("utf-8")
MARKUP: Final = "<img src=x onerror=window.ran=1><script>window.ran=1</script><b class=foreign>bold</b>"
LINKS: Final = "![i](https://evil.example/i.png) [l](javascript:window.ran=1) **strong**"
SHOWN_VIEWS: Final = ("sheet", "setup", "compare", "unchecked", "values", "text")

# The worker of the page, with a hand on what is asked of it.
BETWEEN: Final = """
window.program = {held: null, spoils: null};
window.Worker = class extends Worker {
  constructor(...given) { super(...given); window.program.worker = this; }
  postMessage(message) {
    const {held, spoils} = window.program;
    const asked = JSON.parse(message.question).ask;
    if (spoils === asked) message = {...message, question: '{"ask": "no such question"}'};
    if (held === null) super.postMessage(message);
    else held.push(message);
  }
  release() {
    const held = window.program.held ?? [];
    window.program.held = null;
    for (const each of held) super.postMessage(each);
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
    """The page with its program loaded; at the end nothing foreign has run, stands there, or was asked for."""
    opened = DeskPage(chromium, served.address)
    chromium.run("if (window.program) Object.assign(window.program, {held: null, spoils: null})")
    opened.begin()
    yield opened
    assert opened.one("return window.ran ?? null") is None
    assert opened.one("return document.querySelectorAll('.foreign, body script').length") == 0
    seen = chromium.seen()
    assert seen.beyond(served.address) == []
    assert [each for each in seen.logged if each.startswith(("SEVERE", "WARNING"))] == []


def bring(page: DeskPage, *files: tuple[str, str | bytes]) -> None:
    """Drop files of any name, as no disk could hold them."""
    coded = [
        (name, base64.b64encode(text.encode("utf-8") if isinstance(text, str) else text).decode("ascii"))
        for name, text in files
    ]
    page.one(
        "const data = new DataTransfer();"
        "for (const [name, coded] of arguments[0])"
        "  data.items.add(new File([Uint8Array.from(atob(coded), each => each.charCodeAt(0))], name));"
        "document.body.dispatchEvent(new DragEvent('drop', {bubbles: true, cancelable: true, dataTransfer: data}))",
        coded,
    )


def laid(page: DeskPage, *files: tuple[str, str | bytes]) -> None:
    bring(page, *files)
    page.until("they lie there", lambda: {name for name, _ in files} <= set(page.documents()))
    page.until("they are checked", lambda: not [each for each in page.all_shown(".slip") if "not checked yet" in each])


def answered(page: DeskPage) -> None:
    page.until("nothing is awaited", lambda: not page.one("return document.querySelector('[aria-busy=true]')"))


def hold(page: DeskPage) -> None:
    """From now on the program answers nothing."""
    page.one("window.program.held = []")


def release(page: DeskPage) -> None:
    page.one("window.program.worker.release()")


def rename(page: DeskPage, to: str) -> None:
    page.one("document.querySelector('#rename').click()")
    page.one("document.querySelector('dialog input').value = arguments[0]", to)
    page.press("dialog .answers button")


def slip_of(page: DeskPage, path: str) -> str:
    page.one("window.scrollTo(0, 0)")  # out of sight it is not drawn, and has no text that is shown
    return str(
        page.one(
            "return [...document.querySelectorAll('.slip')].find(e => e.dataset.path === arguments[0]).innerText", path
        )
    )


# ---- texts and names


def test_markup_of_texts_and_names_is_shown_as_text_in_every_view(page: DeskPage) -> None:
    hostile = (
        SLIP.replace('prescription "', f'prescription "{MARKUP} {LINKS} ', 1) + f"\n# {MARKUP} {LINKS}\n{MARKUP}\n"
    )
    names = [
        f"{MARKUP.replace('/', '_')}.vrx",
        "__proto__.vrx",
        "constructor.vrx",
        "toString",
        "a.vrx",
        "A.vrx",
        "a.vrx ",
    ]
    profile = (ROOT / "examples" / "profiles" / "fell.yaml").read_text("utf-8")
    policy = f'pack: hostile\nrevision: 1\nsummary: "{MARKUP} {LINKS}"\nlimits:\n'
    policy += "  - id: hostile.one\n    of: PEEP\n    allow: 0 to 1 cmH2O\n"
    policy += f'    level: query\n    because: "{MARKUP} {LINKS}"\n    source: "{LINKS} {MARKUP}"\n'
    laid(
        page,
        *[(name, hostile) for name in names],
        ("hostile.yaml", policy),
        ("fell.yaml", profile),
        ("rxlint.yaml", "policies: [hostile.yaml]\nprofiles: [fell.yaml]\n"),
    )
    for name in (names[0], "__proto__.vrx"):
        page.take(name)
        page.wait_checked()
        page.until("the policy holds", lambda: any("hostile.one" in each for each in raw(page, "#notes .rule")))
        assert MARKUP in page.text
        for view in SHOWN_VIEWS:
            page.turn(view)
            answered(page)
        assert page.one("return document.querySelectorAll('#desk img:not(.cm-widgetBuffer)').length") == 0
    assert any(MARKUP in each for each in raw(page, "#notes .why"))
    page.one("[...document.querySelectorAll('#notes .rule')].find(e => e.textContent.includes('hostile.one'))"
             ".querySelector('button').click()")  # fmt: skip
    told = page.until("the rule's page", lambda: page.shown("dialog"))
    assert "<script>" in told
    assert page.one("return document.querySelectorAll('dialog img, dialog a').length") == 0
    assert page.one("return document.querySelectorAll('.slip').length") == len(names) + 3


def raw(page: DeskPage, selector: str) -> list[str]:
    return list(page.one("return [...document.querySelectorAll(arguments[0])].map(e => e.textContent)", selector))


def test_a_sheet_shows_markup_as_text_in_its_frame_and_in_a_window_of_its_own(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP.replace('prescription "', f'prescription "{MARKUP} ', 1)))
    page.turn("sheet")
    answered(page)
    inside = "return document.querySelector('#sheet-frame').contentDocument"
    page.until("the sheet", lambda: "bold" in str(page.one(f"{inside}.body.textContent")))
    assert page.one(f"{inside}.querySelectorAll('script[src=x], img, .foreign').length") == 0
    driver = page.browser.driver
    mine = driver.current_window_handle
    page.press("#sheet-window")
    other = page.until("a window", lambda: [each for each in driver.window_handles if each != mine])[0]
    driver.switch_to.window(other)
    try:
        page.until("the sheet", lambda: "bold" in str(page.one("return document.body.textContent")))
        assert page.one("return [window.ran ?? null, document.querySelectorAll('.foreign, img').length]") == [None, 0]
        page.one("window.postMessage({sheet: '<p class=foreign>of another</p>'}, '*')")  # not from the desk
        assert "of another" not in str(
            page.one("return new Promise(r => setTimeout(() => r(document.body.innerText), 300))")
        )
    finally:
        driver.close()
        driver.switch_to.window(mine)


def test_what_hides_or_turns_text_round_is_told_by_its_number(page: DeskPage) -> None:
    name = "a\u202egpj\u200b\u2063\U000e0041.vrx"
    laid(page, (name, SLIP + "# a\u202eb\u2060c\u115fd\n"), ("b.vrx", SLIP))
    told = "a<U+202E>gpj<U+200B><U+2063><U+E0041>.vrx"
    page.take(name)
    page.wait_checked()
    assert told in slip_of(page, name) and told in page.shown("#paper-name")
    page.show_line(page.text.count("\n"))
    assert "a<U+202E>b<U+2060>c<U+115F>d" in page.shown("#editor")
    for view in SHOWN_VIEWS:
        page.turn(view)
        answered(page)
        if view == "text":  # lines out of sight stand as they are until they come into it
            page.show_line(page.text.count("\n"))
        shown = page.one(
            "return document.body.innerText + [...document.querySelectorAll('[title], [aria-label]')].map("
            "each => (each.title ?? '') + (each.getAttribute('aria-label') ?? '')).join('')"
        )
        assert set("\u202e\u200b\u2063\u2060\u115f\U000e0041") & set(shown) == set(), view
    rename(page, "b.vrx")
    assert page.until("it is told", lambda: page.shown("#said")) == (
        "There is a b.vrx on the desk already, so nothing was renamed."
    )


# ---- files


def test_two_files_of_one_name_in_one_lot_are_asked_about(page: DeskPage) -> None:
    bring(page, ("a.vrx", SLIP), ("a.vrx", SOUND), ("a.vrx", SLIP))
    assert "came twice" in page.until("it is asked", lambda: page.shown("dialog"))
    page.press("dialog .answers button")  # keep the first
    page.until("it lies there", lambda: page.documents() == ["a.vrx"])
    page.wait_checked()
    assert page.text == SLIP
    assert "1 file laid on the desk" in page.shown("#said") and "1 not taken" in page.shown("#said")


def test_many_files_that_would_replace_others_are_asked_about_at_once(page: DeskPage) -> None:
    names = [f"{number}.vrx" for number in range(12)]
    laid(page, *[(each, SLIP) for each in names])
    page.take("3.vrx")
    page.write("# mine\n")
    bring(page, *[(each, SOUND) for each in names])
    asked = page.until("it is asked", lambda: page.shown("dialog"))
    assert "12 of these files" in asked and "not saved in 1 file" in asked and "and 2 more" in asked
    page.press("dialog .answers button")
    page.until("it is told", lambda: "12 not taken" in page.shown("#said"))
    assert "# mine" in page.text


def test_a_name_that_is_another_way_to_a_file_takes_nothing_from_it(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP))
    page.new()
    rename(page, "./x//../a.vrx")
    page.write(SOUND)
    page.until("it is refused", lambda: "Not checked" in page.shown("#strip"))
    page.new()
    rename(page, ".//a.vrx")
    assert "There is a a.vrx" in page.until("it is told", lambda: page.shown("#said"))
    page.take("a.vrx")
    page.wait_checked()
    assert page.text == SLIP and page.until("the slip is told", page.notes)


def test_what_can_t_be_read_is_told_and_the_rest_is_checked(page: DeskPage) -> None:
    lines = SLIP + "# a comment\n" * 200_000
    laid(
        page,
        ("binary.vrx", bytes(range(256)) * 50),
        ("nul.vrx", SLIP + "\0"),
        ("large.vrx", SLIP + "# " + "x" * 5_000_000),
        ("long.vrx", lines),
        ("good.vrx", SLIP),
        ("rxlint.yaml", "policies: [../../etc/passwd, /etc/passwd]\n"),
    )
    page.take("good.vrx")
    page.until("the settings are told", lambda: "not screened" in page.shown("#strip").lower())
    for name in ("binary.vrx", "nul.vrx", "large.vrx"):
        assert "can\u2019t be shown" in slip_of(page, name)
    page.take("long.vrx")
    page.until("its length is told", lambda: "too long" in page.shown("#strip") + page.shown("#notes"))
    page.take("large.vrx")
    assert "Not checked" in page.until("it is told", lambda: page.shown("#strip-told"))
    page.one("[...document.querySelectorAll('#report-forms button')][0].click()")
    page.until("what is lacking is told", lambda: "lacks large.vrx" in page.shown("#said"))


# ---- what is typed


def test_a_correction_goes_to_its_place_behind_letters_of_two_units(page: DeskPage) -> None:
    text = SLIP.replace("pressure support", "# \U0001f4a8\U0001f4a8\U0001f4a8\n  pressure support", 1)
    before = next(line for line in text.splitlines() if line.strip().startswith("pressure support"))
    laid(page, ("a.vrx", ("\ufeff" + text.rstrip("\n") + "\n# \u0085\u2028 x").replace("\n", "\r\n")))
    page.until("the slip is told", page.notes)
    if not page.all_shown("#notes .apply"):
        page.press("#notes .note-open")
    page.press("#notes .apply")
    page.until("the note is gone", lambda: "pressure support" not in " ".join(page.all_shown("#notes .written")))
    saved = page.one(
        "let kept; const made = URL.createObjectURL; URL.createObjectURL = each => { kept = each; return made(each); };"
        "document.querySelector('#save').click(); URL.createObjectURL = made;"
        "return kept.arrayBuffer().then(each => btoa(String.fromCharCode(...new Uint8Array(each))))"
    )
    data = base64.b64decode(saved)
    wanted = before.replace("12 cmH2O", "10 cmH2O")
    assert wanted != before
    expected = "\ufeff" + text.rstrip("\n").replace(before, wanted) + "\n# \u0085\u2028 x"
    assert data.decode("utf-8") == expected.replace("\n", "\r\n")


def test_a_correction_of_an_older_text_is_not_applied(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP))
    page.until("the slip is told", page.notes)
    if not page.all_shown("#notes .apply"):
        page.press("#notes .note-open")
    hold(page)
    page.write("# one line more\n")
    text = page.text
    page.press("#notes .apply")
    assert page.text == text and "changed since" in page.shown("#said")
    page.until("it is told to be of another text", lambda: "being checked again" in page.shown("#strip"))
    release(page)
    page.wait_checked()
    assert "being checked again" not in page.shown("#strip")


def test_line_ends_of_another_system_do_not_come_along_when_pasted(page: DeskPage) -> None:
    page.new()
    page.one(
        "const data = new DataTransfer(); data.setData('text/plain', arguments[0]);"
        "document.querySelector('.cm-content').dispatchEvent("
        "new ClipboardEvent('paste', {clipboardData: data, bubbles: true, cancelable: true}))",
        SLIP.replace("\n", "\r\n"),
    )
    assert page.text == SLIP


def test_what_is_typed_is_never_lost_without_a_question(page: DeskPage) -> None:
    def asks() -> bool:
        return bool(
            page.one(
                "const leaving = new Event('beforeunload', {cancelable: true}); dispatchEvent(leaving);"
                "return leaving.defaultPrevented"
            )
        )

    laid(page, ("a.vrx", SLIP), ("b.vrx", SOUND))
    assert not asks()
    page.take("a.vrx")
    page.write("# mine\n")
    assert asks()
    page.take("b.vrx")
    page.press("#undo")
    assert page.text == SOUND
    page.take("a.vrx")
    assert "# mine" in page.text
    page.one("document.querySelector('#remove').click()")
    assert "would be lost" in page.until("it is asked", lambda: page.shown("dialog"))
    page.press("dialog .answers button", 1)
    assert "a.vrx" in page.documents()
    page.press("#undo")
    assert page.text == SLIP and not asks()


def test_what_is_written_while_a_file_gets_another_name_stays_with_it(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP))
    page.until("the slip is told", page.notes)
    hold(page)
    rename(page, "b.vrx")
    page.write("nonsense\n")
    text = page.text
    release(page)
    page.until("it has its name", lambda: page.documents() == ["b.vrx"])
    page.wait_checked()
    assert page.text == text
    page.until("the text is the one that is checked", lambda: "nonsense" in " ".join(page.notes()))
    laid(page, ("a.vrx", SLIP))  # nothing of the old name is left in the program's way
    page.take("a.vrx")
    page.wait_checked()
    page.until("the slip is told", page.notes)
    assert "nonsense" not in " ".join(page.notes())


# ---- nothing old is shown as if it were of now


def test_a_text_that_the_program_did_not_take_counts_as_not_checked(page: DeskPage) -> None:
    laid(page, ("a.vrx", SOUND))
    page.wait_checked()
    page.one("window.program.spoils = 'put'")
    page.write("rate 300 /min\n")
    page.until("it is told", lambda: "Not checked" in page.shown("#strip"))
    page.one("return new Promise(done => setTimeout(done, 500))")  # an answer about the older text would come now
    assert "Not checked" in page.shown("#strip") and "not checked" in slip_of(page, "a.vrx")
    assert not page.all_shown("#nothing")
    page.one("window.program.spoils = null")
    page.write("# more\n")
    page.until("it is checked", lambda: "Not checked" not in page.shown("#strip"))


def test_no_view_shows_another_document_while_it_waits(page: DeskPage) -> None:
    laid(
        page,
        ("a.vrx", SLIP.replace('prescription "', 'prescription "ALPHA ', 1)),
        ("b.vrx", SOUND),
        ("c.yaml", "x: 1\n"),
    )
    for view in ("sheet", "values", "unchecked", "setup"):
        page.take("a.vrx")
        page.wait_checked()
        page.turn(view)
        answered(page)
        before = page.shown(f"#view-{view}")
        hold(page)
        page.take("b.vrx")
        now = page.shown(f"#view-{view}")
        assert now != before and not page.all_shown(f"#view-{view} table"), view
        if view == "sheet":
            assert not page.all_shown("#sheet-frame")
            assert page.one("return document.querySelector('#sheet-save').disabled")
        page.take("c.yaml")
        release(page)
        page.until("the answers are here", lambda: "no order and no template" in page.shown(f"#view-{view}"))  # noqa: B023 - called at once
        page.one("return new Promise(done => setTimeout(done, 500))")
        assert "no order and no template" in page.shown(f"#view-{view}"), view
        page.turn("text")


def test_documents_that_wait_for_changed_rules_say_so(page: DeskPage) -> None:
    settings = ("rxlint.yaml", "policies: [p.yaml]\n")
    policy = "pack: p\nrevision: 1\nsummary: s\nlimits:\n  - id: p.one\n    of: PEEP\n"
    policy += "    allow: 0 to 1 cmH2O\n    level: query\n    source: s\n"
    laid(page, settings, ("p.yaml", policy), ("a.vrx", SLIP), ("b.vrx", SOUND))
    page.take("p.yaml")
    page.wait_checked()
    page.one("document.querySelector('.cm-content').focus()")
    page.one(
        "const {worker} = window.program; const send = worker.postMessage;"
        "worker.postMessage = message => send.call(worker, "
        "  (JSON.parse(message.question).ask === 'look' && (window.program.held ??= []), message))"
    )
    page.one("document.execCommand('selectAll')")
    page.write(policy.replace("0 to 1", "0 to 2"))
    page.until("they wait", lambda: "being checked again" in slip_of(page, "a.vrx"))
    page.one("delete window.program.worker.postMessage")
    release(page)
    page.until("they are checked", lambda: "being checked again" not in page.shown(".tray"))


def test_when_the_program_ends_nothing_counts_as_checked_any_more_and_texts_stay(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP), ("b.vrx", SOUND))
    page.take("a.vrx")
    page.wait_checked()
    page.turn("sheet")
    answered(page)
    page.one(
        "const {worker} = window.program; worker.terminate();"
        "worker.dispatchEvent(new MessageEvent('message', {data: {failed: 'The program came to a stop: test.'}}))"
    )
    assert "Nothing is checked" in page.until("it is told", lambda: page.shown("#loading"))
    page.one("window.scrollTo(0, 0)")
    page.until("on every document", lambda: all("not checked" in each for each in page.all_shown(".slip")))
    assert "Not checked" in page.shown("#strip") and not page.all_shown("#sheet-frame")
    page.turn("text")
    assert page.text == SLIP and page.notes() == []
    page.write("# still\n")
    assert page.text.startswith("# still") or "# still" in page.text
    bring(page, ("c.vrx", SOUND))
    page.until("it lies there", lambda: "c.vrx" in page.documents())
    page.until("unchecked", lambda: "not checked" in slip_of(page, "c.vrx"))
    page.take("a.vrx")
    assert "# still" in page.text


def test_typing_goes_on_while_the_program_is_busy(page: DeskPage) -> None:
    laid(page, ("a.vrx", SLIP))
    page.wait_checked()
    hold(page)
    page.write("# while it is busy\n")
    page.new()
    page.write("prescription ")
    assert page.text == "prescription "
    bring(page, ("c.vrx", SOUND))
    page.until("files can be laid", lambda: "c.vrx" in page.documents())
    release(page)
    page.until("all is checked", lambda: not [each for each in page.all_shown(".slip") if "checked" in each])
