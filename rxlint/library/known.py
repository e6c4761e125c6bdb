"""Known findings of an old library: a file of those that were there when it began to be screened.

They are shown and do not count, so that what is new stands out. The file only ever shrinks: an entry that is found no
more goes, and nothing is added once the file has been started. A finding is told by its rule, the file it is in, the
text of its line without regard to spacing and capitals, and, of twins, its ordinal - so moved lines change nothing.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from rxlint.library.places import relative
from rxlint.packs import LEVELS, Level
from rxlint.packs.pack import PackProblem
from rxlint.screening.engine import Screening
from rxlint.screening.finding import Finding
from rxlint.text.files import read_up_to, write_whole

__all__ = [
    "MAX_BYTES",
    "NOTHING",
    "Entry",
    "Known",
    "KnownList",
    "marked",
    "read_known",
    "relative",
    "shrunk",
    "started",
    "text_of",
    "write_known",
]

MAX_BYTES: Final = 64 * 1024 * 1024
_HEAD: Final = """\
# Findings that were known when this library began to be screened. They are shown and do not count.
# This file only ever shrinks: `rxlint known` takes out what is found no more, and adds nothing.
rxlint known findings 1
"""
_TITLE: Final = _HEAD.splitlines()[-1]
_ENTRY: Final = re.compile(r"([0-9a-f]{16}-[0-9]{1,6})  (reject|query|note)  ([a-z][a-z0-9-]*(?:\.[a-z0-9-]+)+)  (.+)")


@dataclass(frozen=True, slots=True)
class Entry:
    """One known finding: its fingerprint, the level it then had, its rule."""

    fingerprint: str
    level: Level
    rule: str


@dataclass(frozen=True, slots=True)
class Known:
    """Known findings by the path of their file, relative to the folder of the list, with forward slashes."""

    by_path: Mapping[str, Mapping[str, Entry]]

    def __len__(self) -> int:
        return sum(len(entries) for entries in self.by_path.values())


@dataclass(frozen=True, slots=True)
class KnownList:
    """A list with the folder that its paths start from."""

    known: Known
    folder: Path

    def mark(self, screening: Screening, path: Path) -> Screening:
        """The screening of a file with its known findings marked."""
        told = relative(path, self.folder)
        return screening if told is None else marked(screening, told, self.known)


NOTHING: Final = Known({})


def read_known(path: Path, shown: str) -> tuple[Known | None, tuple[PackProblem, ...]]:
    """Read a list; (None, problems) where it can't be used. A list that is not there yet knows nothing."""
    if not os.path.lexists(path):
        return NOTHING, ()
    try:
        read = read_up_to(path, MAX_BYTES)
        text = read[0].decode("utf-8") if read is not None else None
    except (OSError, ValueError) as error:
        why = f"can't be opened: {error.strerror}" if isinstance(error, OSError) else "is not UTF-8 text"
        return None, (PackProblem(shown, 1, 1, why),)
    if read is None or text is None:
        return None, (PackProblem(shown, 1, 1, "is not a regular file"),)
    if read[1] > MAX_BYTES:
        return None, (PackProblem(shown, 1, 1, f"is larger than {MAX_BYTES // 1024 // 1024} MiB"),)
    return _parse(text, shown)


def _parse(text: str, shown: str) -> tuple[Known | None, tuple[PackProblem, ...]]:
    found: dict[str, dict[str, Entry]] = {}
    problems: list[PackProblem] = []
    titled = False
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip() or line.startswith("#"):
            continue
        if not titled:
            titled = line.rstrip() == _TITLE
            if not titled:
                return None, (PackProblem(shown, number, 1, f"is no list of known findings: expected {_TITLE}"),)
            continue
        match = _ENTRY.fullmatch(line.rstrip("\r"))
        if match is None:
            told = "expected fingerprint, level, rule and file, two spaces apart"
            problems.append(PackProblem(shown, number, 1, told))
            continue
        fingerprint, level, rule, path = match.groups()
        found.setdefault(path, {})[fingerprint] = Entry(fingerprint, _level(level), rule)
    if not titled:
        problems.append(PackProblem(shown, 1, 1, f"is no list of known findings: expected {_TITLE}"))
    return (None, tuple(problems)) if problems else (Known(found), ())


def _level(text: str) -> Level:
    return next(level for level in LEVELS if level == text)


def marked(screening: Screening, path: str, known: Known) -> Screening:
    """The screening of a file with its known findings marked. One that has become stricter since is not known."""
    entries = known.by_path.get(path)
    if not entries:
        return screening
    return replace(screening, findings=tuple(_marked(each, entries) for each in screening.findings))


def _marked(finding: Finding, entries: Mapping[str, Entry]) -> Finding:
    entry = entries.get(finding.fingerprint)
    if entry is None or LEVELS.index(finding.level) < LEVELS.index(entry.level):
        return finding
    return replace(finding, known=True)


def started(screenings: Iterable[tuple[str, Screening]]) -> Known:
    """A new list: every finding that counts, by the path of its file."""
    found = {
        path: {each.fingerprint: Entry(each.fingerprint, each.level, each.rule) for each in counting}
        for path, screening in screenings
        if (counting := [each for each in screening.findings if each.acceptance is None])
    }
    return Known(found)


def shrunk(known: Known, screenings: Iterable[tuple[str, Screening]], gone: Iterable[str] = ()) -> Known:
    """The list without what is found no more in the files that were screened, and without files that are ``gone``.

    A level may only become lower. A file that was not screened, or could not be read, keeps its entries.
    """
    left = dict(known.by_path)
    for path in gone:
        left.pop(path, None)
    for path, screening in screenings:
        if path not in left:
            continue
        levels = {each.fingerprint: each.level for each in screening.findings}
        kept = {
            print_: replace(entry, level=max(entry.level, levels[print_], key=LEVELS.index))
            for print_, entry in left[path].items()
            if print_ in levels
        }
        if kept:
            left[path] = kept
        else:
            del left[path]
    return Known(left)


def text_of(known: Known) -> str:
    """The list as text, in a fixed order."""
    lines = [
        f"{entry.fingerprint}  {entry.level}  {entry.rule}  {path}"
        for path in sorted(known.by_path)
        for entry in sorted(known.by_path[path].values(), key=lambda each: (each.rule, each.fingerprint))
    ]
    return _HEAD + "".join(f"{line}\n" for line in lines)


def write_known(path: Path, known: Known, instead_of: bytes | None = None) -> None:
    """Write a list in one step: the old file or the new one is there at any time. It takes the place of a file that
    holds these bytes, or of none. Raises ChangedError, FileExistsError and OSError.
    """
    write_whole(path, text_of(known).encode("utf-8"), instead_of, new=instead_of is None)
