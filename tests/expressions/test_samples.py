"""The points that are tried in a box, and how boxes are cut."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rxlint.expressions import Axis
from rxlint.expressions.intervals import Cell
from rxlint.expressions.samples import Ends, first_cell, is_writable, may_be_written, neighbours_of, points_in, split
from tests.expressions.invented import axis, words

SIMV, CMV = words("SIMV"), words("CMV")


def cell(low: str, high: str) -> Cell:
    return Cell(Fraction(low), Fraction(high))


@pytest.mark.parametrize(
    ("allowed", "wanted"),
    [
        (axis("a", "4.1", "7.9"), cell("4.1", "7.9")),
        (axis("a", "4.1", "7.9", step="0.5", origin="4"), cell("4.5", "7.5")),
        (axis("a", "4.1", "7.9", step="0.5", origin="0.25"), cell("4.25", "7.75")),
        (axis("a", "4", "8", step="1", origin="20"), cell("4", "8")),
        (axis("a", "4.2", "5.8", step="1", origin="0"), cell("5", "5")),
        (axis("a", "4.2", "4.8", step="1", origin="0"), None),
        (axis("a", "4", "4"), cell("4", "4")),
    ],
)
def test_a_first_cell_ends_on_steps(allowed: Axis, wanted: Cell | None) -> None:
    assert first_cell(allowed) == wanted


def test_what_an_author_would_write() -> None:
    free = axis("a", "4.1", "7.9", grid="0.5", as_set="6.3")
    tried = ("4", "4.1", "4.3", "4.5", "6.3", "7.5", "7.9", "8")
    written = [text for text in tried if is_writable(free, Fraction(text))]
    assert written == ["4.1", "4.5", "6.3", "7.5", "7.9"]
    stepped = axis("a", "4", "8", step="1.5", origin="4", as_set="6.3")
    tried = ("2.5", "4", "5.5", "6", "6.3", "7", "8", "8.5")
    written = [text for text in tried if is_writable(stepped, Fraction(text))]
    assert written == ["4", "5.5", "7"]
    assert not is_writable(free, 4.5) and not is_writable(free, True)
    choice = Axis("a", options=(SIMV,))
    assert is_writable(choice, SIMV) and not is_writable(choice, CMV)


@pytest.mark.parametrize(
    ("given", "as_set", "wanted"),
    [
        (cell("4.2", "4.8"), None, False),
        (cell("4.2", "5"), None, True),
        (cell("5", "5.2"), None, True),
        (cell("4.2", "4.8"), "4.5", True),
        (cell("4.2", "4.8"), "4.9", False),
        (cell("4.2", "5.1"), None, True),
    ],
)
def test_whether_a_cell_holds_anything_writable(given: Cell, as_set: str | None, wanted: bool) -> None:
    assert may_be_written(axis("a", 4, 8, as_set=as_set), given) is wanted


@pytest.mark.parametrize(
    ("allowed", "given", "wanted"),
    [
        (axis("a", 4, 8), cell("4", "8"), [cell("4", "6"), cell("6", "8")]),
        (axis("a", 4, 8), cell("4", "5"), [cell("4", "4.5"), cell("4.5", "5")]),
        (axis("a", 4, 8), cell("4", "6.4"), [cell("4", "5"), cell("5", "6.4")]),
        (axis("a", 4, 8, grid="0.5"), cell("4", "5.2"), [cell("4", "4.5"), cell("4.5", "5.2")]),
        (axis("a", 4, 7, step="1.5", origin="4"), cell("4", "7"), [cell("4", "5.5"), cell("7", "7")]),
        (axis("a", 4, 13, step="1", origin="4"), cell("4", "13"), [cell("4", "8"), cell("9", "13")]),
        (axis("a", 4, 5, step="1", origin="4"), cell("4", "5"), [cell("4", "4"), cell("5", "5")]),
        (Axis("a", options=(SIMV, CMV)), Cell(options=(SIMV, CMV)), [Cell(options=(SIMV,)), Cell(options=(CMV,))]),
    ],
)
def test_how_a_cell_is_cut(allowed: Axis, given: Cell, wanted: list[Cell]) -> None:
    assert split(allowed, given) == wanted


def points(axes: list[Axis], cells: list[Cell], thorough: bool) -> list[tuple[object, ...]]:
    named = {each.key: each for each in axes}
    found = points_in(named, dict(zip(named, cells, strict=True)), thorough)
    return [tuple(point.values()) for point in found]


A, B, C = axis("a", 4, 8, as_set="5"), axis("b", 10, 20), axis("c", 0, 1, grid="0.5")
CELLS = [cell("4", "8"), cell("10", "20"), cell("0", "1")]


def test_as_set_then_the_middle_then_the_corners() -> None:
    corners = [(4, 10), (4, 20), (8, 10), (8, 20)]
    assert points([A, B], CELLS[:2], thorough=True) == [(5, 15), (6, 15), *corners]
    assert points([A, B], CELLS[:2], thorough=False) == [(6, 15), *corners]
    assert points([A], [cell("6", "8")], thorough=True) == [(7,), (7,), (6,), (8,)]  # what is set lies outside


def test_only_two_corners_where_there_are_too_many() -> None:
    assert points([A, B, C], CELLS, thorough=False) == [(6, 15, Fraction(1, 2)), (8, 20, 1), (4, 10, 0)]
    assert len(points([A, B, C], CELLS, thorough=True)) == 2 + 8
    seven = [axis(f"k{place}", 4, 8) for place in range(7)]
    assert len(points(seven[:6], [cell("4", "8")] * 6, thorough=True)) == 2 + 64
    assert len(points(seven, [cell("4", "8")] * 7, thorough=True)) == 2 + 2


@pytest.mark.parametrize(
    ("allowed", "given", "wanted"),
    [
        (axis("a", 4, 8), cell("4.2", "7.8"), [(6,), (5,), (7,)]),
        (axis("a", 4, 8), cell("4.2", "5.1"), [(5,), (5,)]),
        (axis("a", 4, 8), cell("4.2", "4.8"), [(Fraction("4.8"),), (Fraction("4.2"),), (Fraction("4.8"),)]),
        (axis("a", "4.2", 8), cell("4.2", "4.8"), [(Fraction("4.2"),), (Fraction("4.2"),), (Fraction("4.8"),)]),
        (axis("a", 4, 10, step="2", origin="4"), cell("4", "10"), [(6,), (4,), (10,)]),
        (axis("a", 4, 8, grid="2"), cell("4.5", "7.8"), [(6,), (6,)]),
        (axis("a", "4.2", 8), cell("4.2", "5.1"), [(5,), (Fraction("4.2"),), (5,)]),
        (axis("a", 5, 11, step="2", origin="5"), cell("7", "11"), [(9,), (7,), (11,)]),
        (Axis("a", options=(SIMV, CMV)), Cell(options=(SIMV, CMV)), [(CMV,), (SIMV,), (CMV,)]),
    ],
)
def test_values_of_a_cell_are_writable_where_any_is(
    allowed: Axis, given: Cell, wanted: list[tuple[object, ...]]
) -> None:
    assert points([allowed], [given], thorough=False) == wanted


def test_what_is_set_is_tried_among_options() -> None:
    choice = Axis("a", options=(SIMV, CMV), as_set=CMV)
    assert points([choice], [Cell(options=(SIMV, CMV))], thorough=True)[0] == (CMV,)
    assert points([choice], [Cell(options=(SIMV,))], thorough=True)[0] == (SIMV,)
    first = Axis("a", options=(SIMV, CMV), as_set=SIMV)
    assert points([first], [Cell(options=(SIMV, CMV))], thorough=True)[0] == (SIMV,)
    unwritable = axis("a", 4, 8, step="1", origin="4", as_set="5.5")
    assert points([unwritable], [cell("4", "8")], thorough=True)[0] == (6,)


def test_neighbours_of_a_box_too_small_to_hold_a_writable_value() -> None:
    tiny = cell("4.2", "4.8")
    assert list(neighbours_of({"a": A}, {"a": tiny})) == [{"a": 4}, {"a": 5}]
    ends = axis("a", "4.1", "4.9")
    assert list(neighbours_of({"a": ends}, {"a": tiny})) == [{"a": Fraction("4.1")}, {"a": Fraction("4.9")}]
    stepped = axis("a", 4, 10, step="2", origin="4")
    assert list(neighbours_of({"a": stepped}, {"a": cell("4.5", "4.6")})) == [{"a": 4}, {"a": 6}]
    odd = axis("a", 5, 11, step="2", origin="5")
    assert list(neighbours_of({"a": odd}, {"a": cell("7.2", "7.3")})) == [{"a": 7}, {"a": 9}]
    on_it = list(neighbours_of({"a": A}, {"a": cell("5", "5")}))
    assert on_it == [{"a": 5}]
    choice = Axis("m", options=(SIMV, CMV))
    both = list(neighbours_of({"a": A, "m": choice}, {"a": tiny, "m": Cell(options=(SIMV, CMV))}))
    assert len(both) == 4 and both[0] == {"a": 4, "m": SIMV} and both[-1] == {"a": 5, "m": CMV}
    five = {f"k{place}": axis(f"k{place}", 4, 8) for place in range(5)}
    assert list(neighbours_of(five, dict.fromkeys(five, tiny))) == []
    four = {key: five[key] for key in list(five)[:4]}
    assert len(list(neighbours_of(four, dict.fromkeys(four, tiny)))) == 16


def test_what_a_cell_offers_is_worked_out_once_for_each_axis() -> None:
    ends, shared = Ends(), cell("4.2", "6.9")
    coarse, fine = axis("a", "4", "8"), axis("b", "4", "8", grid="0.5")
    assert ends.of(coarse, shared) == (5, 5, 6)
    assert ends.of(fine, shared) == (Fraction("4.5"), Fraction("5.5"), Fraction("6.5"))
    assert ends.of(coarse, shared) is ends.of(coarse, shared)
    assert ends.near(coarse, shared) == (5, 6)
    assert ends.near(fine, shared) == (Fraction("5.5"), Fraction("6"))
    assert ends.near(coarse, shared) is ends.near(coarse, shared)


def test_points_are_the_same_with_ends_that_are_known() -> None:
    axes = {"a": axis("a", "4", "8"), "b": axis("b", "4", "8", grid="0.5")}
    ends = Ends()
    for low, high in (("4.2", "6.9"), ("4", "5"), ("4.2", "4.4")):
        cells = {key: cell(low, high) for key in axes}
        for _ in range(2):
            for thorough in (True, False):
                assert list(points_in(axes, cells, thorough, ends)) == list(points_in(axes, cells, thorough))
            assert list(neighbours_of(axes, cells, ends)) == list(neighbours_of(axes, cells))
