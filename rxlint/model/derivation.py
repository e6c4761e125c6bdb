"""What a derived term is: a name, a unit to tell it in, and its ways in order."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Way:
    """One way to a derived term: an expression, with its source."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Derived:
    """A derived term: its name, the unit it is told in, what it means, its ways in order.

    ``plain`` terms only choose between others.
    """

    key: str
    unit: str
    means: str
    ways: tuple[Way, ...]
    plain: bool = False
    basis: str | None = None  # the weight of a value per kilogram, or that a weight is
