"""What conditions and numbers may be over a whole box, worked out by hand; and the range of a number over a space."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from rxlint.expressions import Axis, Common, Space, Value, intervals
from rxlint.expressions.bounds import bounds
from rxlint.expressions.forms import TooCloseError
from rxlint.expressions.intervals import BoxEvaluator, Cell, in_order, teaches
from rxlint.expressions.masks import F, M, T
from rxlint.expressions.nodes import Logic
from rxlint.expressions.samples import first_cell
from tests.expressions.invented import axis, condition_of, items, judge, number_of, words

PEEP, SUPPORT = axis("peep", 4, 8), axis("support", 8, 15)
READY = Axis("ready", options=(True, False))
MODE = Axis("mode", options=(words("SIMV"), words("CMV")))
LISTS = Axis("assembly", options=(items(("HME", 12), "tubing"), items("HME"), items()))
HALF = Fraction(1, 2)


def evaluator(*axes: Axis, exact: bool = True, **constants: Value) -> BoxEvaluator:
    formulas = {"volume": number_of("3 * tidal volume / 3")} if "volume" in constants else {}
    space = Space(axes, formulas, constants, frozenset(each.key for each in axes) | frozenset(constants))
    cells = {each.key: cell for each in axes if (cell := first_cell(each)) is not None}
    return BoxEvaluator(space, cells, in_fractions=exact)


ALL = (PEEP, SUPPORT, READY, MODE, LISTS)

CONDITIONS = [
    ("PEEP > 3 cmH2O", T),
    ("PEEP > 5 cmH2O", T | F),
    ("PEEP > 8 cmH2O", F),
    ("peak > 8 cmH2O", M),
    ("ready", T | F),
    ("not ready", T | F),
    ("PEEP is stated", T),
    ("PEEP is not stated", F),
    ("peak is stated", F),
    ("mode is SIMV", T | F),
    ("mode is one of SIMV, CMV", T),
    ("assembly has HME", T | F),
    # a choice of conditions
    ("if (ready) then (PEEP > 3 cmH2O) else (PEEP > 9 cmH2O)", T | F),
    ("if (ready) then (PEEP > 3 cmH2O) else (PEEP > 2 cmH2O)", T),
    ("if (ready) then (PEEP > 9 cmH2O) else (PEEP > 8 cmH2O)", F),
    ("if (PEEP > 3 cmH2O) then (PEEP > 9 cmH2O) else (ready)", F),
    ("if (PEEP > 9 cmH2O) then (ready) else (PEEP > 3 cmH2O)", T),
    ("if (ready) then (PEEP > 3 cmH2O) else (peak > 3 cmH2O)", T | M),
    ("if (peak > 3 cmH2O) then (PEEP > 3 cmH2O) else (PEEP > 2 cmH2O)", T | M),
    ("if (peak > 3 cmH2O) then (PEEP > 3 cmH2O) else (PEEP > 9 cmH2O)", M),
    ("if (peak > 3 cmH2O) then (PEEP > 9 cmH2O) else (PEEP > 8 cmH2O)", F | M),
    # a choice of numbers
    ("(if (ready) then (PEEP) else (pressure support)) > 3 cmH2O", T),
    ("(if (ready) then (PEEP) else (pressure support)) > 10 cmH2O", T | F),
    ("(if (PEEP > 3 cmH2O) then (PEEP) else (pressure support)) > 8 cmH2O", F),
    ("(if (PEEP > 9 cmH2O) then (PEEP) else (pressure support)) >= 8 cmH2O", T),
    ("(if (ready) then (PEEP) else (peak)) > 3 cmH2O", T | M),
    ("(if (peak > 3 cmH2O) then (PEEP) else (pressure support)) > 3 cmH2O", T | M),
    ("(if (peak > 3 cmH2O) then (PEEP) else (peak)) > 3 cmH2O", M),
    # lists
    ("count of HME in assembly <= 1", T),
    ("count of HME in assembly >= 1", T | F),
    ("count of tubing in assembly > 1", F),
    ("sum of HME in assembly <= 12 mL", T | M),
    ("sum of HME in assembly > 10 mL", T | F | M),
    # what stands above and below a line, or on both sides
    ("(if (PEEP > 9 cmH2O) then (pressure support) else (PEEP)) / PEEP = 1", T),
    ("(if (PEEP > 3 cmH2O) then (PEEP) else (pressure support)) / PEEP = 1", T),
    ("(if (ready) then (PEEP) else (pressure support)) / PEEP = 1", T | F),
    ("PEEP * pressure support / PEEP <= 15 cmH2O", T),
    ("PEEP * pressure support * leak share / PEEP <= 7.5 cmH2O", T),
    ("PEEP * pressure support * leak share / PEEP >= 4 cmH2O", T),
    ("PEEP * pressure support / (PEEP * leak share) <= 30 cmH2O", T),
    ("PEEP * pressure support / (PEEP * leak share) >= 16 cmH2O", T),
    ("PEEP / (PEEP * pressure support) * 1 cmH2O <= 0.125", T),
    ("PEEP * pressure support <= PEEP * 15 cmH2O", T),
    ("pressure support / PEEP <= 15 cmH2O / PEEP", T),
    ("pressure support / PEEP < 15 cmH2O / PEEP", T | F),
    ("PEEP / 4 cmH2O >= 1", T),
    ("pressure support - PEEP = 5 cmH2O within 6 cmH2O", T),
    ("pressure support - PEEP = 5 cmH2O within 5 cmH2O", T | F),
    ("pressure support - PEEP != 20 cmH2O within 5 cmH2O", T),
]


@pytest.mark.parametrize(("text", "wanted"), CONDITIONS)
def test_conditions_over_a_box(text: str, wanted: int) -> None:
    assert evaluator(*ALL, share=HALF).condition(condition_of(text)) == wanted
    try:
        in_floats = evaluator(*ALL, exact=False, share=HALF).condition(condition_of(text))
    except TooCloseError:
        return
    assert in_floats == wanted


@pytest.mark.parametrize("exact", [True, False])
@pytest.mark.parametrize(("operator", "below", "above"), [
    ("<", T, F), ("<=", T, F), (">", F, T), (">=", F, T), ("=", F, F), ("!=", T, T),
])  # fmt: skip
def test_sides_that_lie_apart(operator: str, below: int, above: int, exact: bool) -> None:
    box = evaluator(*ALL, exact=exact, share=HALF)
    for text, wanted in (
        (f"PEEP {operator} 9 cmH2O", below),
        (f"PEEP {operator} 3 cmH2O", above),
        (f"3 cmH2O {operator} PEEP", below),
        (f"PEEP * leak share {operator} pressure support", below),
        (f"pressure support * PEEP {operator} PEEP * 1 cmH2O", above),
    ):
        assert box.condition(condition_of(text)) == wanted, text


def test_sides_that_nearly_meet_or_have_holes_do_not_lie_apart() -> None:
    exact, floats = (evaluator(axis("peep", 0, 8), exact=each) for each in (True, False))
    for text, wanted in (("PEEP < 8.000000000001 cmH2O", T), ("PEEP > 8.000000000001 cmH2O", F)):
        assert exact.condition(condition_of(text)) == wanted
        with pytest.raises(TooCloseError):
            floats.condition(condition_of(text))
        assert floats.condition(condition_of("peak < PEEP")) == M
    assert exact.condition(condition_of("1 cmH2O / PEEP > -1")) == T | M


def test_parts_of_a_condition_stand_in_the_order_of_what_they_cost() -> None:
    text = "PEEP > 3 cmH2O and mode is SIMV and ready and not mode is CMV and not ready and PEEP is stated"
    node = condition_of(text)
    assert isinstance(node, Logic)
    order = [node.parts.index(part) for part in in_order(node)]
    assert order == [1, 3, 5, 0, 2, 4]
    assert in_order(node) is in_order(node)
    assert [node.parts.index(part) for part in in_order(replace(node))] == order


def test_the_order_of_parts_is_forgotten_rather_than_kept_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(intervals, "_MOST_REMEMBERED", 3)
    monkeypatch.setattr(intervals, "_order_of", {})
    for low in range(8):
        node = condition_of(f"PEEP > {low} cmH2O and ready")
        assert isinstance(node, Logic)
        assert in_order(node) == node.parts
        assert 0 < len(intervals._order_of) <= 3


def test_what_is_a_fact_to_learn() -> None:
    for text, wanted in (
        ("PEEP < 5 cmH2O", True),
        ("PEEP = 5 cmH2O", True),
        ("PEEP != 5 cmH2O", False),
        ("PEEP is between 5 cmH2O and 6 cmH2O", True),
        ("ready", False),
        ("mode is SIMV and (ready or PEEP < 5 cmH2O)", False),
        ("mode is SIMV and (ready and PEEP < 5 cmH2O)", True),
        ("ready or PEEP < 5 cmH2O", False),
    ):
        assert teaches(condition_of(text)) is wanted, text
    assert not teaches(None)


def test_what_was_compared_is_learnt_as_it_is_known_by_then() -> None:
    # Once it is known which branch is taken, the same comparison says more.
    wide = evaluator(axis("peep", 4, 8), axis("support", 0, 30))
    limit = condition_of("pressure support <= (if (PEEP <= 5 cmH2O) then (10 cmH2O) else (20 cmH2O))")
    assert wide.condition(limit) == T | F
    wide.learn(limit)
    assert wide.condition(condition_of("pressure support <= 20 cmH2O")) == T
    assert wide.condition(condition_of("pressure support <= 10 cmH2O")) == T | F


def test_a_comparison_made_before_a_fact_is_made_again_once_it_is_learnt() -> None:
    # Only where it is known which branch is taken does the same factor stand on both sides.
    box = evaluator(axis("peep", 4, 8), axis("support", 1, 30), axis("share", 1, 3))
    chosen = "(if (PEEP <= 5 cmH2O) then (PEEP) else (leak share * 1 cmH2O))"
    limit, below = condition_of(f"{chosen} * pressure support <= PEEP * 10 cmH2O"), "pressure support <= 10 cmH2O"
    assert box.condition(limit) == box.condition(condition_of(below)) == T | F
    box.learn(condition_of("PEEP <= 5 cmH2O"))
    box.learn(limit)
    assert box.condition(condition_of(below)) == T


def test_a_factor_that_may_be_zero_is_not_left_out() -> None:
    box = evaluator(axis("peep", 0, 4), SUPPORT)
    found = box.condition(condition_of("PEEP * pressure support / PEEP <= 15 cmH2O"))
    assert found & M and found & T
    assert box.condition(condition_of("PEEP * pressure support <= PEEP * 15 cmH2O")) & T


def test_options_that_are_no_finite_numbers_or_of_two_kinds_are_missing() -> None:
    endless = Axis("peep", options=(Fraction(5), float("inf")))
    assert evaluator(endless).condition(condition_of("PEEP > 3 cmH2O")) == M
    mixed = Axis("ready", options=(True, Fraction(5)))
    assert evaluator(mixed).condition(condition_of("ready")) == M
    space = Space((PEEP,), {}, {"peep": Fraction(5)}, frozenset(("peep",)))
    assert BoxEvaluator(space, {}, in_fractions=True).condition(condition_of("PEEP > 3 cmH2O")) == M
    only = BoxEvaluator(space, {"peep": Cell(Fraction(4), Fraction(8))}, in_fractions=True)
    assert only.condition(condition_of("PEEP > 3 cmH2O")) == T


def test_only_what_certainly_holds_is_learnt() -> None:
    five = condition_of("PEEP <= 5 cmH2O")
    for text, wanted in (
        ("PEEP <= 5 cmH2O", T),
        ("PEEP <= 5 cmH2O and pressure support > 9 cmH2O", T),
        ("pressure support > 9 cmH2O and PEEP is between 1 cmH2O and 5 cmH2O", T),
        ("PEEP <= 5 cmH2O or pressure support > 9 cmH2O", T | F),
        ("not PEEP > 5 cmH2O", T | F),
        ("PEEP != 5 cmH2O", T | F),
        ("ready", T | F),
    ):
        box = evaluator(*ALL)
        box.learn(condition_of(text))
        assert box.condition(five) == wanted, text
    strict = evaluator(*ALL)
    strict.learn(condition_of("PEEP < 5 cmH2O"))
    assert strict.condition(condition_of("PEEP < 5 cmH2O")) == T
    assert strict.condition(condition_of("PEEP >= 5 cmH2O")) == F
    assert strict.condition(condition_of("PEEP < 4.5 cmH2O")) == T | F


def test_a_condition_asked_before_is_known_better_once_more_is_learnt() -> None:
    space = Space((PEEP,), {"ready": condition_of("PEEP <= 5 cmH2O")}, {}, frozenset(("peep",)))
    box = BoxEvaluator(space, {"peep": Cell(Fraction(4), Fraction(8))}, in_fractions=True)
    assert box.condition(condition_of("ready")) == T | F
    box.learn(condition_of("PEEP <= 5 cmH2O"))
    assert box.condition(condition_of("ready")) == T


def test_facts_in_floats_are_left_to_fractions_only_where_it_is_a_near_thing() -> None:
    box = evaluator(*ALL, exact=False)
    box.learn(condition_of("PEEP <= 5 cmH2O"))
    assert box.condition(condition_of("PEEP > 3 cmH2O")) == T
    assert box.condition(condition_of("PEEP <= 6 cmH2O")) == T
    assert box.condition(condition_of("PEEP > 6 cmH2O")) == F
    assert box.condition(condition_of("PEEP <= 4.5 cmH2O")) == T | F
    with pytest.raises(TooCloseError):
        box.condition(condition_of("PEEP <= 5 cmH2O"))
    assert evaluator(*ALL, exact=False).condition(condition_of("PEEP <= 6 cmH2O")) == T | F


def test_what_facts_take_away_in_floats_leaves_no_dust() -> None:
    box = evaluator(*ALL, exact=False)
    box.learn(condition_of("PEEP * 0.1 + pressure support * 0.7 <= 8 cmH2O"))
    assert box.condition(condition_of("PEEP * 0.3 + pressure support * 2.1 <= 24.1 cmH2O")) == T
    with pytest.raises(TooCloseError):
        box.condition(condition_of("PEEP * 0.3 + pressure support * 2.1 <= 24 cmH2O"))


def test_terms_that_facts_do_not_touch_are_shared_and_others_are_not() -> None:
    space = evaluator(*ALL, exact=False)._space
    common = Common(space)
    first = common.whole.told()
    assert first.condition(condition_of("PEEP <= 6 cmH2O")) == T | F
    second = common.whole.told()
    second.learn(condition_of("PEEP <= 5 cmH2O"))
    assert second.condition(condition_of("PEEP <= 6 cmH2O")) == T
    assert common.whole.told().condition(condition_of("PEEP <= 6 cmH2O")) == T | F


def test_a_multiple_of_a_fact_is_found() -> None:
    wide = axis("peep", 0, 30), axis("support", 0, 30), axis("peak", 0, 30)
    for keep, require in (
        ("2 * PEEP <= 3 * pressure support", "4 * PEEP <= 6 * pressure support"),
        ("2 * PEEP <= 3 * pressure support", "PEEP <= 1.5 * pressure support"),
        ("2 * PEEP - 3 * pressure support <= 6 cmH2O", "4 * PEEP - 6 * pressure support <= 12 cmH2O"),
    ):
        decision = judge(require, *wide, keep=[keep])
        assert decision.outcome == "met" and decision.boxes <= 3
    narrower = judge("PEEP <= 1.4 * pressure support", *wide, keep=["2 * PEEP <= 3 * pressure support"])
    assert narrower.outcome == "can break"


def test_functions_over_a_box() -> None:
    box = evaluator(PEEP, share=HALF)

    def ends(text: str) -> tuple[float, ...]:
        return tuple(map(float, box.range_of(number_of(text)) or ()))

    assert ends("hill of (PEEP, 2)") == (0.2, 2)
    assert ends("staircase of (PEEP)") == (0, 1)
    assert box.range_of(number_of("staircase of (PEEP - 5 cmH2O)")) is None
    assert box.range_of(number_of("hill of (leak share * 10 cmH2O, 2)")) == (Fraction(2, 5), Fraction(2, 5))
    assert box.range_of(number_of("peak")) is None
    assert box.range_of(number_of("1 cmH2O / (PEEP - 5 cmH2O)")) is None
    assert box.range_of(number_of("1 cmH2O / (PEEP - 4 cmH2O)")) is None
    floats = evaluator(PEEP, exact=False, share=HALF)
    form = floats.number(number_of("hill of (PEEP, 2)"))
    assert form is not None and form.size == 2.0
    exact = box.number(number_of("hill of (PEEP, 2)"))
    assert exact is not None and exact.size == 0.0
    for text in ("staircase of (PEEP + 1 cmH2O)", "hill of (PEEP, leak share + 1)"):
        with pytest.raises(TooCloseError):
            floats.number(number_of(text))


PARABOLA = "PEEP * PEEP - 10 cmH2O * PEEP"  # from -25 at 5 to -16 at 8


def range_of(text: str, *axes: Axis, boxes: int = 200, **constants: Value) -> tuple[float, float] | None:
    space = Space(axes, {}, constants, frozenset(each.key for each in axes) | frozenset(constants))
    found = bounds(number_of(text), space, boxes)
    return None if found is None else (float(found[0]), float(found[1]))


def test_bounds_grow_tighter_with_every_box() -> None:
    assert range_of(PARABOLA, PEEP, boxes=1) == (-64, 24)
    ranges = [range_of(PARABOLA, PEEP, boxes=boxes) for boxes in (1, 3, 7, 40)]
    for wider, tighter in pairwise(ranges):
        assert wider is not None and tighter is not None
        assert wider[0] < tighter[0] <= -25 and -16 <= tighter[1] <= wider[1]
    assert ranges[1] == (-44, 4)  # from 16 - 60 and 36 - 80 up to 64 - 60, over the two halves
    assert ranges[2] == (-35, -6)  # from 25 - 60 up to 64 - 70, over the quarters
    assert ranges[-1] is not None and ranges[-1][0] > -27


def test_bounds_of_what_stands_once_need_no_splitting() -> None:
    assert range_of("PEEP + pressure support", PEEP, SUPPORT, boxes=1) == (12, 23)
    assert range_of("PEEP", axis("peep", "4.2", "7.7", step="0.5", origin="4")) == (4.5, 7.5)
    assert range_of("PEEP", axis("peep", 5, 5)) == (5, 5)
    assert range_of("leak share * PEEP", PEEP, share=HALF) == (2, 4)


def test_bounds_over_steps_and_options_end_at_those() -> None:
    assert range_of(PARABOLA, axis("peep", 4, 8, step="2", origin="4")) == (-24, -16)
    assert range_of(PARABOLA, Axis("peep", options=(Fraction(4), Fraction(6), Fraction(8)))) == (-24, -16)
    both = "PEEP * PEEP - 10 cmH2O * PEEP + pressure support * 1 cmH2O"
    found = range_of(both, axis("peep", 4, 8, step="2", origin="4"), SUPPORT)
    assert found == (-16, -1)


def test_bounds_split_for_their_high_end_too_and_do_not_stop_where_the_ends_are_opposite() -> None:
    assert range_of(PARABOLA, axis("peep", 0, 4, step="2", origin="0")) == (-24, 0)
    valley = "PEEP * (PEEP - 4 cmH2O) + 8 cmH2O * 1 cmH2O"  # from 4 to 8; from -8 to 8 at first sight
    found = range_of(valley, axis("peep", 0, 4))
    assert found is not None and 3 < found[0] <= 4


def test_bounds_are_exact() -> None:
    tenths = axis("share", "0.1", "0.2", grid="0.1")
    space = Space((tenths,), {}, {}, frozenset(("share",)))
    assert bounds(number_of("leak share * 3"), space) == (Fraction(3, 10), Fraction(3, 5))


def test_terms_defined_by_one_another_are_missing() -> None:
    ring = {"peak": number_of("pressure support + 1 cmH2O"), "support": number_of("peak - 1 cmH2O")}
    space = Space((PEEP,), ring, {}, frozenset(("peep",)))
    box = BoxEvaluator(space, {"peep": Cell(Fraction(4), Fraction(8))}, in_fractions=True)
    assert box.condition(condition_of("peak + PEEP > 0 cmH2O")) == M


def test_bounds_of_what_may_be_missing_or_has_no_end() -> None:
    assert range_of("peak", PEEP) is None
    assert range_of("1 cmH2O / (PEEP - 5 cmH2O)", PEEP) is None
    assert range_of("1 cmH2O / PEEP", PEEP) == (0.125, 0.25)
