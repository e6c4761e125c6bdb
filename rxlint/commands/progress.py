"""How far a long run has come, shown to somebody who sits at the terminal, and to nobody else.

It goes to standard error, in one line that is overwritten in place with spaces and carriage returns alone: there is no
colour or other control sequence to turn off. It is taken away before anything of the report is written.
"""

from __future__ import annotations

import contextlib
import os
import stat
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from typing import Final, TextIO, TypeVar

_AFTER: Final = 2.0  # seconds; a shorter run needs none
_EVERY: Final = 0.1  # seconds between two pictures
_BAR: Final = 30  # characters, where the terminal is wide enough

_T = TypeVar("_T")


class Progress:
    """The line of progress of one run over ``total`` inputs. One that is not wanted shows nothing."""

    def __init__(
        self, total: int, stream: TextIO | None, clock: Callable[[], float] = time.monotonic, *, wanted: bool = True
    ) -> None:
        self._total = total
        self._stream = stream if wanted and total > 1 else None
        self._clock = clock
        self._start = clock()
        self._last = self._start
        self._width = 0  # of what stands there now

    def over(self, results: Iterable[_T]) -> Iterator[_T]:
        """The results as they come, with the line kept up to date between them and taken away at the end."""
        try:
            for done, each in enumerate(results, 1):
                yield each
                self._tick(done)
        finally:
            self._clear()

    def beside(self, pieces: Iterable[str]) -> Iterator[str]:
        """The pieces of a report, each whole lines, with the line taken away before each."""
        for piece in pieces:
            self._clear()
            yield piece

    def _tick(self, done: int) -> None:
        now = self._clock()
        if self._stream is None or now - self._start < _AFTER or (self._width and now - self._last < _EVERY):
            return
        self._last = now
        line = picture(done, self._total, _columns(self._stream) - 1)
        self._put("\r" + line.ljust(self._width))
        self._width = len(line)

    def _clear(self) -> None:
        if self._width:
            self._put("\r" + " " * self._width + "\r")
            self._width = 0

    def _put(self, text: str) -> None:
        if self._stream is not None:
            try:
                self._stream.write(text)
                self._stream.flush()
            except (OSError, ValueError):  # the terminal has gone; the report has not
                self._stream = None


def picture(done: int, total: int, width: int) -> str:
    """The line for so many of all inputs, no wider than ``width`` characters."""
    share = f"{done:,} of {total:,} screened"
    bar = min(_BAR, width - len(share) - 3)
    if bar < 5:
        return share[: max(width, 0)]
    full = bar * done // total
    return f"[{'#' * full}{'.' * (bar - full)}] {share}"


def _columns(stream: TextIO) -> int:
    """How wide the terminal is; one that does not say so counts as of 80 columns."""
    with contextlib.suppress(OSError, ValueError):
        return os.get_terminal_size(stream.fileno()).columns or 80
    return 80


def is_wanted(*, whole_lines: bool) -> bool:
    """Whether to show progress: somebody looks at standard error, and the report does not get into its way.

    A pipe may lead to a pager or a filter that writes to the same terminal, so there is none beside a pipe. Where the
    report goes to the terminal too, it must be made of ``whole_lines``, for then the line can make room for it.
    """
    if sys.stderr is None or not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        return False
    if sys.stdout is None:
        return True
    return whole_lines if sys.stdout.isatty() else not _is_pipe(sys.stdout)


def _is_pipe(stream: TextIO) -> bool:
    with contextlib.suppress(OSError, ValueError):  # a stream without a file behind it is none
        return stat.S_ISFIFO(os.fstat(stream.fileno()).st_mode)
    return False
