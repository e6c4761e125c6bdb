"""From where the reader of YAML says that something stands to a stretch of the text as editors show it.

The reader ends lines at more characters than a line feed; a byte order mark counts as a column for neither.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from functools import cached_property
from typing import Final

from rxlint.notation.tree import Place

_BREAK: Final = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
_OTHERS: Final = re.compile("\r(?!\n)|[\x85\u2028\u2029]")
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
    def _starts(self) -> list[int] | None:
        """Where lines begin for the reader of YAML; None where that is where they begin for everybody."""
        if not self._before and _OTHERS.search(self.text) is None:
            return None
        return [self._before, *(match.end() for match in _BREAK.finditer(self.text))]

    @cached_property
    def _own(self) -> list[int]:
        return [0, *(match.end() for match in re.finditer("\n", self.text))]

    def of(self, line: int, column: int) -> Place:
        """What begins where the reader of YAML says: a quoted text, or what goes on to the next sign that ends it."""
        starts = self._starts
        if starts is not None:
            offset = min(starts[min(line, len(starts)) - 1] + column - 1, len(self.text))
            return self.of_offset(offset)
        return self._from(line, column)

    def from_reader(self, line: int, column: int) -> tuple[int, int]:
        """A place of the reader of YAML as ours."""
        starts = self._starts
        if starts is None:
            return line, column
        return self._ours(min(starts[min(line, len(starts)) - 1] + column - 1, len(self.text)))

    def in_reader(self, line: int, column: int) -> tuple[int, int]:
        """A place of ours as the reader of YAML has it; beyond a line's end, its end."""
        number = min(max(line, 1), len(self.lines))
        column = max(column, 1) if number == line else len(self.lines[number - 1]) + 1
        starts = self._starts
        if starts is None:
            return number, column
        offset = self._own[number - 1] + min(column, len(self.lines[number - 1]) + 1) - 1
        offset += self._before if number == 1 else 0
        found = bisect_right(starts, offset)
        return found, offset - starts[found - 1] + 1

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
