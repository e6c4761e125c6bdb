"""From where something stands in a file in YAML to a stretch of its text. A byte order mark counts as no column."""

from __future__ import annotations

import re
from bisect import bisect_right
from functools import cached_property
from typing import Final

from rxlint.notation.tree import Place

_TOKEN: Final = re.compile(
    r"""\"(?:[^"\\\n]|\\.)*\"
      | '(?:[^'\n]|'')*'
      | [\[{][^\n]*?(?=\s*$|\s+\#)
      | [^\n]+?(?=\s*$|\s+\#|:(?:\s|$)|[,\]}]|\s[<>=+*/])""",
    re.VERBOSE,
)
_LONGEST: Final = 500  # characters that a mark stands under
_MARK: Final = "\ufeff"


class Places:
    """The lines of a text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.lines = [line.removesuffix("\r") for line in text.removeprefix(_MARK).split("\n")]
        self._before = 1 if text.startswith(_MARK) else 0

    @cached_property
    def _own(self) -> list[int]:
        return [0, *(match.end() for match in re.finditer("\n", self.text))]

    def of(self, line: int, column: int) -> Place:
        """What begins there: a quoted text, or what goes on to the next sign that ends it."""
        return self._from(line, column)

    def within(self, line: int, column: int) -> tuple[int, int]:
        """A place in the text: beyond a line's end, its end."""
        number = min(max(line, 1), len(self.lines))
        end = len(self.lines[number - 1]) + 1
        return number, min(max(column, 1), end) if number == line else end

    def of_offset(self, offset: int) -> Place:
        """What begins at an offset of the text."""
        return self._from(*self._ours(offset))

    def _ours(self, offset: int) -> tuple[int, int]:
        line = bisect_right(self._own, offset)
        return line, max(offset - self._own[line - 1] + 1 - (self._before if line == 1 else 0), 1)

    def _from(self, line: int, column: int) -> Place:
        number = min(max(line, 1), len(self.lines))
        if number < line:  # the end of the text is at fault: what stands last is shown
            while number > 1 and not self.lines[number - 1].strip():
                number -= 1
            text = self.lines[number - 1]
            column = len(text) - len(text.lstrip()) + 1
        text = self.lines[number - 1]
        column = min(column, len(text) + 1)
        found = _TOKEN.match(text, column - 1, column - 1 + _LONGEST)
        end = found.end() + 1 if found is not None else min(column + 1, len(text) + 1)
        return Place(number, column, number, max(end, column))

    @property
    def all(self) -> Place:
        """All of the text."""
        return Place(1, 1, len(self.lines), len(self.lines[-1]) + 1)
