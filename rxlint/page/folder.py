"""Where the page is put: a new folder, or one that was made so before and holds nothing else."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from pathlib import Path
from typing import Any, Final

from rxlint.page.problems import Unbuildable

LIST: Final = "files.json"
"""The list of a folder's files, by which a folder that was made so is known again."""
_MAKER: Final = "rxlint page"


def listed(folder: Path) -> dict[str, dict[str, Any]]:
    """Bytes and SHA-256 of every file below a folder, by path."""
    found: dict[str, dict[str, Any]] = {}
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            data = path.read_bytes()
            shown = path.relative_to(folder).as_posix()
            found[shown] = {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
    return found


def version_of(files: dict[str, dict[str, Any]]) -> str:
    """A name for a folder's content."""
    return hashlib.sha256(json.dumps(files, sort_keys=True).encode()).hexdigest()[:16]


def write_list(folder: Path) -> None:
    """Put a folder's list into it."""
    files = listed(folder)
    told = {"made by": _MAKER, "version": version_of(files), "files": files}
    (folder / LIST).write_text(json.dumps(told, indent=1) + "\n", "utf-8")


def check_place(place: Path) -> None:
    """Raise Unbuildable where something stands that is not known to be ours."""
    if not os.path.lexists(place):
        if not place.absolute().parent.is_dir():
            raise Unbuildable(f"{place.absolute().parent} is not a folder: make it first, or name another place")
        return
    if not place.is_dir() or place.is_symlink():
        raise Unbuildable(f"{place} is there already and is not a folder: name another place")
    there = {path.relative_to(place).as_posix() for path in place.rglob("*") if not path.is_dir() or path.is_symlink()}
    ours = _ours(place)
    strange = sorted(there - (ours | {LIST} if ours else ours))
    if strange:
        raise Unbuildable(
            f"{place} is there already and holds {strange[0]}, which this command did not write; nothing was changed. "
            "Name a new or empty folder, or take that away first"
        )


def _ours(place: Path) -> set[str]:
    """The files that were written here before, by the folder's own list; none where it has no such list."""
    try:
        told = json.loads((place / LIST).read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return set()
    if not isinstance(told, dict) or told.get("made by") != _MAKER or not isinstance(told.get("files"), dict):
        return set()
    return set(told["files"])


def put(made: Path, place: Path) -> None:
    """Put a folder where it was asked for, in place of an earlier one. Raises Unbuildable as ``check_place``, OSError.

    It is copied beside the place first, so that what stands there is whole at any time, or for a moment not there.
    """
    check_place(place)  # it may have changed meanwhile
    place = place.absolute()
    beside = Path(tempfile.mkdtemp(prefix=f".{place.name}.", dir=place.parent))
    try:
        shutil.copytree(made, beside / "new")
        if place.exists():
            os.rename(place, beside / "old")
        os.rename(beside / "new", place)
    finally:
        if (beside / "old").exists() and not place.exists():
            os.rename(beside / "old", place)
        shutil.rmtree(beside, ignore_errors=True)
