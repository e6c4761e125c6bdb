"""Findings as text for people: one line that a tool can jump to, then what is written, worked out and offered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from rxlint.library.told import Result
from rxlint.reports.style import Style
from rxlint.reports.totals import Totals, closing, policies_told
from rxlint.screening.finding import Finding, Suggestion
from rxlint.text import printable

__all__ = [
    "SET_BY", "Texts", "Totals", "closing", "details", "finding_lines", "findings_of", "policies_told", "text_of",
    "told_level",
]  # fmt: skip

_LABEL: Final = 11
_LONGEST: Final = 300  # of a line that is shown
Texts = Mapping[tuple[str | None, int], str]
"""Lines by the file that they stand in (None: the document itself) and their number."""
SET_BY: Final = {"rule": "set by", "level": "level by", "limit": "limit by", "check": "asked by"}
"""How a report calls what a policy's row decided."""


def text_of(screened: Result, style: Style, coverage: bool = False, name: str | None = None) -> Iterator[str]:
    """The lines of one document's report, told by its own name unless another ``name`` is given, safe to show."""
    name = name if name is not None else printable(screened.shown)
    for problem in screened.problems:
        place = f":{problem.line}:{problem.column}" if problem.line is not None else ""
        mark = style.mark("not screened" if screened.misconfigured else "unread", "reject")
        yield f"{name}{place}: {mark}: {printable(problem.message)}"
    screening = screened.screening
    if screening is None:
        return
    texts = screened.texts
    for finding in findings_of(screened):
        yield from finding_lines(name, finding, texts, style)
    for crash in screening.crashes:
        failed = style.mark("failed", "reject")
        yield f"{name}: {failed}: {printable(crash.told)}"
    if coverage and not screened.is_beside:
        yield from _coverage(screened, style)


def findings_of(screened: Result) -> Iterator[Finding]:
    """The findings of a document, with the period left out where it has one alone."""
    if screened.screening is None:
        return
    several = screened.has_periods
    for finding in screened.screening.findings:
        yield finding if several else replace(finding, period=None)


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


def _coverage(screened: Result, style: Style) -> Iterator[str]:
    assert screened.screening is not None
    yield style.mark(f"checks of {printable(screened.shown)}", "strong")
    for row in screened.screening.coverage.rules:
        lacks = f"  lacks {', '.join(row.lacks)}" if row.lacks else ""
        reasons = f"  {'; '.join(row.reasons)}" if row.reasons and not row.lacks else ""
        origins = "".join(f"  {SET_BY[origin.sets]} {origin}" for origin in row.policy)
        yield f"    {row.outcome:<15} {row.rule}{printable(lacks + reasons + origins)}"
