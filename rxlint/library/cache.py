"""Results of earlier runs, found again by everything that they depend on, and kept for later ones.

A result depends on the bytes of its document, the day, the program with its grammar and packs, the files that settings
and the command line name, and what the screening asked of the library around the document. Of all that, only the
questions to the library can't be in its key: they are asked again. Nothing here loads the rules or the reader.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from rxlint.library.discover import read_bytes
from rxlint.library.entry import Common, Entry, read_front
from rxlint.library.heads import FIRST, head_in, plain_head, read_start
from rxlint.library.places import find_settings, relative, shown_path
from rxlint.library.recorded import holds
from rxlint.library.roots import Folder, RunLibraries
from rxlint.library.under import Asked, Under, read_under, written
from rxlint.screening.head import Head
from rxlint.store.kept import key_of
from rxlint.store.program import program_key
from rxlint.store.results import Results
from rxlint.text import Problem

if TYPE_CHECKING:
    from rxlint.library.discover import Input
    from rxlint.library.index import View
    from rxlint.library.rulings import Ruling
    from rxlint.library.settings import Settings
    from rxlint.screening.ruleset import RuleSet

_FAULTS: Final = (ValueError, TypeError, LookupError)  # of what is kept and is not what it should be
_MOST_COMMONS: Final = 64


class Miss:
    """A document that has to be screened: its bytes, or why they can't be read; None where it was not read yet.

    ``key`` is what its result is to be kept under, and ``digest`` that of its bytes; None where it is not to be kept.
    """

    __slots__ = ("data", "digest", "key")

    def __init__(self, data: bytes | Problem | None, key: bytes | None = None, digest: bytes | None = None) -> None:
        self.data = data
        self.key = key
        self.digest = digest


class _Place(NamedTuple):
    """What the documents of a folder have in common; ``start`` is what the keys of their results begin with."""

    under: Under | None
    folder: Folder | None
    start: bytes


class Cache:
    """What is kept of earlier runs, as one run asks for it. ``begun`` is when that began, ns; ``program`` its state."""

    def __init__(self, results: Results, program: str, asked: Asked, begun: int, *, wants_whole: bool = False) -> None:
        self._results = results
        self._program = program
        self._asked = asked
        self._begun = begun
        self._wants_whole = wants_whole  # whether a result is of no use without its body
        self._digests: dict[str, bytes] = {}  # of files that were read as a whole for their heads
        self._commons: dict[int, Common | None] = {}
        self._unders: dict[Path, Under | None] = {}
        self._by_settings: dict[Path | None, Under | None] = {}
        self._learned: set[Path | None] = set()
        self._texts: dict[Path | None, bytes] = {}  # rulings as they are kept
        self._sure: dict[Path | None, bool] = {}
        self._places: dict[tuple[str, Path | None], _Place] = {}
        self.libraries = RunLibraries(self._head)

    # ---- rulings

    def under(self, folder: Path) -> Under | None:
        """What holds for the documents of a folder, where that is known from an earlier run."""
        if folder not in self._unders:
            path = find_settings(folder) if self._asked.nearest else None
            if path not in self._by_settings:
                self._by_settings[path] = self._read_under(path)
            self._unders[folder] = self._by_settings[path]
        return self._unders[folder]

    def learn(self, folder: Path, ruling: Ruling) -> None:
        """Keep what holds for the documents of a folder."""
        path = find_settings(folder) if self._asked.nearest else None
        if path not in self._learned:
            self._learn(path, ruling.rules, ruling.settings)
        self._unders[folder] = self._by_settings.get(path)

    def common(self) -> Under | None:
        """What holds where there are no settings."""
        if None not in self._by_settings:
            self._by_settings[None] = self._read_under(None)
        return self._by_settings[None]

    def learn_common(self, rules: RuleSet) -> None:
        """Keep what holds where there are no settings."""
        self._learn(None, rules, None)

    def _learn(self, path: Path | None, rules: RuleSet | None, settings: Settings | None) -> None:
        self._learned.add(path)
        text = written(rules, settings, self._asked, self._begun) if rules is not None else None
        if text is not None:
            self._results.keep_note(self._ruling_key(path), text)
            self._by_settings[path] = self._parsed(text)
            self._texts[path] = text

    def may_keep(self, ruling: Ruling) -> bool:
        """Whether results under a ruling that was loaded now belong to what the files were when they were looked at:
        they, or the program, may have been changed meanwhile.
        """
        path = ruling.settings.path if ruling.settings is not None else None
        if path not in self._sure:
            same = ruling.rules is not None and program_key() == self._program
            text = written(ruling.rules, ruling.settings, self._asked, self._begun) if same and ruling.rules else None
            self._sure[path] = text is not None and text == self._texts.get(path)
        return self._sure[path]

    def _read_under(self, path: Path | None) -> Under | None:
        text = self._results.note(self._ruling_key(path))
        if text is None:
            return None
        self._texts[path] = text
        return self._parsed(text)

    def _parsed(self, text: bytes) -> Under | None:
        try:
            return read_under(text)
        except _FAULTS:
            return None

    def _ruling_key(self, path: Path | None) -> bytes:
        asked = self._asked
        told = json.dumps([asked.packs, asked.policies, asked.profiles, asked.known, asked.nearest])
        shown = f"{path}\n{shown_path(path)}" if path is not None else ""
        return bytes.fromhex(key_of("ruling", self._program, told, shown))

    # ---- documents

    def find(self, each: Input) -> Entry | Miss:
        """The result of a document, or what is needed to screen it."""
        path = each.path
        assert path is not None
        text = os.fspath(path)
        key = os.path.dirname(text), each.searched
        place = self._places.get(key)
        if place is None:
            place = self._places[key] = self._place(path, each.searched)
        under = place.under
        if under is None:
            return Miss(read_bytes(path))
        view = place.folder.seen(text, self._digests) if place.folder is not None else None
        known = self._digests.get(f"{view.root}/{view.own}") if view is not None and self._digests else None
        if known is not None:
            found = self._found(each, under, self._key(place, known, path), view)
            if found is not None:
                return found
        data = read_bytes(path)
        if isinstance(data, Problem):
            return Miss(data)
        digest = hashlib.sha256(data).digest()
        result = self._key(place, digest, path)
        if digest != known:
            found = self._found(each, under, result, view)
            if found is not None:
                return found
        return Miss(data, result, digest)

    def _place(self, path: Path, searched: Path | None) -> _Place:
        under = self.under(path.parent)
        if under is None:
            return _Place(None, None, b"")
        nearest = self._asked.nearest
        folder = self.libraries.folder(path, under.settings, searched) if nearest else None
        start = key_of("result", self._program, self._asked.day, under.key, str(nearest))
        return _Place(under, folder, bytes.fromhex(start))

    @staticmethod
    def _key(place: _Place, digest: bytes, path: Path) -> bytes:
        marked = b""
        if place.under is not None and place.under.known is not None:
            marks, folder = place.under.known
            marked = f"{marks} {relative(path, folder)}".encode("utf-8", "surrogatepass")
        return hashlib.sha256(place.start + digest + marked).digest()

    def _found(self, each: Input, under: Under, key: bytes, view: View | None) -> Entry | None:
        found = self._results.read(key)
        if found is None:
            return None
        try:
            pieces, trace = read_front(found[0])
            if trace and (view is None or not holds(trace, view)):
                return None
        except _FAULTS:
            return None
        common = self._common(found[1])
        if common is None:
            return None
        settings = under.settings.path if under.settings is not None else None
        entry = Entry(each.shown, pieces, common, b"", under.policies, settings)
        return entry if not self._wants_whole or self._whole(entry, key) else None

    def _whole(self, entry: Entry, key: bytes) -> bool:
        """Whether the body is there too. It is read at once: later it might be there no more."""
        from rxlint.library.told import whole

        body = self._results.read_body(key)
        if body is None:
            return False
        entry.body = body
        try:
            whole(entry)
        except _FAULTS:
            return False
        return True

    def _common(self, number: int) -> Common | None:
        if number not in self._commons:
            if len(self._commons) >= _MOST_COMMONS:
                del self._commons[next(iter(self._commons))]
            found = self._results.read_common(number)
            self._commons[number] = Common(*(each.decode("ascii") for each in found)) if found is not None else None
        return self._commons[number]

    def keep(self, key: bytes, entry: Entry, front: bytes) -> None:
        """Keep a result, unless something went wrong with it that may go right the next time."""
        counts = entry.pieces.counts
        if not (counts.unread or counts.misconfigured or counts.crashes):
            common = (entry.common.json.encode("ascii"), entry.common.body.encode("ascii"))
            self._results.keep(key, front, entry.body, common)

    def close(self) -> None:
        """Write what is to be kept, and let go of the file until it is asked again."""
        self._results.close()

    # ---- heads

    def _head(self, path: str, shown: str) -> Head | Problem:
        """The head of a document of a library; of a small one, its bytes are known from then on."""
        data = read_start(path)
        if isinstance(data, Problem):
            return data
        digest = hashlib.sha256(data).digest()
        if len(data) < FIRST:
            self._digests[path] = digest
        plain = plain_head(data, shown)
        return plain if plain is not None else self._odd_head(data, digest, shown)

    def _odd_head(self, data: bytes, digest: bytes, shown: str) -> Head | Problem:
        """A head that only the reader of documents can tell, which need not be loaded for one that is known."""
        key = hashlib.sha256(f"head {self._program}".encode() + digest).digest()
        kept = self._results.note(key)
        if kept is not None:
            try:
                return _head_of(json.loads(kept), shown)
            except _FAULTS:
                pass
        found = head_in(data, shown)
        if isinstance(found, Head):
            told: list[Any] = [found.kind, found.id, found.revision, found.status, found.follows]
        else:
            told = [found.message, found.line, found.column]
        self._results.keep_note(key, json.dumps([isinstance(found, Head), told]).encode("ascii"))
        return found

    # ---- tables

    def tables(self, unders: Iterable[Under], policies: Iterable[Any]) -> str | None:
        """The tables at the end of a report in JSON, for a run under these rules and policies."""
        found = self._results.note(self._tables_key(unders, policies))
        return found.decode("ascii") if found is not None else None

    def keep_tables(self, unders: Iterable[Under], policies: Iterable[Any], text: str) -> None:
        """Keep such tables."""
        self._results.keep_note(self._tables_key(unders, policies), text.encode("ascii"))

    def _tables_key(self, unders: Iterable[Under], policies: Iterable[Any]) -> bytes:
        keys = list(dict.fromkeys(each.key for each in unders))
        return bytes.fromhex(key_of("tables", self._program, json.dumps([keys, list(policies)])))


def _head_of(kept: Any, shown: str) -> Head | Problem:
    is_head, told = kept
    if not is_head:
        return Problem(*told)
    kind, identifier, revision, status, follows = told
    return Head(shown, kind, identifier, revision, status, tuple(follows) if follows is not None else None)
