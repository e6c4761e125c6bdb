"""What a shell may complete, beyond what click knows of options and choices by itself.

Asked at every press of a key, so nothing here loads rules or reads documents: identifiers of rules are found in the
packs' text, and files by their names.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Final

import click
from click.shell_completion import CompletionItem

_RULE_ID: Final = re.compile(r"^\s*-\s+id:\s*([a-z][a-z0-9-]*(?:\.[a-z0-9-]+)+)\s*$", re.MULTILINE)
_MOST_BYTES: Final = 400_000  # of a pack, as packs themselves are limited
_DEEPEST: Final = 20  # folders that are entered because each is the only one
# Of names with anything else in them the shell itself knows how to write them down.
_PLAIN: Final = re.compile(r"[\w./+@%,-]+", re.ASCII)


def rule_ids(context: click.Context, _parameter: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """The identifiers of the built-in rules, and of those in the packs and policies that the line names so far."""
    named = [*context.params.get("pack_files", ()), *context.params.get("policy_files", ())]
    found = dict.fromkeys(each for pack in (*_built_in(), *map(Path, named)) for each in _ids_in(pack))
    return [CompletionItem(each) for each in found if each.startswith(incomplete)]


def _built_in() -> Iterable[Path]:
    from rxlint.data import MissingDataError, data_folder

    try:
        return sorted(data_folder("rules").glob("*.yaml"))
    except MissingDataError:
        return ()


def _ids_in(pack: Path) -> list[str]:
    from rxlint.text.files import read_up_to

    try:
        read = read_up_to(pack, _MOST_BYTES)
    except (OSError, ValueError):
        return []
    return _RULE_ID.findall(read[0].decode("utf-8", "replace")) if read is not None else []


def documents(_context: click.Context, _parameter: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """The documents and folders whose names begin so; where there are none, or such as need quoting, all files.

    A folder that is the only choice is entered, for a shell would take its name for a complete word.
    """
    found = _named(incomplete)
    for _ in range(_DEEPEST):
        if len(found) != 1 or not found[0].endswith("/"):
            break
        inside = _named(found[0])
        if not inside:
            break
        found = inside
    if not found or not all(map(_PLAIN.fullmatch, found)):
        return [CompletionItem(incomplete, type="file")]
    return [CompletionItem(each) for each in found]


def _named(incomplete: str) -> Sequence[str]:
    folder, start = os.path.split(incomplete)
    return sorted(f"{incomplete[: len(incomplete) - len(start)]}{name}" for name in _entries(folder or ".", start))


def _entries(folder: str, start: str) -> Iterator[str]:
    from rxlint.library.discover import ENDING

    try:
        with os.scandir(folder) as entries:
            for each in entries:
                if not each.name.startswith(start) or (each.name.startswith(".") and not start.startswith(".")):
                    continue
                if each.is_dir():
                    yield f"{each.name}/"
                elif each.name.lower().endswith(ENDING):
                    yield each.name
    except (OSError, ValueError):
        return
