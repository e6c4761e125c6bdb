"""The exact evaluator: three-valued logic, arithmetic that has no value, words and lists; and the trace."""

from fractions import Fraction

import pytest

from rxlint.expressions import Missing, Value, condition, evaluate, number, show, trace
from rxlint.expressions.masks import F, M, T, either, every, opposite
from tests.expressions.invented import Given, condition_of, items, number_of, words

TRUE, FALSE, MISSING = "ready", "not ready", "remark is stated and peak > 3 cmH2O"
ENVIRONMENT = Given({"ready": True, "remark": "x", "peep": Fraction(5), "support": Fraction(12)})


def outcome(text: str, environment: Given = ENVIRONMENT) -> bool | None:
    found = condition(condition_of(text), environment)
    return None if isinstance(found, Missing) else found


AND = [
    (TRUE, TRUE, True),
    (TRUE, FALSE, False),
    (TRUE, MISSING, None),
    (FALSE, FALSE, False),
    (FALSE, MISSING, False),
    (MISSING, MISSING, None),
]
OR = [
    (TRUE, TRUE, True),
    (TRUE, FALSE, True),
    (TRUE, MISSING, True),
    (FALSE, FALSE, False),
    (FALSE, MISSING, None),
    (MISSING, MISSING, None),
]


@pytest.mark.parametrize(("left", "right", "wanted"), AND)
def test_and(left: str, right: str, wanted: bool | None) -> None:
    assert outcome(f"({left}) and ({right})") is wanted
    assert outcome(f"({right}) and ({left})") is wanted


@pytest.mark.parametrize(("left", "right", "wanted"), OR)
def test_or(left: str, right: str, wanted: bool | None) -> None:
    assert outcome(f"({left}) or ({right})") is wanted
    assert outcome(f"({right}) or ({left})") is wanted


def test_not_and_masks() -> None:
    assert outcome(f"not ({MISSING})") is None
    assert opposite(T) == F and opposite(M) == M and opposite(T | M) == F | M
    for left in (T, F, M):
        for right in (T, F, M):
            values = {T: TRUE, F: FALSE, M: MISSING}
            known = {True: T, False: F, None: M}
            assert every((left, right)) == known[outcome(f"({values[left]}) and ({values[right]})")]
            assert either((left, right)) == known[outcome(f"({values[left]}) or ({values[right]})")]
    assert every((T | F, F | M)) == F | M
    assert either((T | F, F | M)) == T | F | M


def test_a_choice_that_is_missing_needs_branches_that_agree() -> None:
    assert outcome(f"if ({MISSING}) then (ready) else (ready)") is True
    assert outcome(f"if ({MISSING}) then (ready) else (not ready)") is None
    assert number(number_of(f"if ({MISSING}) then (PEEP) else (5 cmH2O)"), ENVIRONMENT) == 5
    assert number(number_of("if (ready) then (PEEP) else (peak)"), ENVIRONMENT) == 5


def test_missing_names_every_term_once() -> None:
    found = condition(condition_of("peak + tidal volume * 1 cmH2O / 1 mL > PEEP and leak share < 1"), ENVIRONMENT)
    assert found == Missing(frozenset(("peak", "volume", "share")))


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("PEEP / (PEEP - 5 cmH2O)", "division by zero"),
        ("(PEEP - 5 cmH2O) ^ -1", "division by zero"),
        ("square root (1 cmH2O * (PEEP - 6 cmH2O))", "square root of a negative number"),
        ("staircase of (PEEP - 6 cmH2O)", "staircase: below zero"),
        ("(((((((PEEP / 7 cmH2O) ^ 9) ^ 9) ^ 9) ^ 9) ^ 9) ^ 9) ^ 9", "a number grows too large"),
    ],
)
def test_arithmetic_without_a_value(text: str, reason: str) -> None:
    found = number(number_of(text), ENVIRONMENT)
    assert isinstance(found, Missing)
    assert found.reasons == (reason,)


