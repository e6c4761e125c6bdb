"""Finding units, converting and showing quantities."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.units import (
    ALIASES,
    DISCOURAGED,
    NUMBER,
    PLAIN,
    PRESSURE,
    RATE,
    UNITS,
    VOLUME,
    WEIGHT,
    Unit,
    find_unit,
    from_base,
    show,
    to_base,
    units_of,
    with_basis,
)

units = st.sampled_from(list(UNITS.values()))


@given(st.fractions(), units)
def test_to_base_and_back_is_exact(value: Fraction, unit: Unit) -> None:
    assert from_base(to_base(value, unit), unit) == value


def test_the_preferred_unit_comes_first() -> None:
    assert units_of(PRESSURE)[0] == "cmH2O"
    assert units_of(RATE)[0] == "/min"
    assert units_of(NUMBER)[0] == "%"
    assert units_of(with_basis(VOLUME / WEIGHT, "predicted")) == ["mL/kg", "L/kg"]
    assert units_of(PRESSURE**3) == []


def test_aliases_lead_to_units() -> None:
    assert all(target in UNITS for target in ALIASES.values())
    assert not set(ALIASES) & set(UNITS)
    assert find_unit("hours") is UNITS["h"]
    assert find_unit("nonsense") is None


def test_discouraged_spellings_name_a_unit_but_are_none() -> None:
    for spelling, (symbol, why) in DISCOURAGED.items():
        assert symbol in UNITS and symbol not in DISCOURAGED
        assert "ISMP" in why or "no published source" in why
        assert spelling not in ALIASES
        assert (find_unit(spelling) is None) == (spelling != "lb")


@pytest.mark.parametrize(
    ("written", "symbol", "text"),
    [
        ("17", "cmH2O", "17 cmH2O"),
        ("17.50", "cmH2O", "17.5 cmH2O"),
        ("0.9", "s", "0.9 s"),
        ("12345", "mL", "12345 mL"),
        ("12345.6", "mL", "12346 mL"),
        ("0.000012344", "L", "0.00001234 L"),
        ("-4.00004", "cmH2O", "-4 cmH2O"),
        ("0", "%", "0 %"),
        ("99.999", "%", "100 %"),
        ("35", "%", "35 %"),
        ("20", "/min", "20 /min"),
    ],
)
def test_show(written: str, symbol: str, text: str) -> None:
    assert show(to_base(Fraction(written), UNITS[symbol]), UNITS[symbol]) == text


def test_show_in_fixed_decimals() -> None:
    assert show(Fraction("2.345"), UNITS["cmH2O"], 2) == "2.35 cmH2O"
    assert show(Fraction("-0.004"), UNITS["cmH2O"], 2) == "0 cmH2O"
    assert show(0.1 + 0.2, UNITS["s"], None) == "0.3 s"
    assert show(2.5, PLAIN, 0) == "3"


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_only_finite_values_are_shown(value: float) -> None:
    with pytest.raises((ValueError, OverflowError)):
        show(value, UNITS["s"])


@given(st.floats(-1e9, 1e9), units)
def test_shown_text_is_plain_and_near(value: float, unit: Unit) -> None:
    number = show(value, unit).split(" ")[0]
    assert "e" not in number.lower() and not ("." in number and number.endswith("0")) and number != "-0"
    exact = from_base(Fraction(value), unit)
    assert abs(Fraction(Decimal(number)) - exact) <= abs(exact) * Fraction(6, 10_000)
