"""A picture of the sheet, with the same in words and in numbers: nobody needs to see it to know what it says."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from rxlint.reports.sheet.labels import ELLIPSIS

_CUT: Final = re.compile(rf"[^>\s]\s*{ELLIPSIS}")


@dataclass(frozen=True, slots=True)
class Table:
    """A table with one row of headings; every cell is text as a reader is meant to see it, not yet escaped."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing as SVG, made by a template that escapes every text in it.

    ``alt`` says in words what it shows, ``table`` holds its numbers, and ``notes`` say what it rests on and what it
    leaves out.
    """

    heading: str
    svg: str
    alt: str
    table: Table | None = None
    notes: tuple[str, ...] = ()

    @property
    def is_whole(self) -> bool:
        """Whether no text of the drawing was cut short, so that its table says no more than it.

        An ellipsis that stands alone is a sign of the drawing: a line that goes on.
        """
        return _CUT.search(self.svg) is None


@dataclass(frozen=True, slots=True)
class NotDrawn:
    """A picture that could not be drawn, and why: what the order does not state."""

    heading: str
    why: tuple[str, ...]
