"""Parquet: the columns that are read, and the table of results. The only module that knows Arrow."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, Final, Protocol

import pyarrow as pa
import pyarrow.parquet as pq

from rxlint.archive.task import Batch
from rxlint.exchange.lines import Given, read_id, read_text
from rxlint.packs import LEVELS
from rxlint.reports.lines_json import dumped
from rxlint.screening.finding import OUTCOMES
from rxlint.text import Problem

VERSION: Final[str] = pa.__version__
_AT_ONCE: Final = 64  # rows that are decoded at once
_ROWS: Final = 1_000  # of a row group of results
_CHARACTERS: Final = 8_000_000  # of the texts of a row group, at which it ends sooner


def _column(name: str, kind: Any, says: str, *, may_lack: bool = False) -> Any:
    return pa.field(name, kind, nullable=may_lack, metadata={"means": says})


_PROBLEM: Final = pa.struct(
    [pa.field("message", pa.string(), False), pa.field("line", pa.int32()), pa.field("column", pa.int32())]
)
OUTCOME_COLUMNS: Final = {outcome: f"rules_{outcome.replace(' ', '_')}" for outcome in OUTCOMES}
SCHEMA: Final[Any] = pa.schema(
    [
        _column("line", pa.int64(), "number of the document in the archive, from 1"),
        _column("id", pa.string(), "what the archive calls the document", may_lack=True),
        _column("kind", pa.string(), "prescription, template or readings", may_lack=True),
        _column("document_id", pa.string(), "what the document calls itself", may_lack=True),
        _column("policies", pa.list_(pa.string()), "names of the policies it was screened under"),
        _column("problems", pa.list_(_PROBLEM), "what kept it, or a rule, from being looked at"),
        *(_column(level, pa.int32(), f"findings of the level {level} that nobody accepted") for level in LEVELS),
        _column("accepted", pa.int32(), "findings that somebody answers for"),
        _column("findings", pa.string(), "JSON, as in the report of rxlint screen"),
        *(_column(name, pa.int32(), f"rules that came out as: {outcome}") for outcome, name in OUTCOME_COLUMNS.items()),
        _column("coverage", pa.string(), "JSON: every outcome but met, with what it lacked"),
    ]
)
"""The table of results. What is counted stands in columns of its own; what has parts is JSON."""


class Sink(Protocol):
    """What takes the bytes of a file."""

    def write(self, data: bytes) -> object:
        """Add some."""


def groups_of(path: str) -> list[int]:
    """How many rows each row group of a file has. Raises ValueError where it lacks the columns id and text."""
    with pq.ParquetFile(path) as file:
        for name in ("id", "text"):
            found = file.schema_arrow.get_all_field_indices(name)
            if len(found) != 1:
                raise ValueError(f"it has {len(found) or 'no'} column{'s' * (len(found) > 1)} {name}")
            if not _is_text(file.schema_arrow.field(found[0]).type):
                raise ValueError(f"its column {name} holds {file.schema_arrow.field(found[0]).type}, not texts")
        return [file.metadata.row_group(group).num_rows for group in range(file.num_row_groups)]


def _is_text(kind: Any) -> bool:
    if pa.types.is_dictionary(kind):
        kind = kind.value_type
    return bool(pa.types.is_string(kind) or pa.types.is_large_string(kind) or pa.types.is_string_view(kind))


def read_rows(batch: Batch) -> Iterator[Given]:
    """The documents of some rows of a file; a few are held at a time. From where the file can't be decoded on, each has
    the problem in its place. Raises OSError where the system can't read it.
    """
    rows = _rows(batch)
    told: Problem | None = None
    for line in batch.lines:
        try:
            name, text = next(rows) if told is None else (None, None)
        except StopIteration:
            told = Problem("the row is not there: the file has fewer than it says")
        except (OSError, ValueError) as error:  # pa.ArrowInvalid is a ValueError
            if isinstance(error, OSError) and error.errno is not None:  # of the system, and not of what the file holds
                raise
            told = Problem(f"the row can't be read: {error}")
        yield Given(line, None, told) if told is not None else _given(line, name, text)


def _rows(batch: Batch) -> Iterator[tuple[bytes | None, bytes | None]]:
    with pq.ParquetFile(batch.file.path, pre_buffer=False) as file:
        before = sum(file.metadata.row_group(group).num_rows for group in range(batch.group))
        skip, left = batch.start - before, batch.count
        for rows in file.iter_batches(_AT_ONCE, row_groups=[batch.group], columns=["id", "text"], use_threads=False):
            taken = rows.slice(min(skip, rows.num_rows), left)
            skip = max(0, skip - rows.num_rows)
            left -= taken.num_rows
            yield from zip(_bytes(taken.column("id")), _bytes(taken.column("text")), strict=True)
            if not left:
                return


def _bytes(column: Any) -> Iterator[bytes | None]:
    """The texts of a column as bytes: that they are UTF-8 is said by the file, and not to be relied on."""
    if pa.types.is_dictionary(column.type):
        column = column.dictionary_decode()
    return (each.as_py() for each in column.cast(pa.large_binary()))


def _given(line: int, name: bytes | None, text: bytes | None) -> Given:
    try:
        told = read_id(name.decode("utf-8") if name is not None else None)
    except UnicodeDecodeError as error:
        told = Problem(f"id is not UTF-8 text: byte 0x{error.object[error.start]:02x} can't be read")
    if isinstance(told, Problem):
        return Given(line, None, told)
    return Given(line, told, text if text is not None else read_text(None))


class Table:
    """A file of results in the making; ``Sink`` takes its bytes as they come."""

    def __init__(self, sink: Sink) -> None:
        self._file = pa.PythonFile(_Sink(sink), mode="w")
        self._writer = pq.ParquetWriter(self._file, SCHEMA, compression="zstd")
        self._rows: list[dict[str, Any]] = []
        self._held = 0

    def add(self, answer: dict[str, Any]) -> None:
        """Add the answer to a document, in the form of ``lines_json.answer_object``."""
        row = row_of(answer)
        self._rows.append(row)
        self._held += len(row["findings"]) + len(row["coverage"])
        if len(self._rows) == _ROWS or self._held >= _CHARACTERS:
            self._flush()

    def end(self) -> None:
        """Write what is left."""
        self._flush()
        self._writer.close()
        self._file.close()

    def _flush(self) -> None:
        if self._rows:
            self._writer.write_table(pa.Table.from_pylist(self._rows, schema=SCHEMA))
        self._rows, self._held = [], 0


class _Sink:
    """What Arrow wants of a file, over what takes bytes."""

    closed = False

    def __init__(self, sink: Sink) -> None:
        self._sink = sink

    def write(self, data: Any) -> int:
        given = bytes(data)
        self._sink.write(given)
        return len(given)

    def flush(self) -> None:
        """Nothing is held back here."""

    def close(self) -> None:
        self.closed = True


def row_of(answer: dict[str, Any]) -> dict[str, Any]:
    """The row of an answer."""
    document = answer["document"]
    findings, coverage = document["findings"], document["coverage"]
    counted = [each for each in findings if each["accepted"] is None and not each["known"]]
    return {
        "line": answer["line"],
        "id": answer["id"],
        "kind": document["kind"],
        "document_id": document["id"],
        "policies": document["policies"],
        "problems": document["problems"],
        **{level: sum(each["level"] == level for each in counted) for level in LEVELS},
        "accepted": sum(each["accepted"] is not None for each in findings),
        "findings": dumped(findings),
        **{name: coverage["counts"][outcome] for outcome, name in OUTCOME_COLUMNS.items()},
        "coverage": dumped(coverage["others"]),
    }


def answer_of(row: dict[str, Any]) -> dict[str, Any]:
    """The answer that a row was made of: nothing of it is lost."""
    counts = {outcome: row[name] for outcome, name in OUTCOME_COLUMNS.items()}
    document = {
        "kind": row["kind"],
        "id": row["document_id"],
        "policies": row["policies"],
        "problems": row["problems"],
        "findings": json.loads(row["findings"]),
        "coverage": {"counts": counts, "others": json.loads(row["coverage"])},
    }
    return {"line": row["line"], "id": row["id"], "document": document}
