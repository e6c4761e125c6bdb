"""The words with which a slip in an expression is told."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rxlint.expressions import read_condition, show
from rxlint.expressions.nodes import Before, Number, Part, Power
from rxlint.expressions.parse import DEEPEST, parse
from rxlint.units import NUMBER
from tests.expressions.invented import NAMES, condition_of, number_of

AFTER_A_NUMBER = "`*`, `+`, `-`, `/`, `^`, `and`, `or`, `within` or the end"
LONG = "x" * 60
NO_TERM = "is not a term that is known here"

# text, the piece at fault, the whole message, every suggestion
SAID: list[tuple[str, str, str, tuple[str, ...]]] = [
    ("PEEP >", "", "a number, a term or a condition is missing after `>`", ()),
    ("ready or ", "", "a number, a term or a condition is missing after `or`", ()),
    ("", "", "the expression is empty", ()),
    ("PEEP is between 3 cmH2O", "", "`*`, `+`, `-`, `/`, `^` or `and` is missing after `cmH2O`", ()),
    ("PEEP > 5 cmH2O PEEP", "PEEP", f"`PEEP` cannot stand here; expected {AFTER_A_NUMBER}", ()),
    ("PEEP > 3 cmH2O )", ")", f"`)` cannot stand here; expected {AFTER_A_NUMBER}", ()),
    ("PEEP > 5 5", "5", f"`5` cannot stand here; expected a unit, {AFTER_A_NUMBER}", ()),
    ("PEEP > )", ")", "`)` cannot stand here; expected a number, a term or a condition", ()),
    ("least of PEEP", "PEEP", "`PEEP` cannot stand here; expected `(`", ()),
    ("mode is )", ")", "`)` cannot stand here; expected a word", ()),
    ("assembly has )", ")", "`)` cannot stand here; expected an item", ()),
    ("mode is stated and mode is SIMB", "SIMB", "`SIMB` is not a word of this term", ("SIMV",)),
    ("mode is SIMV and trigger mode is CMW", "CMW", "`CMW` is not a word of this term", ("CMV",)),
    ("interface is tracheostomi", "tracheostomi", "`tracheostomi` is not a word of this term", ("tracheostomy",)),
    ("interface is SIMB", "SIMB", "`SIMB` is not a word of this term", ()),
    ("assembly has tubin", "tubin", "`tubin` is not an item of a list", ("tubing",)),
    ("presure suport > 3 s", "presure suport", f"`presure suport` {NO_TERM}", ("pressure support",)),
    ("PEEP > -05 cmH2O", "-05", "`-05` has a needless zero in front", ("-5",)),
    ("PEEP > -.5 cmH2O", "-.5", "`-.5` has no zero before the point", ("-0.5",)),
    ("PEEP > 5cmH2O", "5cmH2O", "`5cmH2O` is no number: a unit is parted from its number by a space", ("5 cmH2O",)),
    ("PEEP > 5foo", "5foo", "`5foo` is no number: a unit is parted from its number by a space", ()),
    ("tidal volume > 5 mLL", "mLL", "`mLL` is not a unit", ("mL",)),
    ("PEEP*2>3", "PEEP*2>3", "`PEEP*2>3` cannot be read here; operators need a space on both sides", ("PEEP * 2 > 3",)),
    (f"PEEP > {LONG}", LONG, f"`{LONG}` is not a term that is known here", ()),
    (f"PEEP > {LONG}x", f"{LONG}x", f"`{LONG[:-1]}…` is not a term that is known here", ()),
]  # fmt: skip


@pytest.mark.parametrize(("text", "piece", "message", "suggestions"), SAID)
def test_what_is_said_of_a_slip(text: str, piece: str, message: str, suggestions: tuple[str, ...]) -> None:
    (error,) = read_condition(text, NAMES).errors
    assert (text[error.start : error.end], error.message, error.suggestions) == (piece, message, suggestions)


def test_too_many_digits_and_too_high_powers_are_refused_and_those_at_the_limit_taken() -> None:
    assert number_of("123456789012345678 cmH2O") is not None
    assert "at most 18 digits" in parse("1234567890123456789 cmH2O", NAMES).errors[0].message
    assert show(number_of("leak share ^ 9")) == "leak share ^ 9" and show(number_of("leak share ^ -9"))
    for power in ("10", "-10", "123", "2.0"):
        assert "whole number from -9 to 9" in parse(f"leak share ^ {power}", NAMES).errors[0].message


def test_one_option_is_a_plain_comparison() -> None:
    assert condition_of("PEEP is one of 5 cmH2O") == condition_of("PEEP = 5 cmH2O")
    assert condition_of("PEEP is not one of 5 cmH2O") == condition_of("PEEP != 5 cmH2O")


def test_as_deep_as_allowed_is_read() -> None:
    assert parse("absolute (" * (DEEPEST - 1) + "PEEP" + ")" * (DEEPEST - 1), NAMES).node is not None
    assert parse("absolute (" * DEEPEST + "PEEP" + ")" * DEEPEST, NAMES).node is None


def test_an_item_is_known_by_its_own_spelling_whatever_its_case() -> None:
    for text in ("Interface before tubing in assembly", "interface before tubing in assembly"):
        node = condition_of(text)
        assert isinstance(node, Before)
        assert node.first == Part("interface", frozenset(("tracheostomy", "nasal mask")))


@pytest.mark.parametrize(
    "text",
    [
        "not (ready and ready)",
        "ready and (ready or ready)",
        "(ready or ready) and ready",
        "ready or ready and ready",
        "(ready and ready) and ready",
        "PEEP - (PEEP - peak) > 3 cmH2O",
        "PEEP - (PEEP + peak) > 3 cmH2O",
        "PEEP * (PEEP + peak) > 3 cmH2O * 1 cmH2O",
        "PEEP / (PEEP / peak) > 3 cmH2O",
        "(- 0.5) ^ 2 < 3",
        "(PEEP + peak) ^ 2 > 3 cmH2O * 1 cmH2O",
        "0 ^ 2 < 3",
        "leak share ^ 2 < 3",
        "(leak share ^ 2) ^ 3 < 3",
        "- (PEEP + peak) < 3 cmH2O",
        "- - PEEP < 3 cmH2O",
    ],
)
def test_only_needful_brackets_are_shown(text: str) -> None:
    assert show(condition_of(text)) == text


def test_a_negative_number_as_a_base_stands_in_brackets() -> None:
    minus, zero = Number(Fraction(-1), "-1", NUMBER), Number(Fraction(0), "0", NUMBER)
    assert show(Power(minus, 2)) == "(-1) ^ 2"
    assert show(Power(zero, 2)) == "0 ^ 2"
