"""Lines to a document. Reads every line whatever stands before it; returns, never raises."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final, Literal

from rxlint.notation import nodes as n
from rxlint.notation.events import Event
from rxlint.notation.statements import Statement, read_detail, read_heading, read_row
from rxlint.notation.tree import Block, Document, Entry, Reported
from rxlint.text import MAX_LINE, Hazard, Line, Source, code_of, hazards_of, repair_letters
from rxlint.vocabulary import chunks_of, vocabulary

# Terms that say one thing each time: they may stand several times in a section.
REPEATABLE: Final = frozenset({"relation", "raise", "stop", "call", "accept", "stage", "list", "extend"})
_WITHOUT_DETAILS: Final = frozenset({"checked"})


@dataclass(slots=True)
class _Open:
    """A section while its details are being read."""

    section: str | None
    heading: n.Heading | None
    entry: Entry
    readable: bool
    details: list[Entry] = field(default_factory=list)


@dataclass(slots=True)
class _Reader:
    source: Source
    entries: list[Entry] = field(default_factory=list)
    blocks: list[_Open] = field(default_factory=list)
    document: n.Heading | None = None
    document_entry: Entry | None = None
    unread_sections: bool = False
    stopped: bool = False

    def run(self) -> None:
        lines = self.source.lines
        at = 0
        while at < len(lines):
            used, code, hazards, events = _gather(lines, at)
            taken = lines[at : at + used]
            at += used
            if not code.strip():
                self.entries.append(Entry("blank", taken, code, events=events))
            elif self.stopped:
                self.entries.append(Entry("unread", taken, code, events=events))
            elif code[0] in " \t":
                self._detail(taken, code, events, hazards)
            else:
                self._margin(taken, code, events, hazards)

    # ---- lines at the margin
    def _margin(self, lines: tuple[Line, ...], code: str, events: tuple[Event, ...], hazards: bool) -> None:
        heading, more = (None, ()) if hazards else read_heading(code, len(code.rstrip()))
        if heading is not None and heading.section in ("prescription", "template"):
            self._document(heading, lines, code, events)
            return
        section = heading.section if heading is not None else _section_named(code)
        if heading is None and section is None and not hazards:
            more = (_margin_fault(code, more),)
        entry = Entry("heading", lines, code, heading=heading, events=(*events, *more))
        self.entries.append(entry)
        if section is None:
            self.unread_sections = True
        self.blocks.append(_Open(section, heading, entry, heading is not None))

    def _document(self, heading: n.Heading, lines: tuple[Line, ...], code: str, events: tuple[Event, ...]) -> None:
        if self.document_entry is not None:
            first = {"first": str(self.document_entry.lines[0].number)}
            event = Event("reader.second-document", 0, len(code.rstrip()), first)
            self.entries.append(Entry("unread", lines, code, events=(*events, event)))
            self.stopped = True
            return
        entry = Entry("document", lines, code, heading=heading, events=events)
        self.entries.append(entry)
        self.document, self.document_entry = heading, entry
        self.blocks.append(_Open("head", heading, entry, True))

    # ---- indented lines
    def _detail(self, lines: tuple[Line, ...], code: str, events: tuple[Event, ...], hazards: bool) -> None:
        indent = len(code) - len(code.lstrip(" \t"))
        if not self.blocks:
            event = Event("reader.no-section", indent, len(code.rstrip()), {"what": code.strip()[:40]})
            self.entries.append(Entry("unread", lines, code, events=(*events, event)))
            return
        block = self.blocks[-1]
        if block.section is None:  # the heading's own finding covers what stands under it
            self.entries.append(Entry("unread", lines, code, events=events))
            return
        if block.section in _WITHOUT_DETAILS:
            event = Event("reader.heading-has-no-details", indent, len(code.rstrip()), {"what": block.section})
            self.entries.append(Entry("unread", lines, code, events=(*events, event)))
            return
        if self._belongs_to_last(block, code, indent):
            self._row(block, lines, code, events, hazards)
            return
        statement = _unreadable(block.section, code) if hazards else read_detail(block.section, code, len(code.rstrip()))
        entry = Entry("detail", lines, code, statement, events=(*events, *statement.events))
        self.entries.append(entry)
        block.details.append(entry)

    def _belongs_to_last(self, block: _Open, code: str, indent: int) -> bool:
        """Whether a deeper line is a row of the table above it, or the rest of a line that could not be read."""
        if not block.details or indent <= block.details[-1].indent:
            return False
        last = block.details[-1].statement
        if last is None or block.section is None:
            return False
        if isinstance(last.body, n.TableHead):
            return True
        home = vocabulary().sections[block.section]
        return last.body is None and home.trie.longest(chunks_of(code), 0) is None

    def _row(self, block: _Open, lines: tuple[Line, ...], code: str, events: tuple[Event, ...], hazards: bool) -> None:
        head = block.details[-1]
        statement: Statement | None = None
        if head.statement is not None and isinstance(head.statement.body, n.TableHead) and head.statement.term is not None:
            term = head.statement.term
            if hazards:
                statement = Statement(term, (0, 0), None, {}, (), False)
            else:
                statement = read_row(term.section, term.phrase, head.statement.body.key.text, code, len(code.rstrip()))
            events = (*events, *statement.events)
        entry = Entry("row", lines, code, statement, events=events)
        self.entries.append(entry)
        block.details[-1] = Entry(
            head.kind, head.lines, head.text, head.statement, head.heading, head.events, (*head.rows, entry)
        )


def _gather(lines: tuple[Line, ...], at: int) -> tuple[int, str, bool, tuple[Event, ...]]:
    """The statement that starts at a line: lines used, its code, whether its characters make it unreadable, and their events."""
    codes: list[str] = []
    events: list[Event] = []
    unreadable = False
    used = 0
    offset = 0
    while True:
        code, bad, more = _clean(lines[at + used].text)
        events += [Event(e.name, e.start + offset, e.end + offset, e.fields, e.readings) for e in more]
        unreadable = unreadable or bad
        codes.append(code)
        offset += len(code) + 1
        used += 1
        stripped = code.rstrip()
        if not stripped.endswith(",") or at + used >= len(lines) or code[:1] not in " \t" or unreadable:
            break
        following = lines[at + used].text
        deeper = len(following) - len(following.lstrip(" \t")) > len(codes[0]) - len(codes[0].lstrip(" \t"))
        if not deeper or not following.strip():
            break
    return used, "\n".join(codes), unreadable, tuple(events)


def _clean(text: str) -> tuple[str, bool, list[Event]]:
    """A line's code with certain look-alikes read as what they look like; whether it can't be read; events."""
    if len(text) > MAX_LINE:
        fields = {"length": f"{len(text):,}", "limit": f"{MAX_LINE:,}"}
        return " " * (text[:1] in " \t") + "?", True, [Event("reader.line-too-long", 0, 1, fields)]
    end = code_of(text)
    hazards = hazards_of(text, end)
    if not hazards:
        return text[:end], False, []
    inside = [hazard for hazard in hazards if hazard.at < end]
    bad = any(hazard.kind in ("hidden", "look-alike") and hazard.letter is None for hazard in inside)
    return repair_letters(text, hazards)[:end], bad, _character_events(text, hazards)


def _character_events(text: str, hazards: list[Hazard]) -> list[Event]:
    events: list[Event] = []
    kinds: Any = {"hidden": "reader.hidden-character", "look-alike": "reader.look-alike", "space": "reader.odd-space"}
    for kind, name in kinds.items():
        here = [hazard for hazard in hazards if hazard.kind == kind]
        if not here:
            continue
        at = here[0].at
        codes = ", ".join(dict.fromkeys(f"U+{ord(hazard.char):04X}" for hazard in here))
        if kind == "look-alike":
            word = _word_at(text, at)
            plain = "".join(_plain_char(char, here) for char in word)
            fields = {"what": word, "plain": plain, "where": f"{codes} in place of a plain letter or digit"}
            events.append(Event(name, at, at + 1, fields, (plain,)))
        else:
            where = "it changes the order in which the line is shown" if here[0].is_direction else "it can't be seen"
            fields = {"code": codes, "where": where} if kind == "hidden" else {"code": codes}
            without = "".join(char for index, char in enumerate(text) if all(index != hazard.at for hazard in here)).strip()
            events.append(Event(name, at, at + 1, fields, (without,) if kind == "hidden" else ()))
    return events


def _plain_char(char: str, hazards: list[Hazard]) -> str:
    import unicodedata

    known = next((hazard.letter for hazard in hazards if hazard.char == char and hazard.letter), None)
    return known or unicodedata.normalize("NFKC", char)


def _word_at(text: str, at: int) -> str:
    start = at
    while start > 0 and not text[start - 1].isspace():
        start -= 1
    end = at
    while end < len(text) and not text[end].isspace():
        end += 1
    return text[start:end]


def _unreadable(section: str, code: str) -> Statement:
    """A detail that its characters make unreadable: its term, where that can still be told."""
    home = vocabulary().sections[section]
    chunks = chunks_of(code)
    found = home.trie.longest(chunks, 0)
    term = home.terms[found[1]] if found else None
    return Statement(term, (chunks[0].start, chunks[0].end), None, {}, (), False)


def _section_named(code: str) -> str | None:
    """The section that a heading which can't be read to its end begins with."""
    chunks = chunks_of(code)
    found = vocabulary().tries["SECTION"].longest(chunks, 0)
    if found is not None:
        return found[1]
    first = chunks[0].text
    return first if first in ("readings", "checked", "back-up") else None


