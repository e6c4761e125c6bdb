"""Lines to a document. Reads every line whatever stands before it; returns, never raises."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.events import Event
from rxlint.notation.lines import Code, statement_at
from rxlint.notation.margin import detail_at_margin, misspelt_detail_at_margin, section_named
from rxlint.notation.statements import Statement, read_detail, read_heading, read_row, term_of
from rxlint.notation.tree import Block, Document, Entry, Kind, Reported
from rxlint.text import Line, Source
from rxlint.vocabulary import chunks_of

READINGS_ALONE: Final = "reader.readings-alone"
UNNAMED_READINGS: Final = "reader.readings-unnamed"
# Terms that say one thing each time: they may stand several times in a section.
REPEATABLE: Final = frozenset({"relation", "raise", "stop", "call", "accept", "stage", "extend"})
_WITHOUT_DETAILS: Final = frozenset({"checked", "readings for"})
_OF_READINGS: Final = frozenset({"readings", "readings for"})
_TABLE_FORMS: Final = frozenset({"quantity", "fraction", "age", "number", "ratio"})


@dataclass(slots=True)
class _Open:
    """A section while its details are being read."""

    section: str | None
    heading: n.Heading | None
    entry: Entry
    readable: bool
    details: list[Entry] = field(default_factory=list)
    indent: int = 0  # of the last detail
    may_have_rows: bool = False  # the last detail is a table, or could not be read


class _Reader:
    def __init__(self, source: Source) -> None:
        self.source = source
        self.entries: list[Entry] = []
        self.blocks: list[_Open] = []
        self.document: n.Heading | None = None
        self.document_entry: Entry | None = None
        self.unread_sections = False
        self.stopped = False

    def run(self) -> None:
        lines = self.source.lines
        at = 0
        while at < len(lines):
            used, code = statement_at(lines, at)
            taken = lines[at : at + used]
            at += used
            if not code.text:
                self.entries.append(Entry("blank", taken, "", events=code.events))
            elif self.stopped:
                self.entries.append(Entry("unread", taken, code.text, events=code.events))
            elif code.indent:
                self._indented(taken, code)
            else:
                self._margin(taken, code)

    # ---- lines at the margin
    def _margin(self, lines: tuple[Line, ...], code: Code) -> None:
        stray = None if code.unreadable else detail_at_margin(code.text)
        if stray is not None:  # it belongs to no section, and the section above it goes on
            self._unread(lines, code, stray)
            return
        heading, events = (None, ()) if code.unreadable else read_heading(code.text)
        if heading is not None and heading.section in ("prescription", "template"):
            self._document(heading, lines, code, events)
            return
        section = heading.section if heading is not None else section_named(code.text)
        if section is None and not code.unreadable:
            stray = misspelt_detail_at_margin(code.text)
            if stray is not None:
                self._unread(lines, code, stray)
                return
        self._open(section, heading, lines, code, events)

    def _open(
        self,
        section: str | None,
        heading: n.Heading | None,
        lines: tuple[Line, ...],
        code: Code,
        events: tuple[Event, ...],
    ) -> None:
        entry = Entry("heading", lines, code.text, heading=heading, events=code.events + events)
        self.entries.append(entry)
        self.unread_sections = self.unread_sections or section is None
        self.blocks.append(_Open(section, heading, entry, heading is not None))

    def _document(self, heading: n.Heading, lines: tuple[Line, ...], code: Code, events: tuple[Event, ...]) -> None:
        if self.document_entry is not None:
            first = {"first": str(self.document_entry.lines[0].number)}
            self._unread(lines, code, Event("reader.second-document", 0, len(code.text), first))
            self.stopped = True
            return
        entry = Entry("document", lines, code.text, heading=heading, events=code.events + events)
        self.entries.append(entry)
        self.document, self.document_entry = heading, entry
        self.blocks.append(_Open("head", heading, entry, True))

    def _unread(self, lines: tuple[Line, ...], code: Code, event: Event | None) -> None:
        """A line that is read in no section: what it states is not known to be missing anywhere."""
        events = code.events if event is None else (*code.events, event)
        self.entries.append(Entry("unread", lines, code.text, events=events))
        self.unread_sections = True

    # ---- indented lines
    def _indented(self, lines: tuple[Line, ...], code: Code) -> None:
        indent, end = code.indent, len(code.text)
        if not self.blocks:
            heading = _heading_meant(code)
            if heading is not None and heading.title is not None:
                self._document(heading, lines, code, (_indented_heading(heading, code),))
            else:
                event = Event("reader.no-section", indent, end, {"what": code.text.strip()[:40]})
                self._unread(lines, code, event)
            return
        block = self.blocks[-1]
        if block.section is None:  # the heading's own finding covers what stands under it
            self._unread(lines, code, None)
        elif block.section in _WITHOUT_DETAILS:
            event = Event("reader.heading-has-no-details", indent, end, {"what": block.section})
            self._unread(lines, code, event)
        elif block.may_have_rows and indent > block.indent and _is_row(block, code.text):
            self._row(block, lines, code)
        else:
            self._detail(block, block.section, lines, code)

    def _detail(self, block: _Open, section: str, lines: tuple[Line, ...], code: Code) -> None:
        statement = _unreadable(section, code.text) if code.unreadable else read_detail(section, code.text)
        body = statement.body
        if body is None and statement.term is None:
            heading = _heading_meant(code)
            if heading is not None and heading.title is None:  # what follows is meant for it, and for no other section
                self._open(heading.section, heading, lines, code, (_indented_heading(heading, code),))
                return
        entry = Entry("detail", lines, code.text, statement, events=code.events + statement.events)
        self.entries.append(entry)
        block.details.append(entry)
        block.indent = code.indent
        block.may_have_rows = body is None or isinstance(body, n.TableHead)

    def _row(self, block: _Open, lines: tuple[Line, ...], code: Code) -> None:
        table = block.details[-1]
        head = table.statement
        statement: Statement | None = None
        events = code.events
        if head is not None and isinstance(head.body, n.TableHead) and head.term is not None:
            if code.unreadable:
                statement = Statement(head.term, (0, 0), None, {}, (), False)
            else:
                statement = read_row(head.term.section, head.term.phrase, head.body.key.text, code.text)
            events += statement.events
        entry = Entry("row", lines, code.text, statement, events=events)
        self.entries.append(entry)
        block.details[-1] = table._replace(rows=(*table.rows, entry))


def _heading_meant(code: Code) -> n.Heading | None:
    """The heading that an indented line would be at the margin, where it can be meant as nothing else."""
    heading = None if code.unreadable else read_heading(code.text.strip())[0]
    period = heading.period if heading is not None else None
    return None if period is not None and not period.windows and period.use is None else heading


def _indented_heading(heading: n.Heading, code: Code) -> Event:
    fields = {"what": f"the heading {heading.section} is indented", "expected": "a heading at the margin"}
    return Event("reader.not-understood", code.indent, len(code.text), fields)


def _is_row(block: _Open, code: str) -> bool:
    """Whether a line under a table, or under what may have been meant as one, is a row and no detail of its own."""
    table = block.details[-1]
    statement = table.statement
    if statement is None or block.section is None:
        return False
    if isinstance(statement.body, n.TableHead):
        return term_of(block.section, code) is None
    meant = statement.term is None or statement.term.form in _TABLE_FORMS
    first = chunks_of(code)[0].text
    return meant and " by " in table.text and (first[0] in "-.0123456789" or first == "under")


def _unreadable(section: str, code: str) -> Statement:
    """A detail that its characters make unreadable: its term, where that can still be told."""
    first = chunks_of(code)[0]
    return Statement(term_of(section, code), (first.start, first.end), None, {}, (), False)


def read_document(source: Source) -> Document:
    """Read a decoded document. Never raises on any text."""
    reader = _Reader(source)
    reader.run()
    blocks = tuple(
        Block(block.section, block.heading, block.entry, tuple(block.details), block.readable)
        for block in reader.blocks
        if block.section is not None
    )
    reported = [Reported(event, entry) for entry in reader.entries for event in entry.events]
    repeated, again = _repeated(blocks)
    kind: Kind | None = None
    if reader.document is not None:
        kind = "template" if reader.document.section == "template" else "prescription"
    elif _holds_readings(reader.entries):
        kind = "readings"
        again += _readings_alone(blocks)
        blocks = tuple(block for block in blocks if block.section in _OF_READINGS)
    else:
        again += _no_document(reader.entries)
    return Document(
        source=source,
        kind=kind,
        title=reader.document.title if reader.document is not None else None,
        entries=tuple(reader.entries),
        blocks=blocks,
        reported=tuple(reported + again + _empty_tables(blocks)),
        unread_sections=reader.unread_sections,
        repeated=repeated,
    )


def _no_document(entries: list[Entry]) -> list[Reported]:
    first = next((entry for entry in entries if entry.kind != "blank"), None)
    if first is None or any(event.name != "reader.no-section" for event in first.events):
        return []  # its own finding already says that the first line can't be read
    fields = {"found": first.text.strip()[:40]}
    return [Reported(Event("reader.no-document", 0, len(first.text), fields), first)]


def _holds_readings(entries: list[Entry]) -> bool:
    """Whether a text without a document's heading is a file of readings: its first line is a heading of theirs."""
    first = next((entry for entry in entries if entry.kind != "blank"), None)
    return first is not None and first.heading is not None and first.heading.section in _OF_READINGS


