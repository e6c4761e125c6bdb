"""What may be put at a place, before anything is chosen by what is typed; and how typed words choose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rxlint.editor.completion_units import NUMBERS
from rxlint.editor.shapes import CompletionKind
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.where import Where, key_of_table
from rxlint.notation.document import period_name
from rxlint.notation.grammar import Piece
from rxlint.notation.tree import Block, Entry
from rxlint.vocabulary import Term


@dataclass(frozen=True, slots=True)
class Offer:
    """Text that may stand at a place. ``rank`` sorts, the lowest first."""

    text: str
    kind: CompletionKind
    detail: str = ""
    markdown: str = ""
    rank: int = 0


@dataclass(frozen=True, slots=True)
class Ask:
    """What is asked for: the place, the form and term of its statement, and the parts that stand before it."""

    snapshot: Snapshot
    where: Where
    form: str
    term: Term | None
    pieces: tuple[Piece, ...]
    keywords: tuple[str, ...]

    @property
    def key(self) -> Term | None:
        """What the table goes by, in a row of one."""
        return key_of_table(self.where.table)

    @property
    def section(self) -> str:
        """The section; "" at the margin."""
        return self.where.section or ""

    def has(self, *words: str) -> bool:
        """Whether one of these keywords stands before the place."""
        return any(piece.kind == "keyword" and piece.text in words for piece in self.pieces)

    def has_kind(self, *kinds: str) -> bool:
        """Whether a part of one of these kinds stands before the place."""
        return any(piece.kind in kinds for piece in self.pieces)

    @property
    def last(self) -> Piece | None:
        """The part just before the place."""
        return self.pieces[-1] if self.pieces else None

    @property
    def is_after_number(self) -> bool:
        """Whether a number stands just before the place."""
        return self.last is not None and self.last.kind in NUMBERS

    @property
    def is_template(self) -> bool:
        """Whether the document is a template, where ranges and choices are usual."""
        document = self.snapshot.document
        return document is not None and document.kind == "template"


def fit(text: str, words: Sequence[str]) -> int | None:
    """How well a phrase fits the words that are typed, the last of them perhaps unfinished: at which of its words they
    begin; None where they don't stand in it.
    """
    if not any(words):
        return 0
    own = text.casefold().split()
    typed = [word.casefold() for word in words]
    for first in range(len(own) - len(typed) + 1):
        part = own[first : first + len(typed)]
        if part[:-1] == typed[:-1] and part[-1].startswith(typed[-1]):
            return first
    return None


def blocks_of(snapshot: Snapshot, section: str, period: str | None) -> list[Block]:
    """The sections of a document with this name that hold for a period alone, or (None) for no period alone."""
    document = snapshot.document
    blocks = document.blocks_of(section) if document is not None else ()
    return [block for block in blocks if period_name(block) == period]


def stated_phrases(blocks: Sequence[Block], but: int) -> set[str]:
    """The terms that some sections state, but for those on the line ``but``."""
    found: set[str] = set()
    for entry in (entry for block in blocks for entry in block.details):
        if not stands_on(entry, but) and entry.statement is not None and entry.statement.term is not None:
            found.add(entry.statement.term.phrase)
    return found


def stands_on(entry: Entry, line: int) -> bool:
    """Whether an entry stands on a line, perhaps among others."""
    return entry.lines[0].number <= line <= entry.lines[-1].number