def _margin_fault(code: str, events: tuple[Event, ...]) -> Event:
    """Why a line at the margin is no heading: perhaps a detail that lost its indentation."""
    chunks = chunks_of(code)
    if vocabulary().tries["any term"].longest(chunks, 0) is not None:
        fields = {"what": f"{chunks[0].text} stands at the margin", "expected": "a heading; details are indented under theirs"}
        return Event("reader.not-understood", 0, len(code.rstrip()), fields)
    return events[0]


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
    kind: Literal["prescription", "template"] | None = None
    if reader.document is not None:
        kind = "template" if reader.document.section == "template" else "prescription"
    elif reader.entries:
        reported += _no_document(reader.entries)
    return Document(
        source=source,
        kind=kind,
        title=reader.document.title if reader.document is not None else None,
        entries=tuple(reader.entries),
        blocks=blocks,
        reported=tuple(reported + again),
        unread_sections=reader.unread_sections,
        repeated=repeated,
    )


def _no_document(entries: list[Entry]) -> list[Reported]:
    first = next((entry for entry in entries if entry.kind != "blank"), None)
    if first is None or first.events:  # its own finding already says that the first line can't be read
        return []
    fields = {"found": first.text.strip()[:40]}
    return [Reported(Event("reader.no-document", 0, len(first.text.rstrip()), fields), first)]


def _repeated(blocks: tuple[Block, ...]) -> tuple[frozenset[tuple[str, str | None, str]], list[Reported]]:
    """Terms that stand twice in one section and period, with both places."""
    seen: dict[tuple[str, str | None, str], Entry] = {}
    twice: set[tuple[str, str | None, str]] = set()
    reported: list[Reported] = []
    for index, block in enumerate(blocks):
        period = period_name(block)
        for entry in block.details:
            term = entry.statement.term if entry.statement is not None else None
            if term is None or term.form in REPEATABLE:
                continue
            scope = block.section if block.section != "readings" else f"readings {index}"
            key = (scope, period, term.phrase)
            if key in seen:
                twice.add(key)
                start, end = entry.statement.phrase if entry.statement else (0, 0)
                first = seen[key]
                related = (first, *(first.statement.phrase if first.statement else (0, 0)), "it stands here first")
                event = Event("reader.repeated-term", start, end, {"what": term.phrase, "section": block.section})
                reported.append(Reported(event, entry, block.section, (related,)))
            else:
                seen[key] = entry
    return frozenset(twice), reported


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
