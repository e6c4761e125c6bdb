"""Factors that stand on both sides do not matter, and leaving them out changes no outcome."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rxlint.expressions import Axis, Space, decide, nodes, read_condition
from rxlint.expressions.bounds import bounds
from rxlint.model.names import base_names
from rxlint.units import Dimension


def _axis(key: str, low: str, high: str) -> Axis:
    return Axis(key, Fraction(low), Fraction(high), None, Fraction(1, 10), Fraction(low))


def _space(*axes: Axis, **formulas: nodes.Node) -> Space:
    named = {key.replace("_", " "): node for key, node in formulas.items()}
    return Space(axes=axes, formulas=named, stated=frozenset(axis.key for axis in axes))


def _product(left: str, right: str) -> nodes.Node:
    return nodes.Binary("*", nodes.Name(left, left), nodes.Name(right, right))


PER_KG = _space(
    _axis("written", "5", "8"),
    _axis("patient weight", "40", "90"),
    tidal_volume=_product("written", "patient weight"),
)


@pytest.mark.parametrize(
    ("text", "outcome"),
    [
        ("tidal volume <= 8 mL/kg of measured weight * patient weight", "met"),
        ("tidal volume >= 5 mL/kg of measured weight * patient weight", "met"),
        ("tidal volume / patient weight <= 8 mL/kg of measured weight", "met"),
        ("tidal volume <= 7.5 mL/kg of measured weight * patient weight", "can break"),
        ("tidal volume <= 4 mL/kg of measured weight * patient weight", "broken everywhere"),
        ("tidal volume <= 719 mL", "can break"),
    ],
)
def test_a_shared_weight_does_not_matter(text: str, outcome: str) -> None:
    node = read_condition(text, base_names()).node
    assert node is not None
    decision = decide(None, node, PER_KG, 40)
    assert decision.outcome == outcome
    if outcome == "can break":
        assert decision.example is not None


def test_a_factor_that_may_be_zero_or_negative_stays() -> None:
    space = _space(
        _axis("written", "5", "8"),
        _axis("trigger sensitivity", "-1", "1"),
        tidal_volume=_product("written", "trigger sensitivity"),
    )
    wide = nodes.Compare(
        "<=", nodes.Name("tidal volume", "tidal volume"), _product("patient weight", "trigger sensitivity")
    )
    ten = Space(
        axes=space.axes, formulas=space.formulas, constants={"patient weight": Fraction(10)}, stated=space.stated
    )
    decision = decide(None, wide, ten, 200)
    assert decision.outcome == "can break"  # at -1 the order of both sides turns round
    assert decision.example is not None
    assert decision.example["trigger sensitivity"] < 0  # type: ignore[operator]


def test_a_missing_factor_is_still_missing() -> None:
    space = _space(_axis("written", "5", "8"), tidal_volume=_product("written", "patient weight"))
    compare = nodes.Compare(
        "<=",
        nodes.Name("tidal volume", "tidal volume"),
        nodes.Binary("*", nodes.Number(Fraction(9), "9", Dimension()), nodes.Name("patient weight", "w")),
    )
    decision = decide(None, compare, space, 20)
    assert decision.outcome == "not checked"
    assert decision.missing == {"patient weight"}


def test_bounds_of_a_quotient_are_those_of_what_is_left() -> None:
    quotient = nodes.Binary(
        "/", nodes.Name("tidal volume", "tidal volume"), nodes.Name("patient weight", "patient weight")
    )
    assert bounds(quotient, PER_KG, 1) == (Fraction(5), Fraction(8))
