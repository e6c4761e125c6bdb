"""The shapes of what the vocabulary holds: terms, their slots, lists of items and modes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from rxlint.units import Dimension, Unit, with_basis
from rxlint.vocabulary.phrases import PhraseTrie

Kind = Literal["value", "window", "limit", "measured", "fact"]


@dataclass(frozen=True, slots=True)
class Slot:
    """One place in a words value, with the words that may stand in it."""

    name: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PerKilogram:
    """A term's values per kilogram: their unit, and what they can be, in base units."""

    unit: Unit
    plausible: tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Code:
    """What an open vocabulary calls a term: the vocabulary's name here and its URI, the code, its own name for it."""

    system: str
    uri: str
    code: str
    display: str | None = None


@dataclass(frozen=True, slots=True)
class Term:
    """One term of a section.

    ``key`` is its name in expressions (qualified by section where it is not a setting), ``phrase`` as it is written.
    ``units`` are the units of each dimension it may be written in, the standard one first; ``plausible`` is in base
    units; ``decimals`` is None where a trailing zero is no hazard.
    """

    key: str
    phrase: str
    section: str
    kind: Kind
    form: str
    help: str
    also: tuple[str, ...] = ()
    units: tuple[Unit, ...] = ()
    per_kilogram: PerKilogram | None = None  # where it may be written per kilogram of a weight
    basis: str | None = None
    decimals: int | None = None
    plausible: tuple[Fraction, Fraction] | None = None
    reference: str | None = None
    slots: tuple[Slot, ...] = ()
    many: bool = False
    manner: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    items: str | None = None
    at: Unit | None = None
    codes: tuple[Code, ...] = ()

    @property
    def per_weight(self) -> bool:
        """Whether it may be written per kilogram of a weight."""
        return self.per_kilogram is not None

    @property
    def unit(self) -> Unit | None:
        """The standard unit, in which derived values are told; None for a plain number."""
        return self.units[0] if self.units else None

    @property
    def dimension(self) -> Dimension:
        """The dimension of its values, with the basis of its weight where it is one."""
        if not self.units:
            return Dimension()
        dimension = self.units[0].dimension
        return with_basis(dimension, self.basis) if self.basis else dimension


@dataclass(frozen=True, slots=True)
class Section:
    """A section: what it is for, how its terms are called in expressions, and what a line without a term is."""

    name: str
    help: str
    qualifier: str
    bare: str | None
    periods: bool
    terms: Mapping[str, Term]
    trie: PhraseTrie

    def key_of(self, phrase: str) -> str:
        """What a term of the section is called in expressions."""
        return f"{self.qualifier} {phrase}".strip()


@dataclass(frozen=True, slots=True)
class ItemSet:
    """What may stand in a list, the units its quantities may have, and names for groups of items."""

    name: str
    members: tuple[str, ...]
    units: tuple[Unit, ...]
    groups: Mapping[str, frozenset[str]]
    trie: PhraseTrie


@dataclass(frozen=True, slots=True)
class Mode:
    """A mode code with its pattern, inflation types and the settings it needs and may have.

    One that is not checked has only ``code`` and ``help``.
    """

    code: str
    pattern: str
    type: str | None = None
    support: str | None = None
    needs: tuple[tuple[str, ...], ...] = ()
    may: frozenset[str] = frozenset()
    checked: bool = True
    help: str = ""

    @property
    def settings(self) -> frozenset[str]:
        """Every setting that has an effect in the mode."""
        return self.may.union(*self.needs) if self.needs else self.may


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All words of the notation, by section and place."""

    version: int
    sections: Mapping[str, Section]
    modes: Mapping[str, Mode]
    mode_patterns: tuple[str, ...]
    mode_types: tuple[str, ...]
    items: Mapping[str, ItemSet]
    bases: tuple[str, ...]
    periods_by_use: tuple[str, ...]
    tries: Mapping[str, PhraseTrie]
    terms: Mapping[str, Term] = field(default_factory=dict)  # by key

    def term(self, section: str, phrase: str) -> Term | None:
        """The term of a section by its phrase."""
        return self.sections[section].terms.get(phrase)

    def sections_with(self, phrase: str) -> tuple[str, ...]:
        """The sections in which this phrase is a term."""
        return tuple(name for name, section in self.sections.items() if phrase in section.trie)
