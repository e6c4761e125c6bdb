"""What titrations can reach: the values that staff may come to by steps, beside those that a line allows outright.

Terms that are stepped together move along one line, not freely in a box; such titrations are left to the walk by steps.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from rxlint.expressions import Axis, Node, Value
from rxlint.model.names import AS_WRITTEN
from rxlint.model.stated import Scope, Stated
from rxlint.notation import nodes as n
from rxlint.units import to_base


def with_reach(
    scope: Scope, axes: Mapping[str, Axis], constants: Mapping[str, Value], formulas: Mapping[str, Node]
) -> Mapping[str, Axis]:
    """The axes, each widened to the end of its titration; a fixed value that is stepped becomes an axis."""
    widened = dict(axes)
    for stated in scope.several.get("raise", ()):
        step = stated.statement.body
        if isinstance(step, n.Step) and len(step.terms) == 1 and "limit" in stated.statement.values:
            key = _free_key(step.terms[0].text, stated, scope, formulas)
            axis = _axis(key, stated, widened, constants) if key is not None else None
            if axis is not None:
                widened[axis.key] = axis
    return widened


def stepped(scope: Scope, key: str, value: Axis | Fraction) -> Axis | Fraction:
    """What is stated of a term, with what its steps reach where it is stepped alone."""
    axes = {key: value} if isinstance(value, Axis) else {}
    constants: dict[str, Value] = {} if isinstance(value, Axis) else {key: value}
    return with_reach(scope, axes, constants, {}).get(key, value)


def _free_key(key: str, stated: Stated, scope: Scope, formulas: Mapping[str, Node]) -> str | None:
    """The key that varies: the term, or what is written of it where the end has its reference; None for kept terms."""
    if key not in formulas:
        return key
    setting = scope.by_key.get(key)
    quantity = setting.statement.values.get("") if setting is not None else None
    same = quantity is not None and quantity.reference == stated.statement.values["limit"].reference
    return key + AS_WRITTEN if same and quantity is not None and quantity.basis is None else None


def _axis(key: str, stated: Stated, axes: Mapping[str, Axis], constants: Mapping[str, Value]) -> Axis | None:
    limit = stated.statement.values["limit"].points[0]
    size = stated.statement.values.get("step")
    axis = axes.get(key)
    if axis is not None:
        reached = replace(axis, low=min(axis.low, limit), high=max(axis.high, limit))
        if axis.options or axis.as_set is None or reached == axis:
            return None
        return replace(reached, step=_common(axis, limit, size.points[0] if size is not None else Fraction(0)))
    start = constants.get(key)
    if not isinstance(start, Fraction) or size is None or start == limit:
        return None
    grid = to_base(Fraction(1, 10**size.decimals), size.unit)
    whole = size.points[0] > 0 and (limit - start) % size.points[0] == 0
    step = size.points[0] if whole else None
    return Axis(key, min(start, limit), max(start, limit), step, grid, start, (), start)


def _common(axis: Axis, limit: Fraction, size: Fraction) -> Fraction | None:
    """The step of an axis, where the steps of a titration and its end lie on it; else any value counts as allowed."""
    if axis.step is None or axis.as_set is None or not isinstance(axis.as_set, Fraction):
        return None
    moves = (size, limit - axis.origin, axis.as_set - axis.origin)
    return axis.step if all(move % axis.step == 0 for move in moves) else None
