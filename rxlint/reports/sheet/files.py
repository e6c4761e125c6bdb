"""Writing sheets: whole or not at all, only where they were asked for, and never over what is no sheet."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rxlint.text.files import named_file, read_up_to, write_whole

_MARKS: Final = (b'<meta name="generator" content="rxlint sheet">', b"%PDF-")
_HEAD: Final = 4_000


class NotWritten(ValueError):
    """A page was not written; the message says which and why."""


def write_page(path: Path, data: bytes, within: Path | None = None) -> None:
    """Write a page in one step. ``within`` is the folder that nothing may be written outside of, links followed: a page
    of it has no name that anybody gave, and takes the place of a link. Of a page that was named, a link is written to.

    Raises NotWritten where another file stands there, or it can't be written.
    """
    try:
        if within is not None:
            path.parent.mkdir(parents=True, exist_ok=True)
            if not path.parent.resolve().is_relative_to(within.resolve()):
                raise NotWritten(f"{path} is not written: a link leads out of {within}")
        if path.is_dir():
            raise NotWritten(f"{path} is a folder")
        if path.exists() and not is_page(path):
            raise NotWritten(f"{path} is there already and is no sheet of rxlint: give another name")
        write_whole(path if within is not None else named_file(path), data, settle=within is None)
    except OSError as error:
        raise NotWritten(f"{path} can't be written: {error.strerror or error}") from None


def is_page(path: Path) -> bool:
    """Whether a file is a page that may be written anew: a sheet, an index of sheets, or a PDF by a name of ours."""
    read = read_up_to(path, 64 * 1024 * 1024)
    return read is not None and any(mark in read[0][:_HEAD] for mark in _MARKS)
