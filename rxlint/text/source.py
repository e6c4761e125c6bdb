"""Bytes to lines. Strict UTF-8, limits with a clear message, lines split at line feed alone."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, NamedTuple

MAX_BYTES: Final = 4 * 1024 * 1024
"""Longest document that is read; an order sheet is a few kilobytes."""
MAX_LINES: Final = 50_000
MAX_LINE: Final = 2_000
"""Longest line, in code points; a longer one is an error of its own and the rest is still read."""

_BYTE_ORDER_MARK: Final = "\ufeff"
# What acts on a terminal, turns text round, or shows nothing: fillers, selectors of variants and tags among them.
_CONTROL: Final = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u2028-\u202e"
    r"\u2060-\u206f\u2800\u3164\ud800-\udfff\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff\U0001d173-\U0001d17a"
    r"\U000e0000-\U000e0fff]"
)


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a whole file could not be read."""

    message: str
    line: int | None = None
    column: int | None = None


class Line(NamedTuple):
    """One line: its text without the line end, and the line end as it stood ("", "\\n" or "\\r\\n").

    A named tuple, for a library has a hundred thousand of them.
    """

    number: int
    text: str
    ending: str


@dataclass(frozen=True, slots=True)
class Source:
    """A decoded document: what stood before the first line (a byte order mark or nothing) and its lines."""

    mark: str
    lines: tuple[Line, ...]

    def text(self) -> str:
        """The document as it stood."""
        return self.mark + "".join(line.text + line.ending for line in self.lines)

    def to_bytes(self) -> bytes:
        """The bytes it was read from."""
        return self.text().encode("utf-8")


def read_source(data: bytes) -> Source | Problem:
    """Decode a document; the reason where that can't be done. Never raises."""
    if len(data) > MAX_BYTES:
        return Problem(f"the file is too large to be a prescription: {len(data):,} bytes, the limit is {MAX_BYTES:,}")
    nul = data.find(b"\x00")
    if nul >= 0:
        line, column = _place(data, nul)
        return Problem("the file is not text: it holds a NUL byte", line, column)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line, column = _place(data, error.start)
        return Problem(
            f"the file is not UTF-8 text: byte 0x{data[error.start]:02x} can't be read; save it as UTF-8", line, column
        )
    return source_of_text(text)


def source_of_text(text: str) -> Source | Problem:
    """Split decoded text into lines. Only a line feed, with or without a carriage return before it, ends a line."""
    mark = _BYTE_ORDER_MARK if text.startswith(_BYTE_ORDER_MARK) else ""
    pieces = text[len(mark) :].split("\n")
    last = pieces.pop()
    if len(pieces) >= MAX_LINES:
        return Problem(f"the file is too long to be a prescription: {len(pieces):,} lines, the limit is {MAX_LINES:,}")
    if "\r" in text:
        lines = [
            Line(number, piece[:-1], "\r\n") if piece.endswith("\r") else Line(number, piece, "\n")
            for number, piece in enumerate(pieces, 1)
        ]
    else:
        lines = [Line(number, piece, "\n") for number, piece in enumerate(pieces, 1)]
    if last:
        lines.append(Line(len(pieces) + 1, last, ""))
    return Source(mark, tuple(lines))


def _place(data: bytes, offset: int) -> tuple[int, int]:
    before = data[:offset]
    start = before.rfind(b"\n") + 1
    return before.count(b"\n") + 1, len(before[start:].decode("utf-8", "replace")) + 1


def printable(text: str) -> str:
    """Text that is safe on a terminal: control, invisible and direction characters as their code points."""
    return _CONTROL.sub(lambda match: f"<U+{ord(match.group()):04X}>", text.replace("\n", "<U+000A>"))
