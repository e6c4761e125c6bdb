"""No outcome claims more than points drawn from the space bear out."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

from hypothesis import event, given
from hypothesis import strategies as st

from rxlint.expressions import Missing, Node, PointEnvironment, Space, Value, at_point, condition, decide
from rxlint.expressions.forms import TooCloseError
from rxlint.expressions.intervals import BoxEvaluator, Cell
from rxlint.expressions.masks import of_truth
from rxlint.expressions.samples import first_cell, is_writable
from tests.expressions.strategies import conditions, points, spaces

BUDGET = 40
maybe_when = st.one_of(st.none(), conditions(2))


def allowed_at(space: Space, point: dict[str, Value]) -> bool | None:
    """Whether the constraints hold at a point; None if that is missing."""
    environment = PointEnvironment(space, point)
    kept = [condition(constraint, environment) for constraint in space.constraints]
    if any(truth is False for truth in kept):
        return False
    return None if any(isinstance(truth, Missing) for truth in kept) else True


@given(st.data(), maybe_when, conditions(), spaces())
def test_no_point_belies_an_outcome(data: Any, when: Node | None, require: Node, space: Space) -> None:
    decision = decide(when, require, space, BUDGET)
    event(decision.outcome)
    assert decision.boxes <= BUDGET
    for _ in range(15):
        point = data.draw(points(space))
        allowed = allowed_at(space, point)
        if allowed is False:
            continue
        found = at_point(when, require, PointEnvironment(space, point)).outcome
        match decision.outcome:
            case "met":
                assert found in ("met", "does not apply")
            case "does not apply":
                assert found == "does not apply"
            case "not checked":
                assert not (found == "broken" and allowed)
            case "broken everywhere":
                assert found == "broken"
            case "unsatisfiable":
                raise AssertionError("a point is allowed")


@given(maybe_when, conditions(), spaces())
def test_every_example_breaks_and_can_be_written(when: Node | None, require: Node, space: Space) -> None:
    decision = decide(when, require, space, BUDGET)
    assert (decision.example is not None) == (decision.outcome in ("can break", "broken everywhere"))
    if decision.example is not None:
        assert all(is_writable(space.axis_of[key], value) for key, value in decision.example.items())
        environment = PointEnvironment(space, decision.example)
        assert at_point(when, require, environment).outcome == "broken"
        tied = [node for node in space.constraints if not space.reads(node) & (space.axis_of.keys() - decision.example)]
        assert all(condition(node, environment) is True for node in tied)
    if decision.outcome == "not checked":
        assert decision.missing or decision.reasons


@given(st.data(), maybe_when, conditions(), spaces())
def test_narrowing_never_turns_met_into_a_breach(data: Any, when: Node | None, require: Node, space: Space) -> None:
    if decide(when, require, space, BUDGET).outcome not in ("met", "does not apply"):
        return
    narrower = []
    for axis in space.axes:
        ends = sorted(
            data.draw(st.tuples(st.fractions(0, 1, max_denominator=8), st.fractions(0, 1, max_denominator=8)))
        )
        low, high = (axis.low + share * (axis.high - axis.low) for share in ends)
        narrower.append(replace(axis, low=low, high=high))
    outcome = decide(when, require, replace(space, axes=tuple(narrower)), BUDGET).outcome
    assert outcome in ("met", "does not apply", "undecided", "unsatisfiable")


@given(st.data(), conditions(), spaces())
def test_boxes_hold_every_point(data: Any, node: Node, space: Space) -> None:
    cells: dict[str, Cell] = {}
    point = data.draw(points(space))
    for key, axis in space.axis_of.items():
        whole = first_cell(axis)
        if whole is None:
            return
        value = point[key]
        if isinstance(value, Fraction):
            shares = data.draw(
                st.tuples(st.sampled_from([0, 1, Fraction(1, 3)]), st.sampled_from([0, 1, Fraction(1, 3)]))
            )
            cells[key] = Cell(value - shares[0] * (value - whole.low), value + shares[1] * (whole.high - value))
        else:
            cells[key] = whole
    truth = of_truth(condition(node, PointEnvironment(space, point)))
    assert truth & BoxEvaluator(space, cells, in_fractions=True).condition(node)
    try:
        mask = BoxEvaluator(space, cells, in_fractions=False).condition(node)
    except TooCloseError:
        return
    assert truth & mask


def test_outcomes_are_not_all_alike() -> None:
    """The properties above would be hollow if one outcome came out of everything; hypothesis shows its events."""
    from tests.expressions.invented import axis, judge

    peep = axis("peep", 4, 8)
    outcomes = {
        judge(text, peep).outcome for text in ("PEEP > 3 cmH2O", "PEEP > 5 cmH2O", "PEEP > 9 cmH2O", "peak > PEEP")
    }
    assert outcomes == {"met", "can break", "broken everywhere", "not checked"}
