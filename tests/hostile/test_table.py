"""The table of hostile input: each test that it names is there, and each test of this folder stands in it."""

import ast
import re
from pathlib import Path

from tests.conftest import ROOT

HERE = Path(__file__).parent
ROW = re.compile(r"\| .+ \| .+ \| `(tests/[\w/]+\.py)::(test_\w+)` \|")
# what shows that these tests themselves can fail, or that limits are no nuisance
BESIDE = {
    "test_other_processes_load_no_module_of_the_folder_that_is_screened",
    "test_the_limits_are_those_that_are_told",
    "test_an_order_that_is_watched_for_long_is_no_attack",
    "test_a_folder_that_only_looks_like_a_repository_is_told",
}


def rows() -> list[tuple[str, str]]:
    lines = (HERE / "README.md").read_text("utf-8").splitlines()
    body = [line for line in lines if line.startswith("| ")][2:]
    found = [ROW.fullmatch(line) for line in body]
    assert None not in found, [line for line, match in zip(body, found, strict=True) if match is None]
    return [(match.group(1), match.group(2)) for match in found if match is not None]


def named_in(path: Path) -> set[str]:
    tree = ast.parse(path.read_text("utf-8"))
    kinds = ast.FunctionDef | ast.AsyncFunctionDef
    return {node.name for node in tree.body if isinstance(node, kinds) and node.name.startswith("test_")}


def test_every_test_that_the_table_names_is_there() -> None:
    named = rows()
    assert len(named) == len(set(named)) >= 50
    assert [f"{file}::{name}" for file, name in named if name not in named_in(ROOT / file)] == []


def test_every_test_of_this_folder_stands_in_the_table() -> None:
    files = [path for path in HERE.glob("test_*.py") if path.name != "test_table.py"]
    own = {name for path in files for name in named_in(path)}
    assert own - {name for _, name in rows()} == BESIDE
