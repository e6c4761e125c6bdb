"""What must hold of every text, whoever made it up: nothing escapes, places lie in the text, nothing is skipped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import rxlint
from rxlint.library.screen import parse_bytes
from rxlint.library.tidying import tidy_bytes
from rxlint.model.content import is_read, unread_lines
from rxlint.notation import Document, write
from rxlint.notation import nodes as n
from rxlint.notation.tree import Entry, Place
from rxlint.text import Problem

FAULT_OF_OURS = "through a fault of this program"


class Unsound(Exception):
    """A promise is broken; ``kind`` names which, for the same fault is met many times."""

    def __init__(self, kind: str, told: object = "") -> None:
        super().__init__(f"{kind}: {told}")
        self.kind = kind


def lines_of(data: bytes) -> list[str]:
    """The lines of a text as its readers count them; what is no UTF-8 counts as one character a byte at most."""
    return data.decode("utf-8", "replace").removeprefix("\ufeff").split("\n")


def hold_inside(line: int | None, column: int | None, lines: Sequence[str], what: str) -> None:
    """Raise Unsound for a place outside of a text; none at all is one of the whole text."""
    if line is None:
        if column is not None:
            raise Unsound("a column without a line", what)
        return
    if not 1 <= line <= len(lines) or not 1 <= (1 if column is None else column) <= len(lines[line - 1]) + 1:
        raise Unsound("a place outside of the text", f"{line}:{column} of {what}")


def hold_place(place: Place, lines: Sequence[str], what: str) -> None:
    """The same for a stretch, which must not end before it begins."""
    hold_inside(place.line, place.column, lines, what)
    hold_inside(place.end_line, place.end_column, lines, f"the end of {what}")
    if (place.end_line, place.end_column) < (place.line, place.column):
        raise Unsound("a place that ends before it begins", f"{place} of {what}")


def hold_problems(problems: Sequence[Problem], lines: Sequence[str]) -> None:
    """Raise Unsound for a problem that is a fault of the program, or lies outside of the text."""
    for each in problems:
        if FAULT_OF_OURS in each.message:
            raise Unsound("a fault of ours", each.message)
        hold_inside(each.line, each.column, lines, each.message)


def read_soundly(data: bytes) -> Document | None:
    """The document of some bytes, with what must hold of it as it is read; None where the bytes hold none."""
    document = parse_bytes(data)
    lines = lines_of(data)
    if isinstance(document, Problem):
        hold_problems([document], lines)
        return None
    hold_lines(document)
    if write(document).encode("utf-8") != data:
        raise Unsound("a document that is not written as it was read")
    for each in document.reported:
        hold_place(each.entry.place(each.event.start, each.event.end), lines, each.event.name)
    hold_told(document)
    return document


def hold_lines(document: Document) -> None:
    """Every line stands in one entry, in its order."""
    found = [line.number for entry in document.entries for line in entry.lines]
    if found != [line.number for line in document.source.lines]:
        raise Unsound("a line that stands in no entry, or in two", found)


def hold_told(document: Document) -> None:
    """Every line that can't be read is told, itself or by the line that it hangs on."""
    silent = [entry.text for entry in untold(document)]
    if silent:
        raise Unsound("a line that is neither read nor told", silent[:3])


def untold(document: Document) -> Iterator[Entry]:
    """Lines that can't be read and of which nothing is said. Of a relation the rules say it, not the reader."""
    told = {_number(each.entry) for each in document.reported}
    for entry in unread_lines(document):
        statement = entry.statement
        is_relation = statement is not None and isinstance(statement.body, n.Relation)
        if _number(entry) not in told and not is_relation and not _hangs_on(entry, document, told):
            yield entry


def _number(entry: Entry) -> int:
    """What tells one entry of a document from another; that of a table is made anew with its rows."""
    return entry.lines[0].number


def _hangs_on(entry: Entry, document: Document, told: set[int]) -> bool:
    """Whether what stands above a line says why it isn't read: its heading, its table, or a second document."""
    above: Entry | None = None
    for each in document.entries:
        if _number(each) == _number(entry):
            break
        if each.kind in ("heading", "document") or (each.kind == "unread" and each.events):
            above = each
        if entry.kind == "row" and each.kind == "detail":
            above = each
    return above is not None and _number(above) in told


def parsed_soundly(data: bytes) -> None:
    """Reading for Python programs: no fault, and a statement for every line that holds more than a comment."""
    parsed = rxlint.parse(data)
    lines = lines_of(data)
    hold_problems(parsed.problems, lines)
    for each in parsed.statements:
        hold_place(each.place, lines, each.written)
    document = parse_bytes(data)
    if isinstance(document, Document):
        meant = [entry.whole() for entry in document.entries if entry.kind != "blank"]
        if [each.place for each in parsed.statements] != meant:
            raise Unsound("a line that is no statement")
        unread = {entry.lines[0].number for entry in document.entries if entry.statement and not is_read(entry)}
        claimed = {each.place.line for each in parsed.statements if each.is_read}
        if any(number in claimed for number in unread if not _is_relation(document, number)):
            raise Unsound("a line that is told as read and is not")


def _is_relation(document: Document, number: int) -> bool:
    return any(
        entry.statement is not None and isinstance(entry.statement.body, n.Relation | n.TableHead)
        for entry in document.entries
        if entry.lines[0].number == number
    )


def tidied_soundly(data: bytes) -> None:
    """The canonical layout reads the same, and is its own canonical layout."""
    once = tidy_bytes("x", data)
    if once.problem is not None:
        if "fault of rxlint" in once.problem:
            raise Unsound("a layout that reads otherwise", once.problem)
        return
    twice = tidy_bytes("x", once.new.encode("utf-8"))
    if twice.problem is not None or twice.new != once.new:
        raise Unsound("a layout that is not its own layout", twice.problem)
