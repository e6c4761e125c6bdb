"""What changed between two revisions, as text: what is ordered otherwise first, then what follows from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from rxlint.library.comparing import Compared
from rxlint.library.screen import Screened
from rxlint.packs import LEVELS, Level
from rxlint.packs.stack import PolicyUse
from rxlint.reports.caution import CAUTION
from rxlint.reports.style import Style
from rxlint.reports.text import policies_told
from rxlint.reports.text import text_of as findings_of
from rxlint.screening.change import Change
from rxlint.screening.change_derived import Implied, Predicted
from rxlint.screening.compare import Comparison
from rxlint.screening.values import show_number
from rxlint.text import printable
from rxlint.units import show

_LABEL: Final = 11
LABELS: Final = {
    "added": "added", "removed": "removed", "changed": "changed", "range changed": "range", "reworded": "reworded",
}  # fmt: skip
OTHERS: Final = "the two say that they are different documents, so no rule of changes was asked"
UNCHANGED: Final = "says the same as"
NEW: Final = "is new: rxlint screen reads it for itself"
GONE: Final = "is gone"
SPONTANEOUS: Final = "if the patient adds no breaths, in a steady state, output and dead space as before"


@dataclass(slots=True)
class Totals:
    """Counts over a run."""

    changed: int = 0
    alike: int = 0
    new: int = 0
    deleted: int = 0
    unread: int = 0
    crashes: int = 0
    accepted: int = 0
    misconfigured: int = 0
    levels: dict[Level, int] = field(default_factory=lambda: dict.fromkeys(LEVELS, 0))
    policies: dict[PolicyUse, None] = field(default_factory=dict)

    def add(self, compared: Compared) -> None:
        """Count one document in."""
        self.misconfigured += compared.misconfigured
        self.unread += bool(compared.problems) and not compared.misconfigured
        self.policies |= dict.fromkeys(compared.policies)
        self.new += compared.status == "new"
        self.deleted += compared.status == "deleted"
        comparison = compared.comparison
        if comparison is None:
            return
        is_changed = any(change.is_change for change in comparison.changes)
        self.changed += is_changed
        self.alike += not is_changed
        self.crashes += len(comparison.screening.crashes)
        for finding in comparison.screening.findings:
            if finding.counts:
                self.levels[finding.level] += 1
            else:
                self.accepted += 1


def text_of(compared: Compared, style: Style) -> Iterator[str]:
    """The lines of one document."""
    yield style.mark(heading_of(compared), "strong")
    for shown, problem in compared.problems:
        mark = style.mark("not compared" if compared.misconfigured else "unread", "reject")
        place = f":{problem.line}:{problem.column}" if problem.line is not None else ""
        yield f"{printable(shown)}{place}: {mark}: {printable(problem.message)}"
    comparison = compared.comparison
    if comparison is None:
        return
    for change in in_groups(comparison.changes):
        yield _detail(LABELS[change.kind], change_told(change), style)
    for implied in comparison.implied:
        if implied.is_seen_to_change:
            yield _detail("works out", implied_told(implied), style)
    for predicted in comparison.predicted:
        yield _detail("expects", predicted_told(predicted), style)
    if not comparison.are_one:
        yield _detail("note", OTHERS, style)
    screened = Screened(compared.shown, (), comparison.new, comparison.screening)
    yield from findings_of(screened, style)


def heading_of(compared: Compared) -> str:
    """What became of a document, in one line."""
    name = printable(compared.shown)
    if compared.status != "compared" or compared.pair.old is None:
        return f"{name} {GONE if compared.status == 'deleted' else NEW}"
    renamed = ", which had another name" if compared.pair.is_renamed else ""
    same = compared.comparison is not None and not compared.comparison.changes
    return f"{name} {UNCHANGED if same else 'against'} {printable(compared.pair.old.shown)}{renamed}"


def in_groups(changes: Iterable[Change]) -> list[Change]:
    """What is ordered otherwise first, then what is said of the order, then what is only said in other words."""
    return sorted(changes, key=lambda change: (not change.is_change, not change.is_order))


def change_told(change: Change) -> str:
    """A change in one line."""
    if change.before is None:
        text = f"{change.term}: {change.after}"
    elif change.after is None:
        text = f"{change.term}: {change.before}"
    else:
        text = f"{change.term}: {change.before} -> {change.after}"
    notes = [note for note in (change.how, f"period {change.period}" if change.period else "") if note]
    return f"{text} ({'; '.join(notes)})" if notes else text


def implied_told(implied: Implied) -> str:
    """A derived value before and after."""
    before, after = (implied.told(each) or "not known" for each in (implied.before, implied.after))
    scope = ", ".join(
        part for part in (f"period {implied.period}" if implied.period else "", implied.band or "") if part
    )
    return f"{implied.term}: {before} -> {after}{f' ({scope})' if scope else ''}"


def predicted_told(predicted: Predicted) -> str:
    """A carbon dioxide tension that is to be expected, with what it rests on."""
    measured = show_number(predicted.measured, predicted.unit)
    expected = show(predicted.expected, predicted.unit, 1)
    taken = f" of {predicted.taken}" if predicted.taken else ""
    scope = f" (period {predicted.period})" if predicted.period else ""
    course = f"{predicted.before} -> {predicted.after.removeprefix(_common(predicted))}"
    return f"{predicted.reading}: {measured}{taken} -> about {expected}, with {course}, {SPONTANEOUS}{scope}"


def _common(predicted: Predicted) -> str:
    """The name of the ventilation, which both texts begin with."""
    first, second = predicted.before.split(" "), predicted.after.split(" ")
    same = [word for word, other in zip(first, second, strict=False) if word == other and not word[0].isdigit()]
    return " ".join(same[: len(first) - 2]) + " "


def _detail(label: str, text: str, style: Style) -> str:
    return f"    {style.mark(label.ljust(_LABEL), 'quiet')} {printable(text)}"


def summary_of(totals: Totals) -> str:
    """The counts of a run, in one line."""
    parts = [f"{totals.changed} changed", f"{totals.alike} alike", f"{totals.new} new", f"{totals.deleted} gone"]
    parts += [f"{totals.unread} unread"] if totals.unread else []
    parts += [f"{totals.misconfigured} not compared"] if totals.misconfigured else []
    levels = [f"{totals.levels[level]} to reject" if level == "reject" else _count(totals, level) for level in LEVELS]
    levels += [f"{totals.accepted} accepted"] if totals.accepted else []
    levels += [f"{totals.crashes} rule failures"] if totals.crashes else []
    return f"{', '.join(parts)}. Of the changes: {', '.join(levels)}."


def _count(totals: Totals, level: Level) -> str:
    count = totals.levels[level]
    many = {"query": "queries", "note": "notes"}[level]
    return f"{count} {level if count == 1 else many}"


def report(results: Iterable[Compared], style: Style, totals: Totals) -> Iterator[str]:
    """The whole report, line by line, as the results come."""
    for compared in results:
        totals.add(compared)
        yield from text_of(compared, style)
    under = "".join(f" {printable(each)}" for each in policies_told(totals.policies))
    yield f"{summary_of(totals)}{under}"
    yield CAUTION


__all__ = ["Comparison", "Totals", "report", "text_of"]
