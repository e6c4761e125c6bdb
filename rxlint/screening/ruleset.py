"""Rules of several packs made ready to run: conditions compiled over one table of slots, and what each rule reads."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache, cached_property
from typing import Any, Final

from rxlint.expressions import (
    CLOSE,
    UNREADABLE,
    CompiledCondition,
    CompiledNumber,
    Missing,
    Node,
    NumberType,
    compile_condition,
    compile_number,
    keys_in,
    nodes,
    walk,
)
from rxlint.extension.discover import Failure
from rxlint.model.facts import Facts
from rxlint.model.names import NameTable, base_names, derived_terms
from rxlint.packs import Defined, Origin, Pack, Rule
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.profile import Profile
from rxlint.packs.stack import PolicyUse, Stack

_PATIENCE: Final = 1  # to work something out exactly, once, takes less time than to compile it


@dataclass(frozen=True)
class Prepared:
    """A rule with its compiled conditions, and the keys it reads through every way they may be found.

    ``names_used`` are the names in its own conditions; ``defined`` the terms that packs define.
    """

    rule: Rule
    when: CompiledCondition | None
    require: CompiledCondition | None
    reads: frozenset[str]
    uses_readings: bool
    names_used: frozenset[str]
    names: NameTable
    defined: Mapping[str, Defined] = field(repr=False, compare=False)

    @cached_property
    def asks_presence(self) -> frozenset[str]:
        """The keys of which its conditions ask whether they are stated."""
        return _presence(_conditions(self.rule), self.defined)

    @cached_property
    def asks_when(self) -> frozenset[str]:
        """Those that ``when`` alone asks about."""
        return _presence([self.rule.when] if self.rule.when is not None else [], self.defined)


@dataclass(frozen=True)
class RuleSet:
    """All rules of a run. ``slots`` gives each key a place in the list of values that compiled conditions read."""

    packs: tuple[Pack, ...]
    rules: tuple[Prepared, ...]
    found_by: Mapping[str, tuple[Rule, ...]]
    defined: Mapping[str, Defined]
    slots: Mapping[str, int]
    ways: Mapping[int, CompiledNumber | CompiledCondition]
    order: tuple[str, ...]
    never_accepted: Mapping[str, str] = field(default_factory=dict)  # rules or areas, each with who says so
    policies: tuple[PolicyUse, ...] = ()
    must_check: Mapping[str, Origin] = field(default_factory=dict)  # by rule, who asks that it be checked
    origins: Mapping[str, tuple[Origin, ...]] = field(default_factory=dict)  # by rule, what policies made of it
    python: tuple[Rule, ...] = ()  # rules of extensions
    unloaded: tuple[Failure, ...] = ()  # extensions that were asked for and could not be loaded
    profiles: tuple[Profile, ...] = ()  # of the ventilators of the site
    changed: Mapping[str, Origin] = field(default_factory=dict)  # by the key of a term, the policy that changed it
    before: Mapping[str, Defined] = field(default_factory=dict)  # and the term as it was
    plans: dict[Hashable, object] = field(default_factory=dict, repr=False, compare=False)  # by shape; see plans.py
    steps: dict[Hashable, object] = field(default_factory=dict, repr=False, compare=False)  # that plans share

    @cached_property
    def all_rules(self) -> tuple[Rule, ...]:
        """Every rule, in the order of the packs."""
        return tuple(rule for pack in self.packs for rule in pack.rules)

    @cached_property
    def yields(self) -> Mapping[str, tuple[str, ...]]:
        """By rule, those that it gives way to."""
        return {rule.id: rule.yields_to for rule in self.all_rules if rule.yields_to}

    @cached_property
    def of_several(self) -> frozenset[str]:
        """The rules that ask the same of several terms, each requirement at its own; one of whole sections is none."""
        return frozenset(
            rule.id
            for rule in self.all_rules
            if len({part.at[:1] for part in rule.parts}) > 1
            and not any(term.startswith("section ") for part in rule.parts for term in part.at)
        )

    @cached_property
    def defined_nodes(self) -> Mapping[str, Node]:
        """The terms that packs define, as the model takes them."""
        return {key: each.node for key, each in self.defined.items()}


class ConflictError(ValueError):
    """Two packs can't be used together; the message says why."""


