"""Where a document's library begins: what a `follows` line can name lies below that folder, and nothing else does."""

from __future__ import annotations

import os
from collections.abc import Container
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from rxlint.library.index import HeadReader, Index, View
from rxlint.library.places import find_settings, find_top

if TYPE_CHECKING:
    from rxlint.library.settings import Settings


class InSettings(Protocol):
    """What a library depends on in the settings of a document."""

    @property
    def path(self) -> Path:
        """The settings file."""

    @property
    def shown(self) -> str:
        """Its name to show."""

    @property
    def library(self) -> Path | None:
        """The folder that templates are looked for in; None: that of the settings."""


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
        shelf = self._shelf(path, settings, searched)
        return shelf.view(shelf.index.shown(path), is_file=is_file) if shelf is not None else None

    def _shelf(self, path: Path, settings: InSettings | None, searched: Path | None) -> _Shelf | None:
        root = root_of(path, settings, searched)
        if root is None:
            return None
        index = self._by_root.get(root)
        if index is None:
            index = self._by_root[root] = self._made(root)
        whole = searched is not None and _holds(searched, root)
        is_named = settings is not None or find_top(path.parent) is not None
        return _Shelf(index, whole, is_named, _beyond(settings) if settings is not None else "")

    def _made(self, root: Path) -> Index:
        return Index(root)


@dataclass(frozen=True, slots=True)
class _Shelf:
    """What all documents of a folder have in common of the library that they stand in."""

    index: Index
    whole: bool
    is_named: bool
    beyond: str

    def view(self, own: str | None, *, is_file: bool = True) -> View:
        whole = self.whole and is_file and own is not None
        return View(self.index, own, whole, is_named=self.is_named, beyond=self.beyond)


class RunLibraries(Libraries):
    """The libraries of one run, in which nothing moves: what holds for a folder is found once. ``head`` reads heads."""

    def __init__(self, head: HeadReader) -> None:
        super().__init__()
        self._head = head
        self._folders: dict[tuple[str, Path | None], Folder | None] = {}

    def _made(self, root: Path) -> Index:
        return Index(root, self._head)

    def folder(self, path: Path, settings: InSettings | None, searched: Path | None) -> Folder | None:
        """The library of the documents that are files of a folder, told by one of them (``path``); the folder must
        always come with these settings.
        """
        key = os.path.dirname(path), searched
        if key not in self._folders:
            shelf = self._shelf(path, settings, searched)
            self._folders[key] = Folder(shelf, os.path.realpath(key[0])) if shelf is not None else None
        return self._folders[key]

    def seen(self, path: Path, settings: InSettings | None, searched: Path | None) -> View | None:
        """The library of a document that is a file, as ``view``; see ``folder``."""
        folder = self.folder(path, settings, searched)
        return folder.seen(os.fspath(path), ()) if folder is not None else None


class Folder:
    """A folder of documents in a library; ``real`` is where it is, links followed."""

    def __init__(self, shelf: _Shelf, real: str) -> None:
        self._shelf = shelf
        self._real = _ended(real)
        root = _ended(os.fspath(shelf.index.root))
        self._cut = len(root) if self._real.startswith(root) else None

    def seen(self, path: str, files: Container[str]) -> View:
        """The library as a document of the folder sees it. ``files`` are known to be files and no links."""
        name = os.path.basename(path)
        whole = self._real + name
        if whole not in files and (name in ("", "..") or os.path.islink(path)):
            return self._shelf.view(self._shelf.index.shown(Path(path)))
        return self._shelf.view(whole[self._cut :].replace(os.sep, "/") if self._cut is not None else None)


def _ended(folder: str) -> str:
    return folder if folder.endswith(os.sep) else folder + os.sep


def root_of(path: Path, settings: InSettings | None, searched: Path | None = None) -> Path | None:
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


def _beyond(settings: InSettings) -> str:
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
