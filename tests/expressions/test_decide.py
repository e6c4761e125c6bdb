"""Outcomes over everything a space allows: each outcome, exact ends, relations, choices, examples, missing terms."""

from collections.abc import Mapping
from fractions import Fraction

import pytest

from rxlint.expressions import AtPoint, Axis, Decision, Missing, Outcome, PointEnvironment, Space, at_point, decide
from tests.expressions.invented import Given, axis, condition_of, judge, number_of, words

PEEP = axis("peep", 4, 8)
SUPPORT = axis("support", 8, 15)
PEAK = axis("peak", 15, 20)
MODE = Axis("mode", options=(words("SIMV"), words("CMV")))


def shown(decision: Decision) -> dict[str, object]:
    assert decision.example is not None
    return dict(decision.example)


def test_ends_that_touch_are_exact() -> None:
    assert judge("peak <= 20 cmH2O", PEAK).outcome == "met"
    assert judge("peak < 20 cmH2O", PEAK).outcome == "can break"
    assert judge("peak is between 15 cmH2O and 20 cmH2O", PEAK).outcome == "met"
    # 0.1 + 0.2 against 0.3, where floats would say otherwise
    tenths = axis("share", "0", "0.1", grid="0.1")
    assert judge("leak share + 0.2 <= 0.3", tenths).outcome == "met"
    assert judge("leak share + 0.2 < 0.3", tenths).outcome == "can break"
    assert judge("leak share * 3 <= 0.3", tenths).outcome == "met"


def test_a_repeated_term_is_one_term() -> None:
    decision = judge("PEEP + pressure support - PEEP <= 15 cmH2O", PEEP, SUPPORT)
    assert (decision.outcome, decision.boxes) == ("met", 1)
    assert judge("PEEP * 2 - PEEP - PEEP = 0 cmH2O", PEEP).outcome == "met"
    assert judge("PEEP * pressure support - PEEP * pressure support = 0 cmH2O * PEEP", PEEP, SUPPORT).outcome == "met"
    assert judge("hill of (PEEP, 2) = hill of (PEEP, 2)", PEEP).outcome == "met"


def test_there_and_back_through_a_reference_loses_nothing() -> None:
    # 12 to 20 above a PEEP of 4 to 8, taken above ambient and back: still 12 to 20.
    formulas = {"peak": "PEEP + pressure support"}
    above = axis("support", 12, 20)
    assert judge("peak - PEEP is between 12 cmH2O and 20 cmH2O", PEEP, above, formulas=formulas).boxes == 1
    assert judge("peak - PEEP <= 20 cmH2O", PEEP, above, formulas=formulas).outcome == "met"
    assert judge("peak - PEEP < 20 cmH2O", PEEP, above, formulas=formulas).outcome == "can break"
    assert judge("peak <= 28 cmH2O", PEEP, above, formulas=formulas).outcome == "met"


def test_broken_in_the_middle_alone() -> None:
    # (PEEP - 4)(PEEP - 6) is not negative at either end, but is between them.
    parabola = "PEEP * PEEP - 10 cmH2O * PEEP + 24 cmH2O * 1 cmH2O >= 0 cmH2O * 1 cmH2O"
    decision = judge(parabola, PEEP)
    assert decision.outcome == "can break"
    assert shown(decision) == {"peep": Fraction(5)}
    assert judge(parabola, axis("peep", 4, 8, step="2", origin="4")).outcome == "met"
    assert judge("hill of (PEEP, 2) < 1.9", PEEP).outcome == "can break"
    assert judge("hill of (PEEP, 2) <= 2", PEEP).outcome == "met"


def test_broken_everywhere() -> None:
    assert judge("PEEP > 8 cmH2O", PEEP).outcome == "broken everywhere"
    assert (
        judge("PEEP > 9 cmH2O", PEEP, SUPPORT, keep=["PEEP + pressure support = 20 cmH2O"]).outcome
        == "broken everywhere"
    )
    assert judge("PEEP > 9 cmH2O", PEEP, when="PEEP > 5 cmH2O").outcome == "can break"


