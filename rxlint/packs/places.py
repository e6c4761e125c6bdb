"""From a place in a scalar's value to the place in the file, also where the value is folded, indented or escaped; and
from an offset in a text to its line and column.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from typing import Final

OTHER_ENDS: Final = re.compile("\r(?!\n)|[\x85\u2028\u2029]")
"""What ends a line for some readers of YAML, and not for others."""
_ESCAPE: Final = re.compile(r"\\(?:x[0-9a-fA-F]{2}|u[0-9a-fA-F]{4}|U[0-9a-fA-F]{8}|\r?\n[ \t]*|.)", re.DOTALL)


class Lines:
    """The lines of a text. Only a line feed ends one, as everywhere here; YAML's readers count other ends as well."""

    def __init__(self, text: str) -> None:
        has_others = OTHER_ENDS.search(text) is not None
        self._feeds = [at for at, char in enumerate(text) if char == "\n"] if has_others else None
        self._first = 1 if text.startswith("\ufeff") else 0  # a byte order mark is no part of the first line

    def place(self, index: int, line: int, column: int) -> tuple[int, int]:
        """The line and column, from 1, of an offset, for which YAML's reader has told its own, from 0."""
        if self._feeds is None:
            return line + 1, column + 1
        before = bisect_left(self._feeds, index)
        return before + 1, max(index - (self._feeds[before - 1] + 1 if before else self._first), 0) + 1


def place_in(raw: str, value: str, offset: int, *, block: bool, quote: str) -> tuple[int, int]:
    """How many line feeds and then columns after the start of ``raw`` the value's character at ``offset`` stands.

    ``raw`` is the scalar as it stands in the file, with quotes or block indicator. Folding changes white space alone,
    so every other character is found by going through both texts side by side; white space counts as what follows it.
    """
    marks = _marks(raw, block, quote)
    wanted = sum(1 for char in value[:offset] if not char.isspace())
    at = marks[wanted] if wanted < len(marks) else (marks[-1] + 1 if marks else 0)
    before = raw[:at]
    return before.count("\n"), at - (before.rfind("\n") + 1)


def _marks(raw: str, block: bool, quote: str) -> list[int]:
    """Where each character of the value that is no white space begins in ``raw``."""
    at = raw.find("\n") + 1 if block else len(quote)
    end = len(raw) - len(quote)
    found: list[int] = []
    while at < end:
        escape = _ESCAPE.match(raw, at) if quote == '"' else None
        doubled = quote == "'" and raw.startswith("''", at)
        width = len(escape.group()) if escape is not None else 2 if doubled else 1
        if _is_visible(raw[at : at + width]):
            found.append(at)
        at += width
    return found


def _is_visible(written: str) -> bool:
    if written[0] != "\\" or len(written) == 1:  # only between double quotes does it escape anything
        return not written.isspace()
    kind = written[1]
    if kind in "xuU":
        return not chr(int(written[2:], 16)).isspace()
    return kind not in "tnrvfNLP_ \t\r\n"
