"""Tells phrases apart by where they stand.

A grammar of ours has generic raw tokens (number, text, date ...), keywords written as quoted strings (which may be
several words, such as ``"in steps of"``) and declared classes (``TERM``, ``UNIT`` ...) whose members come from a
vocabulary. At each step the parser's own table says which terminals may come next; of those the longest match in the
text is taken. So a word means what its place lets it mean, and one vocabulary entry adds a term without touching a
grammar.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, ClassVar

from lark import Lark, Token
from lark.common import LexerConf
from lark.lexer import Lexer, PatternStr

_CHUNK = re.compile(
    r"""(?P<text>"(?:\\.|[^"\\])*")            # quoted text
      | (?P<open>"(?:\\.|[^"\\])*\\?$)         # quoted text that never ends
      | (?P<punct>[,()])
      | (?P<word>[^\s,()"]+(?:/\([^\s,()"]*\))?) # anything else up to white space; a unit may hold one bracket
    """,
    re.VERBOSE,
)


_LONGEST_RUN = 6  # chunks of the longest raw token with spaces in it: "7 years 4 months 2 days"


@dataclass(frozen=True, slots=True)
class Chunk:
    """A piece of a line between white space, with its place (code points from the line's start)."""

    text: str
    start: int
    end: int
    kind: str  # text, open, punct, word


def chunks_of(text: str, start: int = 0) -> list[Chunk]:
    """Cut a line into chunks; nothing but white space is left out."""
    return [
        Chunk(match.group(), match.start(), match.end(), match.lastgroup or "word")
        for match in _CHUNK.finditer(text, start)
    ]


def _as_spaced(run: Sequence[Chunk]) -> str:
    """The chunks with as many spaces between them as they stand apart: places in the text are places in the line."""
    parts = [run[0].text]
    for before, chunk in itertools.pairwise(run):
        parts += [" " * (chunk.start - before.end), chunk.text]
    return "".join(parts)


@lru_cache(maxsize=16_384)
def _words_of(spelling: str) -> tuple[str, ...]:
    """The words of a phrase; the same phrases stand in many tries."""
    return tuple(chunk.text for chunk in chunks_of(spelling))


class PhraseTrie:
    """Phrases by their words. Matching ignores case unless the trie is exact (units, where case is meaning)."""

    __slots__ = ("_exact", "_root", "phrases")

    def __init__(self, phrases: Mapping[str, str] | Iterable[str], *, exact: bool = False) -> None:
        """``phrases`` maps each spelling to its canonical form (or is a plain list of canonical forms)."""
        items = phrases.items() if isinstance(phrases, Mapping) else ((phrase, phrase) for phrase in phrases)
        self._exact = exact
        self._root: dict[str, Any] = {}
        self.phrases: dict[str, str] = dict(items)
        for spelling, canonical in self.phrases.items():
            node = self._root
            for word in _words_of(spelling):
                node = node.setdefault(self._key(word), {})
            node[""] = canonical

    def _key(self, word: str) -> str:
        return word if self._exact else word.casefold()

    def longest(self, chunks: Sequence[Chunk], at: int) -> tuple[int, str] | None:
        """The longest phrase that starts at chunk ``at``: (chunks used, canonical form), or None."""
        node: dict[str, Any] | None = self._root
        best: tuple[int, str] | None = None
        index = at
        while index < len(chunks):
            node = node.get(self._key(chunks[index].text)) if node is not None else None
            if node is None:
                break
            index += 1
            if "" in node:
                best = (index - at, node[""])
        return best

    def __contains__(self, phrase: str) -> bool:
        found = chunks_of(phrase)
        match = self.longest(found, 0)
        return match is not None and match[0] == len(found)


EMPTY_TRIE = PhraseTrie(())


@dataclass(frozen=True, slots=True)
class PhraseInput:
    """What a grammar reads: the chunks of one statement and the members of each declared class."""

    chunks: Sequence[Chunk]
    classes: Mapping[str, PhraseTrie] = field(default_factory=dict)
    line_end: int = 0
    trail: list[tuple[int, Token]] = field(default_factory=list)  # tokens picked so far, with their chunk


class Unexpected(Exception):
    """No terminal that may come next matches the text.

    ``at`` is the index of the chunk (``len(chunks)`` at the end), ``accepts`` the names of the terminals that may come.
    """

    def __init__(self, source: PhraseInput, at: int, accepts: frozenset[str], keywords: Mapping[str, str]) -> None:
        super().__init__(f"nothing that may come next matches at chunk {at}")
        self.source = source
        self.at = at
        self.accepts = accepts
        self.keywords = tuple(sorted(keywords[name] for name in accepts if name in keywords))

    @property
    def start(self) -> int:
        """Where the chunk at fault begins."""
        chunks = self.source.chunks
        return chunks[self.at].start if self.at < len(chunks) else self.source.line_end

    @property
    def end(self) -> int:
        """Where the chunk at fault ends."""
        chunks = self.source.chunks
        return chunks[self.at].end if self.at < len(chunks) else self.source.line_end


def where_it_stopped(parser: Lark, source: PhraseInput, start: str, at: int) -> Unexpected:
    """The error for a text that stopped fitting at chunk ``at``, with the terminals that could really have come there.

    The parser's table merges states, so a state's own list holds more than can follow; only a trial of each tells.
    """
    trial: Any = parser.parse_interactive(source, start=start)  # any input does for a custom lexer
    for index, token in source.trail:
        if index >= at:
            break
        trial.feed_token(token)
    lexer: Any = parser.parser.lexer
    return Unexpected(source, at, frozenset(trial.accepts()), lexer.keywords)


class PhraseLexer(Lexer):
    """A lexer for lark that picks each token by the parser's state and the vocabulary."""

    __future_interface__: ClassVar[int] = 2

    def __init__(self, conf: LexerConf) -> None:
        self.keywords: dict[str, str] = {}
        self._raw: list[tuple[str, re.Pattern[str]]] = []
        for terminal in sorted(conf.terminals, key=lambda t: (-t.priority, -t.pattern.max_width, t.name)):
            if isinstance(terminal.pattern, PatternStr):
                self.keywords[terminal.name] = terminal.pattern.value
            else:
                self._raw.append((terminal.name, re.compile(terminal.pattern.to_regexp())))
        self._runs = frozenset(name for name, pattern in self._raw if " " in pattern.pattern)  # may span chunks
        self._by_state: dict[int, tuple[frozenset[str], PhraseTrie]] = {}

    def _accepted(self, parser_state: Any) -> tuple[frozenset[str], PhraseTrie]:
        position = parser_state.position
        known = self._by_state.get(position)
        if known is None:
            names = frozenset(parser_state.parse_conf.states[position])
            known = names, PhraseTrie({self.keywords[name]: name for name in names if name in self.keywords})
            self._by_state[position] = known
        return known

    def lex(self, lexer_state: Any, parser_state: Any) -> Iterator[Token]:
        """The tokens of a PhraseInput; raises Unexpected where none of those that may come next matches."""
        source: PhraseInput = lexer_state.text
        chunks = source.chunks
        at = 0
        while at < len(chunks):
            accepts, keywords = self._accepted(parser_state)
            used, name, value = self._pick(source, at, accepts, keywords)
            token = Token(name, value, chunks[at].start, None, None, None, None, chunks[at + used - 1].end)
            source.trail.append((at, token))
            yield token
            at += used
        accepts, _ = self._accepted(parser_state)
        if "$END" not in accepts:
            raise Unexpected(source, at, accepts, self.keywords)

    def _pick(
        self, source: PhraseInput, at: int, accepts: frozenset[str], keywords: PhraseTrie
    ) -> tuple[int, str, str]:
        chunks = source.chunks
        chunk = chunks[at]
        best: tuple[int, str, str] | None = None
        if chunk.kind != "text":
            keyword = keywords.longest(chunks, at)
            if keyword is not None:
                best = keyword[0], keyword[1], self.keywords[keyword[1]]
            for name, trie in source.classes.items():
                if name in accepts:
                    found = trie.longest(chunks, at)
                    if found is not None and (best is None or found[0] > best[0]):
                        best = found[0], name, found[1]
        return best or self._pick_raw(source, at, accepts)

    def _pick_raw(self, source: PhraseInput, at: int, accepts: frozenset[str]) -> tuple[int, str, str]:
        chunk = source.chunks[at]
        for name, pattern in self._raw:
            if name not in accepts:
                continue
            if name in self._runs:
                for used in range(min(_LONGEST_RUN, len(source.chunks) - at), 1, -1):
                    run = source.chunks[at : at + used]
                    if pattern.fullmatch(" ".join(each.text for each in run)):
                        return used, name, _as_spaced(run)
            elif pattern.fullmatch(chunk.text):
                return 1, name, chunk.text
        raise Unexpected(source, at, accepts, self.keywords)
