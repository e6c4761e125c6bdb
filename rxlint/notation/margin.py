"""Lines at the margin that are no proper heading: what section they name, or which detail lost its indentation."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from rxlint.notation.events import Event
from rxlint.notation.near import near
from rxlint.vocabulary import Chunk, chunks_of, vocabulary

_MEMORY: Final = 2_000
_OTHER_HEADINGS: Final = ("readings", "checked", "back-up")  # those that the grammar has words of its own for
_FIRST_LINES: Final = ("prescription", "template")


def section_named(code: str) -> str | None:
    """The section that a line names at its beginning, however it goes on; None where it names none."""
    chunks = chunks_of(code)
    found = vocabulary().tries["SECTION"].longest(chunks, 0)
    if found is not None:
        return found[1]
    first = chunks[0].text
    return first if first in _OTHER_HEADINGS else None


@lru_cache(maxsize=_MEMORY)
def detail_at_margin(code: str) -> Event | None:
    """The event for a detail at the margin; None where the line can be meant as a heading.

    A term that is longer than the section's name it begins with is a term: `oxygen inlet capped` is no period of
    oxygen.
    """
    words = vocabulary()
    chunks = chunks_of(code)
    term = words.tries["any term"].longest(chunks, 0)
    if term is None or chunks[0].text in _FIRST_LINES:
        return None
    section = words.tries["SECTION"].longest(chunks, 0)
    length = section[0] if section is not None else int(chunks[0].text in _OTHER_HEADINGS)
    if term[0] <= length:
        return None
    fields = {"what": f"{term[1]} stands at the margin", "expected": "a heading; details are indented under theirs"}
    return Event("reader.not-understood", 0, len(code), fields)


def misspelt_detail_at_margin(code: str) -> Event | None:
    """The event for a line that names no section and is rather a misspelt detail than a misspelt heading."""
    words = vocabulary()
    run = leading_words(chunks_of(code))
    text = " ".join(chunk.text for chunk in run)
    headings = [*words.tries["SECTION"].phrases, *_OTHER_HEADINGS, *_FIRST_LINES]
    if near(run[0].text, headings) or near(text, headings):
        return None
    readings = near(text, words.tries["any term"].phrases)
    if not readings:
        return None
    fields = {"what": f"{text} stands at the margin", "expected": "a heading; details are indented under theirs"}
    return Event("reader.not-understood", 0, len(code), fields)


def leading_words(chunks: list[Chunk]) -> list[Chunk]:
    """The words that a line begins with, up to a number: the most that can be meant as its term."""
    run = [chunks[0]]
    for chunk in chunks[1:4]:
        if chunk.kind != "word" or not chunk.text[0].isalpha():
            break
        run.append(chunk)
    return run
