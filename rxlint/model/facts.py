"""A scope's statements as facts: constants, axes (what may vary) and formulas over them.

A pressure written above PEEP, or a value per kilogram, is a formula over what is written; only what is written varies.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache, cached_property, lru_cache
from typing import Final

from rxlint.expressions import Axis, Item, Missing, Node, Space, Value, Words, evaluate, keys_in, nodes
from rxlint.model.bands import Band, bands_of
from rxlint.model.names import NameTable, base_names, derived_terms
from rxlint.model.relations import Relations, read_relations
from rxlint.model.stated import Scope, Stated, scopes_of
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity, Unreadable, read_amount, unit_of
from rxlint.notation.tree import Document
from rxlint.units import TIME, Dimension, to_base
from rxlint.vocabulary import Mode, Term, vocabulary

AS_WRITTEN: Final = " as written"
_WEIGHTS: Final = {"predicted weight": "predicted weight", "measured weight": "patient weight"}


@dataclass(frozen=True)
class Facts:
    """What one scope says in one band: values by key, in base units.

    ``constants`` are fixed values, ``axes`` what may vary, ``formulas`` values computed from others (also derived terms, by the way that
    their terms allow), ``written`` formulas of kept terms as they are written. ``unreadable`` keys are stated but unknown; ``off`` keys
    are switched off.
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
    names: NameTable = field(default_factory=base_names)

    @property
    def period(self) -> str | None:
        return self.scope.period

    def stated(self, key: str) -> Stated | None:
        """The statement behind a key, or behind the key it goes with (a window's end, a companion)."""
        return self.scope.by_key.get(home_key(key))

    def is_stated(self, key: str) -> bool:
        return (
            key in self.constants
            or key in self.axes
            or key in self.unreadable
            or key in self.off
            or key in self.scope.by_key
        )

    @cached_property
    def as_set(self) -> SetEnvironment:
        """The values as set."""
        return SetEnvironment(self)

    @cached_property
    def space(self) -> Space:
        """The values as allowed."""
        stated = frozenset(
            key for key in (*self.constants, *self.axes, *self.unreadable, *self.off, *self.scope.by_key)
        )
        return Space(
            axes=tuple(self.axes.values()),
            formulas=self.formulas,
            constants=self.constants,
            stated=stated,
            constraints=tuple(relation.node for relation in self.relations.conditions if relation.node is not None),
        )

    def reads(self, node: Node) -> frozenset[str]:
        """Every key that a node needs, through formulas."""
        seen: set[str] = set()
        waiting = list(keys_in(node))
        while waiting:
            key = waiting.pop()
            if key not in seen:
                seen.add(key)
                if key in self.formulas:
                    waiting.extend(keys_in(self.formulas[key]))
        return frozenset(seen)


def home_key(key: str) -> str:
    """The key of the statement that a key is part of."""
    terms = vocabulary().terms
    if key in terms:
        return key
    for low in ("target low ", "target high "):
        if key.startswith(low):
            return f"target {key.removeprefix(low)}"
    for tail in (AS_WRITTEN, " manner", " place", " basis", " reference", " pressure", " duration"):
        if key.endswith(tail) and key.removesuffix(tail) in terms:
            return key.removesuffix(tail)
    return {"mode pattern": "mode", "mode type": "mode", "mode support": "mode"}.get(key, key)


class SetEnvironment:
    """Exact values as set: for kept terms what is written, not what the relation would make of it."""

    def __init__(self, facts: Facts, overrides: Mapping[str, Fraction] | None = None) -> None:
        self._facts = facts
        self._overrides = overrides or {}
        self._known: dict[str, Value | Missing] = {}
        self._open: set[str] = set()

    def with_value(self, key: str, value: Fraction) -> SetEnvironment:
        """The same values but for one."""
        return SetEnvironment(self._facts, {**self._overrides, key: value})

    def is_stated(self, key: str) -> bool:
        return self._facts.is_stated(key)

    def value(self, key: str) -> Value | Missing:
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
    derived = derived_terms().get(key)
    if derived is None:
        return frozenset((key,))
    best: frozenset[str] | None = None
    for way in derived.ways:
        missing = frozenset[str]().union(
            *(
                lacking(facts, each)
                for each in keys_in(way.node)
                if not is_available(each, facts.constants, facts.axes, facts.formulas, facts.unreadable)
            )
        )
        if best is None or len(missing) < len(best):
            best = missing
    return best or frozenset((key,))


