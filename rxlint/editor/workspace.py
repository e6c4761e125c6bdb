"""What a session of an editor knows beyond one text: the rules of each folder, libraries, and the texts that are open.

A workspace speaks of paths and texts and of no protocol. All its methods may be called from any thread; the first
snapshot takes seconds, for the rules are read then.
"""

from __future__ import annotations

import datetime
import gc
import re
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from rxlint.editor.overlay import Changed, Library, Open, OverlaidLibraries, Stamp, head_of_text, stamp_of
from rxlint.editor.shapes import Mark
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.yaml_files import YamlFile, yaml_marks
from rxlint.editor.yaml_known import KnownPacks, files_beside, named_as
from rxlint.library.discover import ENDING, read_bytes
from rxlint.library.roots import root_of
from rxlint.library.rulings import Faults, Ruling, Rulings
from rxlint.library.settings import NAME, Settings, find_settings
from rxlint.notation.tree import Place
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.shelf import Head
from rxlint.text import Problem, printable, read_source

_YAML: Final = (".yaml", ".yml")
_PLACED: Final = re.compile(r"(?P<path>.+?):(?P<line>[0-9]+):(?P<column>[0-9]+): (?P<message>.*)", re.DOTALL)


@dataclass(slots=True)
class _Buffer:
    """An open text, where it is (links followed), its head, the library it stands in, and the last snapshot of it.

    ``laid`` is the text as it lies over each library, by the root of that; None where it lies outside.
    """

    path: Path
    text: str = ""
    resolved: Path | None = None
    head: Head | Problem = field(default_factory=lambda: Problem("not read yet"))
    root: Path | None = None
    snapshot: Snapshot | None = None
    laid: dict[Path, Open | None] = field(default_factory=dict)

    def over(self, root: Path) -> Open | None:
        """The text as it lies over a library, made once for each state of it."""
        if root not in self.laid:
            shown = _within(self.resolved, root)
            head = self.head
            if shown is not None and isinstance(head, Head):
                head = Head(shown, *_said(head))
            self.laid[root] = Open(shown, head, self.text) if shown is not None else None
        return self.laid[root]


