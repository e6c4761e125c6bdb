"""What is told of a document while it is written: every finding at its place with its calculation, and why a text could
not be read or not be screened. What was not checked is no mark; ``summary`` counts it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from rxlint.editor.shapes import Location, Mark, RelatedMark
from rxlint.editor.snapshot import Snapshot
from rxlint.model.stated import periods_of
from rxlint.notation.tree import Place
from rxlint.reports.text import SET_BY, Totals
from rxlint.screening.finding import Finding, Suggestion
from rxlint.text import Line, Problem, printable

_LONGEST: Final = 300  # of a line of a message; a longer one could not be taken in at a glance
_NOT_SCREENED: Final = "not screened, for the rules that hold here can't be used: "
_TOLD_AT: Final = re.compile(r"\(([^()\n]+\.vrx):([1-9][0-9]{0,5})\)", re.IGNORECASE)
"""How a finding that compares with a template names the template's line."""


def marks(snapshot: Snapshot) -> tuple[Mark, ...]:
    """Everything there is to tell of a document, in the order of the text."""
    found = [
        *problem_marks(snapshot),
        *(_of_finding(each, snapshot) for each in findings_told(snapshot)),
        *crash_marks(snapshot),
    ]
    return tuple(sorted(found, key=lambda mark: (mark.place.line, mark.place.column)))


def problem_marks(snapshot: Snapshot) -> tuple[Mark, ...]:
    """Why a text could not be read, or not be screened."""
    screened = snapshot.screened
    told = _NOT_SCREENED if screened.misconfigured else ""
    return tuple(_of_problem(each, snapshot.lines, told) for each in screened.problems)


def findings_told(snapshot: Snapshot) -> tuple[Finding, ...]:
    """The findings as they are told: of an order with one period alone, that is left out."""
    screening, document = snapshot.screened.screening, snapshot.screened.document
    if screening is None:
        return ()
    several = document is not None and len(periods_of(document)) > 1
    return tuple(each if several else replace(each, period=None) for each in screening.findings)


def crash_marks(snapshot: Snapshot) -> tuple[Mark, ...]:
    """Rules that failed, each at the text's beginning."""
    screening = snapshot.screened.screening
    crashes = screening.crashes if screening is not None else ()
    start = _start(snapshot.lines)
    return tuple(Mark(start, "reject", printable(each.told), each.rule) for each in crashes)


def summary(snapshot: Snapshot) -> str:
    """How much was checked and how much could not be, in one line. It never says that a document is in order."""
    totals = Totals()
    totals.add(snapshot.screened)
    if totals.misconfigured:
        return "not screened: the rules that hold here can't be used"
    if totals.unread:
        return "not screened: the text can't be read as a document"
    failed = f"{totals.crashes} rules failed, " if totals.crashes else ""
    return (
        f"{failed}{totals.made} checks made, {totals.wanting} not made for want of facts. "
        "A screening aid: no finding is no approval."
    )


def _of_problem(problem: Problem, lines: Sequence[Line], told: str) -> Mark:
    """Why the whole text can't be used, where that is known, else at its start."""
    place = _start(lines)
    if problem.line is not None:
        column = problem.column or 1
        place = Place(problem.line, column, problem.line, column + 1)
    return Mark(place, "reject", told + printable(problem.message))


def _start(lines: Sequence[Line]) -> Place:
    """The first line that holds anything, which speaks for the whole document."""
    line = next((each for each in lines if each.text.strip()), None)
    if line is None:
        return Place(1, 1, 1, 1)
    indent = len(line.text) - len(line.text.lstrip())
    return Place(line.number, indent + 1, line.number, max(len(line.text.rstrip()), indent) + 1)


def related_marks(finding: Finding, snapshot: Snapshot) -> tuple[RelatedMark, ...]:
    """The other places that have to do with a finding, each in its file."""
    related = [
        RelatedMark(Location(_path(snapshot, each.place.file), replace(each.place, file=None)), printable(each.message))
        for each in finding.related
    ]
    return (*related, *_in_template(finding, snapshot))


def _of_finding(finding: Finding, snapshot: Snapshot) -> Mark:
    return Mark(
        finding.place,
        finding.level,
        "\n".join(_lines(finding)),
        finding.rule,
        settled=not finding.counts,
        related=related_marks(finding, snapshot),
        fingerprint=finding.fingerprint,
    )


def _path(snapshot: Snapshot, file: str | None) -> Path:
    """Where a place stands: in the document itself, or in a file that is named as seen from its folder."""
    return snapshot.path if file is None else snapshot.path.parent / file


def _in_template(finding: Finding, snapshot: Snapshot) -> Iterator[RelatedMark]:
    """The line of the template that a finding names in its message, where the library knows such a document."""
    named = _TOLD_AT.search(finding.message) if finding.rule.startswith("library.") else None
    if named is None:
        return
    path = snapshot.path_in_library(named[1])
    if path is not None:
        number = int(named[2])
        yield RelatedMark(Location(path, Place(number, 1, number + 1, 1)), "the template says so here")


# ---- a finding in words


def _lines(finding: Finding) -> Iterator[str]:
    yield printable(finding.message)
    for each in finding.calculation:
        yield _line("worked out", each)
    yield from _corrections(finding.corrections)
    for each in finding.sound:
        yield _line("sound with", each)
    if finding.acceptance is not None:
        told = finding.acceptance
        yield _line("accepted", f"until {told.until} by {told.by}: {told.because} (line {told.place.line})")
    elif finding.known:
        yield "known: it stands in the list of findings that this library has from before"
    scope = [f"period {finding.period}"] if finding.period else []
    scope += [finding.band] if finding.band else []
    if scope:
        yield _line("holds for", ", ".join(scope))
    for origin in finding.policy:
        yield _line(SET_BY[origin.sets], str(origin))
    for other in finding.also:
        yield _line("also", f"{other.level}: {other.message} [{other.rule}]")


def _corrections(corrections: Sequence[Suggestion]) -> Iterator[str]:
    """What would restore the order, none of it preferred; or what a line that can't be read may have meant."""
    if corrections and all(each.is_reading for each in corrections):
        yield _line("may mean", " | ".join(each.text for each in corrections))
        return
    labels = ["restored by"] if len(corrections) == 1 else ["either", *["or"] * (len(corrections) - 1)]
    for label, each in zip(labels, corrections, strict=False):
        yield _line(label, f"{each.text} (makes {each.makes})" if each.makes else each.text)


def _line(label: str, text: str) -> str:
    cut = text if len(text) <= _LONGEST else f"{text[:_LONGEST]} ... (of {len(text):,} characters)"
    return f"{label}: {printable(cut)}"
