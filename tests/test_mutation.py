"""The tool that puts faults into the source: it makes the faults it says, and the tests it runs notice known ones."""

from __future__ import annotations

import ast
import os
import subprocess
import sys

import pytest

from tests.mutation.kept import REASONS, Reason, complaints, reasons
from tests.mutation.operators import changes_in
from tests.mutation.page import PAGE, Tried, page, share, survivors_on
from tests.mutation.source import ROOT, Mutant, described, files, mutants_of, out_of_reach
from tests.mutation.trial import Verdict

# A statement, the kind of fault, and all that this kind makes of it.
FAULTS = [
    ("a = b < c", "comparison swapped", ["a = b <= c"]),
    ("a = b >= c", "comparison swapped", ["a = b > c"]),
    ("a = b == c", "comparison swapped", ["a = b != c"]),
    ("a = b <= c < d", "comparison swapped", ["a = b < c < d", "a = b <= c <= d"]),
    ("a = b is None", "comparison swapped", ["a = b is not None"]),
    ("a = b + c - d", "+ and -", ["a = b + c + d", "a = b - c - d"]),
    ("a += b", "+ and -", ["a -= b"]),
    ("a = b + 'text'", "+ and -", []),
    ("a = b * c / d", "* and /", ["a = b * c * d", "a = b / c / d"]),
    ("a = b | c & d", "& and |", ["a = b & (c & d)", "a = b | (c | d)"]),
    ("a = b and c or d", "and and or", ["a = (b and c) and d", "a = (b or c) or d"]),
    ("a = not b", "not removed", ["a = b"]),
    ("a = min(b, max(c, d))", "min and max, any and all", ["a = max(b, max(c, d))", "a = min(b, min(c, d))"]),
    ("a = any(b)", "min and max, any and all", ["a = all(b)"]),
    ("a, b = (c, d)", "pair swapped", ["b, a = (c, d)", "a, b = (d, c)"]),
    ("a = b in (c, d)", "pair swapped", []),
    ("a = isinstance(b, (c, d))", "pair swapped", []),
    ("return True", "return turned round", ["return False"]),
    ("if b:\n    return None\na = c", "return turned round", ["if b:\n    if False:\n        return None\na = c"]),
    ("if b:\n    return None", "return turned round", []),
    ("a = b(c=True)", "True and False", ["a = b(c=False)"]),
    ("a = b[1]", "number changed", ["a = b[2]"]),
    ("a = b[2]", "number changed", ["a = b[3]", "a = b[4]"]),
    ("a = f'{b + 1}'", "number changed", []),
    ("raise ValueError(b < 1)", "comparison swapped", []),
    ("assert b < c", "comparison swapped", []),
    ("a = b if c else d", "condition forced", ["a = b if True or c else d", "a = b if False and c else d"]),
    ("while b:\n    c()", "condition forced", ["while False and b:\n    c()"]),
    ("b(c for c in d if e)", "condition forced", ["b(c for c in d if True or e)", "b(c for c in d if False and e)"]),
    ("match a:\n case 1:\n  b()", "case of a match passed over", ["match a:\n case 1 if False:\n  b()"]),
    ("b()", "statement deleted", ["if False:\n    b()"]),
    ("b.c = d", "statement deleted", ["if False:\n    b.c = d"]),
    ("given = b", "statement deleted", ["if False:\n    given = b"]),
    ("fresh = b", "statement deleted", []),
    ("'text'", "statement deleted", []),
]  # fmt: skip


@pytest.mark.parametrize(("body", "operator", "wanted"), FAULTS)
def test_each_kind_of_fault_makes_the_change_it_says(body: str, operator: str, wanted: list[str]) -> None:
    source = "def f(given: int):\n" + "\n".join(f"    {line}" for line in body.splitlines())
    made = []
    for at in range(len(_changes(source, operator))):
        tree = ast.parse(source)
        function = tree.body[0]
        assert isinstance(function, ast.FunctionDef)
        [each for each in changes_in(function.body, function, True) if each.operator == operator][at].apply()
        compile(ast.fix_missing_locations(tree), "x", "exec")
        made.append(ast.unparse(ast.Module(function.body, [])))
    assert sorted(made) == sorted(ast.unparse(ast.parse(each)) if "return" not in each else each for each in wanted)


def _changes(source: str, operator: str) -> list[Mutant]:
    return [each for each in mutants_of(source, "expressions/x.py") if each.operator == operator]


