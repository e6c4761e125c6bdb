"""Small departures whose meaning is certain: they are read, and always reported. Nothing else is repaired."""

from __future__ import annotations

import re
from typing import Final

from rxlint.notation.events import Event
from rxlint.vocabulary import Chunk, PhraseTrie, Unexpected

_NAKED: Final = re.compile(r"-?\.[0-9]+")
_GLUED: Final = re.compile(r"(-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?)([^0-9.,:\s].*)")


def repaired(chunks: list[Chunk], error: Unexpected, units: PhraseTrie) -> tuple[list[Chunk], list[Event]] | None:
    """The chunks with the one at fault read as what it certainly means, and events that say so; None where none is."""
    if error.at >= len(chunks):
        return None
    chunk = chunks[error.at]
    if chunk.kind != "word":
        return None
    for attempt in (_leading_zero, _glued, _letter_o):
        done = attempt(chunk, error, units)
        if done is not None:
            pieces, events = done
            return chunks[: error.at] + pieces + chunks[error.at + 1 :], events
    return None


def _leading_zero(chunk: Chunk, error: Unexpected, _units: PhraseTrie) -> tuple[list[Chunk], list[Event]] | None:
    if "NUMBER" not in error.accepts or not _NAKED.fullmatch(chunk.text):
        return None
    better = chunk.text.replace(".", "0.", 1)
    event = Event("reader.leading-zero", chunk.start, chunk.end, {"what": chunk.text, "better": better}, (better,))
    return [Chunk(better, chunk.start, chunk.end, "word")], [event]


def _glued(chunk: Chunk, error: Unexpected, units: PhraseTrie) -> tuple[list[Chunk], list[Event]] | None:
    match = _GLUED.fullmatch(chunk.text)
    if match is None or "NUMBER" not in error.accepts:
        return None
    number, unit = match.groups()
    middle = chunk.start + len(number)
    first, second = Chunk(number, chunk.start, middle, "word"), Chunk(unit, middle, chunk.end, "word")
    letter = None if unit in units else _plain_unit(unit, units)
    if unit not in units and letter is None:
        return None
    # a percent sign stands close to its number by custom and can't be taken for part of it
    events = [] if unit == "%" else [_glued_event(chunk, number, letter or unit)]
    if letter is not None:
        events.append(_letter_event(second, letter))
        second = Chunk(letter, middle, chunk.end, "word")
    return [first, second], events


def _glued_event(chunk: Chunk, number: str, unit: str) -> Event:
    better = f"{number} {unit}"
    return Event("reader.glued-unit", chunk.start, chunk.end, {"what": chunk.text, "better": better}, (better,))


def _plain_unit(text: str, units: PhraseTrie) -> str | None:
    """A unit in which the digit 0 stands for the letter O (cmH20)."""
    plain = text.replace("0", "O")
    return plain if plain != text and plain in units else None


def _letter_event(chunk: Chunk, plain: str) -> Event:
    fields = {"what": chunk.text, "plain": plain, "where": "the digit 0 stands for the letter O"}
    return Event("reader.look-alike", chunk.start, chunk.end, fields, (plain,))


def _letter_o(chunk: Chunk, error: Unexpected, units: PhraseTrie) -> tuple[list[Chunk], list[Event]] | None:
    if "UNIT" not in error.accepts:
        return None
    plain = _plain_unit(chunk.text, units)
    if plain is None:
        return None
    return [Chunk(plain, chunk.start, chunk.end, "word")], [_letter_event(chunk, plain)]
