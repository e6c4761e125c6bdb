"""Wide ranges of every argument of a formula, preterm to adult, in base units, and points drawn from them."""

import math
import random
from collections.abc import Sequence

from rxlint.physiology import Formula

RANGES: dict[str, tuple[float, float]] = {
    "rate": (0.05, 2.5),
    "inspiratory time": (0.1, 4.0),
    "expiratory time": (0.05, 15.0),
    "flow time": (0.1, 4.0),
    "pause": (0.0, 2.0),
    "rise time": (0.0, 1.0),
    "time": (0.0, 20.0),
    "time constant": (0.02, 5.0),
    "I:E": (0.05, 5.0),
    "resistance": (0.001, 0.3),
    "inspiratory resistance": (0.001, 0.3),
    "expiratory resistance": (0.001, 0.3),
    "compliance": (0.3, 200.0),
    "tidal volume": (2.0, 2000.0),
    "volume": (2.0, 2000.0),
    "volume per predicted weight": (2.0, 15.0),
    "predicted weight": (30.0, 120.0),
    "height": (139.7, 272.0),
    "inspiratory flow": (10.0, 3000.0),
    "PEEP": (0.0, 25.0),
    "total PEEP": (0.0, 25.0),
    "plateau": (0.0, 60.0),
    "peak": (0.0, 80.0),
    "inspiratory pressure above ambient": (0.0, 60.0),
    "inspiratory pressure above PEEP": (0.5, 50.0),
}


def draw(random_numbers: random.Random, low: float, high: float) -> float:
    """A number between the two: evenly, or evenly in its logarithm so that small values are tried as often."""
    if low > 0 and random_numbers.random() < 0.7:
        return min(max(math.exp(random_numbers.uniform(math.log(low), math.log(high))), low), high)
    return random_numbers.uniform(low, high)


def draw_point(random_numbers: random.Random, formula: Formula) -> list[float]:
    """Arguments of the formula from the whole of their ranges, inside its domain or not."""
    return [draw(random_numbers, *RANGES[name]) for name, _ in formula.arguments]


def draw_inside(random_numbers: random.Random, lows: Sequence[float], highs: Sequence[float]) -> list[float]:
    """A point of the box."""
    return [draw(random_numbers, low, high) for low, high in zip(lows, highs, strict=True)]
