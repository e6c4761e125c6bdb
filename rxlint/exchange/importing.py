"""Imports a document from a JSON file: reads it, says what can't be read, and writes nothing that is not meant."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from rxlint.exchange.documents import NotRead, import_document
from rxlint.library.screen import document_id, parse_bytes
from rxlint.library.table_import import safe_name
from rxlint.text import Problem, printable
from rxlint.text.files import named_file, write_whole

Outcome = Literal["imported", "incomplete", "kept", "not read"]
ENDING = ".vrx"


@dataclass(frozen=True, slots=True)
class ImportedFile:
    """What became of it, what to tell, and the document's text where it was read.

    ``incomplete``: some of its lines can't be read, as in the document that was exported; ``kept``: a file is there
    already and was not overwritten; ``not read``: nothing was written.
    """

    outcome: Outcome
    told: tuple[str, ...]
    text: str = ""


def import_file(data: bytes | Problem, shown: str, to: str | None, *, force: bool = False) -> ImportedFile:
    """Write the document that a JSON file holds: to a file that ends in .vrx, or else to a folder under its identifier.

    ``to`` None writes nothing. ``shown`` names the JSON file, which is never written over.
    """
    read = NotRead(data.message) if isinstance(data, Problem) else import_document(data)
    if isinstance(read, NotRead):
        place = f":{read.line}:{read.column or 1}" if read.line is not None else ""
        path = f"{read.path}: " if read.path is not None else ""
        return ImportedFile("not read", (f"{shown}{place}: {printable(path + read.message)}",))
    unread = tuple(f"{shown}: line {number} of the document can't be read" for number in read.unreadable)
    outcome: Outcome = "incomplete" if unread else "imported"
    if to is None:
        return ImportedFile(outcome, unread, read.text)
    named = _path(read.text, shown, to)
    there = f"{shown}: {named} is there already and was not overwritten (--force does that)"
    try:
        target = named_file(named, Path(shown)) if named == Path(to) else named  # a name of ours takes a link's place
        if not force and os.path.lexists(target):
            return ImportedFile("kept", (there,), read.text)
        target.parent.mkdir(parents=True, exist_ok=True)
        write_whole(target, read.text.encode("utf-8"), new=not force)
    except FileExistsError:  # somebody made it meanwhile
        return ImportedFile("kept", (there,), read.text)
    except (OSError, ValueError) as error:
        return ImportedFile("not read", (f"{named}: can't be written: {getattr(error, 'strerror', None) or error}",))
    return ImportedFile(outcome, (*unread, f"{shown}: imported as {named}; nobody has checked it yet"), read.text)


def _path(text: str, shown: str, to: str) -> Path:
    path = Path(to)
    if path.suffix.lower() == ENDING and not path.is_dir():
        return path
    document = parse_bytes(text.encode("utf-8"))
    id = document_id(document) if not isinstance(document, Problem) else None
    return path / f"{safe_name(id, safe_name(Path(shown).stem, 'document'))}{ENDING}"
