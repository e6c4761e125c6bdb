"""The grammar of lines, loaded once, and the one way to run it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, Final, NamedTuple

from lark import Lark
from lark.exceptions import UnexpectedToken, VisitError

from rxlint.data import read_data
from rxlint.notation.build import Builder
from rxlint.store.grammar import grammar_of
from rxlint.vocabulary import Chunk, PhraseInput, PhraseLexer, PhraseTrie, Unexpected, where_it_stopped

STARTS: Final = (
    *("heading", "row"),
    *("quantity", "fraction", "age", "number", "ratio"),
    *("mode", "words", "list", "text", "date", "identifier", "count", "link", "signed", "state", "delay"),
    *("cylinder", "preoxygenation", "nebuliser"),
    *("raise", "stop", "call", "gases", "stage", "extend", "return", "accept"),
)

_NOTHING: Final = Chunk(" ", 0, 0, "punct")  # what no terminal matches, so that a statement stops there at the latest


class Piece(NamedTuple):
    """A part of a statement as its form reads it. ``kind`` is "keyword", a declared class (TERM, UNIT ...) or a raw
    token (NUMBER, TEXT ...); ``text`` is canonical, the place is in code points from the statement's start.
    """

    kind: str
    text: str
    start: int
    end: int


@cache
def line_grammar(strict: bool = False) -> Lark:
    """The parser of single statements, built once; `strict` also refuses terminals that collide (for tests)."""
    return grammar_of(
        "prescription-grammar.json",
        read_data("grammar", "prescription.lark"),
        PhraseLexer,
        Builder(),
        start=list(STARTS),
        maybe_placeholders=False,
        strict=strict,
    )


def parse_statement(
    chunks: list[Chunk], start: str, classes: Mapping[str, PhraseTrie], line_end: int
) -> Any:  # a node of the form
    """Parse the chunks of one statement. Raises Unexpected where they don't fit the form."""
    source = PhraseInput(chunks, classes, line_end)
    try:
        return line_grammar().parse(source, start=start)  # any input does for a custom lexer
    except Unexpected as error:
        at = error.at
    except UnexpectedToken as error:
        at = source.trail[-1][0] if error.token.type != "$END" else len(chunks)
    except VisitError as error:
        raise error.orig_exc from None
    raise where_it_stopped(line_grammar(), source, start, at)


def pieces_of(chunks: Sequence[Chunk], start: str, classes: Mapping[str, PhraseTrie]) -> tuple[tuple[Piece, ...], int]:
    """As much of a statement as fits its form, finished or not: its parts, and at which chunk it stopped (the number of
    chunks where all of them fit).
    """
    source, at = _run(chunks, start, classes)
    return _pieces(source, at), at


def follow(
    chunks: Sequence[Chunk], start: str, classes: Mapping[str, PhraseTrie]
) -> tuple[tuple[Piece, ...], Unexpected]:
    """The same, with all that may come where it stopped."""
    source, at = _run(chunks, start, classes)
    return _pieces(source, at), where_it_stopped(line_grammar(), source, start, at)


def _run(chunks: Sequence[Chunk], start: str, classes: Mapping[str, PhraseTrie]) -> tuple[PhraseInput, int]:
    source = PhraseInput([*chunks, _NOTHING], classes, chunks[-1].end if chunks else 0)
    try:
        line_grammar().parse(source, start=start)  # any input does for a custom lexer
    except Unexpected as error:
        return source, error.at
    except UnexpectedToken:
        return source, source.trail[-1][0]
    raise AssertionError("a chunk that nothing matches was read")


def _pieces(source: PhraseInput, at: int) -> tuple[Piece, ...]:
    lexer: Any = line_grammar().parser.lexer
    found = (token for index, token in source.trail if index < at)
    return tuple(
        Piece(
            "keyword" if token.type in lexer.keywords else token.type,
            str(token),
            token.start_pos or 0,
            token.end_pos or 0,
        )
        for token in found
    )
