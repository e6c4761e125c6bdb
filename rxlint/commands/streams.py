"""The standard streams of a run: closed, full or broken ones end no run in a wrong way.

What can't be written to standard output is told on standard error, with the exit code of what was not read. What can't
be told on standard error is lost, and changes no exit code.
"""

from __future__ import annotations

import contextlib
import errno
import io
import os
import sys
from typing import Final

import click

_CLOSED: Final = "it is closed"


def occupy_closed() -> None:
    """Let streams that are closed lead nowhere, before a file that is opened gets the number of one of them."""
    with contextlib.suppress(OSError):
        handle = os.open(os.devnull, os.O_RDWR)
        while handle <= 2:
            handle = os.dup(handle)
        os.close(handle)


class Steady(io.TextIOWrapper):
    """Standard error that is never a fault: what it does not take, because it is full or nobody reads it, is lost."""

    def write(self, text: str) -> int:
        """Write what can be written."""
        with contextlib.suppress(OSError):
            return super().write(text)
        return len(text)

    def flush(self) -> None:
        """Let go of what can be let go of."""
        with contextlib.suppress(OSError):
            super().flush()


def steady_errors() -> None:
    """Make standard error a steady one, where it is a stream of the process itself."""
    stream = sys.stderr
    if isinstance(stream, io.TextIOWrapper) and not isinstance(stream, Steady) and stream is sys.__stderr__:
        sys.stderr = Steady(
            stream.buffer, stream.encoding, "backslashreplace", line_buffering=True, write_through=stream.write_through
        )


def put(text: str) -> None:
    """Write to standard output. Raises OSError, also where it is closed."""
    if sys.stdout is None:
        raise OSError(errno.EBADF, _CLOSED)
    sys.stdout.write(text)


def put_bytes(data: bytes) -> None:
    """Write bytes to standard output, and let them go. Raises OSError, also where it is closed."""
    if sys.stdout is None:
        raise OSError(errno.EBADF, _CLOSED)
    sys.stdout.buffer.write(data)
    sys.stdout.buffer.flush()


def let_go() -> None:
    """Let go of what was written to standard output. Raises OSError."""
    if sys.stdout is not None:
        sys.stdout.flush()


def lose_output(error: OSError) -> None:
    """Give up standard output, which took no more, and tell why, unless its reader has just gone away."""
    give_up_output()
    if not isinstance(error, BrokenPipeError):
        click.echo(f"Error: standard output can't be written: {error.strerror or error}", err=True)


def give_up_output() -> None:
    """Let standard output lead nowhere, for Python flushes it once more at its end."""
    with contextlib.suppress(OSError, ValueError):
        if sys.stdout is not None:
            handle = os.open(os.devnull, os.O_WRONLY)
            os.dup2(handle, sys.stdout.fileno())
            os.close(handle)
