"""The documents that a client has open and what is being worked out for them: the latest text wins.

Two lanes, each one thread: documents are screened on the one, questions are answered on the other, and the event loop
does neither, so that it takes in the next message at once. What belongs to an older version than the present one is
never told.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, TypeVar
from urllib.parse import unquote, urlsplit

from lsprotocol import types
from pygls.uris import from_fs_path, to_fs_path

from rxlint.editor.convert import Lines, Texts, Wants
from rxlint.editor.diagnostics import marks as marks_of
from rxlint.editor.shapes import Mark
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.workspace import Workspace, settle
from rxlint.editor.yaml_files import YamlFile
from rxlint.notation.tree import Place

DEBOUNCE: Final = 0.05
"""Seconds without a further change after which a text is screened; completion, asked for by the same keystroke, is
answered in them."""

_log = logging.getLogger("rxlint.editor")
_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one version of a document. ``id`` stays the same while the diagnostics do."""

    version: int
    snapshot: Snapshot | None
    marks: tuple[Mark, ...]
    diagnostics: list[types.Diagnostic]
    id: str


@dataclass(slots=True, eq=False)
class Document:
    """A document that is open. Its path is not absolute where it is saved nowhere yet."""

    uri: str
    path: Path
    language: str
    version: int
    text: str
    result: Result | None = None
    last: Result | None = None
    task: asyncio.Task[None] | None = None
    is_closed: bool = False

    @property
    def is_yaml(self) -> bool:
        """Whether it is a settings file, a pack, a policy or a profile, and no prescription."""
        return self.language == "yaml" or self.path.suffix.lower() in (".yaml", ".yml")


