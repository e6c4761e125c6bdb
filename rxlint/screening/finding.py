"""The one finding type, and the coverage of a document."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from rxlint.notation.tree import Place
from rxlint.packs import Level, Origin

Outcome = Literal["broken", "can break", "undecided", "not checked", "met", "does not apply"]

# A rule's summary over its rows is the first of these that occurs.
OUTCOMES: Final[tuple[Outcome, ...]] = ("broken", "can break", "undecided", "not checked", "met", "does not apply")


@dataclass(frozen=True, slots=True)
class Related:
    """Another place that has to do with a finding."""

    place: Place
    message: str


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A correction offered, never applied: text to put at a place, and what it makes of the order.

    A reading is what a line that can't be read may have meant; it restores nothing by itself.
    """

    text: str
    makes: str
    place: Place | None
    replacement: str | None
    is_reading: bool = False


@dataclass(frozen=True, slots=True)
class Acceptance:
    """Who answers for a finding, until which day and why, and the line that says so."""

    place: Place
    until: str
    because: str
    by: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule found, at a place of the text. It can't be built without a place."""

    rule: str
    level: Level
    outcome: Outcome
    message: str
    place: Place
    related: tuple[Related, ...] = ()
    calculation: tuple[str, ...] = ()
    corrections: tuple[Suggestion, ...] = ()
    example: Mapping[str, str] | None = None
    period: str | None = None
    band: str | None = None
    policy: tuple[Origin, ...] = ()  # the rows of policies that made the rule, set its level, or ask for it
    fingerprint: str = ""
    acceptance: Acceptance | None = None
    sound: tuple[str, ...] = ()  # where something allowed breaks the rule: what each term alone must be narrowed to
    also: tuple[Finding, ...] = ()  # what another limit on the same setting says, for which this one speaks
    known: bool = False  # listed among the known findings of an old library

    @property
    def counts(self) -> bool:
        """Whether it counts against the document: nobody has accepted it, and it is not known from before."""
        return self.acceptance is None and not self.known


@dataclass(frozen=True, slots=True)
class Row:
    """One evaluation of a rule, with what it lacked where it was not checked."""

    rule: str
    outcome: Outcome
    lacks: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    period: str | None = None
    band: str | None = None
    policy: tuple[Origin, ...] = ()


@dataclass(frozen=True, slots=True)
class Coverage:
    """Every rule's outcome for a document: counts, and the summary of each rule."""

    counts: Mapping[Outcome, int]
    rules: tuple[Row, ...]


_RANK: Final = {outcome: rank for rank, outcome in enumerate(OUTCOMES)}


def _severity(row: Row) -> int:
    return _RANK[row.outcome]


@lru_cache(maxsize=4_096)
def _not_applying(rule: str) -> Row:
    return Row(rule, "does not apply")


def summarise(rows: Mapping[str, list[Row]], order: tuple[str, ...]) -> Coverage:
    """One row a rule: the first outcome in the order of severity over its evaluations, lacks joined."""
    summary: list[Row] = []
    counts: dict[Outcome, int] = dict.fromkeys(OUTCOMES, 0)
    for rule in order:
        each = rows.get(rule) or (_not_applying(rule),)
        if len(each) == 1:
            counts[each[0].outcome] += 1
            summary.append(each[0])
            continue
        first = min(each, key=_severity)
        outcome = first.outcome
        counts[outcome] += 1
        same = [row for row in each if row.outcome == outcome]
        if any(row.lacks or row.reasons for row in same):
            lacks = tuple(sorted({term for row in same for term in row.lacks}))
            reasons = tuple(dict.fromkeys(reason for row in same for reason in row.reasons))
            first = Row(rule, outcome, lacks, reasons, first.period, first.band)
        summary.append(first)
    return Coverage(counts, tuple(summary))


def fingerprint_of(rule: str, text: str) -> str:
    """A fingerprint by rule and normalised text; told apart by ordinal later. Survives moved lines."""
    normal = " ".join(text.split()).casefold()
    return hashlib.sha256(f"{rule}\n{normal}".encode()).hexdigest()[:16]
