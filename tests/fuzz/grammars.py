"""Texts made from the grammars themselves, for hypothesis: every rule that stands in them may be drawn, and none is
listed here. A text that the grammar allows need not be a sound order: its unit may not be one of its term.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from functools import cache
from typing import Any, Final

from hypothesis import strategies as st
from lark import Lark
from lark.lexer import PatternStr

from rxlint.expressions.lexicon import lexicon_of
from rxlint.expressions.parse import grammar
from rxlint.model.names import base_names
from rxlint.notation import render_document
from rxlint.notation.grammar import line_grammar
from rxlint.notation.statements import begun_detail, begun_heading, begun_row
from rxlint.vocabulary import PhraseTrie, vocabulary
from tests.fuzz.mutate import mutated
from tests.notation.strategies import documents

_DEEPEST: Final = 10  # rules within one another, where there is a choice
_NEVER: Final = 1_000
_Rule = tuple[tuple[bool, str], ...]  # of each symbol: whether it is a terminal, and its name


class _Made:
    """The rules of one grammar, with how deep each must go at least."""

    def __init__(self, parser: Lark) -> None:
        self.rules: dict[str, list[_Rule]] = {}
        for rule in parser.rules:
            symbols = tuple((bool(each.is_term), str(each.name)) for each in rule.expansion)
            self.rules.setdefault(str(rule.origin.name), []).append(symbols)
        self.patterns = {each.name: each.pattern for each in parser.terminals}

    def heights(self, classes: Mapping[str, PhraseTrie]) -> dict[str, int]:
        """For each rule's name the least depth; a class that has no members here can't be reached."""
        found = dict.fromkeys(self.rules, _NEVER)
        while True:
            new = {
                name: min(self.height(each, found, classes) for each in options) for name, options in self.rules.items()
            }
            if new == found:
                return found
            found = new

    def height(self, rule: _Rule, heights: Mapping[str, int], classes: Mapping[str, PhraseTrie]) -> int:
        return min(_NEVER, 1 + max((self._least(each, heights, classes) for each in rule), default=0))

    def _least(self, symbol: tuple[bool, str], heights: Mapping[str, int], classes: Mapping[str, PhraseTrie]) -> int:
        is_terminal, name = symbol
        if not is_terminal:
            return heights[name]
        return 0 if name in self.patterns or (name in classes and classes[name].phrases) else _NEVER

    def terminal(self, name: str, classes: Mapping[str, PhraseTrie]) -> st.SearchStrategy[str]:
        pattern = self.patterns.get(name)
        if pattern is None:
            return st.sampled_from(sorted(map(str, classes[name].phrases)))
        if isinstance(pattern, PatternStr):
            return st.just(str(pattern.value))
        return st.from_regex(pattern.to_regexp(), fullmatch=True).filter(lambda text: "\n" not in text)


@cache
def _lines() -> _Made:
    return _Made(line_grammar())


@cache
def _expressions() -> _Made:
    return _Made(grammar())


@st.composite
def words_of(draw: st.DrawFn, made: _Made, start: str, classes: Mapping[str, PhraseTrie]) -> str:
    """A text that a rule of a grammar allows, its words parted by spaces."""
    heights = made.heights(classes)

    def expand(symbol: tuple[bool, str], left: int) -> list[str]:
        is_terminal, name = symbol
        if is_terminal:
            return [draw(made.terminal(name, classes))]
        options = made.rules[name]
        least = {rule: made.height(rule, heights, classes) for rule in options}
        fitting = [rule for rule in options if least[rule] <= left] or [min(options, key=lambda rule: least[rule])]
        rule = draw(st.sampled_from(fitting))
        return [word for part in rule for word in expand(part, left - 1)]

    return " ".join(expand((False, start), _DEEPEST))


def expressions() -> st.SearchStrategy[str]:
    """An expression over all terms of the notation and all that is derived from them."""
    classes: Any = lexicon_of(base_names()).classes
    return words_of(_expressions(), "start", classes)


def headings() -> st.SearchStrategy[str]:
    return words_of(_lines(), "heading", begun_heading("settings").classes)


@st.composite
def details(draw: st.DrawFn, section: str) -> str:
    """A line of a section: one of its terms with a value of its form, or what stands there without a term."""
    home = vocabulary().sections[section]
    phrase = draw(st.sampled_from(sorted(home.terms))) if home.terms and home.bare != "list" else ""
    begun = begun_detail(section, phrase or "1")
    if begun.form == "relation":
        return f"{phrase} {draw(expressions())}"
    value = draw(words_of(_lines(), begun.form or "stage", begun.classes))
    key = (
        draw(st.sampled_from(["", "", "age"]))
        if begun.form in ("quantity", "fraction", "age", "number", "ratio")
        else ""
    )
    if not key:
        return f"{phrase} {value}".strip()
    row = draw(words_of(_lines(), "row", begun_row(section, phrase, "1").classes))
    return f"{phrase} by {key}\n    {row}"


@st.composite
def from_grammar(draw: st.DrawFn) -> str:
    """A document of lines that the grammar allows, each in a section that may hold it."""
    out = [
        draw(words_of(_lines(), "heading", begun_heading("x").classes)) if draw(st.booleans()) else 'prescription "x"'
    ]
    sections = st.sampled_from([name for name, home in vocabulary().sections.items() if home.terms or home.bare])
    for name in draw(st.lists(sections, max_size=3)):
        out += [] if name == "head" else [draw(headings()) if draw(st.integers(0, 3)) == 0 else name]
        out += [f"  {draw(details(name))}" for _ in range(draw(st.integers(0, 4)))]
    return "\n".join(out) + "\n"


def valid() -> st.SearchStrategy[bytes]:
    """Sound documents: every section, form and kind of value."""
    return documents().map(lambda made: render_document(made).encode("utf-8"))


def _nearly(data: bytes, chance: random.Random) -> bytes:
    return mutated([data], chance)


def texts() -> st.SearchStrategy[bytes]:
    """Valid ones, those that the grammar allows, both with a slip or a few, and what is no document at all."""
    allowed = valid() | from_grammar().map(lambda text: text.encode("utf-8"))
    slips = st.builds(_nearly, allowed, st.randoms(use_true_random=False))
    return st.one_of(
        allowed, slips, slips, st.text(max_size=80).map(lambda text: text.encode()), st.binary(max_size=80)
    )