def _readings_alone(blocks: tuple[Block, ...]) -> list[Reported]:
    """What is to be said of a file of readings: that it stands alone, and every section of it that holds others."""
    found: list[Reported] = []
    for block in blocks:
        if block.section not in _OF_READINGS:
            fields = {"what": block.section}
            found.append(Reported(Event("reader.not-readings", 0, len(block.entry.text), fields), block.entry))
    if found:
        return found
    first = blocks[0]
    link = first.heading.link if first.heading is not None else None
    end = len(first.entry.text)
    if link is None:
        return [Reported(Event(UNNAMED_READINGS, 0, end), first.entry)]
    return [Reported(Event(READINGS_ALONE, 0, end, {"id": link.id.text}), first.entry)]


def _empty_tables(blocks: tuple[Block, ...]) -> list[Reported]:
    """Tables without a row: they state nothing, and look as if they did."""
    found: list[Reported] = []
    for block in blocks:
        for entry in block.details:
            statement = entry.statement
            if statement is not None and isinstance(statement.body, n.TableHead) and not entry.rows:
                phrase = statement.term.phrase if statement.term is not None else "the table"
                what, expected = f"{phrase} by {statement.body.key.text} has no rows", "rows that are indented deeper"
                fields = {"what": what, "expected": expected}
                found.append(Reported(Event("reader.not-understood", entry.indent, len(entry.text), fields), entry))
    return found


