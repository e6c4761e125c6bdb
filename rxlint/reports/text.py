"""Findings as text for people: one line that a tool can jump to, then what is written, worked out and offered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from rxlint.library.screen import Screened
from rxlint.model.stated import periods_of
from rxlint.packs import LEVELS, Level
from rxlint.reports.caution import CAUTION
from rxlint.reports.style import Style
from rxlint.screening.finding import OUTCOMES, Finding, Outcome, Suggestion
from rxlint.text import printable

_LABEL: Final = 11
_PLURALS: Final[Mapping[Level, tuple[str, str]]] = {
    "reject": ("to reject", "to reject"), "query": ("query", "queries"), "note": ("note", "notes"),
}  # fmt: skip


@dataclass(slots=True)
class Totals:
    """Counts over a run."""

    documents: int = 0
    unread: int = 0
    crashes: int = 0
    levels: dict[Level, int] = field(default_factory=lambda: dict.fromkeys(LEVELS, 0))
    outcomes: dict[Outcome, int] = field(default_factory=lambda: dict.fromkeys(OUTCOMES, 0))

    def add(self, screened: Screened) -> None:
        """Count one input in."""
        self.documents += 1
        self.unread += bool(screened.problems)
        if screened.screening is None:
            return
        self.crashes += len(screened.screening.crashes)
        for finding in screened.screening.findings:
            self.levels[finding.level] += 1
        for outcome, count in screened.screening.coverage.counts.items():
            self.outcomes[outcome] += count

    @property
    def made(self) -> int:
        """Checks that came to an answer."""
        return sum(self.outcomes[outcome] for outcome in ("broken", "can break", "undecided", "met"))

    @property
    def wanting(self) -> int:
        """Checks that could not be made for want of facts."""
        return self.outcomes["not checked"]


def text_of(screened: Screened, style: Style, coverage: bool = False) -> Iterator[str]:
    """The lines of one document's report."""
    name = printable(screened.shown)
    for problem in screened.problems:
        place = f":{problem.line}:{problem.column}" if problem.line is not None else ""
        yield f"{name}{place}: {style.mark('unread', 'reject')}: {printable(problem.message)}"
    screening = screened.screening
    if screening is None:
        return
    lines = screened.document.source.lines if screened.document is not None else ()
    texts = {line.number: line.text for line in lines}
    several = screened.document is not None and len(periods_of(screened.document)) > 1
    for finding in screening.findings:
        yield from _finding(name, finding if several else replace(finding, period=None), texts, style)
    for crash in screening.crashes:
        failed = style.mark("failed", "reject")
        yield f"{name}: {failed}: the rule {crash.rule} failed and was not checked: {printable(crash.error)}"
    if coverage:
        yield from _coverage(screened, style)


def _finding(name: str, finding: Finding, texts: Mapping[int, str], style: Style) -> Iterator[str]:
    place = finding.place
    level = style.mark(finding.level, finding.level)
    rule = style.mark(f"[{finding.rule}]", "quiet")
    yield f"{name}:{place.line}:{place.column}: {level}: {printable(finding.message)} {rule}"
    yield _detail("written", texts.get(place.line, "").strip(), style)
    for related in finding.related:
        line = related.place.line
        yield _detail(f"line {line}", texts.get(line, "").strip(), style)
    for line_text in finding.calculation:
        yield _detail("worked out", line_text, style)
    yield from _corrections(finding.corrections, style)
    scope = ", ".join(
        part for part in (f"period {finding.period}" if finding.period else "", finding.band or "") if part
    )
    if scope:
        yield _detail("holds for", scope, style)


def _corrections(corrections: Sequence[Suggestion], style: Style) -> Iterator[str]:
    if corrections and all(each.is_reading for each in corrections):
        yield _detail("may mean", " | ".join(each.text for each in corrections), style)
        return
    labels = ["restores"] if len(corrections) == 1 else ["either", *["or"] * (len(corrections) - 1)]
    for label, each in zip(labels, corrections, strict=False):
        makes = f"  (makes {each.makes})" if each.makes else ""
        yield _detail(label, f"{each.text}{makes}", style)


def _detail(label: str, text: str, style: Style) -> str:
    return f"    {style.mark(label.ljust(_LABEL), 'quiet')} {printable(text)}"


def _coverage(screened: Screened, style: Style) -> Iterator[str]:
    assert screened.screening is not None
    yield style.mark(f"checks of {printable(screened.shown)}", "strong")
    for row in screened.screening.coverage.rules:
        lacks = f"  lacks {', '.join(row.lacks)}" if row.lacks else ""
        reasons = f"  {'; '.join(row.reasons)}" if row.reasons and not row.lacks else ""
        yield f"    {row.outcome:<15} {row.rule}{printable(lacks + reasons)}"


def closing(totals: Totals) -> Iterator[str]:
    """The closing line, and the caution."""
    documents = f"{totals.documents} document{'' if totals.documents == 1 else 's'}"
    counts = ", ".join(f"{totals.levels[level]} {_PLURALS[level][totals.levels[level] != 1]}" for level in LEVELS)
    unread = f", {totals.unread} unread" if totals.unread else ""
    failed = f", {totals.crashes} rule failures" if totals.crashes else ""
    want = f"{totals.wanting} not made for want of facts" + (" (--coverage lists them)" if totals.wanting else "")
    yield f"{documents}: {counts}{unread}{failed}. {totals.made} checks made, {want}."
    yield CAUTION


def report(results: Iterable[Screened], style: Style, coverage: bool, totals: Totals) -> Iterator[str]:
    """The whole report, line by line, as the results come."""
    for screened in results:
        totals.add(screened)
        yield from text_of(screened, style, coverage)
    yield from closing(totals)
