"""Values come back as they were written, whatever they are made of; anything else is refused by a known error."""

import dataclasses
import json
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.store.codec import Codec, Named, Unwritable


@dataclasses.dataclass(frozen=True, slots=True)
class Leaf:
    text: str
    size: int = dataclasses.field(default=0, kw_only=True)


@dataclasses.dataclass(frozen=True, slots=True)
class Branch(Leaf):
    left: object
    right: object


CODEC = Codec((Leaf, Branch), (Named(complex, lambda each: (each.real, each.imag), complex),))

plain = st.none() | st.booleans() | st.integers() | st.text() | st.floats(allow_nan=False, allow_infinity=False)
values = st.recursive(
    plain | st.fractions() | st.complex_numbers(allow_nan=False, allow_infinity=False),
    lambda inner: (
        st.lists(inner).map(tuple)
        | st.lists(inner)
        | st.frozensets(st.text() | st.integers() | st.fractions())
        | st.dictionaries(st.text() | st.integers(), inner)
        | st.builds(Leaf, st.text(), size=st.integers())
        | st.builds(Branch, st.text(), inner, inner, size=st.integers())
    ),
)


def round_trip(value: Any) -> Any:
    return CODEC.read(json.loads(json.dumps(CODEC.write(value))))


def typed(value: Any) -> Any:
    """The value with the type of every part: True equals 1 and 1 equals 1.0, and they are not the same."""
    match value:
        case Leaf():
            return type(value), [typed(getattr(value, field.name)) for field in dataclasses.fields(value)]
        case tuple() | list():
            return type(value), [typed(each) for each in value]
        case dict():
            return dict, [(typed(key), typed(each)) for key, each in value.items()]
        case frozenset():
            return frozenset, frozenset((type(each), each) for each in value)
        case _:
            return type(value), value


@given(values)
def test_a_value_comes_back_as_it_was(value: Any) -> None:
    assert typed(round_trip(value)) == typed(value)


def test_zero_and_false_are_told_apart() -> None:
    assert typed(round_trip((0, False, 0.0, 1, True, "1"))) == typed((0, False, 0.0, 1, True, "1"))


def test_equal_parts_are_written_once_and_read_as_one() -> None:
    same = Branch("a", Leaf("b"), Leaf("b"))
    read = round_trip((same, Branch("a", Leaf("b"), Leaf("b"))))
    assert read[0] is read[1]
    assert read[0].left is read[0].right


def test_reading_needs_no_recursion() -> None:
    depth = 50_000
    rows: list[list[int]] = [[0]]  # the empty tuple, then a tuple around it, and so on; nothing is plain
    rows += [[0, at] for at in range(depth)]
    value = CODEC.read({"makers": ["("], "plain": [], "rows": rows, "root": depth})
    for _ in range(depth):
        (value,) = value
    assert value == ()


@pytest.mark.parametrize("value", [{1, 2}, object(), Fraction, b"bytes", (1, [bytearray()])])
def test_what_is_not_of_its_classes_is_not_written(value: Any) -> None:
    with pytest.raises(Unwritable):
        CODEC.write(value)


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"makers": ["os.system"], "plain": ["id"], "rows": [[0, 0]], "root": 1},
        {"makers": ["("], "plain": [], "rows": [[0, 5]], "root": 0},
        {"makers": ["/"], "plain": [1, 0], "rows": [[0, 0, 1]], "root": 2},
        {"makers": ["("], "plain": [], "rows": [["(", 0]], "root": 0},
        {"makers": [":"], "plain": ["a"], "rows": [[0, 0]], "root": 1},
        {"makers": ["("], "plain": [], "rows": [7], "root": 0},
        {"makers": ["("], "plain": 4, "rows": [], "root": 0},
    ],
)
def test_anything_else_is_refused_by_a_known_error(data: Any) -> None:
    with pytest.raises((LookupError, TypeError, ValueError, ArithmeticError)):
        CODEC.read(data)
