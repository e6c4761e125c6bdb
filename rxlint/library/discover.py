"""From paths to documents: folders are searched for .vrx files; what can't be read is a problem, never an exception."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from rxlint.text import MAX_BYTES, Problem
from rxlint.text.files import read_up_to

ENDING: Final = ".vrx"
_LEADS_OUT: Final = "a link that leads out of the folder is not followed; name it to screen what is there"


@dataclass(frozen=True, slots=True)
class Input:
    """A document to screen: the name it is shown under and where it is; or a problem in its place.

    ``searched`` is the folder that was given, where the document was found in one.
    """

    shown: str
    path: Path | None
    problem: Problem | None = None
    searched: Path | None = None


def find_inputs(paths: Iterable[str]) -> Iterator[Input]:
    """Every document that the paths name, in a fixed order: as given, and sorted by name within a folder."""
    for given in paths:
        if not given:  # Path("") would be the current folder
            yield Input(given, None, Problem("an empty name names no file"))
            continue
        path = Path(given)
        try:
            mode = path.stat().st_mode
        except (OSError, ValueError) as error:
            yield Input(given, None, Problem(_why(error)))
            continue
        if stat.S_ISDIR(mode):
            yield from _in_folder(given, path)
        elif stat.S_ISREG(mode):
            yield Input(given, path)
        else:
            yield Input(given, None, Problem("is not a regular file"))


def _in_folder(given: str, folder: Path) -> Iterator[Input]:
    found = False
    problems: list[OSError] = []
    for place, folders, files in os.walk(folder, onerror=problems.append, followlinks=False):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        here = Path(place)
        for name in folders:
            path = here / name
            if path.is_symlink() and _leads_out(path, folder):
                yield Input(path.as_posix(), None, Problem(_LEADS_OUT))
        for name in sorted(files):
            if name.lower().endswith(ENDING) and not name.startswith("."):
                found = True
                path = here / name
                yield Input(path.as_posix(), path, searched=folder)
    for error in problems:
        yield Input(str(error.filename or given), None, Problem(_why(error)))
    if not found and not problems:
        yield Input(given, None, Problem(f"the folder holds no document (*{ENDING})"))


def _leads_out(link: Path, folder: Path) -> bool:
    """Whether a link to a folder leads to documents that the walk does not come to anyway."""
    return not link.resolve().is_relative_to(folder.resolve())


def read_bytes(path: Path) -> bytes | Problem:
    """A file's bytes; the reason where they can't be read. Reads no more than the limit, and only regular files."""
    try:
        read = read_up_to(path, MAX_BYTES)
    except (OSError, ValueError) as error:
        return Problem(_why(error))
    if read is None:
        return Problem("is not a regular file")
    data, size = read
    return too_large(size) if size > MAX_BYTES or len(data) > MAX_BYTES else data


def read_input(found: Input) -> bytes | Problem:
    """An input's bytes; its problem, or the reason why it can't be read, in their place. A folder is none."""
    if found.problem is not None or found.path is None:
        return found.problem or Problem("is not there")
    return read_bytes(found.path)


def read_stream(stream: BinaryIO | None) -> bytes | Problem:
    """What a stream holds, if it is not longer than a document may be; None stands for one that is closed."""
    try:
        data = stream.read(MAX_BYTES + 1) if stream is not None else None
    except (OSError, ValueError) as error:
        return Problem(_why(error))
    if data is None:
        return Problem("standard input is closed")
    return too_large(None) if len(data) > MAX_BYTES else data


def too_large(size: int | None) -> Problem:
    """The problem of a file above the limit."""
    told = (
        f": {size:,} bytes, the limit is {MAX_BYTES:,}" if size is not None else f": the limit is {MAX_BYTES:,} bytes"
    )
    return Problem(f"the file is too large to be a prescription{told}")


def _why(error: OSError | ValueError) -> str:
    return f"can't be opened: {getattr(error, 'strerror', None) or error}"
