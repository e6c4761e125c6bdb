"""A row of a table as a document: each cell read as the detail it stands for, all of it written in canonical layout.

A cell that can't be read becomes a line that can't be read either, with its text in quotation marks: so nothing of a
row is lost, and no document looks sound for want of what its row said.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from rxlint.library.table_header import Column, line_of, told_event
from rxlint.library.table_rows import MAX_CELL, Row
from rxlint.notation import nodes as n
from rxlint.notation.lines import code_of_line
from rxlint.notation.render import quoted, render_heading
from rxlint.notation.statements import Statement, read_detail, read_heading
from rxlint.notation.write import NewDetail, render_statement
from rxlint.text import hazards_of, printable
from rxlint.vocabulary import vocabulary

_COMMA_NUMBER: Final = re.compile(r"(?<![0-9.,])(-?[0-9]+),([0-9]+)(?![0-9.,])")
_KEPT: Final = 200  # characters of a cell that can't be read
_SHOWN: Final = 60
_FIRST: Final = "head"
_UNREAD: Final = "unread"  # is no term, so that a line that begins with it can't be read


@dataclass(frozen=True, slots=True)
class BadCell:
    """A cell that can't be read: its column from 1 (0: the row as a whole) and why."""

    column: int
    message: str


@dataclass(frozen=True, slots=True)
class Imported:
    """A row's document, the identifier it states, and the cells that could not be read."""

    text: str
    id: str | None
    bad: tuple[BadCell, ...]


@dataclass(slots=True)
class _Draft:
    """The lines of a document by section; a detail, or the text of a line that can't be read."""

    title: str
    moment: n.Moment | None = None
    id: str | None = None
    lines: dict[str, list[NewDetail | tuple[str, str]]] = field(default_factory=dict)
    comments: list[str] = field(default_factory=list)
    bad: list[BadCell] = field(default_factory=list)

    def reject(self, section: str, column: int, name: str, cell: str, why: str) -> None:
        """Keep a cell as a line that nobody can take for read."""
        self.bad.append(BadCell(column, why))
        text = _unreadable(cell)
        is_text = read_detail(section, f"{name} {text}").readable  # of a text, quotation marks are a part
        self.lines.setdefault(section, []).append((_UNREAD if is_text else name, text))


def document_of(row: Row, columns: Sequence[Column], table: str, decimal_comma: bool = False) -> Imported:
    """The document of a row of the table with this name. Cells beyond the header must be empty."""
    draft = _Draft(f"Row {row.number} of {_plain(table)}")
    if len(row.cells) < len(columns) or any(cell.strip() for cell in row.cells[len(columns) :]):
        _ragged(draft, row, len(columns))
    else:
        for number, (column, cell) in enumerate(zip(columns, row.cells, strict=False), 1):
            if cell.strip():
                _cell(draft, number, column, cell.strip(), decimal_comma)
    first = f"# Row {row.number} of {_plain(table)}, imported; nobody has checked it yet."
    return Imported("\n".join([first, *draft.comments, *_lines(draft), ""]), draft.id, tuple(draft.bad))


def _counted(cells: int) -> str:
    return f"{cells} cell{'' if cells == 1 else 's'}"


def _ragged(draft: _Draft, row: Row, expected: int) -> None:
    told = f"the row has {_counted(len(row.cells))} and the header {expected}: which belongs where can't be told"
    draft.bad.append(BadCell(0, told))
    cells = [cell for cell in row.cells if cell.strip()]
    draft.lines[_FIRST] = [(_UNREAD, _unreadable(cell)) for cell in cells]


def _cell(draft: _Draft, number: int, column: Column, cell: str, decimal_comma: bool) -> None:
    name = column.term.phrase if column.term is not None else column.section or column.text
    section = column.section or _FIRST
    fault = _no_cell(cell)
    if column.kind == "comment":
        draft.comments.append(f"{_plain(column.text)}: {_plain(cell[:MAX_CELL])}"[:MAX_CELL])
        if len(cell) > MAX_CELL and fault is not None:
            draft.bad.append(BadCell(number, fault))
    elif fault is not None:
        draft.reject(section, number, name, cell, fault)
    elif column.kind == "title":
        draft.title = cell
    elif column.kind == "moment":
        heading = read_heading(f"readings at {cell}")[0]
        if heading is None or heading.moment is None:
            draft.reject("readings", number, _UNREAD, cell, f"{_shown(cell)} is no moment such as 2026-11-24 08:00")
        else:
            draft.moment = heading.moment
    else:
        _detail(draft, number, column, cell, decimal_comma)


