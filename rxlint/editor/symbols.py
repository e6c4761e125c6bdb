"""The outline of a text: the document, its sections, their settings, the rows of tables."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rxlint.editor.folds import sections_in
from rxlint.editor.shapes import Symbol
from rxlint.editor.snapshot import Snapshot
from rxlint.notation import nodes as n
from rxlint.notation.tree import Block, Document, Entry, Place
from rxlint.screening.shelf import head_of

_LONGEST: Final = 80  # characters of a name or a detail; an outline is no place to read a whole list


def symbols(snapshot: Snapshot) -> tuple[Symbol, ...]:
    """The outline: one document that holds the rest, or the sections alone where the text has no first line of one."""
    document = snapshot.document
    if document is None:
        return ()
    blocks = {block.entry.lines[0].number: block for block in document.blocks}
    found: list[Symbol] = []
    own: Symbol | None = None
    for heading, last in sections_in(document.entries):
        place = _through(heading.whole(), last, document)
        block = blocks.get(heading.lines[0].number)
        settings = tuple(_settings(block)) if block is not None else ()
        if heading.kind == "document":
            own = Symbol(_title(document), "document", place, heading.whole(), _told(document), settings)
        else:
            found.append(Symbol(_short(heading.text), "section", place, heading.whole(), "", settings))
    if own is None:
        return tuple(found)
    # a section before the first line of a document is none of its parts
    before = [each for each in found if each.place.line < own.place.line]
    after = found[len(before) :]
    end = (after[-1] if after else own).place
    whole = Place(own.place.line, own.place.column, end.end_line, end.end_column)
    return *before, Symbol(own.name, "document", whole, own.name_place, own.detail, (*own.children, *after))


def _through(place: Place, last: int, document: Document) -> Place:
    """A place with everything up to the end of a later line."""
    if last <= place.end_line:
        return place
    return Place(place.line, place.column, last, len(document.source.lines[last - 1].text) + 1)


def _title(document: Document) -> str:
    return _short(document.title or "") or "a document without a title"


def _told(document: Document) -> str:
    """What a document is, with its id and revision where it states them."""
    head = head_of(document, "")
    return f"{document.kind or 'document'} {head.told}" if head.id is not None else document.kind or ""


def _settings(block: Block) -> Iterator[Symbol]:
    for entry in block.details:
        statement = entry.statement
        term = statement.term if statement is not None else None
        rows = tuple(_row(row) for row in entry.rows)
        place = entry.whole()
        if rows:
            end = rows[-1].place
            place = Place(place.line, place.column, end.end_line, end.end_column)
        if statement is None or term is None:
            yield Symbol(_short(entry.text), "setting", place, entry.whole(), "", rows)
            continue
        start, end_of_term = statement.phrase
        name_place = entry.place(start, end_of_term)
        yield Symbol(term.phrase, "setting", place, name_place, _short(entry.text[end_of_term:]), rows)


def _row(row: Entry) -> Symbol:
    body = row.statement.body if row.statement is not None else None
    if not isinstance(body, n.Row):
        return Symbol(_short(row.text), "row", row.whole(), row.whole())
    key, value = body.key, body.measure
    name = _short(row.text[row.indent : value.start])
    return Symbol(name, "row", row.whole(), row.place(key.start, key.end), _short(row.text[value.start :]))


def _short(text: str) -> str:
    """A text on one line, cut where it is long."""
    told = " ".join(text.split())
    return told if len(told) <= _LONGEST else f"{told[: _LONGEST - 3]}..."
