"""A file's bytes, read up to a limit and written in one step. A pipe with the name of a file is never waited for."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from pathlib import Path
from typing import BinaryIO, Final, Self

# Without this flag, opening a pipe waits until somebody writes to it. Windows has neither such pipes nor the flag.
_NO_WAIT = getattr(os, "O_NONBLOCK", 0)
_NEW: Final = os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0)  # the last for Windows
UNFINISHED: Final = ".rxlint-"
"""What the name of a file begins with that is not written to its end: hidden, and without a document's ending."""


def _opener(path: str, flags: int) -> int:
    return os.open(path, flags | _NO_WAIT)


def read_up_to(path: Path, limit: int) -> tuple[bytes, int] | None:
    """The first bytes of a regular file and its size; None for anything else. One byte above the limit is read.

    Raises OSError where it can't be opened or read.
    """
    with open(path, "rb", opener=_opener) as file:
        status = os.fstat(file.fileno())
        if not stat.S_ISREG(status.st_mode):
            return None
        return file.read(limit + 1) if status.st_size <= limit else b"", status.st_size


def linked_file(path: Path) -> Path | None:
    """The file to write: of a link what it leads to; None where that lies outside the link's own folder."""
    try:
        if not path.is_symlink():
            return path
        target = path.resolve()
        return target if target.is_relative_to(path.parent.resolve()) else None
    except (OSError, RuntimeError, ValueError):  # a ring of links, a name that is none: reading it tells why
        return path


def named_file(path: Path, *read: Path) -> Path:
    """The file to write for a name that somebody gave: of a link what it leads to, wherever that is and whether it is
    there already. Every command that writes a file of a given name asks here, so that none replaces a link.

    ``read`` are files that the command reads, and must not write over. Raises OSError for these, for a ring of links,
    and for a folder, a pipe, a device: what was no file must not become one; ValueError for a name that is none.
    """
    target = Path(os.path.realpath(path)) if path.is_symlink() else path
    if target.is_symlink():
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path))
    try:
        status = target.stat()
    except FileNotFoundError:
        return target
    if not stat.S_ISREG(status.st_mode):
        raise OSError(errno.EINVAL, "is not a regular file", str(path))
    for each in read:
        with contextlib.suppress(FileNotFoundError):
            if os.path.samestat(each.stat(), status):
                raise OSError(errno.EINVAL, "the file that is read is not written over", str(path))
    return target


class ChangedError(OSError):
    """The file is no longer what it was when it was read."""


class WholeFile:
    """A file that is written piece by piece under another name, and takes its place in one step.

    A context: what is not ``put`` in place by its end is taken away again. A link would be replaced by a file: give
    the path that it leads to (``named_file``). Entering it raises OSError where the folder can't be written to, or what
    stands there is closed.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        # Known before there is a file of that name, which can be taken away then whenever an interrupt comes.
        self._name = path.parent / f"{UNFINISHED}{os.urandom(8).hex()}"
        self._file: BinaryIO | None = None
        self._is_put = False

    def __enter__(self) -> Self:
        _refuse_closed(self._path)
        try:
            handle = os.open(self._name, _NEW, 0o600)
            try:
                self._file = os.fdopen(handle, "wb")
            except BaseException:
                os.close(handle)
                raise
        except FileExistsError:  # the name of another's, by a chance that nobody lives to see
            raise
        except BaseException:
            self._take_away()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        if self._file is None:
            return
        with contextlib.suppress(OSError):  # what went wrong first is what is told
            self._file.close()
        if not self._is_put:
            self._take_away()

    def _take_away(self) -> None:
        with contextlib.suppress(OSError):
            os.unlink(self._name)

    def write(self, data: bytes) -> None:
        """Add to the file. Raises OSError."""
        assert self._file is not None
        self._file.write(data)

    def put(self, instead_of: bytes | None = None, *, new: bool = False, settle: bool = True) -> None:
        """Put the file in its place; see ``write_whole``. Raises ChangedError, FileExistsError and OSError."""
        assert self._file is not None
        self._file.flush()
        if settle:
            os.fsync(self._file.fileno())
        self._file.close()
        _dress(self._name, self._path)
        if instead_of is not None and not _holds(self._path, instead_of):
            raise ChangedError(errno.EBUSY, "it was changed meanwhile", str(self._path))
        if new:
            _put_new(self._name, self._path)
        else:
            os.replace(self._name, self._path)
        self._is_put = True
        if settle:
            _settle(self._path.parent)


def write_whole(
    path: Path, data: bytes, instead_of: bytes | None = None, *, new: bool = False, settle: bool = True
) -> None:
    """Write a file in one step: the old one or the new one is there at any time, whole, whatever stops the program.

    Its permissions are kept, and its owner where that is possible. With ``instead_of`` it is written only where the
    file still holds these bytes right before; raises ChangedError where it does not, and OSError where it can't be
    written. A ``new`` one never takes the place of another, whoever made that: raises FileExistsError. A link would be
    replaced by a file: give the path that it leads to (``named_file``). Without ``settle`` it is not waited until the
    file is on the disk: for many files that can be made again, after a power cut too.
    """
    with WholeFile(path) as file:
        file.write(data)
        file.put(instead_of, new=new, settle=settle)


def _put_new(name: Path, path: Path) -> None:
    """Give a file a name that no other has: unlike a new name, a further one never takes the place of a file."""
    try:
        os.link(name, path)
    except FileExistsError:
        raise
    except (OSError, AttributeError, NotImplementedError):  # a disk or a system without further names
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from None
        os.replace(name, path)
        return
    with contextlib.suppress(OSError):
        os.unlink(name)


def _dress(name: Path, path: Path) -> None:
    """Give a new file the permissions and the owner of the one whose place it takes, or those of any new file."""
    if not path.exists():
        os.chmod(name, 0o666 & ~_umask())
        return
    _refuse_closed(path)
    status = path.stat()
    if hasattr(os, "chown"):
        with contextlib.suppress(OSError):
            os.chown(name, status.st_uid, status.st_gid)
    os.chmod(name, status.st_mode & 0o7777)  # after the owner: a change of owner takes some of them away


def _refuse_closed(path: Path) -> None:
    """Raise PermissionError for a file that its owner has closed: the folder would let us replace it all the same."""
    if path.exists() and not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))


def _holds(path: Path, data: bytes) -> bool:
    read = read_up_to(path, len(data))
    return read is not None and read == (data, len(data))


def _settle(folder: Path) -> None:
    """Have the folder itself written down, where the system can do that: without it a power cut may undo the step."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current
