"""The answers that an editor gets, in the project's own terms: places in code points from 1, ends exclusive, plain
text or Markdown, and no type of any protocol.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, NamedTuple

from rxlint.notation.tree import Place
from rxlint.packs import Level


class Position(NamedTuple):
    """A place between two characters: line and column from 1, columns in code points."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Location:
    """A place in a file."""

    path: Path
    place: Place


@dataclass(frozen=True, slots=True)
class Edit:
    """Text to put in the place of what stands there."""

    place: Place
    text: str


@dataclass(frozen=True, slots=True)
class RelatedMark:
    """Another place that has to do with a mark."""

    location: Location
    message: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A finding, or why a text can't be read, at its place. ``rule`` is None for the latter; ``settled`` says that
    somebody answers for it or that it is known from before, so that it is shown without weight.
    """

    place: Place
    level: Level
    message: str
    rule: str | None = None
    settled: bool = False
    related: tuple[RelatedMark, ...] = ()
    fingerprint: str = ""


@dataclass(frozen=True, slots=True)
class Hover:
    """What is told of a place, as Markdown."""

    place: Place
    markdown: str


CompletionKind = Literal["section", "term", "unit", "word", "item", "rule", "document", "keyword", "mode", "name"]


@dataclass(frozen=True, slots=True)
class Completion:
    """Text that may stand at a place. ``rank`` sorts: the lowest first, ties by label."""

    label: str
    kind: CompletionKind
    place: Place  # what it takes the place of: the word that is being typed, or nothing
    text: str
    detail: str = ""
    markdown: str = ""
    rank: int = 0


@dataclass(frozen=True, slots=True)
class Hint:
    """A short text shown beside a value, and why."""

    at: Position
    text: str
    tooltip: str = ""


@dataclass(frozen=True, slots=True)
class Action:
    """A change that an author may ask for: its edits by file. ``settles`` is the mark that it answers, if any."""

    title: str
    kind: Literal["quickfix", "refactor", "source"]
    edits: Mapping[Path, tuple[Edit, ...]]
    settles: Mark | None = None


@dataclass(frozen=True, slots=True)
class Symbol:
    """A part of the outline: a document, a section, a setting."""

    name: str
    kind: Literal["document", "section", "setting", "row"]
    place: Place  # all of it
    name_place: Place
    detail: str = ""
    children: tuple[Symbol, ...] = ()


@dataclass(frozen=True, slots=True)
class Fold:
    """Lines that can be folded to their first one."""

    first: int
    last: int
    is_comment: bool = False


TokenKind = Literal["section", "term", "number", "unit", "keyword", "word", "text", "comment", "name", "rule", "date"]


@dataclass(frozen=True, slots=True)
class Token:
    """A stretch of one line with what it is."""

    place: Place
    kind: TokenKind
