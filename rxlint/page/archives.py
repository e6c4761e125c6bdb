"""Zip archives that come out the same whenever and wherever they are made of the same files."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from typing import Final

_TIME: Final = (1980, 1, 1, 0, 0, 0)  # the first that a zip archive can say


def zipped(files: Mapping[str, bytes]) -> bytes:
    """An archive of files by path, in the order of their paths."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(files):
            entry = zipfile.ZipInfo(path, _TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3  # Unix, on every system
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, files[path], compresslevel=9)
    return made.getvalue()
