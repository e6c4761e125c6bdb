"""The heads of many documents, read without reading the documents: what a library's index is made of.

Almost every head is written plainly, and its four lines are told by one expression over the first bytes of the file. A
head that is written in any other way - a misspelt term, a look-alike letter, a line twice - goes to the reader itself,
so that both always agree.
"""

from __future__ import annotations

import os
import re
import stat
from typing import Final

from rxlint.screening.head import Head
from rxlint.text import Problem, read_source

FIRST: Final = 4_096
"""So many bytes are read at first; a head is a few hundred."""
MOST: Final = 65_536
"""No more than this is read of any file; a head that is longer is read as far as that goes."""

# Opened so, a link is refused and a pipe is not waited for, whatever has become of the name since it was found.
_FLAGS: Final = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)

_TITLE: Final = re.compile(rb'(?:[ \t]*(?:#[^\n]*)?\r?\n)*(?:(prescription|template)[ \t]+"|(readings for)[ \t])')
_NEXT: Final = re.compile(rb"\n(?=[^\s#])")  # the next line at the margin: there the head ends
_LINE: Final = re.compile(rb"^[ \t]+([^\s#]\S*)([^\r\n]*)\r?$", re.MULTILINE)
_END: Final = rb"[ \t]*(?:[ \t]#.*)?"
_NAME: Final = rb"[A-Za-z0-9][A-Za-z0-9._/:-]*"
_NUMBER: Final = rb"0|[1-9][0-9]{0,8}"
_PLAIN: Final = {
    b"id": re.compile(rb"[ \t]+(" + _NAME + rb")" + _END),
    b"revision": re.compile(rb"[ \t]+(" + _NUMBER + rb")" + _END),
    b"status": re.compile(rb"[ \t]+(draft|active|withdrawn)" + _END),
    b"follows": re.compile(rb"[ \t]+(" + _NAME + rb")[ \t]+revision[ \t]+(" + _NUMBER + rb")" + _END),
}
_OTHERS: Final = frozenset({b"notation", b"replaces", b"written", b"approved", b"review", b"valid"})


def read_head(path: str, shown: str) -> Head | Problem:
    """The head of the document at a path, which must be a regular file; why it can't be read. Never raises OSError."""
    data = read_start(path)
    return data if isinstance(data, Problem) else head_in(data, shown)


def read_start(path: str) -> bytes | Problem:
    """The first bytes of a regular file, as many as its head needs; fewer than ``FIRST`` are all that it holds."""
    try:
        handle = os.open(path, _FLAGS)
    except (OSError, ValueError) as error:
        return Problem(f"can't be opened: {getattr(error, 'strerror', None) or error}")
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            return Problem("is not a regular file")
        data = os.read(handle, FIRST)
        if len(data) == FIRST and not _is_whole(data):
            data += os.read(handle, MOST - FIRST)
    except OSError as error:
        return Problem(f"can't be read: {error.strerror or error}")
    finally:
        os.close(handle)
    return data


def _is_whole(data: bytes) -> bool:
    title = _TITLE.match(data)
    return title is not None and _NEXT.search(data, title.end()) is not None


def head_in(data: bytes, shown: str) -> Head | Problem:
    """The head of a document in its first bytes."""
    plain = plain_head(data, shown)
    return plain if plain is not None else _read(data, shown)


def plain_head(data: bytes, shown: str) -> Head | None:
    """The head where it is written plainly; None where only the reader can tell."""
    title = _TITLE.match(data)
    if title is None:
        return None
    if title.group(2) is not None:  # readings on their own: they have no head
        return Head(shown, "readings")
    following = _NEXT.search(data, title.end())
    end = following.start() if following is not None else len(data)
    said: dict[bytes, tuple[bytes, ...]] = {}
    for line in _LINE.finditer(data, title.end(), end):
        word, rest = line.groups()
        form = _PLAIN.get(word)
        if form is None:
            if word not in _OTHERS:
                return None
            continue
        match = form.fullmatch(rest)
        if match is None or word in said:
            return None
        said[word] = match.groups()
    return _head(title.group(1), said, shown)


def _head(kind: bytes, said: dict[bytes, tuple[bytes, ...]], shown: str) -> Head:
    def text(word: bytes) -> str | None:
        return said[word][0].decode("ascii") if word in said else None

    revision, follows = said.get(b"revision"), said.get(b"follows")
    return Head(
        shown,
        kind.decode("ascii"),
        text(b"id"),
        int(revision[0]) if revision is not None else None,
        text(b"status"),
        (follows[0].decode("ascii"), int(follows[1])) if follows is not None else None,
    )


def _read(data: bytes, shown: str) -> Head | Problem:
    """The head as the reader of documents reads it."""
    from rxlint.notation.document import read_document
    from rxlint.screening.shelf import head_of

    cut = len(data)
    title = _TITLE.match(data)
    following = _NEXT.search(data, title.end()) if title is not None else None
    if following is not None:
        cut = following.start() + 1
    elif cut >= FIRST:  # the last line may be cut in the middle
        cut = data.rfind(b"\n") + 1
    source = read_source(data[:cut])
    return source if isinstance(source, Problem) else head_of(read_document(source), shown)
