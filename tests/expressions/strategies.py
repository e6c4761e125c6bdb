"""Random expressions that are well typed, random values for their terms, and random spaces."""

from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from rxlint.expressions import Axis, Node, Space, Value
from rxlint.expressions.nodes import (
    Before,
    Between,
    Binary,
    Call,
    Choice,
    Compare,
    Extreme,
    Has,
    IsWord,
    Logic,
    Name,
    Not,
    Number,
    Part,
    Power,
    Stated,
    Tally,
    Unary,
)
from rxlint.units import NUMBER, PRESSURE, Dimension
from tests.expressions.invented import ASSEMBLY, FUNCTIONS, MODES, items, words

TEXT_OF = {"peep": "PEEP", "support": "pressure support", "peak": "peak", "share": "leak share"}
OPERATORS = ("<", "<=", ">", ">=", "=", "!=")

decimals = st.integers(-200, 200).map(lambda n: Fraction(n, 10))
small = st.sampled_from([Fraction(n, 2) for n in range(-6, 31)])


def literal(dimension: Dimension) -> st.SearchStrategy[Node]:
    def make(value: Fraction) -> Node:
        text = f"{float(value):g}"
        return Number(value, f"{text} cmH2O" if dimension == PRESSURE else text, dimension)

    return small.map(make)


def name(key: str) -> Node:
    return Name(key, TEXT_OF.get(key, key))


pressure_leaves = st.one_of(st.sampled_from(["peep", "support", "peak"]).map(name), literal(PRESSURE))
plain_leaves = st.one_of(st.just(name("share")), literal(NUMBER))
names_of_words = st.sampled_from(sorted(MODES)).map(Part)
parts = st.sampled_from(sorted((*ASSEMBLY.items, "interface"))).map(lambda text: Part(text, ASSEMBLY.members(text)))
THE_LIST = Name("assembly", "assembly")

simple_conditions: st.SearchStrategy[Node] = st.one_of(
    st.just(name("ready")),
    st.builds(Stated, st.sampled_from(["peep", "peak", "remark", "mode"]).map(name), st.booleans()),
    st.builds(lambda part, no: IsWord(name("mode"), (part,), no), names_of_words, st.booleans()),
    st.builds(
        lambda parts, no: IsWord(name("mode"), tuple(parts), no, True),
        st.lists(names_of_words, min_size=1, max_size=3),
        st.booleans(),
    ),
    st.builds(lambda part: Has(THE_LIST, (part,), False), parts),
    st.builds(
        lambda parts, every: Has(THE_LIST, tuple(parts), every, True),
        st.lists(parts, min_size=1, max_size=3),
        st.booleans(),
    ),
    st.builds(lambda a, b: Before(a, b, THE_LIST), parts, parts),
)


@st.composite
def pressures(draw: st.DrawFn, depth: int = 3) -> Node:
    if depth == 0:
        return draw(pressure_leaves)
    below: st.SearchStrategy[Node] = pressures(depth - 1)
    match draw(st.integers(0, 8)):
        case 0 | 1:
            return draw(pressure_leaves)
        case 2 | 3:
            return Binary(draw(st.sampled_from("+-")), draw(below), draw(below))
        case 4:
            return Unary(draw(st.sampled_from(["-", "absolute"])), draw(below))
        case 5:
            kind = draw(st.sampled_from(["least of", "greatest of"]))
            return Extreme(kind, tuple(draw(st.lists(below, min_size=1, max_size=3))))
        case 6:
            return Binary(draw(st.sampled_from("*/")), draw(below), draw(plains(depth - 1)))
        case 7:
            return Choice(draw(conditions(depth - 1)), draw(below), draw(below))
        case _:
            product = Binary("*", draw(below), draw(below))
            return Unary("square root", product)


@st.composite
def plains(draw: st.DrawFn, depth: int = 3) -> Node:
    if depth == 0:
        return draw(plain_leaves)
    below: st.SearchStrategy[Node] = plains(depth - 1)
    match draw(st.integers(0, 6)):
        case 0:
            return draw(plain_leaves)
        case 1:
            return Binary(draw(st.sampled_from("+-*/")), draw(below), draw(below))
        case 2:
            return Binary("/", draw(pressures(depth - 1)), draw(pressures(depth - 1)))
        case 3:
            return Power(draw(below), draw(st.integers(-3, 4)))
        case 4:
            return Call(FUNCTIONS["staircase"], (draw(pressures(depth - 1)),))
        case 5:
            return Call(FUNCTIONS["hill"], (draw(pressures(depth - 1)), draw(below)))
        case _:
            return Tally("count of", draw(parts), THE_LIST)


