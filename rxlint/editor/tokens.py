"""What each stretch of a text is: section, term, number, unit. Of a line that can't be read, as much as is known."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Final, NamedTuple

from lark.exceptions import UnexpectedToken

from rxlint.editor.shapes import Token, TokenKind
from rxlint.editor.snapshot import Snapshot
from rxlint.expressions.lexicon import Spelled, lexicon_of
from rxlint.expressions.parse import grammar as expression_grammar
from rxlint.model.names import base_names
from rxlint.notation import nodes as n
from rxlint.notation.grammar import Piece, follow
from rxlint.notation.repair import repaired
from rxlint.notation.statements import Begun, begun_detail, begun_heading, begun_row
from rxlint.notation.tree import Document, Entry, Place
from rxlint.text import MAX_LINE, code_of
from rxlint.vocabulary import EMPTY_TRIE, Chunk, PhraseInput, Unexpected, chunks_of, vocabulary

_MEMORY: Final = 20_000  # statements remembered: of a text that is being typed, all lines but one stay as they are
_MOST_REPAIRS: Final = 8
_UNKNOWN: Final = ""  # the class of a chunk of which only its looks are known

_KINDS: Final[Mapping[str, TokenKind]] = {
    "SECTION": "section",
    **dict.fromkeys(("TERM", "KEY_TERM", "READING"), "term"),
    "UNIT": "unit",
    **dict.fromkeys(("WORD", "ITEM", "BASIS", "MANNER", "PLACE", "MODE", "COUNTRY"), "word"),
    **dict.fromkeys(("NUMBER", "NEGATIVE", "RATIO"), "number"),
    **dict.fromkeys(("DATE", "TIME"), "date"),
    "TEXT": "text",
    "RULE": "rule",
    **dict.fromkeys(("LABEL", "NAME"), "name"),
}
_LOOKS: Final = (
    ("NUMBER", re.compile(r"-?[0-9]+(?:\.[0-9]+)?|-?\.[0-9]+")),
    ("RATIO", re.compile(r"[0-9.]+:[0-9.]+")),
    ("DATE", re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")),
)
_CLOCK: Final = re.compile(r"[0-9]{2}:[0-9]{2}")
_AGE: Final = re.compile(r"(?P<NUMBER>[0-9.]+)|(?P<UNIT>[a-z]+)")
_FIRST_OF_HEADING: Final = frozenset({"prescription", "template"})


class Home(NamedTuple):
    """An entry with the section it stands in, None where that is not known, and the table that it is a row of."""

    entry: Entry
    section: str | None
    table: Entry | None = None


def tokens(snapshot: Snapshot) -> tuple[Token, ...]:
    """The tokens of a text in its order, none over a line's end, none overlapping another."""
    document = snapshot.document
    if document is None:
        return ()
    found = [token for home in homes_of(document) for token in _tokens(home)]
    return tuple(sorted(found, key=lambda token: (token.place.line, token.place.column)))


def homes_of(document: Document) -> Iterator[Home]:
    """Every entry of a document, in its order, with where it stands."""
    sections: dict[int, tuple[str, Entry | None]] = {}
    for block in document.blocks:
        sections[block.entry.lines[0].number] = block.section, None
        for entry in block.details:
            sections[entry.lines[0].number] = block.section, None
            sections |= {row.lines[0].number: (block.section, entry) for row in entry.rows}
    for entry in document.entries:
        section, table = sections.get(entry.lines[0].number, (None, None))
        yield Home(entry, section, table)


def _tokens(home: Home) -> Iterator[Token]:
    for line in home.entry.lines:
        start = 0 if len(line.text) > MAX_LINE and not line.text.lstrip().startswith("#") else code_of(line.text)
        if start < len(line.text) and line.text[start] == "#":
            yield Token(Place(line.number, start + 1, line.number, len(line.text) + 1), "comment")
    if home.entry.kind == "blank":
        return
    for piece in pieces_of(home):
        kind = _kind(piece)
        if kind is not None:
            yield from (Token(place, kind) for place in _by_line(home.entry, piece.start, piece.end))


def _by_line(entry: Entry, start: int, end: int) -> Iterator[Place]:
    """The places of a stretch, one for each line that it has something on."""
    at = start
    for part in entry.text[start:end].split("\n"):
        stripped = part.strip()
        if stripped:
            first = at + part.index(stripped)
            yield entry.place(first, first + len(stripped))
        at += len(part) + 1


def _kind(piece: Piece) -> TokenKind | None:
    return None if piece.kind == _UNKNOWN else _KINDS.get(piece.kind, "keyword")


