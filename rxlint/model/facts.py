"""A scope's statements as facts: constants, axes (what may vary) and formulas over them.

A pressure written above PEEP, or a value per kilogram, is a formula over what is written; only what is written varies.
"""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from typing import Final

from rxlint.expressions import Axis, Node, Value, Words, keys_in, nodes
from rxlint.model.bands import Band, bands_of, table_keys
from rxlint.model.context import Context, context_of
from rxlint.model.names import AS_WRITTEN, base_names, derived_terms
from rxlint.model.quantities import (
    axis_or_value,
    base_dimension,
    chosen_words,
    companion_keys,
    has_state,
    is_other,
    items_of,
    other_key,
    window_ends,
)
from rxlint.model.relations import Relations, read_relations
from rxlint.model.stated import Scope, Stated, scopes_of
from rxlint.model.views import Facts, SetEnvironment, home_key, lacking, leaf_keys
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity, Unreadable, read_amount
from rxlint.notation.tree import Document
from rxlint.units import TIME
from rxlint.vocabulary import Mode, Term, vocabulary

__all__ = ["AS_WRITTEN", "Facts", "SetEnvironment", "at_values", "facts_of", "home_key", "lacking", "weight_of"]

_WEIGHTS: Final = {"predicted weight": "predicted weight", "measured weight": "patient weight"}


def facts_of(
    document: Document, defined: Mapping[str, Node] | None = None, today: datetime.date | None = None
) -> Iterator[Facts]:
    """The facts of each period, set of readings, band of its tables and alternative mode.

    ``defined`` are terms that packs define; ``today`` is the day on which dates are judged (None: they are not).
    """
    for scope in scopes_of(document):
        context = context_of(document, scope, today)
        for band, mode in itertools.product(bands_of(scope), _modes(scope)):
            yield _Builder(document, scope, band, mode, defined or {}, context).build()


def at_values(facts: Facts, values: Mapping[str, Fraction]) -> Facts | None:
    """The facts with every table read again where its key has come to another value; None where no row is for that."""
    keys = table_keys(facts.scope)
    moved = {key: value for key, value in values.items() if key in keys}
    here = facts.band
    if not moved or here is None:
        return facts
    kept = {key: axis for key, axis in here.keys.items() if key not in moved}
    for band in bands_of(facts.scope, moved):
        if band is not None and {key: axis for key, axis in band.keys.items() if key not in moved} == kept:
            if band.rows == here.rows:
                return facts
            return _Builder(facts.document, facts.scope, band, facts.mode, facts.defined, facts.context).build()
    return None


def _modes(scope: Scope) -> list[Mode | None]:
    stated = scope.by_key.get("mode")
    if stated is None or not isinstance(stated.statement.body, n.ModeChoice) or "mode" in scope.repeated:
        return [None]
    return [vocabulary().modes[code.text] for code in stated.statement.body.codes]


def weight_of(scope: Scope, basis: str) -> str:
    """The key of the weight that a value per kilogram is stated by."""
    key = _WEIGHTS.get(basis, basis)
    if key == basis and key != "predicted weight":
        manner = key.removesuffix(" weight")
        weight = scope.by_key.get("patient weight")
        quantity = weight.statement.values.get("") if weight is not None and weight.statement.readable else None
        if quantity is not None and quantity.manner == manner:
            return "patient weight"
    return key


