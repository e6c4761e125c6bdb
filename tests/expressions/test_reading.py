"""Text to nodes: the grammar itself, what is understood, and what is said where nothing is."""

import interegular  # noqa: F401 - lark's strict checking of terminals needs it
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.expressions import Parsed, check, parse, read_condition, read_number, show
from rxlint.expressions.nodes import Binary, Compare, Logic, Name, Number, Power, Unary
from rxlint.expressions.parse import DEEPEST, LONGEST, grammar
from rxlint.units import PRESSURE
from tests.expressions.invented import FUNCTIONS, MODES, NAMES, SPELLINGS, condition_of, number_of
from tests.expressions.strategies import conditions, pressures


def test_the_grammar_is_strict_and_free_of_conflicts() -> None:
    # In strict mode lark refuses shift/reduce conflicts, and terminals that it can compare and that collide.
    assert grammar(strict=True).parser is not None


ACCEPTED = [
    "PEEP + pressure support = 20 cmH2O within 0.5 cmH2O or PEEP < 2 cmH2O",
    "mode is SIMV and trigger mode is not flow, leak-compensated",
    "mode is one of SIMV, flow, leak-compensated and ready",
    "mode is not one of SIMV, CMV",
    "remark is not stated or remark is stated",
    "PEEP is between 4 cmH2O and 8 cmH2O and ready",
    "assembly has HME and not assembly has any of filter, tubing",
    "assembly has every of HME, interface",
    "HME before interface in assembly or interface before HME in assembly",
    "count of interface in assembly = 1 and sum of HME in assembly > 20 mL",
    "if (ready) then (PEEP) else (5 cmH2O) > 3 cmH2O",
    "if (ready) then (mode is SIMV) else (PEEP is stated)",
    "least of (PEEP, 3 cmH2O) <= greatest of (PEEP)",
    "absolute (PEEP - pressure support) < square root (PEEP ^ 2)",
    "tidal volume / predicted weight > 8 mL/kg of predicted weight",
    "tidal volume > 8 mL/kg of predicted weight * predicted weight",
    "measured weight > 1.3 * predicted weight",
    "measured weight / predicted weight > 1.3",
    "predicted weight > 10 kg",
    "dead space of (measured weight) < 100 mL",
    "hill of (PEEP, 2) > 40 %",
    "rate * inspiratory time < 0.5",
    "-5 cmH2O < - PEEP",
    "(PEEP / pressure support) ^ -2 > 3",
]


@pytest.mark.parametrize("text", ACCEPTED)
def test_reads_and_shows_again(text: str) -> None:
    node = condition_of(text)
    once = show(node)
    assert condition_of(once) == node
    assert show(condition_of(once)) == once


def test_binds_as_in_arithmetic() -> None:
    node = number_of("PEEP + 2 * PEEP - 3 cmH2O")
    assert isinstance(node, Binary) and node.operator == "-"
    assert isinstance(node.left, Binary) and node.left.operator == "+"
    assert show(number_of("- PEEP * 2")) == "- PEEP * 2"
    assert isinstance(number_of("- (PEEP * 2)"), Unary)
    logic = condition_of("ready or ready and not ready")
    assert isinstance(logic, Logic) and logic.operator == "or" and len(logic.parts) == 2


def test_a_negative_number_is_no_base_of_a_power() -> None:
    assert parse("-2 ^ 2", NAMES).node is None
    node = parse("(-2) ^ 2", NAMES).node
    assert isinstance(node, Power) and show(node) == "(-2) ^ 2"


def test_numbers_keep_exact_base_values_and_their_text() -> None:
    node = number_of("0.1 kPa")
    assert isinstance(node, Number)
    assert node.value * 980665 == 10 * 100 * 1000  # 100 Pa, at 98.0665 Pa a cmH2O
    assert node.text == "0.1 kPa" and node.dimension == PRESSURE


