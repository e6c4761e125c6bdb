"""The facts of one scope and the two views of them: the values as set, and everything that is allowed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache, cached_property, lru_cache
from itertools import chain

from rxlint.expressions import Axis, Common, Missing, Node, Space, Value, evaluate, keys_in
from rxlint.model.bands import Band
from rxlint.model.context import HOMES, Context
from rxlint.model.names import AS_WRITTEN, derived_terms
from rxlint.model.reach import with_reach
from rxlint.model.relations import Relations
from rxlint.model.stated import EARLIER, Scope, Stated
from rxlint.notation.tree import Document
from rxlint.vocabulary import Mode, vocabulary


@dataclass(frozen=True)
class Facts:
    """What one scope says in one band: values by key, in base units.

    ``constants`` are fixed values, ``axes`` what may vary, ``formulas`` values computed from others (derived terms too,
    by the way that their terms allow), ``written`` formulas of kept terms as they are written. ``unreadable`` keys are
    stated but unknown; ``off`` keys are switched off. ``defined`` are terms that packs define, and ``context`` what is
    told by more than one line: both are kept to make facts of another band. ``own`` are the keys whose formulas come
    from what the document writes, not from derived or defined terms.
    """

    document: Document
    scope: Scope
    band: Band | None
    mode: Mode | None
    constants: Mapping[str, Value]
    axes: Mapping[str, Axis]
    formulas: Mapping[str, Node]
    written: Mapping[str, Node]
    unreadable: frozenset[str]
    off: frozenset[str]
    relations: Relations
    defined: Mapping[str, Node] = field(default_factory=dict, repr=False, compare=False)
    context: Context = field(default_factory=Context, repr=False, compare=False)
    own: frozenset[str] = field(default=frozenset(), repr=False, compare=False)
    _closures: dict[str, frozenset[str]] = field(default_factory=dict, repr=False, compare=False)
    _direct: dict[str, frozenset[str]] = field(default_factory=dict, repr=False, compare=False)

    @property
    def period(self) -> str | None:
        """The period's name; None for the unnamed one."""
        return self.scope.period

    def stated(self, key: str) -> Stated | None:
        """The statement behind a key, or behind the key it goes with (a window's end, a companion)."""
        if key.startswith(EARLIER):
            return self.scope.earlier.get(key.removeprefix(EARLIER))
        return self.scope.by_key.get(home_key(key))

    def is_stated(self, key: str) -> bool:
        """Whether the document states the key, readable or not."""
        return (
            key in self.constants
            or key in self.axes
            or key in self.unreadable
            or key in self.off
            or key in self.scope.by_key
            or key + AS_WRITTEN in self.constants  # a value per kilogram, a pressure above PEEP
            or key + AS_WRITTEN in self.axes
        )

    @cached_property
    def as_set(self) -> SetEnvironment:
        """The values as set."""
        return SetEnvironment(self)

    @cached_property
    def allowed(self) -> Mapping[str, Axis]:
        """The axes with what titrations can reach. The key of a table reaches other rows in bands of their own."""
        reached = with_reach(self.scope, self.axes, self.constants, self.formulas)
        return {**reached, **self.band.keys} if self.band is not None else reached

    @cached_property
    def space(self) -> Space:
        """The values as allowed."""
        stated = frozenset(
            key.removesuffix(AS_WRITTEN)
            for key in (*self.constants, *self.axes, *self.unreadable, *self.off, *self.scope.by_key)
        )
        return Space(
            axes=tuple(self.allowed.values()),
            formulas=self.formulas,
            constants=self.constants,
            stated=stated,
            constraints=tuple(relation.node for relation in self.relations.conditions if relation.node is not None),
        )

    @cached_property
    def common(self) -> Common:
        """What all searches of the space share."""
        return Common(self.space)

    def reads(self, node: Node) -> frozenset[str]:
        """Every key that a node needs, through formulas."""
        return self.closure(keys_in(node))

    def closure(self, keys: Iterable[str]) -> frozenset[str]:
        """The keys with every key that they are computed from, as set or as allowed."""
        return frozenset[str]().union(*(self._closure(key) for key in keys))

    def _closure(self, key: str) -> frozenset[str]:
        known = self._closures.get(key)
        if known is None:
            seen: set[str] = set()
            waiting = [key]
            while waiting:
                each = waiting.pop()
                if each not in seen:
                    seen.add(each)
                    waiting += [*self._needs(each)]
            known = self._closures[key] = frozenset(seen)
        return known

    def _needs(self, key: str) -> frozenset[str]:
        known = self._direct.get(key)
        if known is None:
            formulas = (each[key] for each in (self.formulas, self.written) if key in each)
            known = self._direct[key] = frozenset[str]().union(*map(keys_in, formulas))
        return known

    @cached_property
    def known_leaves(self) -> frozenset[str]:
        """The keys that derived terms read and that have a value, or would have one if their line could be read."""
        return leaf_keys().intersection(chain(self.constants, self.axes, self.formulas, self.unreadable))

    def lacks(self, keys: Iterable[str]) -> frozenset[str]:
        """Missing keys told by the terms that could be stated to provide them."""
        return frozenset[str]().union(*(lacking(self, key) for key in keys))


