"""Where settings stand and a checkout ends, and how a file is named from there: all of it by paths alone."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

NAME: Final = "rxlint.yaml"
_TOP: Final = ".git"  # a checkout ends here: what lies above belongs to somebody else


def find_settings(folder: Path) -> Path | None:
    """The nearest settings file at or above a folder, no further up than the top of a checkout; None without one.

    A link is followed to the folder that it stands for, so that going up means the folders that hold the documents.
    """
    try:
        start = folder.resolve()
    except (OSError, RuntimeError, ValueError):
        return None
    for each in (start, *start.parents):
        if os.path.lexists(each / NAME):
            return each / NAME
        if os.path.lexists(each / _TOP):
            return None
    return None


def find_top(folder: Path) -> Path | None:
    """The top of the checkout that a folder belongs to; None where it belongs to none."""
    try:
        start = folder.resolve()
    except (OSError, RuntimeError, ValueError):
        return None
    return next((each for each in (start, *start.parents) if os.path.lexists(each / _TOP)), None)


def shown_path(path: Path) -> str:
    """A path as somebody who stands in the current folder would name it."""
    try:
        relative = os.path.relpath(path)
    except (OSError, ValueError):  # on another drive, or in a folder that is gone
        return path.as_posix()
    return path.as_posix() if relative.startswith("..") else Path(relative).as_posix()


def relative(path: Path, folder: Path) -> str | None:
    """A file's path as a list in ``folder`` names it; None for a file outside, or with a line break in its name."""
    try:
        told = path.resolve().relative_to(folder.resolve()).as_posix()
    except (OSError, RuntimeError, ValueError):
        return None
    return None if "\n" in told or "\r" in told else told
