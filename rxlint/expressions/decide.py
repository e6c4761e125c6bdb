"""Whether a requirement holds for everything that a space allows: branch and bound over boxes.

At every point the breach is "the constraints hold, and `when`, and not `require`", in three-valued logic. A box is done
with as soon as its breach is known; others are split, choices first, then the range that is widest for its axis. What
is shown as an example was evaluated exactly, and an author could write it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Final, Literal

from rxlint.expressions import exact
from rxlint.expressions.boxes import Whole
from rxlint.expressions.intervals import Cell, Cells, teaches
from rxlint.expressions.masks import F, M, T, every, opposite
from rxlint.expressions.nodes import Logic, Node, Not
from rxlint.expressions.samples import (
    Ends,
    Point,
    first_cell,
    is_writable,
    may_be_written,
    neighbours_of,
    points_in,
    split,
)
from rxlint.expressions.space import Axis, PointEnvironment, Space
from rxlint.expressions.values import Environment, Missing, Value, blame

Outcome = Literal[
    "met", "broken everywhere", "can break", "undecided", "does not apply", "not checked", "unsatisfiable"
]
PointOutcome = Literal["met", "broken", "does not apply", "not checked"]

# A range split this often is not going to be decided by splitting it again.
_NARROWEST: Final = Fraction(1, 2**30)
_TO_FIND_A_POINT: Final = 300
_NOTHING: Final = ("met", "unsatisfiable")


@dataclass(frozen=True, slots=True)
class Decision:
    """The outcome; an example of a breach if there is one; the boxes looked at.

    `missing` and `reasons` say what is missing, if it is not checked; if undecided, what was found missing on the way.
    """

    outcome: Outcome
    example: Mapping[str, Value] | None
    boxes: int
    missing: frozenset[str] = frozenset()
    reasons: tuple[str, ...] = ()


_NOWHERE: Final = Decision("does not apply", None, 1)
_MET: Final = Decision("met", None, 1)


@dataclass(frozen=True, slots=True)
class AtPoint:
    """The outcome for one set of values; what is missing if not checked."""

    outcome: PointOutcome
    missing: frozenset[str] = frozenset()
    reasons: tuple[str, ...] = ()


def at_point(when: Node | None, require: Node, environment: Environment) -> AtPoint:
    """The outcome for the values of one environment. A missing `when` does not matter where `require` holds."""
    applies = True if when is None else exact.condition(when, environment)
    if applies is False:
        return AtPoint("does not apply")
    holds = exact.condition(require, environment)
    if holds is True:
        return AtPoint("met")
    missing = [truth for truth in (applies, holds) if isinstance(truth, Missing)]
    if missing:
        lacking = blame(missing)
        return AtPoint("not checked", lacking.terms, lacking.reasons)
    return AtPoint("broken")


class Common:
    """What searches of one space share: a point that is certainly allowed, with all that was worked out there, and what
    terms are over the whole of it.
    """

    def __init__(self, space: Space, budget: int = _TO_FIND_A_POINT) -> None:
        self._space, self._budget = space, budget

    @cached_property
    def whole(self) -> Whole:
        """All that is allowed as one box, with what has been worked out there."""
        return Whole(self._space, self._cells)

    def at_once(self, when: Node | None, require: Node) -> Decision | None:
        """The decision of a search that ends with its first box; None where that is not certain to be so.

        No breach lies in the whole box, whatever the constraints are, and at a point that keeps them either nothing is
        left to find out or the answer itself is found.
        """
        point = self._likely or self.__dict__.get("allowed")  # it is looked for further where a search needs it
        if point is None:
            return None
        applies = T if when is None else self.whole.condition(when)
        if applies == F:
            return _NOWHERE
        breach = every((applies, opposite(self.whole.condition(require))))
        if breach & T:
            return None
        if breach == F and not applies & F:
            return _MET
        found = at_point(when, require, point)
        if found.outcome == "not checked":
            return Decision("not checked", None, 1, found.missing, found.reasons)
        return _MET if found.outcome == "met" and not breach & M else None

    @cached_property
    def _cells(self) -> Cells:
        cells = ((axis.key, first_cell(axis)) for axis in self._space.axes)
        return {key: cell for key, cell in cells if cell is not None}

    @cached_property
    def allowed(self) -> PointEnvironment | None:
        """The values at a point that keeps every constraint; None where none is found. Searched for once, with a budget
        of its own, instead of by every search again.
        """
        if self._likely is not None or len(self._cells) < len(self._space.axes):
            return self._likely
        found = self._searched.example if self._space.constraints else None
        return self._kept_at({**next(self._points()), **found}) if found is not None else None

    @cached_property
    def _likely(self) -> PointEnvironment | None:
        """The first of the likeliest points that keeps every constraint."""
        if len(self._cells) < len(self._space.axes):
            return None
        return next((kept for kept in map(self._kept_at, self._points()) if kept is not None), None)

    @property
    def is_nothing_allowed(self) -> bool:
        """Whether it is certain that no point keeps every constraint."""
        return self.allowed is None and bool(self._space.constraints) and self._searched.outcome in _NOTHING

    @cached_property
    def _searched(self) -> Decision:
        breach = Not(Logic("and", self._space.constraints))
        return _Search(None, breach, self._space, self, alone=True).run(self._budget)

    def _points(self) -> Iterator[Point]:
        return points_in(self._space.axis_of, self._cells, thorough=True)

    def _kept_at(self, point: Point) -> PointEnvironment | None:
        environment = PointEnvironment(self._space, point)
        kept = (exact.condition(constraint, environment) is True for constraint in self._space.constraints)
        return environment if all(kept) else None


def decide(when: Node | None, require: Node, space: Space, budget: int, common: Common | None = None) -> Decision:
    """The outcome for everything that the space allows, looking at no more than `budget` boxes.

    "met" and "does not apply" hold at every allowed point; "can break" and "broken everywhere" come with an example;
    "undecided" if the budget ended first, or no breach could be written down; "unsatisfiable" if nothing is allowed.
    ``common`` is for many searches of one space.
    """
    # A point that keeps constraints is not looked for before it is needed, unless many will need it.
    may_end_at_once = budget > 0 and (common is not None or not space.constraints)
    common = common or Common(space, budget)
    at_once = common.at_once(when, require) if may_end_at_once else None
    return at_once or _Search(when, require, space, common).run(budget)


@dataclass(frozen=True, slots=True)
class _Verdict:
    """What may be in a box: that the constraints hold, that `when` does, that `require` does where those do."""

    allowed: int
    when: int
    require: int

    @property
    def applies(self) -> int:
        return every((self.allowed, self.when))

    @property
    def breach(self) -> int:
        return every((self.allowed, self.when, opposite(self.require)))


class _Search:
    def __init__(self, when: Node | None, require: Node, space: Space, common: Common, *, alone: bool = False) -> None:
        self._when, self._require, self._space, self._common = when, require, space, common
        self._alone = alone  # it is the search for the point that all others share
        self._axes, self._constraints = _involved(when, require, space)
        self._first: Cells = {}
        self._tense: deque[Cells] = deque()  # boxes that may hold a breach
        self._calm: deque[Cells] = deque()  # boxes that hold none, but other things are not known of them yet
        self._seen: set[tuple[Value, ...]] = set()
        self._ends = Ends()
        self._widths: dict[int, tuple[Cell, Fraction]] = {}  # by identity: no two axes share a cell here
        # What has been found out so far.
        self._example: Point | None = None
        self._missing: Missing | None = None
        self._allowed = False  # some point is allowed, as far as can be told
        self._applies = False  # ... and `when` is true there, or missing
        self._safe = False  # some point is certainly allowed, and no breach
        self._unwritable = False  # a box is breached everywhere, and holds nothing that could be written down
        self._hidden = False  # a box may hold a breach, and cannot usefully be split
        self._may_lack = False  # a box without a breach may, and has been split: so may its parts
        self._doubtful = False  # a box without a breach may hold points where something is missing
        self._unsettled = False  # a box without a breach may hold points that are allowed, or where `when` is true

    def run(self, budget: int) -> Decision:
        cells = {key: first_cell(axis) for key, axis in self._axes.items()}
        known = {key: cell for key, cell in cells.items() if cell is not None}
        if len(known) < len(cells):
            return Decision("unsatisfiable", None, 0)
        self._tense.append(known)
        self._first = known
        boxes = 0
        while boxes < budget and (self._tense or self._calm) and not self._is_told:
            boxes += 1
            self._look(self._tense.popleft() if self._tense else self._calm.popleft(), thorough=boxes == 1)
        return self._decision(boxes)

    @property
    def _is_told(self) -> bool:
        """Whether nothing more can change the outcome: it can break."""
        return self._example is not None and self._safe

    def _decision(self, boxes: int) -> Decision:
        left_over = bool(self._tense or self._calm)
        if self._example is not None:
            everywhere = not (self._safe or self._hidden or self._doubtful or self._unsettled or left_over)
            return Decision("broken everywhere" if everywhere else "can break", self._example, boxes)
        if self._tense or self._hidden or self._unwritable:
            return self._lacking("undecided", boxes)
        if self._missing is not None:
            return self._lacking("not checked", boxes)
        if self._doubtful or (self._may_lack and any(self._assess(cells).breach & M for cells in self._calm)):
            return Decision("undecided", None, boxes)
        if not left_over and not self._unsettled:
            if not self._allowed:
                return Decision("unsatisfiable", None, boxes)
            if not self._applies:
                return Decision("does not apply", None, boxes)
        return Decision("met", None, boxes)

    def _lacking(self, outcome: Outcome, boxes: int) -> Decision:
        missing = self._missing or Missing()
        return Decision(outcome, None, boxes, missing.terms, missing.reasons)

    # boxes

    def _look(self, cells: Cells, thorough: bool) -> None:
        if all(cell.is_point for cell in cells.values()):
            self._try({key: cell.options[0] if cell.options else cell.low for key, cell in cells.items()})
            return
        verdict = self._assess(cells)
        if verdict.allowed == F:
            return
        self._allowed = self._allowed or not verdict.allowed & F
        self._applies = self._applies or not verdict.applies & F
        if verdict.breach & T:
            self._look_tense(cells, verdict, thorough or self._is_fresh(cells))
        else:
            if thorough and not (self._alone or self._is_settled(verdict)):
                if self._common.allowed is not None:
                    self._learn(self._common.allowed, [])
                elif len(self._constraints) == len(self._space.constraints) and self._common.is_nothing_allowed:
                    return
            self._look_calm(cells, verdict)

    def _look_tense(self, cells: Cells, verdict: _Verdict, thorough: bool) -> None:
        """A box that may hold a breach: shows one, or splits it."""
        breaks = verdict.when == T and verdict.require == F and not verdict.allowed & M  # wherever it is allowed
        if self._example is None or not breaks:
            self._sample(cells, thorough)
        if breaks and self._example is not None:
            return
        if breaks and verdict.allowed == T:
            self._unwritable = True
        elif self._is_in_vain(cells) or not self._halve(cells, self._tense):
            self._hidden = True

    def _is_in_vain(self, cells: Cells) -> bool:
        """Whether a box can no longer change the outcome: "met" is out of reach, and it holds no example."""
        if not (self._hidden or self._unwritable):
            return False
        return not all(may_be_written(self._axes[key], cell) for key, cell in cells.items())

    def _look_calm(self, cells: Cells, verdict: _Verdict) -> None:
        """A box without a breach: finds out whether anything is allowed, applies or is missing in it."""
        self._safe = self._safe or verdict.allowed == T
        if not self._is_settled(verdict):
            self._sample(cells, thorough=False)
        if self._is_settled(verdict):
            return
        lacks = bool(verdict.breach & M)
        if self._is_lost() or not self._halve(cells, self._calm):
            self._doubtful = self._doubtful or lacks
            self._unsettled = True
        else:
            self._may_lack = self._may_lack or lacks

    def _is_lost(self) -> bool:
        """Whether a point that is allowed has been searched for already, and none was found."""
        if self._alone or self._allowed or not self._constraints:
            return False
        return self._common.allowed is None and not self._common.is_nothing_allowed

    def _is_settled(self, verdict: _Verdict) -> bool:
        """Whether nothing that could change the outcome is left to find in a box without a breach."""
        if self._example is not None:
            return self._safe
        if verdict.breach & M and self._missing is None:
            return False
        return self._allowed and (self._applies or verdict.applies == F)

    def _assess(self, cells: Cells) -> _Verdict:
        moved = frozenset(key for key, cell in cells.items() if cell is not self._first[key])
        if not moved and not self._constraints and not teaches(self._when):  # nothing is learnt of it
            return self._whole_verdict()
        box = self._common.whole.part(cells, moved) if moved else self._common.whole.told()
        allowed = T
        for constraint in self._constraints:
            allowed = every((allowed, box.condition(constraint)))
            box.learn(constraint)
        when = T
        if allowed != F and self._when is not None:
            when = box.condition(self._when)
            box.learn(self._when)
        if F in (allowed, when):
            return _Verdict(allowed, when, T | F | M)  # nobody asks
        return _Verdict(allowed, when, box.condition(self._require))

    def _whole_verdict(self) -> _Verdict:
        """What may be in the whole box, where no fact tells more of it than others have been told already."""
        whole = self._common.whole
        when = T if self._when is None else whole.condition(self._when)
        return _Verdict(T, when, whole.condition(self._require))

    def _halve(self, cells: Cells, queue: deque[Cells]) -> bool:
        """Queue the parts of a box; False if it cannot usefully be split."""
        key = self._widest(cells)
        if key is None:
            return False
        queue.extend({**cells, key: part} for part in split(self._axes[key], cells[key]))
        return True

    def _widest(self, cells: Cells) -> str | None:
        best, widest = None, _NARROWEST
        for key, cell in cells.items():
            if len(cell.options) > 1:
                return key
            if not cell.is_point:
                width = self._width(key, cell)
                if width > widest:
                    best, widest = key, width
        return best

    def _width(self, key: str, cell: Cell) -> Fraction:
        """The share of its axis that a range takes."""
        known = self._widths.get(id(cell))
        if known is None:
            axis = self._axes[key]
            known = self._widths[id(cell)] = cell, (cell.high - cell.low) / (axis.high - axis.low)
        return known[1]

    def _is_fresh(self, cells: Cells) -> bool:
        """Whether no range has been split yet, only choices."""
        return all(cell.options or cell == first_cell(self._axes[key]) for key, cell in cells.items())

    # points

    def _sample(self, cells: Cells, thorough: bool) -> None:
        for point in points_in(self._axes, cells, thorough, self._ends):
            self._try(point)
            if self._is_told:
                return
        if self._example is None and not thorough and self._is_tiny(cells):
            for point in neighbours_of(self._axes, cells, self._ends):
                self._try(point)

    def _is_tiny(self, cells: Cells) -> bool:
        """Whether some axis has too little room left to be sure of a writable value."""
        return any(
            not cell.options and cell.high - cell.low < (self._axes[key].step or self._axes[key].grid)
            for key, cell in cells.items()
        )

    def _try(self, point: Point) -> None:
        """Evaluate one point exactly, once, and learn from it."""
        values = tuple(point.values())
        if values in self._seen:
            return
        self._seen.add(values)
        environment = PointEnvironment(self._space, point)
        lacking: list[Missing] = []
        for constraint in self._constraints:
            truth = exact.condition(constraint, environment)
            if truth is False:
                return
            if isinstance(truth, Missing):
                lacking.append(truth)
        found = self._learn(environment, lacking)
        if found != "broken" or self._example is not None:
            return
        if all(is_writable(self._axes[key], value) for key, value in point.items()):
            self._example = dict(point)

    def _learn(self, environment: Environment, lacking: list[Missing]) -> PointOutcome:
        """What one point tells that is allowed, as far as can be told: constraints may lack something there."""
        self._allowed = True
        surely_allowed = not lacking
        found = at_point(self._when, self._require, environment)
        self._applies = self._applies or found.outcome != "does not apply"
        if found.outcome == "not checked" or (found.outcome == "broken" and lacking):
            lacking.append(Missing(found.missing, found.reasons))
            self._missing = self._missing or blame(lacking)
        if not surely_allowed:
            return "not checked"
        self._safe = self._safe or found.outcome != "broken"
        return found.outcome


def _involved(when: Node | None, require: Node, space: Space) -> tuple[dict[str, Axis], tuple[Node, ...]]:
    """The axes that matter - those read, and those that constraints tie to them - and the constraints that do."""
    read = space.reads(require) | (space.reads(when) if when is not None else frozenset())
    chosen = {key for key in read if key in space.axis_of}
    waiting = [
        (constraint, {k for k in space.reads(constraint) if k in space.axis_of}) for constraint in space.constraints
    ]
    taken: list[Node] = []
    while True:
        tied = [(node, keys) for node, keys in waiting if not keys or keys & chosen]
        if not tied:
            break
        waiting = [pair for pair in waiting if pair not in tied]
        for node, keys in tied:
            taken.append(node)
            chosen |= keys
    axes = {axis.key: axis for axis in space.axes if axis.key in chosen}
    return axes, tuple(node for node in space.constraints if any(node is one for one in taken))
