"""The compiled evaluator against the exact one."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given

from rxlint.expressions import (
    CLOSE,
    UNREADABLE,
    Missing,
    Node,
    Value,
    compile_condition,
    compile_number,
    condition,
    evaluate_condition,
    evaluate_number,
    number,
)
from tests.expressions.invented import TYPES, Given, condition_of, number_of, words
from tests.expressions.strategies import conditions, plains, pressures, values

SLOTS = {key: place for place, key in enumerate(TYPES)}


def slots_of(found: dict[str, Value], unreadable: frozenset[str] = frozenset()) -> list[Any]:
    slots: list[Any] = [UNREADABLE if key in unreadable else None for key in TYPES]
    for key, value in found.items():
        slots[SLOTS[key]] = float(value) if isinstance(value, Fraction) else value
    return slots


@given(conditions(), values())
def test_conditions_agree(node: Node, found: dict[str, Value]) -> None:
    given_here = Given(found)
    truth = condition(node, given_here)
    wanted = None if isinstance(truth, Missing) else truth
    compiled = compile_condition(node, SLOTS)
    assert evaluate_condition(compiled, slots_of(found), given_here) is wanted
    quick = compiled.run(slots_of(found))
    assert quick is CLOSE or quick is wanted


@given(pressures() | plains(), values())
def test_numbers_agree(node: Node, found: dict[str, Value]) -> None:
    given_here = Given(found)
    exact = number(node, given_here)
    quick = evaluate_number(compile_number(node, SLOTS), slots_of(found), given_here)
    if isinstance(exact, Missing):
        assert quick is None
    else:
        assert quick is not None
        largest = max([1.0, abs(float(exact)), *(abs(v) for v in slots_of(found) if isinstance(v, float))])
        assert quick == pytest.approx(float(exact), rel=1e-6, abs=1e-6 * largest)


def test_unreadable_is_stated_and_missing() -> None:
    slots = slots_of({}, frozenset(("peep",)))
    given_here = Given({}, frozenset(("peep",)))
    for text, wanted in (("PEEP is stated", True), ("PEEP is not stated", False), ("PEEP > 3 cmH2O", None)):
        assert evaluate_condition(compile_condition(condition_of(text), SLOTS), slots, given_here) is wanted
    none = compile_condition(condition_of("PEEP is not stated"), {})
    assert none.run([]) is True


TIES = [
    ("leak share + 0.2 = 0.3", True),
    ("leak share + 0.2 <= 0.3", True),
    ("leak share + 0.2 - 0.3 = 0", True),
    ("leak share + 0.2 - 0.3 > 0", False),
    ("(leak share + 0.2 - 0.3) * 100000000000000000 > 0", False),
    ("leak share * 3 > 0.3", False),
    ("square root (leak share + 0.2 - 0.3) = 0", True),
    ("1 / (leak share + 0.2 - 0.3) > 5", None),
    ("(leak share + 0.2 - 0.3) ^ -3 > 5", None),
    ("leak share + 0.2 is between 0.3 and 0.4", True),
    ("leak share + 0.2 = 0.4 within 0.1", True),
]


@pytest.mark.parametrize(("text", "wanted"), TIES)
def test_ties_are_never_trusted_to_floats(text: str, wanted: bool | None) -> None:
    found: dict[str, Value] = {"share": Fraction(1, 10)}
    compiled = compile_condition(condition_of(text), SLOTS)
    assert compiled.run(slots_of(found)) is CLOSE
    assert evaluate_condition(compiled, slots_of(found), Given(found)) is wanted


def test_a_step_of_a_function_is_found_exactly() -> None:
    # 4.9 + 0.1 lies just beside 5 in floats, where the staircase rises.
    found: dict[str, Value] = {"peep": Fraction("4.7")}
    compiled = compile_condition(condition_of("staircase of (PEEP + 0.1 cmH2O + 0.2 cmH2O) = 1"), SLOTS)
    assert evaluate_condition(compiled, slots_of(found), Given(found)) is True


def test_numbers_beyond_floats_are_redone_exactly() -> None:
    found: dict[str, Value] = {"share": Fraction(10**17)}
    text = "leak share ^ 9 * leak share ^ 9 * leak share ^ 9 > leak share ^ 9 * leak share ^ 9 * leak share ^ 8"
    compiled = compile_condition(condition_of(text), SLOTS)
    assert evaluate_condition(compiled, slots_of(found), Given(found)) is True


def test_no_text_of_the_expression_reaches_the_source() -> None:
    node = condition_of("mode is flow, leak-compensated and PEEP > 3 cmH2O and assembly has HME")
    source = compile_condition(node, SLOTS).source
    for word in ("flow", "PEEP", "peep", "HME", "assembly", "3", "mode"):
        assert word not in source.replace("n3", "").replace("k3", "").replace("t3", "").replace("v[3]", "")


def test_the_ordinary_path_needs_no_exact_evaluation() -> None:
    found: dict[str, Value] = {"peep": Fraction(5), "support": Fraction(12), "mode": words("SIMV")}
    text = "mode is SIMV and PEEP + pressure support <= 20 cmH2O and square root (PEEP * PEEP) < 6 cmH2O"
    assert compile_condition(condition_of(text), SLOTS).run(slots_of(found)) is True
    assert compile_number(number_of("PEEP / pressure support"), SLOTS).run(slots_of(found)) == 5 / 12
