"""Files that are brought along: their names made safe, and their bytes read as text, or why they are none."""

from __future__ import annotations

import base64
import binascii
import re
from pathlib import PurePosixPath
from typing import Final, NamedTuple

from rxlint.library.discover import ENDING
from rxlint.page.shapes import FileKind, FileState
from rxlint.text import Problem, printable, read_source

RULES: Final = (".yaml", ".yml")
_OF_A_REPOSITORY: Final = ".git"
_NEVER: Final = re.compile(r"[\\\x00-\x1f\x7f\ud800-\udfff]")
_DRIVE: Final = re.compile(r"[A-Za-z]:")
_LONGEST: Final = 1_000  # characters of a path


class Refused(ValueError):
    """What is asked for can't be done, for a reason that the user can mend. The message says so in plain words."""


class File(NamedTuple):
    """A file of the folder: its text, or why it is none."""

    kind: FileKind
    text: str | Problem

    def state(self, path: str) -> FileState:
        """The same as it is told."""
        if isinstance(self.text, str):
            return {"path": path, "kind": self.kind, "text": self.text}
        return unreadable(path, self.kind, told_of(self.text))


def unreadable(path: str, kind: FileKind, why: str) -> FileState:
    """A file that is not shown as text."""
    return {"path": path, "kind": kind, "unreadable": why}


def told_of(problem: Problem) -> str:
    """A problem with its place, where it has one."""
    place = f"line {problem.line}, column {problem.column}: " if problem.line is not None else ""
    return printable(place + problem.message)


def cleaned(path: str) -> str:
    """A path of the folder as it is known: parts with one slash between them. Raises Refused for one that leads out of
    the folder, or that a folder should not hold.
    """
    if len(path) > _LONGEST:
        raise Refused(f"{printable(path[:40])}... is longer than the name of a file may be")
    if path.startswith("/") or _DRIVE.match(path):
        raise Refused(f"{printable(path)} does not lie in the folder: its name begins at the root of a disk")
    if _NEVER.search(path):
        raise Refused(f"{printable(path)} can't be the name of a file here: it holds a character that none may have")
    parts = PurePosixPath(path).parts
    if ".." in parts:
        raise Refused(f"{printable(path)} leads out of the folder")
    if _OF_A_REPOSITORY in parts:
        raise Refused(f"{printable(path)} belongs to a repository's own records, which are not taken in")
    if not parts:
        raise Refused("an empty name names no file")
    return "/".join(parts)


def kind_of(path: str) -> FileKind:
    """What a file is, by the end of its name."""
    ending = PurePosixPath(path).suffix.lower()
    return "document" if ending == ENDING else "rules" if ending in RULES else "other"


def bytes_of(coded: str) -> bytes:
    """The bytes that a text in base 64 stands for. Raises Refused."""
    try:
        return base64.b64decode(coded, validate=True)
    except (binascii.Error, ValueError):
        raise Refused("did not arrive whole: its content is not in base 64") from None


def file_of(path: str, data: bytes) -> File:
    """A file as it is read."""
    kind = kind_of(path)
    source = read_source(data)
    return File(kind, source if isinstance(source, Problem) else source.text())