def prepare(packs: Sequence[Pack]) -> RuleSet:
    """Compile the rules of some packs. Raises ConflictError where an id or a defined term stands in two of them."""
    defined: dict[str, Defined] = {}
    seen: dict[str, str] = {}
    for pack in packs:
        for key, each in pack.defined.items():
            if key in defined and defined[key].node != each.node:
                raise ConflictError(f"{pack.path}: {key} is defined by another pack too")
            defined[key] = each
        for rule in pack.rules:
            if rule.id in seen:
                raise ConflictError(
                    f"{pack.path}:{rule.spot.line}:{rule.spot.column}: {rule.id} is a rule of {seen[rule.id]} already"
                )
            seen[rule.id] = pack.path
    _refuse_silence(packs)
    slots = {key: index for index, key in enumerate((*base_names().types, *defined))}
    rules = tuple(
        _prepared(rule, pack, slots, defined)
        for pack in packs
        for whole in pack.rules
        for rule in (whole.parts or (whole,))
        if rule.require is not None
    )
    found_by: dict[str, tuple[Rule, ...]] = {}
    for pack in packs:
        for rule in pack.rules:
            for event in rule.found_by:
                found_by[event] = (*found_by.get(event, ()), rule)
    return RuleSet(
        tuple(packs),
        rules,
        found_by,
        defined,
        slots,
        _ways(slots, packs),
        tuple(rule.id for pack in packs for rule in pack.rules),
        python=tuple(rule for pack in packs for rule in pack.rules if rule.python is not None),
    )


def prepare_stack(stack: Stack) -> RuleSet:
    """Compile the rules of packs under their policies. Raises ConflictError as ``prepare``."""
    rules = prepare(stack.packs)
    if not stack.policies:
        return rules
    origins = {rule.id: rule.origins for rule in rules.all_rules if rule.origins}
    for each in rules.rules if stack.changed else ():
        reads = (origin for key, origin in stack.changed.items() if key in each.reads)
        told = dict.fromkeys((*origins.get(each.rule.id, ()), *reads))
        if told:
            origins[each.rule.id] = tuple(told)
    return replace(
        rules,
        never_accepted=stack.never_accepted,
        policies=stack.policies,
        must_check=stack.must_check,
        origins=origins,
        changed=stack.changed,
        before=stack.before,
    )


def _refuse_silence(packs: Sequence[Pack]) -> None:
    """Rules that give way to each other would both be silent. Raises ConflictError."""
    rules = {rule.id: (pack, rule) for pack in packs for rule in pack.rules}
    for start, (pack, rule) in rules.items():
        seen: set[str] = set()
        waiting = list(rule.yields_to)
        while waiting:
            other = waiting.pop()
            if other == start:
                place = f"{pack.path}:{rule.spot.line}:{rule.spot.column}"
                raise ConflictError(f"{place}: {start} gives way to a rule that gives way to it: both would be silent")
            if other not in seen and other in rules:
                seen.add(other)
                waiting += rules[other][1].yields_to


@cache
def builtin_rules() -> RuleSet:
    """The built-in packs, ready to run. A fault in one is a fault of the build: raises ValueError."""
    return prepare(builtin_packs())


def _prepared(rule: Rule, pack: Pack, slots: Mapping[str, int], defined: Mapping[str, Defined]) -> Prepared:
    assert rule.require is not None
    conditions = _conditions(rule)
    reads = every_read(conditions, defined)
    return Prepared(
        rule,
        compile_condition(rule.when, slots, _PATIENCE) if rule.when is not None else None,
        compile_condition(rule.require, slots, _PATIENCE),
        reads,
        any(key.startswith("reading ") for key in reads),
        frozenset().union(*(keys_in(node) for node in conditions)),
        pack.names,
        defined,
    )


