"""A document as what it states, in its order: the step between a text and its JSON.

A statement that its canonical text would not say in the same way, for instance for a unit in a spelling that is
misread, keeps the lines that it was written with; so does what can't be read. Comments are kept, blank lines are not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from rxlint.exchange.amounts import KEY
from rxlint.exchange.forms import FORMS, form_of, with_reference, without_reference
from rxlint.exchange.shapes import Json
from rxlint.model.content import is_read
from rxlint.notation import nodes as n
from rxlint.notation.render import render_heading, render_row
from rxlint.notation.statements import Statement, read_detail, read_heading, read_row
from rxlint.notation.tree import Document, Entry
from rxlint.notation.write import NewDetail, render_statement
from rxlint.text import MAX_LINE, code_of
from rxlint.vocabulary import Term, vocabulary

BLANKS: Final = " \t"
_LONGEST: Final = MAX_LINE - 200  # of a canonical line, so that its column does not make it too long to be read


@dataclass(slots=True)
class Comment:
    """A comment on a line of its own, from its ``#`` on."""

    text: str


@dataclass(slots=True)
class Unreadable:
    """Lines that can't be read, without their indentation; ``line`` is where they stood, from 1."""

    lines: tuple[str, ...]
    at_margin: bool = False
    line: int | None = None
    rows: list[RowItem] = field(default_factory=list)


@dataclass(slots=True)
class RowLine:
    """A row of a table. ``written`` are its lines where its canonical text would not say the same."""

    row: n.Row
    comment: str | None = None
    written: tuple[str, ...] = ()


@dataclass(slots=True)
class Detail:
    """A detail. ``phrase`` is its term; None for a bare list and a time off the ventilator."""

    phrase: str | None
    body: n.Body
    rows: list[RowItem] = field(default_factory=list)
    comment: str | None = None
    written: tuple[str, ...] = ()


RowItem = Comment | Unreadable | RowLine
Item = Comment | Unreadable | Detail


@dataclass(slots=True)
class DraftSection:
    """A heading with what stands under it. ``heading`` is None where it can't be read: then ``unreadable`` is its line.

    ``section`` is None where nobody can tell which it is; ``comments`` stand right above the heading.
    """

    section: str | None
    heading: n.Heading | None
    comments: list[Comment] = field(default_factory=list)
    comment: str | None = None
    written: tuple[str, ...] = ()
    unreadable: Unreadable | None = None
    items: list[Item] = field(default_factory=list)

    @property
    def home(self) -> str:
        """Its section in the vocabulary."""
        return "head" if self.section in ("prescription", "template") else self.section or ""


@dataclass(slots=True)
class Draft:
    """A whole document; ``before`` stands above its first heading."""

    kind: str | None
    before: list[Item] = field(default_factory=list)
    sections: list[DraftSection] = field(default_factory=list)


def draft_of(document: Document) -> Draft:
    """What a document states. Nothing of its text is left out but white space."""
    draft = Draft(document.kind)
    gather = _Gather(draft, {id(block.entry): block.section for block in document.blocks}, document.entries)
    gather.run()
    return draft


def unreadable_lines(draft: Draft) -> Iterator[Unreadable]:
    """Everything in it that can't be read, in its order."""
    for item in draft.before:
        yield from _unreadable_of(item)
    for section in draft.sections:
        if section.unreadable is not None:
            yield section.unreadable
        for item in section.items:
            yield from _unreadable_of(item)


def _unreadable_of(item: Item | RowItem) -> Iterator[Unreadable]:
    if isinstance(item, Unreadable):
        yield item
    for row in item.rows if isinstance(item, Unreadable | Detail) else ():
        yield from _unreadable_of(row)