def _repeated(blocks: tuple[Block, ...]) -> tuple[frozenset[tuple[str, str | None, str]], list[Reported]]:
    """Terms that stand twice in one section and period, with both places."""
    seen: dict[tuple[str, str | None, str, int], Entry] = {}
    lines: dict[tuple[str, str | None, str, int], Entry] = {}  # of terms that may stand several times, by their text
    twice: set[tuple[str, str | None, str]] = set()
    reported: list[Reported] = []
    sets = 0
    for index, block in enumerate(blocks):
        period = period_name(block)
        alone = 0 if block.readable else index  # whose period could not be read may be of another than its neighbour
        scope = block.section
        if scope == "readings":  # each set of them stands for itself
            scope, sets = readings_scope(sets), sets + 1
        for entry in block.details:
            statement = entry.statement
            term = statement.term if statement is not None else None
            if statement is None or term is None:
                continue
            if term.form in REPEATABLE:
                key = (scope, period, " ".join(entry.text.split()), alone)
                first = lines.setdefault(key, entry)
                if first is not entry:
                    reported.append(_said_again(entry, first, block.section))
                continue
            key = (scope, period, term.phrase, alone)
            first = seen.setdefault(key, entry)
            if first is not entry:
                twice.add(key[:3])
                start, end = statement.phrase
                related = (first, *(first.statement.phrase if first.statement else (0, 0)), "it stands here first")
                event = Event("reader.repeated-term", start, end, {"what": term.phrase, "section": block.section})
                reported.append(Reported(event, entry, block.section, (related,)))
    return frozenset(twice), reported


def readings_scope(number: int) -> str:
    """The name under which the repeated terms of a set of readings are told, counted from 0."""
    return f"readings {number}"


def _said_again(entry: Entry, first: Entry, section: str) -> Reported:
    """A line that says word for word what another line of its section and period says."""
    fields = {"what": " ".join(entry.text.split()), "section": section}
    event = Event("reader.repeated-line", entry.indent, len(entry.text), fields)
    return Reported(event, entry, section, ((first, first.indent, len(first.text), "it stands here first"),))


def period_name(block: Block) -> str | None:
    """The name under which a section's period is known: its name, its use, or its windows; None for the unnamed one."""
    period = block.heading.period if block.heading is not None else None
    if period is None:
        return None
    if period.name is not None:
        return period.name
    if period.use is not None:
        return period.use
    return " and ".join(f"{window.start_time} to {window.end_time}" for window in period.windows)
