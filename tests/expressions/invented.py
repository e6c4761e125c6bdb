"""Names, functions and environments to test expressions with. Nothing here means anything clinically."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from rxlint.expressions import (
    Axis,
    BoolType,
    Decision,
    Function,
    Item,
    ListType,
    Missing,
    Node,
    NumberType,
    Space,
    TextType,
    Type,
    Value,
    Words,
    WordsType,
    decide,
    read_condition,
    read_number,
)
from rxlint.units import NUMBER, PRESSURE, RATE, TIME, VOLUME, WEIGHT, with_basis


def step_of(pressure: float) -> float:
    """A staircase that is only defined from zero upwards."""
    if pressure < 0:
        raise ValueError("below zero")
    return 0.0 if pressure < 5 else 1.0 if pressure < 10 else 2.5


def enclose_step(lows: Sequence[float], highs: Sequence[float]) -> tuple[float, float] | None:
    return (step_of(lows[0]), step_of(highs[0])) if lows[0] >= 0 else None


def hill_of(pressure: float, number: float) -> float:
    """Not monotone in the first argument."""
    return number / (1 + (pressure - 7) ** 2)


def enclose_hill(lows: Sequence[float], highs: Sequence[float]) -> tuple[float, float] | None:
    if highs[0] - lows[0] > 8:
        return None  # too wide to say anything
    far = max((lows[0] - 7) ** 2, (highs[0] - 7) ** 2)
    near = 0.0 if lows[0] <= 7 <= highs[0] else min((lows[0] - 7) ** 2, (highs[0] - 7) ** 2)
    ends = [number / (1 + square) for number in (lows[1], highs[1]) for square in (far, near)]
    return min(ends), max(ends)


FUNCTIONS = {
    "staircase": Function("staircase", (PRESSURE,), NUMBER, step_of, enclose_step),
    "hill": Function("hill", (PRESSURE, NUMBER), NUMBER, hill_of, enclose_hill),
    "dead space": Function(
        "dead space", (WEIGHT,), VOLUME, lambda w: 2.2 * w, lambda low, high: (2.2 * low[0], 2.2 * high[0])
    ),
}

INTERFACES = frozenset(("tracheostomy", "nasal mask"))
ASSEMBLY = ListType(
    frozenset(("HME", "filter", "tubing", *INTERFACES)), {"interface": INTERFACES}, {"HME": VOLUME, "filter": VOLUME}
)
MODES = frozenset(("SIMV", "CMV", "single with leak port", "flow, leak-compensated"))

TYPES: dict[str, Type] = {
    "peep": NumberType(PRESSURE),
    "support": NumberType(PRESSURE),
    "peak": NumberType(PRESSURE),
    "rate": NumberType(RATE),
    "ti": NumberType(TIME),
    "share": NumberType(NUMBER),
    "volume": NumberType(VOLUME),
    "weight-p": NumberType(with_basis(WEIGHT, "predicted")),
    "weight-m": NumberType(with_basis(WEIGHT, "measured")),
    "mode": WordsType(MODES),
    "interface": WordsType(INTERFACES),
    "assembly": ASSEMBLY,
    "ready": BoolType(),
    "remark": TextType(),
}
SPELLINGS = {
    "PEEP": "peep",
    "pressure support": "support",
    "peak": "peak",
    "rate": "rate",
    "inspiratory time": "ti",
    "leak share": "share",
    "tidal volume": "volume",
    "predicted weight": "weight-p",
    "measured weight": "weight-m",
    "mode": "mode",
    "trigger mode": "mode",
    "interface": "interface",
    "assembly": "assembly",
    "ready": "ready",
    "remark": "remark",
}


class InventedNames:
    def spellings(self) -> Mapping[str, str]:
        return SPELLINGS

    def type_of(self, key: str) -> Type:
        return TYPES[key]

    def functions(self) -> Mapping[str, Function]:
        return FUNCTIONS


NAMES = InventedNames()


class Given:
    """An environment of plain values; keys in `unreadable` are stated but have none."""

    def __init__(self, values: Mapping[str, Value], unreadable: frozenset[str] = frozenset()) -> None:
        self.values, self.unreadable = values, unreadable

    def value(self, key: str) -> Value | Missing:
        return self.values.get(key, Missing(frozenset((key,))))

    def is_stated(self, key: str) -> bool:
        return key in self.values or key in self.unreadable


def words(*stated: str, silent: Sequence[str] = ()) -> Words:
    return Words(frozenset(stated), frozenset(silent))


def items(*names: str | tuple[str, int]) -> tuple[Item, ...]:
    return tuple(Item(n) if isinstance(n, str) else Item(n[0], Fraction(n[1])) for n in names)


def condition_of(text: str) -> Node:
    parsed = read_condition(text, NAMES)
    assert parsed.node is not None, (text, parsed.errors)
    return parsed.node


def number_of(text: str) -> Node:
    parsed = read_number(text, NAMES)
    assert parsed.node is not None, (text, parsed.errors)
    return parsed.node


def axis(
    key: str,
    low: str | int,
    high: str | int,
    *,
    step: str | None = None,
    grid: str = "1",
    origin: str = "0",
    as_set: str | None = None,
) -> Axis:
    return Axis(
        key,
        Fraction(low),
        Fraction(high),
        None if step is None else Fraction(step),
        Fraction(grid),
        Fraction(origin),
        (),
        None if as_set is None else Fraction(as_set),
    )


def judge(
    require: str,
    *axes: Axis,
    when: str | None = None,
    keep: Sequence[str] = (),
    formulas: Mapping[str, str] | None = None,
    constants: Mapping[str, Value] | None = None,
    budget: int = 500,
) -> Decision:
    space = Space(
        axes,
        {key: number_of(text) for key, text in (formulas or {}).items()},
        constants or {},
        frozenset(a.key for a in axes) | frozenset(constants or {}) | frozenset(formulas or {}),
        tuple(condition_of(text) for text in keep),
    )
    return decide(None if when is None else condition_of(when), condition_of(require), space, budget)
