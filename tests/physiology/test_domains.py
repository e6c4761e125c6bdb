"""Input that a formula has no meaning for is refused, with a reason."""

import math
import random

import pytest

from rxlint.physiology import FORMULAS, Formula, OutOfDomain, body, errors, power, pressures, timing, volumes
from tests.physiology.ranges import draw_point

MAY_BE_ZERO = {
    "time", "pause", "rise time", "PEEP", "total PEEP", "plateau", "peak", "inspiratory pressure above ambient",
    "child age", "dead space", "added dead space", "temperature", "absolute humidity", "pressure", "IPAP", "EPAP",
    "oxygen flow", "leak", "driving gas", "cylinder pressure", "residual pressure", "usable contents", "reserve",
}  # fmt: skip
# An argument that may be zero in these formulas only.
ZERO_IN = {
    ("inspiratory pressure above PEEP", "inspiratory pressure above ambient"),
    ("oxygen draw", "oxygen for a transfer"),
}


def valid_point(formula: Formula) -> list[float]:
    numbers = random.Random(formula.name)
    for _ in range(2000):
        point = draw_point(numbers, formula)
        try:
            formula.function(*point)
        except OutOfDomain:
            continue
        return point
    pytest.fail("no point in the domain")


@pytest.mark.parametrize("formula", FORMULAS.values(), ids=list(FORMULAS))
def test_every_argument_must_be_finite_and_of_a_possible_sign(formula: Formula) -> None:
    point = valid_point(formula)
    for index, (name, _) in enumerate(formula.arguments):
        impossible = [math.nan, math.inf, -math.inf, -1.0]
        zero_allowed = name in MAY_BE_ZERO or (name, formula.name) in ZERO_IN
        for value in impossible if zero_allowed else [*impossible, 0.0]:
            with pytest.raises(OutOfDomain, match=r"must (be a finite number|be above zero|not be negative)"):
                formula.function(*point[:index], value, *point[index + 1 :])


def test_the_refusal_is_a_value_error_that_names_the_argument() -> None:
    assert issubclass(OutOfDomain, ValueError)
    with pytest.raises(OutOfDomain, match="inspiratory time must be above zero, not -1"):
        timing.duty_cycle(0.3, -1)
    with pytest.raises(OutOfDomain, match="PEEP must not be negative"):
        pressures.above_ambient(10, -5)


@pytest.mark.parametrize("function", [timing.expiratory_time, timing.ratio_at_rate, timing.duty_cycle])
def test_a_breath_must_fit_its_cycle(function) -> None:  # type: ignore[no-untyped-def]
    assert function(0.5, 1.9) > 0
    for too_long in (2.0, 2.5):
        with pytest.raises(OutOfDomain, match="leaves no time for expiration in a cycle of 2 s"):
            function(0.5, too_long)


def test_pressures_must_be_in_order() -> None:
    assert pressures.above_peep(5, 5) == 0
    with pytest.raises(OutOfDomain, match=r"PEEP \(8\) must not be above inspiratory pressure above ambient \(5\)"):
        pressures.above_peep(5, 8)
    with pytest.raises(OutOfDomain, match="plateau"):
        power.vc_power_from_pressures(0.3, 400, 20, 25, 5)
    with pytest.raises(OutOfDomain, match="must be above total PEEP"):
        volumes.static_compliance(400, 10, 10)


def test_predicted_weight_is_for_adult_stature() -> None:
    for function in (body.predicted_weight_male, body.predicted_weight_female):
        assert function(body.LOWEST_HEIGHT) > 30
        with pytest.raises(OutOfDomain, match="adult stature"):
            function(139.6)
        with pytest.raises(OutOfDomain, match="nobody is 1750 cm tall"):
            function(1750)


def test_a_rise_time_that_eats_up_the_energy_is_refused() -> None:
    with pytest.raises(OutOfDomain, match="too small for this pressure"):
        power.pc_power_with_rise_time(0.3, 10, 30, 0, 100, 0.001, 1.0)


def test_extreme_values_are_refused_rather_than_infinite() -> None:
    with pytest.raises(OutOfDomain, match="too extreme"):
        timing.cycle_time(5e-324)
    with pytest.raises(OutOfDomain, match="too extreme"):
        volumes.minute_volume(1e200, 1e200)

    @errors.computable
    def divide(value: float) -> float:
        return 1 / value

    with pytest.raises(OutOfDomain, match="too extreme"):
        divide(0.0)
