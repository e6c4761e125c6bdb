"""Characters that read as something else: invisible ones, direction controls, letters and digits of other scripts.

Sources: Unicode Technical Standard 39 (confusables) for the idea of a skeleton; CVE-2021-42574 and CVE-2021-42694 for
direction controls and look-alikes in text that people review; ISMP list of error-prone abbreviations, 2021. The table
of letters below is our own selection: those that look like letters of the notation's words and units.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import Final, Literal

HazardKind = Literal["hidden", "look-alike", "space", "dash", "foreign"]

_BIDI: Final = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c")
# Characters that show nothing and yet are letters or marks to Unicode: joiners, fillers, selectors of a variant.
_FILLERS: Final = frozenset(
    "\u034f\u115f\u1160\u17b4\u17b5\u180b\u180c\u180d\u180f\u3164\uffa0"
    + "".join(map(chr, (*range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0))))
)
_DASHES: Final = frozenset("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\uff0d")
_LETTERS: Final = dict(
    zip(
        # Cyrillic, then Greek, then others that are written for a letter of a unit or a term
        "АВСЕНІЈКМОРЅТХаеорсухіјѕΑΒΕΖΗΙΚΜΝΟΡΤΥΧοΔ",
        "ABCEHIJKMOPSTXaeopcyxijsABEZHIKMNOPTYXoD",
        strict=True,
    )
)


@dataclass(frozen=True, slots=True)
class Hazard:
    """A character at ``at`` that is not what it seems. ``letter`` is what it looks like, where that is certain."""

    at: int
    char: str
    kind: HazardKind
    letter: str | None = None

    @property
    def is_direction(self) -> bool:
        """Whether it changes the order in which text is shown, so that what is read is not what is stored."""
        return self.char in _BIDI


def code_of(text: str) -> int:
    """Where a line's comment begins: the first ``#`` at its start or after white space, outside quotes."""
    if "#" not in text:
        return len(text)
    quoted = False
    index = 0
    while index < len(text):
        char = text[index]
        if char == '"':
            quoted = not quoted
        elif char == "\\" and quoted:
            index += 1
        elif char == "#" and not quoted and (index == 0 or text[index - 1] in " \t"):
            return index
        index += 1
    return len(text)


def _in_quotes(text: str) -> list[bool]:
    inside: list[bool] = []
    quoted = escaped = False
    for char in text:
        if quoted and not escaped and char == "\\":
            escaped = True
            inside.append(True)
            continue
        if char == '"' and not escaped:
            quoted = not quoted
            inside.append(True)
        else:
            inside.append(quoted)
        escaped = False
    return inside


def _kind_of(char: str) -> Hazard | None:
    if char in _BIDI or char in _FILLERS or unicodedata.category(char) in ("Cf", "Cc", "Zl", "Zp", "Co", "Cn"):
        return Hazard(0, char, "hidden")
    if char in _DASHES:
        return Hazard(0, char, "dash")
    if unicodedata.category(char) == "Zs":
        return Hazard(0, char, "space", " ")
    if char in _LETTERS:
        return Hazard(0, char, "look-alike", _LETTERS[char])
    plain = unicodedata.normalize("NFKC", char)
    if len(plain) == 1 and plain.isascii() and plain != char:
        # a digit in another dress (10², fullwidth, subscript) may mean another number: only letters are certain
        return Hazard(0, char, "look-alike", plain if plain.isalpha() else None)
    if char.isdigit() or char.isnumeric():
        return Hazard(0, char, "look-alike")
    return Hazard(0, char, "foreign")


def hazards_of(text: str, code_end: int) -> list[Hazard]:
    """The hazards of a line. Inside quotes and comments only invisible characters and direction controls count."""
    if text.isascii() and (text.isprintable() or all(char.isprintable() or char == "\t" for char in text)):
        return []
    quoted = _in_quotes(text)
    found: list[Hazard] = []
    for index, char in enumerate(text):
        if char == "\t" or (char.isascii() and char.isprintable()):
            continue
        hazard = _kind_of(char)
        free = index >= code_end or quoted[index]
        if hazard is not None and (not free or hazard.kind == "hidden"):
            found.append(Hazard(index, char, hazard.kind, hazard.letter))
    return found


def repair_letters(text: str, hazards: list[Hazard]) -> str:
    """The line with every look-alike letter and odd space replaced by the plain one; the length stays the same."""
    chars = list(text)
    for hazard in hazards:
        if hazard.letter is not None:
            chars[hazard.at] = hazard.letter
    return "".join(chars)
