"""What tells one state of the program from another: its version, its code, its data and the libraries it reads with."""

from __future__ import annotations

import hashlib
import importlib.util
import os
import platform
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rxlint import __version__
from rxlint.data import MissingDataError, data_folder
from rxlint.store.kept import key_of

_PACKAGE: Final = Path(__file__).resolve().parent.parent
_READERS: Final = ("lark", "ruamel.yaml")  # they decide what a document or a pack says
_DATA: Final = (("grammar", ("",)), ("rules", (".yaml",)))
_SETTLED: Final = 2_000_000_000  # ns that the code must have been left alone for


def program_key() -> str | None:
    """The state of this program; None where it can't be told, or where its code was changed only just now, so that
    what runs may be older than what stands there.
    """
    try:
        stamps = [*_stamps(os.fspath(_PACKAGE))]
        for each in _READERS:
            found = importlib.util.find_spec(each)
            if found is None or found.origin is None:
                return None
            stamps += _stamps(os.path.dirname(found.origin))
        data = _data()
    except (OSError, ImportError, ValueError, MissingDataError):
        return None
    if not stamps or time.time_ns() - max(changed for _, changed in stamps) < _SETTLED:
        return None
    python = f"{platform.python_implementation()} {platform.python_version()}"
    return key_of("program 1", __version__, python, "\n".join(sorted(told for told, _ in stamps)), data)


def _stamps(folder: str) -> Iterator[tuple[str, int]]:
    """Of every module in a folder and below: name, size and time of change, and when it was last touched at all."""
    for entry in os.scandir(folder):
        if entry.is_dir():
            if entry.name not in ("__pycache__", "_data"):
                yield from _stamps(entry.path)
        elif entry.name.endswith(".py"):
            status = entry.stat()
            touched = max(status.st_mtime_ns, status.st_ctime_ns if os.name != "nt" else 0)
            yield f"{entry.path} {status.st_size} {status.st_mtime_ns}", touched


def _data() -> str:
    digest = hashlib.sha256()
    for kind, endings in _DATA:
        folder = data_folder(kind)  # type: ignore[arg-type]
        for name in sorted(os.listdir(folder)):
            if name.endswith(endings):
                data = (folder / name).read_bytes()
                digest.update(f"{name}:{len(data)}:".encode() + data)
    return digest.hexdigest()
