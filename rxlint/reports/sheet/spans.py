"""Values of one scope for a drawing: as they are set, and from where to where they may go. Nothing is computed here
that the facts do not compute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Missing, nodes
from rxlint.expressions.bounds import bounds
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.stated import Stated
from rxlint.reports.sheet.labels import shown
from rxlint.units import Unit, from_base, show

_WANT: Final = "for want of"
_DUST: Final = Fraction(1, 10**9)


@dataclass(frozen=True, slots=True)
class Span:
    """A value in base units: the least and the most that is allowed, and what is set (None where only a range is)."""

    low: Fraction
    high: Fraction
    as_set: Fraction | None

    @property
    def is_point(self) -> bool:
        """Whether nothing but one value is allowed."""
        return self.low == self.high

    def text(self, unit: Unit) -> str:
        """The value in words: what is set, with what is allowed where that is more."""
        if self.is_point:
            return show(self.low, unit)
        if self.as_set is None:
            return between(self.low, self.high, unit)
        return f"{show(self.as_set, unit)} (allowed {bare(self.low, unit)} to {bare(self.high, unit)})"


def between(low: Fraction, high: Fraction, unit: Unit) -> str:
    """Two ends in one unit, which stands once; one value where they are shown alike."""
    first, last = show(low, unit), show(high, unit)
    if first == last:
        return last
    tail = f" {unit.symbol}"
    return f"{first.removesuffix(tail)} to {last}" if unit.symbol else f"{first} to {last}"


def bare(value: Fraction, unit: Unit) -> str:
    """A number without its unit."""
    return show(value, unit).removesuffix(f" {unit.symbol}") if unit.symbol else show(value, unit)


def float_in(value: Fraction, unit: Unit) -> float:
    """A value in base units as a number of the unit."""
    return float(from_base(value, unit))


def span_of(key: str, facts: Facts) -> Span | None:
    """The value of a key; None where it is not known, neither as set nor within ends."""
    found = facts.as_set.value(key)
    as_set = found if isinstance(found, Fraction) else Fraction(found) if isinstance(found, float) else None
    axis = facts.allowed.get(key)
    if axis is not None and axis.options:
        options = [each for each in axis.options if isinstance(each, Fraction)]
        return Span(min(options), max(options), as_set) if options else None
    if axis is None and not any(each in facts.allowed for each in facts.closure((key,))):
        return Span(as_set, as_set, as_set) if as_set is not None else None
    ends = bounds(nodes.Name(key, key), facts.space)
    if ends is None:
        return Span(as_set, as_set, as_set) if as_set is not None else None
    low, high = (_without_dust(end, *ends) for end in ends)
    return Span(low if as_set is None else min(low, as_set), high if as_set is None else max(high, as_set), as_set)


def _without_dust(end: Fraction, low: Fraction, high: Fraction) -> Fraction:
    """An end, 0 where it is no more than what the rounding of an enclosure leaves of 0."""
    return Fraction(0) if abs(end) < _DUST * max(abs(low), abs(high)) else end


def lacking_text(keys: Sequence[str], facts: Facts) -> str:
    """Why some keys have no value, in words: what would have to be stated for them to have one."""
    found = [each for each in map(facts.as_set.value, keys) if isinstance(each, Missing)]
    # a term that a pack defines is nothing that anybody could state, and what is stated as a range is not lacking
    lacks = {key for each in found for key in facts.lacks(each.terms) if ": " not in key and not facts.is_stated(key)}
    if lacks:
        return f"{_WANT} {', '.join(sorted(lacks))}"
    return shown("; ".join(dict.fromkeys(reason for each in found for reason in each.reasons)))


def not_known(why: str) -> str:
    """That a value is not known, and why."""
    if not why:
        return "not known"
    return f"not known {why}" if why.startswith(_WANT) else f"not known: {why}"


def written(stated: Stated | None) -> str:
    """What a line says behind its term, as it is written."""
    if stated is None:
        return ""
    return shown(stated.entry.text[stated.statement.phrase[1] :])


def is_stated(key: str, facts: Facts) -> bool:
    """Whether a key has a line of its own, readable or not."""
    return facts.is_stated(key) or facts.is_stated(key + AS_WRITTEN)
