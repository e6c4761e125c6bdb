"""The settings of a folder of documents: the nearest ``rxlint.yaml``, found by going up, and what it names.

A settings file is written by whoever keeps the documents. It can name files of its own folder alone, and build on the
next settings file further up in its repository; a policy from the command line stands above everything that it names.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from rxlint.expressions.problems import near
from rxlint.library.places import NAME, find_settings, find_top
from rxlint.packs.pack import PackProblem
from rxlint.packs.reading import Reader
from rxlint.packs.yaml_tree import Mapping_, Refused, Scalar, Tree, read_file, read_tree

__all__ = [
    "KEYS",
    "NAME",
    "ONE_FILE",
    "WORDS",
    "Named",
    "Settings",
    "find_settings",
    "find_top",
    "read_settings",
    "settings_of_text",
]

_KNOWN: Final = "known findings"  # a file that need not be there yet
_LIBRARY: Final = "library"
_ABOVE: Final = "above"
KEYS: Final[Mapping[str, str]] = {
    "policies": "files of policies, the widest first and the nearest last",
    "packs": "files of further rule packs",
    "profiles": "files of ventilator profiles, or folders of them",
    _KNOWN: "a file that lists the findings that the library has from before",
    _LIBRARY: "the folder that templates are looked for in; without it, that of the settings",
    _ABOVE: "whether these settings build on the next ones further up in the repository: no, or yes",
}
"""The keys of a settings file, and what each is for."""
WORDS: Final[Mapping[str, tuple[str, ...]]] = {_ABOVE: ("no", "yes")}
"""The words that a key may have."""
ONE_FILE: Final = (_KNOWN, _LIBRARY)
"""The keys that name one file or folder, and no list of them."""


@dataclass(frozen=True, slots=True)
class Named:
    """A file that the settings name: where it is, the name to show, and where it is named."""

    path: Path
    shown: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Settings:
    """A settings file as read; policies from the widest to the nearest. ``above`` is what it builds on."""

    path: Path
    shown: str
    policies: tuple[Named, ...] = ()
    packs: tuple[Named, ...] = ()
    known_findings: Named | None = None
    profiles: tuple[Named, ...] = ()  # files of ventilator profiles, or folders of them
    library: Path | None = None  # the folder that templates are looked for in; None: that of the settings
    above: Settings | None = None

    @property
    def layers(self) -> tuple[Settings, ...]:
        """These settings and those that they build on, the widest first."""
        return (*(self.above.layers if self.above is not None else ()), self)


def read_settings(path: Path, shown: str) -> tuple[Settings | None, tuple[PackProblem, ...]]:
    """Read a settings file; (None, problems) where it can't be used. Never raises for what it holds."""
    if not _is_inside(path, path.parent):
        return None, (PackProblem(shown, 1, 1, "is a link that leads out of its folder"),)
    text = read_file(path, shown)
    return (None, (text,)) if isinstance(text, PackProblem) else settings_of_text(text, path, shown)


def settings_of_text(text: str, path: Path, shown: str) -> tuple[Settings | None, tuple[PackProblem, ...]]:
    """Settings from a text, as if it stood in the file ``path``; (None, problems) where it can't be used."""
    try:
        tree = read_tree(text, shown)
    except Refused as error:
        return None, (error.problem,)
    reader = Reader(shown)
    settings = _Reading(reader, path).settings(tree)
    wider = _wider(reader, path, tree)
    if reader.problems:
        return None, reader.told()
    if wider is None:
        return settings, ()
    above, problems = read_settings(wider, _beside(shown, path, wider))
    if above is None:
        return None, problems
    library = settings.library if settings.library is not None else above.library or above.path.parent
    return replace(settings, library=library, above=above), ()


