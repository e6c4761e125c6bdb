"""Values at run time, missing ones included, and where they come from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Protocol


@dataclass(frozen=True, slots=True)
class Words:
    """The words of a term; `silent` are the words of its slots that were left open, which nobody knows about."""

    stated: frozenset[str]
    silent: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Item:
    """An item of a list, with the quantity stated with it in base units."""

    name: str
    amount: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Missing:
    """No value: the keys that are to blame, and the reasons where there is more to say than that they are absent."""

    terms: frozenset[str] = frozenset()
    reasons: tuple[str, ...] = ()


Value = Fraction | float | bool | Words | tuple[Item, ...] | str


class Unreadable(Enum):
    """The sentinel in a slot whose term is stated but could not be read: it is missing, and yet it is stated."""

    UNREADABLE = "stated, unreadable"


class TooClose(Enum):
    """The answer of a compiled expression that floats cannot be trusted with: it has to be redone exactly."""

    CLOSE = "too close to call in floats"


UNREADABLE = Unreadable.UNREADABLE
CLOSE = TooClose.CLOSE


class Environment(Protocol):
    """Where the exact evaluator finds values."""

    def value(self, key: str) -> Value | Missing:
        """The value in base units, or why there is none."""

    def is_stated(self, key: str) -> bool:
        """Whether it is stated at all, readable or not."""


def blame(missing: Iterable[Missing]) -> Missing:
    """Everything that several missing values lack, each reason once."""
    found = list(missing)
    terms = frozenset[str]().union(*(one.terms for one in found))
    return Missing(terms, tuple(dict.fromkeys(reason for one in found for reason in one.reasons)))
