"""Texts kept in a private folder of the user's, each under a key: a file that is missing, bad or not ours is a miss.

`RXLINT_CACHE` names another folder; `off` keeps nothing. Several runs may read and write at once: a file is written
whole under another name first, so that a reader sees all of it or none.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from rxlint import __version__

VARIABLE: Final = "RXLINT_CACHE"
_FORM: Final = f"rxlint {__version__} kept 1"  # the last number changes with the form of what is kept
_LARGEST: Final = 64_000_000  # bytes that are read at most


def folder() -> Path | None:
    """Where things are kept: by the platform's convention, or as told; None where nothing is to be kept."""
    told = os.environ.get(VARIABLE)
    if told == "off":
        return None
    if told:
        return Path(told)
    from platformdirs import user_cache_path

    try:
        place = user_cache_path("rxlint", appauthor=False)
    except (OSError, RuntimeError, ValueError):  # no home folder
        return None
    return place if place.is_absolute() else None  # "~" of a user without one: it would lie beside what is screened


def key_of(*parts: str) -> str:
    """A key for what was worked out from these texts."""
    digest = hashlib.sha256()
    for part in parts:
        data = part.encode("utf-8", "surrogatepass")
        digest.update(b"%d:" % len(data) + data)
    return digest.hexdigest()[:40]


def stamps_of(folders: Iterable[Path], ending: str = ".py") -> str:
    """Name, size and time of every file of some folders: another text as soon as somebody changes one of them."""
    found: list[str] = []
    for each in folders:
        with contextlib.suppress(OSError), os.scandir(each) as entries:
            for entry in entries:
                if entry.name.endswith(ending):
                    status = entry.stat()
                    found.append(f"{each.name}/{entry.name} {status.st_size} {status.st_mtime_ns}")
    return "\n".join(sorted(found))


def read_kept(name: str, key: str) -> str | None:
    """The text kept under a name, if it was kept for this key and is whole."""
    place = folder()
    if place is None:
        return None
    try:
        if not is_ours(place):
            return None
        with (place / name).open("rb") as file:
            data = file.read(_LARGEST + 1)
    except (OSError, ValueError):
        return None
    head, _, body = data.partition(b"\n")
    if len(data) > _LARGEST or head != _head(key, body):
        return None
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError:
        return None


def keep(name: str, key: str, text: str) -> None:
    """Keep a text under a name in place of what was there. Where it can't be kept, nothing happens."""
    place = folder()
    if place is None:
        return
    body = text.encode("utf-8")
    with contextlib.suppress(OSError, ValueError):
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not is_ours(place):
            return
        temporary = place / f".{name}.{os.urandom(8).hex()}"  # known before it is there: see below
        try:
            with open(temporary, "xb", opener=_private) as file:
                file.write(_head(key, body) + b"\n" + body)
            os.replace(temporary, place / name)
        except BaseException:  # also an interrupt, whenever it comes
            with contextlib.suppress(OSError):
                os.unlink(temporary)
            raise


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _head(key: str, body: bytes) -> bytes:
    return f"{_FORM} {key} {hashlib.sha256(body).hexdigest()}".encode("ascii")


def is_ours(place: Path) -> bool:
    """Whether nobody else may write there: what another put into it is nothing to go by."""
    if not hasattr(os, "getuid"):
        return True  # the user's own folder, by the platform's convention
    status = place.stat()
    return status.st_uid == os.getuid() and not status.st_mode & 0o022
