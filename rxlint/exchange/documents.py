"""Documents to plain JSON and back: what is written is what can be read again, and what is read is what was meant."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rxlint.exchange.draft import draft_of, unreadable_lines
from rxlint.exchange.draft_json import draft_from, object_of
from rxlint.exchange.draft_text import Written, written
from rxlint.exchange.pretty import pretty
from rxlint.exchange.shapes import Fault, Json, Path
from rxlint.exchange.strict_json import place_at, read_json, show_path
from rxlint.library.table_header import told_event
from rxlint.notation.document import read_document
from rxlint.notation.tree import Document
from rxlint.text import Problem, source_of_text

_NOT_COMPARED: Final = frozenset({"tool", "line"})


@dataclass(frozen=True, slots=True)
class Exported:
    """A document's JSON as text, and the numbers of the lines in it that can't be read."""

    text: str
    unreadable: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Imported:
    """A document made of JSON: its text, and the numbers of the lines in it that can't be read."""

    text: str
    unreadable: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class NotRead:
    """Why JSON can't be imported: what, its path, and where it begins in the file."""

    message: str
    path: str | None = None
    line: int | None = None
    column: int | None = None


def export_document(document: Document) -> Exported | Problem:
    """The JSON of a document; a problem where it would not come back as it is, so that nothing is lost unnoticed."""
    draft = draft_of(document)
    found = object_of(draft)
    try:
        text_from(found)
    except Fault as fault:
        return Problem(
            f"can't be told in JSON so that it comes back as it is: {show_path(fault.path)}: {fault.message}"
        )
    lines = tuple(each.line for each in unreadable_lines(draft) if each.line is not None)
    return Exported(pretty(found), lines)


def import_document(data: bytes) -> Imported | NotRead:
    """The document that the bytes of a JSON file state. Nothing of it is guessed and nothing left out."""
    read = read_json(data)
    if isinstance(read, Problem):
        return NotRead(read.message, None, read.line, read.column)
    source, found = read
    try:
        text = text_from(found)
    except Fault as fault:
        return NotRead(fault.message, show_path(fault.path), *place_at(source, fault.path))
    again = draft_of(_document(text))
    return Imported(text, tuple(each.line for each in unreadable_lines(again) if each.line is not None))


def text_from(found: Json) -> str:
    """The text of a document from its JSON. Raises Fault where it would be read as anything else than that says."""
    draft = draft_from(found)
    out = written(draft)
    document = _document(out.text)
    meant, read = object_of(draft), object_of(draft_of(document))
    difference = _difference({**meant, "kind": None}, {**read, "kind": None}, ())  # its kind follows from a heading
    difference = _difference(meant, read, ()) if difference is None else difference
    if difference is not None:
        raise _fault(out, document, difference)
    return out.text


def _document(text: str) -> Document:
    source = source_of_text(text)
    if isinstance(source, Problem):
        raise Fault((), source.message)
    return read_document(source)


def _difference(meant: Json, read: Json, at: Path) -> Path | None:
    """The path to the first thing that two JSON values don't have in common."""
    if isinstance(meant, dict) and isinstance(read, dict):
        for name in [*meant, *(name for name in read if name not in meant)]:
            if name in _NOT_COMPARED:
                continue
            if name not in meant or name not in read:
                return (*at, name) if name in meant else at
            found = _difference(meant[name], read[name], (*at, name))
            if found is not None:
                return found
        return None
    if isinstance(meant, list) and isinstance(read, list):
        for index, (one, other) in enumerate(zip(meant, read, strict=False)):
            found = _difference(one, other, (*at, index))
            if found is not None:
                return found
        return None if len(meant) == len(read) else (*at, min(len(meant), len(read)))
    return None if meant == read and type(meant) is type(read) else at


def _fault(out: Written, document: Document, at: Path) -> Fault:
    """Why what stands at a path would not be read as it is meant: in the reader's own words where it has some."""
    for each in document.reported:
        number = each.entry.place(each.event.start, each.event.end).line
        path = out.paths[number - 1]
        if _begins(at, path) or _begins(path, at):
            told = f"the line `{out.lines[number - 1].strip()}`: {told_event(each.event)}"
            is_whole = len(at) <= len(path) or at == (*path, "term")  # the line as a whole would not be read
            return Fault(path if is_whole else at, told)
    near = [
        (len(path), line.strip())
        for line, path in zip(out.lines, out.paths, strict=True)
        if path and line.strip() and _begins(at, path[:-1] if path[-1] == "written" else path)
    ]
    line = max(near, key=lambda each: each[0], default=None)
    what = f"the line `{line[1]}` says something else" if line is not None else "no line says this"
    return Fault(at, f"{what}: what is stated here would not be read back from the document's text")


def _begins(path: Path, other: Path) -> bool:
    """Whether a path leads to what another leads to, or to a part of it."""
    return path[: len(other)] == other
