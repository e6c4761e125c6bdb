"""What stands at a place of a document: section and period, the statement, which part of it, and what may come there.

A half-typed line is read with the same grammar as a finished one, as far as it goes.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from rxlint.editor.shapes import Position
from rxlint.editor.snapshot import Snapshot
from rxlint.notation import grammar
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.grammar import Piece
from rxlint.notation.lines import code_of_line, statement_at
from rxlint.notation.repair import repaired
from rxlint.notation.statements import Begun, begun_detail, begun_heading, begun_row, term_of
from rxlint.notation.tree import Block, Document, Entry, Place
from rxlint.text import MAX_LINE, Line, code_of
from rxlint.vocabulary import EMPTY_TRIE, Chunk, Term, chunks_of, vocabulary

Zone = Literal["margin", "detail", "row", "comment", "text", "nowhere"]

_BLANKS: Final = " \t"
_WORD: Final = re.compile(r'[^\s,()"#]*')
_LONGEST_PHRASE: Final = 6  # words of a phrase that is being typed
_MOST_REPAIRS: Final = 8


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a document.

    ``zone`` is a line at the margin, a detail, a row of a table, a comment, quoted text, or nowhere (no section, a line
    too long to be read, the white space before what stands on a line). ``before`` is the statement up to the place, its
    lines joined by line feeds; ``line`` is the line's own text. ``table`` is the head of the table of a row.
    """

    position: Position
    zone: Zone
    line: str
    before: str = ""
    section: str | None = None
    block: Block | None = None
    table: Entry | None = None

    @property
    def period(self) -> str | None:
        """The period that its section holds for; None where that is no part of the day."""
        return period_name(self.block) if self.block is not None else None

    @property
    def begun(self) -> Begun | None:
        """The statement as far as it stands before the place; None where nothing of it does."""
        return begun_of(self.zone, self.section, self.table, self.before)


class Following(NamedTuple):
    """What may come after a part of a statement: the pieces before, the words that are being typed (the last may be
    empty) with where they begin, and the classes, raw tokens and keywords that may stand there.
    """

    pieces: tuple[Piece, ...]
    words: tuple[str, ...]
    start: int
    accepts: frozenset[str]
    keywords: tuple[str, ...]


def where(snapshot: Snapshot, position: Position) -> Where:
    """What stands at a place. Lines and columns beyond the text are taken for its end."""
    lines = snapshot.lines
    number = max(1, min(position.line, len(lines) + 1))
    text = lines[number - 1].text if number <= len(lines) else ""
    at = max(0, min(position.column - 1, len(text)))
    position = Position(number, at + 1)
    document = snapshot.document
    if document is None or len(text) > MAX_LINE:
        return Where(position, "nowhere", text)
    before = _before(lines, number, text[:at])
    if at > code_of(text):
        return Where(position, "comment", text, before)
    chunks = chunks_of(before)
    if chunks and chunks[-1].kind == "open":
        return Where(position, "text", text, before)
    if not text[:at].strip() and text[at : at + 1] in (" ", "\t") and text.strip():
        return Where(position, "nowhere", text)
    if "\n" not in before and before[:1] not in (" ", "\t"):
        return Where(position, "margin", text, before)
    block = _block_above(document, number)
    section = snapshot.section_at(number - before.count("\n") - 1)
    if block is None or section != block.section or section not in vocabulary().sections:
        return Where(position, "nowhere", text, before)
    table = _table_above(block, number, before)
    return Where(position, "row" if table else "detail", text, before, section, block, table)


def begun_of(zone: Zone, section: str | None, table: Entry | None, text: str) -> Begun | None:
    """A statement, or its beginning, as far as its own words tell what follows."""
    if not text.strip():
        return None
    if zone == "margin":
        return begun_heading(text)
    if section is None or zone not in ("detail", "row"):
        return None
    if zone == "detail":
        return begun_detail(section, text)
    term = term_of_table(table)
    return begun_row(term.section, term.phrase, text) if term is not None else None


def term_of_table(table: Entry | None) -> Term | None:
    """The term whose value stands in a table's rows."""
    return table.statement.term if table is not None and table.statement is not None else None


def key_of_table(table: Entry | None) -> Term | None:
    """The term that a table goes by."""
    body = table.statement.body if table is not None and table.statement is not None else None
    return vocabulary().terms.get(body.key.text) if isinstance(body, n.TableHead) else None