def is_available(
    key: str,
    constants: Mapping[str, Value],
    axes: Mapping[str, Axis],
    formulas: Mapping[str, Node],
    unreadable: frozenset[str] | set[str],
) -> bool:
    """Whether a key has a value, or would have one if its line could be read."""
    return key in constants or key in axes or key in formulas or key in unreadable


def facts_of(document: Document, defined: Mapping[str, Node] | None = None) -> Iterator[Facts]:
    """The facts of each period, set of readings, band of its tables and alternative mode. ``defined`` are terms that packs define."""
    for scope in scopes_of(document):
        for band, mode in itertools.product(bands_of(scope), _modes(scope)):
            yield _Builder(document, scope, band, mode, defined or {}).build()


def _modes(scope: Scope) -> list[Mode | None]:
    stated = scope.by_key.get("mode")
    if stated is None or not isinstance(stated.statement.body, n.ModeChoice) or "mode" in scope.repeated:
        return [None]
    return [vocabulary().modes[code.text] for code in stated.statement.body.codes]


@cache
def leaf_keys() -> frozenset[str]:
    """Every key that some way of a derived term reads."""
    return frozenset(key for derived in derived_terms().values() for way in derived.ways for key in way.keys) | derived_terms().keys()


@lru_cache(maxsize=4_096)
def chosen_ways(known: frozenset[str]) -> tuple[tuple[str, Node], ...]:
    """The derived terms that can be found from known keys, each by its first way whose terms are all there, in an order to compute them."""
    found: dict[str, Node] = {}
    grew = True
    while grew:
        grew = False
        for key, derived in derived_terms().items():
            if key in found or key in known:
                continue
            way = next((way for way in derived.ways if all(each in known or each in found for each in way.keys)), None)
            if way is not None:
                found[key] = way.node
                grew = True
    return tuple(found.items())


