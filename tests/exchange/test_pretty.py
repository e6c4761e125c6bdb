"""JSON as text: the same data comes back, digits stay, lines are short where they can be."""

import json
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from rxlint.exchange.pretty import pretty

LEAVES = st.none() | st.booleans() | st.integers() | st.text()
DATA = st.recursive(LEAVES, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=40)


@given(DATA)
def test_the_same_data_comes_back(data: Any) -> None:
    text = pretty(data)
    assert json.loads(text) == data and text.endswith("\n")


def test_decimals_keep_their_digits() -> None:
    assert pretty({"a": [Decimal("5.0"), Decimal("-0.10"), Decimal("1E+2")]}) == '{"a": [5.0, -0.10, 100]}\n'


def test_what_is_too_long_stands_on_lines_of_its_own() -> None:
    text = pretty({"a": {"b": ["x" * 60, "y" * 60], "c": 1}, "d": []})
    assert text.split("\n")[:4] == ["{", '  "a": {', '    "b": [', f'      "{"x" * 60}",']
    assert json.loads(text)["d"] == []
