"""What every report of a run is: asked at the start, for each document as it comes, and at the end.

A report never asks for the next document itself, so that several can be made of one run, and none of them holds more
than it must.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from rxlint.library.entry import Entry
from rxlint.reports.totals import Totals

if TYPE_CHECKING:
    from rxlint.library.told import Result
    from rxlint.screening.ruleset import RuleSet

    AnyResult = Result | Entry
    """An input with what became of it, in whatever form it has come."""


@dataclass(frozen=True, slots=True)
class Ending:
    """What is known of a run at its end: its counts, the sets of rules that were used, its exit code.

    ``tables`` are those of the JSON report as text, where they are known; then the sets of rules need not be.
    """

    totals: Totals
    sets: Sequence[RuleSet]
    status: int
    tables: str | None = None


class WholeReport(Protocol):
    """A report that is told of every document with what was found in it; otherwise as ``Report``."""

    def start(self) -> Iterable[str]:
        """What comes before the first document."""

    def document(self, screened: Result) -> Iterable[str]:
        """What is said of a document. Asked in the order of the run."""

    def end(self, ending: Ending) -> Iterable[str]:
        """What comes after the last document."""


class Report(Protocol):
    """A report in the making. Its pieces of text are the report, one after another as they are, line ends included."""

    def start(self) -> Iterable[str]:
        """What comes before the first document."""

    def document(self, result: AnyResult) -> Iterable[str]:
        """What is said of a document. Asked in the order of the run."""

    def end(self, ending: Ending) -> Iterable[str]:
        """What comes after the last document."""
