"""The one writer: a document that was read comes back as it stood, one made of nodes in its canonical layout."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.render import render_body, render_heading, render_row
from rxlint.notation.tree import Document
from rxlint.vocabulary import vocabulary

_INDENT: Final = "  "
_GAP: Final = "  "  # between a term and its value, and between a row's key and its value
# In these sections a detail is a sentence, and its term the sentence's first word.
_SENTENCES: Final = frozenset({"titration", "off ventilator", "escalation", "accepted"})


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
    elif section in _SENTENCES:
        first = f"{detail.phrase} {body}"
    else:
        first = f"{detail.phrase.ljust(width)}{_GAP}{body}"
    rows = [render_row(row) for row in detail.rows]
    widest = max((len(key) for key, _ in rows), default=0)
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


def _section_lines(section: NewSection) -> list[str]:
    width = max((len(detail.phrase) for detail in section.details if detail.phrase is not None), default=0)
    lines = [render_heading(section.heading)]
    for detail in section.details:
        lines += [_INDENT + line for line in render_statement(section.name, detail, width)]
    return lines
