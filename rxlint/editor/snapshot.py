"""One state of one text with everything that is asked of it: its lines, its tree, its screening, its facts.

A snapshot never changes; the next keystroke makes another one. What is not always asked for is made when it is.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from rxlint.editor.shapes import Position
from rxlint.library.index import View
from rxlint.library.rulings import Ruling
from rxlint.library.screen import Screened, screen_under
from rxlint.model.facts import Facts, facts_of
from rxlint.notation.document import read_document
from rxlint.notation.tree import Document, Entry
from rxlint.reports.calculations import Value, values_of
from rxlint.screening.ruleset import RuleSet, builtin_rules
from rxlint.text import Line, Problem, Source
from rxlint.text.source import source_of_text


@dataclass(frozen=True)
class Snapshot:
    """A text as it stands. ``path`` is where it is or will be saved; ``ruling`` what holds for its folder; ``library``
    the documents beside it, None where there are none to look in; ``root`` the folder that their names count from.
    """

    path: Path
    text: str
    ruling: Ruling
    day: datetime.date
    library: View | None = None
    root: Path | None = None

    @cached_property
    def source(self) -> Source | Problem:
        """Its lines; why it can't be read as lines."""
        return source_of_text(self.text)

    @property
    def lines(self) -> tuple[Line, ...]:
        """Its lines; none where it can't be read."""
        return () if isinstance(self.source, Problem) else self.source.lines

    @cached_property
    def document(self) -> Document | None:
        """Its tree, whatever it lacks; None where it can't be read as lines."""
        return None if isinstance(self.source, Problem) else read_document(self.source)

    @cached_property
    def screened(self) -> Screened:
        """What the rules make of it, as ``rxlint screen`` would tell it of a file with this text."""
        data = self.text.encode("utf-8", "surrogatepass")
        return screen_under(self.ruling, self.path.name, data, self.day, self.path, shelf=self.library)

    @property
    def rules(self) -> RuleSet:
        """The rules that hold for it; the built-in ones where its settings have a fault."""
        return self.ruling.rules if self.ruling.rules is not None else builtin_rules()

    @cached_property
    def facts(self) -> tuple[Facts, ...]:
        """Its facts, one for each period, band and set of readings."""
        if self.document is None or not self.document.blocks:
            return ()
        defined = self.rules.defined_nodes
        return tuple(facts_of(self.document, defined, self.day))

    @cached_property
    def values(self) -> tuple[Value, ...]:
        """Every value that follows from it."""
        return () if self.document is None or not self.document.blocks else tuple(values_of(self.document))

    @cached_property
    def _entries(self) -> dict[int, Entry]:
        document = self.document
        entries = document.entries if document is not None else ()
        return {line.number: entry for entry in entries for line in entry.lines}

    def path_in_library(self, shown: str) -> Path | None:
        """Where the document is that the library knows by this name; None where nobody can tell."""
        return self.root / shown if self.root is not None else None

    def entry_at(self, position: Position) -> Entry | None:
        """The statement that stands on a line, its continuation lines included."""
        return self._entries.get(position.line)

    def section_at(self, line: int) -> str | None:
        """The section that a line stands in: that of the last heading at or above it. None above the first heading, and
        under one that can't be read.
        """
        document = self.document
        if document is None:
            return None
        found = None
        for entry in document.entries:
            if entry.lines[0].number > line:
                break
            if entry.kind in ("heading", "document") or (entry.kind == "unread" and not entry.indent):
                found = entry
        return next((block.section for block in document.blocks if block.entry is found), None)
