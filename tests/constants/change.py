"""One number changed while its module is imported: nothing is written, and no other process sees it."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from types import CodeType, ModuleType


@dataclass(frozen=True, slots=True)
class Change:
    """Text to put in place of other text, at a line and column of a module's source."""

    module: str
    line: int
    column: int
    old: str
    new: str


def changed(source: str, change: Change) -> str:
    """The source with the change made. Raises ValueError where the old text does not stand there."""
    lines = source.splitlines(keepends=True)
    # Columns count bytes of UTF-8, as `ast` does.
    line = lines[change.line - 1].encode()
    end = change.column + len(change.old.encode())
    if line[change.column : end].decode() != change.old:
        raise ValueError(f"{change.module}:{change.line}: no {change.old} at column {change.column}")
    lines[change.line - 1] = (line[: change.column] + change.new.encode() + line[end:]).decode()
    return "".join(lines)


class Changer(MetaPathFinder):
    """Loads one module with a change, and knows whether it has."""

    def __init__(self, change: Change) -> None:
        self.change = change
        self.used = False

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if fullname != self.change.module:
            return None
        spec = PathFinder.find_spec(fullname, path, target)
        if spec is not None and spec.origin is not None:
            spec.loader = _Loader(fullname, spec.origin, self)
        return spec


class _Loader(SourceFileLoader):
    def __init__(self, fullname: str, path: str, changer: Changer) -> None:
        super().__init__(fullname, path)
        self._changer = changer

    def get_code(self, fullname: str) -> CodeType:
        path = self.get_filename(fullname)
        source = changed(self.get_data(path).decode("utf-8"), self._changer.change)
        self._changer.used = True
        return compile(source, path, "exec", dont_inherit=True)  # never from, nor into, the cache of compiled files


def install(change: Change) -> Changer:
    """Make the change for everything that this process imports from now on."""
    changer = Changer(change)
    sys.meta_path.insert(0, changer)
    return changer
