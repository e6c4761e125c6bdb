"""Lines that can be folded away: sections, tables, statements over several lines, runs of comments."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from rxlint.editor.shapes import Fold
from rxlint.editor.snapshot import Snapshot
from rxlint.notation.tree import Document, Entry


def folds(snapshot: Snapshot) -> tuple[Fold, ...]:
    """The folds of a text, those that begin first before the others, the longer before the shorter."""
    document = snapshot.document
    if document is None:
        return ()
    found = {*_sections(document), *_statements(document), *_comments(document)}
    return tuple(sorted(found, key=lambda fold: (fold.first, -fold.last, fold.is_comment)))


def is_comment(entry: Entry) -> bool:
    """Whether an entry is a line of comment alone."""
    return entry.kind == "blank" and entry.lines[0].text.strip() != ""


def sections_in(entries: Sequence[Entry]) -> Iterator[tuple[Entry, int]]:
    """Every heading with the last line of its section: that of its last statement, or a comment indented after it."""
    heading: Entry | None = None
    last = 0
    for entry in entries:
        if entry.kind in ("heading", "document"):
            if heading is not None:
                yield heading, last
            heading = entry
        elif entry.kind == "blank" and not (is_comment(entry) and entry.lines[0].text[:1] in (" ", "\t")):
            continue
        last = entry.lines[-1].number
    if heading is not None:
        yield heading, last


def _sections(document: Document) -> Iterator[Fold]:
    for heading, last in sections_in(document.entries):
        if last > heading.lines[0].number:
            yield Fold(heading.lines[0].number, last)


def _statements(document: Document) -> Iterator[Fold]:
    """Tables with their rows, and whatever else goes over several lines."""
    tables = {entry.lines[0].number: entry for block in document.blocks for entry in block.details if entry.rows}
    for entry in document.entries:
        first = entry.lines[0].number
        table = tables.get(first)
        last = (table.rows[-1] if table is not None else entry).lines[-1].number
        if last > first:
            yield Fold(first, last)


def _comments(document: Document) -> Iterator[Fold]:
    for comment, run in groupby(document.entries, is_comment):
        entries = list(run)
        if comment and len(entries) > 1:
            yield Fold(entries[0].lines[0].number, entries[-1].lines[-1].number, is_comment=True)
