"""JSON as text: what fits on a line stands on one, and decimals stand as they were written."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, Final

_WIDTH: Final = 110
_STEP: Final = "  "


def pretty(value: Any) -> str:
    """JSON of plain data: objects with names that are texts, lists, texts, whole numbers, true, false and null.

    A ``Decimal`` keeps its digits, which a float would not.
    """
    flat, lines = _told(value)
    return f"{flat}\n" if flat is not None else "\n".join(lines) + "\n"


def _told(value: Any) -> tuple[str | None, list[str]]:
    """A value on one line, None where that is too long; and else its lines, the first not indented."""
    if isinstance(value, Mapping):
        members = [(f"{_text(name)}: ", *_told(each)) for name, each in value.items()]
        return _container("{}", members)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return _container("[]", [("", *_told(each)) for each in value])
    return _text(value), []


def _container(brackets: str, members: Sequence[tuple[str, str | None, list[str]]]) -> tuple[str | None, list[str]]:
    opening, closing = brackets[0], brackets[1]
    if all(flat is not None for _, flat, _ in members):
        whole = opening + ", ".join(f"{name}{flat}" for name, flat, _ in members) + closing
        if len(whole) <= _WIDTH or not members:
            return whole, [whole]
    return None, [opening, *_indented(members), closing]


def _indented(members: Sequence[tuple[str, str | None, list[str]]]) -> Iterator[str]:
    for index, (name, flat, lines) in enumerate(members):
        first, *more = [flat] if flat is not None else lines
        found = [f"{_STEP}{name}{first}", *(_STEP + line for line in more)]
        found[-1] += "," if index < len(members) - 1 else ""
        yield from found


def _text(value: Any) -> str:
    return f"{value:f}" if isinstance(value, Decimal) else json.dumps(value, ensure_ascii=False)
