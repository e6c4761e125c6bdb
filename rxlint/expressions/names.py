"""What an expression may name: the types of terms, and the functions passed in."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from rxlint.units.dimensions import Dimension


@dataclass(frozen=True, slots=True)
class NumberType:
    """A quantity of this dimension."""

    dimension: Dimension


@dataclass(frozen=True, slots=True)
class BoolType:
    """A condition: true or false."""


@dataclass(frozen=True, slots=True)
class TextType:
    """Free text; it can only be asked whether it is stated."""


@dataclass(frozen=True, slots=True)
class WordsType:
    """One or several words out of a fixed set."""

    words: frozenset[str]


@dataclass(frozen=True, slots=True)
class ListType:
    """A list of items. A group stands for several of them; `amounts` says what the quantity of an item measures."""

    items: frozenset[str]
    groups: Mapping[str, frozenset[str]] = field(default_factory=dict)
    amounts: Mapping[str, Dimension] = field(default_factory=dict)

    def members(self, part: str) -> frozenset[str]:
        """The items that an item's or a group's name stands for; none for an unknown one."""
        if part in self.items:
            return frozenset((part,))
        return self.groups.get(part, frozenset())


Type = NumberType | BoolType | TextType | WordsType | ListType


@dataclass(frozen=True, slots=True)
class Function:
    """A function passed in. All values are in base units.

    `call` may raise ValueError: the arguments are outside its domain. `enclose` takes the low and the high ends of the
    arguments and gives ends that hold every result between them - which says that all of that box is inside the
    domain - or None where it cannot tell.
    """

    name: str
    arguments: tuple[Dimension, ...]
    result: Dimension
    call: Callable[..., float]
    enclose: Callable[[Sequence[float], Sequence[float]], tuple[float, float] | None]


class Names(Protocol):
    """The names that an expression may use. They must not change once an expression has been read with them."""

    def spellings(self) -> Mapping[str, str]:
        """Each spelling, possibly of several words, and the key it stands for."""

    def type_of(self, key: str) -> Type:
        """The type of a key that `spellings` gives."""

    def functions(self) -> Mapping[str, Function]:
        """Functions by the name they are called with."""