@lru_cache(maxsize=4_096)
def chosen_ways(known: frozenset[str]) -> tuple[tuple[str, Node], ...]:
    """The derived terms that can be found from known keys, in an order to compute them.

    Each is found by the first of its ways whose terms are all there.
    """
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
        self,
        document: Document,
        scope: Scope,
        band: Band | None,
        mode: Mode | None,
        defined: Mapping[str, Node],
        context: Context,
    ) -> None:
        self.context = context
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
        if self.document.kind in ("prescription", "template"):
            self.constants["document kind"] = Words(frozenset((self.document.kind,)))
        for key, stated in self.scope.by_key.items():
            if key in self.scope.repeated or not stated.statement.readable:
                self.unreadable.add(key)
                self.unreadable |= companion_keys(stated.statement.term)
            else:
                self._take(key, stated)
        self.constants |= self.context.values
        self.unreadable |= self.context.unreadable
        self._bare_lists()
        self._mode()
        self._fallback()
        if self.band is not None:
            for key, axis in self.band.keys.items():
                self.axes[key] = axis
                self.constants.pop(key, None)
        relations = read_relations(self.scope, base_names())
        own = set(self.formulas)
        self._derive({each.target for each in relations.definitions if each.target is not None and not each.circular})
        # what the document has stands first, and holds
        self.formulas = {**self.formulas, **self.defined, **self.formulas}
        relations = self._without_rings(relations)
        self._keep(relations)
        own |= {each.target for each in relations.definitions if each.target is not None}
        return Facts(
            self.document, self.scope, self.band, self.mode, self.constants, self.axes, self.formulas, self.written,
            frozenset(self.unreadable), frozenset(self.off), relations, self.defined, self.context,
            frozenset(own & self.formulas.keys()),
        )  # fmt: skip

    # ---- statements
    def _take(self, key: str, stated: Stated) -> None:
        term = stated.statement.term
        body = stated.statement.body
        if isinstance(body, n.Measure | n.TableHead) and term is not None:
            rows = self.band.rows if self.band is not None else {}
            quantity = stated.statement.values[""] if isinstance(body, n.Measure) else rows.get(key)
            if quantity is not None:
                self._measure(key, term, quantity)
            else:
                self.unreadable.add(key)
        elif isinstance(body, n.Words):
            self._words(key, term, body)
        elif isinstance(body, n.State):
            self._state(key, term, body)
        else:
            self._fixed(key, stated)
        if has_state(term):
            is_off = isinstance(body, n.State) and body.word == "off"
            self.constants[f"{key} state"] = Words(frozenset(("off" if is_off else "on",)))

    def _state(self, key: str, term: Term | None, body: n.State) -> None:
        if term is not None and term.form == "state":
            self.constants[key] = Words(frozenset((body.word,)))
        elif body.word == "off":
            self.off.add(key)

    def _fixed(self, key: str, stated: Stated) -> None:
        """Values that no one moves; text, dates and sentences are stated and have no value of their own."""
        values = stated.statement.values
        match stated.statement.body:
            case n.After():
                self.constants[key] = values[""].points[0]
            case n.Items() as body:
                self.constants[key] = items_of(body)
            case n.Part() as body:
                self.constants[key] = body.number
            case n.Cylinder() if "contents" in values:
                self.constants[key] = values["contents"].points[0]
            case n.PreOxygenation():
                self.constants[key] = values[""].points[0]
                if "duration" in values:
                    self.constants[f"{key} duration"] = values["duration"].points[0]

    def _words(self, key: str, term: Term | None, body: n.Words) -> None:
        if term is None:
            return
        options = tuple(chosen_words(term, tuple(word.text for word in words)) for words in body.alternatives)
        if len(options) == 1:
            self.constants[key] = options[0]
            for slot in term.slots[1:]:  # whether a part is stated at all: "vented" or "non-vented" of a mask
                chosen = options[0].stated & set(slot.words)
                if chosen:
                    self.constants[slot.name] = Words(chosen)
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
            self._window(term, quantity)
            return
        if is_other(term, quantity):  # it says something else: a share of a leak is no flow
            self.constants[other_key(term, quantity.unit)] = quantity.points[0]
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

    def _window(self, term: Term, quantity: Quantity) -> None:
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
        key = weight_of(self.scope, quantity.basis)
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
    def _derive(self, kept: set[str]) -> None:
        known = self.constants.keys() | self.axes.keys() | self.formulas.keys() | self.unreadable | kept
        for key, node in chosen_ways(frozenset(known & leaf_keys())):
            self.formulas.setdefault(key, node)

    def _without_rings(self, relations: Relations) -> Relations:
        """The relations, those marked that come back to their own term by way of derived terms."""
        formulas = {**self.formulas, **{each.target: each.node for each in relations.definitions if each.target}}
        marked = tuple(
            replace(each, circular=True)
            if each.node is not None and _reaches(each.node, each.target, formulas)
            else each
            for each in relations.definitions
        )
        return replace(relations, definitions=marked)

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


def _reaches(node: Node, target: str | None, formulas: Mapping[str, Node | None]) -> bool:
    """Whether a node comes to read a term, through formulas."""
    seen: set[str] = set()
    waiting = list(keys_in(node))
    while waiting:
        key = waiting.pop()
        if key == target:
            return True
        formula = formulas.get(key)
        if key not in seen and formula is not None:
            waiting += keys_in(formula)
        seen.add(key)
    return False
