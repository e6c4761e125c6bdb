"""Columns of editors: UTF-16 units from 0, where ours are code points from 1."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

pytest.importorskip("lsprotocol")

from lsprotocol import types

from rxlint.editor.convert import Lines
from rxlint.notation.tree import Place
from rxlint.text.columns import column_at, units_before

MIXED = "a\U0001f600e\u0301\u4e2d\U00010330z"  # beyond U+FFFF, a combining accent, a wide letter


@pytest.mark.parametrize(("column", "units"), [(1, 0), (2, 1), (3, 3), (4, 4), (5, 5), (6, 6), (7, 8), (8, 9), (99, 9)])
def test_units_before_a_column(column: int, units: int) -> None:
    assert units_before(MIXED, column) == units


@pytest.mark.parametrize(
    ("units", "column"), [(0, 1), (1, 2), (2, 2), (3, 3), (5, 5), (7, 6), (9, 8), (99, 8), (-1, 1)]
)
def test_the_column_after_some_units(units: int, column: int) -> None:
    assert column_at(MIXED, units) == column


@given(st.text(), st.integers(1, 40))
def test_units_are_those_of_the_encoding(line: str, column: int) -> None:
    assert units_before(line, column) == len(line[: column - 1].encode("utf-16-le", "surrogatepass")) // 2


@given(st.lists(st.text(st.characters(exclude_characters="\n\r\ufeff")), min_size=1), st.data())
def test_a_place_comes_back(lines: list[str], data: st.DataObject) -> None:
    ending = data.draw(st.sampled_from(["\n", "\r\n"]))
    mark = data.draw(st.sampled_from(["", "\ufeff"]))
    number = data.draw(st.integers(1, len(lines)))
    column = data.draw(st.integers(1, len(lines[number - 1]) + 1))
    text = Lines(mark + ending.join(lines))
    there = text.position(number, column)
    assert there.line == number - 1
    assert text.ours(there) == (number, column)


@given(st.text(), st.integers(0, 60), st.integers(0, 60))
def test_every_position_is_in_the_text(text: str, line: int, units: int) -> None:
    """Whatever a client asks for, and whatever a rule names."""
    lines = Lines(text)
    found = lines.ours(types.Position(line, units))
    assert 1 <= found.line <= text.count("\n") + 1
    assert found.column >= 1
    back = lines.position(line, units)
    assert (back.line, back.character) <= (lines.whole.end.line, lines.whole.end.character)


def test_a_byte_order_mark_that_an_editor_keeps_is_counted_by_it() -> None:
    assert Lines("\ufeffab\ncd").position(1, 2) == types.Position(0, 2)
    assert Lines("\ufeffab\ncd").position(2, 2) == types.Position(1, 1)
    assert Lines("ab\ncd").position(1, 2) == types.Position(0, 1)


def test_a_carriage_return_is_no_column() -> None:
    assert Lines("ab\r\ncd\r\n").position(1, 99) == types.Position(0, 2)


def test_beyond_the_text_is_its_end() -> None:
    assert Lines("ab\n").range(Place(1, 3, 9, 9)) == types.Range(types.Position(0, 2), types.Position(1, 0))


def test_a_place_that_ends_before_it_begins_is_empty() -> None:
    assert Lines("abcdef").range(Place(1, 4, 1, 2)) == types.Range(types.Position(0, 3), types.Position(0, 3))
