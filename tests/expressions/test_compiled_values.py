"""Compiled expressions at plain values: the function itself answers, and what it answers was worked out by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rxlint.expressions import CLOSE, Value, compile_condition, compile_number, number
from tests.expressions.invented import TYPES, Given, condition_of, items, number_of, words

KEYS = {key: place for place, key in enumerate(TYPES)}
VALUES: dict[str, Value] = {
    "peep": 5.0,
    "support": 12.0,
    "share": 0.5,
    "mode": words("CMV", silent=["SIMV"]),
    "assembly": items(("HME", 12), "tubing", ("filter", 30), ("HME", 15), "nasal mask"),
    "ready": True,
}
SLOTS = [VALUES.get(key) for key in TYPES]

NUMBERS = [
    ("PEEP", 5.0),
    ("- PEEP", -5.0),
    ("absolute (PEEP - pressure support)", 7.0),
    ("absolute (PEEP)", 5.0),
    ("square root (PEEP * PEEP)", 5.0),
    ("square root (- 4 * leak share)", None),
    ("PEEP + pressure support", 17.0),
    ("pressure support - PEEP", 7.0),
    ("pressure support / PEEP", 2.4),
    ("leak share ^ 2", 0.25),
    ("leak share ^ 0", 1.0),
    ("leak share ^ -2", 4.0),
    ("leak share ^ 1", 0.5),
    ("least of (PEEP, pressure support)", 5.0),
    ("greatest of (PEEP, pressure support)", 12.0),
    ("greatest of (PEEP)", 5.0),
    ("least of (PEEP, peak)", None),
    ("if (ready) then (PEEP) else (pressure support)", 5.0),
    ("if (not ready) then (PEEP) else (pressure support)", 12.0),
    ("if (ready) then (PEEP) else (peak)", 5.0),
    ("if (ready) then (peak) else (PEEP)", None),
    ("if (mode is SIMV) then (PEEP) else (pressure support)", None),
    ("count of HME in assembly", 2.0),
    ("count of interface in assembly", 1.0),
    ("sum of HME in assembly", 27.0),
    ("sum of filter in assembly", 30.0),
    ("staircase of (PEEP)", 1.0),
    ("staircase of (-1 cmH2O)", None),
    ("hill of (PEEP, 2)", 0.4),
    ("hill of (peak, 2)", None),
    ("peak", None),
]


@pytest.mark.parametrize(("text", "wanted"), NUMBERS)
def test_numbers(text: str, wanted: float | None) -> None:
    found = compile_number(number_of(text), KEYS).run(SLOTS)
    assert found == pytest.approx(wanted) if wanted is not None else found is None


CONDITIONS = [
    ("PEEP < 6 cmH2O", True),
    ("PEEP <= 4 cmH2O", False),
    ("PEEP > 4 cmH2O", True),
    ("PEEP >= 6 cmH2O", False),
    ("PEEP = 6 cmH2O", False),
    ("PEEP != 6 cmH2O", True),
    ("PEEP = 6 cmH2O within 2 cmH2O", True),
    ("PEEP = 9 cmH2O within 2 cmH2O", False),
    ("PEEP != 6 cmH2O within 2 cmH2O", False),
    ("PEEP != 9 cmH2O within 2 cmH2O", True),
    ("PEEP = 9 cmH2O within peak", None),
    ("PEEP is between 4 cmH2O and 6 cmH2O", True),
    ("PEEP is between 6 cmH2O and 8 cmH2O", False),
    ("PEEP is between 2 cmH2O and 4 cmH2O", False),
    ("mode is CMV", True),
    ("mode is not CMV", False),
    ("mode is SIMV", None),
    ("mode is not SIMV", None),
    ("mode is single with leak port", False),
    ("mode is not single with leak port", True),
    ("assembly has filter", True),
    ("assembly has every of HME, tracheostomy", False),
    ("assembly has any of HME, tracheostomy", True),
    ("HME before filter in assembly", True),
    ("filter before HME in assembly", False),
    ("ready", True),
    ("not ready", False),
    ("not mode is SIMV", None),
    ("PEEP is stated", True),
    ("peak is stated", False),
    ("peak is not stated", True),
    ("PEEP > 9 cmH2O and peak > 3 cmH2O", False),
    ("peak > 3 cmH2O and PEEP > 9 cmH2O", False),
    ("PEEP > 3 cmH2O or peak > 3 cmH2O", True),
    ("PEEP > 3 cmH2O and peak > 3 cmH2O", None),
    ("PEEP > 9 cmH2O or peak > 3 cmH2O", None),
    ("(PEEP > 9 cmH2O and ready) or PEEP > 3 cmH2O", True),
    ("(PEEP > 3 cmH2O or ready) and PEEP > 9 cmH2O", False),
    ("if (ready) then (PEEP > 3 cmH2O) else (PEEP > 9 cmH2O)", True),
    ("if (not ready) then (PEEP > 3 cmH2O) else (PEEP > 9 cmH2O)", False),
]


@pytest.mark.parametrize(("text", "wanted"), CONDITIONS)
def test_conditions(text: str, wanted: bool | None) -> None:
    assert compile_condition(condition_of(text), KEYS).run(SLOTS) is wanted


def test_a_sum_needs_the_quantity_of_every_item() -> None:
    silent = [items("HME", ("HME", 15)) if key == "assembly" else None for key in TYPES]
    assert compile_number(number_of("sum of HME in assembly"), KEYS).run(silent) is None
    assert compile_number(number_of("count of HME in assembly"), KEYS).run(silent) == 2.0
    assert compile_number(number_of("sum of filter in assembly"), KEYS).run(silent) == 0.0


def test_a_choice_between_equal_numbers_is_left_to_the_exact_evaluator() -> None:
    text = "if (mode is SIMV) then (PEEP) else (5 cmH2O)"
    assert compile_number(number_of(text), KEYS).run(SLOTS) is CLOSE
    assert number(number_of(text), Given({**VALUES, "peep": Fraction(5)})) == 5


def test_patience_leaves_the_first_runs_to_the_exact_evaluator() -> None:
    patient = compile_condition(condition_of("PEEP > 3 cmH2O"), KEYS, patience=2)
    assert [patient.run(SLOTS) for _ in range(4)] == [CLOSE, CLOSE, True, True]
    assert compile_condition(condition_of("PEEP > 3 cmH2O"), KEYS).run(SLOTS) is True
