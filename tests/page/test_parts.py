"""Parts of the page's scripts that need no browser, run in Node.js: places, line ends, Markdown, heights of notes."""

from __future__ import annotations

import datetime
import json
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from rxlint.page.npm import install
from rxlint.page.problems import OutOfReach
from tests.page.nodes import WEB

PARTS = Path(__file__).parent / "parts.mjs"
Call = Callable[..., Any]
A_PAIR = "\U0001f4a8"  # two units of UTF-16, one code point


@pytest.fixture(scope="module")
def call(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Call]:
    """Calls a function of the scripts by its name."""
    for name in ("node", "npm"):
        if shutil.which(name) is None:
            pytest.skip(f"{name} is not installed here")
    web = tmp_path_factory.mktemp("parts") / "web"
    shutil.copytree(WEB, web, ignore=shutil.ignore_patterns("node_modules"))
    try:
        install(web)
    except OutOfReach as problem:
        pytest.skip(str(problem))

    with subprocess.Popen(
        ["node", PARTS, web], stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8"
    ) as node:
        assert node.stdin is not None and node.stdout is not None
        asked, told = node.stdin, node.stdout

        def called(name: str, *given: Any) -> Any:
            asked.write(json.dumps([name, *given]) + "\n")
            asked.flush()
            line = told.readline()
            assert line, f"{name} failed: see what Node.js wrote on standard error"
            return json.loads(line)

        yield called
        asked.close()


# ---- places


TEXT = f"PEEP 5\n{A_PAIR}x é\n"


@pytest.mark.parametrize(
    ("line", "column", "offset"),
    [
        (1, 1, 0),
        (1, 7, 6),
        (2, 1, 7),
        (2, 2, 9),  # behind two units
        (2, 3, 10),
        (3, 1, 13),
    ],
)
def test_places_there_and_back(call: Call, line: int, column: int, offset: int) -> None:
    assert call("offsetOf", TEXT, line, column) == offset
    assert call("placeOf", TEXT, offset) == {"line": line, "column": column}


@pytest.mark.parametrize(
    ("line", "column", "offset"),
    [(0, 1, 0), (1, 99, 6), (9, 1, 13), (2, 99, 12)],
)
def test_places_outside_are_drawn_to_the_nearest_end(call: Call, line: int, column: int, offset: int) -> None:
    assert call("offsetOf", TEXT, line, column) == offset


def test_a_span_never_ends_before_it_begins(call: Call) -> None:
    at = {"line": 2, "column": 3, "end_line": 1, "end_column": 1}
    assert call("endsOf", TEXT, at) == {"from": 10, "to": 10}


# ---- line ends


@pytest.mark.parametrize(
    ("text", "shown", "end"),
    [
        ("a\nb\n", "a\nb\n", "\n"),
        ("a\r\nb\r\n", "a\nb\n", "\r\n"),
        ("a\r\nb\n", "a\r\nb\n", "\n"),  # mixed: carriage returns stay, to be seen
        ("a\rb", "a\rb", "\n"),
        ("", "", "\n"),
    ],
)
def test_line_ends_are_taken_as_they_are(call: Call, text: str, shown: str, end: str) -> None:
    assert call("taken", text) == {"text": shown, "end": end}
    assert call("savedAgain", text, "") == text


def test_new_lines_end_as_the_others_do(call: Call) -> None:
    assert call("savedAgain", "a\r\nb\r\n", "c\n") == "a\r\nb\r\nc\r\n"
    assert call("savedAgain", "a\r\nb\n", "c\n") == "a\r\nb\nc\n"


@pytest.mark.parametrize(
    ("text", "saved", "is_unsaved"),
    [("x", None, True), (" \n", None, False), ("x", "x", False), ("y", "x", True), ("", "x", True)],
)
def test_what_would_be_lost_with_the_tab(call: Call, text: str, saved: str | None, is_unsaved: bool) -> None:
    assert call("unsaved", text, saved) is is_unsaved


# ---- Markdown


def test_markup_in_a_text_is_shown_and_not_used(call: Call) -> None:
    html = call("htmlOf", "a <script>alert(1)</script> <img src=x onerror=y>\n\n<b>c</b>")
    assert "<script" not in html and "<img" not in html and "<b>" not in html
    assert "&lt;script&gt;" in html


@pytest.mark.parametrize("target", ["javascript:alert(1)", "JaVaScRiPt:alert(1)", "data:text/html,x", "vbscript:x"])
def test_links_that_would_run_something_lead_nowhere(call: Call, target: str) -> None:
    assert call("htmlOf", f"[a]({target})") == '<p><a href="">a</a></p>'


def test_tables_of_markdown(call: Call) -> None:
    assert "<td>2</td>" in call("htmlOf", "| a | b |\n| - | - |\n| 1 | 2 |\n")


# ---- heights of notes


@pytest.mark.parametrize(
    ("wanted", "tall", "in_hand", "tops"),
    [
        ([], [], -1, []),
        ([100, 300], [50, 50], -1, [100, 300]),
        ([100, 110], [50, 50], -1, [100, 158]),  # the second gives way
        ([100, 110], [50, 50], 1, [52, 110]),  # the first gives way to the one in hand
        ([10, 20], [50, 50], 1, [0, 58]),  # not above the upper edge
        ([-5], [50], -1, [0]),
        ([100, 110, 120], [50, 50, 50], 0, [100, 158, 216]),
    ],
)
def test_heights_of_notes(call: Call, wanted: list[int], tall: list[int], in_hand: int, tops: list[int]) -> None:
    assert call("heights", wanted, tall, in_hand) == tops


# ---- the rest


def test_values_are_read_by_their_indentation(call: Call) -> None:
    report = "a.vrx\n  all day\n    PEEP: 5 cmH2O\n      as set\n      source: x\n    ratio: 1:2\n\nA caution.\n"
    peep = {"what": "PEEP", "comes": "5 cmH2O", "told": ["as set", "source: x"]}
    ratio = {"what": "ratio", "comes": "1:2", "told": []}
    assert call("groupsOf", report) == {
        "groups": [{"scope": "all day", "values": [peep, ratio]}],
        "closing": ["A caution."],
    }


@pytest.mark.parametrize("report", ["a\n    PEEP: 5\n", "a\n  all day\n      as set\n", "a\n   x\n"])
def test_values_that_are_laid_out_otherwise_are_not_guessed_at(call: Call, report: str) -> None:
    assert call("groupsOf", report) is None


@pytest.mark.parametrize(
    ("path", "is_hidden"),
    [("a/b.vrx", False), (".git/config", True), ("a/.b", True), ("__MACOSX/a", True), ("a.b/c.d", False)],
)
def test_hidden_files(call: Call, path: str, is_hidden: bool) -> None:
    assert call("isHidden", path) is is_hidden


@pytest.mark.parametrize("day", ["2026-11-24", "2028-02-29", "2027-01-02"])
def test_the_example_is_sound_on_any_day(call: Call, day: str) -> None:
    import rxlint

    found = rxlint.screen_text(call("exampleOn", day), on=datetime.date.fromisoformat(day))
    assert [each.message for each in found.findings] == []
    assert found.problems == ()
