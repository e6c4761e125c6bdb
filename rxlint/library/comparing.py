"""Two states of a library: which document of the one is which of the other, and each pair compared.

A document is told by its identifier, then by its path; one without an identifier that has moved, by its text.
"""

from __future__ import annotations

import datetime
import os
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from pathlib import Path
from typing import Final, Literal

from rxlint.library.discover import ENDING, Input, find_inputs, read_bytes
from rxlint.library.revisions import Blob, NoRevision, Repository, name_of
from rxlint.library.rulings import Rulings
from rxlint.library.screen import document_id, parse_bytes
from rxlint.notation.tree import Document
from rxlint.packs.stack import PolicyUse
from rxlint.screening.compare import Comparison, compare_documents
from rxlint.text import Problem

Status = Literal["compared", "new", "deleted"]

# A text that moved is the same document where at least half of it is the same; as git has it.
_LIKE: Final = 0.5
_MOST_LIKENESSES: Final = 2_500  # texts held against each other; beyond that, only identifiers and paths tell


class CannotCompare(ValueError):
    """The two can't be compared; the message says why."""


@dataclass(frozen=True, slots=True)
class Version:
    """A document as it is, or was: the name to show, its place in its library, and its bytes.

    ``path`` is where it is on disk, if it is; ``document`` what could be read.
    """

    shown: str
    place: str
    data: bytes | Problem
    path: Path | None = None
    document: Document | Problem | None = None

    @property
    def read(self) -> Document | Problem:
        """The document, or why there is none."""
        return self.document if self.document is not None else parsed(self.data)

    @property
    def id(self) -> str | None:
        """The identifier it states."""
        return None if isinstance(self.read, Problem) else document_id(self.read)


@dataclass(frozen=True, slots=True)
class Pair:
    """A document before and after; None where it was not there, or is not there any more."""

    old: Version | None
    new: Version | None

    @property
    def is_renamed(self) -> bool:
        """Whether it stands in another place than before."""
        return self.old is not None and self.new is not None and self.old.place != self.new.place


@dataclass(frozen=True, slots=True)
class Compared:
    """A document with what became of it; ``problems`` where one of its texts could not be read."""

    pair: Pair
    status: Status
    problems: tuple[tuple[str, Problem], ...] = ()
    comparison: Comparison | None = None
    policies: tuple[PolicyUse, ...] = ()
    misconfigured: bool = False

    @property
    def shown(self) -> str:
        """The name to show: that of the new text, where there is one."""
        version = self.pair.new or self.pair.old
        assert version is not None
        return version.shown


def parsed(data: bytes | Problem) -> Document | Problem:
    """The document in some bytes, or why there is none."""
    return data if isinstance(data, Problem) else parse_bytes(data)


# ---- two files, or two folders


def pairs_of(old: str, new: str) -> list[Pair]:
    """The documents of two files, or of two folders. Raises CannotCompare where one of them is neither."""
    for given in (old, new):
        if not given or not os.path.exists(given):
            raise CannotCompare(f"{given or 'an empty name'} is not there")
    folders = [os.path.isdir(each) for each in (old, new)]
    if folders[0] != folders[1]:
        raise CannotCompare("name two files or two folders, not one of each")
    if not folders[0]:
        first, second = Path(old), Path(new)
        return [Pair(_version(old, "", first), _version(new, "", second))]
    return matched(_in_folder(old), _in_folder(new))


def _in_folder(given: str) -> list[Version]:
    return [
        _version(each.shown, Path(os.path.relpath(each.path, given)).as_posix(), each.path)
        if each.path is not None and each.problem is None
        else Version(each.shown, each.shown, each.problem or Problem("is not there"))
        for each in find_inputs([given])
        if each.path is not None or not _is_empty(each)
    ]


def _is_empty(found: Input) -> bool:
    """Whether this only says that a folder holds no document: then its documents have come, or are gone."""
    return found.problem is not None and found.problem.message.startswith("the folder holds no document")


