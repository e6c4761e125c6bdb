"""The workers of a run, as Dask has them: those of this machine, or of a cluster that is there. The only module that
knows Dask.

Dask's protocol runs code that it is sent: whoever reaches a scheduler or a worker can run what they like there. The
cluster that is started here therefore lets in only who holds its certificate, which is made for the run; one that is
there must stand in a network whose machines are all trusted. Documents never go over the protocol, nor do results:
tasks and answers are short texts in JSON, files are read and written by the workers themselves.
"""

from __future__ import annotations

import contextlib
import logging
import signal
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any, Final

import dask
from distributed import Client, KilledWorker, LocalCluster, Security, WorkerPlugin, wait

from rxlint.archive.run import Outcome, StoppedError
from rxlint.archive.task import Done, Task
from rxlint.archive.work import work
from rxlint.library.workers import safe_start

_A_WORKER: Final = 2  # tasks that are out for each worker, so that none waits for the next one
_LOOK: Final = 15.0  # seconds between two looks whether there are workers
_PATIENCE: Final = 20  # looks without any worker, one after another
_START: Final = 30.0  # seconds in which a cluster must be reached


@contextmanager
def local_pool(workers: int) -> Iterator[DaskPool]:
    """So many worker processes on this machine, for as long as the context holds. A lost one is started again."""
    settings = {"distributed.scheduler.allowed-failures": 0}  # a lost worker is told at once; ``run`` decides
    with ExitStack() as stack:
        stack.enter_context(safe_start())  # for as long as workers may be started
        scratch = stack.enter_context(tempfile.TemporaryDirectory(prefix="rxlint-", ignore_cleanup_errors=True))
        stack.enter_context(dask.config.set(settings))
        cluster = stack.enter_context(
            LocalCluster(
                n_workers=workers,
                threads_per_worker=1,
                processes=True,
                dashboard_address=None,
                security=Security.temporary(),
                silence_logs=logging.CRITICAL,
                local_directory=scratch,
            )
        )
        client = stack.enter_context(Client(cluster))
        client.register_plugin(_Deaf())
        yield DaskPool(client)


class _Deaf(WorkerPlugin):  # type: ignore[misc] # its class has no type here
    """Lets the run alone hear an interrupt of the terminal: it ends its workers itself."""

    def setup(self, worker: Any) -> None:  # noqa: ARG002 - so it is called
        """Called by each worker when it starts."""
        with contextlib.suppress(ValueError):  # not in the main thread
            signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def pool_at(address: str) -> Iterator[DaskPool]:
    """The workers of the scheduler at an address. Raises StoppedError where it can't be reached, or has none."""
    try:
        client = Client(address, timeout=_START)
    except (OSError, ValueError, TypeError) as error:
        raise StoppedError(f"the scheduler {address} can't be reached: {error}") from None
    with client:
        try:
            client.wait_for_workers(1, timeout=_START)
        except TimeoutError:
            raise StoppedError(f"the scheduler {address} has no workers") from None
        yield DaskPool(client)


class DaskPool:
    """Tasks at the workers of a Dask client: see ``run.Pool``."""

    def __init__(self, client: Any) -> None:
        self._client = client
        self._out: dict[Any, Task] = {}
        self._most: int = _A_WORKER * max(1, sum(client.nthreads().values()))

    @property
    def room(self) -> int:
        """How many more tasks may be handed out: workers that come later are given theirs too."""
        return self._most - len(self._out)

    def submit(self, task: Task) -> None:
        """Hand a task out."""
        # Pure results would be shared by tasks that look the same; and no answer is worth keeping.
        future = self._client.submit(work, task.to_json(), pure=False, retries=0)
        self._out[future] = task

    def next(self) -> Outcome | None:
        """Wait for the next task that ends. Raises StoppedError where there is no worker for minutes."""
        if not self._out:
            return None
        looks = 0
        while looks < _PATIENCE:
            try:
                ended = wait(list(self._out), timeout=_LOOK, return_when="FIRST_COMPLETED").done
            except TimeoutError:
                looks = 0 if self._workers() else looks + 1
                continue
            # An answer that was lost with its worker before it was fetched is worked out again.
            told = [each for each in ended if each.status not in ("pending", "lost")]
            if told:
                future = min(told, key=lambda each: self._out[each].batch.number)
                return _outcome(self._out.pop(future), future)
        raise StoppedError("there has been no worker for minutes")

    def _workers(self) -> int:
        try:
            found = self._client.nthreads()
        except (OSError, TimeoutError, ValueError) as error:
            raise StoppedError(f"the scheduler can't be reached any more: {error}") from None
        self._most = _A_WORKER * max(1, sum(found.values()))
        return len(found)


def _outcome(task: Task, future: Any) -> Outcome:
    try:
        return Outcome(task, Done.from_json(future.result(timeout=_START)))
    except KilledWorker:
        return Outcome(task, None, "a worker was lost", died=True)
    except Exception as error:  # whatever a worker raises: it is told, and decided upon there
        return Outcome(task, None, f"{type(error).__name__}: {error}".splitlines()[0])
    finally:
        future.release()
