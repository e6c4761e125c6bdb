"""Titrations as courses: which keys a step moves, from where and how far; every state that steps lead to."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Axis, nodes, number
from rxlint.model.facts import AS_WRITTEN, Facts, SetEnvironment, at_values
from rxlint.model.quantities import axis_or_value
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity
from rxlint.screening.values import show_number, unit_for
from rxlint.screening.walks import how_written
from rxlint.vocabulary import vocabulary

MOST_STEPS: Final = 500
"""A titration with more steps than this is not walked to its end; it is then not checked."""
MOST_STATES: Final = 400
"""So many combinations of two titrations' steps are looked at, those of the fewest steps first."""

Values = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Course:
    """A titration that can be walked: the keys that each step moves, from their starts, to the end of the first key.

    ``size`` is below zero where the step lowers. A value above PEEP or per kilogram moves as it is written.
    """

    stated: Stated
    keys: tuple[str, ...]
    starts: Values
    size: Fraction
    limit: Fraction
    is_kept_along: bool = False  # a term that moves along follows its relation

    @property
    def is_coupled(self) -> bool:
        """Whether two settings move together."""
        return len(self.keys) > 1 or self.is_kept_along

    @property
    def line(self) -> int:
        """The line it stands in."""
        return self.stated.entry.lines[0].number

    def step(self, state: Values) -> dict[str, Fraction] | None:
        """The state after one more step, the last one to the end exactly; None where the end is reached."""
        now = state[self.keys[0]]
        if abs(self.limit - now) == 0 or (self.limit - now) * self.size < 0:
            return None
        move = self.size if abs(self.limit - now) >= abs(self.size) else self.limit - now
        return {key: value + move if key in self.keys else value for key, value in state.items()}


def course_of(facts: Facts, stated: Stated) -> Course | None:
    """A titration as a course; None where its start or end is not known as a number."""
    step, size = stated.statement.body, stated.statement.values.get("step")
    if not isinstance(step, n.Step) or size is None or stated.statement.term is None:
        return None
    defined = {each.target for each in facts.relations.definitions if not each.circular}
    first, *rest = (phrase.text for phrase in step.terms)
    keys = [moved_key(facts, first, size), *(moved_key(facts, key, size) for key in rest if key not in defined)]
    starts = {key: number(nodes.Name(key, key), facts.as_set) for key in keys}
    known = {key: value for key, value in starts.items() if isinstance(value, Fraction)}
    end = end_of(facts, stated)
    if end is None or len(known) < len(keys) or not all(_fits(facts, key, size) for key in keys):
        return None
    return Course(stated, tuple(keys), known, size.points[0] * _sign(stated), end, len(keys) < len(step.terms))


def moved_key(facts: Facts, key: str, size: Quantity) -> str:
    """The key that a step of a term moves: what is written of it, where that is above PEEP or per what the step is."""
    quantity = quantity_of(facts, key)
    if quantity is None or key + AS_WRITTEN not in {*facts.constants, *facts.axes}:
        return key
    if quantity.basis is None or quantity.unit.dimension == size.unit.dimension:
        return key + AS_WRITTEN
    return key


def end_of(facts: Facts, stated: Stated) -> Fraction | None:
    """The end of a titration in the terms of the first key that it moves; None where that can't be told."""
    step, size, limit = stated.statement.body, stated.statement.values.get("step"), stated.statement.values.get("limit")
    if not isinstance(step, n.Step) or size is None or limit is None or limit.unit.dimension != size.unit.dimension:
        return None
    first = step.terms[0].text
    key = moved_key(facts, first, size)
    if not _fits(facts, key, size):
        return None
    if limit.reference == "PEEP" and key == first and vocabulary().terms[first].reference == "stated":
        baseline = facts.as_set.value("baseline")
        return limit.points[0] + baseline if isinstance(baseline, Fraction) else None
    return limit.points[0]


def farthest_start(facts: Facts, stated: Stated, key: str, start: Fraction) -> Fraction:
    """Where the steps of a line may begin, farthest from their end: where a term is set, or where the steps of another
    line, which go the other way, have taken it. What is raised when too little may be lowered again when too much.
    """
    sign = _sign(stated)
    ends = [
        end_of(facts, other)
        for other in facts.scope.several.get("raise", ())
        if other is not stated and _sign(other) == -sign and _steps_key(facts, other, key)
    ]
    known = [end for end in ends if end is not None]
    return min([start, *known]) if sign > 0 else max([start, *known])


