"""What rules may name: the vocabulary's terms by key, their companions, derived terms, the functions of physiology."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, partial
from typing import Final

from rxlint.expressions import (
    Function,
    ListType,
    Node,
    NumberType,
    TextType,
    Type,
    WordsType,
    keys_in,
    read_condition,
    read_number,
)
from rxlint.model.context import context_types
from rxlint.model.derived import DERIVED, Derived
from rxlint.model.quantities import has_state, other_key
from rxlint.physiology import FORMULAS, Formula, enclose
from rxlint.units import Dimension, Unit, find_unit, with_basis
from rxlint.vocabulary import Term, vocabulary

_ON_OFF: Final = frozenset({"on", "off", "yes", "no"})


AS_WRITTEN: Final = " as written"
"""Ends the key of a value as it stands in the text, where the term's own value is computed from it."""


@dataclass(frozen=True, eq=False)  # told apart by identity: what was read with one table is remembered for it
class NameTable:
    """A fixed table of names; packs make a larger one with their own defined terms."""

    types: Mapping[str, Type]
    calls: Mapping[str, Function]
    own: Mapping[str, str] = field(default_factory=dict)  # names of a pack's own, and the keys they stand for

    def spellings(self) -> Mapping[str, str]:
        """Each name with its key: terms are their own keys, a pack's terms are told apart from other packs'."""
        keys = frozenset(self.own.values())
        return {key: key for key in self.types if key not in keys} | dict(self.own)

    def type_of(self, key: str) -> Type:
        """The type of a name; what is written of a term is a number of its own, whatever it is per or above."""
        return self.types[key.removesuffix(AS_WRITTEN)]

    def functions(self) -> Mapping[str, Function]:
        """The functions by the name they are called with."""
        return self.calls

    def with_own(self, pack: str, name: str, kind: Type) -> NameTable:
        """The table with one more term, which a pack defines for itself."""
        key = own_key(pack, name)
        return NameTable({**self.types, key: kind}, self.calls, {**self.own, name: key})


def own_key(pack: str, name: str) -> str:
    """The key of a term that a pack defines: two packs may use one name for two things."""
    return f"{pack}: {name}"


def shown_key(key: str) -> str:
    """A key as people know it."""
    return key.rpartition(": ")[2]


@dataclass(frozen=True, slots=True)
class WayNode:
    """A way of a derived term, read: its node, the text and the source to show."""

    node: Node
    text: str
    source: str
    keys: frozenset[str]


@dataclass(frozen=True, slots=True)
class DerivedTerm:
    """A derived term with its ways read and typed."""

    key: str
    unit: Unit | None
    means: str
    ways: tuple[WayNode, ...]
    plain: bool = False


@cache
def stated_types() -> Mapping[str, Type]:
    """The types of everything a document can state."""
    words = vocabulary()
    types: dict[str, Type] = {}
    for term in words.terms.values():
        types |= _types_of(term)
    for name, items in words.items.items():
        if name in words.sections:
            types[name] = ListType(frozenset(items.members), items.groups, _amounts(items.units, items.members))
    types["mode pattern"] = WordsType(
        frozenset(words.mode_patterns) | {mode.code for mode in words.modes.values() if not mode.checked}
    )
    types["mode type"] = types["mode support"] = WordsType(frozenset(words.mode_types))
    types["fallback block"] = TextType()
    types["fallback delay"] = NumberType(_time())
    types |= context_types()
    types["document kind"] = WordsType(frozenset({"prescription", "template"}))
    return types


def _time() -> Dimension:
    unit = find_unit("s")
    assert unit is not None
    return unit.dimension


def _amounts(units: tuple[Unit, ...], members: tuple[str, ...]) -> Mapping[str, Dimension]:
    # most parts have a volume (their dead space); tubing alone is told by its length
    return dict.fromkeys(members, units[0].dimension) if units else {}


