"""A sound document to make slips in: its details with their places, and the ways to change a line of it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from rxlint.notation import nodes as n
from rxlint.notation.document import read_document
from rxlint.notation.tree import Entry
from rxlint.text import source_of_text
from rxlint.text.source import Source

_FOLLOWS = re.compile(r"^[ \t]+follows[ \t].*\n", re.MULTILINE)
_CODE = re.compile(r"^(checked\b.*?)[ \t]+code[ \t]+[0-9A-Fa-f]+[ \t]*$", re.MULTILINE)


@dataclass(frozen=True)
class Slip:
    """One slip: the whole text with it, where a finding must stand, and which rules may be the ones that see it.

    ``lines`` are those of the changed text that the slip changed or that stand in direct relation to it; none at all
    means that the fact was lost and can only be missed where it is needed. ``fitting`` holds rules, or areas with their
    dot. ``signed`` is empty where a clinician could tell from the document alone that this is not meant; else it says
    why the changed text is an order that would be signed.
    """

    text: str
    lines: frozenset[int]
    before: str
    after: str
    fitting: tuple[str, ...]
    signed: str = ""


@dataclass(frozen=True)
class Detail:
    """A detail, or a row of a table, with its section, its term and its period."""

    section: str
    term: str
    period: str | None
    entry: Entry
    block: int
    is_row: bool = False

    @property
    def first(self) -> int:
        return self.entry.lines[0].number

    @property
    def last(self) -> int:
        return max(self.entry.lines[-1].number, *(row.lines[-1].number for row in self.entry.rows), 0)

    @property
    def body(self) -> n.Body | n.Row | None:
        return self.entry.statement.body if self.entry.statement is not None else None

    @property
    def measure(self) -> n.Measure | None:
        body = self.body.measure if isinstance(self.body, n.Row) else self.body
        return body if isinstance(body, n.Measure) else None

    @property
    def exact(self) -> n.Part | None:
        """The one number that is set, where it is one."""
        measure = self.measure
        if measure is None or measure.value.kind != "exact" or len(measure.value.amounts) != 1:
            return None
        parts = measure.value.amounts[0].parts
        return parts[0] if len(parts) == 1 and not measure.value.amounts[0].ratio else None

    def stretch(self, start: int, end: int) -> str:
        return self.entry.text[start:end]


@dataclass(frozen=True)
class Heading:
    """A section's heading."""

    section: str
    node: n.Heading
    entry: Entry
    block: int

    @property
    def line(self) -> int:
        return self.entry.lines[0].number

    @property
    def period(self) -> str | None:
        return _period(self.node)


@dataclass(frozen=True)
class Edit:
    """What to put in place of a stretch of a line; columns from 0."""

    line: int
    start: int
    end: int
    new: str


def _period(node: n.Heading | None) -> str | None:
    period = node.period if node is not None else None
    return (period.name or period.use or "by the clock") if period is not None else None


def stripped(text: str) -> str:
    """The text without the template it follows and without check codes: nothing but the order itself may tell."""
    return _CODE.sub(r"\1", _FOLLOWS.sub("", text))


class Sheet:
    """A sound document, stripped of what would give every slip away."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.text = stripped(text)
        source = source_of_text(self.text)
        assert isinstance(source, Source)
        self.document = read_document(source)
        self.lines: tuple[str, ...] = tuple(self.text.split("\n"))

    @property
    def is_template(self) -> bool:
        return self.document.kind == "template"

    @cached_property
    def headings(self) -> tuple[Heading, ...]:
        return tuple(
            Heading(block.section, block.heading, block.entry, index)
            for index, block in enumerate(self.document.blocks)
            if block.heading is not None
        )

    @cached_property
    def details(self) -> tuple[Detail, ...]:
        return tuple(self._details())

    def _details(self) -> Iterator[Detail]:
        for index, block in enumerate(self.document.blocks):
            for entry in block.details:
                statement = entry.statement
                if statement is None:
                    continue
                term = statement.term.phrase if statement.term is not None else ""
                one = Detail(block.section, term, _period(block.heading), entry, index)
                yield one
                for row in entry.rows:
                    yield Detail(block.section, term, one.period, row, index, is_row=True)

    def find(self, section: str, *terms: str) -> list[Detail]:
        """The details of a section with one of these terms, or all of them."""
        return [each for each in self.details if each.section == section and (not terms or each.term in terms)]

    def beside(self, detail: Detail, *terms: str, section: str | None = None) -> list[Detail]:
        """Details of the same section and period with one of these terms; of another section, of all its periods."""
        if section is not None:
            return self.find(section, *terms)
        return [each for each in self.find(detail.section, *terms) if each.block == detail.block]

    def heading(self, detail: Detail) -> int:
        """The line of the heading that a detail stands under."""
        return next((each.line for each in self.headings if each.block == detail.block), 1)

    def word(self, section: str, term: str) -> str:
        """What a line of words says, in its own spelling; nothing where it isn't there."""
        for detail in self.find(section, term):
            found = re.sub(rf"^\s*{re.escape(term)}\s+", "", detail.entry.text)
            return found.strip()
        return ""

    # ---- changing
    def put(self, detail: Detail, start: int, end: int, new: str) -> Edit:
        """The edit that replaces the offsets start..end of a detail."""
        place = detail.entry.place(start, end)
        assert place.line == place.end_line, "an edit stays on one line"
        return Edit(place.line, place.column - 1, place.end_column - 1, new)

    def put_word(self, detail: Detail, old: str, new: str) -> Edit:
        """The edit that replaces the first occurrence of a word after the detail's term."""
        after = detail.entry.text.index(detail.term) + len(detail.term) if detail.term else 0
        start = detail.entry.text.index(old, after)
        return self.put(detail, start, start + len(old), new)

    def edited(
        self,
        edits: Sequence[Edit],
        fitting: tuple[str, ...],
        related: Iterable[int] = (),
        signed: str = "",
    ) -> Slip:
        """The slip that some edits make, none of which moves a line."""
        lines = list(self.lines)
        for edit in sorted(edits, key=lambda each: (each.line, each.start), reverse=True):
            old = lines[edit.line - 1]
            lines[edit.line - 1] = old[: edit.start] + edit.new + old[edit.end :]
        own = sorted({edit.line for edit in edits})
        before = " / ".join(self.lines[line - 1].strip() for line in own)
        after = " / ".join(lines[line - 1].strip() for line in own)
        return Slip("\n".join(lines), frozenset([*own, *related]), before, after, fitting, signed)

    def without(self, first: int, last: int, fitting: tuple[str, ...], near: Iterable[int], signed: str = "") -> Slip:
        """The slip that loses the lines first..last; ``near`` are lines of the old text."""
        gone = last - first + 1
        lines = [*self.lines[: first - 1], *self.lines[last:]]
        moved = frozenset(line - gone if line > last else line for line in near if not first <= line <= last)
        before = " / ".join(line.strip() for line in self.lines[first - 1 : last])
        return Slip("\n".join(lines), moved, before, "(lost)", fitting, signed)

    def inserted(self, after: int, new: Sequence[str], fitting: tuple[str, ...], before: str) -> Slip:
        """The slip that puts new lines after a line; they are its own, and the line before them is related."""
        lines = [*self.lines[:after], *new, *self.lines[after:]]
        told = " / ".join(line.strip() for line in new)
        return Slip("\n".join(lines), frozenset(range(after, after + len(new) + 1)), before, told, fitting)
