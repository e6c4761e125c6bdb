"""Every mutant tried in a forked process of its own, against the tests that run its function."""

from __future__ import annotations

import gc
import os
import resource
import signal
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from multiprocessing.connection import Connection, Pipe, wait
from typing import Any, Final, Literal

from tests.mutation.covering import Test, passes
from tests.mutation.source import Mutant
from tests.mutation.swap import Live, OutOfReach, install

Outcome = Literal["killed", "hung", "survived", "not run", "out of reach"]

_MEMORY: Final = 3_000_000_000
_PATIENCE: Final = 5.0  # seconds of the processor that any test may take, beyond ten times what it usually does


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of a mutant; the test that noticed it first."""

    outcome: Outcome
    test: str = ""


@dataclass(frozen=True, slots=True)
class _Running:
    mutant: Mutant
    process: int
    pipe: Connection
    tests: tuple[Test, ...]


class Trial:
    """Tries mutants with some tests; remembers which tests killed others of the same function, and asks those first."""

    def __init__(self, tests: Sequence[Test], live: Live, workers: int) -> None:
        self._live, self._workers = live, workers
        self._tests: dict[tuple[str, str], list[Test]] = {}
        for test in tests:
            for function in test.functions:
                self._tests.setdefault(function, []).append(test)

    def all(self, mutants: Sequence[Mutant], tell: Callable[[str], None]) -> dict[str, Verdict]:
        """A verdict for each mutant, by its name."""
        gc.collect()
        gc.freeze()  # the children share what is loaded, and do not look through it
        found = {}
        for name, verdict in self._each(iter(mutants)):
            found[name] = verdict
            if len(found) % 50 == 0 or len(found) == len(mutants):
                tell(f"{len(found)} of {len(mutants)}")
        return found

    def _each(self, waiting: Iterator[Mutant]) -> Iterator[tuple[str, Verdict]]:
        running: dict[Connection, _Running] = {}
        left = True
        while left or running:
            while left and len(running) < self._workers:
                mutant = next(waiting, None)
                if mutant is None:
                    left = False
                elif tests := self._tests.get((mutant.file, mutant.function)):
                    child = _start(mutant, tuple(tests), self._live)
                    running[child.pipe] = child
                else:
                    yield mutant.name, Verdict("not run")
            ready = wait(list(running)) if running else ()  # with nothing to wait for it would wait for ever
            for child in [running.pop(pipe) for pipe in list(running) if pipe in ready]:
                yield child.mutant.name, self._end(child)

    def _end(self, child: _Running) -> Verdict:
        at: int | None = None
        with suppress(EOFError):
            at = child.pipe.recv()
        child.pipe.close()
        _, status = os.waitpid(child.process, 0)
        if at is None:  # it died of its own change
            hung = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGPROF
            return Verdict("hung" if hung else "killed", "a test that did not come to its end")
        if at < 0:
            return Verdict("survived" if at == _SURVIVED else "out of reach")
        test = child.tests[at]
        order = self._tests[child.mutant.file, child.mutant.function]
        order.remove(test)
        order.insert(0, test)
        return Verdict("killed", test.item.nodeid)


_SURVIVED: Final = -1
_OUT_OF_REACH: Final = -2


def _start(mutant: Mutant, tests: tuple[Test, ...], live: Live) -> _Running:
    ours, theirs = Pipe(duplex=False)
    process = os.fork()
    if process == 0:
        ours.close()
        try:
            theirs.send(_noticed(mutant, tests, live))
        finally:
            os._exit(0)
    theirs.close()
    return _Running(mutant, process, ours, tests)


def _noticed(mutant: Mutant, tests: tuple[Test, ...], live: Live) -> int:
    """The place of the first test that fails; in the child."""
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    try:
        install(mutant, live)
    except OutOfReach:
        return _OUT_OF_REACH
    for place, test in enumerate(tests):
        # Nothing catches this signal, so that it ends whatever hangs. It counts the processor's time, not the clock's.
        signal.setitimer(signal.ITIMER_PROF, _PATIENCE + 10 * test.seconds)
        if not passes(test.item):
            return place
    return _SURVIVED


def steady(tests: Sequence[Test]) -> list[str]:
    """The tests that fail, without any change, when they are run fastest first or the other way round."""
    failed: set[str] = set()
    for order in (tests, tests[::-1]):
        failed |= in_a_child(partial(_failing, order))
    return sorted(failed)


def _failing(tests: Sequence[Test]) -> set[str]:
    return {test.item.nodeid for test in tests if not passes(test.item)}


def in_a_child(work: Callable[[], Any]) -> Any:
    """What `work` gives, in a forked process, so that nothing it imports or changes stays. Raises RuntimeError."""
    ours, theirs = Pipe(duplex=False)
    process = os.fork()
    if process == 0:
        try:
            theirs.send(work())
        except BaseException:
            traceback.print_exc()
        finally:
            os._exit(0)
    theirs.close()
    try:
        return ours.recv()
    except EOFError:
        raise RuntimeError("a forked process ended without an answer") from None
    finally:
        ours.close()
        os.waitpid(process, 0)