@dataclass(slots=True)
class Session:
    """The open documents. ``told`` is called on the event loop when a document has a new result, ``stale`` when
    results no longer hold, ``settings`` with the diagnostics of settings files.
    """

    workspace: Workspace
    told: Callable[[Document], None]
    stale: Callable[[], None]
    settings: Callable[[Mapping[str, list[types.Diagnostic]]], None]
    wants: Wants = field(default_factory=Wants)
    is_pulled: bool = False  # the client asks for diagnostics; nothing is screened before it does
    documents: dict[str, Document] = field(default_factory=dict)
    screening: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1, "screening"))
    asking: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1, "asking"))
    loop: asyncio.AbstractEventLoop | None = None
    _count: int = 0
    _settled: int = 0

    # ---- what the client says

    def open(self, uri: str, language: str, version: int, text: str) -> None:
        """A document is open, and its text is no longer that of its file."""
        document = Document(uri, path_of(uri), language, version, text)
        self.documents[uri] = document
        self._stands(document)

    def change(self, uri: str, version: int, text: str) -> None:
        """A document has another text."""
        document = self.documents.get(uri)
        if document is not None:
            document.version, document.text = version, text
            self._stands(document)

    def close(self, uri: str) -> None:
        """A document is closed; nothing is told of it any more."""
        document = self.documents.pop(uri, None)
        if document is not None:
            document.is_closed = True
            _stop(document)
            drop = self.workspace.drop_yaml if document.is_yaml else self.workspace.drop
            self.later(lambda: drop(document.path))

    def later(self, change: Callable[[], Iterable[Path]], *, of_files: bool = False) -> None:
        """Do something with the workspace that may touch open documents; these are looked at again. Where files have
        changed (``of_files``), so are the open files of rules: they may refer to one of them.
        """

        def work() -> None:
            try:
                touched = set(change())
                if of_files:
                    touched |= {each.path for each in list(self.documents.values()) if each.is_yaml}
                self._touched(touched)
            except Exception:
                _log.exception("the workspace could not be brought up to date")

        self.screening.submit(work)

    def end(self) -> None:
        """Nothing is worked out any more."""
        for lane in (self.screening, self.asking):
            lane.shutdown(wait=False, cancel_futures=True)

    def _stands(self, document: Document) -> None:
        document.result = None
        _stop(document)
        if self.is_pulled and document.is_yaml:
            return
        if self.is_pulled:  # its followers are to know of it, whether or not somebody looks at it
            self.later(lambda: self._put(document, document.text))
        else:
            self._screen(document, DEBOUNCE)

    # ---- what is worked out

    async def ask(self, uri: str, question: Callable[[Snapshot], _T]) -> _T | None:
        """The answer to a question about a document as it stands now; None for one that is not open or is YAML."""
        document = self.documents.get(uri)
        if document is None or document.is_yaml:
            return None
        text = document.text
        return await self._on(self.asking, lambda: question(self._snapshot(document, text)))

    def is_yaml(self, uri: str) -> bool:
        """Whether a document is open that is no prescription: a file of rules, of settings, or of somebody else."""
        document = self.documents.get(uri)
        return document is not None and document.is_yaml

    async def ask_yaml(self, uri: str, question: Callable[[YamlFile], _T]) -> _T | None:
        """The answer to a question about a file of rules as it stands now; None for what is none, or is not open."""
        document = self.documents.get(uri)
        if document is None or not document.is_yaml:
            return None
        text = document.text
        return await self._on(self.asking, lambda: question(self.workspace.yaml_file(document.path, text)))

    async def result(self, uri: str) -> Result | None:
        """The result for the present text of a document, awaited if need be; None for one that is not open."""
        while (document := self.documents.get(uri)) is not None:
            if document.result is not None:
                return document.result
            if document.task is None or document.task.done():
                self._screen(document, 0)
            assert document.task is not None
            task = document.task
            await asyncio.wait({task})
            if not task.cancelled() and task.exception() is not None:
                _log.error("%s could not be screened", uri, exc_info=task.exception())
                return None
        return None

    def _screen(self, document: Document, delay: float) -> None:
        _stop(document)
        document.task = asyncio.create_task(self._screened(document, delay))

    async def _screened(self, document: Document, delay: float) -> None:
        if delay:
            await asyncio.sleep(delay)
        version, text = document.version, document.text
        snapshot, marks, diagnostics = await self._on(self.screening, lambda: self._work(document, text))
        if document.is_closed or document.version != version or document.text is not text:
            return  # a newer one is on its way
        last = document.last
        if last is None or last.diagnostics != diagnostics:
            self._count += 1
        name = str(self._count) if last is None or last.diagnostics != diagnostics else last.id
        document.result = document.last = Result(version, snapshot, marks, diagnostics, name)
        self.told(document)

    def _work(self, document: Document, text: str) -> tuple[Snapshot | None, tuple[Mark, ...], list[types.Diagnostic]]:
        """Screen a text. A fault of ours is told in the document: it must not look as if nothing had been found."""
        try:
            snapshot = None if document.is_yaml else self._snapshot(document, text)
            marks = marks_of(snapshot) if snapshot is not None else self.workspace.marks_of_rules(document.path, text)
            lines, texts = Lines(text), self.texts()
            diagnostics = [texts.diagnostic(mark, lines, self.wants) for mark in marks]
            self._tell_settings(texts)
            if self._settled != self.workspace.made:
                self._settled = self.workspace.made
                self.screening.submit(settle)
            return snapshot, marks, diagnostics
        except Exception as error:
            _log.exception("%s could not be screened", document.uri)
            told = f"could not be screened, through a fault of this program: {type(error).__name__}: {error}"
            mark = Mark(Place(1, 1, 2, 1), "reject", told)
            return None, (mark,), [self.texts().diagnostic(mark, Lines(text), Wants())]

    def _tell_settings(self, texts: Texts) -> None:
        found: dict[str, list[types.Diagnostic]] = {}
        for path, marks in self.workspace.settings_marks().items():
            lines = texts.lines(path) or Lines("")
            found[texts.uri_of(path)] = [texts.diagnostic(mark, lines, self.wants) for mark in marks]
        if self.loop is not None:
            self.loop.call_soon_threadsafe(self.settings, found)

    def _snapshot(self, document: Document, text: str) -> Snapshot:
        self._touched(self._put(document, text))
        return self.workspace.snapshot(document.path, text)

    def _put(self, document: Document, text: str) -> Iterable[Path]:
        touched = self.workspace.put(document.path, text)
        if document.is_closed:  # since this work began
            touched |= self.workspace.drop(document.path)
        return touched

    def _touched(self, paths: Iterable[Path]) -> None:
        """From any thread: what was told of these documents may no longer hold."""
        touched = set(paths)
        if touched and self.loop is not None:
            self.loop.call_soon_threadsafe(self._look_again, touched)

    def _look_again(self, paths: set[Path]) -> None:
        found = [each for each in self.documents.values() if each.path in paths]
        for document in found:
            document.result = None
            if not self.is_pulled:
                self._screen(document, DEBOUNCE)
        if found:
            self.stale()

    async def _on(self, lane: ThreadPoolExecutor, work: Callable[[], _T]) -> _T:
        return await asyncio.get_running_loop().run_in_executor(lane, work)

    # ---- names

    def texts(self) -> Texts:
        """Where the files of an answer are, and their lines."""
        return Texts(self._lines_of, self.uri_of)

    def _lines_of(self, path: Path) -> Lines | None:
        text = self.workspace.text_of(path)
        return Lines(text) if text is not None else None

    def uri_of(self, path: Path) -> str:
        """The name of a file for the client: the one that it uses itself, where it has the file open."""
        where = self.workspace.open_path(path)
        known = next((each.uri for each in list(self.documents.values()) if each.path == where), None)
        return known or from_fs_path(str(path)) or path.as_posix()


def _stop(document: Document) -> None:
    if document.task is not None:
        document.task.cancel()
        document.task = None


def path_of(uri: str) -> Path:
    """Where a document is; for one that is no file, a path of its own that is not absolute."""
    found = to_fs_path(uri)
    if found:
        return Path(found)
    parts = urlsplit(uri)
    return Path(parts.scheme or "document", unquote(parts.path).lstrip("/") or "untitled")
