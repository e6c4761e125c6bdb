"""What searches of one space share: the whole box and its parts, answers without a search, terms that stay the same."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from rxlint.expressions import Axis, Common, Missing, Node, PointEnvironment, Space, Value, condition, decide
from rxlint.expressions.boxes import Whole
from rxlint.expressions.decide import _Search
from rxlint.expressions.intervals import BoxEvaluator, Cell, Cells
from rxlint.expressions.masks import F, M, T, of_truth
from rxlint.expressions.samples import first_cell, split
from tests.expressions.invented import axis, condition_of, number_of, words
from tests.expressions.strategies import conditions, points, spaces

PEEP, SUPPORT, SHARE = axis("peep", 4, 8), axis("support", 8, 15), axis("share", 1, 3)
READY = Axis("ready", options=(True, False))
MODE = Axis("mode", options=(words("SIMV"), words("CMV")))
AXES = (PEEP, SUPPORT, SHARE, READY, MODE)
HARD = "10 cmH2O * PEEP - PEEP * PEEP > 25.5 cmH2O * 1 cmH2O"  # never; but that takes boxes to find out
maybe_when = st.one_of(st.none(), conditions(2))


def space_of(
    *axes: Axis, keep: tuple[str, ...] = (), constants: dict[str, Value] | None = None, **formulas: str
) -> Space:
    nodes: dict[str, Node] = {
        key: condition_of(text) if key == "ready" else number_of(text) for key, text in formulas.items()
    }
    stated = frozenset(each.key for each in axes) | frozenset(constants or {})
    return Space(axes, nodes, constants or {}, stated, tuple(map(condition_of, keep)))


def whole_of(space: Space) -> Whole:
    return Whole(space, cells_of(space))


def cells_of(space: Space) -> Cells:
    return {each.key: cell for each in space.axes if (cell := first_cell(each)) is not None}


def low_part(space: Space, key: str) -> Cells:
    cells = cells_of(space)
    return {**cells, key: split(space.axis_of[key], cells[key])[0]}


# ---- boxes


def test_a_comparison_too_close_for_floats_is_made_exactly() -> None:
    box = whole_of(space_of(*AXES)).told()
    assert box.condition(condition_of("PEEP <= 8 cmH2O")) == T
    assert box.condition(condition_of("PEEP < 8 cmH2O and ready")) == T | F
    box.learn(condition_of("PEEP <= 5 cmH2O"))  # the exact one is told too, though it has been asked before
    assert box.condition(condition_of("PEEP <= 5 cmH2O")) == T
    assert box.condition(condition_of("PEEP > 5 cmH2O")) == F
    later = whole_of(space_of(*AXES)).told()
    later.learn(condition_of("PEEP <= 5 cmH2O"))  # and where it is first asked after that
    assert later.condition(condition_of("PEEP <= 5 cmH2O")) == T


def test_where_a_fact_is_too_close_for_floats_all_is_asked_exactly() -> None:
    box = whole_of(space_of(*AXES)).told()
    box.learn(condition_of("staircase of (PEEP + 1 cmH2O) <= 9 and PEEP <= 5 cmH2O"))
    assert box.condition(condition_of("PEEP <= 6 cmH2O")) == T
    box.learn(condition_of("pressure support <= 9 cmH2O"))
    assert box.condition(condition_of("pressure support <= 10 cmH2O")) == T


def test_what_a_fact_could_tell_more_of_is_asked_again_and_nothing_else() -> None:
    whole = whole_of(space_of(*AXES))
    for text, before, after in (
        ("PEEP <= 6 cmH2O", T | F, T),
        ("not PEEP <= 6 cmH2O", T | F, F),
        ("PEEP <= 6 cmH2O and pressure support > 3 cmH2O", T | F, T),
        ("PEEP > 6 cmH2O or pressure support < 3 cmH2O", T | F, F),
        ("PEEP > 6 cmH2O and pressure support < 3 cmH2O", F, F),
        ("PEEP <= 6 cmH2O or pressure support > 3 cmH2O", T, T),
        ("PEEP <= 6 cmH2O and ready", T | F, T | F),
        ("PEEP <= 6 cmH2O or peak > 3 cmH2O", T | M, T),
        ("PEEP <= 6 cmH2O and peak > 3 cmH2O", F | M, M),
    ):
        node = condition_of(text)
        assert whole.condition(node) == before, text
        told = whole.told()
        told.learn(condition_of("PEEP <= 5 cmH2O"))
        assert told.condition(node) == after, text
        assert whole.condition(node) == before, text


def test_a_whole_box_works_out_nothing_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Node] = []
    real = BoxEvaluator.condition

    def counted(self: BoxEvaluator, node: Node) -> int:
        asked.append(node)
        return real(self, node)

    monkeypatch.setattr(BoxEvaluator, "condition", counted)
    whole = whole_of(space_of(*AXES))
    node = condition_of("PEEP > 3 cmH2O and mode is one of SIMV, CMV")
    assert whole.condition(node) == T
    first = len(asked)
    assert whole.condition(node) == whole.told().condition(node) == T
    assert first == len(asked) == 2
    assert whole.part(low_part(space_of(*AXES), "share"), frozenset(("share",))).condition(node) == T
    assert len(asked) == 2  # nothing of it comes to the axis that is less wide
    assert whole.part(low_part(space_of(*AXES), "peep"), frozenset(("peep",))).condition(node) == T
    assert len(asked) == 3
    never = condition_of("PEEP <= 6 cmH2O and PEEP > 9 cmH2O")  # whatever the first part is
    assert whole.condition(never) == F
    assert len(asked) == 5
    assert whole.told().condition(never) == F
    assert len(asked) == 5


def test_the_parts_of_a_condition_are_asked_up_to_the_one_that_decides(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Node] = []
    real = BoxEvaluator.number

    def counted(self: BoxEvaluator, node: Node) -> Any:
        asked.append(node)
        return real(self, node)

    monkeypatch.setattr(BoxEvaluator, "number", counted)
    for text, wanted in (
        ("PEEP > 3 cmH2O and not mode is one of SIMV, CMV", F),
        ("PEEP > 3 cmH2O or PEEP is stated", T),
        ("PEEP > 3 cmH2O and PEEP is not stated and ready", F),
    ):
        space = space_of(*AXES)
        assert whole_of(space).condition(condition_of(text)) == wanted
        assert BoxEvaluator(space, cells_of(space), in_fractions=False).condition(condition_of(text)) == wanted
        assert asked == [], text
    assert whole_of(space_of(*AXES)).condition(condition_of("PEEP > 3 cmH2O and PEEP < 9 cmH2O")) == T
    assert asked != []


def test_a_part_of_a_box_is_told_by_its_own_cells() -> None:
    # Both products are atoms of their own; in the part, in the other order.
    space = space_of(PEEP, SUPPORT, SHARE, peak="pressure support * leak share", ready="pressure support > 3 cmH2O")
    whole = whole_of(space)
    product, below = condition_of("PEEP * PEEP <= 40 cmH2O * 1 cmH2O"), condition_of("peak <= 40 cmH2O")
    assert whole.condition(below) == T | F and whole.condition(product) == T | F
    part = whole.part(low_part(space, "peep"), frozenset(("peep",)))
    assert part.condition(product) == T
    assert part.condition(below) == T | F
    assert part.condition(condition_of("peak < 45.1 cmH2O")) == T
    assert part.condition(condition_of("peak > 7.9 cmH2O")) == T
    assert part.condition(condition_of("ready and PEEP < 6.1 cmH2O")) == T
    part.learn(condition_of("peak <= 30 cmH2O"))
    assert part.condition(below) == T
    chosen = whole_of(space_of(*AXES)).part(low_part(space_of(*AXES), "mode"), frozenset(("mode",)))
    assert chosen.condition(condition_of("mode is SIMV and PEEP > 3 cmH2O")) == T
    narrow = whole.part(low_part(space, "share"), frozenset(("share",)))
    assert narrow.condition(condition_of("peak < 30.1 cmH2O")) == T


@given(st.data(), maybe_when, conditions(), spaces())
def test_every_point_of_a_box_and_its_part_is_held(data: Any, when: Node | None, node: Node, space: Space) -> None:
    cells = cells_of(space)
    if len(cells) < len(space.axes):
        return
    whole = Whole(space, cells)
    boxes = [(cells, whole.told())]
    for key in cells:
        boxes += [({**cells, key: cell}, whole.part({**cells, key: cell}, frozenset((key,))))
                  for cell in split(space.axis_of[key], cells[key]) if not cells[key].is_point]  # fmt: skip
    for _, box in boxes:
        if when is not None:
            box.learn(when)
    for _ in range(6):
        point = data.draw(points(space))
        environment = PointEnvironment(space, point)
        if when is not None and condition(when, environment) is not True:
            continue
        truth = of_truth(condition(node, environment))
        for cells, box in boxes:
            if all(holds(cells[key], point[key]) for key in cells):
                event("inside")
                assert truth & box.condition(node)


def holds(cell: Cell, value: Value) -> bool:
    if cell.options:
        return value in cell.options
    return isinstance(value, Fraction) and cell.low <= value <= cell.high


# ---- answers without a search


@given(maybe_when, conditions(), spaces(), st.sampled_from([1, 3, 40]))
def test_what_is_told_at_once_is_what_a_search_finds(
    when: Node | None, require: Node, space: Space, budget: int
) -> None:
    found = decide(when, require, space, budget, Common(space, budget))
    searched = _Search(when, require, space, Common(space, budget)).run(budget)
    event(f"{found.outcome} in {found.boxes}")
    assert found == searched
    assert decide(when, require, space, budget) == searched


def test_what_is_told_at_once() -> None:
    constants: dict[str, Value] = {"volume": Fraction(1)}
    space = space_of(PEEP, SUPPORT, READY, keep=("PEEP <= 7 cmH2O",), constants=constants)
    common = Common(space)

    def at_once(require: str, when: str | None = None) -> str | None:
        found = common.at_once(None if when is None else condition_of(when), condition_of(require))
        assert found is None or found.boxes == 1
        return None if found is None else found.outcome

    assert at_once("PEEP > 3 cmH2O") == "met"
    assert at_once("PEEP > 3 cmH2O", "pressure support > 7 cmH2O") == "met"
    assert at_once("PEEP > 9 cmH2O", "PEEP > 8 cmH2O") == "does not apply"
    assert at_once("PEEP > 9 cmH2O", "peak > 8 cmH2O and PEEP > 8 cmH2O") == "does not apply"
    assert at_once("PEEP > 3 cmH2O", "peak > 8 cmH2O") == "met"  # whatever is missing
    assert at_once("peak > 3 cmH2O") == "not checked"
    assert at_once("peak > 3 cmH2O", "PEEP > 3 cmH2O") == "not checked"
    # A search has to tell whether it is broken, where it applies, and what the relation keeps out.
    assert at_once("PEEP > 5 cmH2O") is None
    assert at_once("PEEP > 9 cmH2O") is None
    assert at_once("PEEP < 7.5 cmH2O") is None
    assert at_once("PEEP > 3 cmH2O", "PEEP > 6.5 cmH2O") is None
    assert at_once("PEEP > 3 cmH2O", "PEEP < 6.5 cmH2O") == "met"  # it applies to the first point that is tried
    missing = common.at_once(None, condition_of("peak > 3 cmH2O"))
    assert missing is not None and missing.missing == {"peak"}


def test_a_point_that_is_hard_to_find_is_not_looked_for_before_it_is_needed() -> None:
    space = space_of(PEEP, keep=(HARD,))
    common = Common(space, 500)
    never = condition_of("PEEP > 9 cmH2O")
    assert common.at_once(never, condition_of("PEEP > 5 cmH2O")) is None
    assert "_searched" not in common.__dict__
    hidden = Common(space_of(PEEP, keep=("PEEP > 4 cmH2O and PEEP < 6 cmH2O",)), 500)
    assert hidden.at_once(never, condition_of("PEEP > 5 cmH2O")) is None
    assert hidden.allowed is not None
    found = hidden.at_once(never, condition_of("PEEP > 5 cmH2O"))  # by then it is known
    assert found is not None and found.outcome == "does not apply"


def test_where_it_applies_is_a_fact_for_what_is_required() -> None:
    space = space_of(PEEP)
    found = decide(condition_of("PEEP <= 5 cmH2O"), condition_of("PEEP <= 6 cmH2O"), space, 1, Common(space))
    assert found.outcome == "met"


def test_with_no_budget_nothing_is_told() -> None:
    found = decide(None, condition_of("PEEP > 3 cmH2O"), space_of(PEEP), 0)
    assert (found.outcome, found.boxes) == ("undecided", 0)


def test_a_space_with_relations_that_is_searched_once_is_not_looked_at_beforehand(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Node] = []
    real = Common.at_once

    def watched(self: Common, when: Node | None, require: Node) -> Any:
        asked.append(require)
        return real(self, when, require)

    monkeypatch.setattr(Common, "at_once", watched)
    question = condition_of("PEEP > 3 cmH2O")
    tied, free = space_of(PEEP, keep=("PEEP <= 7 cmH2O",)), space_of(PEEP)
    assert decide(None, question, tied, 9).outcome == "met" and asked == []
    assert decide(None, question, tied, 9, Common(tied)).outcome == "met" and len(asked) == 1
    assert decide(None, question, free, 9).outcome == "met" and len(asked) == 2


def test_no_point_is_tried_once_it_is_known_that_it_can_break() -> None:
    space = space_of(PEEP, SUPPORT, SHARE)
    rest = "pressure support < 16 cmH2O and leak share < 4"
    some, every = (_Search(None, condition_of(f"{text} and {rest}"), space, Common(space))
                   for text in ("PEEP < 8 cmH2O", "PEEP < 3 cmH2O"))  # fmt: skip
    assert some.run(40).outcome == "can break" and every.run(40).outcome == "broken everywhere"
    assert len(every._seen) == 9  # the middle and every corner
    assert len(some._seen) == 6  # up to the first corner with the highest PEEP


def test_what_is_missing_in_a_part_that_is_left_over_is_a_doubt() -> None:
    # The root has no value where PEEP is under 4.001, and no point that is tried lies there and above 4.
    space = space_of(PEEP)
    lacking = condition_of("square root ((PEEP - 4.001 cmH2O) * 1 cmH2O) >= 0 cmH2O")
    found = decide(condition_of("PEEP > 4 cmH2O"), lacking, space, 2, Common(space))
    assert (found.outcome, found.boxes) == ("undecided", 2)


def test_parts_left_over_that_lack_nothing_are_not_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    looked: list[Cells] = []
    real = _Search._assess

    def counted(self: _Search, cells: Cells) -> Any:
        looked.append(cells)
        return real(self, cells)

    monkeypatch.setattr(_Search, "_assess", counted)
    space = space_of(PEEP)
    found = decide(condition_of(HARD), condition_of("PEEP > 3 cmH2O"), space, 4, Common(space))
    assert (found.outcome, found.boxes, len(looked)) == ("met", 4, 4)


# ---- terms


def test_a_term_that_comes_to_no_free_variable_is_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    constants: dict[str, Value] = {"volume": Fraction(2)}
    space = space_of(PEEP, constants=constants, share="tidal volume / tidal volume + 1", peak="PEEP * leak share")
    assert space.is_fixed("share") and not space.is_fixed("peak")
    first, second = (PointEnvironment(space, {"peep": Fraction(value)}) for value in (5, 6))
    assert (first.value("peak"), first.value("share")) == (10, 2)
    monkeypatch.setattr("rxlint.expressions.exact.evaluate", lambda *_: pytest.fail("it is known"))
    assert second.value("share") == 2


def test_a_term_in_a_ring_is_missing_at_every_point_alike() -> None:
    space = space_of(PEEP, peak="pressure support + 1 cmH2O", support="peak - 1 cmH2O", share="peak / 1 cmH2O")
    assert not any(map(space.is_fixed, ("peak", "support", "share")))
    for key in ("peak", "support", "share"):
        found = PointEnvironment(space, {"peep": Fraction(5)}).value(key)
        assert isinstance(found, Missing) and found.reasons == ("it is defined in terms of itself",)


def test_what_a_node_reads_is_told_by_its_formulas() -> None:
    space = space_of(PEEP, SUPPORT, peak="PEEP + pressure support")
    assert space.reads(number_of("peak * 2")) == {"peak", "peep", "support"}
    assert space.reads_of("peak") == {"peep", "support"}
    assert space.reads_of("peep") == {"peep"} and space.reads_of("rate") == {"rate"}
    node = number_of("peak * 2")
    assert space.reads(node) is space.reads(node)
    assert space.before("peak") == ()
