"""Results kept between runs, in one SQLite file of the user's own folder, each under a key of all that it depends on.

Nothing that goes wrong here is ever told: a file that is locked, spoilt, full, closed or not ours is a miss, and a
result that is not kept is worked out again. Every entry is sealed with its key, so that no byte of it can have changed
unseen. What is in it comes from documents: the file can be read by its owner alone.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any, Final, NamedTuple, TypeVar

from rxlint.store.kept import folder, is_ours

if TYPE_CHECKING:
    from sqlite3 import Connection

NAME: Final = "results-1.sqlite"  # the number changes with the form of what is kept
LARGEST: Final = 256 * 1024 * 1024
"""Bytes that the file may take. Where they are used up, what was not used for the longest time goes first."""
_PAGE: Final = 4096
_LEFT: Final = 0.6  # of the largest, after some were taken away
_BATCH: Final = 256  # entries that are written in one step
_BATCH_BYTES: Final = 4 * 1024 * 1024
_READS: Final = 500  # in one step; as long as it is open, others who write need more room
_PATIENCE: Final = 1.0  # seconds that are waited for another run, once
_SEAL: Final = 12  # bytes
_DAY: Final = 24 * 60 * 60

_TABLES: Final = """
CREATE TABLE IF NOT EXISTS result (id INTEGER PRIMARY KEY, used INTEGER, common INTEGER, front BLOB, body BLOB);
CREATE TABLE IF NOT EXISTS common (id INTEGER PRIMARY KEY, front BLOB, body BLOB);
CREATE TABLE IF NOT EXISTS note (id INTEGER PRIMARY KEY, used INTEGER, text BLOB);
"""
_T = TypeVar("_T")


class Row(NamedTuple):
    """A result: its ``front``, which a report is made of, its ``body``, which is read where more is needed, and the
    ``common`` part that it shares with others.
    """

    front: bytes
    body: bytes
    common: bytes


class Results:
    """The results of earlier runs. A run that writes to it must close it, and may do so at any time."""

    def __init__(self, largest: int = LARGEST) -> None:
        self._largest = largest
        self._today = int(time.time() // _DAY)
        self._rows: list[tuple[int, int, int, bytes, bytes]] = []
        self._commons: dict[int, tuple[bytes, bytes]] = {}
        self._notes: list[tuple[int, int, bytes]] = []
        self._waiting = 0
        self._kept: set[int] = set()  # common parts that are known to be there
        self._seen: set[int] = set()  # results that were used again, for the first time today
        self._is_open = True
        self._database: Connection | None = None
        self._reads = 0  # in the step that is open; one step for many is half the work

    # ---- reading

    def read(self, key: bytes) -> tuple[bytes, int] | None:
        """The front of the result kept under a key, and the number of its common part."""
        found = self._one("SELECT used, common, front FROM result WHERE id = ?", key)
        if found is None:
            return None
        used, common, front = found
        whole = _unsealed(key, b"front", front)
        if whole is None or not isinstance(common, int):
            return None
        if used != self._today:
            self._seen.add(_number(key))
        return whole, common

    def read_body(self, key: bytes) -> bytes | None:
        """The body of the result kept under a key."""
        found = self._one("SELECT body FROM result WHERE id = ?", key)
        return _unsealed(key, b"body", found[0]) if found is not None else None

    def read_common(self, number: int) -> tuple[bytes, bytes] | None:
        """The front and the body of the part of this number, which many results share."""
        found = self._ask(
            lambda base: base.execute("SELECT front, body FROM common WHERE id = ?", (number,)).fetchone()
        )
        if found is None:
            return None
        parts = tuple(_unsealed(number.to_bytes(8, "big", signed=True), b"common", each) for each in found)
        front, body = parts
        if front is None or body is None or common_number(front, body) != number:
            return None
        self._kept.add(number)
        return front, body

    def note(self, key: bytes) -> bytes | None:
        """A text kept under a key."""
        found = self._one("SELECT text FROM note WHERE id = ?", key)
        return _unsealed(key, b"note", found[0]) if found is not None else None

    # ---- writing

    def keep(self, key: bytes, front: bytes, body: bytes, common: tuple[bytes, bytes]) -> None:
        """Keep a result. It is written together with others, at the latest when this is closed."""
        if not self._is_open:
            return
        number = common_number(*common)
        if number not in self._kept and number not in self._commons:
            self._commons[number] = common
            self._waiting += len(common[0]) + len(common[1])
        row = (_number(key), self._today, number, _sealed(key, b"front", front), _sealed(key, b"body", body))
        self._rows.append(row)
        self._waiting += len(front) + len(body)
        if len(self._rows) >= _BATCH or self._waiting > _BATCH_BYTES:
            self.write()

    def keep_note(self, key: bytes, text: bytes) -> None:
        """Keep a text."""
        if self._is_open:
            self._notes.append((_number(key), self._today, _sealed(key, b"note", text)))

    def write(self) -> None:
        """Write what waits, in one step."""
        rows, commons, notes = self._rows, self._commons, self._notes
        seen = [(self._today, each) for each in self._seen]
        self._rows, self._commons, self._notes, self._seen, self._waiting = [], {}, [], set(), 0
        if not (rows or notes or seen):
            return

        def put(base: Connection) -> None:
            base.execute("BEGIN IMMEDIATE")
            base.executemany("INSERT OR REPLACE INTO common VALUES (?, ?, ?)", list(_sealed_commons(commons)))
            base.executemany("INSERT OR REPLACE INTO result VALUES (?, ?, ?, ?, ?)", rows)
            base.executemany("INSERT OR REPLACE INTO note VALUES (?, ?, ?)", notes)
            base.executemany("UPDATE result SET used = ? WHERE id = ?", seen)
            base.execute("COMMIT")
            self._kept |= commons.keys()

        self._make_room(sum(len(front) + len(body) for *_, front, body in rows))
        self._ask(put, writes=True)

    def close(self) -> None:
        """Write what waits, and let go of the file. It opens again when it is asked again."""
        self.write()
        self._let_go()

    # ---- the file

    def _one(self, question: str, key: bytes) -> Sequence[Any] | None:
        found: Sequence[Any] | None = self._ask(lambda base: self._looked(base, question, _number(key)))
        return found

    def _looked(self, base: Connection, question: str, number: int) -> Sequence[Any] | None:
        if self._reads == 0:
            base.execute("BEGIN")
        self._reads += 1
        found: Sequence[Any] | None = base.execute(question, (number,)).fetchone()
        if self._reads >= _READS:
            self._end_reading(base)
        return found

    def _end_reading(self, base: Connection) -> None:
        if self._reads:
            self._reads = 0
            base.execute("COMMIT")

    def _ask(self, ask: Callable[[Connection], _T], *, writes: bool = False) -> _T | None:
        """What the database answers; None where it can't, and then it is not asked again in this run."""
        if not self._is_open:
            return None
        try:
            import sqlite3
        except ImportError:  # a Python that was built without it
            self._is_open = False
            return None
        try:
            base = self._database
            if base is None:
                base = self._opened(sqlite3, writes)
            if base is not None and writes:
                self._end_reading(base)
            return ask(base) if base is not None else None
        except Exception as error:  # whatever it is: what is only kept must never end a run
            self._give_up(error, sqlite3)
            return None

    def _opened(self, sqlite3: ModuleType, writes: bool) -> Connection | None:
        place = folder()
        if place is None:
            self._is_open = False
            return None
        path = place / NAME
        if not os.path.lexists(path):
            if not writes:
                return None
            place.mkdir(mode=0o700, parents=True, exist_ok=True)
            if is_ours(place):
                with contextlib.suppress(FileExistsError):  # another run has just made it
                    os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        if not is_ours(place) or not _is_private(path):
            self._is_open = False
            return None
        base: Connection = sqlite3.connect(path, timeout=_PATIENCE, isolation_level=None)
        self._database = base
        _prepare(base, self._largest)
        return base

    def _give_up(self, error: Exception, sqlite3: ModuleType) -> None:
        """The file is of no use in this run; one that is spoilt is taken away, so that the next run makes another."""
        self._let_go()
        self._is_open = False
        spoilt = getattr(error, "sqlite_errorcode", 0) & 0xFF in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
        place = folder()
        if spoilt and place is not None:
            for ending in ("", "-wal", "-shm"):
                with contextlib.suppress(OSError):
                    os.unlink(place / f"{NAME}{ending}")

    def _let_go(self) -> None:
        base, self._database, self._reads = self._database, None, 0
        if base is not None:
            with contextlib.suppress(Exception):  # it is let go of whatever it says
                base.close()

    def _make_room(self, size: int) -> None:
        """Take away what was not used for the longest time, where what is to be written would not find room."""

        def take_away(base: Connection) -> None:
            pages, free = (base.execute(f"PRAGMA {each}").fetchone()[0] for each in ("page_count", "freelist_count"))
            if (pages - free) * _PAGE + 2 * size < self._largest * 0.95:
                return
            every = base.execute("SELECT id, length(front) + length(body) FROM result ORDER BY used, id").fetchall()
            too_much = (pages - free) * _PAGE + 2 * size - self._largest * _LEFT
            gone = list(_first(every, too_much))
            base.execute("BEGIN IMMEDIATE")
            base.executemany("DELETE FROM result WHERE id = ?", gone)
            base.execute("DELETE FROM common WHERE id NOT IN (SELECT common FROM result)")
            base.execute("DELETE FROM note WHERE used < ?", (self._today - 30,))
            base.execute("COMMIT")
            self._kept.clear()

        if self._database is not None:
            self._ask(take_away, writes=True)


