"""Words in a drawing: how wide they are, where a long name is broken, where labels stand so that none covers another.

Widths are estimates, on the wide side of the common sans-serif faces: what keeps clear here keeps clear on a screen.
Sizes and places are in the units of a drawing that is 640 wide.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from rxlint.reports.sheet.axes import Box
from rxlint.text import printable

ELLIPSIS: Final = "\u2026"
"""At the end of a text that there was no room for."""
SIZE: Final = 12.0
SMALL: Final = 11.0
"""No text of a drawing is smaller than this."""
ASCENT, DESCENT = 0.8, 0.25  # of a line of text, in its size

_NO_XML: Final = re.compile("[\ufdd0-\ufdef\ufffe\uffff]")
_NARROW: Final = frozenset("ijlIt.,:;|!'()[]{}/\\ f-r")
_WIDE: Final = frozenset("mwMW%@&QOGD")
_CAPITALS: Final = frozenset("ABCEFHKLNPRSTUVXYZ+<>=~")
_BOLD: Final = 1.13
_GAP: Final = 6.0  # between two labels
_CLEAR: Final = 4.0  # between a label and the line that it belongs to, or another's line
_MOST_TRIES: Final = 40_000

Side = Literal["left", "middle", "right"]


def shown(text: str) -> str:
    """Text of a document on one line, with what can't be seen or can't stand in XML as its code points."""
    return _NO_XML.sub(lambda each: f"<U+{ord(each.group()):04X}>", printable(" ".join(text.split())))


def text_width(text: str, size: float, bold: bool = False) -> float:
    """About the width of a line of text."""
    total = sum(map(_letter, text)) * size
    return total * _BOLD if bold else total


def _letter(letter: str) -> float:
    if unicodedata.combining(letter):
        return 0.0
    if letter in _NARROW:
        return 0.42
    if letter in _WIDE:
        return 0.97
    if letter in _CAPITALS:
        return 0.78
    if letter.isascii():
        return 0.64
    return 1.05 if unicodedata.east_asian_width(letter) in "WF" or ord(letter) > 0xFFFF else 0.9


def wrapped(text: str, room: float, size: float, most: int, bold: bool = False) -> tuple[tuple[str, ...], bool]:
    """Lines no wider than the room, and whether something was left out for want of lines.

    Breaks stand between words; a word that is too long for a line is broken anywhere.
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(text, room, size, bold):
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, size, bold) > room:
            lines.append(line)
            line = word
        else:
            line = longer
    lines.append(line)
    if len(lines) <= most:
        return tuple(lines), False
    return (*lines[: most - 1], cut(" ".join(lines[most - 1 :]), room, size, bold)), True


def _pieces(text: str, room: float, size: float, bold: bool) -> list[str]:
    found: list[str] = []
    for word in text.split():
        start = 0
        while start < len(word):
            fits = max(1, _fitting(word, start, room, size, bold))
            found.append(word[start : start + fits])
            start += fits
    return found


def cut(text: str, room: float, size: float, bold: bool = False) -> str:
    """The text, or as much of its beginning as there is room for, with an ellipsis."""
    if text_width(text, size, bold) <= room:
        return text
    end = _fitting(text, 0, room - text_width(ELLIPSIS, size, bold), size, bold)
    return text[:end].rstrip() + ELLIPSIS


def _fitting(text: str, start: int, room: float, size: float, bold: bool) -> int:
    """How many letters of a text, from a start, there is room for."""
    width = 0.0
    for end in range(start, len(text)):
        width += text_width(text[end], size, bold)
        if width > room:
            return end - start
    return len(text) - start


@dataclass(frozen=True, slots=True)
class Flag:
    """A label to be placed: at a mark that a line leads to, or, without one, at an end of the strip.

    ``tail`` goes on behind it in plain letters.
    """

    text: str
    at: float
    side: Side
    leads: bool = True
    bold: bool = False
    tail: str = ""

    def width(self, size: float) -> float:
        """About the width of both parts."""
        return self.head(size) + (text_width(self.tail, size) if self.tail else 0.0)

    def head(self, size: float) -> float:
        """Where the tail begins, counted from the label's left end."""
        return text_width(self.text + " " if self.tail else self.text, size, self.bold)


@dataclass(frozen=True, slots=True)
class Placed:
    """A label in its place: the left end of its text, and its lane, 0 being the nearest to the marks."""

    flag: Flag
    left: float
    right: float
    lane: int


def placed(flags: Sequence[Flag], low: float, high: float, size: float = SIZE) -> tuple[Placed, ...]:
    """Labels in as few lanes as they fit in, between two ends; no label lies on another, or on another's line.

    Where no such places are found, each label has a lane of its own and lines may pass behind labels.
    """
    widths = [flag.width(size) for flag in flags]
    for lanes in range(1, len(flags) + 1):
        search = _Search(flags, widths, low, high, lanes)
        if search.run():
            return tuple(search.found)
    return tuple(
        Placed(flag, *_spots(flag, width, low, high)[0], index)
        for index, (flag, width) in enumerate(zip(flags, widths, strict=True))
    )


class _Search:
    """Depth first over sides and lanes, in the order of the flags."""

    def __init__(self, flags: Sequence[Flag], widths: Sequence[float], low: float, high: float, lanes: int) -> None:
        self.flags, self.lanes = flags, lanes
        self.spots = [_spots(flag, width, low, high) for flag, width in zip(flags, widths, strict=True)]
        self.found: list[Placed] = []
        self.tries = 0

    def run(self) -> bool:
        index = len(self.found)
        if index == len(self.flags):
            return True
        for lane in range(self.lanes):
            for left, right in self.spots[index]:
                self.tries += 1
                if self.tries > _MOST_TRIES:
                    return False
                here = Placed(self.flags[index], left, right, lane)
                if all(_keeps_clear(here, other) for other in self.found):
                    self.found.append(here)
                    if self.run():
                        return True
                    self.found.pop()
        return False


def _spots(flag: Flag, width: float, low: float, high: float) -> list[tuple[float, float]]:
    """Where a label may begin and end: on the wanted side of its mark first."""
    clear = _CLEAR if flag.leads else 0.0
    starts = {"left": flag.at - clear - width, "middle": flag.at - width / 2, "right": flag.at + clear}
    order: tuple[Side, ...] = (flag.side, *(side for side in ("right", "left", "middle") if side != flag.side))
    found: list[tuple[float, float]] = []
    for side in order:
        left = max(low, min(starts[side], high - width))
        if (left, left + width) not in found:
            found.append((left, left + width))
    return found


def _keeps_clear(one: Placed, other: Placed) -> bool:
    if one.lane == other.lane:
        return one.right + _GAP <= other.left or other.right + _GAP <= one.left
    near, far = (one, other) if one.lane < other.lane else (other, one)
    return not far.flag.leads or not near.left - _CLEAR < far.flag.at < near.right + _CLEAR


def box_of(text: str, x: float, baseline: float, size: float, anchor: str = "start", bold: bool = False) -> Box:
    """About the room that a line of text takes; ``anchor`` as in SVG."""
    width = text_width(text, size, bold)
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    return Box(left, baseline - ASCENT * size, left + width, baseline + DESCENT * size)
