"""tests/CONSTANTS.md lists what stands in the source, and its tool sees, changes and judges numbers as it should."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.constants.change import Change, changed
from tests.constants.child import MARK, Caught, Outcome, marked_files
from tests.constants.kept import Reasons, astray, reasons, unexplained
from tests.constants.page import PAGE, names_on
from tests.constants.source import ROOT, Constant, changes, constants, constants_of, steps
from tests.constants.trial import DATA, Broken, Verdict, columns, judged

SOURCE = "A: Final = 2.5\nB = -4 * 60\ndef f(x):\n    return 0 * x + 1 + (3, 3)[0] + 1e-9\n"
CAUGHT = Caught("tests/outside/test_x.py::test_y", "a table", "AssertionError")


def a_constant(text: str = "2.5") -> Constant:
    return Constant("x.py", "A", text, "", 1, 1, 0)


def marked_tests(path: Path) -> Iterator[tuple[str, list[ast.expr]]]:
    """Every test with the mark, and the mark's arguments."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            for each in node.decorator_list:
                if isinstance(each, ast.Call) and ast.unparse(each.func) == f"pytest.mark.{MARK}":
                    yield f"{path.relative_to(ROOT).as_posix()}::{node.name}", each.args


def test_the_page_lists_exactly_the_numbers_of_the_source() -> None:
    on_page = names_on(PAGE.read_text(encoding="utf-8"))
    listed = on_page["Held"] + on_page["No published number"] + on_page["Left out"]
    assert sorted(listed) == sorted(each.name for each in constants()), "python -m tests.constants"
    assert on_page["The growth table"] == [DATA.name]


def test_the_page_agrees_with_the_reasons() -> None:
    given, on_page = reasons(), names_on(PAGE.read_text(encoding="utf-8"))
    assert sorted(on_page["No published number"]) == sorted(given.unpublished), "python -m tests.constants"
    assert sorted(on_page["Left out"]) == sorted(given.left_out), "python -m tests.constants"
    assert astray(given, {each.name for each in constants()}) == []


def test_every_test_on_the_page_exists_and_is_marked() -> None:
    marked = {name for path in marked_files() for name, _ in marked_tests(path)}
    named = {
        part.partition("[")[0]
        for line in PAGE.read_text(encoding="utf-8").splitlines()
        for part in line.split("`")
        if part.startswith("tests/outside/")
    }
    assert named
    assert named <= marked, "python -m tests.constants"


def test_every_mark_names_a_source() -> None:
    marks = [(name, arguments) for path in marked_files() for name, arguments in marked_tests(path)]
    assert len(marks) > 30
    for name, arguments in marks:
        assert len(arguments) == 1 and isinstance(arguments[0], ast.Constant), name
        assert len(str(arguments[0].value)) > 20, name


def test_numbers_are_found_with_their_names() -> None:
    assert [each.name for each in constants_of(SOURCE, "x.py")] == [
        "x.py, A: 2.5",
        "x.py, B: 4 in -4 * 60",
        "x.py, B: 60 in -4 * 60",
        "x.py, f: 3 in (3, 3)",
        "x.py, f: 3 in (3, 3), number 2",
        "x.py, f: 1e-9 in 0 * x + 1 + (3, 3)[0] + 1e-9",
    ]
    assert len({each.name for each in constants()}) == len(constants()) > 100


@pytest.mark.parametrize(
    ("text", "up", "down"),
    [
        ("0.91", "0.9555", "0.8645"),
        ("2200.0", "2310", "2090"),
        ("13_700", "14385", "13015"),
        ("2", "2.1", "1.9"),
        ("1e-9", "1.05E-9", "9.5E-10"),
    ],
)
def test_a_number_is_changed_by_five_per_cent(text: str, up: str, down: str) -> None:
    assert changes(text) == (up, down)


def test_a_number_that_counts_is_changed_by_one() -> None:
    assert steps("12") == ("13", "11")


def test_a_change_is_made_where_it_belongs() -> None:
    third = constants_of(SOURCE, "x.py")[2]
    change = Change("x", third.line, third.column, third.text, "63")
    assert changed(SOURCE, change) == SOURCE.replace("60", "63")
    with pytest.raises(ValueError, match="no 61 at column"):
        changed(SOURCE, Change("x", third.line, third.column, "61", "63"))


def test_a_number_that_nothing_holds_needs_a_reason_and_one_that_is_held_bears_none() -> None:
    held, lost = Verdict(a_constant(), CAUGHT, CAUGHT), Verdict(a_constant(), CAUGHT, None)
    name = a_constant().name
    without, given = Reasons({}, {}, {}), Reasons({}, {}, {name: "ours"})
    assert unexplained(without, [held]) == []
    assert unexplained(given, [lost]) == []
    assert unexplained(without, [lost]) == [f"{name}: a change down goes unnoticed, and no reason is given"]
    assert unexplained(given, [held]) == [f"{name}: said to be unpublished, but {CAUGHT.test} holds it"]
    assert astray(given, {"x.py, B: 3"}) == [f"{name}: no such number in the source"]


def test_a_run_that_breaks_proves_nothing() -> None:
    change = Change("x", 1, 0, "2.5", "2.625")
    assert judged(change, Outcome(0, 5, None, ())) is None
    assert judged(change, Outcome(1, 5, CAUGHT, ())) == CAUGHT
    broken = Caught(CAUGHT.test, CAUGHT.source, "TypeError")
    for outcome in (Outcome(1, 5, broken, ()), Outcome(0, 0, None, ()), Outcome(2, 0, None, ("no import",))):
        with pytest.raises(Broken):
            judged(change, outcome)


def test_a_reason_must_be_given_in_words() -> None:
    with pytest.raises(ValueError, match="has no reason"):
        reasons("left out:\nwhole:\nunpublished: {a: ''}")
    with pytest.raises(ValueError, match="the parts are"):
        reasons("left out: {}")


def test_the_growth_table_has_its_columns() -> None:
    assert len(columns()) == 2 * 4 * 3
