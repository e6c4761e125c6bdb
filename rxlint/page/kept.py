"""The files of a desk: what each says now, and the folder that they lie in.

A document that is being written goes to the disk when something is about to read it from there; every other file at
once.
"""

from __future__ import annotations

import os
from pathlib import Path

from rxlint.page.files import File, Refused, cleaned, file_of, kind_of
from rxlint.page.shapes import FileKind
from rxlint.text import printable


class KeptFiles:
    """The files in a folder, by their paths from there. What can't be done is refused with its reason (Refused)."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self._files: dict[str, File] = {}
        self._unwritten: set[str] = set()

    def __contains__(self, path: object) -> bool:
        return path in self._files

    def __getitem__(self, path: str) -> File:
        file = self._files.get(path)
        if file is None:
            raise Refused(f"there is no file {printable(path)}")
        return file

    def of_kind(self, kind: FileKind) -> set[str]:
        """The files of a kind."""
        return {path for path, file in self._files.items() if file.kind == kind}

    def where(self, path: str) -> Path:
        """Where a file lies."""
        return self.folder / path

    def shown(self, path: Path) -> str:
        """A file's path from the folder; for one that lies elsewhere, the whole of it."""
        return path.relative_to(self.folder).as_posix() if path.is_relative_to(self.folder) else path.as_posix()

    def document(self, path: str) -> File:
        """A file that has to be a document."""
        file = self[path]
        if file.kind != "document":
            raise Refused(f"{printable(path)} is no document: the names of documents end in .vrx")
        return file

    def take(self, path: str, data: bytes) -> File:
        """A file has these bytes now."""
        self._write(path, data)
        self._files[path] = file_of(path, data)
        return self._files[path]

    def put(self, path: str, text: str) -> bool:
        """A file says this now; whether that is something else than before."""
        before, file = self._files.get(path), File(kind_of(path), text)
        if before == file:
            return False
        if before is None or file.kind != "document":
            self._write(path, _encoded(text))
        else:
            self._unwritten.add(path)
        self._files[path] = file
        return True

    def copy(self, path: str, to: str) -> str:
        """Let a file have a second name, which must not be taken; that name as it is known."""
        self[path]
        to = cleaned(to)
        if to in self._files or os.path.lexists(self.where(to)):
            raise Refused(f"there is a file {printable(to)} already")
        self.flush()
        try:
            data = self.where(path).read_bytes()
        except OSError as error:
            raise Refused(f"{printable(path)} can't be read: {error.strerror or error}") from None
        self.take(to, data)
        return to

    def remove(self, path: str) -> File:
        """Take a file away, and the folders that hold nothing then."""
        file, where = self[path], self.where(path)
        try:
            where.unlink(missing_ok=True)
            for folder in where.parents:
                if folder == self.folder or any(folder.iterdir()):
                    break
                folder.rmdir()
        except OSError as error:
            raise Refused(f"{printable(path)} can't be removed: {error.strerror or error}") from None
        self._unwritten.discard(path)
        del self._files[path]
        return file

    def flush(self) -> None:
        """Write what was put and is not on the disk yet."""
        for path in sorted(self._unwritten):
            text = self._files[path].text
            assert isinstance(text, str)
            self._write(path, _encoded(text))

    def _write(self, path: str, data: bytes) -> None:
        try:
            where = self.where(path)
            where.parent.mkdir(parents=True, exist_ok=True)
            where.write_bytes(data)
        except (OSError, ValueError) as error:
            raise Refused(f"{printable(path)} can't be kept: {getattr(error, 'strerror', None) or error}") from None
        self._unwritten.discard(path)


def _encoded(text: str) -> bytes:
    """A text as it is written. Half a character, which a browser's text may hold, makes a file that is no UTF-8, and
    is told as such.
    """
    return text.encode("utf-8", "surrogatepass")
