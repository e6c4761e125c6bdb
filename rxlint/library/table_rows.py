"""A table's bytes to its rows: UTF-8 text, cells between commas, semicolons or tabs; one row in memory at a time."""

from __future__ import annotations

import codecs
import csv
import io
import stat
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final, TextIO

from rxlint.library.table_header import read_column
from rxlint.text import Problem

DELIMITERS: Final = {"comma": ",", "semicolon": ";", "tab": "\t"}
MAX_BYTES: Final = 512 * 1024 * 1024
MAX_ROWS: Final = 100_000
MAX_CELL: Final = 1_500
"""Longest cell that is read, in characters: with its term it must fit into a line of the notation."""
_PIECE: Final = 1024 * 1024
_FIRST_LINE: Final = 200_000  # characters of the header that are looked at


@dataclass(frozen=True, slots=True)
class Row:
    """A row with its number in the table, the header being row 1."""

    number: int
    cells: tuple[str, ...]


@contextmanager
def opened(path: Path | None, stream: BinaryIO | None) -> Iterator[TextIO | Problem]:
    """A table's text, from its first line; or why it can't be read. A stream is put aside in a file first."""
    found = _bytes_of(path, stream)
    if isinstance(found, Problem):
        yield found
        return
    with found as file:
        problem = _is_text(file)
        if problem is not None:
            yield problem
            return
        file.seek(0)
        with io.TextIOWrapper(file, encoding="utf-8-sig", newline="") as text:
            yield text


def _bytes_of(path: Path | None, stream: BinaryIO | None) -> BinaryIO | Problem:
    if path is None and stream is None:
        return Problem("standard input is closed")
    try:
        if stream is not None:
            return _copied(stream)
        assert path is not None
        if not stat.S_ISREG(path.stat().st_mode):  # a pipe would be waited for
            return Problem("is not a regular file")
        return path.open("rb")
    except (OSError, ValueError) as error:
        return Problem(f"can't be opened: {getattr(error, 'strerror', None) or error}")


def _copied(stream: BinaryIO) -> BinaryIO:
    file: BinaryIO = tempfile.TemporaryFile()  # noqa: SIM115 - who reads it closes it
    left = MAX_BYTES + 1
    while left > 0 and (piece := stream.read(min(_PIECE, left))):
        file.write(piece)
        left -= len(piece)
    file.seek(0)
    return file


def _is_text(file: BinaryIO) -> Problem | None:
    """Why the bytes are no text, by the line: told before anything is written of a table that is none."""
    decoder = codecs.getincrementaldecoder("utf-8")()
    size, line = 0, 1
    while piece := file.read(_PIECE):
        size += len(piece)
        if size > MAX_BYTES:
            return Problem(f"the table is too large: the limit is {MAX_BYTES // _PIECE} MiB")
        if size == len(piece) and piece.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            return Problem("the table is not UTF-8 but UTF-16 text; save or export it as UTF-8", 1, 1)
        nul = piece.find(b"\x00")
        if nul >= 0:
            return Problem("the table is not text: it holds a NUL byte", line + piece.count(b"\n", 0, nul), 1)
        try:
            decoder.decode(piece)
        except UnicodeDecodeError as error:
            return _not_utf8(line + piece.count(b"\n", 0, max(error.start, 0)))
        line += piece.count(b"\n")
    try:
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return _not_utf8(line)
    return Problem("the table is empty") if size == 0 else None


def _not_utf8(line: int) -> Problem:
    return Problem("the table is not UTF-8 text; save or export it as UTF-8", line, 1)


def delimiter_of(text: TextIO) -> str:
    """The delimiter with which most cells of the first line can be read as columns; a comma where it can't be told."""
    first = text.readline(_FIRST_LINE)
    text.seek(0)
    counts = {each: _known_columns(first, each) for each in DELIMITERS.values()}
    return max(counts, key=lambda each: counts[each])


def _known_columns(line: str, delimiter: str) -> tuple[int, int]:
    try:
        cells = next(csv.reader([line], delimiter=delimiter, strict=True), [])
    except csv.Error:  # a header over several lines, or no header at all
        cells = line.split(delimiter)
    return sum(not isinstance(read_column(cell), str) for cell in cells[:300]), len(cells)


def rows_of(text: TextIO, delimiter: str) -> Iterator[Row | Problem]:
    """The rows of a table, one after another. What can't be told apart any more ends with a problem."""
    reader = csv.reader(text, delimiter=delimiter, strict=True)
    number = 0
    while True:
        start = reader.line_num + 1
        try:
            cells: Sequence[str] | None = next(reader, None)
        except csv.Error as error:
            told = f"from here on cells can't be told apart ({error}): is a quotation mark not closed?"
            yield Problem(told, start, 1)
            return
        if cells is None:
            return
        number += 1
        if number > MAX_ROWS + 1:
            yield Problem(f"the table has more than {MAX_ROWS:,} rows; those from here on are not read", start, 1)
            return
        yield Row(number, tuple(cells))
