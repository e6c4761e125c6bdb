"""From a place in a scalar's value to the place in the file, also where the value is folded, indented or escaped."""

from __future__ import annotations

import re
from typing import Final

_ESCAPE: Final = re.compile(r"\\(?:x[0-9a-fA-F]{2}|u[0-9a-fA-F]{4}|U[0-9a-fA-F]{8}|\r?\n[ \t]*|.)", re.DOTALL)


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
    if written[0] != "\\":
        return not written.isspace()
    kind = written[1]
    if kind in "xuU":
        return not chr(int(written[2:], 16)).isspace()
    return kind not in "tnrvfNLP_ \t\r\n"
