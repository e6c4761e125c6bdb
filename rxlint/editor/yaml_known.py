"""Which packs a file of rules may refer to: the built-in ones, those that its folder's settings name before it, and,
where no settings name it, the files beside it that it says it uses.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from rxlint.editor.overlay import Stamp, stamp_of
from rxlint.editor.yaml_schema import Kind
from rxlint.library.profiles import ENDING
from rxlint.library.settings import Named, Settings
from rxlint.packs.load import load_pack
from rxlint.packs.pack import Pack
from rxlint.packs.yaml_tree import read_file

_NAME: Final = re.compile(r"^pack:[ \t]*([a-z][a-z0-9-]*)[ \t]*(?:#.*)?\r?$", re.MULTILINE)
_USES: Final = re.compile(r"^uses:[ \t]*\[([^\]]*)\]|^uses:[^\n]*\n((?:[ \t]*-[^\n]*\n?)*)", re.MULTILINE)
_MOST: Final = 100  # files of a folder that are looked into
_DEEPEST: Final = 8  # policies that use policies


class KnownPacks:
    """The packs that files refer to, each loaded once as long as it and what it refers to stay the same."""

    def __init__(self) -> None:
        self._loaded: dict[Path, tuple[object, Pack | None]] = {}
        self._named: dict[Path, tuple[Stamp | None, str | None]] = {}

    def of(self, path: Path, text: str, settings: Settings | None, common: Sequence[Pack]) -> tuple[Pack, ...]:
        """The packs that a text may refer to, the widest first. ``common`` are those of every document."""
        others = [pack for pack in common if not _is_of(pack, path)]
        named = list(_before(settings, path))
        for each in named:
            pack = self._pack(each.path, each.shown, others)
            others += [pack] if pack is not None else []
        if settings is None or not _names(settings, path):
            others += self._beside(path, text, others, 0)
        return tuple(others)

    def _beside(self, path: Path, text: str, known: Sequence[Pack], depth: int) -> Iterator[Pack]:
        """The packs of the folder that a file uses, and those that they use."""
        wanted = [name for name in _uses(text) if not any(pack.name == name for pack in known)]
        if not wanted or depth == _DEEPEST:
            return
        files = sorted(each for each in path.parent.glob(f"*{ENDING}") if each != path)[:_MOST]
        for file in files:
            if self._name(file) not in wanted:
                continue
            other = read_file(file, file.name)
            further = tuple(self._beside(file, other, known, depth + 1)) if isinstance(other, str) else ()
            pack = self._pack(file, file.name, (*known, *further))
            found = (*further, *([pack] if pack is not None else []))
            known = (*known, *found)
            yield from found

    def _name(self, path: Path) -> str | None:
        """The name of the pack in a file."""
        stamp = stamp_of(path)
        known = self._named.get(path)
        if known is None or known[0] != stamp:
            text = read_file(path, path.name)
            match = _NAME.search(text) if isinstance(text, str) else None
            known = self._named[path] = (stamp, match[1] if match is not None else None)
        return known[1]

    def _pack(self, path: Path, shown: str, known: Sequence[Pack]) -> Pack | None:
        key = (stamp_of(path), tuple((pack.name, pack.digest) for pack in known))
        found = self._loaded.get(path)
        if found is None or found[0] != key:
            found = self._loaded[path] = (key, load_pack(path, shown, known)[0])
        return found[1]


def named_as(path: Path, settings: Settings | None) -> Kind | None:
    """What settings take a file for; None where they don't name it."""
    for layer in settings.layers if settings is not None else ():
        if any(each.path == path for each in layer.policies):
            return "policy"
        if any(each.path == path for each in layer.packs):
            return "pack"
        if any(each.path in (path, path.parent) for each in layer.profiles):
            return "profile"
    return None


def files_beside(path: Path) -> tuple[str, ...]:
    """The files and folders that settings in a file may name, as they would name them."""
    folder = path.parent
    found = [*folder.glob(f"*{ENDING}"), *folder.glob(f"*/*{ENDING}")]
    names = {each.relative_to(folder).as_posix() for each in found if each != path}
    names |= {each.parent.relative_to(folder).as_posix() for each in found if each.parent != folder}
    return tuple(sorted(names)[:_MOST])


def _names(settings: Settings, path: Path) -> bool:
    return any(each.path == path for layer in settings.layers for each in (*layer.packs, *layer.policies))


def _before(settings: Settings | None, path: Path) -> Iterator[Named]:
    """The packs and policies that settings name before a file; all of them, where it is none of theirs."""
    layers = settings.layers if settings is not None else ()
    for each in (*(each for layer in layers for each in layer.packs), *(e for layer in layers for e in layer.policies)):
        if each.path == path:
            return
        yield each


def _is_of(pack: Pack, path: Path) -> bool:
    """Whether a pack was read from a file: it can't refer to itself."""
    try:
        return pack.policy is not None and Path(pack.path).resolve() == path
    except (OSError, RuntimeError, ValueError):
        return False


def _uses(text: str) -> list[str]:
    """The packs that a text says it uses, as far as that can be told without reading it."""
    match = _USES.search(text)
    listed = (match[1] or match[2] or "") if match is not None else ""
    return re.findall(r"[a-z][a-z0-9-]*", listed)
