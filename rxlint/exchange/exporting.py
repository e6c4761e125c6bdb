"""Exports a document that was screened: what is written, what is to be told, and what stands in the way."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from typing import Literal

from rxlint import __version__
from rxlint.exchange.documents import export_document
from rxlint.exchange.fhir import FhirExport, Options, export_fhir
from rxlint.library.screen import Screened
from rxlint.notation.tree import Document
from rxlint.packs import LEVELS
from rxlint.screening.finding import Finding
from rxlint.text import Problem, printable

Outcome = Literal["exported", "incomplete", "refused", "not usable", "misconfigured"]


@dataclass(frozen=True, slots=True)
class Export:
    """What became of it, the text to write (empty where nothing is), and what to tell beside it.

    ``incomplete``: written, and something in it must not be used as it stands. ``refused``: nothing is written.
    """

    outcome: Outcome
    text: str
    told: tuple[str, ...]


def to_json(document: Document | Problem, shown: str) -> Export:
    """A document as plain JSON."""
    found = document if isinstance(document, Problem) else export_document(document)
    if isinstance(found, Problem):
        place = f":{found.line}:{found.column or 1}" if found.line is not None else ""
        return Export("not usable", "", (f"{shown}{place}: {printable(found.message)}",))
    told = tuple(
        f"{shown}:{number}: this line can't be read; it is carried as it stands" for number in found.unreadable
    )
    return Export("incomplete" if told else "exported", found.text, told)


def to_fhir(screened: Screened, day: datetime.date, options: Options, *, despite_findings: bool = False) -> Export:
    """A prescription as requests in FHIR. Refused where something in it is to be rejected, known from before or not,
    unless ``despite_findings``: then its requests are drafts, and say so.
    """
    document, screening = screened.document, screened.screening
    if document is None or screening is None:
        told = tuple(f"{screened.shown}: {printable(problem.message)}" for problem in screened.problems)
        return Export("misconfigured" if screened.misconfigured else "not usable", "", told)
    if screening.crashes:
        crashes = (f"{screened.shown}: {printable(each.told)}" for each in screening.crashes)
        return Export("not usable", "", tuple(crashes))
    # a list of what an old library has already answers for none of it
    standing = [each for each in screening.findings if each.acceptance is None]
    rejects = [each for each in standing if each.level == "reject"]
    if rejects and not despite_findings:
        lines = [f"{screened.shown}:{each.place.line}:{each.place.column}: {_finding(each)}" for each in rejects]
        last = f"{screened.shown}: what must not be used as written is not exported (--despite-findings does that)"
        return Export("refused", "", (*lines, last))
    stands = tuple(f"line {each.place.line}: {_finding(each)}" for each in standing)
    options = replace(options, screened=_screened(standing, day), stands=stands, rejected=bool(rejects))
    try:
        found = export_fhir(document, options)
    except ValueError as error:
        return Export("refused", "", (f"{screened.shown}: {error}",))
    return Export("incomplete" if rejects else "exported", found.text, _closing(screened.shown, document, found))


def _screened(standing: list[Finding], day: datetime.date) -> str:
    levels = [each.level for each in standing]
    told = ", ".join(f"{levels.count(level)} {level}" for level in LEVELS)
    return f"Screened by rxlint {__version__} as of {day.isoformat()}; findings that stand: {told}."


def _finding(finding: Finding) -> str:
    known = "known " if finding.known else ""
    return printable(f"{known}{finding.level}: {finding.message} [{finding.rule}]")


def _closing(shown: str, document: Document, found: FhirExport) -> tuple[str, ...]:
    """What became of every line that states something; what is in no resource."""
    lines = {entry.lines[0].number for entry in document.entries if entry.kind in ("detail", "row", "unread")}
    parts = [lines & each for each in (found.parameters, found.elements, found.noted)]
    parameters, elements, noted = map(len, parts)
    # a signed date stands in an element, its time in a note
    several = len(set().union(*parts)) < parameters + elements + noted
    both = " (a line may be in two)" if several else ""
    told = f"{shown}: {found.requests} request{'' if found.requests == 1 else 's'}; of {len(lines)} lines "
    told += f"{parameters} are parameters, {elements} other elements, {noted} in notes{both}"
    missing = sorted(lines.difference(*parts))
    if missing:
        told += f"; not exported: line{'' if len(missing) == 1 else 's'} {', '.join(map(str, missing))}"
    if found.comments:
        told += f"; not exported: {found.comments} comment{'' if found.comments == 1 else 's'}"
    return (f"{told}.",)
