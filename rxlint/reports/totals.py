"""The counts of a run, and the lines that close a report. It knows no document, so that it can count kept ones too."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

from rxlint.library.entry import Counts, Entry, Used, used
from rxlint.reports.caution import CAUTION
from rxlint.text import printable

if TYPE_CHECKING:
    from rxlint.library.told import Result
    from rxlint.packs import Level
    from rxlint.packs.stack import PolicyUse
    from rxlint.screening.finding import Outcome

_PLURALS: Final[Mapping[Level, tuple[str, str]]] = {
    "reject": ("to reject", "to reject"), "query": ("query", "queries"), "note": ("note", "notes"),
}  # fmt: skip
LEVELS: Final[tuple[Level, ...]] = tuple(_PLURALS)
"""The levels as ``rxlint.packs`` has them; that would load the language of the rules with them."""
OUTCOMES: Final[tuple[Outcome, ...]] = ("broken", "can break", "undecided", "not checked", "met", "does not apply")
"""The outcomes as ``rxlint.screening.finding`` has them."""


@dataclass(slots=True)
class Totals:
    """Counts over a run."""

    documents: int = 0
    unread: int = 0
    crashes: int = 0
    accepted: int = 0
    known: int = 0
    misconfigured: int = 0
    policies: dict[Used, None] = field(default_factory=dict)  # in the order in which they were met
    levels: dict[Level, int] = field(default_factory=lambda: dict.fromkeys(LEVELS, 0))
    outcomes: dict[Outcome, int] = field(default_factory=lambda: dict.fromkeys(OUTCOMES, 0))

    def add(self, result: Result | Entry) -> None:
        """Count one input in."""
        counts = result.pieces.counts if isinstance(result, Entry) else counts_of(result)
        self.documents += 1
        self.misconfigured += counts.misconfigured
        self.unread += counts.unread
        self.crashes += counts.crashes
        self.accepted += counts.accepted
        self.known += counts.known
        if result.policies:
            self.policies |= dict.fromkeys(map(used, result.policies))
        for level, count in zip(LEVELS, counts.levels, strict=True):
            self.levels[level] += count
        for outcome, count in zip(OUTCOMES, counts.outcomes, strict=True):
            self.outcomes[outcome] += count

    @property
    def made(self) -> int:
        """Checks that came to an answer."""
        return sum(self.outcomes[outcome] for outcome in ("broken", "can break", "undecided", "met"))

    @property
    def wanting(self) -> int:
        """Checks that could not be made for want of facts."""
        return self.outcomes["not checked"]


def counts_of(result: Result) -> Counts:
    """What a document adds to the counts of a run."""
    levels: dict[str, int] = dict.fromkeys(LEVELS, 0)
    accepted = known = 0
    screening = result.screening
    for finding in screening.findings if screening is not None else ():
        if finding.counts:
            levels[finding.level] += 1
        elif finding.acceptance is not None:
            accepted += 1
        else:
            known += 1
    outcomes: Mapping[Any, int] = screening.coverage.counts if screening is not None else {}
    return Counts(
        bool(result.problems) and not result.misconfigured,
        result.misconfigured,
        len(screening.crashes) if screening is not None else 0,
        accepted,
        known,
        tuple(levels.values()),
        tuple(outcomes.get(each, 0) for each in OUTCOMES),
    )


def closing(totals: Totals) -> Iterator[str]:
    """The closing line, and the caution."""
    documents = f"{totals.documents} document{'' if totals.documents == 1 else 's'}"
    counts = ", ".join(f"{totals.levels[level]} {_PLURALS[level][totals.levels[level] != 1]}" for level in LEVELS)
    counts += f", {totals.accepted} accepted" if totals.accepted else ""
    counts += f", {totals.known} known" if totals.known else ""
    unread = f", {totals.unread} unread" if totals.unread else ""
    unread += f", {totals.misconfigured} not screened" if totals.misconfigured else ""
    failed = f", {totals.crashes} rule failures" if totals.crashes else ""
    want = f"{totals.wanting} not made for want of facts" + (" (--coverage lists them)" if totals.wanting else "")
    under = "".join(f" {printable(each)}" for each in policies_told(totals.policies))
    yield f"{documents}: {counts}{unread}{failed}. {totals.made} checks made, {want}.{under}"
    yield CAUTION


def policies_told(policies: Iterable[PolicyUse | Used]) -> Iterator[str]:
    """Under which policies a run was made, what these loosen, and what of them does not hold."""
    each_used = list(policies)
    if each_used:
        names = dict.fromkeys(f"{each.name} revision {each.revision}" for each in each_used)
        yield f"Policies: {', '.join(names)}."
    for each in each_used:
        if each.loosens:
            yield f"{each.name} loosens {'; '.join(each.loosens)}."
        if each.overruled:
            yield f"{each.name} does not decide {'; '.join(each.overruled)}."


def summary_object(totals: Totals) -> dict[str, Any]:
    """The counts of a run as JSON."""
    return {
        "documents": totals.documents,
        "unread": totals.unread,
        "not_screened": totals.misconfigured,
        "rule_failures": totals.crashes,
        "levels": {level: totals.levels[level] for level in LEVELS},
        "accepted": totals.accepted,
        "known": totals.known,
        "checks_made": totals.made,
        "checks_wanting": totals.wanting,
        "caution": CAUTION,
    }
