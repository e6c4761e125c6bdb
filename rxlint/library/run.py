"""One run over many inputs: results of earlier runs where they still hold, all others screened, in the order given.

Rules are loaded when the first document has to be screened, and not at all where there is none.
"""

from __future__ import annotations

import datetime
import hashlib
import os
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from rxlint.library.cache import Cache, Miss
from rxlint.library.discover import Input, read_bytes
from rxlint.library.entry import Common, Entry, Pieces, front_of
from rxlint.library.heads import read_head
from rxlint.library.roots import RunLibraries
from rxlint.library.under import Under, print_of

if TYPE_CHECKING:
    from rxlint.library.recorded import Trace
    from rxlint.library.rulings import Ruling, Rulings
    from rxlint.library.screen import Screened
    from rxlint.library.told import Result, Told
    from rxlint.library.workers import Workers
    from rxlint.screening.ruleset import RuleSet
    from rxlint.text import Problem

Maker = Callable[["Told"], tuple[Pieces, Common]]
"""Makes the pieces of reports, which are no business of a library, and the part that documents share."""


class Made(NamedTuple):
    """A document that was screened, as it is sent and kept, with the ruling that it was screened under;
    ``can_be_kept`` where nothing went wrong on the way.
    """

    entry: Entry
    front: bytes
    can_be_kept: bool
    ruling: Ruling


def _digest(data: bytes | Problem) -> bytes | None:
    return hashlib.sha256(data).digest() if isinstance(data, bytes) else None


class Screener:
    """Screens documents one after another under the rules of their folders."""

    def __init__(self, rules: Rulings, day: datetime.date, make: Maker, libraries: RunLibraries, nearest: bool) -> None:
        self.rules = rules
        self._day = day
        self._make = make
        self._libraries = libraries
        self._nearest = nearest
        self._prints: dict[Path | None, str] = {}

    def print_of(self, ruling: Ruling) -> str:
        """What tells a ruling of this process from that of another that read the same settings."""
        path = ruling.settings.path if ruling.settings is not None else None
        if path not in self._prints:
            self._prints[path] = print_of(ruling)
        return self._prints[path]

    def plainly(self, each: Input, data: bytes | Problem | None) -> Screened:
        """Screen an input; its bytes are read where they were not."""
        from rxlint.library.screen import screen_under

        ruling, path = self._ruling(each)
        shelf = self._libraries.seen(path, ruling.settings, each.searched) if self._nearest else None
        given = data if data is not None else read_bytes(path)
        return screen_under(ruling, each.shown, given, self._day, path, shelf=shelf)

    def made(self, each: Input, data: bytes | Problem | None, digest: bytes | None = None) -> Made:
        """Screen an input to what is kept of it. It can't be kept where its bytes are others than those of the
        ``digest``, if there is one.
        """
        from rxlint.library.recorded import Recorded
        from rxlint.library.screen import screen_under
        from rxlint.library.told import told

        ruling, path = self._ruling(each)
        view = self._libraries.seen(path, ruling.settings, each.searched) if self._nearest else None
        shelf = Recorded(view) if view is not None else None
        given = data if data is not None else read_bytes(path)
        entry = self.entry(told(screen_under(ruling, each.shown, given, self._day, path, shelf=shelf)))
        trace: Trace = shelf.trace if shelf is not None else []
        is_other = data is None and digest is not None and _digest(given) != digest
        can_be_kept = not is_other and (shelf is None or shelf.can_be_kept)
        return Made(entry, front_of(entry.pieces, trace), can_be_kept, ruling)

    def entry(self, whole: Told) -> Entry:
        """A document as it is sent and kept."""
        from rxlint.library.entry import used
        from rxlint.library.told import packed, write_told

        pieces, common = self._make(whole)
        policies = tuple(map(used, whole.policies))
        return Entry(whole.shown, pieces, common, packed(write_told(whole)), policies, whole.settings, whole)

    def _ruling(self, each: Input) -> tuple[Ruling, Path]:
        assert each.path is not None
        return self.rules.of_folder(each.path.parent), each.path


