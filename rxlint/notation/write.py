"""The one writer: a document that was read comes back as it stood, one made of nodes in its canonical layout."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.layout import GAP, INDENT, LONGEST_RELATION, SENTENCES
from rxlint.notation.render import render_body, render_heading, render_row
from rxlint.notation.tree import Document
from rxlint.vocabulary import vocabulary

_INDENT: Final = " " * INDENT
_GAP: Final = " " * GAP


@dataclass(frozen=True, slots=True)
class NewDetail:
    """A detail made of nodes. ``phrase`` is its term; None for a stage of time off and for a bare list."""

    phrase: str | None
    body: n.Body
    rows: tuple[n.Row, ...] = ()


@dataclass(frozen=True, slots=True)
class NewSection:
    """A section made of nodes. The first of a document has the heading `prescription` or `template`."""

    heading: n.Heading
    details: tuple[NewDetail, ...] = ()

    @property
    def name(self) -> str:
        """Its section in the vocabulary."""
        return "head" if self.heading.section in ("prescription", "template") else self.heading.section


def write(document: Document) -> str:
    """The text of a document exactly as it was read: byte order mark, comments, blank lines and line ends included."""
    lines = (line for entry in document.entries for line in entry.lines)
    return document.source.mark + "".join(line.text + line.ending for line in lines)


def render_document(sections: Iterable[NewSection]) -> str:
    """The canonical text of a document made of nodes. Reading it gives the same nodes."""
    return "\n".join("".join(f"{line}\n" for line in _section_lines(section)) for section in sections)


def render_statement(section: str, detail: NewDetail, width: int = 0) -> list[str]:
    """The lines of one detail, indented only as its rows are; its value begins after ``width`` columns."""
    term = vocabulary().term(section, detail.phrase) if detail.phrase is not None else None
    body = render_body(detail.body, term)
    if detail.phrase is None:
        first = body
    elif not _in_column(section, detail):
        first = f"{detail.phrase} {body}"
    else:
        is_long = isinstance(detail.body, n.Relation) and INDENT + width + GAP + len(body) > LONGEST_RELATION
        first = f"{detail.phrase.ljust(0 if is_long else width)}{_GAP}{body}"
    rows = [render_row(row) for row in detail.rows]
    widest = max([len(key) for key, _ in rows] + [width - INDENT])
    return [first, *(f"{_INDENT}{key.ljust(widest)}{_GAP}{value}" for key, value in rows)]


def sections_of(document: Document) -> tuple[NewSection, ...]:
    """The nodes of a document that was read: its sections with the details that could be read, without their lines."""
    found: list[NewSection] = []
    for block in document.blocks:
        details: list[NewDetail] = []
        for entry in block.details:
            statement = entry.statement
            if statement is None or statement.body is None or isinstance(statement.body, n.Row):
                continue
            bodies = (row.statement.body for row in entry.rows if row.statement is not None)
            rows = tuple(body for body in bodies if isinstance(body, n.Row))
            phrase = statement.term.phrase if statement.term is not None else None
            details.append(NewDetail(phrase, statement.body, rows))
        found.append(NewSection(block.heading or n.Heading(block.section, 0, 0), tuple(details)))
    return tuple(found)


def _in_column(section: str, detail: NewDetail) -> bool:
    """Whether the value of a detail stands in the column of its section: not of sentences and heads of tables."""
    if detail.phrase is None or isinstance(detail.body, n.TableHead):
        return False
    term = vocabulary().term(section, detail.phrase)
    return term is None or term.form not in SENTENCES


def column_of(section: str, details: Iterable[NewDetail]) -> int:
    """The columns of the longest term or key of a section: its values stand right of them."""
    width = 0
    for detail in details:
        width = max([width, *(INDENT + len(render_row(row)[0]) for row in detail.rows)])
        if _in_column(section, detail):
            width = max(width, len(detail.phrase or ""))
    return width


def _section_lines(section: NewSection) -> list[str]:
    width = column_of(section.name, section.details)
    lines = [render_heading(section.heading)]
    for detail in section.details:
        lines += [_INDENT + line for line in render_statement(section.name, detail, width)]
    return lines
