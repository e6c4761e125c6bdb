"""A server of files as any host is one, on the loopback address, with what it was asked for; it can lose files."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, Final

HOST: Final = "127.0.0.1"


class Served:
    """A folder that is served: its address, the paths asked for so far, and those that are missing by intention."""

    def __init__(self, folder: Path) -> None:
        self.asked: list[str] = []
        self.lost: set[str] = set()
        handler = partial(_Handler, self, directory=str(folder))
        self._server = ThreadingHTTPServer((HOST, 0), handler)
        self._server.daemon_threads = True
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True)
        self._thread.start()

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"http://{HOST}:{self._server.server_address[1]}/"

    def stop(self) -> None:
        """The network is gone: nothing answers at the address any more."""
        if self._thread.is_alive():
            self._server.shutdown()
            self._server.server_close()
            self._thread.join()


class _Handler(SimpleHTTPRequestHandler):
    """Python's own file server, which says nothing on standard error."""

    extensions_map: dict[str, str] = {  # noqa: RUF012 - as its base has it
        **SimpleHTTPRequestHandler.extensions_map,
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
    }

    def __init__(self, served: Served, *given: Any, **named: Any) -> None:
        self.served = served
        super().__init__(*given, **named)

    def do_GET(self) -> None:
        path = self.path.partition("?")[0].lstrip("/")
        self.served.asked.append(path)
        if path in self.served.lost:
            self.send_error(404)
        else:
            super().do_GET()

    def log_message(self, format: str, *args: Any) -> None:
        """What is asked for stands in ``asked``."""


@contextmanager
def serving(folder: Path) -> Iterator[Served]:
    """A folder served until the end of the block."""
    served = Served(folder)
    try:
        yield served
    finally:
        served.stop()