class Workspace:
    """The state of a session. ``make_rulings`` makes the rules anew (it may raise Faults), ``day`` is the day that
    dates are judged on (None: today, whenever that is), ``given`` are the files that the command line names.
    ``is_told`` says that every change of a file is told by ``changed``, so that none has to be looked for.
    """

    def __init__(
        self,
        make_rulings: Callable[[], Rulings] = Rulings,
        day: datetime.date | None = None,
        given: Iterable[Path] = (),
        *,
        is_told: bool = False,
    ) -> None:
        self._make_rulings = make_rulings
        self._day = day
        self._is_told = is_told
        self._given = tuple(given)
        self._folders: tuple[Path, ...] = ()
        self._buffers: dict[Path, _Buffer] = {}
        self._lock = threading.RLock()
        self.made = 0
        """How often the rules were made so far."""
        self._rulings: Rulings | None = None
        self._faults: Ruling | None = None
        self._libraries = OverlaidLibraries()
        self._stamps: dict[Path, Stamp | None] = {}
        self._known_packs = KnownPacks()
        self._yaml: dict[Path, YamlFile] = {}
        self._roots: dict[Path, Path] = {}  # each root once: a keystroke compares those of all open texts
        self._settings: dict[Path, Path | None] = {}  # by folder, the settings that were found for it

    # ---- what the editor says

    def warm(self) -> frozenset[Path]:
        """Read the rules before they are asked for."""
        with self._lock:
            for folder in self._folders or (None,):
                self._ruling(folder)
            return frozenset()

    def set_folders(self, folders: Iterable[Path]) -> frozenset[Path]:
        """The folders that are open as a whole: libraries in them count as searched. All open documents may come out
        otherwise now.
        """
        with self._lock:
            self._folders = tuple(folders)
            for buffer in self._buffers.values():
                buffer.snapshot = buffer.root = None
            self.warm()
            return frozenset(self._buffers)

    def set_day(self, day: datetime.date) -> frozenset[Path]:
        """The day that dates are judged on. All open documents may come out otherwise now."""
        with self._lock:
            self._day = day
            return frozenset(self._buffers)

    def let_go(self, path: Path) -> None:
        """Nothing is asked of an open text for now: what was worked out of it need not be remembered."""
        with self._lock:
            buffer = self._buffers.get(path)
            if buffer is not None:
                buffer.snapshot = None

    def put(self, path: Path, text: str) -> frozenset[Path]:
        """A text is open and stands so; a path that is not absolute names one that is saved nowhere. The other open
        documents that may come out otherwise now.
        """
        with self._lock:
            affected = self._renewed()
            buffer = self._buffers.get(path)
            if buffer is None:
                buffer = self._buffers[path] = _Buffer(path, resolved=_resolved(path))
            if buffer.text != text or isinstance(buffer.head, Problem):
                buffer.text = text
                buffer.head = head_of_text(text, path.name)
                buffer.snapshot = None
                buffer.laid.clear()
                buffer.root = self._root_of(buffer)
            return (affected | self._lay()) - {path}

    def drop(self, path: Path) -> frozenset[Path]:
        """A text is closed: its file counts again. The open documents that may come out otherwise now."""
        with self._lock:
            self._buffers.pop(path, None)
            return self._lay()

    def changed(self, paths: Iterable[Path]) -> frozenset[Path]:
        """Files may have changed on the disk. The open documents that may come out otherwise now."""
        with self._lock:
            given = list(paths)
            if any(self._is_of_rules(path) for path in given):
                self._forget()
                return frozenset(self._buffers)
            affected: set[Path] = set()
            for path in given:
                if path.suffix.lower() == ENDING:
                    for library in self._libraries.by_root.values():
                        shown = _within(_resolved(path), library.root)
                        if shown is not None:
                            affected |= self._affected(library, library.look_at(shown))
            return frozenset(affected)

    def look_again(self) -> frozenset[Path]:
        """Any file may have changed, for the editor does not tell. The open documents that may come out otherwise."""
        with self._lock:
            affected = set(self._renewed())
            for library in self._libraries.by_root.values():
                affected |= self._affected(library, library.look_again())
            return frozenset(affected)

    # ---- what is asked

    def snapshot(self, path: Path, text: str) -> Snapshot:
        """A text under what holds at its path now. The same one as before where nothing has changed."""
        with self._lock:
            self._renewed()
            day = self._day or datetime.date.today()
            buffer = self._buffers.get(path)
            known = buffer.snapshot if buffer is not None else None
            if known is not None and known.text == text and known.day == day:
                return known
            made = self._made(path, text, day)
            if buffer is not None and buffer.text == text:
                buffer.snapshot = made
            return made

    def yaml_file(self, path: Path, text: str) -> YamlFile:
        """A file of rules or settings as it stands, with what it may refer to. The same one as before where nothing
        has changed.
        """
        with self._lock:
            self._renewed()
            resolved = _resolved(path)
            if resolved is None:
                return YamlFile(path, text)
            settings = self._ruling(resolved.parent).settings
            common = self._rulings.base.packs if self._rulings is not None else builtin_packs()
            known = self._known_packs.of(resolved, text, settings, common)
            made = YamlFile(resolved, text, known, files_beside(resolved), named_as(resolved, settings))
            last = self._yaml.get(path)
            if last is not None and last.has_same(made):
                return last
            self._yaml[path] = made
            return made

    def marks_of_rules(self, path: Path, text: str) -> tuple[Mark, ...]:
        """What is told of a file of rules; of settings that stand as they are saved, also what their files have."""
        file = self.yaml_file(path, text)
        found = yaml_marks(file)
        if not found and file.kind == "settings" and self.text_of(file.path) == text:
            return self.settings_marks().get(file.path, ())
        return found

    def drop_yaml(self, path: Path) -> frozenset[Path]:
        """A file of rules is closed; nothing else is touched, for only what is saved holds."""
        with self._lock:
            self._yaml.pop(path, None)
            return frozenset()

    def text_of(self, path: Path) -> str | None:
        """A document's text: the open one, else that of its file; None where it can't be read."""
        buffer = self._buffers.get(self.open_path(path))
        if buffer is not None:
            return buffer.text
        data = read_bytes(path)
        source = read_source(data) if isinstance(data, bytes) else data
        return None if isinstance(source, Problem) else source.text()

    def open_path(self, path: Path) -> Path:
        """The path under which a file is open, where it is: one that is reached by a link has two."""
        if path in self._buffers:
            return path
        return next((each.path for each in list(self._buffers.values()) if each.resolved == path), path)

    def settings_marks(self) -> Mapping[Path, tuple[Mark, ...]]:
        """The faults of all settings that were asked for so far, at their places; none for those that are sound."""
        with self._lock:
            found: dict[Path, tuple[Mark, ...]] = {}
            for folder, path in self._settings.items():
                if path is not None and path not in found:
                    found[path] = tuple(_settings_marks(self._ruling(folder)))
            return found

    # ---- rules

    def _made(self, path: Path, text: str, day: datetime.date) -> Snapshot:
        is_saved = path.is_absolute()
        folder = path.parent if is_saved else self._only_folder()
        if folder is None:
            return Snapshot(path, text, self._ruling(None), day)
        ruling, searched = self._ruling(folder), self._searched(folder)
        where = path if is_saved else folder / path.name
        root = root_of(where, ruling.settings, searched)
        if root is not None and root not in self._libraries.by_root:  # other open texts may stand in it
            self._libraries.of_root(root).search()
            self._lay()
        view = self._libraries.view(where, ruling.settings, searched, is_file=is_saved)
        return Snapshot(path, text, ruling, day, view, root if view is not None else None)

    def _ruling(self, folder: Path | None) -> Ruling:
        """What holds in a folder; None stands for nowhere, where the built-in rules and the command line's hold."""
        if self._rulings is None and self._faults is None:
            self._watch(self._given)
            self.made += 1
            try:
                self._rulings = self._make_rulings()
            except Faults as faults:
                self._faults = Ruling(None, problems=tuple(Problem(told) for told in str(faults).splitlines()))
        if self._rulings is None:
            assert self._faults is not None
            return self._faults
        if folder is None:
            return Ruling(self._rulings.base)
        ruling = self._rulings.of_folder(folder)
        if folder not in self._settings:
            self._settings[folder] = found = find_settings(folder)
            self._watch([found] if found is not None else [])
            self._watch(_named_by(ruling.settings))
        return ruling

    def _renewed(self) -> frozenset[Path]:
        """Forget the rules where a file that they were made from has changed: a glance at some dozen files."""
        if self._is_told:
            return frozenset()
        same = all(stamp_of(path) == stamp for path, stamp in self._stamps.items())
        if same and all(find_settings(folder) == found for folder, found in self._settings.items()):
            return frozenset()
        self._forget()
        return frozenset(self._buffers)

    def _forget(self) -> None:
        self._rulings = self._faults = None
        self._stamps.clear()
        self._settings.clear()
        for library in self._libraries.by_root.values():
            library.search_again()  # settings say where a library ends
        for buffer in self._buffers.values():
            buffer.snapshot = None
            buffer.root = None

    def _watch(self, paths: Iterable[Path]) -> None:
        for path in paths:
            self._stamps.setdefault(path, stamp_of(path))
            if path.is_dir():
                self._stamps |= {each: stamp_of(each) for each in sorted(path.glob("*.yaml"))}

    def _is_of_rules(self, path: Path) -> bool:
        """Whether the rules of some folder in use may come from a file."""
        if path in self._stamps or path.name == NAME:
            return True
        tops = [each.parent for each in self._settings.values() if each is not None]
        resolved = _resolved(path)
        return path.suffix in _YAML and resolved is not None and any(resolved.is_relative_to(top) for top in tops)

    # ---- libraries

    def _searched(self, folder: Path) -> Path | None:
        """The folder that is open as a whole and holds this one; the widest, where several do."""
        return min((each for each in self._folders if folder.is_relative_to(each)), key=_depth, default=None)

    def _only_folder(self) -> Path | None:
        """Where a document belongs that is saved nowhere yet: the folder that is open, where it is the only one."""
        return self._folders[0] if len(self._folders) == 1 else None

    def _root_of(self, buffer: _Buffer) -> Path | None:
        if not buffer.path.is_absolute():
            return None
        folder = buffer.path.parent
        root = root_of(buffer.path, self._ruling(folder).settings, self._searched(folder))
        return self._roots.setdefault(root, root) if root is not None else None

    def _lay(self) -> frozenset[Path]:
        """Lay all open texts over the libraries that they stand in."""
        affected: set[Path] = set()
        for buffer in self._buffers.values():
            buffer.root = buffer.root or self._root_of(buffer)
        for library in self._libraries.by_root.values():
            texts: dict[str, Open] = {}
            root = self._roots.setdefault(library.root, library.root)
            for buffer in self._buffers.values():
                laid = buffer.over(root)
                is_own = buffer.root is root or buffer.root == root
                if laid is not None and (is_own or library.holds(laid.shown)):
                    texts[laid.shown] = laid
            affected |= self._affected(library, library.lay(texts))
        return frozenset(affected)

    def _affected(self, library: Library, changed: Changed) -> set[Path]:
        """The open documents of a library that a change may mean something for."""
        if not changed.heads and not changed.templates:
            return set()
        found: set[Path] = set()
        for buffer in self._buffers.values():
            follows = buffer.head.follows if isinstance(buffer.head, Head) else None
            is_follower = follows is not None and follows[0] in changed.templates
            if buffer.root == library.root and (changed.heads or is_follower):
                buffer.snapshot = None
                found.add(buffer.path)
        return found


