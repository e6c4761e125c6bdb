"""The phrases of one set of names, arranged by the classes that the grammar declares."""

from __future__ import annotations

import re
from dataclasses import dataclass
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
    units = {symbol: symbol for symbol in UNITS} | dict(ALIASES)
    classes = {
        "NAME": PhraseTrie({spelling: Spelled(spelling, key) for spelling, key in spellings.items()}),
        "FUNCTION": PhraseTrie({f"{name} of": Spelled(f"{name} of", name) for name in functions}),
        "WORD": PhraseTrie(words),
        "ITEM": PhraseTrie(items),
        "UNIT": PhraseTrie(units, exact=True),
        "BASIS": PhraseTrie({f"of {basis}": basis for basis in bases}),
    }
    return Lexicon(classes, functions, types, words, items, bases)


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
