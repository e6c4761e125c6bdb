"""The index of a library: which document has which id, made from the heads of its files, and only when it is asked for.

Nothing outside the library's root is ever opened: links are not followed, neither to folders nor to files. A folder
with settings of its own is a library of its own and no part of this one, unless these settings name this one.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rxlint.library.discover import ENDING, read_bytes
from rxlint.library.heads import read_head
from rxlint.library.places import NAME
from rxlint.screening.head import Head
from rxlint.text import Problem

if TYPE_CHECKING:
    from rxlint.screening.template import Template

MOST_FILES: Final = 200_000
MOST_FOLDERS: Final = 50_000
_TEMPLATES_KEPT: Final = 64
_LEADS_OUT: Final = "is a link that leads out of the library"

HeadReader = Callable[[str, str], Head | Problem]
"""Reads a head by path and shown name; one that remembers what it has read may stand in its place."""


class Index:
    """The documents of a library by id. Made when it is first asked; the files are read once in a run."""

    def __init__(self, root: Path, head: HeadReader = read_head) -> None:
        self.root = root
        self._head = head
        self._templates: dict[str, Template | Problem] = {}
        self._marks: dict[str, str | None] = {}
        self.told: dict[str, str] = {}  # digests of long answers about the whole library, by question

    @cached_property
    def problem(self) -> str | None:
        """Why the library can't be searched; None where it can."""
        return self._found[2]

    @cached_property
    def unread(self) -> Sequence[str]:
        """The files and folders that could not be read, each with the reason."""
        return self._found[1]

    @cached_property
    def by_id(self) -> dict[str, list[Head]]:
        """The documents by their id, in the order of their names."""
        found: dict[str, list[Head]] = {}
        for head in self._found[0]:
            if head.id is not None:
                found.setdefault(head.id, []).append(head)
        return found

    @property
    def heads(self) -> Sequence[Head]:
        """The heads of all documents, in the order of their names."""
        return self._found[0]

    @cached_property
    def template_ids(self) -> frozenset[str]:
        """The ids of all templates."""
        return frozenset(head.id for head in self._found[0] if head.kind == "template" and head.id is not None)

    @cached_property
    def followed_ids(self) -> frozenset[str]:
        """The ids that some document follows."""
        return frozenset(head.follows[0] for head in self._found[0] if head.follows is not None)

    @cached_property
    def _found(self) -> tuple[list[Head], list[str], str | None]:
        heads: list[Head] = []
        unread: list[str] = []
        root = os.fspath(self.root)
        folders = 0
        waiting = [""]
        while waiting:
            place = waiting.pop()
            folders += 1
            inside, files = _entries(root, place, unread)
            waiting += reversed(inside)
            for shown in files:
                head = self._head(f"{root}/{shown}", shown)
                if isinstance(head, Problem):
                    unread.append(f"{shown}: {head.message}")
                else:
                    heads.append(head)
            if len(heads) + len(unread) > MOST_FILES or folders > MOST_FOLDERS:
                limits = f"more than {MOST_FILES:,} files or {MOST_FOLDERS:,} folders"
                return [], unread, f"the library is too large to be searched: {limits}"
        return heads, unread, None

    def template(self, head: Head) -> Template | Problem:
        """What a document of the library lays down; why it can't be read."""
        known = self._templates.get(head.shown)
        if known is None:
            if len(self._templates) >= _TEMPLATES_KEPT:
                del self._templates[next(iter(self._templates))]
            known = self._templates[head.shown] = self._read(head)
        return known

    def _read(self, head: Head) -> Template | Problem:
        from rxlint.library.screen import parse_bytes
        from rxlint.screening.template import Template

        data = self._bytes(head.shown)
        self._marks[head.shown] = _mark(data)
        document = parse_bytes(data) if isinstance(data, bytes) else data
        return document if isinstance(document, Problem) else Template(document, head.shown)

    def template_mark(self, shown: str) -> str | None:
        """A digest of the bytes that ``template`` reads for a document of this name, or has read in this run; None
        where they can't be read.
        """
        if shown not in self._marks:
            self._marks[shown] = _mark(self._bytes(shown))
        return self._marks[shown]

    def _bytes(self, shown: str) -> bytes | Problem:
        path = self.root / shown
        if self.shown(path) != shown:  # it has become a link since it was found
            return Problem(_LEADS_OUT)
        return read_bytes(path)

    def shown(self, path: Path) -> str | None:
        """The name of a file within the library, links followed; None for one that lies outside."""
        try:
            return path.resolve().relative_to(self.root).as_posix()
        except (OSError, RuntimeError, ValueError):
            return None


