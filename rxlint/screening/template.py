"""What a template lays down for a document that follows it: for each of its periods the lines and relations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Final

from rxlint.model.names import base_names
from rxlint.model.relations import Relations, read_relations
from rxlint.model.stated import Scope, Stated, periods_of, scopes_of
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.tree import Document

# Sections that say something of the document itself, or of what has been seen, and nothing of what is to be done.
_OF_ITSELF: Final = frozenset({"head", "readings", "readings for", "accepted", "checked"})


class Period:
    """One period of a template: its scope and the relations that hold in it."""

    def __init__(self, scope: Scope) -> None:
        self.scope = scope

    @cached_property
    def relations(self) -> Relations:
        """Its `keep` lines."""
        return read_relations(self.scope, base_names())

    @cached_property
    def lines(self) -> tuple[Stated, ...]:
        """What it states for others, one statement for each term, in the order of the text."""
        found = [each for each in self.scope.by_key.values() if each.block.section not in _OF_ITSELF]
        return tuple(sorted(found, key=lambda each: each.entry.lines[0].number))


class Template:
    """A document that others follow. ``shown`` is its name within the library."""

    def __init__(self, document: Document, shown: str) -> None:
        self.document = document
        self.shown = shown

    @cached_property
    def periods(self) -> Sequence[Period]:
        """Its periods, in the order of the text."""
        return [Period(scope) for scope in scopes_of(self.document, unnamed=True) if scope.readings is None]

    def period_for(self, document: Document, name: str | None) -> Period | None:
        """The period that holds for a period of another document; None where nobody can tell which.

        It is the one of that name, else the one of the same hours, else the unnamed one. A template with one period
        alone holds for all of a document, unless that has this very period and others beside it.
        """
        found = self.periods
        hours = set(_windows(document, name))
        alike = [each for each in found if each.scope.period == name]
        alike += [each for each in found if hours and hours == set(_windows(self.document, each.scope.period))]
        alike += [each for each in found if each.scope.period is None]
        if not alike and len(found) == 1 and found[0].scope.period not in periods_of(document):
            return found[0]
        return alike[0] if alike else None


def _windows(document: Document, name: str | None) -> Iterator[tuple[str, str]]:
    """The hours of the day that the sections of a period name."""
    for block in document.blocks:
        period = block.heading.period if block.heading is not None else None
        if name is not None and isinstance(period, n.Period) and period_name(block) == name:
            yield from ((window.start_time, window.end_time) for window in period.windows)
