"""The table of faults names tests that there are, and all of them."""

import ast
import re
from pathlib import Path

FOLDER = Path(__file__).parent
OWN = Path(__file__).name


def named() -> set[str]:
    """The tests that the rows of the table name, each row one at least."""
    rows = [line for line in (FOLDER / "README.md").read_text("utf-8").splitlines() if line.startswith("| ")]
    rows = rows[2:]  # below its head
    found = [re.findall(r"`(test_\w+\.py::test_\w+)`", row) for row in rows]
    assert len(rows) > 20 and all(found), [row for row, tests in zip(rows, found, strict=True) if not tests]
    return {each for tests in found for each in tests}


def there() -> set[str]:
    """The tests of this folder but for these."""
    return {
        f"{path.name}::{node.name}"
        for path in FOLDER.glob("test_*.py")
        if path.name != OWN
        for node in ast.parse(path.read_text("utf-8")).body
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
    }


def test_every_row_names_a_test_that_there_is_and_no_test_is_missing() -> None:
    assert sorted(named() ^ there()) == []
