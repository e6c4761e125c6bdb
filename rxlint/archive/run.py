"""A run over an archive: batches handed out, few at a time, until each has its part; whatever becomes of the workers.

A batch that a worker is lost over, or that fails, is handed out again. One that fails again is put aside until all
others are done, and then goes alone, so that a worker that is lost tells of this batch and of no other. It is halved
until the document is found that no worker survives; that document has a problem in its place, and the rest its results.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Protocol

from rxlint.archive.task import Batch, Done, Setup, Task
from rxlint.archive.work import write_part
from rxlint.exchange.lines import Given
from rxlint.text import Problem

TRIES: Final = 2
"""So often is a batch, a half or a document tried before it counts as one that fails."""
_HOPELESS: Final = 3  # batches that fail, and none done: something is wrong with the workers, not with the batches
FATAL: Final = "could not be screened: no worker survived it"
FAILED: Final = "could not be screened: its batch failed again and again"


class StoppedError(Exception):
    """The run can't go on; what is done is kept. The message says why."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a task: the part, or how it failed. ``died`` says that a worker was lost over it."""

    task: Task
    done: Done | None
    error: str = ""
    died: bool = False


class Pool(Protocol):
    """Workers. Raises StoppedError where there are none any more."""

    @property
    def room(self) -> int:
        """How many more tasks may be handed out now."""

    def submit(self, task: Task) -> None:
        """Hand a task out."""

    def next(self) -> Outcome | None:
        """Wait for the next task that ends; None where none is out."""


Tell = Callable[[str], None]
"""Takes a line for whoever started the run."""


class Run:
    """One run. ``tell`` is given what goes wrong on the way."""

    def __init__(self, pool: Pool, setup: Setup, tell: Tell) -> None:
        self._pool = pool
        self._setup = setup
        self._tell = tell
        self._aside: list[tuple[Batch, bool]] = []  # and whether it was a worker that was lost
        self._done = 0

    def over(self, batches: Iterable[Batch]) -> Iterator[Done]:
        """The parts as they are done. Raises StoppedError."""
        failures: dict[int, int] = {}
        again: deque[Task] = deque()
        tasks = (Task(self._setup, each) for each in batches)
        while True:
            self._hand_out(again, tasks)
            outcome = self._pool.next()
            if outcome is None:
                break
            number = outcome.task.batch.number
            if outcome.done is not None:
                self._done += 1
                yield outcome.done
                continue
            failures[number] = failures.get(number, 0) + 1
            self._tell(f"batch {number}: {outcome.error}")
            if failures[number] < TRIES:
                again.append(outcome.task)
            else:
                self._put_aside(outcome)
        for batch, died in sorted(self._aside, key=lambda each: each[0].number):
            yield self._alone(batch, died)

    def _hand_out(self, again: deque[Task], tasks: Iterator[Task]) -> None:
        while self._pool.room > 0:
            task = again.popleft() if again else next(tasks, None)
            if task is None:
                return
            self._pool.submit(task)

    def _put_aside(self, outcome: Outcome) -> None:
        self._aside.append((outcome.task.batch, outcome.died))
        if not self._done and not outcome.died and len(self._aside) >= _HOPELESS:
            raise StoppedError(f"no batch could be done: {outcome.error}")

    # ---- one batch with nothing beside it
    def _alone(self, batch: Batch, died: bool) -> Done:
        """The part of a batch that failed; where nothing helps, one that says so of each of its documents."""
        whole = self._try(Task(self._setup, batch))
        if whole.done is not None:
            return whole.done
        if whole.died or died:
            fatal = self._fatal(batch, batch.first, batch.first + batch.count)
            told = ", ".join(f"{each:,}" for each in fatal)
            self._tell(f"batch {batch.number}: no worker survives {f'line {told}' if fatal else 'the whole of it'}")
            without = self._try(Task(self._setup, batch, fatal, FATAL if fatal else ""))  # without any, it was chance
            if without.done is not None:
                return without.done
        every = Task(self._setup, batch, tuple(batch.lines), f"{FAILED}: {whole.error}")
        told_each = self._try(every)
        return told_each.done if told_each.done is not None else self._unread(every)

    def _fatal(self, batch: Batch, first: int, end: int) -> tuple[int, ...]:
        """The lines from ``first`` on that no worker survives, of lines that none has survived together."""
        if end - first == 1:
            return (first,)
        middle = (first + end) // 2
        found: tuple[int, ...] = ()
        for half in ((first, middle), (middle, end)):
            if self._try(Task(self._setup, batch, probe=half)).died:
                found += self._fatal(batch, *half)
        return found

    def _try(self, task: Task) -> Outcome:
        """How a task ends that goes alone: well at once or at last, or as the last time."""
        for left in reversed(range(TRIES)):
            self._pool.submit(task)
            outcome = self._pool.next()
            if outcome is not None and (outcome.done is not None or not left):
                return outcome
        raise StoppedError("the workers have lost a task")

    def _unread(self, task: Task) -> Done:
        """The part of a batch that can't even be read: it is written here, without reading it. Raises StoppedError."""
        nothing = (Given(line, None, Problem(task.why)) for line in task.batch.lines)
        try:
            return write_part(task, nothing)
        except OSError as error:
            name = Path(self._setup.output) / task.batch.part(self._setup.form)
            raise StoppedError(f"{name} can't be written: {error.strerror or error}") from None
