"""A document in its canonical layout: only white space changes, and only where the text then reads the same.

Headings stand at the margin, details are indented by two and rows of a table by four, values stand in one column of
their section, one blank line parts sections. The order of lines, words, numbers, units and comments stay. Lines that
can't be read stay as they are, and so does every section that would not read the same.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.notation.document import read_document
from rxlint.notation.events import Event
from rxlint.notation.layout import Group, Laid, Reads, groups_of, is_held, laid_out
from rxlint.notation.normal import Normal, normal
from rxlint.notation.tree import Document, Entry
from rxlint.text import Problem, Source, code_of, source_of_text

_ROUNDS: Final = 8  # tries to leave what reads differently as it is, before all of it is left
_NO_GROUP: Final = -1  # stands for what is told of no group
_WHITE: Final = re.compile(r'("(?:\\.|[^"\\])*")|[ \t]+')


@dataclass(frozen=True, slots=True)
class Edit:
    """Lines to replace: those from ``first`` up to ``end``, which is not replaced, counted from 1.

    ``text`` has its line ends. Nothing is replaced where both are the same: the text is put in before that line.
    """

    first: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Plan:
    """What to replace for the canonical layout, and what stays as written, by the numbers of lines.

    ``unread`` are lines that can't be read or hold characters that are not what they seem; ``left`` are the first lines
    of sections that would not read the same if they were laid out, because of such lines in them.
    """

    edits: tuple[Edit, ...]
    unread: tuple[int, ...]
    left: tuple[int, ...]


def statement_reads(entry: Entry) -> bool:
    """Whether the notation can read a detail or a row."""
    return entry.statement is not None and entry.statement.readable


def tidied(source: Source, reads: Reads = statement_reads) -> str:
    """The text in its canonical layout, its byte order mark kept. Tidying it again changes nothing."""
    return applied(source, plan(source, reads=reads).edits)


def plan(source: Source, lines: tuple[int, int] | None = None, reads: Reads = statement_reads) -> Plan:
    """What to replace, in the order of the text and as few lines as that takes.

    With ``lines``, the first and the last of a range from 1, only the sections that it touches are laid out: columns
    are a matter of a whole section. ``reads`` tells of details and rows whether they can be read, where more is known
    of that than the notation knows: which names a relation may use. Never raises.
    """
    document = read_document(source)
    groups, rest = groups_of(document, reads)
    outside = _outside(groups, lines) if lines is not None else set()
    entries = (entry for group in groups for entry in group.entries() if is_held(entry))
    unread = tuple(line.number for entry in entries for line in entry.lines)
    held = set(outside)
    for _ in range(_ROUNDS):
        laid = laid_out(source, groups, rest, held)
        changes = tuple(_replacements(source, laid))
        wrong = _read_otherwise(document, _read(applied(source, changes)), reads) if changes else set()
        if not wrong:
            left = tuple(next(groups[index].entries()).lines[0].number for index in sorted(held - outside))
            return Plan(changes, unread, left)
        if wrong <= held:
            break
        held |= wrong
    return Plan((), unread, tuple(next(group.entries()).lines[0].number for group in groups))


def _outside(groups: Sequence[Group], lines: tuple[int, int]) -> set[int]:
    """The numbers of the groups that a range does not touch; what stands after the last group goes with that."""
    spans = [[line.number for line in group.lines()] for group in groups]
    found = {index for index, span in enumerate(spans) if span[-1] < lines[0] or span[0] > lines[1]}
    if spans and lines[1] > spans[-1][-1]:
        found.discard(len(spans) - 1)
    return found


def applied(source: Source, changes: Iterable[Edit]) -> str:
    """The text with edits made, which must be in its order."""
    pieces = [source.mark]
    at = 1
    for edit in changes:
        pieces += [line.text + line.ending for line in source.lines[at - 1 : edit.first - 1]]
        pieces.append(edit.text)
        at = edit.end
    pieces += [line.text + line.ending for line in source.lines[at - 1 :]]
    return "".join(pieces)


def _read(text: str) -> Document | None:
    source = source_of_text(text)
    return None if isinstance(source, Problem) else read_document(source)


def _replacements(source: Source, laid: Sequence[Laid]) -> Iterable[Edit]:
    """The differences of a text and its layout: lines that are the same in both part them."""
    same = [
        (index, line.origin)
        for index, line in enumerate(laid)
        if line.origin is not None and source.lines[line.origin - 1] == (line.origin, line.text, line.ending)
    ]
    before, number = -1, 0
    for index, origin in [*same, (len(laid), len(source.lines) + 1)]:
        old = [line.text + line.ending for line in source.lines[number : origin - 1]]
        new = [line.text + line.ending for line in laid[before + 1 : index]]
        start = _common(old, new)
        after = _common(old[start:][::-1], new[start:][::-1])
        text = "".join(new[start : len(new) - after])
        first, end = number + 1 + start, origin - after
        if first < end or text:
            yield Edit(first, end, text)
        before, number = index, origin


def _common(one: Sequence[str], other: Sequence[str]) -> int:
    count = 0
    for left, right in zip(one, other, strict=False):
        if left != right:
            break
        count += 1
    return count


# ---- whether two texts read the same


def same_reading(before: Document, after: Document, reads: Reads = statement_reads) -> bool:
    """Whether two texts say the same in the same order, differing in white space outside of quotation marks alone."""
    return not _read_otherwise(before, after, reads)


def _read_otherwise(before: Document, after: Document | None, reads: Reads) -> set[int]:
    """The numbers of the groups that read otherwise in a second text; those of all, where that can't be told."""
    ours, rest = groups_of(before, reads)
    if after is None:
        return {*range(len(ours)), _NO_GROUP}
    theirs, their_rest = groups_of(after, reads)
    wrong: set[int] = set()
    for index, (one, other) in enumerate(zip(ours, theirs, strict=False)):
        if _group_says(one) != _group_says(other):
            wrong.add(index)
            if len(ours) != len(theirs):
                break  # from here on they no longer stand beside one another
    is_same = len(ours) == len(theirs) and _notes(rest) == _notes(their_rest) and _whole(before) == _whole(after)
    return wrong if wrong or is_same else {*range(len(ours)), _NO_GROUP}