def _conditions(rule: Rule) -> list[Node]:
    return [each for each in (rule.require, rule.when) if each is not None]


def _presence(roots: Sequence[Node], defined: Mapping[str, Defined]) -> frozenset[str]:
    """The keys of which the nodes ask whether they are stated, also within terms that packs define."""
    found: set[str] = set()
    seen: set[str] = set()
    waiting = list(roots)
    while waiting:
        for each in walk(waiting.pop()):
            if isinstance(each, nodes.Stated) and isinstance(each.name, nodes.Name):
                found.add(each.name.key)
            elif isinstance(each, nodes.Name) and each.key in defined and each.key not in seen:
                seen.add(each.key)
                waiting.append(defined[each.key].node)
    return frozenset(found)


def every_read(roots: Sequence[Node], defined: Mapping[str, Defined]) -> frozenset[str]:
    """Every key that the nodes may read, by any way of any derived term."""
    seen: set[str] = set()
    waiting = [key for node in roots for key in keys_in(node)]
    while waiting:
        key = waiting.pop()
        if key in seen:
            continue
        seen.add(key)
        if key in derived_terms():
            waiting += [each for way in derived_terms()[key].ways for each in keys_in(way.node)]
        elif key in defined:
            waiting += list(keys_in(defined[key].node))
    return frozenset(seen)


def _ways(slots: Mapping[str, int], packs: Sequence[Pack]) -> dict[int, CompiledNumber | CompiledCondition]:
    """Compiled ways of derived and defined terms by the identity of their nodes, so that a scope finds its code."""
    found: dict[int, CompiledNumber | CompiledCondition] = {}
    for derived in derived_terms().values():
        for way in derived.ways:
            found[id(way.node)] = compile_number(way.node, slots, _PATIENCE)
    for pack in packs:
        for key, each in pack.defined.items():
            numeric = isinstance(pack.names.type_of(key), NumberType)
            made = compile_number if numeric else compile_condition
            found[id(each.node)] = made(each.node, slots, _PATIENCE)
    return found


def in_floats(value: Any) -> Any:
    """A number as a float; None for one that no float holds: the exact evaluator asks. Others as they are."""
    if not isinstance(value, Fraction):
        return value
    try:
        return float(value)
    except OverflowError:
        return None


def slot_values(facts: Facts, rules: RuleSet, needed: Iterable[str] | None = None) -> list[Any]:
    """The values as set by slot: floats, words, items; None where missing, UNREADABLE where stated without a value.

    Of formulas those that are ``needed``, in this order; all of them where None is given.
    """
    values: list[Any] = [None] * len(rules.slots)
    slots = rules.slots
    for key in facts.scope.by_key:
        if key in slots:
            values[slots[key]] = UNREADABLE
    for key in (*facts.unreadable, *facts.off):
        if key in slots:
            values[slots[key]] = UNREADABLE
    for key, value in facts.constants.items():
        if key in slots:
            values[slots[key]] = in_floats(value)
    for key, axis in facts.axes.items():
        if key in slots:
            as_set = axis.as_set
            values[slots[key]] = (
                UNREADABLE if as_set is None else float(as_set) if isinstance(as_set, Fraction) else as_set
            )
    for key in facts.formulas if needed is None else needed:  # in the order in which they can be found
        if key in slots:
            values[slots[key]] = _formula(key, facts.formulas[key], facts, rules, values)
    return values


def _formula(key: str, node: Node, facts: Facts, rules: RuleSet, values: list[Any]) -> Any:
    known = rules.ways.get(id(node))
    if known is not None and key not in facts.written:
        result = known.run(values)
        if result is not CLOSE:
            return result
    value = facts.as_set.value(key)
    if isinstance(value, Missing):
        return UNREADABLE if facts.is_stated(key) else None
    return in_floats(value)