def followings(begun: Begun, before: str) -> list[Following]:
    """What may come at the end of a statement that is begun, by each way to cut off a phrase that is being typed: the
    shortest phrase first.
    """
    if begun.form is None or begun.form == "relation":
        return []
    chunks = begun.chunks
    is_close = bool(chunks) and chunks[-1].end == len(before)
    if is_close and chunks[-1].kind == "text":
        return []
    is_typed = is_close and chunks[-1].kind == "word"
    found: list[Following] = []
    for length in range(int(is_typed), min(_LONGEST_PHRASE, len(chunks)) + 1):
        kept, phrase = chunks[: len(chunks) - length], chunks[len(chunks) - length :]
        if any(chunk.kind not in ("word", "punct") for chunk in phrase):
            break
        pieces, stopped = grammar.follow(kept, begun.form, begun.classes)
        if stopped.at < len(kept):
            continue
        words = tuple(chunk.text for chunk in phrase) + (() if is_typed else ("",))
        start = phrase[0].start if phrase else len(before)
        found.append(Following(pieces, words, start, stopped.accepts, stopped.keywords))
    return found


def replaced(spot: Where, start: int) -> Place | None:
    """The place of a phrase from an offset of the statement to the end of the word at the place; None where the phrase
    begins on another line.
    """
    offset = len(spot.before) - start
    line, column = spot.position
    if offset < 0 or offset > column - 1:
        return None
    rest = _WORD.match(spot.line, column - 1)
    return Place(line, column - offset, line, (rest.end() if rest is not None else column - 1) + 1)


def offset_in(entry: Entry, position: Position) -> int | None:
    """Where a place stands in the text of an entry; None where that has no code there."""
    offset = 0
    for line, text in zip(entry.lines, entry.text.split("\n"), strict=False):
        if line.number == position.line:
            return offset + position.column - 1 if position.column - 1 <= len(text) else None
        offset += len(text) + 1
    return None


def pieces_of(zone: Zone, section: str | None, table: Entry | None, entry: Entry) -> tuple[Piece, ...]:
    """The parts of a statement as far as it can be read, its term first (of the kind "term"); small departures whose
    meaning is certain are read.
    """
    begun = begun_of(zone, section, table, entry.text)
    if begun is None or begun.form is None:
        return ()
    start, end = begun.span
    named = (Piece("term", begun.term.phrase, start, end),) if begun.term is not None and zone == "detail" else ()
    if begun.form == "relation":
        return named
    chunks = list[Chunk](begun.chunks)
    for _ in range(_MOST_REPAIRS):
        pieces, at = grammar.pieces_of(chunks, begun.form, begun.classes)
        if at == len(chunks):
            return (*named, *pieces)
        stopped = grammar.follow(chunks, begun.form, begun.classes)[1]
        again = repaired(chunks, stopped, begun.classes.get("UNIT", EMPTY_TRIE))
        if again is None:
            return (*named, *pieces)
        chunks = again[0]
    return named


def piece_at(pieces: Sequence[Piece], offset: int) -> int | None:
    """Which of the parts stands at an offset: where two meet, the one that begins there."""
    inside = [index for index, piece in enumerate(pieces) if piece.start <= offset <= piece.end]
    return inside[-1] if inside else None


def _before(lines: Sequence[Line], number: int, prefix: str) -> str:
    """The statement before a place: the lines of a list that goes on there, and the beginning of its own line."""
    cut = [*lines[: number - 1], Line(number, prefix if prefix.strip() else f"{prefix}x", "")]
    at = first = number - 1
    while first > 0:
        code = code_of_line(lines[first - 1].text)
        if not code.is_comment and not code.continues:
            break
        first -= 1
    while first < at:
        used, _ = statement_at(cut, first)
        if first + used > at:
            return "\n".join([*(code_of_line(line.text).text for line in lines[first:at]), prefix])
        first += used
    return prefix


def _block_above(document: Document, number: int) -> Block | None:
    """The section that a line stands in."""
    found = [block for block in document.blocks if block.entry.lines[0].number < number]
    return found[-1] if found else None


def _table_above(block: Block, number: int, before: str) -> Entry | None:
    """The head of the table that a line is a row of; None where it is a detail of its own."""
    above = [entry for entry in block.details if entry.lines[0].number < number]
    last = above[-1] if above else None
    statement = last.statement if last is not None else None
    if last is None or statement is None or not isinstance(statement.body, n.TableHead) or "\n" in before:
        return None
    indent = len(before) - len(before.lstrip(_BLANKS))
    if indent <= last.indent or (before.strip() and term_of(block.section, before) is not None):
        return None
    return last