def test_does_not_apply_although_terms_are_missing() -> None:
    assert judge("peak > 20 cmH2O", PEEP, when="PEEP > 8 cmH2O").outcome == "does not apply"
    assert judge("peak > 20 cmH2O", PEEP, when="PEEP > 8 cmH2O and leak share > 1").outcome == "does not apply"
    assert judge("peak > 20 cmH2O", PEEP, MODE, when="mode is SIMV and mode is CMV").outcome == "does not apply"


def test_not_checked_only_where_it_matters() -> None:
    decision = judge("peak > 20 cmH2O", PEEP, when="PEEP > 7 cmH2O")
    assert decision == Decision("not checked", None, 1, frozenset(("peak",)))
    assert judge("peak > 20 cmH2O or PEEP > 6 cmH2O", PEEP, when="PEEP > 7 cmH2O").outcome == "met"
    # A breach that needs no missing term is told, whatever else is missing.
    assert judge("peak > 20 cmH2O and PEEP > 5 cmH2O", PEEP).outcome == "can break"
    # A missing `when` with a requirement that holds anyway.
    assert judge("PEEP > 3 cmH2O", PEEP, when="leak share > 1").outcome == "met"
    decision = judge("pressure support / (PEEP - 4 cmH2O) > 0", PEEP, SUPPORT)
    assert (decision.outcome, decision.reasons) == ("not checked", ("division by zero",))
    decision = judge("PEEP > 5 cmH2O", PEEP, keep=["leak share * PEEP < 3 cmH2O"])
    assert decision == Decision("not checked", None, 1, frozenset(("share",)))
    # One of several options leaves a slot open.
    open_mode = Axis("mode", options=(words("SIMV"), words("CMV", silent=["SIMV"])))
    assert judge("mode is SIMV", open_mode).outcome == "not checked"


def test_unsatisfiable() -> None:
    assert judge("PEEP > 3 cmH2O", PEEP, keep=["PEEP > 9 cmH2O"]).outcome == "unsatisfiable"
    ring = ["PEEP > pressure support", "pressure support > PEEP"]
    assert judge("PEEP > 3 cmH2O", axis("peep", 4, 12), SUPPORT, keep=ring).outcome == "unsatisfiable"
    assert judge("PEEP > 3 cmH2O", axis("peep", "4.1", "4.9", step="1")).outcome == "unsatisfiable"
    assert judge("PEEP > 3 cmH2O", PEEP, keep=["1 > 2"]).outcome == "unsatisfiable"


def test_undecided_is_never_called_met() -> None:
    # Only 6.01 breaks it, and nobody writes that at a resolution of 1.
    assert judge("PEEP != 6.01 cmH2O", PEEP).outcome == "undecided"
    assert judge("PEEP != 6.01 cmH2O", axis("peep", 4, 8, grid="0.01")).outcome in ("can break", "undecided")
    assert judge("PEEP != 6.01 cmH2O", axis("peep", 4, 8, step="0.5")).outcome == "met"
    assert judge("hill of (PEEP, 2) < 1.9", PEEP, budget=0).outcome == "undecided"
    # Broken for certain, but only between two numbers that can be written.
    between = judge("PEEP < 5.2 cmH2O or PEEP > 5.8 cmH2O", PEEP)
    assert between.outcome == "undecided"
    assert judge("PEEP < 5.2 cmH2O or PEEP > 5.8 cmH2O", axis("peep", 4, 8, grid="0.5")).outcome == "can break"


RELATIONS = [
    ("PEEP + pressure support <= 20 cmH2O", "PEEP + pressure support <= 20 cmH2O", "met"),
    ("PEEP + pressure support < 20 cmH2O", "PEEP + pressure support < 20 cmH2O", "met"),
    ("PEEP + pressure support <= 20 cmH2O", "PEEP + pressure support < 20 cmH2O", "can break"),
    ("pressure support >= 2 * PEEP", "PEEP <= pressure support / 2", "met"),
    (
        "PEEP + pressure support = 20 cmH2O within 1 cmH2O",
        "PEEP + pressure support is between 19 cmH2O and 21 cmH2O",
        "met",
    ),
    ("PEEP + pressure support is between 14 cmH2O and 15 cmH2O", "PEEP + pressure support <= 15 cmH2O", "met"),
    ("PEEP * pressure support >= 50 cmH2O * 1 cmH2O", "PEEP * pressure support >= 50 cmH2O * 1 cmH2O", "met"),
]


