"""What one worker is asked to do, and what it answers: plain values, sent as JSON text."""

from __future__ import annotations

import dataclasses
import json
from dataclasses import dataclass, field
from typing import Any, Final, Literal, Self

from rxlint.packs import LEVELS
from rxlint.reports.text import Totals
from rxlint.screening.finding import OUTCOMES

Form = Literal["jsonl", "parquet"]
FORMS: Final[tuple[Form, ...]] = ("parquet", "jsonl")
_COUNTED: Final = ("documents", "unread", "crashes", "accepted", "known", "misconfigured")


@dataclass(frozen=True, slots=True)
class File:
    """A file of the input: where it is, the name it is told by, and what tells it from another state of itself."""

    path: str
    name: str
    form: Form
    size: int
    changed: int  # nanoseconds

    @classmethod
    def of(cls, said: dict[str, Any]) -> Self:
        """A file from its JSON."""
        return cls(**said)


@dataclass(frozen=True, slots=True)
class Batch:
    """Some documents of one file that follow one another.

    ``first`` is the line number of the first in the archive as a whole, from 1. ``start`` is where it begins: the
    offset of its line in bytes, or its row in the file.
    """

    number: int
    file: File
    first: int
    count: int
    start: int
    group: int = 0  # of the rows of a Parquet file, the row group that holds all of them

    @property
    def lines(self) -> range:
        """The line numbers of its documents."""
        return range(self.first, self.first + self.count)

    def part(self, form: Form) -> str:
        """The name of the part file that holds its results."""
        return f"part-{self.number:08}.{form}"


@dataclass(frozen=True, slots=True)
class Setup:
    """What is the same for every batch of a run.

    Packs, policies and profiles are named as on the command line, relative to ``folder``. ``identity`` is what the
    program and its rules must be at every worker.
    """

    output: str
    form: Form
    on: str
    folder: str
    identity: str
    packs: tuple[str, ...] = ()
    policies: tuple[str, ...] = ()
    profiles: tuple[str, ...] = ()
    python: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """A batch to screen.

    Documents on the lines ``skip`` are not screened: each has the problem ``why`` in its place. A ``probe`` gives the
    lines (first, end) that are screened to see whether a worker survives them; nothing is written.
    """

    setup: Setup
    batch: Batch
    skip: tuple[int, ...] = ()
    why: str = ""
    probe: tuple[int, int] | None = None

    def to_json(self) -> str:
        """As a worker is sent it."""
        return json.dumps(dataclasses.asdict(self), separators=(",", ":"))

    @classmethod
    def from_json(cls, text: str) -> Self:
        """As a worker receives it."""
        said = json.loads(text)
        setup: dict[str, Any] = {
            name: tuple(each) if isinstance(each, list) else each for name, each in said["setup"].items()
        }
        batch = Batch(**{**said["batch"], "file": File.of(said["batch"]["file"])})
        probe = said["probe"]
        return cls(Setup(**setup), batch, tuple(said["skip"]), said["why"], (probe[0], probe[1]) if probe else None)


@dataclass(frozen=True, slots=True)
class Done:
    """A part that is written: its size in bytes and SHA-256, the counts of its documents, how many were skipped."""

    number: int
    size: int
    digest: str
    skipped: int = 0
    counts: dict[str, Any] = field(default_factory=dict)

    def to_json(self) -> str:
        """On one line, as it stands in the ledger."""
        return json.dumps(dataclasses.asdict(self), separators=(",", ":"))

    @classmethod
    def from_json(cls, text: str) -> Self:
        """Raises ValueError where the text does not say a part, whole."""
        said = json.loads(text)
        try:
            done = cls(**said)
            add_counts(Totals(), done.counts)
        except (TypeError, KeyError, AttributeError) as error:
            raise ValueError(f"no part: {error}") from None
        return done


def counts_of(totals: Totals) -> dict[str, Any]:
    """The counts of a part as plain values."""
    return {
        **{name: getattr(totals, name) for name in _COUNTED},
        "levels": dict(totals.levels),
        "outcomes": dict(totals.outcomes),
    }


def add_counts(totals: Totals, counts: dict[str, Any]) -> None:
    """Count a part in."""
    for name in _COUNTED:
        setattr(totals, name, getattr(totals, name) + counts[name])
    for level in LEVELS:
        totals.levels[level] += counts["levels"][level]
    for outcome in OUTCOMES:
        totals.outcomes[outcome] += counts["outcomes"][outcome]
