"""Files of readings put beside an order: read as if their sections stood in it, each line keeping its own place.

Lines of a joined file count on from those of the order, so that every line of the whole has a number of its own;
``home`` tells in which file a line stands, and where.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from rxlint.notation.document import READINGS_ALONE
from rxlint.notation.tree import Block, Document, Entry, Joined, Place, Reported

_RESERVE: Final = 1  # between two files, so that no place of the one touches the other


def join(order: Document, readings: Sequence[tuple[str, Document]]) -> Document:
    """The order with the sections of some files of readings, each with the name that it is shown under."""
    before = _length(order)
    for file, document in readings:
        order = _with(order, Joined(file, before, document))
        before += _length(document)
    return order


def _length(document: Document) -> int:
    return len(document.source.lines) + _RESERVE


def _with(order: Document, joined: Joined) -> Document:
    added = joined.document
    blocks = tuple(_moved_block(each, joined.before) for each in added.blocks)
    reported = tuple(
        Reported(
            each.event,
            _moved(each.entry, joined.before),
            each.section,
            tuple((_moved(entry, joined.before), start, end, text) for entry, start, end, text in each.related),
        )
        for each in added.reported
        if each.event.name != READINGS_ALONE
    )
    return replace(
        order,
        blocks=(*order.blocks, *blocks),
        reported=(*order.reported, *reported),
        joined=(*order.joined, joined),
    )


def _moved(entry: Entry, by: int) -> Entry:
    lines = tuple(line._replace(number=line.number + by) for line in entry.lines)
    return entry._replace(lines=lines, rows=tuple(_moved(row, by) for row in entry.rows))


def _moved_block(block: Block, by: int) -> Block:
    details = tuple(_moved(each, by) for each in block.details)
    return replace(block, entry=_moved(block.entry, by), details=details)


def home(document: Document, line: int) -> tuple[str | None, int]:
    """The file in which a line stands, and its number there; None for the document's own."""
    for joined, following in pairwise((*document.joined, None)):
        if joined is not None and joined.before < line and (following is None or line <= following.before):
            return joined.file, line - joined.before
    return None, line


def own_place(document: Document, place: Place) -> Place:
    """A place with its lines counted in their own file, and with that file's name."""
    file, line = home(document, place.line)
    if file is None:
        return place
    return replace(place, line=line, end_line=place.end_line - place.line + line, file=file)


def told_lines(document: Document, lines: Sequence[int]) -> str:
    """Some lines as a sentence names them: `lines 3, 5`; where several files are read together, with their file."""
    by_file: dict[str | None, list[str]] = {}
    for line in lines:
        file, number = home(document, line)
        by_file.setdefault(file, []).append(str(number))
    parts = []
    for file, numbers in by_file.items():
        where = f" of {file or 'the order'}" if document.joined else ""
        parts.append(f"line{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}{where}")
    return ", ".join(parts)
