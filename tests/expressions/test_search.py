"""How the search goes about a question: what it ties together, splits, tries first and leaves open."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rxlint.expressions import Axis, Common, Space, decide
from rxlint.expressions.masks import F, T
from tests.expressions.invented import axis, condition_of, judge, number_of, words

PEEP, SUPPORT, PEAK = axis("peep", 4, 8), axis("support", 8, 15), axis("peak", 15, 20)
MODE = Axis("mode", options=(words("SIMV"), words("CMV")))
# Broken between 4 and 6 alone, and not in the middle of 4 to 8.
PARABOLA = "PEEP * PEEP - 10 cmH2O * PEEP + 24 cmH2O * 1 cmH2O >= 0 cmH2O * 1 cmH2O"


def test_relations_between_other_axes_play_no_part() -> None:
    keep = ["peak >= PEEP + 12 cmH2O", "pressure support >= 9 cmH2O"]
    decision = judge("PEEP > 9 cmH2O", PEEP, SUPPORT, PEAK, keep=keep)
    assert decision.example is not None and decision.example.keys() == {"peep", "peak"}
    assert judge("PEEP > 3 cmH2O", PEEP, SUPPORT, keep=["pressure support > 20 cmH2O"]).outcome == "met"
    chain = ["pressure support >= PEEP + 20 cmH2O", "peak >= pressure support"]
    assert judge("peak > 3 cmH2O", PEEP, SUPPORT, PEAK, keep=chain).outcome == "unsatisfiable"


def test_a_relation_by_way_of_a_formula_ties_too() -> None:
    formulas = {"peak": "PEEP + pressure support"}
    decision = judge("PEEP > 9 cmH2O", PEEP, SUPPORT, keep=["peak <= 20 cmH2O"], formulas=formulas)
    assert decision.example is not None and decision.example.keys() == {"peep", "support"}


def test_what_is_set_is_tried_before_the_middle() -> None:
    for as_set in ("5", "7", "4"):
        decision = judge("PEEP < 4 cmH2O", axis("peep", 4, 8, as_set=as_set))
        assert decision.example == {"peep": Fraction(as_set)} and decision.boxes == 1


def test_ranges_are_split_once_choices_are_made() -> None:
    decision = judge(PARABOLA, PEEP, MODE, when="mode is CMV")
    assert decision.outcome == "can break"
    assert decision.example == {"peep": Fraction(5), "mode": words("CMV")}
    assert judge("hill of (PEEP, 2) <= 2", axis("peep", 0, 30, step="1"), MODE, when="mode is CMV").outcome == "met"
    never = judge("PEEP * PEEP - 10 cmH2O * PEEP >= - 26 cmH2O * 1 cmH2O", PEEP, MODE, when="mode is CMV")
    assert never.outcome == "met"


def test_a_requirement_that_needs_what_is_missing_only_in_a_corner_is_not_called_met() -> None:
    corner = "PEEP < 7.9 cmH2O or leak share > 1"
    assert judge(corner, PEEP).outcome == "not checked"
    assert judge(corner, axis("peep", 4, 7)).outcome == "met"
    inside = "PEEP < 5.1 cmH2O or PEEP > 5.4 cmH2O or leak share > 1"
    assert judge(inside, PEEP).outcome in ("not checked", "undecided")
    assert judge(inside, PEEP, budget=2).outcome == "undecided"


@pytest.mark.parametrize("budget", [1, 2, 3, 5, 20])
def test_no_budget_makes_an_outcome_of_what_is_not_known(budget: int) -> None:
    # The relation is kept at one point of a line only, which sampling meets late or never.
    keep = ["PEEP * PEEP + pressure support * pressure support <= 80 cmH2O * 1 cmH2O"]
    decision = judge("PEEP > 3 cmH2O", PEEP, SUPPORT, keep=keep, budget=budget)
    assert decision.outcome == "met"
    never = ["PEEP * PEEP + pressure support * pressure support < 79 cmH2O * 1 cmH2O"]
    assert judge("PEEP > 3 cmH2O", PEEP, SUPPORT, keep=never, budget=budget).outcome in ("met", "unsatisfiable")


def test_when_that_applies_nowhere_is_found_by_splitting() -> None:
    # PEEP (10 - PEEP) is at most 25, but an interval of PEEP alone does not show it.
    when = "10 cmH2O * PEEP - PEEP * PEEP > 32 cmH2O * 1 cmH2O"
    assert judge("peak > 50 cmH2O", PEEP, PEAK, when=when).outcome == "does not apply"
    assert judge("PEEP > 3 cmH2O", PEEP, when=when).outcome == "does not apply"
    assert judge("PEEP > 9 cmH2O", PEEP, keep=[when]).outcome == "unsatisfiable"
    assert judge("PEEP > 3 cmH2O", PEEP, keep=[when]).outcome == "unsatisfiable"


def test_broken_wherever_it_applies_and_not_applying_elsewhere() -> None:
    assert judge("PEEP > 9 cmH2O", PEEP, when="PEEP >= 4 cmH2O").outcome == "broken everywhere"
    assert judge("PEEP > 9 cmH2O", PEEP, MODE, when="mode is CMV").outcome == "can break"
    assert judge("PEEP > 9 cmH2O or leak share > 1", PEEP, when="PEEP >= 4 cmH2O").outcome == "not checked"
    decision = judge("PEEP > 9 cmH2O and leak share > 1", PEEP, when="leak share > 2 or PEEP > 7 cmH2O")
    assert decision.outcome == "can break"


def test_a_missing_relation_makes_no_breach_certain() -> None:
    keep = ["leak share * PEEP < 3 cmH2O"]
    assert judge("PEEP > 3 cmH2O", PEEP, keep=keep).outcome == "met"
    broken = judge("PEEP > 9 cmH2O", PEEP, keep=keep)
    assert broken.outcome == "not checked" and broken.example is None and broken.missing == {"share"}
    apart = judge("PEEP > 9 cmH2O", PEEP, keep=keep, when="PEEP > 10 cmH2O")
    assert apart.outcome == "does not apply"


def test_the_same_axis_twice_as_wide_is_split_first() -> None:
    wide, narrow = axis("peep", 0, 1000), axis("support", 0, 1)
    question = "PEEP * PEEP - 1000 cmH2O * PEEP + pressure support * 1 cmH2O >= - 300000 cmH2O * 1 cmH2O"
    assert judge(question, wide, narrow).outcome == "met"


def test_a_step_or_grid_must_be_above_zero() -> None:
    for grid, step in ((0, None), (-1, None), (1, 0), (1, -1), (0, 1), (-1, 1)):
        with pytest.raises(ValueError, match="must be above zero"):
            Axis("a", grid=Fraction(grid), step=None if step is None else Fraction(step))
    assert Axis("a", grid=Fraction(1), step=Fraction(1)).step == 1


def test_an_axis_comes_before_a_formula_of_the_same_key() -> None:
    space = Space((PEEP,), {"peep": condition_of("ready")}, {}, frozenset(("peep",)))
    assert space.formula("peep") is None
    assert decide(None, condition_of("PEEP > 3 cmH2O"), space, 5).outcome == "met"


def test_a_budget_that_ends_early_leaves_nothing_allowed_unclaimed() -> None:
    # PEEP (10 - PEEP) is at most 25: nothing is allowed, but only boxes that are small enough show it.
    keep = ["10 cmH2O * PEEP - PEEP * PEEP > 25.5 cmH2O * 1 cmH2O"]
    for budget in (1, 2, 4):
        assert judge("PEEP > 3 cmH2O", PEEP, keep=keep, budget=budget).outcome == "met"
    assert judge("PEEP > 3 cmH2O", PEEP, keep=keep, budget=500).outcome == "unsatisfiable"


def test_an_axis_that_is_a_point_is_not_split() -> None:
    point = axis("support", 8, 8)
    decision = judge(f"pressure support > 3 cmH2O and {PARABOLA}", point, PEEP, budget=60)
    assert decision.example == {"support": Fraction(8), "peep": Fraction(5)}


def test_what_holds_whatever_is_missing_is_met_where_it_applies_only_in_part() -> None:
    keep = ["leak share * PEEP < 3 cmH2O"]
    assert judge("PEEP > 3 cmH2O", PEEP, keep=keep, when="PEEP > 5 cmH2O").outcome == "met"


def test_relations_that_share_a_constant_do_not_tie_their_axes() -> None:
    keep = ["PEEP * leak share <= 4 cmH2O", "pressure support * leak share >= 4 cmH2O"]
    decision = judge("PEEP > 9 cmH2O", PEEP, SUPPORT, keep=keep, constants={"share": Fraction(1, 2)})
    assert decision.example is not None and decision.example.keys() == {"peep"}


# ---- what many searches of one space share


def common(*axes: Axis, keep: tuple[str, ...] = (), budget: int = 300) -> Common:
    keys = frozenset(each.key for each in axes)
    return Common(Space(axes, {}, {}, keys, tuple(map(condition_of, keep))), budget)


def test_a_point_that_is_allowed_is_searched_for_where_the_likeliest_are_not() -> None:
    # Not the middle (6), nor an end (4, 8).
    found = common(PEEP, SUPPORT, keep=("PEEP > 4 cmH2O and PEEP < 6 cmH2O",)).allowed
    assert found is not None and found.value("peep") == 5
    assert found.value("support") in (8, 11, 15)  # which no relation touches: as the first point tried has it
    as_set = common(axis("peep", 4, 8, as_set="7"), keep=("PEEP = 7 cmH2O",), budget=0).allowed
    assert as_set is not None and as_set.value("peep") == 7
    assert common(PEEP, keep=("PEEP = 7 cmH2O",), budget=0).allowed is None


def test_where_nothing_is_allowed_that_is_certain_or_left_open() -> None:
    never = ("PEEP > 9 cmH2O",)
    assert common(PEEP, keep=never).is_nothing_allowed
    hard = ("10 cmH2O * PEEP - PEEP * PEEP > 25.5 cmH2O * 1 cmH2O",)
    assert common(PEEP, keep=hard, budget=500).is_nothing_allowed
    lost = common(PEEP, keep=hard, budget=2)
    assert lost.allowed is None and not lost.is_nothing_allowed
    assert not common(PEEP).is_nothing_allowed
    assert common(axis("peep", 4, 6, step="5", origin="2")).allowed is None  # no step lies in the range


def test_a_search_in_vain_is_not_made_again_for_each_question() -> None:
    hard = "10 cmH2O * PEEP - PEEP * PEEP > 25.5 cmH2O * 1 cmH2O"
    space = Space((PEEP,), {}, {}, frozenset(("peep",)), (condition_of(hard),))
    lost, proved = Common(space, 2), Common(space, 500)
    question = condition_of("PEEP > 3 cmH2O")
    given_up = decide(None, question, space, 500, lost)
    assert (given_up.outcome, given_up.boxes) == ("met", 1)
    assert decide(None, question, space, 500, proved).outcome == "unsatisfiable"


def test_what_is_shared_decides_no_question_that_other_relations_are_about() -> None:
    keys = frozenset(("peep", "support"))
    space = Space((PEEP, SUPPORT), {}, {}, keys, (condition_of("pressure support > 20 cmH2O"),))
    shared = Common(space)
    assert shared.is_nothing_allowed
    assert decide(None, condition_of("PEEP > 3 cmH2O"), space, 500, shared).outcome == "met"
    assert decide(None, condition_of("pressure support > 3 cmH2O"), space, 500, shared).outcome == "unsatisfiable"


def test_a_contradiction_elsewhere_makes_nothing_of_the_relations_that_matter() -> None:
    keys = frozenset(("peep", "support"))
    elsewhere = condition_of("pressure support > 20 cmH2O")
    hard = condition_of("10 cmH2O * PEEP - PEEP * PEEP > 25.5 cmH2O * 1 cmH2O")
    question = condition_of("PEEP > 3 cmH2O")
    kept = Space((PEEP, SUPPORT), {}, {}, keys, (condition_of("PEEP > 5 cmH2O"), elsewhere))
    assert decide(None, question, kept, 500, Common(kept)).outcome == "met"
    never = Space((PEEP, SUPPORT), {}, {}, keys, (hard, elsewhere))
    assert decide(None, question, never, 500, Common(never)).outcome == "unsatisfiable"


def test_boxes_left_over_without_a_breach_are_no_doubt() -> None:
    hard = "10 cmH2O * PEEP - PEEP * PEEP > 25.5 cmH2O * 1 cmH2O"
    for budget in (1, 2, 4):
        assert judge("PEEP > 3 cmH2O", PEEP, when=hard, budget=budget).outcome == "met"


def test_a_term_that_a_fact_tells_more_of_is_worked_out_again() -> None:
    formulas = {
        "peak": number_of("if (PEEP <= 5 cmH2O) then (10 cmH2O) else (30 cmH2O)"),
        "support": number_of("peak + 1 cmH2O"),
    }
    shared = Common(Space((PEEP,), formulas, {}, frozenset(("peep",))))
    for text in ("peak <= 12 cmH2O", "pressure support <= 12 cmH2O", "peak + PEEP <= 17 cmH2O"):
        before = shared.whole.told()
        assert before.condition(condition_of(text)) == T | F
        told = shared.whole.told()
        told.learn(condition_of("PEEP < 4.9 cmH2O"))
        assert told.condition(condition_of(text)) == T
        assert shared.whole.told().condition(condition_of(text)) == T | F


def test_a_term_that_shares_a_part_with_one_that_facts_decide_is_decided_by_them_too() -> None:
    # Over the whole box either branch may be taken; the relation says that it is the first.
    choice = "if (leak share * 1 s > inspiratory time + 0.1 s) then (10 cmH2O) else (50 cmH2O)"
    formulas = {"peak": f"({choice}) + 2 cmH2O", "support": f"({choice}) + 1 cmH2O"}
    axes = axis("ti", 1, 2), axis("share", "1.5", 3)
    for question in (
        "peak < 20 cmH2O and pressure support < 20 cmH2O",
        "pressure support < 20 cmH2O and peak < 20 cmH2O",
    ):
        decision = judge(question, *axes, keep=["leak share * 1 s >= inspiratory time + 0.2 s"], formulas=formulas)
        assert (decision.outcome, decision.boxes) == ("met", 1)
