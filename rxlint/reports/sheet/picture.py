"""A picture of the sheet, with the same in words and in numbers: nobody needs to see it to know what it says."""

from __future__ import annotations

from dataclasses import dataclass


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


@dataclass(frozen=True, slots=True)
class NotDrawn:
    """A picture that could not be drawn, and why: what the order does not state."""

    heading: str
    why: tuple[str, ...]
