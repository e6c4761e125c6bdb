"""What a program asks for, checked before anything is done."""

from __future__ import annotations

import datetime
import os
from collections.abc import Iterable

from rxlint.packs import LEVELS, Level

StrPath = str | os.PathLike[str]
SomePaths = StrPath | Iterable[StrPath]


class OptionError(ValueError):
    """Something was asked for that can't be done; the message says what. No document ever raises it."""


def day_of(on: object) -> datetime.date:
    """The day on which dates are judged: the one that is given; today, and only then by the clock, for None."""
    if on is None:
        return datetime.date.today()
    if not isinstance(on, datetime.date) or isinstance(on, datetime.datetime):
        raise OptionError(f"on is a datetime.date, not {kind_of(on)}")
    return on


def level_of(level: object) -> Level:
    """One of the levels. Raises OptionError for another word."""
    for each in LEVELS:
        if each == level:
            return each
    raise OptionError(f"a level is one of {', '.join(LEVELS)}, not {level!r}")


def bytes_of(text: object, what: str = "text") -> bytes:
    """A text as the bytes of its file. What UTF-8 can't say is kept, so that the reader refuses it at its place."""
    if isinstance(text, bytes):
        return text
    if isinstance(text, str):
        return text.encode("utf-8", "surrogatepass")
    hint = "; read the file first: path.read_bytes()" if isinstance(text, os.PathLike) else ""
    raise OptionError(f"{what} is what a document says, as str or bytes, not {kind_of(text)}{hint}")


def paths_of(paths: object, what: str = "paths") -> list[str]:
    """One path or several, as text. Raises OptionError for what is no path."""
    if isinstance(paths, str | os.PathLike):
        return [path_of(paths, what)]
    if isinstance(paths, bytes) or not isinstance(paths, Iterable):
        raise OptionError(f"{what} are paths, as str or pathlib.Path, not {kind_of(paths)}")
    return [path_of(each, what) for each in paths]


def path_of(path: object, what: str = "path") -> str:
    """A path as text. Raises OptionError for what is none, and for one that can't be a name of a file."""
    told = os.fspath(path) if isinstance(path, str | os.PathLike) else None
    if not isinstance(told, str):
        raise OptionError(f"{what} must be a str or a pathlib.Path, not {kind_of(path)}")
    if not told:
        raise OptionError(f"{what}: an empty name names no file")
    if "\0" in told:
        raise OptionError(f"{what}: a name with a null character names no file")
    return told


def kind_of(given: object) -> str:
    """What a wrong argument is, for a message."""
    return type(given).__name__
