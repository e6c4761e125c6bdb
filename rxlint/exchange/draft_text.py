"""What a document states as its text, in canonical layout, with the place in the JSON that each line comes from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from rxlint.exchange.draft import (
    Comment,
    Detail,
    Draft,
    DraftSection,
    Item,
    RowItem,
    RowLine,
    Unreadable,
    canonical,
    row_line,
    term_of,
)
from rxlint.exchange.forms import without_reference
from rxlint.exchange.shapes import Fault, Path
from rxlint.notation.layout import GAP, INDENT
from rxlint.notation.render import render_heading
from rxlint.notation.write import NewDetail, column_of
from rxlint.vocabulary import Term


@dataclass(slots=True)
class Written:
    """A text with, for each of its lines, the path to what it says in the JSON."""

    lines: list[str] = field(default_factory=list)
    paths: list[Path] = field(default_factory=list)

    def add(self, line: str, path: Path) -> None:
        """One more line."""
        self.lines.append(line)
        self.paths.append(path)

    def add_lines(self, lines: Sequence[str], indent: int, path: Path) -> None:
        """The lines of one statement, the first indented by so much, the others deeper."""
        for index, line in enumerate(lines):
            self.add(" " * (indent + (2 * INDENT if index else 0)) + line, path)

    @property
    def text(self) -> str:
        """The whole text."""
        return "".join(f"{line}\n" for line in self.lines)


def written(draft: Draft) -> Written:
    """The text of a document. Raises Fault for what no line can say."""
    out = Written()
    for index, item in enumerate(draft.before):
        _item(out, item, "", 0, ("before", index))
    for index, section in enumerate(draft.sections):
        if out.lines:
            out.add("", ("sections", index))
        _section(out, section, ("sections", index))
    return out


def _section(out: Written, section: DraftSection, at: Path) -> None:
    for index, comment in enumerate(section.comments):
        out.add(comment.text, (*at, "comments", index))
    if section.unreadable is not None:
        out.add_lines(section.unreadable.lines, 0 if section.unreadable.at_margin else INDENT, (*at, "unreadable"))
    elif section.written:
        out.add_lines(section.written, 0, (*at, "written"))
    else:
        assert section.heading is not None
        out.add(_with_comment(render_heading(section.heading), section.comment), at)
    width = column_of(section.home, [_new(each, section.home) for each in section.items if isinstance(each, Detail)])
    for index, item in enumerate(section.items):
        _item(out, item, section.home, width, (*at, "statements", index))


def _new(detail: Detail, section: str) -> NewDetail:
    term = term_of(section, detail.phrase) if section else None
    rows = (each.row for each in detail.rows if isinstance(each, RowLine))
    bare = (replace(row, measure=without_reference(row.measure, term)) for row in rows)
    return NewDetail(detail.phrase, detail.body, tuple(bare))


def _item(out: Written, item: Item, section: str, width: int, at: Path) -> None:
    match item:
        case Comment():  # above the first heading a comment stands at the margin
            out.add(" " * (INDENT if section or at[0] != "before" else 0) + item.text, at)
        case Unreadable():
            out.add_lines(item.lines, 0 if item.at_margin else INDENT, at)
            _rows(out, item.rows, None, width, at)
        case Detail():
            if item.written:
                out.add_lines(item.written, INDENT, at)
            else:
                try:
                    line = canonical(section, item, width)
                except (TypeError, ValueError, KeyError, LookupError) as error:
                    raise Fault(at, f"can't be written as a line: {error}") from None
                out.add(" " * INDENT + _with_comment(line, item.comment), at)
            _rows(out, item.rows, term_of(section, item.phrase) if section else None, width, at)


def _rows(out: Written, rows: Sequence[RowItem], term: Term | None, width: int, at: Path) -> None:
    for index, row in enumerate(rows):
        path = (*at, "rows", index)
        match row:
            case Comment():
                out.add(" " * 2 * INDENT + row.text, path)
            case Unreadable():
                out.add_lines(row.lines, 2 * INDENT, path)
            case RowLine() if row.written:
                out.add_lines(row.written, 2 * INDENT, path)
            case RowLine():
                line = row_line(row.row, term, width - INDENT)
                out.add(" " * 2 * INDENT + _with_comment(line, row.comment), path)


def _with_comment(line: str, comment: str | None) -> str:
    return line if comment is None else f"{line}{' ' * GAP}{comment}"
