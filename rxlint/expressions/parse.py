"""Text to nodes. Never raises on any text."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from lark import Lark
from lark.exceptions import UnexpectedToken

from rxlint.data import read_data
from rxlint.expressions.build import Builder
from rxlint.expressions.lexicon import lexicon_of
from rxlint.expressions.mistakes import explain
from rxlint.expressions.names import Names
from rxlint.expressions.nodes import Node, depth_of
from rxlint.expressions.problems import Problem
from rxlint.store.grammar import grammar_of
from rxlint.vocabulary.phrases import PhraseInput, PhraseLexer, Unexpected, chunks_of, where_it_stopped

LONGEST: Final = 2000
DEEPEST: Final = 64


@dataclass(frozen=True, slots=True)
class Parsed:
    """A node, or the problems that there is none for. With problems there is never a node."""

    node: Node | None
    errors: tuple[Problem, ...] = ()


@cache
def grammar(strict: bool = False) -> Lark:
    """The parser of the expression language, built once; `strict` also refuses terminals that collide (for tests)."""
    return grammar_of(
        "expression-grammar.json",
        read_data("grammar", "expression.lark"),
        PhraseLexer,
        None,
        strict=strict,
        keep_all_tokens=True,
        maybe_placeholders=False,
    )


def parse(text: str, names: Names) -> Parsed:
    """Read an expression. Its types are not checked yet: see `rxlint.expressions.types`."""
    if len(text) > LONGEST:
        return _refused(
            LONGEST, len(text), f"an expression may have at most {LONGEST} characters; this has {len(text)}"
        )
    lexicon = lexicon_of(names)
    source = PhraseInput(chunks_of(text), lexicon.classes, len(text))
    try:
        tree: Any = grammar().parse(source)
    except Unexpected as trouble:
        return Parsed(None, (explain(_precisely(source, trouble.at), text, lexicon),))
    except UnexpectedToken as trouble:  # the parser's own list of what may come next was too long
        at = len(source.chunks) if trouble.token.type == "$END" else source.trail[-1][0]
        return Parsed(None, (explain(_precisely(source, at), text, lexicon),))
    builder = Builder(lexicon)
    node: Node = builder.transform(tree)
    if builder.problems:
        return Parsed(None, tuple(builder.problems))
    if depth_of(node) > DEEPEST:
        return _refused(node.start, node.end, f"the expression is nested too deeply: more than {DEEPEST} levels")
    return Parsed(node)


def _precisely(source: PhraseInput, at: int) -> Unexpected:
    return where_it_stopped(grammar(), source, "start", at)


def _refused(start: int, end: int, message: str) -> Parsed:
    return Parsed(None, (Problem(start, end, message),))
