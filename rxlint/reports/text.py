"""Findings as text for people: one line that a tool can jump to, then what is written, worked out and offered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from rxlint.library.screen import Screened
from rxlint.model.stated import periods_of
from rxlint.notation.tree import Document
from rxlint.packs import LEVELS, Level
from rxlint.packs.stack import PolicyUse
from rxlint.reports.caution import CAUTION
from rxlint.reports.style import Style
from rxlint.screening.finding import OUTCOMES, Finding, Outcome, Suggestion
from rxlint.text import printable

if TYPE_CHECKING:
    from rxlint.reports.report import Ending

_LABEL: Final = 11
_LONGEST: Final = 300  # of a line that is shown
_PLURALS: Final[Mapping[Level, tuple[str, str]]] = {
    "reject": ("to reject", "to reject"), "query": ("query", "queries"), "note": ("note", "notes"),
}  # fmt: skip

Texts = Mapping[tuple[str | None, int], str]
"""Lines by the file that they stand in (None: the document itself) and their number."""
SET_BY: Final = {"rule": "set by", "level": "level by", "limit": "limit by", "check": "asked by"}
"""How a report calls what a policy's row decided."""


@dataclass(slots=True)
class Totals:
    """Counts over a run."""

    documents: int = 0
    unread: int = 0
    crashes: int = 0
    accepted: int = 0
    known: int = 0
    misconfigured: int = 0
    policies: dict[PolicyUse, None] = field(default_factory=dict)  # in the order in which they were met
    levels: dict[Level, int] = field(default_factory=lambda: dict.fromkeys(LEVELS, 0))
    outcomes: dict[Outcome, int] = field(default_factory=lambda: dict.fromkeys(OUTCOMES, 0))

    def add(self, screened: Screened) -> None:
        """Count one input in."""
        self.documents += 1
        self.misconfigured += screened.misconfigured
        self.unread += bool(screened.problems) and not screened.misconfigured
        self.policies |= dict.fromkeys(screened.policies)
        if screened.screening is None:
            return
        self.crashes += len(screened.screening.crashes)
        for finding in screened.screening.findings:
            if finding.counts:
                self.levels[finding.level] += 1
            elif finding.acceptance is not None:
                self.accepted += 1
            else:
                self.known += 1
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
        mark = style.mark("not screened" if screened.misconfigured else "unread", "reject")
        yield f"{name}{place}: {mark}: {printable(problem.message)}"
    screening = screened.screening
    if screening is None:
        return
    texts = texts_of(screened)
    for finding in findings_of(screened):
        yield from finding_lines(name, finding, texts, style)
    for crash in screening.crashes:
        failed = style.mark("failed", "reject")
        yield f"{name}: {failed}: {printable(crash.told)}"
    if coverage and screened.beside is None:
        yield from _coverage(screened, style)


def findings_of(screened: Screened) -> Iterator[Finding]:
    """The findings of a document, with the period left out where it has one alone."""
    if screened.screening is None:
        return
    whole = (screened.beside or screened).document
    several = whole is not None and len(periods_of(whole)) > 1
    for finding in screened.screening.findings:
        yield finding if several else replace(finding, period=None)


def texts_of(screened: Screened) -> Texts:
    """The lines of a document, and of the files that were screened with it, by file and number."""
    sources: dict[str | None, Document] = {None: screened.document} if screened.document is not None else {}
    order = screened.beside or screened
    if order.document is not None and order.document.joined:
        sources |= {each.file: each.document for each in order.document.joined}
    if screened.beside is not None and order.document is not None:
        sources[order.shown] = order.document
    return {(file, line.number): line.text for file, document in sources.items() for line in document.source.lines}


def finding_lines(name: str, finding: Finding, texts: Texts, style: Style) -> Iterator[str]:
    """A finding in the lines of the text report."""
    place = finding.place
    level = style.mark(told_level(finding), finding.level if finding.counts else "quiet")
    rule = style.mark(f"[{finding.rule}]", "quiet")
    yield f"{name}:{place.line}:{place.column}: {level}: {printable(finding.message)} {rule}"
    for label, text in (*_places(finding, texts), *details(finding)):
        yield f"    {style.mark(label.ljust(_LABEL), 'quiet')} {printable(text)}"


