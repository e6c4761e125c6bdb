"""The files of an archive, how they are cut into batches, and the documents of a batch."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Final

from rxlint.archive.task import Batch, File, Form
from rxlint.exchange.lines import Given, read_lines

ENDINGS: Final[dict[str, Form]] = {".parquet": "parquet", ".jsonl": "jsonl", ".ndjson": "jsonl"}
"""The endings of files that are read, and what they hold."""
MOST_BYTES: Final = 64 * 1024 * 1024
"""A batch of lines ends with the line that takes it to so many bytes, however few lines it has."""
_CHUNK: Final = 1024 * 1024


class CannotRead(Exception):
    """The archive can't be screened as it is; the message says why."""


class ChangedError(Exception):
    """A file of the input is not what it was when the run began."""


@dataclass(frozen=True, slots=True)
class Scanned:
    """A file that was looked through: its SHA-256, and the batches it is cut into."""

    file: File
    digest: str
    batches: tuple[Batch, ...]

    @property
    def documents(self) -> int:
        """How many documents it holds."""
        return sum(each.count for each in self.batches)


def find_files(given: str) -> list[File]:
    """The one file that is given, or those of a folder by their names. Raises CannotRead.

    Of a folder, what begins with a dot or an underscore is passed over, as writers of such folders use those for
    themselves. Anything else that is no part is refused: it may be one that nobody would miss.
    """
    path = Path(given)
    try:
        if path.is_file():
            return [_file(path, path.name)]
        if not path.is_dir():
            raise CannotRead(f"{given} is {'neither a file nor a folder' if path.exists() else 'not there'}")
        parts = sorted(each for each in path.iterdir() if not each.name.startswith((".", "_")))
        return [_file(each, each.name) for each in parts] or _none(given)
    except (OSError, ValueError) as error:
        raise CannotRead(f"{given} can't be read: {getattr(error, 'strerror', None) or error}") from None


def _none(given: str) -> list[File]:
    raise CannotRead(f"the folder {given} holds no part (*{', *'.join(ENDINGS)})")


def _file(path: Path, name: str) -> File:
    form = ENDINGS.get(path.suffix.lower())
    if form is None or not path.is_file():
        raise CannotRead(f"{path} is no part of an archive: one is a file that ends in {', '.join(ENDINGS)}")
    status = path.stat()
    return File(str(path.resolve()), name, form, status.st_size, status.st_mtime_ns)


def scan(files: Iterable[File], size: int) -> Iterator[Scanned]:
    """Look every file through, and cut it into batches of at most ``size`` documents. Raises CannotRead."""
    number, first = 1, 1
    for file in files:
        try:
            if file.form == "parquet":
                from rxlint.archive.parquet import groups_of

                spans, digest = _of_groups(groups_of(file.path), size), _digest(Path(file.path))
            else:
                spans, digest = _of_lines(Path(file.path), size)
            _refuse_changed(file)
        except (OSError, ValueError) as error:  # Arrow's own errors are among these
            raise CannotRead(f"{file.name} can't be read: {getattr(error, 'strerror', None) or error}") from None
        except ChangedError as error:
            raise CannotRead(str(error)) from None
        batches = []
        for start, count, group in spans:
            batches.append(Batch(number, file, first, count, start, group))
            number, first = number + 1, first + count
        yield Scanned(file, digest, tuple(batches))


_Span = tuple[int, int, int]
"""Where a batch starts, how many documents it has, its row group."""


def _of_groups(rows: Iterable[int], size: int) -> list[_Span]:
    spans: list[_Span] = []
    before = 0
    for group, count in enumerate(rows):
        spans += [(before + at, min(size, count - at), group) for at in range(0, count, size)]
        before += count
    return spans


def _of_lines(path: Path, size: int) -> tuple[list[_Span], str]:
    spans: list[_Span] = []
    digest = hashlib.sha256()
    start, count, offset, is_open = 0, 0, 0, False
    with path.open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
            at = 0
            while (end := chunk.find(b"\n", at)) >= 0:
                at, count = end + 1, count + 1
                if count == size or offset + at - start >= MOST_BYTES:
                    spans.append((start, count, 0))
                    start, count = offset + at, 0
            is_open = at < len(chunk)
            offset += len(chunk)
    if count or is_open:  # the last line may have no end
        spans.append((start, count + is_open, 0))
    return spans, digest.hexdigest()


def _digest(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _refuse_changed(file: File) -> None:
    status = Path(file.path).stat()
    if (status.st_size, status.st_mtime_ns) != (file.size, file.changed):
        raise ChangedError(f"{file.name} was changed while it was read")


def read_batch(batch: Batch) -> Iterator[Given]:
    """The documents of a batch, each as it comes; every line number of the batch comes, once.

    Raises ChangedError where the file is no longer what it was, and OSError where it can't be opened.
    """
    _refuse_changed(batch.file)
    if batch.file.form == "parquet":
        from rxlint.archive.parquet import read_rows

        yield from read_rows(batch)
        return
    with Path(batch.file.path).open("rb") as stream:
        stream.seek(batch.start)
        line = batch.first - 1
        for given in islice(read_lines(stream, batch.first, is_start=batch.start == 0), batch.count):
            line = given.line
            yield given
    if line != batch.lines[-1]:
        raise ChangedError(f"{batch.file.name} ends before line {batch.lines[-1]:,}")
