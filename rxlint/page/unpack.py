"""What Python does first in a browser: put the program where it is imported from.

``web/src/runtime.ts`` holds this module as text and runs it before anything of rxlint is there, so it may import the
standard library alone.
"""

import importlib
import os
import sys
import zipfile

PLACE = "/app"
"""Where the wheels are unpacked, and Python imports from."""
KEPT = "/kept"
"""What rxlint keeps of its packs; RXLINT_CACHE names it."""
LIBRARY = "/library"
"""The page's own folder: what somebody types or drops."""
# What is kept of the packs holds for modules of these times (rxlint/store/kept.py), so every start gives them the same.
TIME = 315_532_800
"""Seconds: 1980-01-01, the time that each file has in the archives."""


def unpack(archives: list[str], place: str = PLACE, kept: str = KEPT, library: str = LIBRARY) -> None:
    """Unpack archives, and take them away: wheels to ``place``, of others what is below ``app/`` there too, and what is
    below ``kept/`` to ``kept``. Raises OSError and zipfile.BadZipFile.
    """
    os.mkdir(place)
    os.mkdir(kept, 0o700)  # rxlint reads nothing that others may have written
    os.mkdir(library)
    for path in archives:
        with zipfile.ZipFile(path) as archive:
            for name in archive.namelist():
                top, _, rest = name.partition("/")
                into = place if path.endswith(".whl") else {"app": place, "kept": kept}[top]
                _write(archive.read(name), os.path.join(into, name if path.endswith(".whl") else rest))
        os.unlink(path)
    sys.path.insert(0, place)
    importlib.invalidate_caches()


def _write(data: bytes, path: str) -> None:
    os.makedirs(os.path.dirname(path), exist_ok=True)
    with open(path, "wb") as file:
        file.write(data)
    os.utime(path, (TIME, TIME))