def _first(every: Sequence[tuple[int, int]], too_much: float) -> Iterator[tuple[int]]:
    """The first of some entries that take so many bytes together, each with what its pages waste."""
    for number, size in every:
        if too_much <= 0:
            return
        too_much -= size * 1.2
        yield (number,)


def _prepare(base: Connection, largest: int) -> None:
    base.execute(f"PRAGMA page_size = {_PAGE}")
    base.execute("PRAGMA journal_mode = WAL")  # who reads keeps nobody from writing
    base.execute("PRAGMA synchronous = NORMAL")
    base.execute("PRAGMA trusted_schema = OFF")
    base.execute(f"PRAGMA max_page_count = {max(largest // _PAGE, 16)}")
    base.executescript(_TABLES)


def _is_private(path: Path) -> bool:
    """Whether the file is a plain one that its owner alone can read or write."""
    status = os.lstat(path)
    if not stat.S_ISREG(status.st_mode):
        return False
    return not hasattr(os, "getuid") or (status.st_uid == os.getuid() and not status.st_mode & 0o077)


def common_number(front: bytes, body: bytes) -> int:
    """The number of a part that many results share: of its content."""
    digest = hashlib.sha256(b"%d:" % len(front) + front + body).digest()
    return int.from_bytes(digest[:8], "big", signed=True)


def _number(key: bytes) -> int:
    return int.from_bytes(key[:8], "big", signed=True)


def _seal(key: bytes, what: bytes, data: bytes) -> bytes:
    digest = hashlib.sha256(key + what)
    digest.update(data)
    return digest.digest()[:_SEAL]


def _sealed(key: bytes, what: bytes, data: bytes) -> bytes:
    return _seal(key, what, data) + data


def _unsealed(key: bytes, what: bytes, sealed: object) -> bytes | None:
    """What was sealed under this key; None where a byte of it, or its key, is another."""
    if not isinstance(sealed, bytes):
        return None
    data = sealed[_SEAL:]
    return data if _seal(key, what, data) == sealed[:_SEAL] else None


def _sealed_commons(commons: dict[int, tuple[bytes, bytes]]) -> Iterator[tuple[int, bytes, bytes]]:
    for number, parts in commons.items():
        front, body = (_sealed(number.to_bytes(8, "big", signed=True), b"common", each) for each in parts)
        yield number, front, body
