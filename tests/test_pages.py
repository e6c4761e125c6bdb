"""Generated pages are fresh: the page of all rules, and the table of where each rule holds and where it speaks."""

from __future__ import annotations

import pytest

from rxlint.data import data_folder
from rxlint.packs.builtin import builtin_packs
from rxlint.reports.rules_page import NAME, page_of
from tests import evidence, shown


def test_the_page_of_all_rules_is_fresh() -> None:
    written = (data_folder("rules") / NAME).read_text(encoding="utf-8")
    assert written == page_of(builtin_packs()), "python -m rxlint.reports.rules_page --write"


def test_the_table_of_evidence_is_fresh_and_whole() -> None:
    page = evidence.page()
    assert evidence.PAGE.read_text(encoding="utf-8") == page, "python -m tests.evidence"
    missing = [
        line.split("|")[1].strip(" `") for line in page.splitlines() if line.startswith("| `") and "| - |" in line
    ]
    assert missing == []


def test_a_missing_document_would_be_seen() -> None:
    rule = builtin_packs()[0].rules[0]
    assert (
        evidence._row(rule, None, evidence.Seen("slips/x.vrx", "says so"))
        == f"| `{rule.id}` | - | - | slips/x.vrx | says so |"
    )


@pytest.mark.parametrize("page", sorted(shown.PAGES))
def test_what_the_documents_show_is_fresh(page: str) -> None:
    assert (shown.ROOT / page).read_text(encoding="utf-8") == shown.fresh(page), "python -m tests.shown"


def test_a_session_that_fails_or_is_not_finished_is_not_shown() -> None:
    assert shown.session(("x = 2", "for _ in range(x):\n    print(x)", "x")) == (
        ">>> x = 2\n>>> for _ in range(x):\n...     print(x)\n...\n2\n2\n>>> x\n2"
    )
    for wrong in ("y", "1 +", "print(", "raise SystemError"):
        with pytest.raises(RuntimeError):
            shown.session((wrong,))