def _whole(document: Document) -> tuple[object, ...]:
    told = Counter(each.event.name for each in document.reported)
    return document.source.mark, document.kind, document.title, document.repeated, document.unread_sections, told


def _group_says(group: Group) -> tuple[object, ...]:
    return [*map(_said, group.entries())], [*map(_notes, group.gaps())]


def _notes(gap: Iterable[Entry]) -> list[str]:
    """The comments among blank lines."""
    texts = (line.text.strip(" \t") for entry in gap for line in entry.lines)
    return [text for text in texts if text]


def _said(entry: Entry) -> tuple[object, ...]:
    """All that an entry says, but for its places and its white space; of one that is held, its very text."""
    if is_held(entry):
        names = tuple(event.name for event in entry.events)
        return entry.kind, tuple(line.text for line in entry.lines), names, _stated(entry)
    code = [_without_white(line.text[: code_of(line.text)]) for line in entry.lines]
    notes = [line.text[code_of(line.text) :].rstrip(" \t") for line in entry.lines]
    return entry.kind, tuple(code), tuple(notes), tuple(map(_told, entry.events)), _stated(entry)


def _stated(entry: Entry) -> tuple[Normal, ...]:
    statement = entry.statement
    heading = normal(entry.heading) if entry.heading is not None else None
    if statement is None:
        return (heading,)
    body = normal(statement.body) if statement.body is not None else None
    term = (statement.term.section, statement.term.phrase) if statement.term is not None else None
    return heading, term, body, statement.readable, Fraction(len(entry.rows))


def _without_white(code: str) -> str:
    return _WHITE.sub(lambda found: found.group(1) or "", code)


def _told(event: Event) -> tuple[object, ...]:
    fields = tuple((name, " ".join(text.split())) for name, text in event.fields.items())
    return event.name, fields, tuple(" ".join(text.split()) for text in event.readings)
