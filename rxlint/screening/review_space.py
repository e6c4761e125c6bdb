"""Everything that a document could say, as far as some conditions ask: terms over their plausible ranges.

The space is wider than what can be written: terms vary freely of each other. So what holds nowhere in it holds for no
plausible document; what holds somewhere in it holds for one as a rule, not always. Presence is tried in both ways, in
a bounded number of combinations, and a search says whether those were all.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final, Literal

from rxlint.expressions import (
    Axis,
    BoolType,
    Item,
    ListType,
    Node,
    NumberType,
    Space,
    Value,
    Words,
    WordsType,
    decide,
    nodes,
    walk,
)
from rxlint.model.facts import chosen_ways
from rxlint.model.names import derived_terms, stated_types
from rxlint.packs import Defined
from rxlint.screening.ruleset import every_read
from rxlint.units import TIME, Dimension, without_basis
from rxlint.vocabulary import Term, vocabulary

BUDGET: Final = 400
"""Boxes looked at in one space."""
_ALL_BOXES: Final = 1_500  # ... and in all spaces of one search
_MOST_ASKED: Final = 6  # terms whose presence is tried in every combination
_MOST_WORDS: Final = 6  # words of one term that are tried in every combination
_LONG_AGO: Final = Fraction(10 * 365 * 24 * 3600)  # seconds between two dates

Found = Literal["yes", "no", "can't be told"]


@dataclass(frozen=True, slots=True)
class Search:
    """Whether there is a point at which a condition holds, and one such point where there is."""

    found: Found
    example: Mapping[str, Value] | None = None


def can_hold(when: Node | None, condition: Node, defined: Mapping[str, Defined]) -> Search:
    """Whether ``condition`` can hold where ``when`` does, for anything that a document could plausibly say."""
    unsure = False
    left = _ALL_BOXES
    for space, is_whole in _spaces([condition, *([when] if when is not None else [])], defined):
        if left <= 0:
            return Search("can't be told")
        decision = decide(when, nodes.Not(condition), space, min(BUDGET, left))
        left -= decision.boxes
        if decision.example is not None:
            return Search("yes", decision.example)
        unsure = unsure or not is_whole or decision.outcome == "undecided"
    return Search("can't be told" if unsure else "no")


def leaves_of(roots: Sequence[Node], defined: Mapping[str, Defined]) -> frozenset[str]:
    """Every term that some conditions read and a document can state, through derived and defined ones."""
    return every_read(roots, defined) & stated_types().keys()


def _spaces(roots: Sequence[Node], defined: Mapping[str, Defined]) -> Iterator[tuple[Space, bool]]:
    """The spaces to look at, all present first; with each, whether the spaces leave nothing out."""
    reads = every_read(roots, defined)
    leaves = reads & stated_types().keys()
    axes, is_whole = _axes(leaves, roots, defined)
    for absent, is_all in _absences(reads, roots, defined):
        known = leaves - absent
        constants: dict[str, Value] = {
            key: "stated" for key in known if key not in axes and not isinstance(stated_types()[key], NumberType)
        }
        formulas = dict(chosen_ways(frozenset(known)))
        formulas |= {key: each.node for key, each in defined.items() if key in reads}
        used = tuple(axes[key] for key in sorted(known) if key in axes)
        yield Space(used, formulas, constants, frozenset(known)), is_whole and is_all


# ---- presence


def _absences(
    reads: frozenset[str], roots: Sequence[Node], defined: Mapping[str, Defined]
) -> Iterator[tuple[frozenset[str], bool]]:
    """Which terms are absent, in turn; with each, whether these are all that could make a difference."""
    asked = sorted(_asked(roots, defined) & reads)
    several = [derived_terms()[key] for key in sorted(reads) if key in derived_terms()]
    several = [term for term in several if len(term.ways) > 1]
    is_all = len(asked) <= _MOST_ASKED and not several
    for count in range(len(asked) + 1 if len(asked) <= _MOST_ASKED else 2):
        for chosen in itertools.combinations(asked, count):
            yield frozenset(chosen), is_all
    if len(asked) > _MOST_ASKED:
        for kept in ([], *([each] for each in asked)):
            yield frozenset(asked) - frozenset(kept), False
    for term in several:  # by each of its ways in turn: what the ways before it need is absent
        for index in range(1, len(term.ways)):
            needed = _stated(term.ways[index].keys)
            before = frozenset[str]().union(*(_stated(way.keys) for way in term.ways[:index]))
            yield before - needed, False


def _stated(keys: frozenset[str]) -> frozenset[str]:
    return keys & stated_types().keys()


def _asked(roots: Sequence[Node], defined: Mapping[str, Defined]) -> set[str]:
    return {
        each.name.key
        for node in _with_defined(roots, defined)
        for each in walk(node)
        if isinstance(each, nodes.Stated) and isinstance(each.name, nodes.Name)
    }


def _with_defined(roots: Sequence[Node], defined: Mapping[str, Defined]) -> list[Node]:
    """The conditions, with every term of packs and every way of a derived term that they read."""
    reads = every_read(roots, defined)
    ways = [way.node for key in reads if key in derived_terms() for way in derived_terms()[key].ways]
    return [*roots, *(each.node for key, each in defined.items() if key in reads), *ways]


# ---- values


def _axes(
    leaves: frozenset[str], roots: Sequence[Node], defined: Mapping[str, Defined]
) -> tuple[dict[str, Axis], bool]:
    """What each term may be; with it, whether every one may be all that makes a difference."""
    every = _with_defined(roots, defined)
    words, parts = _words_named(every), _parts_named(every)
    axes: dict[str, Axis] = {}
    is_whole = True
    for key in leaves:
        kind = stated_types()[key]
        if isinstance(kind, NumberType):
            axes[key] = _range_of(key, kind.dimension)
            continue
        options: tuple[Value, ...] = ()
        if isinstance(kind, BoolType):
            options = (True, False)
        elif isinstance(kind, WordsType):
            options, whole = _choices(key, kind, words.get(key, frozenset()))
            is_whole = is_whole and whole
        elif isinstance(kind, ListType):
            options, is_whole = _lists(kind, parts.get(key, frozenset())), False
        if options:
            axes[key] = Axis(key, options=options)
    return axes, is_whole


def _range_of(key: str, dimension: Dimension) -> Axis:
    term = _term_of(key)
    low, high = term.plausible if term is not None and term.plausible is not None else _range_by_dimension(dimension)
    unit = term.unit if term is not None else None
    return Axis(key, low, high, grid=(unit.factor if unit is not None else Fraction(1)) / 1000)


def _term_of(key: str) -> Term | None:
    """The term whose plausible range a key has: its own, or that of the target whose end it is."""
    terms = vocabulary().terms
    for name in (key, key.replace("target low ", "target ", 1), key.replace("target high ", "target ", 1)):
        if name in terms:
            return terms[name]
    return None


@cache
def _range_by_dimension(dimension: Dimension) -> tuple[Fraction, Fraction]:
    """For what has no range of its own: that of all terms which measure the same, and times between dates."""
    plain = without_basis(dimension)
    known = [
        term.plausible
        for term in vocabulary().terms.values()
        if term.plausible is not None and without_basis(term.dimension) == plain
    ]
    low = min((bounds[0] for bounds in known), default=Fraction(0))
    high = max((bounds[1] for bounds in known), default=Fraction(1000))
    return (min(low, -_LONG_AGO), max(high, _LONG_AGO)) if plain == TIME else (low, high)


def _words_named(roots: Sequence[Node]) -> dict[str, frozenset[str]]:
    """The words that conditions ask about, by term."""
    found: dict[str, frozenset[str]] = {}
    for root in roots:
        for node in walk(root):
            if isinstance(node, nodes.IsWord) and isinstance(node.name, nodes.Name):
                named = frozenset(word.text for word in node.words)
                found[node.name.key] = found.get(node.name.key, frozenset()) | named
    return found


def _choices(key: str, kind: WordsType, named: frozenset[str]) -> tuple[tuple[Value, ...], bool]:
    """What a term may say, as far as the words asked about go: these, and one that stands for all others."""
    term = vocabulary().terms.get(key)
    slots = [frozenset(slot.words) for slot in term.slots] if term is not None and term.slots else [kind.words]
    if term is not None and term.many:
        listed = sorted(named)
        sizes = range(1, len(listed) + 1) if len(listed) <= _MOST_WORDS else range(1, 3)
        combined = [frozenset(each) for size in sizes for each in itertools.combinations(listed, size)]
        others = sorted(kind.words - named)[:1]
        return tuple(Words(each) for each in [*combined, *map(_alone, others)]), len(listed) <= _MOST_WORDS
    ways = [[*sorted(slot & named), *sorted(slot - named)[:1], ""] for slot in slots]
    ways[0] = [word for word in ways[0] if word]  # the first slot is what the line says; the others may stay open
    found = []
    for chosen in itertools.product(*ways):
        silent = frozenset[str]().union(*(slot for slot, word in zip(slots, chosen, strict=True) if not word))
        found.append(Words(frozenset(word for word in chosen if word), silent))
    return tuple(found), True


def _alone(word: str) -> frozenset[str]:
    return frozenset((word,))


def _parts_named(roots: Sequence[Node]) -> dict[str, frozenset[str]]:
    """The items that conditions ask about, by list; of a group, its first two stand for all."""
    found: dict[str, set[str]] = {}
    for root in roots:
        for node in walk(root):
            parts: tuple[nodes.Part, ...] = ()
            if isinstance(node, nodes.Has):
                parts = node.parts
            elif isinstance(node, nodes.Before):
                parts = (node.first, node.second)
            elif isinstance(node, nodes.Tally):
                parts = (node.part,)
            if parts and isinstance(node, nodes.Has | nodes.Before | nodes.Tally) and isinstance(node.list, nodes.Name):
                found.setdefault(node.list.key, set()).update(
                    item for part in parts for item in sorted(part.members or {part.text})[:2]
                )
    return {key: frozenset(items) for key, items in found.items()}


def _lists(kind: ListType, named: frozenset[str]) -> tuple[Value, ...]:
    """Lists of up to three of the items asked about, in every order, and of one twice; longer ones are not tried."""
    items = sorted(named & kind.items)[:7]
    other = sorted(kind.items - named)[:1]
    amount = Fraction(30)
    orders = [each for size in range(min(len(items), 3) + 1) for each in itertools.permutations(items, size)]
    orders += [(each, each) for each in items]
    return tuple(tuple(Item(name, amount) for name in (*order, *other)) for order in orders)
