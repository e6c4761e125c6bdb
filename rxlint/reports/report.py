"""What every report of a run is: asked at the start, for each document as it comes, and at the end.

A report never asks for the next document itself, so that several can be made of one run, and none of them holds more
than it must.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from rxlint.library.screen import Screened
from rxlint.reports.text import Totals
from rxlint.screening.ruleset import RuleSet


@dataclass(frozen=True, slots=True)
class Ending:
    """What is known of a run at its end: its counts, the sets of rules that were used, its exit code."""

    totals: Totals
    sets: Sequence[RuleSet]
    status: int


class Report(Protocol):
    """A report in the making. Its pieces of text are the report, one after another as they are, line ends included."""

    def start(self) -> Iterable[str]:
        """What comes before the first document."""

    def document(self, screened: Screened) -> Iterable[str]:
        """What is said of a document. Asked in the order of the run."""

    def end(self, ending: Ending) -> Iterable[str]:
        """What comes after the last document."""
