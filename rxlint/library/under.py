"""Under what a document was screened, as it is kept between runs: the files that settings and the command line name.

Rules are made from these files alone, so the content of each tells whether they are still the same. Their keys hold the
names under which they are shown, for findings tell them, and not where they lie.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from rxlint.library.entry import Used, used
from rxlint.library.places import find_settings, find_top
from rxlint.store.kept import key_of
from rxlint.text.files import read_up_to

if TYPE_CHECKING:
    from rxlint.library.rulings import Ruling
    from rxlint.library.settings import Settings
    from rxlint.screening.ruleset import RuleSet

_RULES: Final = frozenset({"pack", "policy", "profile", "+pack", "+policy", "+profile"})  # +: of the command line
_KNOWN: Final = frozenset({"known", "+known"})
_LARGEST: Final = 64 * 1024 * 1024  # bytes of a file that a ruling is made from
_TICK: Final = 20_000_000  # ns; the clock of a file system is this coarse at most
_ENDING: Final = ".yaml"


@dataclass(frozen=True, slots=True)
class Asked:
    """What the command line of a run asks for, as far as results depend on it."""

    day: str
    packs: tuple[str, ...] = ()
    policies: tuple[str, ...] = ()
    profiles: tuple[str, ...] = ()
    known: str | None = None
    nearest: bool = True


class NamedFile(NamedTuple):
    """A file that a ruling is made from: what it is for, by which path it was asked for, how it is shown; where that
    leads, links followed, and a digest of what is there.
    """

    role: str
    asked: str
    shown: str
    real: str
    mark: str


class SettingsFile(NamedTuple):
    """What a library depends on of the settings of its documents."""

    path: Path
    shown: str
    library: Path | None


class Under(NamedTuple):
    """A ruling as it is kept. ``key`` is of the rules, ``known`` the list of known findings, if there is one: a digest
    of it and the folder that its paths start from.
    """

    key: str
    settings: SettingsFile | None
    policies: tuple[Used, ...]
    known: tuple[str, Path] | None


def written(rules: RuleSet, settings: Settings | None, asked: Asked, begun: int) -> bytes | None:
    """Rules under some settings as they are kept; None where they can't be: some are code, or one of their files
    changed since the run began (``begun``, ns), so that nobody can tell which content was read.
    """
    if rules.python or rules.unloaded:
        return None
    try:
        named = list(_files(asked, settings))
        if any(_touched(each.asked) >= begun - _TICK for each in named if each.mark):
            return None
    except (OSError, ValueError):
        return None
    told = None
    if settings is not None:
        if not _lies_there(settings, named):
            return None
        library = os.fspath(settings.library) if settings.library is not None else None
        told = [os.fspath(settings.path), settings.shown, library]
    return json.dumps([named, told, [list(used(each)) for each in rules.policies]]).encode("ascii")


def print_of(ruling: Ruling) -> str:
    """What tells one ruling from another that was loaded from the same files in another process."""
    rules, known = ruling.rules, ruling.known
    if rules is None:
        return ""
    packs = [f"{each.path} {each.digest}" for each in rules.packs]
    profiles = [f"{each.path} {each.digest}" for each in rules.profiles]
    listed = sorted((path, *each) for path, each in known.known.by_path.items()) if known is not None else []
    return key_of(*packs, *profiles, repr(listed))


def read_under(text: bytes) -> Under | None:
    """A ruling as it was kept, if every file of it is still the same. Raises ValueError, TypeError or LookupError for
    what is none.
    """
    files, settings, policies = json.loads(text)
    named = [NamedFile(*each) for each in files]
    try:
        if any(_state(each.role, each.asked) != (each.real, each.mark) for each in named):
            return None
    except (OSError, ValueError):
        return None
    told = [Used._make([*plain, tuple(loosens), tuple(overruled)]) for *plain, loosens, overruled in policies]
    found = None
    if settings is not None:
        path, shown, library = settings
        found = SettingsFile(Path(path), shown, Path(library) if library is not None else None)
    return Under(_key(named), found, tuple(told), _known(named))


def _key(named: Iterable[NamedFile]) -> str:
    return key_of(*(part for each in named if each.role in _RULES for part in (each.role, each.shown, each.mark)))


def _known(named: Iterable[NamedFile]) -> tuple[str, Path] | None:
    """The list of known findings that counts: that of the command line, else that of the nearest settings."""
    lists = [each for each in named if each.role in _KNOWN]
    if not lists:
        return None
    first = next((each for each in lists if each.role == "+known"), lists[-1])
    folder = Path(first.asked if first.role == "+known" else first.real).parent
    return (first.mark, folder) if first.mark else None


def _files(asked: Asked, settings: Settings | None) -> Iterator[NamedFile]:
    """Every file that a ruling is made from, in the order that counts."""
    for role, paths in (("+pack", asked.packs), ("+policy", asked.policies), ("+profile", asked.profiles)):
        for each in paths:
            yield _named(role, each, each)
    if asked.known is not None:
        yield _named("+known", asked.known, asked.known)
    for layer in settings.layers if settings is not None else ():
        yield _named("settings", os.fspath(layer.path), layer.shown)
        if layer.above is not None:
            yield _named("above", os.fspath(layer.path.parent), "")
        if layer.library is not None:
            yield _named("library", os.fspath(layer.library), "")
        for role, files in (("pack", layer.packs), ("policy", layer.policies), ("profile", layer.profiles)):
            for file in files:
                yield _named(role, os.path.join(os.getcwd(), file.shown), file.shown)
        if layer.known_findings is not None:
            named = layer.known_findings
            yield _named("known", os.path.join(os.getcwd(), named.shown), named.shown)


def _named(role: str, asked: str, shown: str) -> NamedFile:
    return NamedFile(role, asked, shown, *_state(role, asked))


def _state(role: str, asked: str) -> tuple[str, str]:
    """Where a path leads, and a digest of what is there; of a file that is not there, an empty one. Raises OSError."""
    if role == "above":
        folder = Path(asked)
        return f"{find_top(folder)}\n{find_settings(folder.parent)}", ""
    real = os.path.realpath(asked)
    try:
        mode = os.stat(real).st_mode
    except FileNotFoundError:
        return real, ""
    if role == "library":
        return real, "folder" if stat.S_ISDIR(mode) else "no folder"
    if not stat.S_ISDIR(mode):
        return real, _digest(real)
    names = sorted(each for each in os.listdir(real) if each.endswith(_ENDING))
    links = [os.path.realpath(os.path.join(real, each)) for each in names]
    marks = [f"{name} {_digest(link)}" for name, link in zip(names, links, strict=True)]
    return "\n".join([real, *links]), "folder\n" + "\n".join(marks)


def _digest(path: str) -> str:
    read = read_up_to(Path(path), _LARGEST)
    if read is None:
        raise ValueError("is not a regular file")
    data, size = read
    if max(size, len(data)) > _LARGEST:
        raise ValueError("is too large")
    return hashlib.sha256(data).hexdigest()


def _touched(path: str) -> int:
    """When a file, or what is in a folder, was changed last, ns. Nobody can set the time of a change of its entry back,
    where the system has one.
    """
    status = os.stat(path)
    newest = max(status.st_mtime_ns, status.st_ctime_ns if os.name != "nt" else 0)
    if stat.S_ISDIR(status.st_mode):
        with os.scandir(path) as entries:
            inside = [_touched(each.path) for each in entries if each.name.endswith(_ENDING)]
        newest = max([newest, *inside])
    return newest


def _lies_there(settings: Settings, named: Iterable[NamedFile]) -> bool:
    """Whether the paths that were followed now lead to what the settings meant when they were read."""
    meant = [
        os.fspath(file.path)
        for layer in settings.layers
        for files in (layer.packs, layer.policies, layer.profiles, (layer.known_findings,))
        for file in files
        if file is not None
    ]
    found = [each.real.split("\n")[0] for each in named if each.role in ("pack", "policy", "profile", "known")]
    return meant == found