SOURCE = """
LIMIT = 2 * 3

class C:
    def f(self, a):
        def g(b):
            return a < b
        return g(a) and a < 3
"""


def test_mutants_have_names_that_say_where_they_stand() -> None:
    found = {each.name: each for each in mutants_of(SOURCE, "physiology/x.py")}
    assert list(found) == [
        "physiology/x.py, C.f: `g(a) and a < 3` -> `g(a) or a < 3`",
        "physiology/x.py, C.f: `a < 3` -> `a <= 3`",
        "physiology/x.py, C.f.<locals>.g: `a < b` -> `a <= b`",
    ]
    assert found["physiology/x.py, C.f.<locals>.g: `a < b` -> `a <= b`"].keys == (("C.f", 5), ("C.f.<locals>.g", 6))
    assert len(mutants_of(SOURCE, "expressions/x.py")) == 5  # there the number is changed too
    assert [described(each) for each in out_of_reach(SOURCE)] == ["`2 * 3` -> `2 / 3`"]


def test_every_function_of_the_two_folders_is_looked_at() -> None:
    assert {path.parent.name for path in files()} == {"physiology", "expressions"}
    names = [each.name for path in files() for each in mutants_of(path.read_text("utf-8"), path.name)]
    assert len(names) > 2000 and len(set(names)) == len(names)


TIMING = "physiology/timing.py, _fits: `1 / rate - inspiratory_time > 0` -> `1 / rate - inspiratory_time >= 0`"
CELL = "expressions/intervals.py, Cell.is_point: `self.low == self.high` -> `self.low != self.high`"
SAME = "physiology/lung.py, pc_tidal_volume: `(u, v)` -> `(v, u)`"


def _run(names: list[str], *tests: str) -> subprocess.CompletedProcess[str]:
    chosen = [word for name in names for word in ("--name", name)]
    command = [sys.executable, "-m", "tests.mutation", *chosen, "--examples", "8", "--tests", *tests]
    clean = os.environ | {"PYTHONPATH": str(ROOT)}
    return subprocess.run(command, cwd=ROOT, env=clean, capture_output=True, text=True, check=False, timeout=120)


def test_known_mutants_are_killed_and_one_that_changes_nothing_survives() -> None:
    run = _run(
        [TIMING, CELL, SAME],
        "tests/physiology/test_domains.py::test_a_breath_must_fit_its_cycle",
        "tests/physiology/test_domains.py::test_every_argument_must_be_finite_and_of_a_possible_sign",
        "tests/expressions/test_products.py",
    )
    assert f"survived: {SAME}\n3 mutants, 1 survive;" in run.stdout, run.stdout + run.stderr
    assert "survived: physiology/timing" not in run.stdout and "survived: expressions" not in run.stdout
    assert run.returncode == 1


def test_the_reasons_can_be_read_and_the_page_lists_those_survivors_and_no_others() -> None:
    given = reasons()
    assert given, REASONS
    on_page = survivors_on(PAGE.read_text("utf-8"))
    assert on_page and sorted(on_page) == sorted(given)


@pytest.mark.parametrize(
    "text",
    [
        "curious: [{why: x, mutants: [a]}]",
        "gap: [{why: ' ', mutants: [a]}]",
        "gap: [{why: x, mutants: []}]",
        "gap: [{why: x, mutants: [a, a]}]",
    ],
)
def test_a_reason_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"survivors\.yaml"):
        reasons(text)


def test_what_is_not_explained_or_no_longer_true_is_told() -> None:
    given = {name: Reason("gap", "x") for name in ("left", "killed", "gone")}
    told = complaints(given, ["left", "new"], ["killed", "other"], ["left", "new", "killed", "other"])
    assert [line.split(":")[0] for line in told] == ["new", "killed", "gone"]


def test_the_page_tells_the_shares_and_what_it_was_told() -> None:
    made = mutants_of(SOURCE, "physiology/x.py")
    verdicts = [Verdict("killed", "t"), Verdict("hung", "t"), Verdict("survived")]
    tried = [
        Tried(mutant, verdict, Reason("equivalent", "why | not") if verdict.outcome == "survived" else None)
        for mutant, verdict in zip(made, verdicts, strict=True)
    ]
    text = page(tried, made)
    assert "| of all that were tried | 2 | 3 | 66.6 % |" in text
    assert "| 2 | 2 | 100.0 % |\n" in text
    assert "1 of the kills are tests that hung" in text
    assert survivors_on(text) == [made[2].name]
    assert share(999, 1000) == "99.9 %" and share(9999, 10000) == "99.9 %"
