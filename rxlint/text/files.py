"""A file's bytes, up to a limit. A pipe or a device that bears the name of a file is never waited for."""

from __future__ import annotations

import os
import stat
from pathlib import Path

# Without this flag, opening a pipe waits until somebody writes to it. Windows has neither such pipes nor the flag.
_NO_WAIT = getattr(os, "O_NONBLOCK", 0)


def _opener(path: str, flags: int) -> int:
    return os.open(path, flags | _NO_WAIT)


def read_up_to(path: Path, limit: int) -> tuple[bytes, int] | None:
    """The first bytes of a regular file and its size; None for anything else. One byte above the limit is read.

    Raises OSError where it can't be opened or read.
    """
    with open(path, "rb", opener=_opener) as file:
        status = os.fstat(file.fileno())
        if not stat.S_ISREG(status.st_mode):
            return None
        return file.read(limit + 1) if status.st_size <= limit else b"", status.st_size
