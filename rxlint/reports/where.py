"""How a report for programs names a document: by a URI or a path, as seen from the folder of the run."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final
from urllib.parse import quote, quote_from_bytes

STANDARD_INPUT: Final = "<standard input>"
"""How standard input is shown where no other name is given."""


@dataclass(frozen=True, slots=True)
class Here:
    """The folder that a run was started in."""

    folder: Path

    def inside(self, shown: str) -> str | None:
        """The path of a document as seen from the folder, with forward slashes; None where it lies outside it.

        Standard input without a name, and a name that is none, lie outside.
        """
        return _inside(self.folder, shown) if shown and shown != STANDARD_INPUT else None

    def uri(self, shown: str) -> tuple[str, bool]:
        """The URI of a document, and whether it is relative to the folder. Every character that a URI lacks, and every
        byte of a name that is no text, is percent-encoded.
        """
        inside = self.inside(shown)
        if inside is not None:
            return _quoted(inside), True
        if not shown or shown == STANDARD_INPUT:
            return _quoted(shown), False
        try:
            return _whole(self.folder, shown).as_uri(), False
        except ValueError:  # a name that no system allows
            return _quoted(shown), False

    def path(self, shown: str) -> str:
        """The path of a document as hosts of repositories want it: as seen from the folder, else as it was given."""
        return self.inside(shown) or Path(shown).as_posix() if shown else shown


@lru_cache(maxsize=64)  # a document is named once for each place in it
def _inside(folder: Path, shown: str) -> str | None:
    whole = _whole(folder, shown)
    if whole.is_relative_to(folder):
        return whole.relative_to(folder).as_posix()
    for each in (whole, _resolved(whole)):
        for start in (folder, _resolved(folder)):
            if each.is_relative_to(start):
                return each.relative_to(start).as_posix()
    return None


def _whole(folder: Path, shown: str) -> Path:
    """The whole path. Of one with ``..`` the text alone does not tell where it ends, for that goes up from where a
    link leads to.
    """
    path = folder / shown
    return _resolved(path) if ".." in path.parts else path


def _resolved(path: Path) -> Path:
    """A path with its links followed; by its text alone where that can't be done."""
    try:
        return path.resolve()
    except (OSError, RuntimeError, ValueError):  # a ring of links, a name that no system allows
        return Path(os.path.normpath(path))


def _quoted(text: str) -> str:
    try:
        return quote_from_bytes(os.fsencode(text), safe="/")
    except UnicodeEncodeError:  # a half of a pair of code units, which no file name holds
        return quote(text.encode("utf-8", "surrogatepass"), safe="/")