@st.composite
def conditions(draw: st.DrawFn, depth: int = 3) -> Node:
    if depth == 0:
        return draw(simple_conditions)
    below: st.SearchStrategy[Node] = conditions(depth - 1)
    numbers: st.SearchStrategy[Node] = draw(st.sampled_from([pressures, plains]))(depth - 1)
    match draw(st.integers(0, 7)):
        case 0:
            return draw(simple_conditions)
        case 1 | 2 | 3:
            return Compare(draw(st.sampled_from(OPERATORS)), draw(numbers), draw(numbers))
        case 4:
            return Compare(draw(st.sampled_from(["=", "!="])), draw(numbers), draw(numbers), draw(numbers))
        case 5:
            return Between(draw(numbers), draw(numbers), draw(numbers))
        case 6:
            return Logic(draw(st.sampled_from(["and", "or"])), tuple(draw(st.lists(below, min_size=2, max_size=3))))
        case _:
            return draw(st.one_of(below.map(Not), st.builds(Choice, below, below, below)))


some_words = st.sampled_from(
    [words("SIMV"), words("CMV"), words("SIMV", "single with leak port"), words("CMV", silent=["SIMV"])]
)
some_items = st.sampled_from(
    [
        items("HME", "tracheostomy"),
        items("filter", ("HME", 12), "tubing", "nasal mask"),
        items(),
        items("tubing", "HME"),
    ]
)


@st.composite
def values(draw: st.DrawFn, one_missing_in: int = 6) -> dict[str, Value]:
    """Values for most of the terms; the others are missing."""
    numbers = st.one_of(decimals, small, st.fractions(-30, 30, max_denominator=997))
    found: dict[str, Value] = {}
    others: dict[str, st.SearchStrategy[Any]] = {"mode": some_words, "assembly": some_items, "ready": st.booleans()}
    for key in ("peep", "support", "peak", "share"):
        if draw(st.integers(1, one_missing_in)) > 1:
            found[key] = draw(numbers)
    for key, strategy in others.items():
        if draw(st.integers(1, one_missing_in)) > 1:
            found[key] = draw(strategy)
    return found


@st.composite
def axes(draw: st.DrawFn, key: str) -> Axis:
    low = draw(st.sampled_from([Fraction(n, 2) for n in range(-4, 20)]))
    high = low + draw(st.sampled_from([Fraction(n, 2) for n in (0, 1, 2, 5, 8, 16)]))
    step = draw(st.sampled_from([None, None, Fraction(1), Fraction(1, 2)]))
    grid = draw(st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 10)]))
    return Axis(key, low, high, step, grid, low, (), draw(st.sampled_from([None, low, high])))


FORMULAS: list[Node] = [
    Binary("+", name("peep"), name("support")),
    Extreme("greatest of", (name("peep"), name("support"))),
    Binary("*", name("support"), name("share")),
    Binary("-", Binary("+", name("support"), name("peep")), name("peep")),
    Unary("square root", Binary("*", name("peep"), name("support"))),
]


@st.composite
def spaces(draw: st.DrawFn) -> Space:
    chosen = [draw(axes("peep")), draw(axes("support"))]
    if draw(st.booleans()):
        options: tuple[Value, ...] = tuple(draw(st.lists(some_words, min_size=1, max_size=2, unique=True)))
        chosen.append(Axis("mode", options=options))
    formulas = {"peak": draw(st.sampled_from(FORMULAS))} if draw(st.booleans()) else {}
    known = draw(values(one_missing_in=20))
    constants = {key: value for key, value in known.items() if key in ("share", "assembly", "ready", "peak")}
    relation = st.builds(Compare, st.sampled_from(OPERATORS[:4]), pressures(1), pressures(1))
    kept = draw(st.lists(relation | conditions(1), max_size=2)) if draw(st.integers(0, 2)) == 0 else []
    stated = frozenset(axis.key for axis in chosen) | frozenset(formulas) | frozenset(constants)
    return Space(tuple(chosen), formulas, constants, stated, tuple(kept))


@st.composite
def points(draw: st.DrawFn, space: Space) -> dict[str, Value]:
    """A point that the axes allow."""
    point: dict[str, Value] = {}
    for axis in space.axes:
        if axis.options:
            point[axis.key] = draw(st.sampled_from(axis.options))
        elif axis.step is not None:
            steps = int((axis.high - axis.low) // axis.step)
            point[axis.key] = (
                axis.low + draw(st.integers(0, steps)) * axis.step
            )  # in these spaces the origin is the low end
        else:
            share = draw(st.one_of(st.integers(0, 16).map(lambda n: Fraction(n, 16)), st.fractions(0, 1)))
            point[axis.key] = axis.low + share * (axis.high - axis.low)
    return point