def _types_of(term: Term) -> dict[str, Type]:
    key = term.key
    if term.kind == "window":
        number = NumberType(term.dimension)
        ends: dict[str, Type] = {f"target low {term.phrase}": number, f"target high {term.phrase}": number}
        return ends | _companions(term)
    match term.form:
        case "quantity" | "fraction" | "age" | "number" | "ratio" | "delay" | "count" | "pre-oxygenation":
            found: dict[str, Type] = {key: NumberType(term.dimension)}
            return found | _companions(term)
        case "cylinder":
            return {key: NumberType(term.dimension)}
        case "words":
            parts: dict[str, Type] = {slot.name: WordsType(frozenset(slot.words)) for slot in term.slots[1:]}
            return {key: WordsType(frozenset(word for slot in term.slots for word in slot.words)), **parts}
        case "mode":
            return {key: WordsType(frozenset(vocabulary().modes))}
        case "state":
            return {key: WordsType(_ON_OFF)}
        case "list":
            items = vocabulary().items[term.items or "circuit"]
            return {key: ListType(frozenset(items.members), items.groups, _amounts(items.units, items.members))}
        case _:
            return {key: TextType()}


def _companions(term: Term) -> dict[str, Type]:
    """Names for what is stated beside a value: its manner, place, basis, the pressure it holds at, its duration."""
    found: dict[str, Type] = {}
    if term.manner:
        found[f"{term.key} manner"] = WordsType(frozenset(term.manner))
    if term.places:
        found[f"{term.key} place"] = WordsType(frozenset(term.places))
    if term.per_weight:
        found[f"{term.key} basis"] = WordsType(frozenset(vocabulary().bases))
    if term.reference == "stated":
        found[f"{term.key} reference"] = WordsType(frozenset({"ambient", "PEEP"}))
    if term.at is not None:
        found[f"{term.key} pressure"] = NumberType(term.at.dimension)
    for unit in term.units[1:]:
        found[other_key(term, unit)] = NumberType(unit.dimension)
    if term.form == "pre-oxygenation":
        found[f"{term.key} duration"] = NumberType(_time())
    if has_state(term):
        found[f"{term.key} state"] = WordsType(frozenset({"on", "off"}))
    return found


def _function(formula: Formula) -> Function:
    dimensions = tuple(dimension for _, dimension in formula.arguments)
    return Function(formula.name, dimensions, formula.result, formula.function, partial(enclose, formula))


@cache
def functions() -> Mapping[str, Function]:
    """The functions of physiology, as expressions call them."""
    return {name: _function(formula) for name, formula in FORMULAS.items()}


@cache
def base_names() -> NameTable:
    """The names of every document: stated, and derived by the project's own ways."""
    return NameTable({**stated_types(), **{each.key: _derived_type(each) for each in DERIVED}}, functions())


def _derived_type(derived: Derived) -> Type:
    unit = find_unit(derived.unit) if derived.unit else None
    dimension = unit.dimension if unit is not None else Dimension()
    return NumberType(with_basis(dimension, derived.basis) if derived.basis else dimension)


@cache
def derived_terms() -> Mapping[str, DerivedTerm]:
    """The derived terms with their ways read, as they were kept or else read anew.

    A fault in one is an error of the build: raises ValueError.
    """
    from rxlint.model.compiled import keep_terms, read_terms

    kept = read_terms()
    if kept is not None:
        return kept
    terms = load_terms()
    keep_terms(terms)
    return terms


def load_terms() -> Mapping[str, DerivedTerm]:
    """The derived terms, read from their texts. Raises ValueError as ``derived_terms``."""
    names = base_names()
    found: dict[str, DerivedTerm] = {}
    for each in DERIVED:
        read = [(read_expression(way.text, names, names.type_of(each.key)), way) for way in each.ways]
        ways = tuple(WayNode(node, way.text, way.source, keys_in(node)) for node, way in read)
        found[each.key] = DerivedTerm(
            each.key, find_unit(each.unit) if each.unit else None, each.means, ways, each.plain
        )
    return found


def read_expression(text: str, names: NameTable, wanted: Type) -> Node:
    """Read and type an expression of the project's own. Raises ValueError where it is at fault."""
    read = read_number(text, names, wanted.dimension) if isinstance(wanted, NumberType) else read_condition(text, names)
    if read.node is None:
        raise ValueError(f"{text}: {read.errors[0].message}")
    return read.node