def _mark(data: bytes | Problem) -> str | None:
    return hashlib.sha256(data).hexdigest() if isinstance(data, bytes) else None


def _entries(root: str, place: str, unread: list[str]) -> tuple[list[str], list[str]]:
    """The folders and the documents in a folder of the library, by their names from the root, sorted."""
    folders: list[str] = []
    files: list[str] = []
    try:
        with os.scandir(f"{root}/{place}" if place else root) as found:
            for entry in found:
                if entry.name == NAME and place and not _names(entry.path, root):
                    return [], []  # a library of its own
                if entry.name.startswith("."):
                    continue
                shown = f"{place}/{entry.name}" if place else entry.name
                if entry.is_dir(follow_symlinks=False):
                    folders.append(shown)
                elif entry.name.lower().endswith(ENDING):
                    if entry.is_file(follow_symlinks=False):
                        files.append(shown)
                    elif entry.is_symlink() and not _is_inside(entry.path, root):
                        unread.append(f"{shown}: {_LEADS_OUT}")
    except OSError as error:
        unread.append(f"{place or '.'}: can't be opened: {error.strerror or error}")
    return sorted(folders), sorted(files)


def _names(settings: str, root: str) -> bool:
    """Whether the settings of a folder name the library around it as theirs."""
    from rxlint.library.settings import read_settings

    read, _ = read_settings(Path(settings), settings)
    return read is not None and read.library == Path(root)


def _is_inside(link: str, root: str) -> bool:
    """Whether a link leads to something in the library, which is found there under its own name."""
    try:
        return Path(link).resolve().is_relative_to(root)
    except (OSError, RuntimeError, ValueError):
        return False


class View:
    """A library as seen from one of its documents (``own``, its name in the library; None for one that is no file of
    it). ``is_searched`` where the library as a whole is screened; ``is_named`` where settings or a checkout say where
    it begins; ``beyond`` tells where else a template may stand.
    """

    def __init__(
        self, index: Index, own: str | None, is_searched: bool, *, is_named: bool = True, beyond: str = ""
    ) -> None:
        self._index = index
        self.own = own
        self.root = os.fspath(index.root)
        self._is_searched = is_searched
        self._is_named = is_named
        self.beyond = beyond

    @property
    def is_library(self) -> bool:
        """A mere folder of files is a library where a template stands in it."""
        return self._is_named or bool(self._index.template_ids)

    @property
    def is_searched(self) -> bool:
        """Whether the library as a whole is screened."""
        return self._is_searched

    @property
    def problem(self) -> str | None:
        """Why the library can't be searched."""
        return self._index.problem

    @property
    def unread(self) -> Sequence[str]:
        """The files that could not be read."""
        return self._index.unread

    def heads(self, identifier: str) -> Sequence[Head]:
        """The other documents with this id."""
        return [head for head in self._index.by_id.get(identifier, ()) if head.shown != self.own]

    def template_ids(self) -> frozenset[str]:
        """The ids of all templates."""
        return self._index.template_ids

    def followed_ids(self) -> frozenset[str]:
        """The ids that some document follows."""
        return self._index.followed_ids

    def template(self, head: Head) -> Template | Problem:
        """What a document lays down."""
        return self._index.template(head)

    def template_mark(self, shown: str) -> str | None:
        """As ``Index.template_mark``."""
        return self._index.template_mark(shown)

    @property
    def told(self) -> dict[str, str]:
        """As ``Index.told``."""
        return self._index.told

    def others(self) -> Sequence[Head]:
        """The heads of all other documents of the library."""
        return [head for head in self._index.heads if head.shown != self.own]
