"""One box, asked in floats; asked in fractions only what floats cannot decide."""

from __future__ import annotations

from functools import cached_property
from typing import Final

from rxlint.expressions.forms import TooCloseError
from rxlint.expressions.intervals import BoxEvaluator, Cells, in_order
from rxlint.expressions.masks import F, T, every, opposite
from rxlint.expressions.nodes import Logic, Node, Not
from rxlint.expressions.space import Space

_Answer = tuple[int, bool]
"""The set of what a condition may be, and whether facts could tell more of it."""

_CERTAIN: Final = (T, F)


class Box:
    """The conditions over one box, at points that keep what was learnt.

    Each comparison is made in floats, or exactly where they come too close to call. ``whole`` is the same box without
    any facts, where others have asked before: what no fact could change is taken from there. Where it is a wider box
    than this one, ``moved`` are the axes in which it is: what comes to one of these is then worked out anew.
    """

    def __init__(
        self, space: Space, cells: Cells, whole: Whole | None = None, moved: frozenset[str] = frozenset()
    ) -> None:
        self._space, self._cells, self._whole, self._moved = space, cells, whole, moved
        self._learnt: list[Node] = []
        self._floats: BoxEvaluator = self._evaluator(False, None if whole is None else whole._floats)
        self._is_too_close = False  # a fact could not be put in floats: all is asked exactly from then on

    def _evaluator(self, in_fractions: bool, of_whole: BoxEvaluator | None) -> BoxEvaluator:
        if self._moved:
            return BoxEvaluator(self._space, self._cells, in_fractions, None, of_whole, self._moved)
        return BoxEvaluator(self._space, self._cells, in_fractions, of_whole)

    @cached_property
    def _exactly(self) -> BoxEvaluator:
        made = self._evaluator(True, None if self._whole is None else self._whole._exactly)
        for node in self._learnt:
            made.learn(node)
        return made

    def condition(self, node: Node) -> int:
        """The set of what a condition may be in the box."""
        return self._ask(node)[0]

    def learn(self, node: Node) -> None:
        """Take it as a fact that a condition holds."""
        if "_exactly" in self.__dict__:
            self._exactly.learn(node)
        self._learnt.append(node)
        if not self._is_too_close:
            try:
                self._floats.learn(node)
            except TooCloseError:
                self._is_too_close = True

    def _ask(self, node: Node) -> _Answer:
        if self._whole is not None and (not self._moved or self._moved.isdisjoint(self._space.reads(node))):
            known = self._whole._ask(node)
            if not known[1]:
                return known
        return self._asked(node)

    def _asked(self, node: Node) -> _Answer:
        if isinstance(node, Logic):
            return self._joined(node)
        if isinstance(node, Not):
            mask, is_open = self._ask(node.operand)
            return opposite(mask), is_open
        if not self._is_too_close:
            try:
                return _answer(self._floats, node)
            except TooCloseError:
                pass
        return _answer(self._exactly, node)

    def _joined(self, node: Logic) -> _Answer:
        """Parts side by side, up to the first that decides."""
        is_and = node.operator == "and"
        total, is_open = T, False
        for part in in_order(node):
            mask, may_change = self._ask(part)
            total = every((total, mask if is_and else opposite(mask)))
            is_open = is_open or may_change
            if total == F:
                break
        return total if is_and else opposite(total), is_open and total not in _CERTAIN


class Whole(Box):
    """All that is allowed as one box: it learns nothing, and remembers what it was asked."""

    def __init__(self, space: Space, cells: Cells) -> None:
        super().__init__(space, cells)
        self._known: dict[int, tuple[Node, _Answer]] = {}  # by identity; the node is kept, so that it stays its own

    def told(self) -> Box:
        """The same box, to be told facts."""
        return Box(self._space, self._cells, self)

    def part(self, cells: Cells, moved: frozenset[str]) -> Box:
        """A part of the box that is less wide in some axes, to be told facts."""
        return Box(self._space, cells, self, moved)

    def _ask(self, node: Node) -> _Answer:
        known = self._known.get(id(node))
        if known is None:
            known = self._known[id(node)] = node, self._asked(node)
        return known[1]


def _answer(box: BoxEvaluator, node: Node) -> _Answer:
    doubts = box.facts.doubts
    mask = box.condition(node)
    return mask, mask not in _CERTAIN and box.facts.doubts > doubts
