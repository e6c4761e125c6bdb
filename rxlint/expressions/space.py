"""What a document allows: free variables with their ranges, and everything that is calculated from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from rxlint.expressions import exact
from rxlint.expressions.nodes import Node, keys_in
from rxlint.expressions.values import Missing, Value


@dataclass(frozen=True, slots=True)
class Axis:
    """A free variable, in base units: a closed range, or a choice between options (then the range is not used).

    Where there is a `step`, only `origin` plus whole steps are allowed. `grid` is the author's resolution: examples are
    shown on it. `as_set` is the value as it is set, if it is.
    """

    key: str
    low: Fraction = Fraction(0)
    high: Fraction = Fraction(0)
    step: Fraction | None = None
    grid: Fraction = Fraction(1)
    origin: Fraction = Fraction(0)
    options: tuple[Value, ...] = ()
    as_set: Value | None = None

    def __post_init__(self) -> None:
        if self.grid <= 0 or (self.step is not None and self.step <= 0):
            raise ValueError(f"{self.key}: a step and a grid must be above zero")


@dataclass(frozen=True)
class Space:
    """Everything that a document allows.

    A key is an axis, else a formula over other keys, else a constant, else missing. `stated` holds every key that is
    stated, axes and unreadable ones included. Only points that keep all constraints are allowed.
    """

    axes: tuple[Axis, ...] = ()
    formulas: Mapping[str, Node] = field(default_factory=dict)
    constants: Mapping[str, Value | Missing] = field(default_factory=dict)
    stated: frozenset[str] = frozenset()
    constraints: tuple[Node, ...] = ()

    @cached_property
    def axis_of(self) -> Mapping[str, Axis]:
        """The axes by their keys."""
        return {axis.key: axis for axis in self.axes}

    @cached_property
    def _keys(self) -> Mapping[str, frozenset[str]]:
        return {key: keys_in(node) for key, node in self.formulas.items()}

    def reads(self, node: Node) -> frozenset[str]:
        """Every key that a node reads, also by way of formulas."""
        known = self._reads.get(id(node))
        if known is None:
            known = self._reads[id(node)] = node, self._every_read(node)
        return known[1]

    @cached_property
    def _reads(self) -> dict[int, tuple[Node, frozenset[str]]]:
        """By identity; the node is kept, so that it stays its own."""
        return {}

    def _every_read(self, node: Node) -> frozenset[str]:
        found: set[str] = set()
        waiting = list(keys_in(node))
        while waiting:
            key = waiting.pop()
            if key not in found:
                found.add(key)
                if key not in self.axis_of:
                    waiting.extend(self._keys.get(key, ()))
        return frozenset(found)

    def formula(self, key: str) -> Node | None:
        """The formula that a key stands for; None for an axis, a constant or nothing."""
        return None if key in self.axis_of else self.formulas.get(key)

    def reads_of(self, key: str) -> frozenset[str]:
        """Every key that a term reads: those of its formula, or itself."""
        node = self.formula(key)
        return frozenset((key,)) if node is None else self.reads(node)

    @cached_property
    def fixed(self) -> PointEnvironment:
        """Where terms are worked out that are the same at every point."""
        return PointEnvironment(self, {})

    def is_fixed(self, key: str) -> bool:
        """Whether a formula comes to no free variable, and to none that is defined in terms of itself."""
        fixed = self._fixed_keys
        if key not in fixed:
            self._find_fixed(key)
        return fixed[key]

    def _find_fixed(self, key: str) -> None:
        """Settle a key and all that it comes to, each once, without recursion."""
        fixed, open_keys = self._fixed_keys, {key}
        waiting = [(key, iter(self._needs(key)))]
        sound = {key: key not in self.axis_of}
        while waiting:
            here, needs = waiting[-1]
            for each in needs:
                if each in fixed or each in open_keys:  # an open one leads back to itself
                    sound[here] = sound[here] and fixed.get(each, False)
                else:
                    open_keys.add(each)
                    sound[each] = each not in self.axis_of
                    waiting.append((each, iter(self._needs(each))))
                    break
            else:
                waiting.pop()
                open_keys.discard(here)
                fixed[here] = sound[here]
                if waiting:
                    above = waiting[-1][0]
                    sound[above] = sound[above] and sound[here]

    def _needs(self, key: str) -> frozenset[str]:
        return self._keys.get(key, frozenset()) if key not in self.axis_of else frozenset()

    @cached_property
    def _fixed_keys(self) -> dict[str, bool]:
        return {}

    def direct(self, key: str) -> frozenset[str]:
        """The formulas that a formula names itself."""
        known = self._direct.get(key)
        if known is None:
            known = self._direct[key] = frozenset(each for each in self._needs(key) if self.formula(each) is not None)
        return known

    @cached_property
    def _direct(self) -> dict[str, frozenset[str]]:
        return {}

    def before(self, key: str) -> tuple[str, ...]:
        """Formulas in the order to evaluate them before `key`, so that no evaluation goes deep into another."""
        known = self._orders.get(key)
        if known is None:
            known = self._orders[key] = self._order(key)
        return known

    @cached_property
    def _orders(self) -> dict[str, tuple[str, ...]]:
        return {}

    def _order(self, key: str) -> tuple[str, ...]:
        if all(self.formula(each) is None for each in self._keys.get(key, ())):
            return ()
        order: list[str] = []
        seen = {key}
        waiting = [(key, iter(sorted(self._keys.get(key, ()))))]
        while waiting:
            here, needs = waiting[-1]
            following = next((k for k in needs if k not in seen and self.formula(k) is not None), None)
            if following is None:
                waiting.pop()
                order.append(here)
            else:
                seen.add(following)
                waiting.append((following, iter(sorted(self._keys[following]))))
        return tuple(order[:-1])


class PointEnvironment:
    """The values at one point of a space, for the exact evaluator."""

    def __init__(self, space: Space, point: Mapping[str, Value]) -> None:
        self._space = space
        self._known: dict[str, Value | Missing] = dict(point)
        self._busy: set[str] = set()

    def value(self, key: str) -> Value | Missing:
        """The value at this point, formulas worked out; Missing for an axis that the point leaves out."""
        if key not in self._known and self._space.formula(key) is not None:
            if key in self._busy:
                return Missing(frozenset((key,)), ("it is defined in terms of itself",))
            for needed in self._space.before(key):
                self._work_out(needed)
            self._work_out(key)
        found = self._known.get(key)
        if found is None:
            found = self._space.constants.get(key) if key not in self._space.axis_of else None
        return Missing(frozenset((key,))) if found is None else found

    def _work_out(self, key: str) -> None:
        node = self._space.formula(key)
        if node is not None and key not in self._known and key not in self._busy:
            if self is not self._space.fixed and self._space.is_fixed(key):
                self._known[key] = self._space.fixed.value(key)
                return
            self._busy.add(key)
            self._known[key] = exact.evaluate(node, self)
            self._busy.discard(key)

    def is_stated(self, key: str) -> bool:
        """Whether the document states it."""
        return key in self._space.stated