def pieces_of(home: Home) -> tuple[Piece, ...]:
    """The words of a statement in their order, each with its class; of one that can't be read, as much as is known.

    The text of a term is its key, but in an acceptance, where a term is told without its section. The class is empty
    for a word of which not even the looks tell what it is.
    """
    entry, table = home.entry, home.table
    if any(len(line.text) > MAX_LINE for line in entry.lines):
        return ()
    statement = entry.statement
    if entry.kind in ("heading", "document") and entry.heading is not None:
        return _of_heading(entry.text)
    if entry.kind == "row" and table is not None and table.statement is not None:
        head = table.statement
        if head.term is not None and isinstance(head.body, n.TableHead):
            return _of_row(head.term.section, head.term.phrase, entry.text)
    if entry.kind == "detail" and statement is not None and home.section in vocabulary().sections:
        return _of_detail(home.section or "", entry.text)
    return _of_anything(entry.text)


@lru_cache(maxsize=_MEMORY)
def _of_heading(text: str) -> tuple[Piece, ...]:
    found = _trail(begun_heading(text))
    return (found[0]._replace(kind="SECTION"), *found[1:]) if found else ()


@lru_cache(maxsize=_MEMORY)
def _of_row(section: str, phrase: str, text: str) -> tuple[Piece, ...]:
    return _trail(begun_row(section, phrase, text))


@lru_cache(maxsize=_MEMORY)
def _of_detail(section: str, text: str) -> tuple[Piece, ...]:
    begun = begun_detail(section, text)
    if begun.form is None:
        return _of_anything(text)
    if begun.term is None:
        return _trail(begun)
    own = Piece("TERM", begun.term.key, *begun.span)
    return own, *(_of_expression(text, own.end) if begun.form == "relation" else _trail(begun))


def _trail(begun: Begun) -> tuple[Piece, ...]:
    """The words of a value, certain departures read as the reader reads them."""
    chunks: list[Chunk] = list(begun.chunks)
    pieces: Sequence[Piece] = ()
    at = 0
    for _ in range(_MOST_REPAIRS if begun.form is not None else 0):
        pieces, stopped = follow(chunks, begun.form or "", begun.classes)
        at = stopped.at
        again = repaired(chunks, stopped, begun.classes.get("UNIT", EMPTY_TRIE)) if at < len(chunks) else None
        if again is None:
            break
        chunks = again[0]
    return (*(each for piece in pieces for each in _parted(piece)), *_by_looks(chunks[at:]))


def _parted(piece: Piece) -> Iterator[Piece]:
    """A piece without what says nothing by itself; of an age, its numbers and units."""
    if piece.kind == "AGE":
        for part in _AGE.finditer(piece.text):
            yield Piece(part.lastgroup or _UNKNOWN, part.group(), piece.start + part.start(), piece.start + part.end())
    elif piece.text != ",":
        yield piece


def _of_expression(text: str, start: int) -> tuple[Piece, ...]:
    """The words of an expression: terms, numbers, operators."""
    chunks = chunks_of(text, start)
    source = PhraseInput(chunks, lexicon_of(base_names()).classes, len(text))
    at = len(chunks)
    try:
        expression_grammar().parse(source)  # any input does for a custom lexer
    except Unexpected as error:
        at = error.at
    except UnexpectedToken as error:
        at = len(chunks) if error.token.type == "$END" else source.trail[-1][0]
    found: list[Piece] = []
    for index, token in source.trail:
        if index < at and str(token) != ",":
            kind = {"NAME": "TERM", "FUNCTION": "keyword"}.get(token.type, token.type)
            spelled = token.value
            word = spelled.key if isinstance(spelled, Spelled) else str(token)
            found.append(Piece(kind, word, token.start_pos or 0, token.end_pos or 0))
    return (*found, *_by_looks(chunks[at:]))


@lru_cache(maxsize=_MEMORY)
def _of_anything(text: str) -> tuple[Piece, ...]:
    """The words of a line of which not even the section or the term is known."""
    chunks = chunks_of(text)
    tries = vocabulary().tries
    indented = text[:1] in (" ", "\t")
    for name in ("TERM",) if indented else ("SECTION", "TERM"):
        found = tries["SECTION" if name == "SECTION" else "any term"].longest(chunks, 0)
        if found is not None:
            first = Piece(name, found[1], chunks[0].start, chunks[found[0] - 1].end)
            return first, *_by_looks(chunks[found[0] :])
    if chunks and chunks[0].text in _FIRST_OF_HEADING and not indented:
        return Piece("SECTION", chunks[0].text, chunks[0].start, chunks[0].end), *_by_looks(chunks[1:])
    return tuple(_by_looks(chunks))


def _by_looks(chunks: Sequence[Chunk]) -> Iterator[Piece]:
    """Words by their looks: quoted texts, numbers and the units after them."""
    units = vocabulary().tries["UNIT"]
    after_number = False
    for index, chunk in enumerate(chunks):
        name = _UNKNOWN
        if chunk.kind in ("text", "open"):
            name = "TEXT"
        elif _CLOCK.fullmatch(chunk.text):
            name = "TIME"
        elif after_number and units.longest(chunks[index : index + 1], 0) is not None:
            name = "UNIT"
        else:
            name = next((each for each, looks in _LOOKS if looks.fullmatch(chunk.text)), _UNKNOWN)
        after_number = name == "NUMBER"
        yield Piece(name, chunk.text, chunk.start, chunk.end)