class _Builder:
    def __init__(
        self, document: Document, scope: Scope, band: Band | None, mode: Mode | None, defined: Mapping[str, Node]
    ) -> None:
        self.defined = defined
        self.document = document
        self.scope = scope
        self.band = band
        self.mode = mode
        self.constants: dict[str, Value] = {}
        self.axes: dict[str, Axis] = {}
        self.formulas: dict[str, Node] = {}
        self.written: dict[str, Node] = {}
        self.unreadable: set[str] = set()
        self.off: set[str] = set()

    def build(self) -> Facts:
        if self.document.kind is not None:
            self.constants["document kind"] = Words(frozenset((self.document.kind,)))
        for key, stated in self.scope.by_key.items():
            if key in self.scope.repeated or not stated.statement.readable:
                self.unreadable.add(key)
                self.unreadable |= _companion_keys(stated.statement.term)
            else:
                self._take(key, stated)
        self._bare_lists()
        self._mode()
        self._fallback()
        if self.band is not None:
            for key, axis in self.band.keys.items():
                self.axes[key] = axis
                self.constants.pop(key, None)
        self._derive()
        for key, node in self.defined.items():
            self.formulas.setdefault(key, node)
        relations = read_relations(self.scope, base_names())
        self._keep(relations)
        return Facts(
            self.document, self.scope, self.band, self.mode, self.constants, self.axes, self.formulas, self.written,
            frozenset(self.unreadable), frozenset(self.off), relations,
        )  # fmt: skip

    # ---- statements
    def _take(self, key: str, stated: Stated) -> None:
        statement = stated.statement
        term = statement.term
        body = statement.body
        values = statement.values
        match body:
            case n.Measure() if term is not None:
                self._measure(key, term, values[""])
            case n.TableHead() if term is not None:
                quantity = self.band.rows.get(key) if self.band is not None else None
                if quantity is not None:
                    self._measure(key, term, quantity)
                else:
                    self.unreadable.add(key)
            case n.State():
                if term is not None and term.form == "state":
                    self.constants[key] = Words(frozenset((body.word,)))
                elif body.word == "off":
                    self.off.add(key)
            case n.After():
                self.constants[key] = values[""].points[0]
            case n.Words():
                self._words(key, term, body)
            case n.Items():
                self.constants[key] = items_of(body)
            case n.Part():
                self.constants[key] = body.number
            case n.Cylinder() if "contents" in values:
                self.constants[key] = values["contents"].points[0]
            case n.PreOxygenation():
                self.constants[key] = values[""].points[0]
                if "duration" in values:
                    self.constants[f"{key} duration"] = values["duration"].points[0]
            case _:
                pass  # text, dates and sentences are stated; they have no value of their own

    def _words(self, key: str, term: Term | None, body: n.Words) -> None:
        if term is None:
            return
        options = tuple(_chosen(term, tuple(word.text for word in words)) for words in body.alternatives)
        if len(options) == 1:
            self.constants[key] = options[0]
        else:
            self.axes[key] = Axis(key, Fraction(0), Fraction(0), None, Fraction(1), Fraction(0), options, None)

    def _measure(self, key: str, term: Term, quantity: Quantity) -> None:
        for name, word in (("manner", quantity.manner), ("place", quantity.place), ("basis", quantity.basis)):
            if word is not None:
                self.constants[f"{key} {name}"] = Words(frozenset((word,)))
        if term.reference == "stated" and quantity.reference is not None:
            self.constants[f"{key} reference"] = Words(frozenset((quantity.reference,)))
        if quantity.at is not None:
            self.constants[f"{key} pressure"] = quantity.at
        if term.kind == "window":
            self._window(key, term, quantity)
            return
        convert = self._conversion(key, term, quantity)
        own = key if convert is None else key + AS_WRITTEN
        value = axis_or_value(own, term, quantity)
        if isinstance(value, Axis):
            self.axes[own] = value
        else:
            self.constants[own] = value
        if convert is not None:
            self.formulas[key] = convert

    def _window(self, key: str, term: Term, quantity: Quantity) -> None:
        low, high = window_ends(quantity)
        for end, point in (("low", low), ("high", high)):
            name = f"target {end} {term.phrase}"
            if point is None:
                continue
            weight = self._weight(quantity)
            if weight is None:
                self.constants[name] = point
            else:
                self.constants[name + AS_WRITTEN] = point
                self.formulas[name] = nodes.Binary("*", nodes.Name(name + AS_WRITTEN, name), weight)

    def _weight(self, quantity: Quantity) -> Node | None:
        if quantity.basis is None:
            return None
        key = _WEIGHTS.get(quantity.basis, quantity.basis)
        if key == quantity.basis and key != "predicted weight":
            manner = key.removesuffix(" weight")
            weight = self.scope.by_key.get("patient weight")
            if weight is not None and weight.statement.readable and weight.statement.values[""].manner == manner:
                key = "patient weight"
        return nodes.Name(key, key)

    def _conversion(self, key: str, term: Term, quantity: Quantity) -> Node | None:
        """The formula from what is written to the term's own value; None where they are the same."""
        own = nodes.Name(key + AS_WRITTEN, term.phrase)
        weight = self._weight(quantity)
        if weight is not None:
            return nodes.Binary("*", own, weight)
        if term.reference == "stated" and quantity.reference == "PEEP":
            return nodes.Binary("+", nodes.Name("baseline", "baseline"), own)
        return None

    def _bare_lists(self) -> None:
        for section in ("monitoring", "equipment"):
            found = self.scope.several.get(section, ())
            if any(not each.statement.readable for each in found):
                self.unreadable.add(section)
            elif found:
                self.constants[section] = tuple(
                    item
                    for each in found
                    if isinstance(each.statement.body, n.Items)
                    for item in items_of(each.statement.body)
                )

    def _mode(self) -> None:
        mode = self.mode
        if mode is None:
            if "mode" in self.scope.by_key:
                self.unreadable |= {"mode", "mode pattern", "mode type", "mode support"}
            return
        self.constants["mode"] = Words(frozenset((mode.code,)))
        self.constants["mode pattern"] = Words(frozenset((mode.pattern,)))
        self.constants["mode type"] = Words(frozenset((mode.type,)) if mode.type else frozenset())
        self.constants["mode support"] = Words(frozenset((mode.support,)) if mode.support else frozenset())

    def _fallback(self) -> None:
        block = next((block for block in self.scope.blocks if block.section == "back-up"), None)
        if block is None:
            return
        self.constants["fallback block"] = "stated"
        delay = block.heading.delay if block.heading is not None else None
        if delay is not None:
            try:
                self.constants["fallback delay"] = read_amount(delay, None, (TIME,), "the delay")[0]
            except Unreadable:
                self.unreadable.add("fallback delay")

    # ---- derived terms and relations
    def _derive(self) -> None:
        known = self.constants.keys() | self.axes.keys() | self.formulas.keys() | self.unreadable
        for key, node in chosen_ways(frozenset(known & leaf_keys())):
            self.formulas.setdefault(key, node)

    def _keep(self, relations: Relations) -> None:
        """A kept term is what its relation makes of it, for everything allowed; as set it is what is written."""
        for definition in relations.definitions:
            if definition.node is None or definition.target is None or definition.circular:
                continue
            target = definition.target
            if target in self.formulas:
                self.written[target] = self.formulas[target]
            elif target in self.constants:
                value = self.constants[target]
                if isinstance(value, Fraction):
                    self.written[target] = nodes.Number(value, "", base_dimension(target))
            elif target in self.axes:
                self.written[target] = nodes.Name(target + AS_WRITTEN, target)
                self.axes[target + AS_WRITTEN] = replace(self.axes.pop(target), key=target + AS_WRITTEN)
            self.constants.pop(target, None)
            self.formulas[target] = definition.node