def _version(shown: str, place: str, path: Path) -> Version:
    data = read_bytes(path)
    return Version(shown, place, data, path, parsed(data))


# ---- the work tree and a revision


def pairs_since(revision: str, paths: Sequence[str]) -> list[Pair]:
    """The documents of the work tree that are not as a revision has them, and those of it that are gone.

    Raises NoRevision where there is no such revision, and CannotCompare for paths that are not of one repository.
    """
    for given in paths:
        if not given or not os.path.lexists(given):
            raise CannotCompare(f"{given or 'an empty name'} is not there")
    folders = [Path(each) if os.path.isdir(each) else Path(each).parent for each in paths]
    repository = Repository(folders[0])
    places = [place_of(Path(each), repository) for each in paths]
    blobs = repository.files(repository.commit(revision), ENDING)
    by_place = {each.path: each for each in blobs}
    new = [_work_file(each, repository) for each in find_inputs(paths) if each.path is not None or not _is_empty(each)]
    changed = [each for each in new if not _is_as_in(each, by_place.get(each.place))]
    same = {each.place for each in new} - {each.place for each in changed}
    wanted = [each for each in blobs if each.path not in same and _may_be_old(each, changed, repository)]
    contents = repository.read(each.name for each in wanted)
    old = [_blob_version(revision, each, contents[each.name]) for each in wanted]
    pairs = matched(old, [replace(each, document=parsed(each.data)) for each in changed])
    return [each for each in pairs if each.new is not None or (each.old is not None and _is_under(each.old, places))]


def place_of(path: Path, repository: Repository) -> str:
    """A path from the top of its repository; links on the way are followed, a link itself is not.

    Raises CannotCompare for one that lies outside.
    """
    whole = Path(os.path.realpath(path.parent)) / path.name if path.name not in ("", "..") else path.resolve()
    try:
        place = whole.relative_to(os.path.realpath(repository.top))
    except ValueError:
        raise CannotCompare(f"{path} does not lie in the repository {repository.top}") from None
    return "" if place == Path() else place.as_posix()


def _work_file(found: Input, repository: Repository) -> Version:
    if found.path is None or found.problem is not None:
        return Version(found.shown, found.shown, found.problem or Problem("is not there"))
    return Version(found.shown, place_of(found.path, repository), read_bytes(found.path), found.path)


def _is_as_in(version: Version, blob: Blob | None) -> bool:
    return blob is not None and isinstance(version.data, bytes) and name_of(version.data, blob.name) == blob.name


def _may_be_old(blob: Blob, changed: Sequence[Version], repository: Repository) -> bool:
    """Whether a file of the revision is another one now, or gone from where it was."""
    if any(each.place == blob.path for each in changed):
        return True
    return not os.path.lexists(repository.top / blob.path)


def _blob_version(revision: str, blob: Blob, data: bytes | Problem) -> Version:
    return Version(f"{revision}:{blob.path}", blob.path, data, None, parsed(data))


def _is_under(version: Version, places: Sequence[str]) -> bool:
    return any(place in ("", version.place) or version.place.startswith(f"{place}/") for place in places)


# ---- which is which


def matched(old: Sequence[Version], new: Sequence[Version]) -> list[Pair]:
    """Pairs of versions: first those of the new side in their order, then what is gone. What is alike is left out."""
    left, pairs = list(old), dict[int, Version]()
    same = {each.place: each for each in old}
    waiting = [each for each in new if not _is_alike(same.get(each.place), each)]
    kept = {each.place for each in new} - {each.place for each in waiting}
    left = [each for each in left if each.place not in kept]
    for pairing in (_by_id, _by_place, _by_text):
        rest = [each for each in waiting if id(each) not in pairs]
        for one, other in pairing(left, rest):
            pairs[id(other)] = one
        taken = {id(each) for each in pairs.values()}
        left = [each for each in left if id(each) not in taken]
    return [Pair(pairs.get(id(each)), each) for each in waiting] + [Pair(each, None) for each in left]


