"""A library with the texts that are open in an editor laid over its files: a template that is being written is what its
followers are checked against, before anybody saves it.

Heads are remembered by the time and the size of their files, so that a change of one file reads that one alone.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from rxlint.library.heads import MOST, head_in, read_head
from rxlint.library.index import Index, View
from rxlint.library.roots import Libraries, root_of
from rxlint.library.screen import parse_bytes
from rxlint.library.settings import Settings
from rxlint.screening.shelf import Head
from rxlint.screening.template import Template
from rxlint.text import Problem

_TEMPLATES_KEPT: Final = 64

Stamp = tuple[int, int, int]
"""What tells one state of a file from another: when it was changed, its size and which file it is."""


def stamp_of(path: str | Path) -> Stamp | None:
    """The stamp of what stands at a path, links not followed; None where nothing does."""
    try:
        status = os.lstat(path)
    except (OSError, ValueError):
        return None
    return status.st_mtime_ns, status.st_size, status.st_ino


def head_of_text(text: str, shown: str) -> Head | Problem:
    """The head of a text, as that of a file which holds it."""
    return head_in(text[:MOST].encode("utf-8", "surrogatepass")[:MOST], shown)


@dataclass(frozen=True, slots=True)
class Open:
    """A text of the library that is open: its name there, its head and all of it."""

    shown: str
    head: Head | Problem
    text: str


@dataclass(frozen=True, slots=True)
class Changed:
    """What a change means for other documents: ``heads`` that any of them may come out otherwise, else ``templates``
    the ids of those whose followers may.
    """

    heads: bool = False
    templates: frozenset[str] = frozenset()

    def __or__(self, other: Changed) -> Changed:
        return Changed(self.heads or other.heads, self.templates | other.templates)

    @staticmethod
    def between(before: Head | Problem | None, after: Head | Problem | None) -> Changed:
        """What the change of one document means, from its heads."""
        if before != after:
            return Changed(heads=True)
        if isinstance(after, Head) and after.kind == "template" and after.id is not None:
            return Changed(templates=frozenset({after.id}))
        return Changed()


class Library:
    """One library over a session. ``open`` are the texts laid over it, by their names there."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.open: dict[str, Open] = {}
        self._heads: dict[str, tuple[Stamp | None, Head | Problem]] = {}
        self._files: Index | None = None
        self._index: Overlaid | None = None
        self._templates: dict[str, tuple[object, Template | Problem]] = {}
        self._lock = threading.Lock()

    @property
    def index(self) -> Overlaid:
        """The library as it stands now."""
        files = self.search()
        if self._index is None:
            self._index = Overlaid(files, self)
        return self._index

    def search(self) -> Index:
        """Search the folder, where that is not done yet."""
        if self._files is None:
            self._files = self._searched()
            self._index = None
        return self._files

    def search_again(self) -> None:
        """Have the folder searched anew when it is next asked for."""
        self._files = self._index = None

    def lay(self, texts: Mapping[str, Open]) -> Changed:
        """Lay these texts over the files, in the place of those that lay there before; what that changes."""
        before, self.open = self.open, dict(texts)
        changed = Changed()
        for shown in before.keys() | self.open.keys():
            old, new = before.get(shown), self.open.get(shown)
            if old is new or (old is not None and new is not None and old.text == new.text):
                continue
            heads = [each.head if each is not None else self._on_disk(shown) for each in (old, new)]
            changed |= Changed.between(*heads)
        if changed.heads:
            self._index = None
        return changed

    def look_at(self, shown: str) -> Changed:
        """The file of this name may have changed; what that changes."""
        before = self._on_disk(shown)
        self._heads.pop(shown, None)
        path = self.root / shown
        stamp = stamp_of(path)
        after = None
        if stamp is not None:
            after = read_head(os.fspath(path), shown)
            self._heads[shown] = (stamp, after)
        if before != after:
            self.search_again()
        return Changed() if shown in self.open else Changed.between(before, after)

    def look_again(self) -> Changed:
        """Any file may have changed; what that changes. Only those with another stamp are read."""
        if self._files is None:
            return Changed(heads=True)
        before, stamps = self._files, {shown: known[0] for shown, known in self._heads.items()}
        self._files = self._searched()
        self._index = None
        templates = {
            head.id
            for shown, (stamp, head) in self._heads.items()
            if isinstance(head, Head) and head.kind == "template" and head.id and stamps.get(shown) != stamp
        }
        same = (before.problem, before.unread, before.by_id) == (
            self._files.problem, self._files.unread, self._files.by_id,
        )  # fmt: skip
        return Changed(not same, frozenset(templates))

    def holds(self, shown: str) -> bool:
        """Whether a document of this name is among the files."""
        return shown in self._heads

    def _on_disk(self, shown: str) -> Head | Problem | None:
        known = self._heads.get(shown)
        return known[1] if known is not None else None

    def _searched(self) -> Index:
        before, now = self._heads, dict[str, tuple[Stamp | None, Head | Problem]]()

        def head(path: str, shown: str) -> Head | Problem:
            stamp = stamp_of(path)
            known = before.get(shown)
            if known is None or known[0] != stamp or stamp is None:
                known = (stamp, read_head(path, shown))
            now[shown] = known
            return known[1]

        found = Index(self.root, head)
        _ = found.problem  # search it now: what is remembered is of this search
        self._heads = now
        return found

    def template(self, head: Head) -> Template | Problem:
        """What a document lays down, as it stands in its buffer, else on the disk."""
        with self._lock:  # documents are screened on more than one thread
            return self._template(head)

    def _template(self, head: Head) -> Template | Problem:
        laid = self.open.get(head.shown)
        key: object = laid.text if laid is not None else stamp_of(self.root / head.shown)
        known = self._templates.get(head.shown)
        if known is None or known[0] != key or key is None:
            if len(self._templates) >= _TEMPLATES_KEPT:
                del self._templates[next(iter(self._templates))]
            read = _template_of(laid) if laid is not None else Index(self.root).template(head)
            known = self._templates[head.shown] = (key, read)
        return known[1]


