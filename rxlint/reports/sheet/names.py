"""The names of the files of a folder of sheets: one for each document, safe everywhere, never one for two."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

INDEX: Final = "index.html"
_UNSAFE: Final = re.compile(r"[^A-Za-z0-9_-]+")
# Names that Windows keeps for devices, whatever their ending.
_DEVICES: Final = frozenset({"con", "prn", "aux", "nul", *(f"{name}{n}" for name in ("com", "lpt") for n in range(10))})
_LONGEST: Final = 80


def page_names(places: Iterable[str], ending: str) -> dict[str, str]:
    """The name of the page of each document, by the document's place below the folder; both with forward slashes.

    Folders are mirrored. Two names that a file system may take for one are told apart by a number.
    """
    taken = {INDEX}
    names: dict[str, str] = {}
    for place in places:
        *folders, file = place.split("/")
        stem = file[: file.rindex(".")] if "." in file else file
        base = "/".join(map(_safe, (*folders, stem)))
        name, number = f"{base}{ending}", 1
        while name.casefold() in taken:
            number += 1
            name = f"{base}-{number}{ending}"
        taken.add(name.casefold())
        names[place] = name
    return names


def _safe(part: str) -> str:
    safe = _UNSAFE.sub("_", part)[:_LONGEST] or "_"
    return f"_{safe}" if safe.casefold() in _DEVICES or safe.startswith("-") else safe
