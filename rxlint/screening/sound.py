"""What range would be sound: for a rule that some allowed combination breaks, how far each term alone must be narrowed.

A value of one term is sound where the rule holds with it for everything else that is allowed. So the sound range around
a value is the same from whichever end it is looked for, and there is one widest range.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from rxlint.expressions import Axis, Node, Space, Value, decide
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.screening.values import show_number, show_value, unit_for
from rxlint.units import PLAIN
from rxlint.vocabulary import vocabulary

BUDGET: Final = 600
"""Boxes that the search for sound ranges of one finding may look at in all: a number, not a time."""
HARDEST: Final = 200
"""Where it took more boxes than this to find the breach, no range is looked for: each would take as many again."""
_ONE_DECISION: Final = 200
_STARTS: Final = 9  # where nothing is set, so many values are tried for one that is sound


@dataclass(slots=True)
class _Search:
    """Decides narrowed spaces until its boxes are used up; `is_over` then."""

    when: Node | None
    require: Node
    space: Space
    left: int = BUDGET
    is_over: bool = False
    _known: dict[Axis, bool] = field(default_factory=dict)

    def holds(self, axis: Axis) -> bool:
        """Whether the rule is kept everywhere with one axis as given and the others as they are."""
        if axis not in self._known:
            boxes = min(_ONE_DECISION, self.left)
            axes = tuple(axis if each.key == axis.key else each for each in self.space.axes)
            decision = decide(self.when, self.require, replace(self.space, axes=axes), boxes)
            self.left -= decision.boxes
            self.is_over = self.is_over or self.left <= 0
            self._known[axis] = decision.outcome in ("met", "does not apply")
        return self._known[axis]


def sound_axes(when: Node | None, require: Node, space: Space, keys: Iterable[str]) -> dict[str, Axis]:
    """For each of some free variables the widest part that keeps the rule, the others as allowed; left out if none.

    It holds what is set, where something is, and its ends are on the steps or at the resolution of the author.
    """
    found: dict[str, Axis] = {}
    search = _Search(when, require, space)
    for key in keys:
        axis = space.axis_of.get(key)
        if axis is None or search.is_over:
            continue
        narrowed = _of_options(axis, search) if axis.options else _of_range(axis, search)
        if narrowed is not None and not search.is_over:
            found[key] = narrowed
    return found


def _of_options(axis: Axis, search: _Search) -> Axis | None:
    kept = tuple(option for option in axis.options if search.holds(replace(axis, options=(option,))))
    if not kept or (axis.as_set is not None and axis.as_set not in kept):
        return None
    return replace(axis, options=kept)


def _of_range(axis: Axis, search: _Search) -> Axis | None:
    starts = [axis.as_set] if isinstance(axis.as_set, Fraction) else _starts(axis)
    best: Axis | None = None
    for start in starts:
        if best is not None and best.low <= start <= best.high:
            continue
        here = replace(axis, low=start, high=start)
        if not search.holds(here):
            continue
        low, high = _furthest(axis, start, -1, search), _furthest(axis, start, 1, search)
        whole = replace(axis, low=low, high=high)
        if search.holds(whole) and (best is None or high - low > best.high - best.low):
            best = whole
    return best


def _starts(axis: Axis) -> list[Fraction]:
    """Values spread over an axis, on its steps or at its resolution, its ends among them."""
    spread = [axis.low + (axis.high - axis.low) * place / (_STARTS - 1) for place in range(_STARTS)]
    unit, origin = _ruler(axis)
    inside = [(value - origin) // unit * unit + origin for value in spread]
    ends = [axis.low, axis.high] if axis.step is None else []
    return sorted({value for value in (*inside, *ends) if axis.low <= value <= axis.high})


def _ruler(axis: Axis) -> tuple[Fraction, Fraction]:
    return (axis.step, axis.origin) if axis.step is not None else (axis.grid, Fraction(0))


def _furthest(axis: Axis, start: Fraction, way: int, search: _Search) -> Fraction:
    """The furthest value from a start, one way, up to which the rule holds: the axis's end, or the last mark before."""

    def holds(end: Fraction) -> bool:
        return search.holds(replace(axis, low=min(start, end), high=max(start, end)))

    unit, origin = _ruler(axis)
    end = axis.high if way > 0 else axis.low
    if axis.step is None and holds(end):
        return end
    first, last = ((start - origin) * way) // unit + 1, ((end - origin) * way) // unit
    while first <= last:  # every mark before `first` holds, none after `last`
        middle = (first + last) // 2
        if holds(origin + way * middle * unit):
            first = middle + 1
        else:
            last = middle - 1
    reached = origin + way * last * unit
    return reached if (reached - start) * way > 0 else start


def sound_ranges(when: Node | None, require: Node, facts: Facts, example: Mapping[str, Value]) -> tuple[str, ...]:
    """The sound range of each term of an example, as text; the key of a table is left out: no one sets it there."""
    keys = [key for key in example if facts.band is None or key not in facts.band.keys]
    found = sound_axes(when, require, facts.space, keys)
    return tuple(f"{key.removesuffix(AS_WRITTEN)} {_told(axis, facts)}" for key, axis in found.items())


def _told(axis: Axis, facts: Facts) -> str:
    unit, name = unit_for(axis.key, facts, {}), axis.key.removesuffix(AS_WRITTEN)
    after = _above(axis.key, facts)
    if axis.options:
        options = [show_number(each, unit, name) if isinstance(each, Fraction) else show_value(each, PLAIN)
                   for each in axis.options]  # fmt: skip
        return " or ".join(options) + after
    low, high = show_number(axis.low, unit, name), show_number(axis.high, unit, name)
    if low == high:
        return low + after
    tail = f" {unit.symbol}"
    return f"{low.removesuffix(tail) if unit.symbol and high.endswith(tail) else low} to {high}{after}"


def _above(key: str, facts: Facts) -> str:
    """What the value is above or per, where it could be something else."""
    stated, term = facts.stated(key), vocabulary().terms.get(key.removesuffix(AS_WRITTEN))
    if stated is None or term is None or "" not in stated.statement.values:
        return ""
    quantity = stated.statement.values[""]
    if quantity.basis is not None and key.endswith(AS_WRITTEN):
        return f" of {quantity.basis}"
    return f" above {quantity.reference}" if term.reference == "stated" and quantity.reference is not None else ""