def test_places_are_code_points_of_the_text() -> None:
    text = "ready and (PEEP + 5 cmH2O) > pressure  support"
    node = condition_of(text)
    assert isinstance(node, Logic)
    compared = node.parts[1]
    assert isinstance(compared, Compare) and isinstance(compared.right, Name)
    assert text[compared.left.start : compared.left.end] == "(PEEP + 5 cmH2O)"
    assert text[compared.right.start : compared.right.end] == "pressure  support"
    assert compared.right.key == "support"


# text, the piece that is at fault, a suggestion (or None), a part of the message
REFUSED = [
    ("PEPE > 5 cmH2O", "PEPE", "PEEP", "not a term"),
    ("presure support > 3 cmH2O", "presure support", "pressure support", "not a term"),
    ("PEEP > 5 cmH3O", "cmH3O", "cmH2O", "not a unit"),
    ("PEEP > 5 cmH20", "cmH20", "cmH2O", "zero"),
    ("rate > 40 bpm", "bpm", "/min", "not used"),
    ("PEEP > 5cmH2O", "5cmH2O", "5 cmH2O", "space"),
    ("PEEP > .5 cmH2O", ".5", "0.5", "zero before the point"),
    ("PEEP > 05 cmH2O", "05", "5", "needless zero"),
    ("PEEP > 0,9 cmH2O", "0,9", "0.9", "point"),
    ("PEEP+5 cmH2O > 3 cmH2O", "PEEP+5", "PEEP + 5", "space on both sides"),
    ("-PEEP < 5 cmH2O", "-PEEP", "- PEEP", "space on both sides"),
    ("mode is SIMB", "SIMB", "SIMV", "not a word"),
    ("mode is tracheostomy", "tracheostomy", None, "can never be"),
    ("assembly has HMF", "HMF", "HME", "not an item"),
    ("PEEP > 5", "5", "cmH2O", "do not go together"),
    ("PEEP > 0", "0", "cmH2O", "do not go together"),
    ("PEEP > inspiratory time", "inspiratory time", None, "do not go together"),
    ("PEEP + 3 s > 4 cmH2O", "3 s", None, "do not go together"),
    ("tidal volume / predicted weight > 8 mL/kg", "8 mL/kg", "8 mL/kg of predicted weight", "which weight"),
    (
        "tidal volume / predicted weight > 8 mL/kg of measured weight",
        "8 mL/kg of measured weight",
        None,
        "per kg of one weight",
    ),
    ("PEEP > 8 mL of predicted weight", "of predicted weight", None, "no weight"),
    ("tidal volume / 70 kg > 8 mL/kg of predicted weight", "8 mL/kg of predicted weight", None, "per kg of one"),
    ("sum of tubing in assembly > 20 mL", "tubing", None, "no quantities"),
    ("sum of interface in assembly > 20 mL", "interface", None, "no quantities"),
    ("dead space of (PEEP) < 5 mL", "PEEP", None, "weight is needed"),
    ("hill of (PEEP) < 5", "hill of (PEEP)", None, "takes 2 values"),
    ("PEEP", "PEEP", None, "where a condition is needed"),
    ("ready + 5 > 3", "ready", None, "where a number is needed"),
    ("mode = SIMV", "SIMV", None, "not a term"),
    ("PEEP = mode", "mode", None, "where a number is needed"),
    ("ready has HME", "ready", None, "list"),
    ("PEEP is SIMV", "PEEP", None, "whose value is a word"),
    ("5 cmH2O is stated", "5 cmH2O", None, "only a term"),
    ("PEEP > 5 cmH2O within 3 cmH2O", "within 3 cmH2O", None, "= and !="),
    ("PEEP ^ 2.5 > 3", "2.5", None, "whole number"),
    ("PEEP ^ 10 > 3", "10", None, "whole number"),
    ("square root (PEEP) > 3", "square root (PEEP)", None, "no square root"),
    ("if (ready) then (PEEP) else (ready)", "ready", None, "one branch"),
    ("PEEP > 1234567890.123456789 cmH2O", "1234567890.123456789", None, "digits"),
    ("PEEP >", "", None, "missing"),
    ("(ready", "", None, "missing"),
    ("", "", None, "empty"),
    ("ready or", "", None, "missing after `or`"),
]


