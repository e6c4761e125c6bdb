"""The algebra of dimensions, and their names."""

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.units import (
    COMPLIANCE,
    ENERGY,
    FLOW,
    LENGTH,
    NUMBER,
    POWER,
    PRESSURE,
    RATE,
    RESISTANCE,
    TIME,
    VOLUME,
    WEIGHT,
    Dimension,
    with_basis,
    without_basis,
)
from rxlint.units.dimensions import BASES

dimensions = st.dictionaries(
    st.sampled_from([*BASES, "predicted weight", "measured weight"]), st.integers(-4, 4), max_size=4
).map(Dimension.of)


@given(dimensions, dimensions, dimensions)
def test_products_form_a_commutative_group(a: Dimension, b: Dimension, c: Dimension) -> None:
    assert a * b == b * a and hash(a * b) == hash(b * a)
    assert (a * b) * c == a * (b * c)
    assert a * NUMBER == a
    assert a / a == NUMBER
    assert (a / b) * b == a


@given(dimensions, dimensions, st.integers(-3, 3), st.integers(-3, 3))
def test_powers_agree_with_products(a: Dimension, b: Dimension, m: int, n: int) -> None:
    assert a**m * a**n == a ** (m + n)
    assert (a * b) ** n == a**n * b**n
    assert a**2 == a * a and a**0 == NUMBER


@given(dimensions, dimensions)
def test_different_dimensions_have_different_names(a: Dimension, b: Dimension) -> None:
    assert (a.describe() == b.describe()) == (a == b)


@pytest.mark.parametrize(
    ("dimension", "name"),
    [
        (NUMBER, "plain number"),
        (NUMBER / TIME, "rate"),
        (VOLUME / TIME, "flow"),
        (FLOW * RESISTANCE, "pressure"),
        (RESISTANCE * COMPLIANCE, "time"),
        (ENERGY * RATE, "power"),
        (VOLUME / WEIGHT, "volume per weight"),
        (with_basis(VOLUME / WEIGHT, "predicted"), "volume per predicted weight"),
        (with_basis(FLOW / WEIGHT, "measured weight"), "flow per measured weight"),
        (COMPLIANCE / WEIGHT, "compliance per weight"),
        (NUMBER / PRESSURE, "number per pressure"),
        (PRESSURE / LENGTH**2, "pressure per length squared"),
        (WEIGHT / LENGTH**2, "weight per length squared"),
        (TIME**5, "time to the power 5"),
    ],
)
def test_names(dimension: Dimension, name: str) -> None:
    assert dimension.describe() == name == str(dimension)


def test_power_is_energy_a_time() -> None:
    assert POWER == PRESSURE * FLOW


def test_a_basis_makes_another_dimension_and_can_be_taken_off() -> None:
    per_weight = VOLUME / WEIGHT
    predicted = with_basis(per_weight, "predicted")
    assert predicted not in (per_weight, with_basis(per_weight, "measured"))
    assert predicted == with_basis(per_weight, "predicted weight")
    assert (predicted.basis, per_weight.basis) == ("predicted", None)
    assert without_basis(predicted) == per_weight
    assert predicted * with_basis(WEIGHT, "predicted") == VOLUME
    assert predicted * with_basis(WEIGHT, "measured") != VOLUME


@pytest.mark.parametrize("dimension", [VOLUME, NUMBER, with_basis(WEIGHT, "predicted")])
def test_a_basis_needs_a_plain_weight(dimension: Dimension) -> None:
    with pytest.raises(ValueError, match="no plain weight"):
        with_basis(dimension, "measured")


@pytest.mark.parametrize(
    "exponents",
    [(("volume", 1), ("pressure", 1)), (("volume", 0),), (("volume", 1), ("volume", 1)), (("charge", 1),)],
)
def test_malformed_dimensions_are_refused(exponents: tuple[tuple[str, int], ...]) -> None:
    with pytest.raises(ValueError, match=r"must be sorted|unknown base"):
        Dimension(exponents)


def test_dimensions_are_values() -> None:
    assert pickle.loads(pickle.dumps(RESISTANCE)) == RESISTANCE
    assert repr(RATE) == "Dimension((('time', -1),))"
    assert PRESSURE != "pressure"
    with pytest.raises(AttributeError):
        PRESSURE.exponents = NUMBER.exponents
    with pytest.raises(AttributeError):
        del PRESSURE.exponents
