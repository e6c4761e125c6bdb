"""The clinical content of a document in one canonical form, and the code by which a check tells whether it was changed.

The code is a digest of the notation's version, the terms, the exact values in base units and the words of a document.
Readings, acceptances, earlier checks, comments and layout are no part of it; nor are the unit a value was written in,
the decimals it was written with, or the spelling of a term. It tells a change that nobody meant to make; it proves
nothing about who checked, for anybody can work it out.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from typing import Final

from rxlint.model.plain import Plain, measure_of, plain_of, relation_of, words_of
from rxlint.notation import nodes as n
from rxlint.notation.statements import Statement
from rxlint.notation.tree import Block, Document, Entry
from rxlint.vocabulary import vocabulary

ASIDE: Final = frozenset({"readings", "readings for", "accepted", "checked"})
"""Sections that may change after a check without changing what is ordered."""

_LABEL: Final = "rxlint content 1"  # of this form: another form must never give the same code
_DIGITS: Final = 32  # 16 bytes
_CODE: Final = re.compile(rf"[0-9A-Fa-f]{{{_DIGITS},64}}")


def check_code(document: Document) -> str | None:
    """The code of a document's content: 32 digits from 0 to f; None where a line of it can't be read."""
    content = content_of(document)
    return hashlib.sha256(content).hexdigest()[:_DIGITS] if content is not None else None


def is_code(text: str) -> bool:
    """Whether a text has the shape of a code: at least 32 digits from 0 to f, at most the 64 of a whole digest."""
    return _CODE.fullmatch(text) is not None


def holds(code: str, content: bytes) -> bool:
    """Whether a code is that of a content."""
    return is_code(code) and hashlib.sha256(content).hexdigest().startswith(code.lower())


def content_of(document: Document) -> bytes | None:
    """What a document orders, in one form however it is laid out; None where a line of it can't be read."""
    if document.kind not in ("prescription", "template") or unread_lines(document, content_only=True):
        return None
    sections: dict[str, list[Plain]] = {}
    for block in document.blocks:
        if block.section not in ASIDE:
            details = sections.setdefault(_text(_heading(block)), [])
            details += [each for entry in block.details for each in _detail(block.section, entry)]
    found: list[Plain] = [[heading, sorted(details, key=_text)] for heading, details in sorted(sections.items())]
    return f"{_LABEL}\nnotation {vocabulary().version}\n{_text(found)}".encode("ascii")


def unread_lines(document: Document, *, content_only: bool = False) -> tuple[Entry, ...]:
    """The lines that can't be read, in their order; with ``content_only`` not those of sections beside the content."""
    headings = {id(block.entry) for block in document.blocks}
    found = [entry for entry in document.entries if _is_stray(entry, headings)]
    for block in document.blocks:
        if content_only and block.section in ASIDE:
            continue
        if not block.readable:
            found.append(block.entry)
        found += [entry for detail in block.details for entry in (detail, *detail.rows) if not is_read(entry)]
    return tuple(sorted(found, key=lambda entry: entry.lines[0].number))


def _is_stray(entry: Entry, headings: set[int]) -> bool:
    """Whether a line is read in no section, or is a heading of which no section could be made."""
    return entry.kind == "unread" or (entry.kind == "heading" and id(entry) not in headings)


def is_read(entry: Entry) -> bool:
    """Whether a detail or a row can be read, with the relation that it may be."""
    statement = entry.statement
    if statement is None or not statement.readable or statement.body is None:
        return False
    match statement.body:
        case n.TableHead():
            return bool(entry.rows)
        case n.Relation(text=text):
            return relation_of(text) is not None
        case _:
            return True


def _heading(block: Block) -> Plain:
    """A heading with its period, whose windows may stand in any order."""
    heading = block.heading
    assert heading is not None  # a heading that can't be read leaves no content
    found: dict[str, Plain] = {"section": block.section}
    if block.section == "head":
        found |= {"kind": heading.section, "title": plain_of(heading.title)}
    if heading.delay is not None:
        found["delay"] = plain_of(heading.delay)
    period = heading.period
    if period is not None:
        windows = sorted((each.start_time, each.end_time) for each in period.windows)
        found["period"] = plain_of((period.name, period.use, period.up_to, tuple(windows)))
    return found


def _detail(section: str, entry: Entry) -> Iterator[Plain]:
    """A detail; a bare list says one thing an item, in whichever order and on however many lines."""
    statement = entry.statement
    assert statement is not None  # else there is no content
    if vocabulary().sections[section].bare == "list" and isinstance(statement.body, n.Items):
        yield from (plain_of(item) for item in statement.body.items)
        return
    found: dict[str, Plain] = {"says": _body(statement)}
    if statement.term is not None:
        found["term"] = statement.term.phrase
    if entry.rows:  # their order counts: the last row's high end is included
        found["rows"] = [_body(row.statement) for row in entry.rows if row.statement is not None]
    yield found


def _body(statement: Statement) -> Plain:
    match statement.body:
        case n.Measure() as measure:
            return measure_of(measure, statement.values[""])
        case n.Row() as row:
            return [plain_of(row.key), measure_of(row.measure, statement.values[""])]
        case n.Words() as words:
            assert statement.term is not None
            return words_of(words, statement.term)
        case n.Relation(text=text):
            return ["relation", relation_of(text)]
        case body:
            return plain_of(body)


def _text(plain: Plain) -> str:
    return json.dumps(plain, ensure_ascii=True, sort_keys=True, separators=(",", ":"))
