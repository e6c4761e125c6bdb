"""What is certain whatever the numbers are: against the exact evaluator, for any numbers."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.expressions import Missing, Node, Value, condition, number
from rxlint.expressions.certain import LACKING, OPEN, TRUTH, Known, Some, bits_of, certain
from tests.expressions.invented import Given, condition_of, items, number_of, words
from tests.expressions.strategies import conditions, decimals, pressures, values

SMALL = Some(60)


@dataclass(frozen=True)
class Common:
    """What documents with these terms have in common: all but the numbers."""

    values: Mapping[str, Value]
    numbers: Known = SMALL

    def known(self, key: str) -> Known:
        value = self.values.get(key)
        if isinstance(value, Fraction):
            return self.numbers
        if isinstance(value, str | float):
            return OPEN
        return LACKING if value is None else value

    def is_stated(self, key: str) -> bool:
        return key in self.values


@st.composite
def alike(draw: st.DrawFn) -> tuple[dict[str, Value], dict[str, Value]]:
    """Two sets of values that state the same terms with the same words."""
    one = draw(values(3))
    return one, {key: draw(decimals) if isinstance(value, Fraction) else value for key, value in one.items()}


@given(conditions(), alike())
def test_what_is_certain_of_a_condition_is_so_for_all_numbers(node: Node, both: tuple[dict[str, Value], ...]) -> None:
    known = certain(node, Common(both[0]))
    answers = [condition(node, Given(each)) for each in both]
    if known is LACKING:
        assert isinstance(answers[0], Missing) and answers[0] == answers[1]
    elif known is TRUTH:
        assert all(isinstance(each, bool) for each in answers)
    elif known is not OPEN:
        assert isinstance(known, bool) and answers == [known, known]


@given(pressures(), alike())
def test_what_is_certain_of_a_number_is_so_for_all_numbers(node: Node, both: tuple[dict[str, Value], ...]) -> None:
    known = certain(node, Common(both[0]))
    answers = [number(node, Given(each)) for each in both]
    if known is LACKING:
        assert isinstance(answers[0], Missing) and answers[0] == answers[1]
    elif isinstance(known, Some):
        assert all(isinstance(each, Fraction) and bits_of(each) <= known.bits for each in answers)
    elif known is not OPEN:
        assert isinstance(known, Fraction) and answers == [known, known]


STATED: dict[str, Value] = {
    "peep": Fraction(5),
    "peak": Fraction(20),
    "share": Fraction(1, 2),
    "ready": True,
    "mode": words("SIMV", silent=["CMV"]),
    "assembly": items("HME", "HME", "tracheostomy"),
    "remark": "x",
}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("ready", True),
        ("not ready", False),
        ("remark is stated", True),
        ("rate is stated", False),
        ("rate is not stated", True),
        ("mode is SIMV", True),
        ("mode is CMV", LACKING),  # left open, for every document alike
        ("mode is not SIMV", False),
        ("interface is nasal mask", LACKING),
        ("assembly has HME", True),
        ("assembly has filter", False),
        ("HME before filter in assembly", False),
        ("HME before interface in assembly", True),
        ("count of HME in assembly > 1", True),
        ("count of HME in assembly = 1", False),
        ("count of filter in assembly is between 0 and 1", True),
        ("sum of HME in assembly > 3 mL", OPEN),  # quantities are numbers, and may be unstated
        ("peak > PEEP", TRUTH),
        ("peak is between PEEP and 20 cmH2O", TRUTH),
        ("peak > pressure support", LACKING),
        ("3 cmH2O is between 4 cmH2O and pressure support", False),  # whatever the upper end is
        ("5 cmH2O is between 4 cmH2O and pressure support", LACKING),
        ("peak is between 4 cmH2O and pressure support", OPEN),
        ("peak / PEEP > 2", OPEN),  # PEEP may be nothing
        ("peak / 2 > PEEP", TRUTH),
        ("square root (leak share) > 2", OPEN),
        ("absolute (peak - PEEP) > 3 cmH2O", TRUTH),
        ("leak share ^ 2 > 1", OPEN),
        ("least of (peak, PEEP, 3 cmH2O) > 1 cmH2O", TRUTH),
        ("greatest of (peak, pressure support) > 1 cmH2O", LACKING),
        ("staircase of (peak) > 1", OPEN),  # a function may refuse what it is given
        ("staircase of (pressure support) > 1", LACKING),
        ("peak > PEEP and rate is stated", False),
        ("peak > PEEP or ready", True),
        ("peak > PEEP and ready", TRUTH),
        ("peak > PEEP and pressure support > PEEP", OPEN),  # false or missing: the numbers decide
        ("ready and pressure support > PEEP", LACKING),
        ("ready or pressure support > PEEP", True),
        ("if (ready) then (mode is SIMV) else (peak > PEEP)", True),
        ("if (peak > PEEP) then (ready) else (peak > 3 cmH2O)", TRUTH),
        ("if (pressure support > PEEP) then (ready) else (ready)", OPEN),
        ("if (peak > PEEP) then (pressure support > PEEP) else (ready)", OPEN),
        ("PEEP = 5 cmH2O within 1 cmH2O", TRUTH),
        ("3 = 4 within 1", True),
        ("3 = 4 within 0.5", False),
        ("PEEP = 5 cmH2O within pressure support", LACKING),
    ],
)
def test_each_kind_of_expression(text: str, wanted: Known) -> None:
    known = certain(condition_of(text), Common(STATED))
    assert known is wanted or known == wanted
    assert type(known) is type(wanted)


def test_numbers_that_may_grow_too_large_are_open() -> None:
    nodes = number_of("PEEP + peak + PEEP")
    assert certain(nodes, Common(STATED, Some(100))) == Some(302)
    assert certain(nodes, Common(STATED, Some(2_000))) is OPEN
    assert certain(nodes, Common(STATED, OPEN)) is OPEN


def test_a_choice_between_numbers_is_as_long_as_the_longer() -> None:
    node = number_of("if (peak > PEEP) then (PEEP) else (PEEP + peak)")
    assert certain(node, Common(STATED, Some(100))) == Some(201)
