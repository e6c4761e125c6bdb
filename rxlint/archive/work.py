"""What a worker does: one batch, from its documents to its part file, written whole or not at all."""

from __future__ import annotations

import datetime
import hashlib
import threading
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final, Protocol

from rxlint.archive.identity import identity_of
from rxlint.archive.inputs import read_batch
from rxlint.archive.task import Done, Form, Setup, Task, counts_of
from rxlint.exchange.lines import Answer, Given, screen_given
from rxlint.extension.discover import Named, load_named
from rxlint.library.rulings import Ruling, Rulings
from rxlint.library.screen import Screened
from rxlint.reports.lines_json import answer_object, dumped
from rxlint.reports.text import Totals
from rxlint.text import Problem
from rxlint.text.files import WholeFile

_MAKING: Final = threading.Lock()  # a worker may have several threads, and makes its rules once


class OthersError(Exception):
    """The program or the rules here are not those that the run was started with."""


class Writer(Protocol):
    """A part in the making."""

    def add(self, answer: dict[str, object]) -> None:
        """Add the answer to a document."""

    def end(self) -> None:
        """Write what is left."""


def work(task: str) -> str:
    """Do a task, given and answered as JSON text.

    Raises what keeps the batch as a whole from being done: ChangedError, OthersError, OSError. What is wrong with a
    document is told in its own row.
    """
    asked = Task.from_json(task)
    if asked.probe is not None:
        return _probe(asked, asked.probe)
    return write_part(asked, read_batch(asked.batch)).to_json()


def _probe(task: Task, lines: tuple[int, int]) -> str:
    given = (each for each in read_batch(task.batch) if each.line in range(*lines))
    for _ in screen_given(given, _ruling(task.setup), _day(task)):
        pass
    return Done(task.batch.number, 0, "").to_json()


def write_part(task: Task, given: Iterator[Given]) -> Done:
    """Screen the documents of a batch, but those that are skipped, and write its part."""
    setup, totals = task.setup, Totals()
    with WholeFile(Path(setup.output) / task.batch.part(setup.form)) as file:
        sink = _Counting(file)
        writer = _writer(setup.form, sink)
        for answer in _answers(task, given):
            totals.add(answer.screened)
            writer.add(answer_object(answer))
        writer.end()
        file.put()
    return Done(task.batch.number, sink.size, sink.digest.hexdigest(), len(task.skip), counts_of(totals))


def _answers(task: Task, given: Iterator[Given]) -> Iterator[Answer]:
    skipped = frozenset(task.skip)
    ruling = _ruling(task.setup) if len(skipped) < task.batch.count else None
    for each in given:
        if ruling is None or each.line in skipped:
            yield Answer(each.line, each.id, Screened(each.id or "", (Problem(task.why),), None, None))
        else:
            yield from screen_given([each], ruling, _day(task))


def _day(task: Task) -> datetime.date:
    return datetime.date.fromisoformat(task.setup.on)


def _ruling(setup: Setup) -> Ruling:
    with _MAKING:
        return _made(setup)


@cache
def _made(setup: Setup) -> Ruling:
    """The rules of a run, made once at each worker. Raises OthersError, and Faults for a pack that can't be used."""
    python, faults = load_named([Named(each) for each in setup.python])
    if faults or python.failures:
        told = [*faults, *(f"{each.name}: {each.error}" for each in python.failures)]
        raise OthersError("Python rules can't be loaded: " + "; ".join(told))
    rulings = Rulings(
        setup.packs,
        setup.policies,
        nearest=False,
        python=python,
        profiles=setup.profiles,
        folder=Path(setup.folder),
    )
    if identity_of(rulings.base) != setup.identity:
        raise OthersError("this worker has another version of rxlint, or other rules, than the run was started with")
    return Ruling(rulings.base)


class _Counting:
    """Passes bytes on to a file, and keeps their number and digest."""

    def __init__(self, file: WholeFile) -> None:
        self._file = file
        self.size = 0
        self.digest = hashlib.sha256()

    def write(self, data: bytes) -> None:
        self._file.write(data)
        self.digest.update(data)
        self.size += len(data)


class _Lines:
    """A part in JSON lines."""

    def __init__(self, sink: _Counting) -> None:
        self._sink = sink

    def add(self, answer: dict[str, object]) -> None:
        self._sink.write(dumped(answer).encode("ascii") + b"\n")

    def end(self) -> None:
        """Each line is written as it comes."""


def _writer(form: Form, sink: _Counting) -> Writer:
    if form == "jsonl":
        return _Lines(sink)
    from rxlint.archive.parquet import Table

    return Table(sink)
