"""The phrases of one set of names, arranged by the classes that the grammar declares."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final
from weakref import WeakKeyDictionary

from rxlint.expressions.names import Function, ListType, Names, NumberType, Type, WordsType
from rxlint.units import ALIASES, UNITS
from rxlint.vocabulary.phrases import PhraseTrie

_BASIS_ENDING: Final = " weight"
_COMMON_BASES: Final = ("predicted weight", "measured weight", "ideal weight")
_SPACES: Final = re.compile(r"\s+")


class Spelled(str):
    """A spelling that remembers the key it stands for."""

    __slots__ = ("key",)

    key: str

    def __new__(cls, spelling: str, key: str) -> Spelled:
        """The spelling, with its key beside it."""
        made = super().__new__(cls, spelling)
        made.key = key
        return made


@dataclass(frozen=True, slots=True)
class Lexicon:
    """What the reader needs of some names; `classes` are the tries that the lexer takes."""

    classes: dict[str, PhraseTrie]
    functions: dict[str, Function]
    types: dict[str, Type]
    words: tuple[str, ...]
    items: tuple[str, ...]
    bases: tuple[str, ...]


_KNOWN: WeakKeyDictionary[Names, Lexicon] = WeakKeyDictionary()


def lexicon_of(names: Names) -> Lexicon:
    """The lexicon of these names, made once for each object that can be remembered."""
    try:
        known = _KNOWN.get(names)
        if known is None:
            known = _KNOWN[names] = _build(names)
        return known
    except TypeError:  # it cannot be hashed or weakly referred to
        return _build(names)


def _build(names: Names) -> Lexicon:
    spellings = {_SPACES.sub(" ", spelling.strip()): key for spelling, key in names.spellings().items()}
    types = {key: names.type_of(key) for key in sorted(set(spellings.values()))}
    functions = dict(names.functions())
    words = _words(types)
    items = _items(types)
    bases = _bases(types)
    classes = {
        "NAME": PhraseTrie({spelling: Spelled(spelling, key) for spelling, key in spellings.items()}),
        "FUNCTION": _function_trie(tuple(functions)),
        "WORD": _trie(words),
        "ITEM": _trie(items),
        "UNIT": _unit_trie(),
        "BASIS": _basis_trie(bases),
    }
    return Lexicon(classes, functions, types, words, items, bases)


# A pack's every new term makes a new table of names; only the names differ then, the rest is shared.
@lru_cache(maxsize=64)
def _trie(phrases: tuple[str, ...]) -> PhraseTrie:
    return PhraseTrie(phrases)


@lru_cache(maxsize=64)
def _function_trie(functions: tuple[str, ...]) -> PhraseTrie:
    return PhraseTrie({f"{name} of": Spelled(f"{name} of", name) for name in functions})


@lru_cache(maxsize=64)
def _basis_trie(bases: tuple[str, ...]) -> PhraseTrie:
    return PhraseTrie({f"of {basis}": basis for basis in bases})


@cache
def _unit_trie() -> PhraseTrie:
    return PhraseTrie({symbol: symbol for symbol in UNITS} | dict(ALIASES), exact=True)


def _words(types: dict[str, Type]) -> tuple[str, ...]:
    return tuple(sorted({word for kind in types.values() if isinstance(kind, WordsType) for word in kind.words}))


def _items(types: dict[str, Type]) -> tuple[str, ...]:
    lists = [kind for kind in types.values() if isinstance(kind, ListType)]
    return tuple(sorted({part for kind in lists for part in (*kind.items, *kind.groups)}))


def _bases(types: dict[str, Type]) -> tuple[str, ...]:
    used = {
        base
        for kind in types.values()
        if isinstance(kind, NumberType)
        for base, _ in kind.dimension.exponents
        if base.endswith(_BASIS_ENDING)
    }
    return (*_COMMON_BASES, *sorted(used.difference(_COMMON_BASES)))