@pytest.mark.parametrize(("keep", "require", "wanted"), RELATIONS)
def test_relations_narrow_what_is_allowed(keep: str, require: str, wanted: Outcome) -> None:
    decision = judge(require, PEEP, SUPPORT, keep=[keep])
    assert decision.outcome == wanted
    if wanted == "met":
        assert decision.boxes <= 3  # no splitting along the relation, only to find a point that keeps it


def test_relations_add_up() -> None:
    chain = ["PEEP <= pressure support", "pressure support <= peak"]
    wide = [axis(key, 0, 30) for key in ("peep", "support", "peak")]
    assert judge("PEEP <= peak", *wide, keep=chain).outcome == "met"
    assert judge("PEEP < peak", *wide, keep=chain).outcome == "can break"
    # `when` counts as known where the requirement is asked.
    assert judge("pressure support > PEEP", *wide, when="pressure support - PEEP > 2 cmH2O").outcome == "met"


def test_relations_on_other_axes_are_followed_only_if_they_are_tied() -> None:
    decision = judge("PEEP > 9 cmH2O", PEEP, SUPPORT, PEAK, keep=["peak >= PEEP + 12 cmH2O"])
    assert shown(decision).keys() == {"peep", "peak"}


def test_choices_are_split_and_shown() -> None:
    decision = judge("PEEP <= 7 cmH2O", PEEP, MODE, when="mode is CMV")
    assert decision.outcome == "can break"
    assert shown(decision) == {"peep": Fraction(8), "mode": words("CMV")}
    assert judge("mode is one of SIMV, CMV", MODE).outcome == "met"
    numbers = Axis("peep", options=(Fraction(5), Fraction(8)))
    assert judge("PEEP is one of 5 cmH2O, 8 cmH2O", numbers).outcome == "met"
    assert judge("PEEP <= 5 cmH2O or PEEP >= 8 cmH2O", numbers).outcome == "met"
    assert shown(judge("PEEP < 8 cmH2O", numbers)) == {"peep": Fraction(8)}


EXAMPLES = [
    (axis("peep", "4.5", "7.3"), "PEEP < 7.1 cmH2O", {"7.3"}),  # an end counts as written
    (axis("peep", "4.5", "7.3"), "PEEP <= 6.9 cmH2O", {"7", "7.3"}),
    (axis("peep", 4, 8, step="1.5", origin="4"), "PEEP < 6 cmH2O", {"7"}),
    (axis("peep", 4, 8, grid="0.1"), "PEEP < 5.1 cmH2O or PEEP > 5.3 cmH2O", {"5.1", "5.2", "5.3"}),
    (axis("peep", 4, 8, as_set="6.5"), "PEEP != 6.5 cmH2O", {"6.5"}),
]


@pytest.mark.parametrize(("allowed", "require", "wanted"), EXAMPLES)
def test_examples_can_be_written(allowed: Axis, require: str, wanted: set[str]) -> None:
    decision = judge(require, allowed)
    assert decision.outcome == "can break"
    assert shown(decision)["peep"] in {Fraction(text) for text in wanted}


def test_what_is_set_is_shown_first() -> None:
    decision = judge("PEEP < 5 cmH2O", axis("peep", 4, 8, as_set="6"))
    assert shown(decision) == {"peep": Fraction(6)}