class Run:
    """A run on a day. ``load`` gives its rules, which look for settings where ``nearest`` says so; ``cache`` is what
    is kept, None where nothing is to be; ``workers`` screen what has to be, None where this process is to do it.
    """

    def __init__(
        self,
        load: Callable[[], Rulings],
        day: datetime.date,
        make: Maker,
        *,
        nearest: bool = True,
        cache: Cache | None = None,
        workers: Workers | None = None,
    ) -> None:
        self._load = load
        self.day = day
        self.make = make
        self.nearest = nearest
        self.cache = cache
        self._workers = workers
        self._screener: Screener | None = None
        self._folders: dict[str, Path] = {}  # of the documents so far, in the order in which they came

    @property
    def screener(self) -> Screener:
        """Who screens in this process. Its rules are loaded now at the latest, and have met every folder so far."""
        if self._screener is None:
            rules = self._load()
            libraries = self.cache.libraries if self.cache is not None else RunLibraries(read_head)
            self._screener = Screener(rules, self.day, self.make, libraries, self.nearest)
            for folder in self._folders.values():
                rules.of_folder(folder)
        return self._screener

    def prepare(self, *, has_files: bool, now: bool) -> None:
        """Raise Faults, before anything is screened, where the command line names a file (``has_files``: that it names
        some) that can't be used. ``now``: the reports will ask for the rules anyway.
        """
        if self.cache is None or now:
            _ = self.screener
        elif has_files and self.cache.common() is None:
            self.cache.learn_common(self.rules.base)

    @property
    def rules(self) -> Rulings:
        """The rules of the run."""
        return self.screener.rules

    @property
    def is_loaded(self) -> bool:
        """Whether its rules are loaded."""
        return self._screener is not None

    def used(self) -> list[RuleSet]:
        """Every set of rules that documents were screened under so far, as ``Rulings.used``."""
        return self.rules.used()

    def unders(self) -> list[Under] | None:
        """The same as they are kept; None where one of them is not."""
        if self.cache is None:
            return None
        found = [self.cache.under(each) for each in self._folders.values()] or [self.cache.under(Path())]
        known = [each for each in found if each is not None]
        return known if len(known) == len(found) else None

    def of_settings_file(self, path: Path | None) -> RuleSet:
        """The rules under a settings file, as ``Rulings.of_settings_file``."""
        return self.rules.of_settings_file(path)

    def close(self) -> None:
        """Write what is to be kept."""
        if self.cache is not None:
            self.cache.close()

    def results(self, inputs: Iterable[Input | None], stream: Callable[[], Screened]) -> Iterator[Result | Entry]:
        """What becomes of every input, in their order; for None, what ``stream`` gives."""
        if self._workers is not None:
            yield from self._workers.results(self, inputs, stream)
            return
        for each in inputs:
            if each is None:
                yield stream()
                continue
            found = self.find(each)
            yield self.screen(each, found) if isinstance(found, Miss) else found

    def find(self, each: Input) -> Entry | Screened | Miss:
        """What is known of an input without screening it: a kept result, a problem; or that it has to be screened."""
        if each.problem is not None or each.path is None:
            from rxlint.library.screen import unread

            return unread(each)
        key = os.path.dirname(each.path)
        if key not in self._folders:
            folder = self._folders[key] = each.path.parent
            if self._screener is not None:
                self.rules.of_folder(folder)
            if self.cache is not None and self.cache.under(folder) is None:
                self.cache.learn(folder, self.rules.of_folder(folder))
        return self.cache.find(each) if self.cache is not None else Miss(None)

    def screen(self, each: Input, miss: Miss) -> Result | Entry:
        """Screen an input in this process, and keep the result."""
        if self.cache is None or miss.key is None:
            return self.screener.plainly(each, miss.data)
        made = self.screener.made(each, miss.data, miss.digest)
        if made.can_be_kept and self.cache.may_keep(made.ruling):
            self.cache.keep(miss.key, made.entry, made.front)
        return made.entry