def settle() -> None:
    """Keep the rules, which stay for the session, out of the search for garbage: it would take 100 ms at any time."""
    gc.unfreeze()  # those of before
    gc.collect()
    gc.freeze()


def _said(head: Head) -> tuple[str | None, str | None, int | None, str | None, tuple[str, int] | None]:
    return head.kind, head.id, head.revision, head.status, head.follows


def _depth(path: Path) -> int:
    return len(path.parts)


def _resolved(path: Path) -> Path | None:
    """A path with its links followed; None for one that is saved nowhere, or can't be followed."""
    try:
        return path.resolve() if path.is_absolute() else None
    except (OSError, RuntimeError, ValueError):
        return None


def _within(path: Path | None, root: Path) -> str | None:
    return path.relative_to(root).as_posix() if path is not None and path.is_relative_to(root) else None


def _named_by(settings: Settings | None) -> Iterator[Path]:
    """The files that settings name, and the settings that they build on with theirs."""
    for layer in settings.layers if settings is not None else ():
        if layer is not settings:
            yield layer.path
        known = [layer.known_findings] if layer.known_findings is not None else []
        for named in (*layer.packs, *layer.policies, *layer.profiles, *known):
            yield named.path


# ---- faults of settings


def _settings_marks(ruling: Ruling) -> Iterator[Mark]:
    """The faults of a settings file where they stand in it; those of a file that it names, where it names that."""
    settings = ruling.settings
    named = (*settings.packs, *settings.policies, *settings.profiles) if settings is not None else ()
    if settings is not None and settings.known_findings is not None:
        named = (*named, settings.known_findings)
    for problem in ruling.problems:
        placed = _PLACED.fullmatch(problem.message)
        of_file = next(
            (each for each in named if problem.message.startswith((f"{each.shown}:", f"{each.shown}/"))), None
        )
        line, column, message = 1, 1, problem.message
        if of_file is not None:
            line, column = of_file.line, of_file.column
        elif placed is not None and settings is None:
            line, column, message = int(placed["line"]), int(placed["column"]), placed["message"]
        yield Mark(Place(line, column, line + 1, 1), "reject", printable(message))