class _Gather:
    def __init__(self, draft: Draft, sections: dict[int, str], entries: Sequence[Entry]) -> None:
        self.draft = draft
        self.sections = sections
        self.entries = entries
        self.pending: list[tuple[Comment | Unreadable, bool]] = []  # with whether it stands at the margin

    def run(self) -> None:
        for at, entry in enumerate(self.entries):
            match entry.kind:
                case "blank":
                    if text := entry.lines[0].text.strip(BLANKS):
                        self.pending.append((Comment(text), entry.lines[0].text[0] not in BLANKS))
                case "unread":
                    self.pending.append((_unreadable(entry, margin=entry.indent == 0), entry.indent == 0))
                case "document" | "heading":
                    self._heading(entry)
                case "row":
                    self._row(entry)
                case _:
                    self._flush()
                    has_rows = any(each.kind == "row" for each in _until_detail(self.entries[at + 1 :]))
                    self._items().append(self._detail(entry, has_rows))
        self._flush()

    def _items(self) -> list[Item]:
        return self.draft.sections[-1].items if self.draft.sections else self.draft.before

    def _flush(self) -> None:
        self._items().extend(each for each, _ in self.pending)
        self.pending = []

    def _heading(self, entry: Entry) -> None:
        """A new section; comments right above its heading belong to it, those at the margin alone below another."""
        kept = len(self.pending)
        while kept and isinstance(self.pending[kept - 1][0], Comment):
            if self.draft.sections and not self.pending[kept - 1][1]:
                break
            kept -= 1
        above = [each for each, _ in self.pending[kept:] if isinstance(each, Comment)]
        self.pending = self.pending[:kept]
        self._flush()
        section = self.sections.get(id(entry))
        heading = entry.heading
        if heading is None:
            lines = _unreadable(entry, margin=entry.indent == 0)
            self.draft.sections.append(DraftSection(section, None, above, unreadable=lines))
            return
        found = DraftSection(heading.section, heading, above)
        text = render_heading(heading)
        if entry.events or entry.indent or not _same_heading(heading, text):
            found.written = _lines(entry, keep_indent=True)
        else:
            found.comment = _comment(entry)
        self.draft.sections.append(found)

    def _row(self, entry: Entry) -> None:
        """A row of the last detail, with what stands between them."""
        table = self._items()[-1]
        assert isinstance(table, Detail | Unreadable)
        table.rows.extend(each for each, _ in self.pending)
        self.pending = []
        statement = entry.statement
        if statement is None or not isinstance(statement.body, n.Row) or not statement.readable:
            table.rows.append(_unreadable(entry))
            return
        measure = with_reference(statement.body.measure, statement.term)
        row = RowLine(replace(statement.body, measure=measure))
        if entry.events or not _same_row(statement, table, row.row):
            row.written = _lines(entry)
        else:
            row.comment = _comment(entry)
        table.rows.append(row)

    def _detail(self, entry: Entry, has_rows: bool) -> Item:
        statement = entry.statement
        section = self.draft.sections[-1].home if self.draft.sections else ""
        read = entry if not has_rows else entry._replace(rows=(entry,))  # a table without rows can't be read
        if statement is None or statement.body is None or isinstance(statement.body, n.Row) or not is_read(read):
            return _unreadable(entry)
        phrase = statement.term.phrase if statement.term is not None else None
        body = statement.body
        if isinstance(body, n.Measure):
            body = with_reference(body, statement.term)
        found = Detail(phrase, body)
        if len(entry.events) > len(statement.events) or not _same_detail(section, statement, found):
            found.written = _lines(entry)
        elif len(entry.lines) == 1:
            found.comment = _comment(entry)
        else:  # the list is laid out on one line: its comments stand above
            self._items().extend(Comment(text) for text in _comments(entry))
        return found


def term_of(section: str, phrase: str | None) -> Term | None:
    """The term of a detail; None for one without a term."""
    return vocabulary().term(section, phrase) if phrase is not None else None


def canonical(section: str, detail: Detail, width: int = 0) -> str:
    """The canonical line of a detail, not indented; its value begins after ``width`` columns."""
    body = detail.body
    if isinstance(body, n.Measure):
        body = without_reference(body, term_of(section, detail.phrase))
    return render_statement(section, NewDetail(detail.phrase, body), width)[0]


def row_line(row: n.Row, term: Term | None, width: int = 0) -> str:
    """The canonical line of a row, not indented."""
    key, value = render_row(replace(row, measure=without_reference(row.measure, term)))
    return f"{key.ljust(width)}  {value}"


def _until_detail(entries: Sequence[Entry]) -> Iterator[Entry]:
    for entry in entries:
        if entry.kind in ("detail", "heading", "document"):
            return
        yield entry


def _unreadable(entry: Entry, *, margin: bool = False) -> Unreadable:
    return Unreadable(_lines(entry), margin, entry.lines[0].number)


def _lines(entry: Entry, *, keep_indent: bool = False) -> tuple[str, ...]:
    """The lines of an entry as they stand, without indentation and the white space at their end."""
    found = tuple(line.text.strip(BLANKS) for line in entry.lines)
    return (f"  {found[0]}", *found[1:]) if keep_indent and entry.indent else found


def _comment(entry: Entry) -> str | None:
    return next(_comments(entry), None)


def _comments(entry: Entry) -> Iterator[str]:
    for line in entry.lines:
        if text := line.text[code_of(line.text) :].strip(BLANKS):
            yield text


# ---- whether the canonical text says the same


def _same_heading(heading: n.Heading, text: str) -> bool:
    again, events = read_heading(text)
    return again is not None and not events and again.section == heading.section and render_heading(again) == text


def _same_row(statement: Statement, table: Detail | Unreadable, row: n.Row) -> bool:
    term = statement.term
    if not isinstance(table, Detail) or not isinstance(table.body, n.TableHead) or term is None:
        return False
    line = row_line(row, term)
    if len(line) > _LONGEST:
        return False
    again = read_row(term.section, term.phrase, table.body.key.text, line)
    if not again.readable or again.events or not isinstance(again.body, n.Row):
        return False
    return KEY.write(again.body.key) == KEY.write(row.key) and _says(again.body.measure, term) == _says(
        row.measure, term
    )


def _same_detail(section: str, statement: Statement, detail: Detail) -> bool:
    line = canonical(section, detail)
    if len(line) > _LONGEST:
        return False
    again = read_detail(section, line)
    if again.term != statement.term or not again.readable or again.body is None or isinstance(again.body, n.Row):
        return False
    told = [[(event.name, dict(event.fields)) for event in each.events] for each in (again, statement)]
    return told[0] == told[1] and _says(again.body, again.term) == _says(detail.body, again.term)


def _says(body: n.Body, term: Term | None) -> tuple[str, Json]:
    form = form_of(body)
    return form, FORMS[form].shape.write(with_reference(body, term) if isinstance(body, n.Measure) else body)
