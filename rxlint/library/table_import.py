"""A table of orders to documents, one a row, in a folder. Every row is accounted for, none is lost or guessed."""

from __future__ import annotations

import os
import re
from collections.abc import Generator, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO, Final

from rxlint.library.table_document import document_of
from rxlint.library.table_header import Column, read_header
from rxlint.library.table_rows import DELIMITERS, Row, delimiter_of, opened, rows_of
from rxlint.text import Problem, printable
from rxlint.text.files import write_whole

_UNSAFE: Final = re.compile(r"[^A-Za-z0-9._-]")
_LONGEST_NAME: Final = 100
_RESERVED: Final = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)  # no file names on Windows


@dataclass(slots=True)
class Table:
    """A table and how to read it: ``path`` None for a stream; ``delimiter`` None where it is to be found out."""

    shown: str
    path: Path | None
    delimiter: str | None = None
    decimal_comma: bool = False


@dataclass(slots=True)
class Import:
    """What became of a table. ``unusable`` is its header; ``unread`` what stood in the way of reading or writing."""

    rows: int = 0
    blank: int = 0
    documents: int = 0
    bad: int = 0
    kept: int = 0  # rows whose document would have overwritten a file
    unusable: bool = False
    unread: bool = False
    # file names with how many rows wanted them; in small letters, for some folders don't tell capitals apart
    names: dict[str, int] = field(default_factory=dict)

    def closing(self, folder: str) -> str:
        """Every row, and what became of it."""
        rows = f"{self.rows:,} row{'' if self.rows == 1 else 's'}"
        documents = f"{self.documents:,} document{'' if self.documents == 1 else 's'}"
        told = f"{rows}: {documents} in {folder}, {self.bad:,} with cells that can't be read"
        told += f", {self.kept:,} not written" if self.kept else ""
        told += f", {self.blank:,} blank" if self.blank else ""
        return told + ("; the table was not read to its end" if self.unread and self.rows else "") + "."


def import_table(
    table: Table, folder: Path, result: Import, *, stream: BinaryIO | None = None, force: bool = False
) -> Iterator[str]:
    """Write a document for every row of a table; what is to be told comes as it is found, the counts in ``result``."""
    with opened(table.path, stream) as text:
        if isinstance(text, Problem):
            result.unread = True
            yield _problem(table, text)
            return
        delimiter = table.delimiter or delimiter_of(text)
        rows = rows_of(text, delimiter)
        columns = yield from _header(table, rows, result)
        if columns is None:
            return
        try:
            folder.mkdir(parents=True, exist_ok=True)
            for row in rows:
                if isinstance(row, Problem):
                    result.unread = True
                    yield _problem(table, row)
                else:
                    yield from _row(table, row, columns, folder, result, force)
        except OSError as error:
            result.unread = True
            yield f"{table.shown}: can't be imported: {error.filename or folder}: {error.strerror or error}"


def _header(
    table: Table, rows: Iterator[Row | Problem], result: Import
) -> Generator[str, None, tuple[Column, ...] | None]:
    """The columns; None where they can't be used, and why is told."""
    first = next(rows, None)
    if isinstance(first, Row):
        columns, faults = read_header(first.cells)
        if not faults:
            return columns
        result.unusable = True
        for fault in faults:
            yield f"{table.shown}:1:{fault.column}: {printable(fault.message)}"
        return None
    result.unread = True
    yield _problem(table, first or Problem("the table is empty"))
    return None


def _row(
    table: Table, row: Row, columns: tuple[Column, ...], folder: Path, result: Import, force: bool
) -> Iterator[str]:
    result.rows += 1
    if not any(cell.strip() for cell in row.cells):
        result.blank += 1
        return
    imported = document_of(row, columns, table.shown, table.decimal_comma)
    for cell in imported.bad:
        name = f"{printable(columns[cell.column - 1].text)}: " if cell.column else ""
        yield f"{table.shown}:{row.number}:{cell.column or 1}: {name}{cell.message}"
    result.bad += bool(imported.bad)
    wanted = safe_name(imported.id, f"row-{row.number:06d}")
    name = _free(wanted, result.names)
    if name != wanted:
        yield f"{table.shown}:{row.number}:1: another row has the file {wanted}.vrx already; this one is {name}.vrx"
    path = folder / f"{name}.vrx"
    if not force and os.path.lexists(path):
        result.kept += 1
        yield _kept(table, row, path)
        return
    try:  # without waiting for the disk: a table can be imported again
        write_whole(path, imported.text.encode("utf-8"), new=not force, settle=False)
    except FileExistsError:
        result.kept += 1
        yield _kept(table, row, path)
        return
    result.documents += 1


def _kept(table: Table, row: Row, path: Path) -> str:
    return f"{table.shown}:{row.number}:1: {path.name} is there already and was not overwritten (--force does that)"


def safe_name(id: str | None, otherwise: str) -> str:
    """A name that can't lead out of a folder: the identifier's letters, digits, points and hyphens, or the other."""
    name = _UNSAFE.sub("_", id or "")[:_LONGEST_NAME].strip(".")
    if not name:
        return otherwise
    return f"_{name}" if _RESERVED.fullmatch(name) else name


def _free(name: str, names: dict[str, int]) -> str:
    """The name, or the first with a number after it that no row has; and it is taken."""
    free, wanted = name, name.casefold()
    while free.casefold() in names:
        names[wanted] += 1
        free = f"{name}-{names[wanted]}"
    names[free.casefold()] = 1
    return free


def _problem(table: Table, problem: Problem) -> str:
    place = f":{problem.line}:{problem.column or 1}" if problem.line is not None else ""
    return f"{table.shown}{place}: {printable(problem.message)}"


__all__ = ["DELIMITERS", "Import", "Table", "import_table", "safe_name"]
