"""Whole pages of small documents, as they were looked at."""

from pathlib import Path

import pytest

from tests import sheets

pytest.importorskip("jinja2")


@pytest.mark.parametrize(("path", "golden"), [pytest.param(*each, id=each[0].stem) for each in sheets.kept()])
def test_a_page_is_the_one_that_was_looked_at(path: Path, golden: Path) -> None:
    assert golden.is_file(), "no page yet: python -m tests.sheets --write, then look at it"
    assert sheets.page_of(path) == golden.read_text("utf-8"), "python -m tests.sheets --write"


def test_no_page_is_left_without_its_document() -> None:
    assert set(sheets.KEPT.glob("*.html")) == {golden for _, golden in sheets.kept()}
    assert len(list(sheets.kept())) >= 4
