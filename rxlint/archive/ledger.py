"""The folder of results: what the run rests on, which parts are done, the counts at the end.

manifest.json    input, program, rules, day, form; a run with another one is refused
part-*.jsonl     or .parquet: the results, one file for each batch
done.jsonl       a line for each part that is done, with its digest
summary.json     the counts of the whole; it stands here when all is done
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from rxlint.archive.task import Batch, Done, Form
from rxlint.text.files import UNFINISHED, write_whole

MANIFEST: Final = "manifest.json"
DONE: Final = "done.jsonl"
SUMMARY: Final = "summary.json"
LOCK: Final = ".lock"
_TOLD: Final = {
    "input": "the input", "rules": "the rules", "packs": "the rules", "policies": "the policies",
    "tool": "the program", "on": "the day (give it with --on)", "to": "the form (--to)", "batch": "the size of batches",
    "schema": "the form of this folder",
}  # fmt: skip


class Refused(Exception):
    """The folder can't take these results; the message says why."""


class Ledger:
    """The folder of one run's results. Raises Refused where it holds something else, or another run writes to it."""

    def __init__(self, folder: Path, manifest: Mapping[str, Any]) -> None:
        self._folder = folder
        self._manifest = manifest

    @contextmanager
    def opened(self, batches: Iterable[Batch], form: Form) -> Iterator[dict[int, Done]]:
        """The folder, made where it is not there, for this run alone; and the parts that are in it already."""
        self._folder.mkdir(parents=True, exist_ok=True)
        with _locked(self._folder):
            self._begin()
            try:
                yield self._parts(batches, form)
            finally:
                for left in self._folder.glob(f"{UNFINISHED}*"):  # of workers that were lost while they wrote
                    with contextlib.suppress(OSError):
                        left.unlink()

    def _begin(self) -> None:
        path = self._folder / MANIFEST
        there = [each for each in self._folder.iterdir() if each.name != LOCK and not each.name.startswith(UNFINISHED)]
        if not there:
            write_whole(path, _whole(self._manifest))
            return
        try:
            before = json.loads(path.read_bytes())
        except (OSError, ValueError):
            raise Refused(
                f"{self._folder} holds other things than results of this command; name an empty one"
            ) from None
        if before != self._manifest:
            keys = [key for key in {**before, **self._manifest} if before.get(key) != self._manifest.get(key)]
            changed = ", ".join(dict.fromkeys(_TOLD.get(key, key) for key in keys))
            raise Refused(
                f"{self._folder} holds results of another run, and results are not mixed. Not the same: {changed}"
            )

    def _parts(self, batches: Iterable[Batch], form: Form) -> dict[int, Done]:
        """The parts that are done, whole and as they were written, and of which nothing was left out."""
        known = {batch.number: batch for batch in batches}
        found: dict[int, Done] = {}
        for done in self._listed():
            batch = known.get(done.number)
            if batch is None or done.skipped or done.counts["documents"] != batch.count:
                found.pop(done.number, None)
            elif _digest(self._folder / batch.part(form)) == (done.size, done.digest):
                found[done.number] = done
        self._write(found)
        with contextlib.suppress(FileNotFoundError):
            (self._folder / SUMMARY).unlink()
        return found

    def _listed(self) -> Iterator[Done]:
        try:
            lines = (self._folder / DONE).read_bytes().split(b"\n")
        except FileNotFoundError:
            return
        for line in lines[:-1]:
            with contextlib.suppress(ValueError):  # a line that was not written to its end: its part is made again
                yield Done.from_json(line.decode("ascii"))

    def add(self, done: Done) -> None:
        """Note that a part is done, so that no later run makes it again."""
        with (self._folder / DONE).open("ab") as file:
            file.write(done.to_json().encode("ascii") + b"\n")
            file.flush()
            os.fsync(file.fileno())

    def end(self, parts: Mapping[int, Done], summary: Mapping[str, Any]) -> None:
        """All is done: the list of parts in its order, and the counts of the whole."""
        self._write(parts)
        write_whole(self._folder / SUMMARY, _whole(summary))

    def _write(self, parts: Mapping[int, Done]) -> None:
        lines = b"".join(parts[number].to_json().encode("ascii") + b"\n" for number in sorted(parts))
        write_whole(self._folder / DONE, lines)


def _whole(said: Mapping[str, Any]) -> bytes:
    return json.dumps(said, indent=1).encode("ascii") + b"\n"


def _digest(path: Path) -> tuple[int, str] | None:
    try:
        with path.open("rb") as file:
            return os.fstat(file.fileno()).st_size, hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return None


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    """Keep other runs out of a folder, where the system can do that; the lock goes with the process, its file stays."""
    try:
        import fcntl
    except ImportError:  # Windows
        yield
        return
    with (folder / LOCK).open("wb") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise Refused(f"another run writes to {folder}") from None
        yield
