"""Readings on their own: screened with the order they are of, each finding told in the file where it stands."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from rxlint.library.rulings import Ruling
from rxlint.library.screen import Screened, parse_bytes, screen_under
from rxlint.notation.join import own_place
from rxlint.notation.tree import Document, Place
from rxlint.screening.engine import Screening
from rxlint.screening.finding import OUTCOMES, Coverage, Finding
from rxlint.screening.shelf import Shelf
from rxlint.text import Problem

_NOT_BESIDE = "was not screened: what it should stand beside is no order that can be read"


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file of readings: the name it is shown under, and what was read of it."""

    shown: str
    data: bytes | Problem


def screen_beside(
    ruling: Ruling,
    shown: str,
    data: bytes | Problem,
    sheets: Sequence[Sheet],
    today: datetime.date | None = None,
    path: Path | None = None,
    shelf: Shelf | None = None,
) -> Iterator[Screened]:
    """Screen an order together with files of readings: its own result first, then one for each file.

    ``shelf`` is the library that the order stands in. A file that can't be read, or holds no readings, keeps the order
    and the other files from nothing.
    """
    read = {sheet.shown: _readings_of(sheet) for sheet in sheets}
    usable = [(name, found) for name, found in read.items() if isinstance(found, Document)]
    whole = screen_under(ruling, shown, data, today, path, usable, shelf)
    if whole.document is None or whole.screening is None or whole.document.kind == "readings":
        yield whole
        yield from (Screened(sheet.shown, (Problem(_NOT_BESIDE),), None, None) for sheet in sheets)
        return
    order = replace(whole, screening=_part(whole, None, whole.screening.coverage))
    yield order
    for sheet in sheets:
        found = read[sheet.shown]
        if isinstance(found, Document):
            nothing = Coverage(dict.fromkeys(OUTCOMES, 0), ())  # every rule is counted with the order
            screening = _part(whole, sheet.shown, nothing)
            yield replace(
                order, shown=sheet.shown, document=found, screening=replace(screening, crashes=()), beside=order
            )
        elif isinstance(found, Problem):
            yield Screened(sheet.shown, (found,), None, None)
        else:  # its own findings say why
            assert isinstance(sheet.data, bytes)
            yield screen_under(ruling, sheet.shown, sheet.data, today)


def _readings_of(sheet: Sheet) -> Document | Problem | None:
    """The readings of a file; None where its first line can't be read, so that nobody knows what it holds."""
    if isinstance(sheet.data, Problem):
        return sheet.data
    document = parse_bytes(sheet.data)
    if isinstance(document, Problem) or document.kind == "readings":
        return document
    if document.kind is None:
        return None
    told = f"holds a {document.kind}; a file of readings begins with `readings`"
    return Problem(told, *_first(document))


def _first(document: Document) -> tuple[int, int]:
    entry = next(each for each in document.entries if each.kind == "document")
    return entry.lines[0].number, 1


def _part(whole: Screened, file: str | None, coverage: Coverage) -> Screening:
    """The findings that stand in one of the files (None: the order itself), every place counted in its own file."""
    document, screening = whole.document, whole.screening
    assert document is not None
    assert screening is not None

    def told(place: Place) -> Place:
        own = own_place(document, place)
        if own.file == file:
            return replace(own, file=None)
        return own if own.file is not None else replace(own, file=whole.shown)

    here = [each for each in screening.findings if own_place(document, each.place).file == file]
    return replace(screening, findings=tuple(_placed(each, told) for each in here), coverage=coverage)


def _placed(finding: Finding, told: Callable[[Place], Place]) -> Finding:
    accepted = finding.acceptance
    return replace(
        finding,
        place=told(finding.place),
        related=tuple(replace(each, place=told(each.place)) for each in finding.related),
        corrections=tuple(
            replace(each, place=told(each.place)) if each.place is not None else each for each in finding.corrections
        ),
        acceptance=replace(accepted, place=told(accepted.place)) if accepted is not None else None,
    )
