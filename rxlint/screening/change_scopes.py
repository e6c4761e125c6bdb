"""The periods of two revisions of a document, side by side: which of the old stands where which of the new does."""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rxlint.expressions import Node
from rxlint.model.facts import Facts, facts_of
from rxlint.model.stated import Scope, periods_of
from rxlint.notation.tree import Document


@dataclass(frozen=True, slots=True)
class Both:
    """What holds in one period before and after. Its bands and modes are told by ``pairs``.

    ``before`` and ``after`` are the period's names (None: the unnamed one); they differ where it was given another
    name, or where one document has no period of its own there.
    """

    before: str | None
    after: str | None
    old: tuple[Facts, ...]
    new: tuple[Facts, ...]

    @property
    def label(self) -> str | None:
        """What the period is called."""
        return self.after if self.after is not None else self.before

    @property
    def scopes(self) -> tuple[Scope, Scope]:
        """The statements before and after."""
        return self.old[0].scope, self.new[0].scope

    @property
    def is_single(self) -> bool:
        """Whether there is one set of facts on either side, so that values can be compared at all."""
        return len(self.old) == 1 and len(self.new) == 1

    def pairs(self) -> Iterator[tuple[Facts, Facts]]:
        """The facts side by side: those of one band of the tables, or of a part of it, and of one mode."""
        if self.is_single:
            yield self.old[0], self.new[0]
            return
        names = {_name(each) for each in self.old} & {_name(each) for each in self.new}
        for old, new in itertools.product(self.old, self.new):
            same = _name(old) == _name(new)
            apart = _name(old) not in names and _name(new) not in names
            if same or (apart and old.mode == new.mode and (_holds(old, new) or _holds(new, old))):
                yield old, new

    def sides(self) -> Iterator[tuple[Facts | None, Facts | None]]:
        """The same, with those that stand on one side alone, such as rows of a table that was cut in another way."""
        paired = [*self.pairs()]
        yield from paired
        yield from ((each, None) for each in self.old if not any(each is old for old, _ in paired))
        yield from ((None, each) for each in self.new if not any(each is new for _, new in paired))


def both_of(
    old: Document, new: Document, defined: Mapping[str, Node] | None = None, today: datetime.date | None = None
) -> tuple[Both, ...]:
    """The periods of two documents side by side, without readings. Nothing where one of them states nothing."""
    before, after = (_by_period(facts_of(each, defined, today)) for each in (old, new))
    return tuple(
        Both(first, second, before[first], after[second])
        for first, second in _matched(periods_of(old), periods_of(new))
        if first in before and second in after
    )


def _by_period(scopes: Iterator[Facts]) -> dict[str | None, tuple[Facts, ...]]:
    found: dict[str | None, tuple[Facts, ...]] = {}
    for facts in scopes:
        if facts.scope.readings is None:
            found[facts.period] = (*found.get(facts.period, ()), facts)
    return found


def _matched(before: Sequence[str | None], after: Sequence[str | None]) -> Iterator[tuple[str | None, str | None]]:
    """Periods by their names. One left over on either side is one that was renamed.

    What else is new is held against what held all day before, and what is gone against what holds all day now.
    """
    gone = [each for each in before if each not in after]
    come = [each for each in after if each not in before]
    renamed = dict(zip(come, gone, strict=True)) if len(gone) == len(come) == 1 else {}
    for each in after:
        if each in renamed:
            yield renamed[each], each
        elif each in before or None in before:
            yield (each if each in before else None), each
    if not renamed and None in after:
        yield from ((each, None) for each in gone)


def _holds(wide: Facts, narrow: Facts) -> bool:
    """Whether one band lies in another: a row that was cut in two, or two that were joined."""
    if wide.band is None or narrow.band is None or wide.band.keys.keys() != narrow.band.keys.keys():
        return False
    within = (
        axis.low <= narrow.band.keys[key].low and narrow.band.keys[key].high <= axis.high
        for key, axis in wide.band.keys.items()
    )
    return bool(wide.band.keys) and all(within)


def _name(facts: Facts) -> tuple[str | None, str | None]:
    return (facts.band.label if facts.band is not None else None, facts.mode.code if facts.mode is not None else None)
