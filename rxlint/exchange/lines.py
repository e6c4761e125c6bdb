"""Many documents in one stream of JSON lines: read one at a time, and never a line lost.

A line is one JSON object, ``{"id": "...", "text": "..."}``: what the sender calls the document, and the document. Every
line has its answer, in its order and with its number: also a blank one, for a sender that counts lines must not come
out of step. What is wrong with a line is the problem of that line alone.

A stream stands in no folder, and so in no library: no settings are read, and what a document `follows` is not looked
for.
"""

from __future__ import annotations

import datetime
import json
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, BinaryIO, Final

from rxlint.library.rulings import Ruling
from rxlint.library.screen import Screened, screen_under
from rxlint.text import MAX_BYTES, Problem

LONGEST_LINE: Final = 2 * MAX_BYTES
"""Longest line that is read, in bytes: twice a document's, for JSON writes some characters longer than they are."""
LONGEST_ID: Final = 1_000
"""Longest identifier, in characters."""
_MEMBERS: Final = ("id", "text")
_AT_ONCE: Final = 65_536  # bytes of a line that is too long and is not kept
_SHOWN: Final = 60
_KINDS: Final = {dict: "an object", list: "a list", str: "a text", bool: "true or false", type(None): "null"}


@dataclass(frozen=True, slots=True)
class Given:
    """A line of a stream: its number from 1, the identifier as far as it could be read, and the document or why not."""

    line: int
    id: str | None
    data: bytes | Problem


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of a line: its number, its identifier, and the document screened."""

    line: int
    id: str | None
    screened: Screened


class _Number:
    """A number, whatever it says: none is wanted anywhere, and none is worked out."""


class _TwiceError(ValueError):
    """An object has a member twice."""


def screen_given(given: Iterable[Given], ruling: Ruling, today: datetime.date | None = None) -> Iterator[Answer]:
    """Screen the documents of a stream as they come, all under one ruling."""
    for each in given:
        yield Answer(each.line, each.id, screen_under(ruling, each.id or "", each.data, today))


def read_lines(stream: BinaryIO, first: int = 1, *, is_start: bool = True) -> Iterator[Given]:
    """The lines of a stream as they come; no more than one is held. Lines end at line feeds; ``first`` is the number
    of the first one, and ``is_start`` says that nothing stands before it, so that it may begin with a byte order mark.
    What can't be read ends the stream, with a problem in the place of the line.
    """
    number = first
    while True:
        try:
            line, size = _next_line(stream)
        except (OSError, ValueError) as error:  # ValueError: it was closed
            yield Given(number, None, Problem(f"the stream can't be read on: {getattr(error, 'strerror', 0) or error}"))
            return
        if not size:
            return
        may_be_marked = is_start and number == first
        yield _too_long(number, size) if size > LONGEST_LINE else read_line(line, number, may_be_marked=may_be_marked)
        number += 1


def _next_line(stream: BinaryIO) -> tuple[bytes, int]:
    """A line without its end, and how many bytes it has with it; of one that is too long the beginning alone."""
    line = stream.readline(LONGEST_LINE + 1)
    size, rest = len(line), line
    while size > LONGEST_LINE and rest and not rest.endswith(b"\n"):
        rest = stream.readline(_AT_ONCE)
        size += len(rest)
    return line.removesuffix(b"\n"), size


def _too_long(number: int, size: int) -> Given:
    return Given(number, None, Problem(f"the line is too long: {size:,} bytes, the limit is {LONGEST_LINE:,}"))


def read_line(line: bytes, number: int, *, may_be_marked: bool = False) -> Given:
    """What a line gives, which may begin with a byte order mark or not; never raises."""
    said = _object_of(line, "utf-8-sig" if may_be_marked else "utf-8")
    if isinstance(said, Problem):
        return Given(number, None, said)
    missing = [each for each in _MEMBERS if each not in said]
    further = [each for each in said if each not in _MEMBERS]
    name = read_id(said["id"]) if "id" in said else None
    told = name if isinstance(name, str) else None
    if missing:
        return Given(number, told, Problem(f"the line has no {' and no '.join(missing)}"))
    if further:  # it may be meant to change how the document is screened
        return Given(number, told, Problem(f"a line has id and text alone, and not {_short(further[0])}"))
    if isinstance(name, Problem):
        return Given(number, None, name)
    return Given(number, told, read_text(said["text"]))


def _object_of(line: bytes, encoding: str) -> dict[str, Any] | Problem:
    if not line.strip():
        return Problem("the line is blank: it holds no JSON object")
    try:
        found = json.loads(
            line.decode(encoding),
            object_pairs_hook=_members,
            parse_int=_number,
            parse_float=_number,
            parse_constant=_number,
        )
    except UnicodeDecodeError as error:
        return Problem(f"the line is not UTF-8 text: byte 0x{line[error.start]:02x} can't be read")
    except json.JSONDecodeError as error:
        return Problem(f"the line is not JSON: {error.msg} (column {error.colno})")
    except _TwiceError as error:
        return Problem(str(error))
    except RecursionError:
        return Problem("the line is not what it should be: too many brackets stand within one another")
    return found if isinstance(found, dict) else Problem(f"the line is not a JSON object, but {_kind(found)}")


def _members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in found if names.count(name) > 1)
        raise _TwiceError(f"the member {_short(twice)} stands twice, and nobody can tell which holds")
    return found


def _number(_text: str) -> _Number:
    return _Number()


def _kind(value: object) -> str:
    return _KINDS.get(type(value), "a number")


def _short(name: str) -> str:
    return json.dumps(name[:_SHOWN])


def read_id(value: object) -> str | Problem:
    """What the sender calls a document, or why it can't be used. An answer repeats it, so it must be safe anywhere."""
    if not isinstance(value, str):
        return Problem(f"id must be a text, not {_kind(value)}")
    if not value.strip():
        return Problem("id is empty")
    if len(value) > LONGEST_ID:
        return Problem(f"id is too long: {len(value):,} characters, the limit is {LONGEST_ID:,}")
    for each in value:
        if unicodedata.category(each) in ("Cc", "Cs"):
            return Problem(f"id holds U+{ord(each):04X}, which is no character that can be shown")
    return value


def read_text(value: object) -> bytes | Problem:
    """A document's bytes, or why there are none."""
    if not isinstance(value, str):
        return Problem(f"text must be a text, not {_kind(value)}")
    try:
        return value.encode("utf-8")
    except UnicodeEncodeError as error:
        before = value[: error.start]
        told = f"the text holds U+{ord(value[error.start]):04X}, half of a character (a lone surrogate)"
        return Problem(told, before.count("\n") + 1, error.start - before.rfind("\n"))