def test_arithmetic_is_exact() -> None:
    given = Given({"share": Fraction(1, 10)})
    assert outcome("leak share + 0.2 = 0.3", given) is True
    assert number(number_of("square root (leak share * 0.1)"), given) == Fraction(1, 10)
    assert number(number_of("square root (4 / 9)"), given) == Fraction(2, 3)
    root = number(number_of("square root (2)"), given)
    assert isinstance(root, Fraction) and 0 < 2 - root * root < Fraction(1, 10**60)
    assert outcome("0.3 = 0.25 within 0.05", given) is True
    assert outcome("0.3 != 0.25 within 0.05", given) is False


def test_functions_are_rid_of_the_noise_of_floats() -> None:
    given = Given({"weight-m": Fraction(50)})  # 2.2 * 50 is above 110 in floats
    assert number(number_of("dead space of (measured weight)"), given) == 110
    assert number(number_of("hill of (6.5 cmH2O, 2)"), given) == Fraction(8, 5)


def test_words_left_open_are_missing_unless_another_decides() -> None:
    given = Given({"mode": words("CMV", silent=["SIMV"])})
    assert outcome("mode is CMV", given) is True
    assert outcome("mode is SIMV", given) is None
    assert outcome("mode is not SIMV", given) is None
    assert outcome("mode is single with leak port", given) is False
    assert outcome("mode is one of SIMV, CMV", given) is True
    assert outcome("mode is not one of SIMV, CMV", given) is False
    assert outcome("mode is stated", given) is True


def test_stated_but_unreadable() -> None:
    given = Given({}, frozenset(("peep",)))
    assert outcome("PEEP is stated", given) is True
    assert outcome("PEEP is not stated", given) is False
    assert outcome("PEEP > 3 cmH2O", given) is None
    assert outcome("peak is stated", given) is False


LISTS = [
    ("assembly has HME", True),
    ("assembly has interface", True),
    ("assembly has any of filter, interface", True),
    ("assembly has every of HME, filter", False),
    ("assembly has every of HME, interface", True),
    ("HME before interface in assembly", True),
    ("interface before HME in assembly", False),
    ("filter before HME in assembly", False),
    ("HME before filter in assembly", False),
    ("tubing before tubing in assembly", False),
    ("count of tubing in assembly = 2", True),
    ("count of interface in assembly = 1", True),
    ("sum of HME in assembly = 27 mL", True),
    ("sum of filter in assembly = 0 mL", True),
]


@pytest.mark.parametrize(("text", "wanted"), LISTS)
def test_lists(text: str, wanted: bool) -> None:
    given = Given({"assembly": items("tubing", ("HME", 12), "tubing", ("HME", 15), "nasal mask")})
    assert outcome(text, given) is wanted
    assert outcome(text, Given({})) is None


def test_a_sum_needs_every_quantity() -> None:
    found = number(number_of("sum of HME in assembly"), Given({"assembly": items("HME", ("HME", 15))}))
    assert found == Missing(frozenset(("assembly",)), ("HME is stated without a quantity",))


def test_floats_come_in_exactly_and_nonsense_is_missing() -> None:
    assert number(number_of("PEEP"), Given({"peep": 0.1})) == Fraction(0.1)
    found = evaluate(number_of("PEEP"), Given({"peep": float("nan")}))
    assert isinstance(found, Missing) and found.terms == {"peep"}


def test_trace_shows_every_step_with_its_value() -> None:
    node = condition_of("PEEP + pressure support <= 15 cmH2O and peak > 3 cmH2O")
    steps = [(step.depth, step.text, step.value) for step in trace(node, ENVIRONMENT)]
    missing: Value | Missing = Missing(frozenset(("peak",)))
    assert steps == [
        (0, show(node), False),
        (1, "PEEP + pressure support <= 15 cmH2O", False),
        (2, "PEEP + pressure support", Fraction(17)),
        (3, "PEEP", Fraction(5)),
        (3, "pressure support", Fraction(12)),
        (1, "peak > 3 cmH2O", missing),
        (2, "peak", missing),
    ]