def base_dimension(key: str) -> Dimension:
    """The dimension of a stated term's values."""
    return vocabulary().terms[key].dimension


def _companion_keys(term: Term | None) -> set[str]:
    if term is None:
        return set()
    if term.kind == "window":
        return {f"target low {term.phrase}", f"target high {term.phrase}"}
    return {f"{term.key} {name}" for name in ("manner", "place", "basis", "reference", "pressure")}


def _chosen(term: Term, words: tuple[str, ...]) -> Words:
    stated = frozenset(words)
    silent = frozenset(word for slot in term.slots if not stated & set(slot.words) for word in slot.words)
    return Words(stated, silent)


def items_of(body: n.Items) -> tuple[Item, ...]:
    """A list's items with their quantities in base units."""
    found: list[Item] = []
    for item in body.items:
        amount: Fraction | None = None
        if item.amount is not None:
            unit = unit_of(item.amount.unit or "")
            amount = to_base(item.amount.parts[0].number, unit) if unit is not None else None
        found.append(Item(item.name, amount))
    return tuple(found)


def window_ends(quantity: Quantity) -> tuple[Fraction | None, Fraction | None]:
    """The ends of a target: one value is a window of no width."""
    points = quantity.points
    match quantity.kind:
        case "at most":
            return None, points[0]
        case "at least":
            return points[0], None
        case _:
            return min(points), max(points)


def axis_or_value(key: str, term: Term, quantity: Quantity) -> Axis | Fraction:
    """What is written as a fixed value, or as what it may be."""
    points = quantity.points
    grid = to_base(Fraction(1, 10**quantity.decimals), quantity.unit)
    set_value = points[0] if quantity.kind == "exact" else None
    if quantity.allowed is not None:
        low, high = quantity.allowed
        options: tuple[Fraction | Words, ...] = quantity.options
        return Axis(key, low, high, quantity.step, grid, low, options, set_value)
    if quantity.kind == "exact":
        return points[0]
    if quantity.kind == "one of":
        return Axis(key, min(points), max(points), None, grid, points[0], points, None)
    low, high = term.plausible or (Fraction(0), max(points))
    if quantity.kind == "at most":
        return Axis(key, min(low, points[0]), points[0], quantity.step, grid, points[0], (), None)
    if quantity.kind == "at least":
        return Axis(key, points[0], max(high, points[0]), quantity.step, grid, points[0], (), None)
    return Axis(key, points[0], points[1], quantity.step, grid, points[0], (), None)
