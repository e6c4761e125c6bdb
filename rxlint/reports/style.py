"""Colour on a terminal: one place, so that every report can do without."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

_CODES: Final = {"reject": "1;31", "query": "33", "note": "36", "quiet": "2", "strong": "1"}


@dataclass(frozen=True, slots=True)
class Style:
    """Marks text for a terminal, or leaves it alone."""

    colour: bool = False

    def mark(self, text: str, how: str) -> str:
        """The text in the colour of a level or a part of the report."""
        return f"\x1b[{_CODES[how]}m{text}\x1b[0m" if self.colour and how in _CODES else text
