"""What follows from an adult's, a child's and a newborn's order: formula, numbers, unit and source of each value."""

from pathlib import Path

import pytest

from rxlint.reports.calculations import Value, values_of
from tests.documents import document
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


PATIENT = 'prescription "x"\npatient\n  sex female\n  height {height}\n  weight {weight}\n  age {age}\n{more}'


def told(age: str, height: str, weight: str, more: str = "") -> dict[str, Value]:
    text = PATIENT.format(age=age, height=height, weight=weight, more=more)
    return {value.term: value for value in values_of(document(text))}


def test_before_term_no_chart_is_read() -> None:
    early = told("2 days", "45 cm", "2.3 kg measured", "  gestation 34 weeks\n")
    assert not {"weight z-score", "median weight for age", "growth age"} & early.keys()
    assert "weight z-score" in told("2 days", "50 cm", "3.4 kg measured", "  gestation 39 weeks\n")


def test_a_child_born_early_is_read_at_the_corrected_age() -> None:
    """28 weeks are 12 weeks before term: 30 weeks after birth the child is as old as one of 18 weeks."""
    early = told("30 weeks", "60 cm", "6 kg measured", "  gestation 28 weeks\n")
    term = told("18 weeks", "60 cm", "6 kg measured")
    assert early["weight z-score"].low == term["weight z-score"].low
    assert early["growth age"].low == 18 * 7 * 24 * 3600


def test_an_adult_has_no_age_of_height_and_no_index_of_high_flow() -> None:
    adult = told("50 years", "165 cm", "60 kg measured")
    assert not {"weight of height age", "growth age"} & adult.keys()
    lines = "settings\n  mode {}\n  FiO2 50 %\nreadings\n  SpO2 92 %\n  rate 20 /min\n"
    assert "ROX index" in told("50 years", "165 cm", "60 kg measured", lines.format("high flow"))
    assert "ROX index" not in told("50 years", "165 cm", "60 kg measured", lines.format("A/C-PC"))


def test_a_small_child_s_dead_space_goes_by_the_weight_for_height() -> None:
    """Predicted weight is for adult stature: below it the dead space is counted by another weight, not left out."""
    child = told("6 years", "115 cm", "20 kg measured")
    weight = child["weight at centile of height"].low
    assert float(child["anatomical dead space"].low) == pytest.approx(2.2 * float(weight))  # mL, kg
