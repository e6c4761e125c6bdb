"""The tree of a document: every line in its entry, so that nothing is lost, and sections over the entries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from rxlint.notation import nodes as n
from rxlint.notation.events import Event
from rxlint.notation.statements import Statement
from rxlint.text import Line, Source

EntryKind = Literal["blank", "document", "heading", "detail", "row", "unread"]
Kind = Literal["prescription", "template", "readings"]


@dataclass(frozen=True, slots=True)
class Place:
    """A stretch of text: lines and columns from 1, the end column exclusive. Columns count code points."""

    line: int
    column: int
    end_line: int
    end_column: int
    file: str | None = None  # where it stands in another file than what it belongs to


class Entry(NamedTuple):
    """One statement (or a blank or comment line) with the lines it stands on.

    ``text`` is its code without comments and the white space at its end, its lines joined by line feeds: offsets of
    nodes and events count in it. A named tuple, for one is made for every line of every file, and a frozen dataclass
    takes four times as long.
    """

    kind: EntryKind
    lines: tuple[Line, ...]
    text: str
    statement: Statement | None = None
    heading: n.Heading | None = None
    events: tuple[Event, ...] = ()
    rows: tuple[Entry, ...] = ()

    @property
    def indent(self) -> int:
        """Width of the white space before the statement, a tab counting as one."""
        return len(self.text) - len(self.text.lstrip(" \t"))

    def place(self, start: int, end: int) -> Place:
        """Where the offsets start..end stand in the file."""
        line, column = self._at(start)
        end_line, end_column = self._at(max(end, start))
        return Place(line, column, end_line, end_column)

    def _at(self, offset: int) -> tuple[int, int]:
        before = self.text[:offset]
        row = before.count("\n")
        return self.lines[min(row, len(self.lines) - 1)].number, offset - (before.rfind("\n") + 1) + 1

    def whole(self) -> Place:
        """The place of the statement without its indentation."""
        stripped = self.text.rstrip()
        return self.place(self.indent, len(stripped))


@dataclass(frozen=True, slots=True)
class Block:
    """A section: its heading and its details. ``readable`` is False where its heading could not be read to the end."""

    section: str
    heading: n.Heading | None
    entry: Entry
    details: tuple[Entry, ...]
    readable: bool = True


@dataclass(frozen=True, slots=True)
class Reported:
    """An event with the entry it stands in and related entries."""

    event: Event
    entry: Entry
    section: str | None = None
    related: tuple[tuple[Entry, int, int, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Document:
    """A document as read. ``kind`` is None where its first heading could not be read.

    ``joined`` are files of readings that were put beside it: their sections stand among its ``blocks``, and their lines
    count on from its own.
    """

    source: Source
    kind: Kind | None
    title: str | None
    entries: tuple[Entry, ...]
    blocks: tuple[Block, ...]
    reported: tuple[Reported, ...]
    unread_sections: bool = False
    repeated: frozenset[tuple[str, str | None, str]] = field(default_factory=frozenset)
    joined: tuple[Joined, ...] = ()

    def blocks_of(self, section: str) -> Sequence[Block]:
        """Its sections of this name, in the order of the text."""
        return [block for block in self.blocks if block.section == section]


@dataclass(frozen=True, slots=True)
class Joined:
    """A file that was put beside a document: the name it is shown under, and how many lines stand before its own."""

    file: str
    before: int
    document: Document
