"""Orders written from published starting settings without sight of the rules: what is said of them is known.

They were written before the rules were held against them. The rules were then looked at again where they had spoken on
a sound order, so that these orders measure no more how often that happens on new ones.
"""

import datetime
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from rxlint.library.screen import screen_bytes
from rxlint.screening.ruleset import builtin_rules

HERE = Path(__file__).parent
ORDERS = sorted((HERE / "orders").glob("*.vrx"))
DAY = datetime.date(2026, 11, 23)
"""Acute orders are written for that day and are due for review soon after it."""
FINDINGS: list[dict[str, Any]] = YAML(typ="safe", pure=True).load((HERE / "findings.yaml").read_text("utf-8"))


def test_there_are_as_many_as_were_written() -> None:
    assert len(ORDERS) == 36
    assert {each["order"] for each in FINDINGS} <= {path.stem for path in ORDERS}
    assert {each["verdict"] for each in FINDINGS} <= {"omission", "hole", "arguable"}


@pytest.mark.parametrize("path", ORDERS, ids=lambda path: path.stem)
def test_what_is_said_of_an_order_is_known(path: Path) -> None:
    screened = screen_bytes(path.name, path.read_bytes(), builtin_rules(), DAY)
    assert screened.problems == () and screened.screening is not None
    told = Counter(each.rule for each in screened.screening.findings if each.level != "note")
    known = Counter(each["rule"] for each in FINDINGS if each["order"] == path.stem)
    assert told == known, [each.message for each in screened.screening.findings if each.level != "note"]
