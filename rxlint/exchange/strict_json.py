"""Strict JSON: no member twice, nothing that is no JSON, no file beyond its limits; and where a path leads to.

Numbers with decimals are refused, for their decimals would be lost.
"""

from __future__ import annotations

import json
import re
from typing import Any, Final

from rxlint.exchange.shapes import Json, Path
from rxlint.text import MAX_BYTES, Problem

DEEPEST: Final = 24
"""Most brackets within one another; a document has at most 14."""
# A text without end reaches to the end of the file, or every quote in it would be tried as the beginning of one.
_BRACKETS: Final = re.compile(r'"(?:\\.|[^"\\])*"?|[\[{]|[\]}]')
_TOKENS: Final = re.compile(r'("(?:\\.|[^"\\])*"?|[\[{\]}]|[^\s\[{\]},:"]+)(\s*:)?')
_SPACE: Final = re.compile(r"[ \t\r\n]*")
_SHOWN: Final = 60


class _Refused(ValueError):
    """Something that JSON can say and a document can't; with the number or word that it stands for, if it is one."""

    def __init__(self, message: str, word: str | None = None) -> None:
        super().__init__(message)
        self.word = word


def read_json(data: bytes) -> tuple[str, Json] | Problem:
    """The text and what it says; the reason where that can't be told. Never raises."""
    if len(data) > MAX_BYTES:
        return Problem(f"the file is too large: {len(data):,} bytes, the limit is {MAX_BYTES:,}")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return Problem(f"the file is not UTF-8 text: byte 0x{data[error.start]:02x} can't be read")
    deep = _too_deep(text)
    if deep is not None:
        return Problem(f"more than {DEEPEST} brackets stand within one another", *place_of(text, deep))
    try:
        found = json.loads(
            text, object_pairs_hook=_object, parse_float=_no_float, parse_int=_whole, parse_constant=_no_constant
        )
    except json.JSONDecodeError as error:
        return Problem(f"the file is not JSON: {error.msg}", error.lineno, error.colno)
    except _Refused as error:
        return Problem(str(error), *_place_in(text, error))
    return text, found


def _place_in(text: str, error: _Refused) -> tuple[int, int] | tuple[None, None]:
    """Where what is refused stands: the first such word outside quotes, or the name that an object has twice."""
    names: list[tuple[set[str], int | None]] = []  # of every bracket that is open, with where a name came again
    for match in _TOKENS.finditer(text):
        token, colon = match.group(1), match.group(2)
        if token in ("{", "["):
            names.append((set(), None))
        elif token in ("}", "]"):
            again = names.pop()[1] if names else None
            if again is not None and error.word is None:
                return place_of(text, again)
        elif error.word is not None and token.startswith(error.word):  # what follows it need be no JSON
            return place_of(text, match.start())
        elif colon and names:
            name, (seen, again) = json.loads(token), names[-1]
            names[-1] = (seen, match.start() if again is None and name in seen else again)
            seen.add(name)
    return None, None


def _too_deep(text: str) -> int | None:
    depth = 0
    for match in _BRACKETS.finditer(text):
        if match.group() in "[{":
            depth += 1
            if depth > DEEPEST:
                return match.start()
        elif match.group() in "]}":
            depth -= 1
    return None


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise _Refused(f"an object has the member {name[:_SHOWN]!r} twice, and nobody can tell which holds")
        found[name] = value
    return found


def _no_float(text: str) -> Any:
    raise _Refused(f'the number {text[:_SHOWN]} has decimals: numbers are kept as text, such as "0.5"', text)


def _whole(text: str) -> int:
    if len(text) > 9:
        raise _Refused(f"the number {text[:_SHOWN]} is too large for anything here", text)
    return int(text)


def _no_constant(text: str) -> Any:
    raise _Refused(f"{text} is no JSON", text)


def place_of(text: str, offset: int) -> tuple[int, int]:
    """The line and column of an offset, from 1; columns count code points."""
    before = text[:offset]
    return before.count("\n") + 1, offset - (before.rfind("\n") + 1) + 1


def place_at(text: str, path: Path) -> tuple[int, int]:
    """Where what a path leads to begins in a text that was read; as far as the path leads."""
    decoder = json.JSONDecoder()
    at = _skip(text, 0)
    for step in path:
        found = _member(text, at, step, decoder)
        if found is None:
            break
        at = found
    return place_of(text, at)


def _skip(text: str, at: int) -> int:
    match = _SPACE.match(text, at)
    return match.end() if match is not None else at


def _member(text: str, at: int, step: str | int, decoder: json.JSONDecoder) -> int | None:
    """Where a member of the object or list that begins at an offset begins."""
    opening, closing = text[at : at + 1], {"{": "}", "[": "]"}.get(text[at : at + 1])
    if closing is None or (opening == "{") != isinstance(step, str):
        return None
    at = _skip(text, at + 1)
    index = 0
    while text[at : at + 1] != closing:
        name: Any = index
        if opening == "{":
            name, end = decoder.raw_decode(text, at)
            at = _skip(text, _skip(text, end) + 1)
        if name == step:
            return at
        _, end = decoder.raw_decode(text, at)
        at = _skip(text, end)
        at = _skip(text, at + 1) if text[at : at + 1] == "," else at
        index += 1
    return None


def show_path(path: Path) -> str:
    """A path as JSON Path writes it (RFC 9535): $.sections[2].statements[0]."""
    told = "$"
    for step in path:
        if isinstance(step, int):
            told += f"[{step}]"
        elif re.fullmatch(r"[A-Za-z_][A-Za-z0-9_]*", step):
            told += f".{step}"
        else:
            told += f"[{json.dumps(step[:_SHOWN], ensure_ascii=False)}]"
    return told
