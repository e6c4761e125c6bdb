"""Bounds over intervals hold every sampled value, and every direction claimed is kept."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.physiology import FORMULAS, Formula, OutOfDomain, enclose
from rxlint.units import PRESSURE, TIME
from tests.physiology.ranges import RANGES, draw, draw_inside, draw_point

ALL = pytest.mark.parametrize("formula", FORMULAS.values(), ids=list(FORMULAS))
ROUNDING = 1e-12
SAMPLES = 1000
POINTS_A_BOX = 25


def draw_box(numbers: random.Random, formula: Formula) -> tuple[list[float], list[float]]:
    """A box in which some arguments are fixed, as in an order that leaves few things open; no interval without use."""
    first = draw_point(numbers, formula)
    second = draw_point(numbers, formula)
    for index, direction in enumerate(formula.directions):
        if direction is None or numbers.random() < 0.3:
            second[index] = first[index]
        elif numbers.random() < 0.5:  # a narrow interval, which is likelier to lie in the domain
            second[index] = first[index] + 0.1 * (second[index] - first[index])
    return [min(pair) for pair in zip(first, second, strict=True)], [max(p) for p in zip(first, second, strict=True)]


@ALL
def test_a_thousand_sampled_points_lie_in_their_enclosures(formula: Formula) -> None:
    numbers = random.Random(formula.name)
    sampled = 0
    for _ in range(20 * SAMPLES):
        lows, highs = draw_box(numbers, formula)
        bounds = enclose(formula, lows, highs)
        if bounds is None:
            continue
        for _ in range(POINTS_A_BOX):
            try:
                value = formula.function(*draw_inside(numbers, lows, highs))
            except OutOfDomain:
                continue
            assert bounds[0] <= value <= bounds[1], (lows, highs)
            sampled += 1
        if sampled >= SAMPLES:
            return
    pytest.fail(f"only {sampled} points sampled")


@given(st.sampled_from(list(FORMULAS.values())), st.data())
def test_an_inside_point_that_somebody_looked_for_lies_in_the_enclosure(formula: Formula, data: st.DataObject) -> None:
    lows, highs, inside = [], [], []
    for (name, _), direction in zip(formula.arguments, formula.directions, strict=True):
        three = sorted(data.draw(st.floats(*RANGES[name])) for _ in range(3))
        lows.append(three[1] if direction is None else three[0])
        inside.append(three[1])
        highs.append(three[1] if direction is None else three[2])
    bounds = enclose(formula, lows, highs)
    if bounds is not None:
        try:
            value = formula.function(*inside)
        except OutOfDomain:
            return
        assert bounds[0] <= value <= bounds[1]


def changes(formula: Formula, index: int, numbers: random.Random, wanted: int = 300) -> list[tuple[float, float]]:
    """Pairs of values before and after one argument has grown."""
    name = formula.arguments[index][0]
    found: list[tuple[float, float]] = []
    for _ in range(40 * wanted):
        point = draw_point(numbers, formula)
        other = draw(numbers, *RANGES[name])
        ends = sorted((point[index], other))
        try:
            before, after = (formula.function(*point[:index], end, *point[index + 1 :]) for end in ends)
        except OutOfDomain:
            continue
        found.append((before, after))
        if len(found) == wanted:
            return found
    pytest.fail(f"{formula.name}, {name}: too few points in the domain")


@ALL
def test_directions_are_kept(formula: Formula) -> None:
    numbers = random.Random(formula.name)
    for index, direction in enumerate(formula.directions):
        if direction is None:
            continue
        pairs = changes(formula, index, numbers)
        for before, after in pairs:
            margin = ROUNDING * max(abs(before), abs(after))
            assert direction * (after - before) >= -margin, formula.arguments[index][0]
            if direction == 0:
                assert after == before
        assert direction == 0 or any(before != after for before, after in pairs)


@ALL
def test_an_argument_without_direction_really_turns_both_ways(formula: Formula) -> None:
    numbers = random.Random(formula.name)
    for index, direction in enumerate(formula.directions):
        if direction is None:
            pairs = changes(formula, index, numbers, 1000)
            # A z-score may be below zero, so a thousandth is counted from its size.
            assert any(after - before > 0.001 * abs(before) for before, after in pairs), formula.arguments[index][0]
            assert any(before - after > 0.001 * abs(before) for before, after in pairs), formula.arguments[index][0]


def test_some_arguments_have_no_direction() -> None:
    # Age, as to growth (16); compliance and phase times in the lung (3), pressure in mechanical power (1); dead space
    # in a tidal volume for a target (1).
    assert sum(None in formula.directions for formula in FORMULAS.values()) == 21


@ALL
def test_points_are_exact_and_equal_to_the_function(formula: Formula) -> None:
    numbers = random.Random(formula.name)
    compared = 0
    for _ in range(2000):
        point = draw_point(numbers, formula)
        try:
            value = formula.function(*point)
        except OutOfDomain:
            assert enclose(formula, point, point) is None
            continue
        assert enclose(formula, point, point) == (value, value)
        compared += 1
    assert compared > 100


def test_an_interval_without_a_direction_is_not_decided() -> None:
    formula = FORMULAS["pressure-control mean alveolar pressure"]
    point = [50.0, 0.01, 0.02, 15.0, 1.0, 2.0, 5.0]
    assert enclose(formula, point, point) is not None
    assert enclose(formula, point, [60.0, *point[1:]]) is None
    assert enclose(formula, point, [*point[:-1], 8.0]) is not None


def test_a_box_that_leaves_the_domain_is_not_decided() -> None:
    assert enclose(FORMULAS["expiratory time"], [0.25, 1.0], [0.5, 1.5]) is not None
    assert enclose(FORMULAS["expiratory time"], [0.25, 1.0], [0.5, 2.0]) is None
    assert enclose(FORMULAS["cycle time"], [0.0], [1.0]) is None
    assert enclose(FORMULAS["cycle time"], [math.nan], [math.nan]) is None


def test_malformed_boxes_are_refused() -> None:
    with pytest.raises(ValueError, match="takes 1 arguments"):
        enclose(FORMULAS["cycle time"], [1.0, 1.0], [1.0, 1.0])
    with pytest.raises(ValueError, match="an interval from"):
        enclose(FORMULAS["cycle time"], [2.0], [1.0])


def test_a_formula_has_a_direction_for_every_argument() -> None:
    with pytest.raises(ValueError, match="1 arguments, 0 directions"):
        Formula("x", (("p", PRESSURE),), TIME, abs, "", "", "derived", ())


def test_names_and_sources() -> None:
    for name, formula in FORMULAS.items():
        assert name == formula.name
        assert formula.text and formula.source
        assert len({argument for argument, _ in formula.arguments}) == len(formula.arguments)
        assert {argument for argument, _ in formula.arguments} <= set(RANGES)
        assert (formula.function.__doc__ or "").strip()
