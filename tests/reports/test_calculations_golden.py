"""What follows from an adult's, a child's and a newborn's order: formula, numbers, unit and source of each value."""

from pathlib import Path

import pytest

from tests.golden import CALCULATIONS, calculation_pairs, calculations_of

PAIRS = [pytest.param(path, golden, id=path.stem) for path, golden in calculation_pairs()]
CLOSING = 1
"""Lines after the last value: the caution."""


def test_an_adult_a_child_and_a_newborn_are_among_them() -> None:
    names = {path.stem.partition("-")[0] for path in CALCULATIONS.glob("*.vrx")}
    assert {"adult", "child", "newborn"} <= names


@pytest.mark.parametrize(("path", "golden"), PAIRS)
def test_the_calculations_are_those_that_were_looked_at(path: Path, golden: Path) -> None:
    assert golden.is_file(), "no text yet: python -m tests.golden --write, then read it"
    assert calculations_of(path) == golden.read_text("utf-8")


@pytest.mark.parametrize("golden", sorted(golden for _, golden in calculation_pairs()), ids=lambda path: path.stem)
def test_every_value_has_its_formula_and_its_source(golden: Path) -> None:
    lines = golden.read_text("utf-8").splitlines()[:-CLOSING]
    values = [number for number, line in enumerate(lines) if line.startswith("    ") and not line.startswith("     ")]
    assert len(values) > 20
    for number in values:
        formula, source = lines[number + 1 : number + 3]
        assert formula.startswith("      ") and formula.strip()
        assert "; source: " in source and not source.endswith("; source: ")
