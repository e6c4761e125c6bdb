"""Where a document's library begins: what a `follows` line can name lies below that folder, and nothing else does."""

from __future__ import annotations

import os
from pathlib import Path

from rxlint.library.index import Index, View
from rxlint.library.settings import Settings, find_settings, find_top


class Libraries:
    """The libraries of a run, one for each root."""

    def __init__(self) -> None:
        self._by_root: dict[Path, Index] = {}

    def view(
        self, path: Path, settings: Settings | None, searched: Path | None = None, *, is_file: bool = True
    ) -> View | None:
        """The library of a document, seen from it; None where its folder can't be told.

        Its root is the folder that its settings name or stand in, else the top of its checkout, else the folder that
        was given on the command line (``searched``), else its own. ``is_file`` says that the document was read from
        there, and not only named so.
        """
        root = root_of(path, settings, searched)
        if root is None:
            return None
        index = self._by_root.get(root)
        if index is None:
            index = self._by_root[root] = Index(root)
        own = index.shown(path)
        whole = searched is not None and _holds(searched, root)
        is_named = settings is not None or find_top(path.parent) is not None
        beyond = _beyond(settings) if settings is not None else ""
        return View(index, own, whole and is_file and own is not None, is_named=is_named, beyond=beyond)


def root_of(path: Path, settings: Settings | None, searched: Path | None = None) -> Path | None:
    """The root of a document's library, links followed; None where there is no such folder."""
    try:
        if settings is not None:
            folder = settings.library if settings.library is not None else settings.path.parent
        else:
            folder = find_top(path.parent) or searched or path.parent
        root = folder.resolve()
        return root if root.is_dir() else None
    except (OSError, RuntimeError, ValueError):
        return None


def _beyond(settings: Settings) -> str:
    """How a library that lies in another one of the same checkout can name that; empty where there is none."""
    folder = settings.path.parent
    if settings.library is not None or find_top(folder) in (None, folder):
        return ""
    above = find_settings(folder.parent)
    if above is None:
        return ""
    wider = Path(os.path.relpath(above.parent, folder)).as_posix()
    return f"{settings.shown} makes this a library of its own, and can name the one around it: `library: {wider}`"


def _holds(folder: Path, root: Path) -> bool:
    """Whether a folder that is searched holds a library as a whole."""
    try:
        return root.is_relative_to(folder.resolve()) and not _is_hidden(root, folder.resolve())
    except (OSError, RuntimeError, ValueError):
        return False


def _is_hidden(root: Path, folder: Path) -> bool:
    """Whether the search for documents leaves a library out: it does not look into folders that begin with a point."""
    return any(part.startswith(".") for part in root.relative_to(folder).parts)
