"""Wide ranges of every argument of a formula, preterm to adult, in base units, and points drawn from them."""

import math
import random
from collections.abc import Sequence

from rxlint.physiology import Formula

MONTH = 30.4375 * 86400.0

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
    "weight": (0.5, 150.0),
    "child weight": (1.5, 150.0),
    "child height": (40.0, 200.0),
    "child age": (0.0, 240.0 * MONTH),
    "dead space": (0.0, 300.0),
    "added dead space": (0.0, 100.0),
    "alveolar ventilation": (2.0, 300.0),
    "new alveolar ventilation": (2.0, 300.0),
    "ventilation": (2.0, 500.0),
    "carbon dioxide output": (0.1, 10.0),
    "PaCO2": (20.0, 150.0),
    "target PaCO2": (20.0, 150.0),
    "PaO2": (30.0, 700.0),
    "FiO2": (0.21, 1.0),
    "SpO2": (0.5, 0.97),
    "barometric pressure": (600.0, 1100.0),
    "respiratory quotient": (0.6, 1.3),
    "mean airway pressure": (2.0, 50.0),
    "temperature": (0.0, 60.0),
    "absolute humidity": (0.0, 0.06),
    "catheter outer diameter": (0.1, 0.6),
    "tube inner diameter": (0.2, 1.0),
    "stated leak": (50.0, 1500.0),
    "stated pressure": (2.0, 30.0),
    "pressure": (0.0, 40.0),
    "IPAP": (0.0, 40.0),
    "EPAP": (0.0, 20.0),
    "oxygen flow": (0.0, 500.0),
    "total flow": (20.0, 1500.0),
    "minute volume": (5.0, 500.0),
    "leak": (0.0, 1000.0),
    "oxygen draw": (0.0, 500.0),
    "driving gas": (0.0, 20.0),
    "duration": (60.0, 40000.0),
    "factor": (1.0, 4.0),
    "full contents": (1e5, 1e7),
    "full pressure": (1e5, 3e5),
    "cylinder pressure": (0.0, 3e5),
    "residual pressure": (0.0, 3e4),
    "usable contents": (0.0, 1e7),
    "reserve": (0.0, 1e6),
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
