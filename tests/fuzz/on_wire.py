"""The language server as an editor reaches it: bytes to its reader, messages to its handlers, all in one thread.

The server is the one that `rxlint editor` starts. What it works out in threads of its own is done at once here, so that
the end of an input is the end of its work; nothing else differs. A message that is no message is an error that the
protocol's library tells; an exception that comes out of our own code is a fault, though the server goes on after it.
"""

from __future__ import annotations

import asyncio
import contextlib
import io
import logging
import threading
import traceback
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any, Final

from pygls.exceptions import JsonRpcException
from pygls.io_ import StdoutWriter, run_async

import rxlint
from rxlint.editor import server_session
from rxlint.editor.server import Incoming, Server, build
from rxlint.editor.workspace import Workspace
from rxlint.library.rulings import Rulings
from tests.documents import DAY
from tests.fuzz.corpora import ROOT, framed

_PASSED_ON: Final = "lsp_initialize"  # hands on to the protocol's library, whose error it may be
_OURS: Final = Path(rxlint.__file__).parent.as_posix()
_LOGGERS: Final = ("rxlint.editor", "pygls", "asyncio")
_PATIENCE: Final = 0.02  # seconds
_TRIES: Final = 3


class _AtOnce(ThreadPoolExecutor):
    """A lane that works while it is asked."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        done: Future[Any] = Future()
        try:
            done.set_result(fn(*args, **kwargs))
        except Exception as error:
            done.set_exception(error)
        return done


class _Faults(logging.Handler):
    """Keeps the first exception that came out of our own code."""

    def __init__(self) -> None:
        super().__init__()
        self.found: BaseException | None = None

    def emit(self, record: logging.LogRecord) -> None:
        error = record.exc_info[1] if record.exc_info else None
        if error is not None and self.found is None and _is_ours(error):
            self.found = error


def _is_ours(error: BaseException) -> bool:
    """Whether an exception came out of our own code, and is none that is meant for the client."""
    if isinstance(error, JsonRpcException | asyncio.CancelledError):
        return False
    frames = [frame.f_code for frame, _ in traceback.walk_tb(error.__traceback__)]
    ours = [code.co_name for code in frames if Path(code.co_filename).as_posix().startswith(_OURS)]
    return any(name != _PASSED_ON for name in ours)


class _Reader:
    """Bytes as the server takes them from a stream; at their end the stream ends."""

    def __init__(self, data: bytes) -> None:
        self._incoming = Incoming(io.BytesIO(data))

    async def readline(self) -> bytes:
        return self._incoming.readline()

    async def readexactly(self, n: int) -> bytes:
        return self._incoming.read(n)


class _Said(io.BytesIO):
    """What the server says; it stays when the server goes."""

    def close(self) -> None:
        pass


@contextlib.contextmanager
def _at_once_and_heard(faults: _Faults) -> Iterator[None]:
    """While an input is read: nothing waits for another keystroke, and what is logged is heard here alone."""
    loggers = [logging.getLogger(name) for name in _LOGGERS]
    before = [(each.handlers, each.propagate) for each in loggers]
    delay = server_session.DEBOUNCE
    server_session.DEBOUNCE = 0  # type: ignore[misc]
    for each in loggers:
        each.handlers, each.propagate = [faults], False
    try:
        yield
    finally:
        server_session.DEBOUNCE = delay  # type: ignore[misc]
        for each, (handlers, propagate) in zip(loggers, before, strict=True):
            each.handlers, each.propagate = handlers, propagate


class Host:
    """A server for one input after another; each finds it as it began."""

    def __init__(self) -> None:
        ROOT.mkdir(exist_ok=True)
        self.loop = asyncio.new_event_loop()
        self.faults = _Faults()
        self.said = _Said()
        self.rules = Rulings(nearest=False)
        self.server = self._made()

    def _made(self) -> Server:
        server = build(Workspace(lambda: self.rules, DAY))
        server.session.screening, server.session.asking = _AtOnce(), _AtOnce()
        server.protocol.set_writer(StdoutWriter(self.said))
        return server

    def run(self, data: bytes) -> bytes:
        """What the server says to some bytes. Raises what came out of our own code."""
        self.said.seek(0)
        self.said.truncate()
        self.faults.found = None
        with _at_once_and_heard(self.faults):
            self.loop.run_until_complete(self._talk(data))
        if self.server.protocol._workspace is not None or self.server.session.documents:
            self.server = self._made()
        if self.faults.found is not None:
            raise self.faults.found
        return self.said.getvalue()

    async def _talk(self, data: bytes) -> None:
        stop, protocol = threading.Event(), self.server.protocol
        self.server._stop_event = stop
        with contextlib.suppress(SystemExit):  # what the protocol asks of a server that is told to go
            await run_async(stop, _Reader(data), protocol, logging.getLogger("pygls"), self.server.report_server_error)
        idle = 0
        while (waiting := asyncio.all_tasks() - {asyncio.current_task()}) and idle < 2 * _TRIES:
            done, _ = await asyncio.wait(waiting, timeout=_PATIENCE, return_when=asyncio.FIRST_COMPLETED)
            idle = 0 if done else idle + 1
            if idle == _TRIES:  # they wait for an answer of the client, which has gone
                for task in waiting:
                    task.cancel()


@cache
def host() -> Host:
    return Host()


def wire(data: bytes) -> None:
    """Bytes on the wire, whatever they are."""
    host().run(data)


def messages(data: bytes) -> None:
    """Messages, one a line, each in a frame that holds it whole."""
    host().run(b"".join(framed(line) for line in data.split(b"\n") if line))