def home_key(key: str) -> str:
    """The key of the statement that a key is part of."""
    terms = vocabulary().terms
    key = key.removesuffix(AS_WRITTEN)
    if key in terms:
        return key
    for low in ("target low ", "target high "):
        if key.startswith(low):
            return f"target {key.removeprefix(low)}"
    for tail in (" manner", " place", " basis", " reference", " pressure", " duration", " state"):
        if key.endswith(tail) and key.removesuffix(tail) in terms:
            return key.removesuffix(tail)
    if key in HOMES:
        return HOMES[key]
    return {"mode pattern": "mode", "mode type": "mode", "mode support": "mode"}.get(key, key)


class SetEnvironment:
    """Exact values as set: for kept terms what is written, not what the relation would make of it."""

    def __init__(
        self,
        facts: Facts,
        overrides: Mapping[str, Fraction] | None = None,
        presumed: frozenset[str] = frozenset(),
    ) -> None:
        self._facts = facts
        self._overrides = overrides or {}
        self._presumed = presumed
        self._known: dict[str, Value | Missing] = {}
        self._open: set[str] = set()

    def with_value(self, key: str, value: Fraction) -> SetEnvironment:
        """The same values but for one."""
        return SetEnvironment(self._facts, {**self._overrides, key: value}, self._presumed)

    def presuming(self, keys: Iterable[str]) -> SetEnvironment:
        """The same values, with these keys taken for stated: a line that could not be told may be one of them."""
        return SetEnvironment(self._facts, self._overrides, self._presumed | frozenset(keys))

    def is_stated(self, key: str) -> bool:
        """Whether the document states it, readable or not."""
        return key in self._presumed or self._facts.is_stated(key)

    def value(self, key: str) -> Value | Missing:
        """The value as set, or why there is none."""
        if key not in self._known:
            if key in self._open:
                return Missing(frozenset((key,)), ("it is defined by itself",))
            self._open.add(key)
            self._known[key] = self._find(key)
            self._open.discard(key)
        return self._known[key]

    def _find(self, key: str) -> Value | Missing:
        facts = self._facts
        if key in self._overrides:
            return self._overrides[key]
        if key in facts.constants:
            return facts.constants[key]
        if key in facts.axes:
            as_set = facts.axes[key].as_set
            return as_set if as_set is not None else Missing(frozenset((key,)), (f"{key} is stated as a range",))
        formula = facts.written.get(key) or facts.formulas.get(key)
        if formula is not None:
            return evaluate(formula, self)
        if key in facts.unreadable:
            return Missing(frozenset((key,)), (f"{key} is stated but could not be read",))
        if key in facts.off:
            return Missing(frozenset((key,)), (f"{key} is switched off",))
        return Missing(lacking(facts, key))


def lacking(facts: Facts, key: str) -> frozenset[str]:
    """The stated terms that a key lacks: itself, or what the nearest way to it lacks."""
    return _lacking(key, facts.known_leaves) if key in derived_terms() else frozenset((key,))


@lru_cache(maxsize=65_536)
def _lacking(key: str, known: frozenset[str]) -> frozenset[str]:
    derived = derived_terms().get(key)
    if derived is None:
        return frozenset((key,))
    best: frozenset[str] | None = None
    for way in derived.ways:
        missing = frozenset[str]().union(*(_lacking(each, known) for each in keys_in(way.node) if each not in known))
        if best is None or len(missing) < len(best):
            best = missing
    return best or frozenset((key,))


@cache
def leaf_keys() -> frozenset[str]:
    """Every key that some way of a derived term reads, and every derived term."""
    ways = (way for derived in derived_terms().values() for way in derived.ways)
    return frozenset(key for way in ways for key in keys_in(way.node)).union(derived_terms())