def _sign(stated: Stated) -> int:
    return 1 if stated.statement.term is not None and stated.statement.term.phrase == "raise" else -1


def _steps_key(facts: Facts, stated: Stated, key: str) -> bool:
    """Whether a line steps this key, and says so in a way that can be read."""
    step, size = stated.statement.body, stated.statement.values.get("step")
    if not isinstance(step, n.Step) or size is None or not stated.statement.readable:
        return False
    return moved_key(facts, step.terms[0].text, size) == key


def _fits(facts: Facts, key: str, size: Quantity) -> bool:
    """Whether a step measures the same as what it moves: a step per kilogram moves what is written per kilogram."""
    quantity = quantity_of(facts, key)
    if key.endswith(AS_WRITTEN) and quantity is not None and quantity.basis is not None:
        return quantity.unit.dimension == size.unit.dimension
    return vocabulary().terms[key.removesuffix(AS_WRITTEN)].dimension == size.unit.dimension


def quantity_of(facts: Facts, key: str) -> Quantity | None:
    """What a term's line says, or the row of its table that holds here."""
    stated = facts.stated(key)
    own = stated.statement.values.get("") if stated is not None else None
    return own if own is not None or facts.band is None else facts.band.rows.get(key.removesuffix(AS_WRITTEN))


def own_axis(facts: Facts, key: str) -> Axis | None:
    """What a term's own line allows, as it is written there; not the row of a table that it is the key of."""
    quantity = quantity_of(facts, key)
    if facts.band is not None and key in facts.band.keys and quantity is not None:
        value = axis_or_value(key, vocabulary().terms[key], quantity)
        return value if isinstance(value, Axis) else None
    return facts.axes.get(key.removesuffix(AS_WRITTEN) + AS_WRITTEN) or facts.axes.get(key)


def walk_course(course: Course) -> Iterator[dict[str, Fraction]]:
    """The state after each step, to the end: the start and whole steps exactly, the last at the end."""
    state = course.step(course.starts)
    while state is not None:
        yield state
        state = course.step(state)


@dataclass(frozen=True, slots=True)
class Reached:
    """A state of two titrations, and how many steps of each lead to it."""

    steps: tuple[int, int]
    values: Values


def walk_pair(first: Course, second: Course) -> Iterator[Reached | None]:
    """The states that steps of both lead to in any order, those of the fewest steps first; None where there are more.

    Only states that take a step of each: the others are on the way of one alone.
    """
    start = Reached((0, 0), {**second.starts, **first.starts})
    seen = {_state(start.values)}
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        for place, course in enumerate((first, second)):
            values = course.step(here.values)
            if values is None or _state(values) in seen:
                continue
            if len(seen) >= MOST_STATES:
                yield None
                return
            seen.add(_state(values))
            one, two = here.steps
            there = Reached((one + 1, two) if place == 0 else (one, two + 1), values)
            waiting.append(there)
            if all(there.steps):
                yield there


def _state(values: Values) -> tuple[Fraction, ...]:
    return tuple(values.values())


def environment_of(facts: Facts, values: Values) -> tuple[Facts, SetEnvironment] | None:
    """The values as set with those of a state: tables read again, kept terms moved along; None where no row is left."""
    here = at_values(facts, values)
    if here is None:
        return None
    moved = dict(values)
    for each in here.relations.definitions:
        if each.target is None or each.circular or each.node is None or _moves(each.target, values):
            continue
        kept = number(each.node, SetEnvironment(here, moved))
        if isinstance(kept, Fraction):
            moved[each.target] = kept
    return here, SetEnvironment(here, moved)


def _moves(key: str, values: Values) -> bool:
    return key in values or key + AS_WRITTEN in values


def told_values(facts: Facts, values: Values, keys: Sequence[str]) -> list[tuple[str, str]]:
    """Values of keys as they would be written, with their terms."""
    found: list[tuple[str, str]] = []
    for key in keys:
        name = key.removesuffix(AS_WRITTEN)
        found.append((name, show_number(values[key], unit_for(key, facts, {}), name) + how_written(key, facts)))
    return found
