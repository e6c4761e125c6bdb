"""Comparisons as reports: the kept ones, the JSON against its schema, and Markdown in which no text is markup."""

import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.library.comparing import Pair, Version, compare_pairs
from rxlint.library.rulings import Rulings
from rxlint.reports import compare_json, compare_markdown
from rxlint.reports.compare_text import Totals
from rxlint.text import Problem
from tests.compared import FOLDER, compared, names, reports
from tests.documents import DAY

SCHEMA: Any = json.loads(files("rxlint.reports").joinpath("compare.schema.json").read_text("utf-8"))


@pytest.mark.parametrize("name", names())
def test_a_report_is_the_one_that_was_looked_at(name: str) -> None:
    for path, text in reports(name):
        assert path.is_file(), "no report yet: python -m tests.compared --write, then read it"
        assert text == path.read_text("utf-8")


def test_no_report_is_left_without_its_texts() -> None:
    assert len(names()) > 3
    assert {path.name.split(".")[0] for path in FOLDER.iterdir()} == set(names())


# ---- JSON


def json_of(pairs: list[Pair]) -> Any:
    rulings, totals = Rulings(nearest=False), Totals()
    found = compare_json.report(compare_pairs(pairs, rulings, DAY), rulings, DAY.isoformat(), totals)
    return json.loads("".join(found))


def faults(report: Any) -> list[str]:
    return [f"{each.json_path}: {each.message}" for each in jsonschema.Draft202012Validator(SCHEMA).iter_errors(report)]


def test_every_status_keeps_to_the_schema() -> None:
    kept = [compared(name).pair for name in names()]
    data = (FOLDER / "weaning.new.vrx").read_bytes()
    here, torn = Version("a.vrx", "a.vrx", data), Version("b.vrx", "b.vrx", Problem("can't be opened"))
    found = json_of([*kept, Pair(None, here), Pair(here, None), Pair(here, torn), Pair(torn, here), Pair(here, here)])
    assert faults(found) == []
    told = found["documents"]
    assert {each["status"] for each in told} == {"compared", "new", "deleted"}
    assert {change["kind"] for each in told for change in each["changes"]} == {
        "added", "removed", "changed", "range changed", "reworded",
    }  # fmt: skip
    assert any(each["predicted"] for each in told) and any(each["problems"] for each in told)
    assert found["summary"]["new"] == 1 and found["summary"]["deleted"] == 1 and found["summary"]["unread"] == 2
    assert found["summary"]["alike"] == 1 and found["summary"]["changed"] == len(kept)
    assert all(rule["id"].startswith(("change.", "library.revision-kept")) for rule in found["rules"])


def test_the_schema_is_closed_and_a_finding_is_that_of_a_screening() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    screen = json.loads(files("rxlint.reports").joinpath("screen.schema.json").read_text("utf-8"))
    for name in ("finding", "correction", "origin"):
        assert SCHEMA["$defs"][name] == screen["$defs"][name]
    report = json_of([compared("weaning").pair])
    report["documents"][0]["more"] = 1
    assert len(faults(report)) == 1


# ---- Markdown


def spans(line: str) -> str:
    """A line without what stands in marks of code, read as CommonMark has it: a run of marks ends at its like."""
    left = ""
    at = 0
    while at < len(line):
        if line[at] != "`":
            left, at = left + line[at], at + 1
            continue
        run = re.match("`+", line[at:])
        assert run is not None
        marks = run[0]
        close = re.search(f"(?<!`){marks}(?!`)", line[at + len(marks) :])
        assert close is not None, f"marks that nothing ends: {line}"
        at += 2 * len(marks) + close.start()
    return left


@given(st.text(st.characters(codec="utf-8"), max_size=60))
def test_any_text_is_code_in_one_cell(text: str) -> None:
    told = compare_markdown.code(text)
    assert spans(f"| {told} |") == "|  |"
    assert "|" not in told and "\n" not in told


HOSTILE = (
    "![x](https://example.invalid/x.png)", "[x](https://example.invalid)", "<img src=x>", "@everybody", "a`b", "``",
    "`", "| a | b |", "# heading", "&lt;", "https://example.invalid", "\\", "a\\", "~~~", "$x$", "#1",
)  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_nothing_of_a_document_is_markup(text: str) -> None:
    quoted = text.replace("\\", "\\\\")
    order = 'prescription "{0}{1}"\npatient\n  indication "{0}{1}"\nescalation\n  call "{1}" when SpO2 below {2} %\n'
    old, new = order.format("", quoted, 90), order.format("x ", quoted, 91)
    pair = Pair(Version(f"{text}.vrx", "", old.encode()), Version(f"{text}.vrx", "", new.encode()))
    lines = list(compare_markdown.report(compare_pairs([pair], Rulings(nearest=False), DAY), Totals()))
    told = "\n".join(lines)
    assert text.replace("|", "\u00a6") in told
    plain = "\n".join(map(spans, lines))
    assert not re.search(r"[!\[<@]|https?:", plain), plain
    assert [line for line in plain.split("\n") if line.startswith("#")] == ["## What changed in the orders", "### "]


def test_a_long_table_ends_and_says_so(tmp_path: Path) -> None:
    lines = "".join(
        f"readings at 2026-11-{day:02} {hour:02}:00\n  SpO2 95 %\n" for day in range(1, 21) for hour in range(12)
    )
    old = 'prescription "x"\nsettings\n  PEEP 5 cmH2O\n'
    path = tmp_path / "a.vrx"
    path.write_text(old + lines, "utf-8")
    pair = Pair(Version("a.vrx", "", old.encode()), Version("a.vrx", "", path.read_bytes(), path))
    found = list(compare_markdown.report(compare_pairs([pair], Rulings(nearest=False), DAY), Totals()))
    assert "And 40 more, which the text report lists." in found
