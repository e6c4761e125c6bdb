"""The index of a folder of sheets: a row for each document, with where its sheet is and what was found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from rxlint.library.screen import Screened
from rxlint.packs import LEVELS, Level
from rxlint.screening.finding import Outcome
from rxlint.screening.shelf import head_of

NOTHING: Final = "nothing found by the checks that could be made"
_WANTING: Final[tuple[Outcome, ...]] = ("not checked", "undecided")


@dataclass(frozen=True, slots=True)
class IndexRow:
    """A document of a folder. ``href`` is its sheet, ``follows_href`` that of the template that it follows.

    ``unread`` says why it could not be read or screened, ``strictest`` is the highest level that counts.
    """

    place: str
    href: str
    id: str = ""
    title: str = ""
    kind: str = ""
    status: str = ""
    revision: str = ""
    follows: str = ""
    follows_href: str = ""
    counts: tuple[tuple[Level, int], ...] = ()
    accepted: int = 0
    known: int = 0
    wanting: int = 0
    failed: int = 0
    unread: str = ""

    @property
    def strictest(self) -> Level | None:
        """The highest level of its findings that count."""
        return self.counts[0][0] if self.counts else None

    @property
    def state(self) -> str:
        """In which group a reader would look for it: a level, ``unread`` or ``nothing``."""
        return "unread" if self.unread or self.failed else self.strictest or "nothing"


def row_of(screened: Screened, place: str, href: str) -> IndexRow:
    """The row of one document; ``href`` is empty where it has no sheet."""
    unread = "; ".join(each.message for each in screened.problems)
    row = IndexRow(place, href, unread=unread)
    document, screening = screened.document, screened.screening
    if document is None or screening is None:
        return row
    head = head_of(document, place)
    counting = [each for each in screening.findings if each.counts]
    accepted = sum(each.acceptance is not None for each in screening.findings)
    levels = ((level, sum(each.level == level for each in counting)) for level in LEVELS)
    return replace(
        row,
        id=head.id or "",
        title=document.title or "",
        kind=document.kind or "",
        status=head.status or "",
        revision=str(head.revision) if head.revision is not None else "",
        follows=f"{head.follows[0]} revision {head.follows[1]}" if head.follows is not None else "",
        counts=tuple(each for each in levels if each[1]),
        accepted=accepted,
        known=len(screening.findings) - len(counting) - accepted,
        wanting=sum(screening.coverage.counts.get(each, 0) for each in _WANTING),
        failed=len(screening.crashes),
    )


def linked(rows: Sequence[IndexRow]) -> tuple[IndexRow, ...]:
    """The rows with links to the templates that are followed, where one sheet alone can be meant."""
    sheets: dict[str, list[str]] = {}
    for row in rows:
        if row.kind == "template" and row.id and row.href:
            sheets.setdefault(f"{row.id} revision {row.revision}", []).append(row.href)
    one = {name: hrefs[0] for name, hrefs in sheets.items() if len(hrefs) == 1}
    return tuple(replace(row, follows_href=one.get(row.follows, "")) for row in rows)
