"""Whole documents with their whole reports, side by side: a new pair of files is a new test."""

from pathlib import Path

import pytest

from tests.golden import CASES, calculation_pairs, pairs, report_of

PAIRS = [
    pytest.param(path, golden, id=golden.relative_to(CASES).with_suffix("").as_posix()) for path, golden in pairs()
]


def test_there_are_cases() -> None:
    assert len(PAIRS) > 20


@pytest.mark.parametrize(("path", "golden"), PAIRS)
def test_a_report_is_the_one_that_was_looked_at(path: Path, golden: Path) -> None:
    assert golden.is_file(), "no report yet: python -m tests.golden --write, then read it"
    assert report_of(path) == golden.read_text("utf-8")


def test_no_report_is_left_without_its_document() -> None:
    kept = {
        path for path in CASES.rglob("*.txt") if path.parent != CASES / "setup"
    }  # lists for ventilators have their own
    assert kept == {golden for _, golden in (*pairs(), *calculation_pairs())}
