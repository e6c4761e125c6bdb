"""The exit codes of the program, each with one fixed meaning, whatever the format of the report."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final, Protocol

if TYPE_CHECKING:
    from rxlint.packs import Level

EXIT_CLEAN: Final = 0
EXIT_FINDINGS: Final = 1
EXIT_USAGE: Final = 2
EXIT_UNREAD: Final = 3
FAIL_AT: Final = ("reject", "query", "note", "never")


class Counted(Protocol):
    """What an exit code depends on: how many inputs could not be screened or read, how many rules failed, and how many
    findings count at each level.
    """

    misconfigured: int
    unread: int
    crashes: int

    @property
    def levels(self) -> Mapping[Level, int]:
        """Findings by their level."""


def status_of(totals: Counted, fail_at: str) -> int:
    """The exit code of a run with these counts."""
    if totals.misconfigured:
        return EXIT_USAGE
    if totals.unread or totals.crashes:
        return EXIT_UNREAD
    if fail_at == "never":
        return EXIT_CLEAN
    counted = FAIL_AT[: FAIL_AT.index(fail_at) + 1]
    return EXIT_FINDINGS if any(count for level, count in totals.levels.items() if level in counted) else EXIT_CLEAN
