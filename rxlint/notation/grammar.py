"""The grammar of lines, loaded once, and the one way to run it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, Final

from lark import Lark
from lark.exceptions import UnexpectedToken, VisitError

from rxlint.data import read_data
from rxlint.notation.build import Builder
from rxlint.vocabulary import Chunk, PhraseInput, PhraseLexer, PhraseTrie, Unexpected, where_it_stopped

STARTS: Final = (
    *("heading", "row"),
    *("quantity", "fraction", "age", "number", "ratio"),
    *("mode", "words", "list", "text", "date", "identifier", "count", "link", "signed", "state", "delay"),
    *("cylinder", "preoxygenation", "nebuliser"),
    *("raise", "stop", "call", "gases", "stage", "extend", "return", "accept"),
)


@cache
def line_grammar(strict: bool = False) -> Lark:
    """The parser of single statements, built once; `strict` also refuses terminals that collide (for tests)."""
    return Lark(
        read_data("grammar", "prescription.lark"),
        parser="lalr",
        lexer=PhraseLexer,
        start=list(STARTS),
        transformer=Builder(),
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