@pytest.mark.parametrize(("text", "piece", "suggestion", "message"), REFUSED)
def test_says_what_is_wrong_and_where(text: str, piece: str, suggestion: str | None, message: str) -> None:
    parsed = read_condition(text, NAMES)
    assert parsed.node is None
    problem = parsed.errors[0]
    # Some pieces occur twice; the last one is meant.
    assert text[problem.start : problem.end] == piece
    assert problem.start == (text.rindex(piece) if piece else len(text))
    assert message in problem.message
    assert suggestion is None or suggestion in problem.suggestions


def test_finds_several_type_errors_at_once() -> None:
    parsed = read_condition("PEEP > 5 and mode is tracheostomy and inspiratory time < 3 cmH2O", NAMES)
    assert len(parsed.errors) == 3


def test_a_number_of_another_dimension_is_refused() -> None:
    assert read_number("PEEP", NAMES, PRESSURE).errors == ()
    assert "pressure is needed" in read_number("inspiratory time", NAMES, PRESSURE).errors[0].message


def test_limits_on_size_and_nesting() -> None:
    at_limit = "ready" + " " * (LONGEST - 5)
    assert parse(at_limit, NAMES).node is not None
    assert "characters" in parse(at_limit + " ", NAMES).errors[0].message
    deep = "absolute (" * DEEPEST + "PEEP" + ")" * DEEPEST
    assert "nested too deeply" in parse(deep, NAMES).errors[0].message
    assert parse("(" * 900 + "PEEP" + ")" * 900, NAMES).node == parse("PEEP", NAMES).node
    assert "nested too deeply" in parse("- " * 900 + "PEEP", NAMES).errors[0].message
    assert "nested too deeply" in parse("PEEP" + " + PEEP" * 250, NAMES).errors[0].message
    assert parse("(" * 1990, NAMES).node is None


TOKENS = [
    *SPELLINGS,
    *MODES,
    *(f"{name} of" for name in FUNCTIONS),
    *("+", "-", "*", "/", "^", "=", "!=", "<", "<=", ">", ">=", "(", ")", ","),
    *("and", "or", "not", "if", "then", "else", "is", "in", "within", "before", "has"),
    *("is one of", "is not", "is stated", "is between", "count of", "sum of", "least of", "of predicted weight"),
    *("5", "-5", "0.5", ".5", "05", "cmH2O", "mL/kg", "kg", "HME", "interface", "%", '"text"', '"open', "½", "\u202e"),
]


def _is_honest(text: str, parsed: Parsed) -> None:
    assert (parsed.node is None) == bool(parsed.errors)
    for problem in parsed.errors:
        assert 0 <= problem.start <= problem.end <= max(len(text), 1)
        assert problem.message
    if parsed.node is not None:
        assert 0 <= parsed.node.start < parsed.node.end <= len(text)
        check(parsed.node, NAMES)


@given(st.text(max_size=80))
def test_no_text_raises(text: str) -> None:
    _is_honest(text, parse(text, NAMES))


@given(st.lists(st.sampled_from(TOKENS), max_size=14).map(" ".join))
def test_no_token_soup_raises(text: str) -> None:
    _is_honest(text, read_condition(text, NAMES))
    _is_honest(text, read_number(text, NAMES))


@given(st.one_of(conditions(), pressures()))
def test_what_is_shown_reads_back_the_same(node: object) -> None:
    text = show(node)  # type: ignore[arg-type]
    parsed = parse(text, NAMES)
    assert parsed.node is not None, (text, parsed.errors)
    assert show(parsed.node) == text
    assert check(parsed.node, NAMES).errors == ()
