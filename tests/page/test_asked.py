"""Questions in JSON: whatever is asked, the answer is JSON, and a fault says whose it is."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.page import desk
from rxlint.page.asked import NAMES, OURS
from tests.page.desks import Page

ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
KEYS = ("path", "text", "to", "line", "column", "end_line", "old", "new", "day", "rule", "paths", "files", "format")
PATHS = st.sampled_from(["a.vrx", "b.yaml", "c.txt", "rxlint.yaml", "../a", ""]) | st.text(max_size=6)
GIVEN = PATHS | st.integers(-2, 9) | st.lists(PATHS, max_size=2) | ANYTHING
FILES = st.lists(
    st.fixed_dictionaries({"path": PATHS, "base64": st.sampled_from(["", "cHJlc2NyaXB0aW9uCg==", "/w==", "?"])}),
    max_size=2,
)


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Page:
    page = Page(tmp_path_factory.mktemp("desk"))
    page.bring([("a.vrx", b'prescription "p"\n  id A\nsettings\n  PEEP 5 cmH2O\n'), ("b.yaml", b"pack: x\n")])
    return page


def answered(page: Page, question: str) -> Any:
    answer = page.asked.answer(question)
    assert answer.isascii()

    def refused(name: str) -> None:
        raise AssertionError(f"{name} is no JSON")

    found = json.loads(answer, parse_constant=refused)
    assert found is None or isinstance(found, dict)
    return found


@given(text=st.text())
def test_any_text_has_an_answer(shared: Page, text: str) -> None:
    assert "fault" in answered(shared, text)


@given(question=ANYTHING)
def test_any_json_has_an_answer(shared: Page, question: object) -> None:
    assert answered(shared, json.dumps(question))["fault"].startswith(OURS)


@given(name=st.sampled_from(NAMES), given=st.dictionaries(st.sampled_from(KEYS), GIVEN, max_size=4), files=FILES)
def test_any_question_has_an_answer(shared: Page, name: str, given: dict[str, Any], files: object) -> None:
    found = answered(shared, json.dumps({"files": files, **given, "ask": name}))
    if found is not None and "fault" in found and found["fault"].startswith(OURS):
        assert "TypeError: the question" in found["fault"], found  # what it was given, and no bug behind it


@pytest.mark.parametrize("text", ["[" * 100_000, "1" * 10_000, '{"ask": "look"', "\ud800", "{}", "null", "[]"])
def test_what_is_no_question_is_a_fault_of_ours(shared: Page, text: str) -> None:
    assert answered(shared, text)["fault"].startswith(OURS)


def test_a_bug_is_told_as_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    page = Page(tmp_path)
    page.ask("put", path="a.vrx", text="x")

    def broken(*_: object) -> None:
        raise RuntimeError("out of\norder")

    monkeypatch.setattr(desk, "hover", broken)
    told = page.fault("hover", path="a.vrx", line=1, column=1)
    assert told == "a fault of this program: RuntimeError: out of<U+000A>order"
    assert page.ask("look", path="a.vrx")["kind"] == "document"


def test_a_question_tells_what_it_wants(shared: Page) -> None:
    assert shared.fault("look") == f"{OURS}TypeError: the question 'look' wants `path` to be a text"
    assert shared.fault("hover", path="a.vrx", line=True, column=1).endswith("wants `line` to be a whole number")
    assert shared.fault("nothing") == f"{OURS}LookupError: there is no question 'nothing'"


def test_the_current_folder_stays(shared: Page) -> None:
    before = Path.cwd()
    shared.ask("report", format="text")
    shared.fault("look", path="nowhere")
    assert Path.cwd() == before


def test_nothing_is_loaded_that_a_browser_has_not() -> None:
    code = (
        "import sys, rxlint.page.asked, rxlint.reports.sheet.render;"
        "print(*sorted({'pygls', 'lsprotocol', 'pint', 'weasyprint', 'click', 'dask', 'pyarrow'} & sys.modules.keys()))"
    )
    root = Path(__file__).resolve().parent.parent.parent
    found = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True)
    assert found.stdout.strip() == ""
