"""Several processes that screen for one run. Results come in the order of the inputs, whoever was first.

Nothing is lost: what a process had before it when it ended is screened by another, and a document at which two of them
ended is told as one that could not be screened. What goes between processes is JSON and text, and nothing that runs.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import multiprocessing
import os
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import count
from multiprocessing.connection import Connection, wait
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, TypeVar

from rxlint.library.cache import Miss
from rxlint.library.discover import Input
from rxlint.library.entry import Common, Entry, read_front, used
from rxlint.library.heads import read_head
from rxlint.library.roots import RunLibraries
from rxlint.library.run import Maker, Run, Screener
from rxlint.library.under import Asked
from rxlint.text import Problem

if TYPE_CHECKING:
    from rxlint.library.rulings import Ruling, Rulings
    from rxlint.library.screen import Screened
    from rxlint.library.told import Result

FEWEST: Final = 24
"""So many documents must have to be screened before other processes are worth their start."""
_AHEAD: Final = 4  # documents that wait in one process while it screens another
_BYTES: Final = 6_000  # of messages to one process: what the pipe of every system takes, so that nobody waits for it
_WINDOW: Final = 64  # inputs a process between the first that is not told yet and the last that was looked at
_LOOK: Final = 16  # inputs that are looked at before somebody looks who has answered
_COMMONS: Final = 32  # parts that documents share, remembered on both sides; the first of them goes first
_MOST_DEATHS: Final = 2  # at one document
_MOST_FALSE_STARTS: Final = 3
_SAFE: Final = "PYTHONSAFEPATH"
_K = TypeVar("_K")
_V = TypeVar("_V")
_ENDED: Final = "could not be screened: the process that screened it ended, and so did the next one that was to"


@dataclass(eq=False, slots=True)
class _Slot:
    """The place of an input in the order of results; ``miss`` as long as it has to be screened."""

    given: Input | None
    result: Result | Entry | None = None
    miss: Miss | None = None
    deaths: int = 0


@dataclass(eq=False, slots=True)
class _Worker:
    """Another process, with what it was given and has not answered yet, in that order."""

    process: Any
    pipe: Connection
    slots: deque[tuple[_Slot, int]] = field(default_factory=deque)
    commons: dict[int, Common] = field(default_factory=dict)
    is_ready: bool = False


class Workers:
    """So many processes at most, started when they are worth it."""

    def __init__(self, most: int, asked: Asked, start: str | None = None, fewest: int = FEWEST) -> None:
        self._count = most
        self._asked = asked
        self._fewest = fewest
        self._start = start if start is not None else _way_to_start()
        self._context: Any = multiprocessing.get_context(self._start)
        self._workers: list[_Worker] = []
        self._waiting: deque[_Slot] = deque()
        self._false_starts = 0

    @property
    def is_fork(self) -> bool:
        """Whether the others begin as copies of this process, with all that is loaded."""
        return self._start == "fork"

    def results(
        self, run: Run, inputs: Iterable[Input | None], stream: Callable[[], Screened]
    ) -> Iterator[Result | Entry]:
        """The results of a run; see ``Run.results``."""
        slots: deque[_Slot] = deque()
        try:
            for each in inputs:
                slots.append(self._slot(run, each, stream))
                if len(slots) % _LOOK == 0 and (self._workers or len(self._waiting) >= self._fewest):
                    self._give(run)
                    self._take(run, 0)
                while slots and (slots[0].result is not None or len(slots) >= _WINDOW * self._count):
                    yield self._first(run, slots)
            while slots:
                yield self._first(run, slots)
        finally:
            self._stop()

    def _slot(self, run: Run, each: Input | None, stream: Callable[[], Screened]) -> _Slot:
        if each is None:
            return _Slot(each, stream())
        found = run.find(each)
        if not isinstance(found, Miss):
            return _Slot(each, found)
        if isinstance(found.data, Problem) or self._ruling(run, each).rules is None:
            return _Slot(each, run.screen(each, found))
        found.data = None  # read again where it is screened: many large ones would wait here
        slot = _Slot(each, miss=found)
        self._waiting.append(slot)
        return slot

    def _ruling(self, run: Run, each: Input) -> Ruling:
        assert each.path is not None
        return run.rules.of_folder(each.path.parent)

    def _first(self, run: Run, slots: deque[_Slot]) -> Result | Entry:
        """The first result, once it is there."""
        slot = slots[0]
        while slot.result is None:
            if not self._workers and slot.deaths and not self._can_start:
                self._waiting.remove(slot)
                self._give_up(slot)
            elif not self._workers and not slot.deaths and (len(self._waiting) < self._fewest or not self._can_start):
                self._here(run, slot)
            else:
                self._give(run)
                self._take(run, None)
        slots.popleft()
        return slot.result

    def _here(self, run: Run, slot: _Slot) -> None:
        """Screen a document in this process."""
        assert slot.given is not None
        assert slot.miss is not None
        self._waiting.remove(slot)
        slot.result = run.screen(slot.given, slot.miss)

    # ---- giving and taking

    @property
    def _can_start(self) -> bool:
        return self._false_starts < _MOST_FALSE_STARTS

    def _give(self, run: Run) -> None:
        """Give what waits to whoever has the least to do."""
        while self._waiting:
            if len(self._workers) < min(self._count, len(self._waiting) + len(self._workers)) and self._can_start:
                self._start_one(run)
            free = [each for each in self._workers if len(each.slots) <= _AHEAD]
            if not free:
                return
            worker = min(free, key=lambda each: len(each.slots))
            slot = self._waiting[0]
            message = self._message(slot)
            if worker.slots and sum(size for _, size in worker.slots) + len(message) > _BYTES:
                return
            self._waiting.popleft()
            worker.slots.append((slot, len(message)))
            try:
                worker.pipe.send_bytes(message)
            except OSError:
                self._died(worker)

    def _message(self, slot: _Slot) -> bytes:
        given, miss = slot.given, slot.miss
        assert given is not None
        assert miss is not None
        digest = miss.digest.hex() if miss.digest is not None else None
        searched = os.fspath(given.searched) if given.searched is not None else None
        return json.dumps([given.shown, os.fspath(given.path or ""), searched, digest]).encode("ascii")

    def _take(self, run: Run, timeout: float | None) -> None:
        """Take the answers that are there; wait for one where there is no time limit."""
        pipes = {each.pipe: each for each in self._workers}
        for pipe in wait(list(pipes), timeout) if pipes else ():
            worker = pipes[pipe]  # type: ignore[index]
            try:
                answer = worker.pipe.recv_bytes()
            except (EOFError, OSError):
                self._died(worker)
                continue
            if not worker.is_ready:
                worker.is_ready = True
                self._false_starts = 0
                continue
            slot, _ = worker.slots.popleft()
            self._told(run, slot, worker, answer)

    def _told(self, run: Run, slot: _Slot, worker: _Worker, answer: bytes) -> None:
        given, miss = slot.given, slot.miss
        assert given is not None
        assert miss is not None
        told, front, body, *common = _parts(answer)
        number, can_be_kept, ruled = json.loads(told)
        if common:
            _remember(worker.commons, number, Common(*(each.decode("ascii") for each in common)))
        ruling = self._ruling(run, given)
        policies = tuple(map(used, ruling.rules.policies)) if ruling.rules is not None else ()
        settings = ruling.settings.path if ruling.settings is not None else None
        pieces, _ = read_front(front)
        entry = Entry(given.shown, pieces, worker.commons[number], body, policies, settings)
        slot.result = entry
        if miss.key is None or run.cache is None or not can_be_kept:
            return
        if ruled == run.screener.print_of(ruling) and run.cache.may_keep(ruling):
            run.cache.keep(miss.key, entry, front)

    # ---- processes

    def _start_one(self, run: Run) -> None:
        rules = run.rules  # loaded here too, for the tables of the report; a fork has them with it
        if run.cache is not None:
            run.cache.close()  # an open database must not go into another process
        ours, theirs = self._context.Pipe()
        others = [ours, *(each.pipe for each in self._workers)] if self.is_fork else []
        given = (theirs, others, rules if self.is_fork else None, self._asked, run.day, run.make)
        process = self._context.Process(target=_work, args=given, daemon=True)
        try:
            with safe_start():
                process.start()
        except OSError:  # no memory, or no more processes: then with those that there are, or here
            self._false_starts = _MOST_FALSE_STARTS
            ours.close()
            return
        finally:
            theirs.close()
        self._workers.append(_Worker(process, ours))

    def _died(self, worker: _Worker) -> None:
        """Give what a process had before it to others. What it was at may have been what ended it."""
        self._workers.remove(worker)
        self._let_go(worker)
        self._false_starts += not worker.is_ready
        for number, (slot, _) in reversed(list(enumerate(worker.slots))):
            if number == 0 and worker.is_ready:
                slot.deaths += 1
                if slot.deaths >= _MOST_DEATHS:
                    self._give_up(slot)
                    continue
            self._waiting.appendleft(slot)

    def _give_up(self, slot: _Slot) -> None:
        from rxlint.library.screen import Screened

        assert slot.given is not None
        slot.result = Screened(slot.given.shown, (Problem(_ENDED),), None, None)

    def _stop(self) -> None:
        for each in self._workers:
            self._let_go(each)
        self._workers.clear()
        self._waiting.clear()

    def _let_go(self, worker: _Worker) -> None:
        with contextlib.suppress(OSError):
            worker.pipe.close()
        worker.process.terminate()
        worker.process.join()


@contextlib.contextmanager
def safe_start() -> Iterator[None]:
    """A context in which a process that begins anew loads no module from the current folder, which may be the folder
    that is screened: Python would look for its own modules there first.
    """
    before = os.environ.get(_SAFE)
    os.environ[_SAFE] = "1"
    try:
        yield
    finally:
        if before is None:
            del os.environ[_SAFE]
        else:
            os.environ[_SAFE] = before


def processors() -> int:
    """How many processes the machine lets this one run at the same time."""
    if hasattr(os, "sched_getaffinity"):
        return max(len(os.sched_getaffinity(0)), 1)
    return max(os.cpu_count() or 1, 1)


def _way_to_start() -> str:
    """A fork has the rules with it. It is for Linux alone, and for a process without other threads, which might hold
    what the fork then waits for in vain.
    """
    is_safe = sys.platform == "linux" and threading.active_count() == 1
    return "fork" if is_safe else "spawn"


# ---- in the other process


def _work(
    pipe: Connection, others: Sequence[Connection], rules: Rulings | None, asked: Asked, day: datetime.date, make: Maker
) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the run itself stops the others
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # with this; a fork has what the run does about it
    for each in others:  # of the run, which would seem to live as long as they are open
        each.close()
    if rules is None:
        from rxlint.library.rulings import Rulings

        rules = Rulings(asked.packs, asked.policies, nearest=asked.nearest, known=asked.known, profiles=asked.profiles)
    answers = _Answers(Screener(rules, day, make, RunLibraries(read_head), asked.nearest))
    with contextlib.suppress(EOFError, OSError):  # the run is over
        pipe.send_bytes(b"ready")
        while True:
            pipe.send_bytes(answers.answer(pipe.recv_bytes()))


class _Answers:
    """Answers what a run asks of this process."""

    def __init__(self, screener: Screener) -> None:
        self._screener = screener
        self._sent: dict[Common, int] = {}
        self._numbers = count()

    def answer(self, message: bytes) -> bytes:
        """The document that a message names, screened. What many share is sent once, and then told by its number."""
        shown, path, searched, digest = json.loads(message)
        given = Input(shown, Path(path), searched=Path(searched) if searched is not None else None)
        made = self._screener.made(given, None, bytes.fromhex(digest) if digest is not None else None)
        common = made.entry.common
        further: list[bytes] = []
        if common not in self._sent:
            _remember(self._sent, common, next(self._numbers))
            further = [common.json.encode("ascii"), common.body.encode("ascii")]
        told = [self._sent[common], made.can_be_kept, self._screener.print_of(made.ruling)]
        return _joined([json.dumps(told).encode("ascii"), made.front, made.entry.body, *further])


def _remember(known: dict[_K, _V], key: _K, value: _V) -> None:
    """Both sides forget the same one, for both learn of them in the same order."""
    if len(known) >= _COMMONS:
        del known[next(iter(known))]
    known[key] = value


def _joined(parts: Sequence[bytes]) -> bytes:
    return b"".join(piece for each in parts for piece in (len(each).to_bytes(8, "big"), each))


def _parts(data: bytes) -> list[bytes]:
    found: list[bytes] = []
    at = 0
    while at < len(data):
        size = int.from_bytes(data[at : at + 8], "big")
        found.append(data[at + 8 : at + 8 + size])
        at += 8 + size
    return found