def _wider(reader: Reader, path: Path, tree: Tree) -> Path | None:
    """The settings file that this one builds on: the next one up. As it only goes up, it comes to an end."""
    if not isinstance(tree, Mapping_) or tree.get(_ABOVE) is None:
        return None
    if reader.one_of(tree, _ABOVE, WORDS[_ABOVE]) == "no":
        return None
    folder = path.parent.resolve()
    top = find_top(folder)
    wider = find_settings(folder.parent) if top is not None and top != folder else None
    if wider is None:
        why = (
            "this folder lies in no repository, and nothing else says how far up may be looked"
            if top is None
            else f"there is no {NAME} further up in this repository"
        )
        reader.fault(reader.spot_of(tree, _ABOVE), f"{_ABOVE}: {why}")
    return wider


def _beside(shown: str, path: Path, other: Path) -> str:
    """The name to show of a file, as somebody would say it who says ``shown`` for ``path``."""
    way = os.path.relpath(other, path.parent.resolve())
    return Path(os.path.normpath(Path(shown).parent / way)).as_posix()


class _Reading:
    def __init__(self, reader: Reader, path: Path) -> None:
        self.reader = reader
        self.path = path
        self.folder = path.parent

    def settings(self, tree: Tree) -> Settings:
        if not isinstance(tree, Mapping_):
            self.reader.fault(tree.spot, f"{NAME} is a mapping with the keys {', '.join(KEYS)}")
            return Settings(self.path, self.reader.path)
        self.reader.unknown_keys(tree, tuple(KEYS), NAME)
        known = tree.get(_KNOWN)
        return Settings(
            self.path,
            self.reader.path,
            tuple(self.files(tree, "policies")),
            tuple(self.files(tree, "packs")),
            self.file(known, _KNOWN) if known is not None else None,
            tuple(self.files(tree, "profiles")),
            self.library(tree),
        )

    def library(self, tree: Mapping_) -> Path | None:
        """The folder of the library: that of the settings, one in it, or another of the same checkout."""
        given = tree.get(_LIBRARY)
        named = self.file(given, _LIBRARY, find_top(self.folder)) if given is not None else None
        if named is not None and given is not None and not named.path.is_dir():
            self.reader.fault(given.spot, f"{_LIBRARY}: {named.shown} is no folder")
        return named.path if named is not None else None

    def files(self, tree: Mapping_, key: str) -> Iterator[Named]:
        seen: set[Path] = set()
        for each in self.reader.sequence(tree.get(key), None):
            named = self.file(each, key)
            if named is None:
                continue
            if named.path in seen:
                self.reader.fault(each.spot, f"{key}: {named.shown} stands twice")
            seen.add(named.path)
            yield named

    def file(self, tree: Tree, key: str, top: Path | None = None) -> Named | None:
        """A file in the settings' own folder or below it, or below ``top`` where that is given, links and all."""
        if not isinstance(tree, Scalar) or not tree.text.strip():
            self.reader.fault(tree.spot, f"{key}: the name of a file is needed")
            return None
        given = Path(tree.text.strip())
        meant = self.folder / given
        if given.is_absolute() or not _is_inside(meant, top or self.folder):
            bounds = "the repository" if top is not None else f"the folder of {NAME}"
            self.reader.fault(tree.spot, f"{key}: {given.as_posix()} leads out of {bounds}, or nowhere")
            return None
        meant = meant.resolve()
        if key != _KNOWN and not os.path.lexists(meant):
            found = (*self.folder.glob("*.yaml"), *self.folder.glob("*/*.yaml"))
            beside = [each.relative_to(self.folder).as_posix() for each in found]
            self.reader.fault(tree.spot, f"{key}: there is no file {given.as_posix()}", near(given.as_posix(), beside))
            return None
        shown = (Path(self.reader.path).parent / given).as_posix()
        return Named(meant, shown, tree.spot.line, tree.spot.column)


def _is_inside(path: Path, folder: Path) -> bool:
    """Whether a path stays in a folder, links and all. One that goes round in circles does not."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):
        return False
