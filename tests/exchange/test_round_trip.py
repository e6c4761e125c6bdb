"""Text to JSON to text: the same facts, the same content, the same findings; a line that can't be read is not lost."""

import json
import os
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rxlint.exchange.documents import Exported, Imported, export_document, import_document
from rxlint.exchange.schema import schema_of_documents
from rxlint.library.screen import parse_bytes
from rxlint.model.content import content_of, unread_lines
from rxlint.model.facts import Facts, facts_of
from rxlint.notation import Document, NewSection, render_document, sections_of
from rxlint.screening.engine import screen_document
from rxlint.screening.ruleset import builtin_rules
from rxlint.text import Problem
from tests.conftest import ROOT
from tests.documents import DAY, document
from tests.notation.plain import without_places
from tests.notation.strategies import documents
from tests.notation.test_round_trip import TEXTS, mutated

PATHS = sorted([*(ROOT / "examples").rglob("*.vrx"), *(ROOT / "tests" / "cases").rglob("*.vrx")])
FOLDERS = sorted({path.parent for path in PATHS})
VALIDATOR = jsonschema.Draft202012Validator(schema_of_documents())
few = settings(max_examples=max(10, settings().max_examples // 3))
EVERY = 25  # of the slips whose lines can all be read: their findings follow from facts that are compared for all


def read(path: Path) -> Document | None:
    found = parse_bytes(path.read_bytes())
    return None if isinstance(found, Problem) else found


def exported(given: Document) -> str:
    found = export_document(given)
    assert isinstance(found, Exported), found
    return found.text


@cache
def export_of(path: Path) -> str | None:
    """The JSON of a file; None where it holds no document."""
    found = read(path)
    return None if found is None else exported(found)


def again(text: str) -> Document:
    found = import_document(text.encode())
    assert isinstance(found, Imported), found
    return document(found.text)


def facts(given: Document) -> list[tuple[Any, ...]]:
    return [_facts(each) for each in facts_of(given)]


def _facts(found: Facts) -> tuple[Any, ...]:
    band = found.band.label if found.band is not None else None
    values = (found.constants, found.axes, found.formulas, found.written, found.unreadable, found.off)
    return (found.scope.period, band, found.mode, *values, found.scope.unsure, found.scope.repeated)


def test_there_is_something_to_compare() -> None:
    assert len(PATHS) > 300 and {"sound", "slips", "templates", "cases"} <= {folder.name for folder in FOLDERS}


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_document_comes_back_with_its_facts(folder: Path) -> None:
    every = 3 if folder.name == "slips" and "RXLINT_EVERY_DOCUMENT" not in os.environ else 1
    for path in sorted(folder.glob("*.vrx"))[::every]:
        first, text = read(path), export_of(path)
        if first is None or text is None:
            continue
        second = again(text)
        assert facts(second) == facts(first), path.name
        assert content_of(second) == content_of(first), path.name
        assert len(unread_lines(second)) == len(unread_lines(first)), path.name


def findings(given: Document) -> list[tuple[Any, ...]]:
    """The findings without their places. The unit of a range may stand once or twice: that is layout."""
    found = screen_document(given, builtin_rules(), DAY).findings
    return sorted((each.rule, each.level, each.outcome, _told(each.message), str(each.period)) for each in found)


def _told(message: str) -> str:
    once = re.sub(r"([0-9]) (%|cmH2O|mL|/min|s|kPa) to ", r"\1 to ", message)
    return re.sub(r"\blines? [0-9]+(, [0-9]+)*( and [0-9]+)?", "line N", once)


def compared() -> Iterator[Path]:
    """Sound orders, templates, and slips that keep lines as they were written; of the other slips one in some."""
    every = 1 if "RXLINT_EVERY_DOCUMENT" in os.environ else EVERY
    for at, path in enumerate(PATHS):
        text = export_of(path)
        if text is None:
            continue
        keeps_lines = '"lines": [' in text or '"written": [' in text
        if keeps_lines or path.parent.name in ("sound", "templates") or at % every == 0:
            yield path


def test_documents_come_back_with_their_findings() -> None:
    chosen = list(compared())
    assert len(chosen) > 70
    for path in chosen:
        first, text = read(path), export_of(path)
        assert first is not None and text is not None
        assert findings(again(text)) == findings(first), path.name


@few
@given(documents())
def test_nodes_come_back_from_json(made: tuple[NewSection, ...]) -> None:
    first = document(render_document(made))
    VALIDATOR.validate(json.loads(exported(first)))
    second = again(exported(first))
    assert render_document(sections_of(second)) == render_document(sections_of(again(exported(second))))
    assert content_of(second) == content_of(first)
    assert [each.name for each in without_places(sections_of(second))] == [each.name for each in made]


def without_lines(found: Any) -> Any:
    if isinstance(found, dict):
        return {name: without_lines(each) for name, each in found.items() if name != "line"}
    return [without_lines(each) for each in found] if isinstance(found, list) else found


@few
@given(mutated())
def test_a_spoilt_example_comes_back_or_is_refused(text: str) -> None:
    first = parse_bytes(text.encode("utf-8", "replace"))
    if isinstance(first, Problem):
        return
    found = export_document(first)
    if isinstance(found, Problem):  # a carriage return at the end of a line would be taken for a part of its end
        assert "\r" in text and "$" in found.message
        return
    second = again(found.text)
    assert without_lines(json.loads(exported(second))) == without_lines(json.loads(found.text))
    assert facts(second) == facts(first)


@few
@given(st.sampled_from(TEXTS), st.sampled_from(["\t", "  ", "        "]), st.sampled_from(["\n", "\r\n"]))
def test_layout_makes_no_difference(text: str, indent: str, end: str) -> None:
    laid = re.sub(r"(?m)^(?: {2})+", lambda found: indent * (len(found.group()) // 2), text).replace("\n", end)
    one, other = (export_document(document(each)) for each in (text, laid))
    assert isinstance(one, Exported) and isinstance(other, Exported)
    assert one.text == other.text
