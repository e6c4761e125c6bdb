"""Text as a sheet shows it: nothing hidden, a number never parted from its unit, and strings for a style sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Final

from rxlint.text import printable
from rxlint.units import ALIASES, UNITS

NO_BREAK: Final = "\u00a0"
MINUS: Final = "\u2212"

# What ``printable`` leaves and a page would hide: soft hyphens, joiners, fillers, selectors, tags, notes between lines.
_HIDDEN: Final = re.compile(
    "[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u3164\ufe00-\ufe0f\uffa0\ufff9-\ufffb\U000e0000-\U000e0fff]"
)
_LONGEST: Final = 40  # of a word or an amount: a longer one would be wider than a page
_LONG_WORD: Final = re.compile(rf"(\S{{{_LONGEST + 1},}})")
_NUMBER: Final = r"-?[0-9]+(?:[.,][0-9]+)*"
_MOMENT: Final = r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?: [0-9]{2}:[0-9]{2})?(?![\w-])"
_OPERATORS: Final = {" * ": " \u00d7 ", " - ": f" {MINUS} ", " <= ": " \u2264 ", " >= ": " \u2265 ", " != ": " \u2260 "}


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of text; ``whole`` where no line may end within it, ``long`` where one may end anywhere."""

    text: str
    whole: bool = False
    long: bool = False


def visible(text: str) -> str:
    """Text from outside with every hidden or direction character as its code point; tabs are kept."""
    return _HIDDEN.sub(lambda match: f"<U+{ord(match.group()):04X}>", printable(text))


@cache
def _quantity() -> re.Pattern[str]:
    """A number with its unit, or a range of such; a date with its time; a ratio; a negative number alone."""
    symbols = sorted(
        {*UNITS, *ALIASES, "months", "month", "weeks", "week", "year", "days", "day"}, key=len, reverse=True
    )
    unit = "|".join(re.escape(each) for each in symbols if each)
    amount = rf"(?:{_NUMBER} (?:h|years?|months?|weeks?) )?{_NUMBER} (?:{unit})(?![\w/])"
    return re.compile(
        rf"(?<![\w.:-])(?:{_MOMENT}|{_NUMBER}(?: (?:{unit}))? to {amount}|{amount}|{_NUMBER}:{_NUMBER}|-[0-9][0-9.]*)"
    )


def pieces(text: str, *, exact: bool = False) -> tuple[Piece, ...]:
    """Text from outside, made visible, cut so that each amount is whole; negative numbers get a minus sign.

    With ``exact`` no character of it is another one.
    """
    shown = visible(text)
    found: list[Piece] = []
    at = 0
    for match in _quantity().finditer(shown):
        whole = match.group()
        if len(whole) > _LONGEST:
            continue
        found += _plain(shown[at : match.start()])
        if not exact:
            whole = re.sub(r"(?<![\w.])-(?=[0-9])", MINUS, whole).replace(" ", NO_BREAK)
        found.append(Piece(whole, True))
        at = match.end()
    return (*found, *_plain(shown[at:]))


def _plain(text: str) -> Iterator[Piece]:
    """Text between amounts, with words that no line could hold apart."""
    for index, part in enumerate(_LONG_WORD.split(text)):
        if part:
            yield Piece(part, long=index % 2 == 1)


def formula(text: str) -> str:
    """A calculation as text with the signs of arithmetic instead of those of a keyboard."""
    for plain, sign in _OPERATORS.items():
        text = text.replace(plain, sign)
    return text


def style_string(text: str) -> str:
    """Text as a string of a style sheet, quotation marks included: every character by its number, so that none acts."""
    return '"' + "".join(f"\\{ord(char):06X} " for char in visible(text)) + '"'
