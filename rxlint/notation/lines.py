"""Physical lines to the text of statements: comments cut off, look-alike letters read, lists joined over lines."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final, NamedTuple

from rxlint.notation.events import Event
from rxlint.text import MAX_LINE, Hazard, Line, code_of, hazards_of, repair_letters
from rxlint.vocabulary import chunks_of

_MEMORY: Final = 20_000  # lines remembered; a library's lines repeat themselves
_BLANKS: Final = " \t"
_EVENTS: Final = (
    ("hidden", "reader.hidden-character"),
    ("look-alike", "reader.look-alike"),
    ("space", "reader.odd-space"),
)


class Code(NamedTuple):
    """What a line, or a statement over several, says.

    ``text`` is without comment and white space at its end; ``indent`` counts a tab as one; ``unreadable`` says that its
    characters leave its meaning open; ``continues`` that it ends in a comma, so that a deeper line may go on with it.
    """

    text: str
    indent: int
    unreadable: bool
    events: tuple[Event, ...]
    continues: bool
    is_comment: bool = False


@lru_cache(maxsize=_MEMORY)
def code_of_line(text: str) -> Code:
    """A line's code, with certain look-alikes read as what they look like, and what is to be said of its characters."""
    if len(text) > MAX_LINE:
        return _too_long(text)
    end = code_of(text)
    hazards = hazards_of(text, end)
    code = (repair_letters(text, hazards) if hazards else text)[:end].rstrip()
    unreadable = any(
        hazard.kind in ("hidden", "look-alike") and hazard.letter is None for hazard in hazards if hazard.at < end
    )
    indent = len(code) - len(code.lstrip(_BLANKS))
    continues = indent > 0 and code.endswith(",") and chunks_of(code)[-1].kind == "punct"
    is_comment = not code and end < len(text)
    return Code(code, indent, unreadable, tuple(_character_events(text, hazards)), continues, is_comment)


def statement_at(lines: Sequence[Line], at: int) -> tuple[int, Code]:
    """The statement that begins at a line: how many lines it has, and their code joined by line feeds."""
    first = code_of_line(lines[at].text)
    if not first.continues:
        return 1, first
    codes = [first.text]
    events = [_moved(each, 0, first) for each in first.events]
    unreadable = first.unreadable
    used = 1
    last = first
    while last.continues:
        following = _next_of_list(lines, at + used, first.indent)
        if not following:
            break
        for last in following:
            offset = sum(len(code) + 1 for code in codes)
            events += [_moved(each, offset, last) for each in last.events]
            codes.append(last.text)
            unreadable = unreadable or last.unreadable
        used += len(following)
    return used, Code("\n".join(codes), first.indent, unreadable, tuple(events), last.continues)


def _moved(event: Event, by: int, code: Code) -> Event:
    """The event of a line among others; what would stand in place of its comment too has no place in their code."""
    over, readings = event.over, event.readings
    if over is not None:
        readings = readings if over[1] <= len(code.text) else ()
        over = (over[0] + by, over[1] + by)
    return replace(event, start=event.start + by, end=event.end + by, over=over, readings=readings)


def _next_of_list(lines: Sequence[Line], at: int, indent: int) -> list[Code]:
    """The next line of a list, with the lines of comments before it; nothing where the list does not go on."""
    found: list[Code] = []
    for line in lines[at:]:
        code = code_of_line(line.text)
        found.append(code)
        if not code.is_comment:
            return found if code.text and code.indent > indent else []
    return []


def _too_long(text: str) -> Code:
    """A line that is not read: a mark stands for it, unless it is a comment to its end."""
    fields = {"length": f"{len(text):,}", "limit": f"{MAX_LINE:,}"}
    event = Event("reader.line-too-long", 0, 1, fields)
    if not text[: code_of(text[:MAX_LINE])].strip():
        return Code("", 0, False, (event,), False, True)
    indent = len(text) - len(text.lstrip(_BLANKS))
    return Code(text[:indent] + "?", indent, True, (replace(event, start=indent, end=indent + 1),), False)


def _character_events(text: str, hazards: list[Hazard]) -> list[Event]:
    """One event for each kind of hazard of a line, at the first of its kind."""
    events: list[Event] = []
    for kind, name in _EVENTS:
        here = [hazard for hazard in hazards if hazard.kind == kind]
        if not here:
            continue
        at = here[0].at
        codes = ", ".join(dict.fromkeys(f"U+{ord(hazard.char):04X}" for hazard in here))
        if kind == "look-alike":
            word, over = _word_at(text, at)
            plain = "".join(_plain_char(char, here) for char in word)
            fields = {"what": word, "plain": plain, "where": f"{codes} in place of a plain letter or digit"}
            events.append(Event(name, at, at + 1, fields, (plain,), over=over))
        elif kind == "hidden":
            where = "it changes the order in which the line is shown" if here[0].is_direction else "it can't be seen"
            places = {hazard.at for hazard in here}
            without = "".join(char for index, char in enumerate(text) if index not in places).strip()
            over = (len(text) - len(text.lstrip()), len(text.rstrip()))
            events.append(Event(name, at, at + 1, {"code": codes, "where": where}, (without,), over=over))
        else:
            events.append(Event(name, at, at + 1, {"code": codes}))
    return events


def _plain_char(char: str, hazards: list[Hazard]) -> str:
    known = next((hazard.letter for hazard in hazards if hazard.char == char and hazard.letter), None)
    return known or unicodedata.normalize("NFKC", char)


def _word_at(text: str, at: int) -> tuple[str, tuple[int, int]]:
    start = at
    while start > 0 and not text[start - 1].isspace():
        start -= 1
    end = at
    while end < len(text) and not text[end].isspace():
        end += 1
    return text[start:end], (start, end)
