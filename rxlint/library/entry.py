"""What a run needs of a screened document, as it is kept and as it is sent from one process to another: as bytes.

Its front is made of pieces of reports, so that a report of many documents is put together without reading what was
found in them; its body is all of it, for reports that need more. The part that many documents share - the outcomes of
rules without a finding - stands by itself.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

if TYPE_CHECKING:
    from rxlint.packs.stack import PolicyUse

_BETWEEN: Final = "\x1f"  # no piece holds it: JSON writes it as an escape, and text for a terminal as a code


class Used(NamedTuple):
    """A policy of a run, as ``PolicyUse`` has it."""

    name: str
    revision: int
    path: str
    digest: str
    loosens: tuple[str, ...] = ()
    overruled: tuple[str, ...] = ()


def used(policy: PolicyUse | Used) -> Used:
    """A policy as runs tell it."""
    return Used(policy.name, policy.revision, policy.path, policy.digest, policy.loosens, policy.overruled)


class Counts(NamedTuple):
    """What a document adds to the counts of a run: findings by level, and outcomes, in the order of their names."""

    unread: bool
    misconfigured: bool
    crashes: int
    accepted: int
    known: int
    levels: tuple[int, ...]
    outcomes: tuple[int, ...]


class Pieces(NamedTuple):
    """The pieces of reports: ``json`` is the entry of the JSON report without path and coverage; ``text`` the lines of
    the text report, in which marks stand for name and colours.
    """

    json: str
    text: str
    counts: Counts


class Common(NamedTuple):
    """The part that documents share: its piece of the JSON report, and the coverage as the codec writes it."""

    json: str
    body: str


@dataclass(slots=True)
class Entry:
    """A document that was screened, by this run or another. ``shown`` is its name in this run, ``policies`` and
    ``settings`` are those that it was screened under.
    """

    shown: str
    pieces: Pieces
    common: Common
    body: bytes
    """All of it, as ``told`` packs it; empty where only the pieces are wanted."""
    policies: tuple[Used, ...] = ()
    settings: Path | None = None
    whole: Any = None
    """The same as ``Told``, once somebody has asked for it."""


def front_of(pieces: Pieces, trace: object = ()) -> bytes:
    """The front as bytes, with what the library around the document was asked."""
    return _BETWEEN.join((pieces.json, pieces.text, _dump(pieces.counts), _dump(trace))).encode("utf-8")


def _dump(value: object) -> str:
    return json.dumps(value, separators=(",", ":"))


def read_front(front: bytes) -> tuple[Pieces, list[Any]]:
    """The pieces of a front, and what was asked. Raises ValueError or TypeError for what is none."""
    first, text, counts, trace = front.decode("utf-8").split(_BETWEEN)
    return Pieces(first, text, _counts(counts)), json.loads(trace)


@lru_cache(maxsize=1024)
def _counts(told: str) -> Counts:
    """Counts are few, and come again and again."""
    unread, misconfigured, crashes, accepted, known, levels, outcomes = json.loads(told)
    return Counts(unread, misconfigured, crashes, accepted, known, tuple(levels), tuple(outcomes))
