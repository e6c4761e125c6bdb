"""The page of names for rules: fresh, whole, and true of what the names need."""

from pathlib import Path

import pytest

from rxlint.data import data_folder
from rxlint.expressions import read_condition, read_number
from rxlint.model.derived import DERIVED
from rxlint.model.names import base_names
from rxlint.reports import terms_page
from rxlint.vocabulary import vocabulary

PAGE = (data_folder("rules") / terms_page.NAME).read_text("utf-8")
ROWS = [line for line in PAGE.splitlines() if line.startswith("| `")]


def test_the_page_is_fresh() -> None:
    assert terms_page.page() == PAGE, "run python -m rxlint.reports.terms_page --write"


def test_a_stale_page_is_told_and_renewed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / terms_page.NAME).write_text(PAGE.replace("| `baseline` |", "| `base line` |", 1), "utf-8")
    monkeypatch.setattr(terms_page, "data_folder", lambda _: tmp_path)
    assert terms_page.main([]) == 1
    assert terms_page.main(["--write"]) == 0 == terms_page.main([])
    assert (tmp_path / terms_page.NAME).read_text("utf-8") == PAGE


def test_every_name_that_a_rule_may_use_stands_somewhere() -> None:
    shown = {cell for row in ROWS for cell in row.split("`")[1::2]}
    assert set(base_names().types) <= shown | set(vocabulary().terms)


def test_every_derived_term_has_a_row_with_unit_meaning_and_ways() -> None:
    rows = {row.split("`")[1]: [cell.strip() for cell in row.strip("| ").split(" | ")] for row in ROWS}
    for each in DERIVED:
        name, unit, means, needs = rows[each.key]
        assert (name, unit.strip("`"), means) == (f"`{each.key}`", each.unit, each.means)
        assert needs.count("; or ") == len(each.ways) - 1


@pytest.mark.parametrize(
    ("name", "needs"),
    [
        ("baseline", "`PEEP`; or `EPAP`"),
        ("expiratory time", "`cycle time`, `inspiratory time`; or `cycle time`, `I:E`; or `cycle time`, `inspiration`"),
        (
            "predicted weight",
            "`patient diagnosis`, `patient sex`, `patient arm span`, `patient height`; "
            "or `patient sex`, `patient height`; or `patient sex`, `patient arm span`",
        ),
    ],
)
def test_what_a_term_needs_is_its_ways(name: str, needs: str) -> None:
    (row,) = [row for row in ROWS if row.startswith(f"| `{name}` |")]
    assert row.endswith(f"| {needs} |")


def test_the_names_beside_a_value_can_be_used_as_shown() -> None:
    for name in terms_page.further_names():
        read = read_condition(f"{name} is stated", base_names())
        assert read.node is not None or read_number(name, base_names(), None).node is not None, name