def _template_of(laid: Open) -> Template | Problem:
    document = parse_bytes(laid.text.encode("utf-8", "surrogatepass"))
    return document if isinstance(document, Problem) else Template(document, laid.shown)


class Overlaid(Index):
    """The index of a library with the heads of the open texts in the place of those of their files."""

    def __init__(self, files: Index, library: Library) -> None:
        super().__init__(files.root)
        self._files = files
        self._library = library
        self._laid: Mapping[str, Open] = dict(library.open)

    @cached_property
    def _found(self) -> tuple[list[Head], list[str], str | None]:
        heads, unread, problem = self._files._found
        if problem is not None or not self._laid:
            return heads, unread, problem
        known = [head for head in heads if head.shown not in self._laid]
        lost = [told for told in unread if told.partition(": ")[0] not in self._laid]
        for shown in sorted(self._laid):
            head = self._laid[shown].head
            if isinstance(head, Problem):
                lost.append(f"{shown}: {head.message}")
            else:
                known.append(head)
        return sorted(known, key=lambda head: head.shown), lost, None

    def template(self, head: Head) -> Template | Problem:
        """What a document lays down: the open text, where it is open."""
        return self._library.template(head)


class OverlaidLibraries(Libraries):
    """The libraries of a session, one for each root; a document's view of its own holds the open texts."""

    def __init__(self) -> None:
        super().__init__()
        self.by_root: dict[Path, Library] = {}

    def view(
        self, path: Path, settings: Settings | None, searched: Path | None = None, *, is_file: bool = True
    ) -> View | None:
        """The library of a document as it stands now."""
        root = root_of(path, settings, searched)
        if root is not None:
            self._by_root[root] = self.of_root(root).index
        return super().view(path, settings, searched, is_file=is_file)

    def of_root(self, root: Path) -> Library:
        """The library that begins at a folder (links followed)."""
        if root not in self.by_root:
            self.by_root[root] = Library(root)
        return self.by_root[root]