def test_functions() -> None:
    weight = axis("weight-m", 3, 50)
    assert judge("dead space of (measured weight) <= 110 mL", weight).outcome == "met"
    assert judge("dead space of (measured weight) < 110 mL", weight).outcome == "can break"
    # Outside its domain for part of what is allowed: points can be told, but no box that reaches there.
    assert judge("staircase of (PEEP) < 3", axis("peep", -2, 3, step="1")).reasons == ("staircase: below zero",)
    partly = judge("staircase of (PEEP) < 3", axis("peep", -2, 3))
    assert partly == Decision("undecided", None, partly.boxes, frozenset(), ("staircase: below zero",))
    assert judge("staircase of (PEEP) < 1", axis("peep", -2, 7)).outcome == "can break"
    # Without an enclosure only points can be evaluated: steps can be decided, a whole range cannot.
    wide = axis("peep", 0, 30, step="1")
    assert judge("hill of (PEEP, 2) <= 2", wide).outcome == "met"
    assert judge("hill of (PEEP - 0.5 cmH2O, 2) <= 1.6", wide).outcome == "met"


def test_formulas_chain_without_running_deep() -> None:
    names = ["peak", "support"]
    formulas = {"peak": "PEEP + 1 cmH2O", "support": "peak + PEEP"}
    assert judge("pressure support - 2 * PEEP = 1 cmH2O", PEEP, formulas=formulas).outcome == "met"
    ring = {"peak": "pressure support + 1 cmH2O", "support": "peak - 1 cmH2O"}
    assert judge("peak > 0 cmH2O", PEEP, formulas=ring).outcome == "not checked"
    assert set(names) == set(formulas)


def test_a_long_chain_of_formulas() -> None:
    nodes: Mapping[str, str] = {f"link {i}": f"link {i - 1}" if i else "peep" for i in range(3000)}
    from rxlint.expressions.nodes import Binary, Name

    one = number_of("1 cmH2O")
    formulas = {key: Binary("+", Name(below, below), one) for key, below in nodes.items()}
    space = Space((PEEP,), {**formulas, "peak": Name("link 2999", "link 2999")})
    assert decide(None, condition_of("peak - PEEP = 3000 cmH2O"), space, 5).outcome == "met"
    assert len(space._orders) < 5  # whoever needs what is worked out already asks for no order: that would be quadratic
    assert PointEnvironment(space, {"peep": Fraction(4)}).value("peak") == 3004


def test_no_free_variables_at_all() -> None:
    constants = {"peep": Fraction(5)}
    assert judge("PEEP > 4 cmH2O", constants=constants).outcome == "met"
    broken = judge("PEEP > 5 cmH2O", constants=constants)
    assert (broken.outcome, broken.example) == ("broken everywhere", {})
    assert judge("PEEP > 5 cmH2O", when="PEEP > 6 cmH2O", constants=constants).outcome == "does not apply"
    assert judge("peak > 5 cmH2O", constants=constants).missing == {"peak"}


def test_the_same_question_has_the_same_answer() -> None:
    question = "PEEP * pressure support / (peak - 3 cmH2O) < 9.5 cmH2O"
    first, second = (judge(question, PEEP, SUPPORT, PEAK) for _ in range(2))
    assert first == second


def test_at_one_point() -> None:
    given = Given({"peep": Fraction(5)})
    require, missing = condition_of("PEEP > 5 cmH2O"), condition_of("peak > 5 cmH2O")
    holds = condition_of("PEEP > 4 cmH2O")
    assert at_point(None, require, given).outcome == "broken"
    assert at_point(holds, holds, given).outcome == "met"
    assert at_point(require, missing, given).outcome == "does not apply"
    assert at_point(missing, holds, given).outcome == "met"
    unknown = at_point(holds, missing, given)
    assert unknown == AtPoint("not checked", frozenset(("peak",)))


def test_a_reason_for_a_constant_that_cannot_be_used() -> None:
    reason = Missing(frozenset(("peak",)), ("two ways to state it contradict one another",))
    space = Space((PEEP,), {}, {"peak": reason}, frozenset(("peak",)))
    decision = decide(None, condition_of("peak > PEEP"), space, 10)
    assert decision == Decision("not checked", None, 1, frozenset(("peak",)), reason.reasons)
    assert decide(None, condition_of("peak is stated"), space, 10).outcome == "met"