def _no_cell(cell: str) -> str | None:
    """Why a cell can't be the value of anything."""
    if len(cell) > MAX_CELL:
        return f"the cell has {len(cell):,} characters, the limit is {MAX_CELL:,}"
    if any(char in cell for char in "\n\r\x0b\x0c\x85\u2028\u2029"):
        return "the cell goes over several lines"
    if any(hazard.kind == "hidden" for hazard in hazards_of(cell, len(cell))):
        return "the cell holds a character that can't be seen"
    return None


def _detail(draft: _Draft, number: int, column: Column, cell: str, decimal_comma: bool) -> None:
    name = column.term.phrase if column.term is not None else column.section
    value = _as_written(column, cell, decimal_comma)
    if value is None:
        told = f"{_shown(cell)} has a point, and --decimal comma says that decimals stand after a comma"
        draft.reject(column.section, number, name, cell, told)
        return
    odd = next((hazard for hazard in hazards_of(value, len(value)) if hazard.kind != "foreign"), None)
    if odd is not None:
        told = f"{_shown(cell)} holds U+{ord(odd.char):04X}, which is not the plain character that it looks like"
        draft.reject(column.section, number, name, cell, told)
        return
    line = value if column.kind == "list" else _line(column, value)
    if code_of_line(line).text.strip() != line.strip():
        told = f"{_shown(cell)} holds a #, and what stands after it would be a comment of the document"
        draft.reject(column.section, number, name, cell, told)
        return
    statement = read_detail(column.section, line)
    if not _is_meant(statement, column):
        why = told_event(statement.events[0]) if statement.events else f"{_shown(cell)} can't be read"
        text = printable(why)
        draft.reject(column.section, number, name, cell, text if _shown(cell) in text else f"{_shown(cell)}: {text}")
        return
    assert statement.body is not None
    assert not isinstance(statement.body, n.Row)
    if column.term is not None and column.term.key == "document id" and isinstance(statement.body, n.Phrase):
        draft.id = statement.body.text
    phrase = column.term.phrase if column.term is not None else None
    draft.lines.setdefault(column.section, []).append(NewDetail(phrase, statement.body))


def _is_meant(statement: Statement, column: Column) -> bool:
    """Whether a cell was read as what its column states, and as nothing else."""
    if not statement.readable or statement.body is None or isinstance(statement.body, n.TableHead):
        return False
    return statement.term is column.term


def _as_written(column: Column, cell: str, decimal_comma: bool) -> str | None:
    """A cell as the notation would write it; None where its decimals contradict what was said of them."""
    form = column.term.form if column.term is not None else "list"
    if form == "list":
        return ", ".join(part.strip() for part in cell.split(";"))
    if form == "text":
        return quoted(cell)
    if decimal_comma and column.is_measured:
        return None if re.search(r"[0-9]\.[0-9]", cell) else _COMMA_NUMBER.sub(r"\1.\2", cell)
    return cell


def _line(column: Column, value: str) -> str:
    """The line of a value; a word in place of a number, such as `off`, takes no unit."""
    if column.is_measured and not re.search(r"[0-9]", value):
        assert column.term is not None
        return f"{column.term.phrase} {value}"
    return line_of(column, value)


def _unreadable(cell: str) -> str:
    """The text of a cell in quotation marks, on one line, no longer than anybody would read."""
    text = printable(cell.strip())
    return quoted(text if len(text) <= _KEPT else f"{text[:_KEPT]} ... of {len(text):,} characters")


def _lines(draft: _Draft) -> list[str]:
    found: list[str] = []
    head: list[NewDetail | tuple[str, str]] = list(draft.lines.get(_FIRST, []))
    if not any(_name(line) == "notation" for line in head):
        notation = read_detail(_FIRST, f"notation {vocabulary().version}").body
        assert isinstance(notation, n.Part)
        head.insert(0, NewDetail("notation", notation))
    for section in vocabulary().sections:
        lines = head if section == _FIRST else draft.lines.get(section, [])
        if not lines and not (section == "readings" and draft.moment is not None):
            continue
        found += [""] if found else []
        found.append(render_heading(_heading(section, draft)))
        width = max((len(_name(line)) for line in lines), default=0)
        for line in lines:
            if isinstance(line, NewDetail):
                found += [f"  {each}" for each in render_statement(section, line, width)]
            else:
                found.append(f"  {line[0].ljust(width)}  {line[1]}")
    return found


def _heading(section: str, draft: _Draft) -> n.Heading:
    if section == _FIRST:
        return n.Heading("prescription", 0, 0, title=draft.title)
    return n.Heading(section, 0, 0, moment=draft.moment if section == "readings" else None)


def _name(line: NewDetail | tuple[str, str]) -> str:
    return (line.phrase or "") if isinstance(line, NewDetail) else line[0]


def _plain(text: str) -> str:
    return printable(" ".join(text.split()))


def _shown(cell: str) -> str:
    text = printable(cell)
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."
