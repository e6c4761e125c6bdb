"""The work tree held against a revision, for ``screen --since``: what changed, and what holds for each document.

Git is asked as ``revisions`` asks it. Files of the work tree are read here, each once, and no more than the heads of
documents are kept.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from pathlib import Path
from typing import Final, NamedTuple

from rxlint.library.comparing import CannotCompare, place_of
from rxlint.library.discover import ENDING, Input, find_inputs, read_bytes
from rxlint.library.heads import MOST, head_in
from rxlint.library.known import MAX_BYTES as MOST_OF_A_FILE
from rxlint.library.profiles import ENDING as PROFILE
from rxlint.library.revisions import NOT_HELD, Blob, NoRevision, Repository, name_of
from rxlint.library.roots import root_of
from rxlint.library.screen import parse_bytes
from rxlint.library.settings import NAME, Named, Settings, find_settings, read_settings
from rxlint.library.since import Before, Choice, Reason, Standing, reasons_of
from rxlint.screening.shelf import Head
from rxlint.text import Problem
from rxlint.text.files import read_up_to

_AT_ONCE: Final = 200  # texts of the revision that are held at a time


def choose(revision: str, paths: Sequence[str], *, nearest: bool = True, files: Sequence[str] = ()) -> Choice:
    """What of these paths may come out differently than at the revision.

    ``files`` are the packs, policies, profiles and lists of the command line, for they hold for every document;
    ``nearest`` says whether settings are read, without which no library is known and nothing follows anything. Raises
    NoRevision where there is no such revision, and CannotCompare for a path that is not there or lies in another place.
    """
    for given in paths:
        if not given or not os.path.lexists(given):
            raise CannotCompare(f"{given or 'an empty name'} is not there")
    first = Path(paths[0])
    repository = Repository(first if first.is_dir() else first.parent)
    asked = [place_of(Path(each), repository) for each in paths]
    tree = _Tree(repository, revision)
    inputs = list(find_inputs(paths))
    above, unknown = tree.changed_of(files)
    places = [tree.place(each.path) if each.path is not None else None for each in inputs]
    standing = _standing(zip(inputs, places, strict=True), tree, nearest, above)
    if nearest:  # a chain may lead through documents that are not asked for
        others = [(each, tree.place(each.path)) for each in find_inputs([str(tree.top)]) if each.path is not None]
        standing |= _standing([each for each in others if each[1] not in standing], tree, nearest, ())
    old, gone = tree.before(standing)
    reasons = reasons_of(list(standing.values()), old)
    chosen = [(each, _reason(place, reasons)) for each, place in zip(inputs, places, strict=True)]
    kept = [(each, reason) for each, reason in chosen if reason is not None]
    return Choice(
        tuple(each for each, _ in kept),
        tuple(reason for _, reason in kept),
        len(inputs),
        sum(1 for place in gone if _is_under(place, asked)),
        tuple(dict.fromkeys(name for place in places if place is not None for name in standing[place].settings)),
        unknown,
    )


def _reason(place: str | None, reasons: dict[str, Reason]) -> Reason | None:
    return "unread" if place is None else reasons.get(place)


def _standing(
    found: Iterable[tuple[Input, str | None]], tree: _Tree, nearest: bool, above: tuple[str, ...]
) -> dict[str, Standing]:
    """What is known of the documents at these places, each once."""
    known: dict[str, Standing] = {}
    for each, place in found:
        if each.path is not None and place is not None and place not in known:
            known[place] = tree.standing(each.path, place, nearest, above)
    return known


def _is_under(place: str, folders: Sequence[str]) -> bool:
    return any(folder in ("", place) or place.startswith(f"{folder}/") for folder in folders)


class _Held(NamedTuple):
    """What holds for a folder: where its library begins, the changed files that decide how its documents are screened,
    and whether one of these says what the library is.
    """

    root: str | None
    changed: tuple[str, ...]
    may_have_moved: bool


class _Tree:
    """The work tree of a repository beside one of its revisions."""

    def __init__(self, repository: Repository, revision: str) -> None:
        self._repository = repository
        self.top = Path(os.path.realpath(repository.top))
        self._blobs = {each.path: each for each in repository.files(repository.commit(revision), "")}
        self._prefixes: dict[Path, str] = {}
        self._held: dict[Path, _Held] = {}
        self._by_settings: dict[Path, tuple[Settings | None, tuple[str, ...]]] = {}
        self._moved: dict[Path, tuple[str, ...]] = {}

    # ---- documents

    def place(self, path: Path) -> str:
        """A document's path from the top, as ``place_of``, which is asked once a folder."""
        prefix = self._prefixes.get(path.parent)
        if prefix is None:
            prefix = self._prefixes[path.parent] = place_of(path, self._repository).removesuffix(path.name)
        return prefix + path.name

    def standing(self, path: Path, place: str, nearest: bool, above: tuple[str, ...]) -> Standing:
        """A document of the work tree; ``above`` are changed files that hold whatever its settings are."""
        data = read_bytes(path)
        held = self._of_folder(path.parent) if nearest else _Held(None, (), False)
        changed = not _is_as_in(data, self._blobs.get(place))
        head = head_in(data[:MOST], place) if nearest and isinstance(data, bytes) else None
        return Standing(
            place,
            head if isinstance(head, Head) else None,
            held.root,
            changed,
            isinstance(data, Problem),
            _readings_of(data) if changed and isinstance(head, Head) and head.kind == "readings" else None,
            (*above, *held.changed),
            held.may_have_moved,
        )

    def _root(self, folder: Path, settings: Settings | None) -> str | None:
        root = root_of(folder / NAME, settings)
        if root is None or not root.is_relative_to(self.top):
            return None
        return "" if root == self.top else root.relative_to(self.top).as_posix()

    def before(self, standing: dict[str, Standing]) -> tuple[list[Before], list[str]]:
        """The heads that the revision has of what changed or is gone; and the places of what is gone, where no changed
        document bears its identifier.
        """
        blobs = [each for each in self._blobs.values() if each.path.lower().endswith(ENDING)]
        changed = {each.place for each in standing.values() if each.is_changed or each.is_unread}
        missing = {each.path for each in blobs if each.path not in standing and self._is_missing(each.path)}
        wanted = [each for each in blobs if each.path in changed or each.path in missing]
        heads = {each.path: head for each, head in self._heads(wanted)}
        ids = {each.head.id for each in standing.values() if each.is_changed and each.head is not None}
        gone = [place for place in sorted(missing) if place not in heads or heads[place].id not in ids - {None}]
        return [Before(place, head) for place, head in heads.items()], gone

    def _is_missing(self, place: str) -> bool:
        return not os.path.lexists(self.top / place)

    def _heads(self, blobs: Sequence[Blob]) -> Iterator[tuple[Blob, Head]]:
        for start in range(0, len(blobs), _AT_ONCE):
            some = blobs[start : start + _AT_ONCE]
            contents = self._repository.read(each.name for each in some)
            for each in some:
                data = contents[each.name]
                if isinstance(data, Problem) and data.message == NOT_HELD:  # then nobody knows what followed it
                    raise NoRevision(f"{each.path}: {NOT_HELD}")
                head = head_in(data[:MOST], each.path) if isinstance(data, bytes) else data
                if isinstance(head, Head):
                    yield each, head

    # ---- settings

    def _of_folder(self, folder: Path) -> _Held:
        known = self._held.get(folder)
        if known is None:
            whole = Path(os.path.realpath(folder))
            moved = self._settings_changed(whole)
            path = find_settings(whole)
            if path is not None and path not in self._by_settings:
                self._by_settings[path] = self._read(path)
            settings, named = self._by_settings[path] if path is not None else (None, ())
            told = _shown(path) if path is not None and settings is None else None  # by ``named``, with what ails it
            names = dict.fromkeys((*(each for each in moved if each != told), *named))
            known = self._held[folder] = _Held(self._root(whole, settings), tuple(names), bool(moved))
        return known

    def _settings_changed(self, folder: Path) -> tuple[str, ...]:
        """The settings files of a folder and of those above it that are not as they were: come, gone or changed."""
        if not folder.is_relative_to(self.top):
            return ()
        known = self._moved.get(folder)
        if known is None:
            own = (_shown(folder / NAME),) if self._is_changed(folder / NAME) else ()
            above = self._settings_changed(folder.parent) if folder != self.top else ()
            known = self._moved[folder] = (*own, *above)
        return known

    def _read(self, path: Path) -> tuple[Settings | None, tuple[str, ...]]:
        """The settings in a file, and which of the files that they name are not as they were."""
        settings, _ = read_settings(path, str(path))
        if settings is None:  # what it named is not known, and nothing under it can be screened: that is to be told
            return None, (f"{_shown(path)}, which can't be used",)
        named = [each for layer in settings.layers for each in _files_of(layer)]
        return settings, tuple(_shown(each.path) for each in named if self._is_named_changed(each))

    def _is_named_changed(self, named: Named) -> bool:
        """Whether a file that settings name changed. Of a link nobody can tell where it led to before."""
        return os.path.normpath(named.shown) != str(named.path) or self._is_changed(named.path)

    def changed_of(self, files: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Which files of the command line are not as they were; and of which that can't be told."""
        whole = {each: Path(os.path.realpath(each)) for each in files}
        unknown = tuple(each for each, path in whole.items() if not path.is_relative_to(self.top))
        return tuple(each for each, path in whole.items() if each not in unknown and self._is_changed(path)), unknown

    def _is_changed(self, path: Path) -> bool:
        """Whether a file is not as it was, or a folder of profiles does not hold the same ones."""
        if not path.is_relative_to(self.top):  # of what the revision does not hold nobody can tell
            return True
        place = path.relative_to(self.top).as_posix()
        if path.is_dir():
            now = {each.name for each in path.iterdir() if each.suffix == PROFILE}
            return any(self._is_changed(path / name) for name in now | self._profiles_before(place))
        blob = self._blobs.get(place)
        if not os.path.lexists(path):
            return blob is not None or bool(self._profiles_before(place))
        return blob is None or not _is_as_in(_bytes_of(path), blob)

    def _profiles_before(self, folder: str) -> set[str]:
        return self._profiles.get(folder, set())

    @cached_property
    def _profiles(self) -> dict[str, set[str]]:
        """The names of the YAML files in each folder of the revision."""
        found: dict[str, set[str]] = {}
        for place in self._blobs:
            folder, _, name = place.rpartition("/")
            if name.endswith(PROFILE):
                found.setdefault(folder, set()).add(name)
        return found


def _files_of(settings: Settings) -> Iterator[Named]:
    yield from (*settings.policies, *settings.packs, *settings.profiles)
    if settings.known_findings is not None:
        yield settings.known_findings


def _is_as_in(data: bytes | Problem, blob: Blob | None) -> bool:
    """Whether a file holds what it held. A checkout may have made all its line ends ``\\r\\n``: that is no change."""
    if blob is None or isinstance(data, Problem):
        return False
    if name_of(data, blob.name) == blob.name:
        return True
    returns = data.count(b"\r\n")
    return 0 < returns == data.count(b"\n") and name_of(data.replace(b"\r\n", b"\n"), blob.name) == blob.name


def _bytes_of(path: Path) -> bytes | Problem:
    """What a file holds that is no document."""
    try:
        read = read_up_to(path, MOST_OF_A_FILE)
    except (OSError, ValueError) as error:
        return Problem(str(error))
    return read[0] if read is not None and read[1] <= MOST_OF_A_FILE else Problem("is too large, or no file")


def _readings_of(data: bytes | Problem) -> str | None:
    """The order that a document of readings says they are of."""
    document = parse_bytes(data) if isinstance(data, bytes) else data
    if not isinstance(document, Problem):
        for block in document.blocks_of("readings for"):
            if block.heading is not None and block.heading.link is not None:
                return block.heading.link.id.text
    return None


def _shown(path: Path) -> str:
    """A path as somebody who stands in the current folder would name it."""
    try:
        return Path(os.path.relpath(path)).as_posix()
    except ValueError:  # on another drive
        return path.as_posix()


__all__ = ["CannotCompare", "NoRevision", "choose"]
