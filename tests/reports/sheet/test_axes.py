"""The geometry of drawings: scales, ticks, paths, labels that keep apart."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.reports.sheet.axes import Box, Scale, nice_ticks, number, path, spread, tick_text, whole_steps

ends = st.tuples(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4)).map(lambda pair: (pair[0], pair[0] + pair[1]))


def test_a_scale_is_straight_and_may_run_downwards() -> None:
    scale = Scale(0.0, 20.0, 200.0, 100.0)
    assert [scale.at(value) for value in (0, 5, 20, 30)] == [200.0, 175.0, 100.0, 50.0]
    with pytest.raises(ValueError, match="has no length"):
        Scale(3.0, 3.0, 0.0, 1.0)


@given(ends, st.integers(5, 12))
def test_ticks_are_round_even_and_neither_few_nor_many(pair: tuple[float, float], most: int) -> None:
    low, high = pair
    ticks = nice_ticks(low, high, most)
    assert 2 <= len(ticks) <= most
    steps = [after - before for before, after in itertools.pairwise(ticks)]
    assert steps == pytest.approx([steps[0]] * len(steps), rel=1e-6)
    assert f"{steps[0]:.0e}"[0] in "125"
    slack = steps[0] * 1e-6
    assert all(low - slack <= tick <= high + slack for tick in ticks)
    assert low + steps[0] > ticks[0] - slack and high - steps[0] < ticks[-1] + slack


def test_ticks_as_people_choose_them() -> None:
    assert nice_ticks(0.0, 30.0, 7) == (0, 5, 10, 15, 20, 25, 30)
    assert nice_ticks(-75.0, 62.0, 7) == (-60, -40, -20, 0, 20, 40, 60)
    assert nice_ticks(-75.0, 62.0, 5) == (-50, 0, 50)
    assert nice_ticks(0.0, 3.2, 9) == (0, 0.5, 1, 1.5, 2, 2.5, 3)
    with pytest.raises(ValueError, match="no ticks between"):
        nice_ticks(2.0, 2.0, 5)
    with pytest.raises(ValueError, match="no ticks between"):
        nice_ticks(1.0, 8000.0, 4)


@given(ends, st.integers(5, 12))
def test_a_scale_of_whole_steps_holds_both_ends(pair: tuple[float, float], most: int) -> None:
    low, high = whole_steps(*pair, most)
    step = nice_ticks(*pair, most)
    slack = (step[1] - step[0]) * 1e-6
    assert pair[0] - (step[1] - step[0]) - slack < low <= pair[0] + slack
    assert pair[1] - slack <= high < pair[1] + (step[1] - step[0]) + slack


def test_a_tick_has_the_decimals_that_its_neighbours_need() -> None:
    assert [tick_text(each, (0, 0.5, 1)) for each in (0, 0.5, 1)] == ["0.0", "0.5", "1.0"]
    assert tick_text(20, (0, 20, 40)) == "20"
    assert tick_text(0.25, (0.2, 0.25)) == "0.25"
    assert tick_text(3, (3,)) == "3"


def test_coordinates_are_rounded_to_a_tenth() -> None:
    assert [number(each) for each in (1.04, 1.05001, 12.0, -0.01, 0.96)] == ["1", "1.1", "12", "0", "1"]
    assert path([(0.0, 1.0), (2.04, 3.0), (5.0, -0.04)]) == "M0 1 L2 3 L5 0"


places = st.lists(st.floats(0, 300), max_size=12).map(sorted)


@given(places)
def test_labels_keep_apart_and_inside_where_there_is_room(wanted: list[float]) -> None:
    found = spread(wanted, 15.0, 0.0, 300.0)
    assert len(found) == len(wanted)
    assert all(after - before >= 15.0 - 1e-6 for before, after in itertools.pairwise(found))
    assert all(-1e-6 <= place <= 300.0 + 1e-6 for place in found)


@given(st.lists(st.integers(0, 12), unique=True).map(sorted))
def test_labels_that_have_room_stay_where_they_are_wanted(wanted: list[int]) -> None:
    places = [20.0 * each for each in wanted]
    assert spread(places, 15.0, 0.0, 300.0) == pytest.approx(places)


def test_two_labels_of_one_place_share_the_distance() -> None:
    assert spread([100.0, 100.0], 10.0, 0.0, 300.0) == [95.0, 105.0]
    assert spread([0.0, 0.0], 10.0, 0.0, 300.0) == [0.0, 10.0]
    assert spread([300.0, 300.0], 10.0, 0.0, 300.0) == [290.0, 300.0]
    assert spread([5.0, 5.0], 10.0, 0.0, 5.0) == [0.0, 10.0]  # no room: the last one stands beyond


def test_boxes_meet_where_they_share_more_than_an_edge() -> None:
    box = Box(0, 0, 10, 10)
    assert box.meets(Box(9, 9, 20, 20))
    assert not box.meets(Box(10, 0, 20, 10))
    assert not box.meets(Box(0, 10, 10, 20))
    assert not box.meets(Box(20, 20, 30, 30))