def _is_alike(old: Version | None, new: Version) -> bool:
    return old is not None and isinstance(new.data, bytes) and old.data == new.data


def _by_id(old: Sequence[Version], new: Sequence[Version]) -> Iterator[tuple[Version, Version]]:
    """Those whose identifier stands once on either side."""
    ids = [Counter(each.id for each in side) for side in (old, new)]
    by_id = {each.id: each for each in old}
    for each in new:
        if each.id is not None and ids[0][each.id] == ids[1][each.id] == 1:
            yield by_id[each.id], each


def _by_place(old: Sequence[Version], new: Sequence[Version]) -> Iterator[tuple[Version, Version]]:
    by_place = {each.place: each for each in old}
    return ((by_place[each.place], each) for each in new if each.place in by_place)


def _by_text(old: Sequence[Version], new: Sequence[Version]) -> Iterator[tuple[Version, Version]]:
    """Those that have most of their lines in common, the most alike first; two identifiers are two documents."""
    if len(old) * len(new) > _MOST_LIKENESSES:
        return
    likenesses = [
        (likeness, -one, -other)
        for one, first in enumerate(old)
        for other, second in enumerate(new)
        if (likeness := _likeness(first, second)) >= _LIKE
    ]
    taken: set[int] = set()
    for _, one, other in sorted(likenesses, reverse=True):
        first, second = old[-one], new[-other]
        if not {id(first), id(second)} & taken:
            taken |= {id(first), id(second)}
            yield first, second


def _likeness(old: Version, new: Version) -> float:
    if not isinstance(old.data, bytes) or not isinstance(new.data, bytes):
        return 0.0
    if old.id is not None and new.id is not None and old.id != new.id:
        return 0.0
    lines = [data.split(b"\n") for data in (old.data, new.data)]
    matcher = SequenceMatcher(None, lines[0], lines[1], autojunk=False)
    return matcher.ratio() if matcher.quick_ratio() >= _LIKE else 0.0


# ---- each pair


def compare_pairs(pairs: Iterable[Pair], rulings: Rulings, today: datetime.date | None = None) -> Iterator[Compared]:
    """Compare every pair under the rules of the folder in which its new text stands."""
    for pair in pairs:
        yield _compared(pair, rulings, today)


def _compared(pair: Pair, rulings: Rulings, today: datetime.date | None) -> Compared:
    versions = [each for each in (pair.old, pair.new) if each is not None]
    problems = tuple((each.shown, each.read) for each in versions if isinstance(each.read, Problem))
    status: Status = "deleted" if pair.new is None else "new" if pair.old is None else "compared"
    if problems or pair.old is None or pair.new is None:
        return Compared(pair, status, problems)
    ruling = rulings.of_folder(pair.new.path.parent if pair.new.path is not None else Path())
    if ruling.rules is None:
        told = tuple((pair.new.shown, problem) for problem in ruling.problems)
        return Compared(pair, status, told, misconfigured=True)
    old, new = pair.old.read, pair.new.read
    assert isinstance(old, Document)
    assert isinstance(new, Document)
    try:
        comparison = compare_documents(old, new, ruling.rules, today)
    except Exception as error:  # a fault of ours in one document must neither hide the others nor look clean
        fault = f"could not be compared, through a fault of this program: {type(error).__name__}: {error}"
        return Compared(pair, status, ((pair.new.shown, Problem(fault)),))
    return Compared(pair, status, (), comparison, ruling.rules.policies)


__all__ = [
    "CannotCompare",
    "Compared",
    "NoRevision",
    "Pair",
    "Status",
    "Version",
    "compare_pairs",
    "matched",
    "pairs_of",
    "pairs_since",
    "place_of",
]