def _places(finding: Finding, texts: Texts) -> Iterator[tuple[str, str]]:
    """What is written at a finding's place and at those that it relates to."""
    yield "written", _line(texts.get((None, finding.place.line), ""))
    for related in finding.related:
        other = related.place
        text = _line(texts.get((other.file, other.line), ""))
        yield f"line {other.line}", text if other.file is None else f"{text}  (of {other.file})"


def details(finding: Finding) -> Iterator[tuple[str, str]]:
    """What a report says of a finding below its message, each under a label: calculation, corrections, scope, policy.

    The texts are as they come from the document: the report makes them safe for where it is shown.
    """
    for line_text in finding.calculation:
        yield "worked out", line_text
    yield from _corrections(finding.corrections)
    for narrowed in finding.sound:
        yield "sound with", narrowed
    if finding.acceptance is not None:
        told = finding.acceptance
        file = f" of {told.place.file}" if told.place.file is not None else ""
        yield "accepted", f"until {told.until} by {told.by}: {told.because} (line {told.place.line}{file})"
    scope = ", ".join(
        part for part in (f"period {finding.period}" if finding.period else "", finding.band or "") if part
    )
    if scope:
        yield "holds for", scope
    for origin in finding.policy:
        yield SET_BY[origin.sets], str(origin)
    for less in finding.also:
        yield "also", f"{less.level}: {less.message} [{less.rule}]"


def _line(text: str) -> str:
    """A line of the document as it is shown: one that nobody could take in at a glance is cut, and says so."""
    text = text.strip()
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]} ... (of {len(text):,} characters)"


def told_level(finding: Finding) -> str:
    """The level, with why it does not count where it does not."""
    if finding.counts:
        return finding.level
    return f"{'accepted' if finding.acceptance is not None else 'known'} {finding.level}"


def _corrections(corrections: Sequence[Suggestion]) -> Iterator[tuple[str, str]]:
    if corrections and all(each.is_reading for each in corrections):
        yield "may mean", " | ".join(each.text for each in corrections)
        return
    labels = ["restores"] if len(corrections) == 1 else ["either", *["or"] * (len(corrections) - 1)]
    for label, each in zip(labels, corrections, strict=False):
        makes = f"  (makes {each.makes})" if each.makes else ""
        yield label, f"{each.text}{makes}"


def _coverage(screened: Screened, style: Style) -> Iterator[str]:
    assert screened.screening is not None
    yield style.mark(f"checks of {printable(screened.shown)}", "strong")
    for row in screened.screening.coverage.rules:
        lacks = f"  lacks {', '.join(row.lacks)}" if row.lacks else ""
        reasons = f"  {'; '.join(row.reasons)}" if row.reasons and not row.lacks else ""
        origins = "".join(f"  {SET_BY[origin.sets]} {origin}" for origin in row.policy)
        yield f"    {row.outcome:<15} {row.rule}{printable(lacks + reasons + origins)}"


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


def policies_told(policies: Iterable[PolicyUse]) -> Iterator[str]:
    """Under which policies a run was made, what these loosen, and what of them does not hold."""
    used = list(policies)
    if used:
        names = dict.fromkeys(f"{each.name} revision {each.revision}" for each in used)
        yield f"Policies: {', '.join(names)}."
    for each in used:
        if each.loosens:
            yield f"{each.name} loosens {'; '.join(each.loosens)}."
        if each.overruled:
            yield f"{each.name} does not decide {'; '.join(each.overruled)}."


@dataclass(frozen=True, slots=True)
class TextReport:
    """The text report. ``coverage``: with the outcome of every rule for every document."""

    style: Style
    coverage: bool = False

    def start(self) -> Iterator[str]:
        """Nothing comes before the first document."""
        yield from ()

    def document(self, screened: Screened) -> Iterator[str]:
        """The lines of a document."""
        for line in text_of(screened, self.style, self.coverage):
            yield f"{line}\n"

    def end(self, ending: Ending) -> Iterator[str]:
        """The closing line, and the caution."""
        for line in closing(ending.totals):
            yield f"{line}\n"
