"""One change between two revisions of a document, and how a line is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.render import render_body, render_row
from rxlint.notation.tree import Entry

Kind = Literal["added", "removed", "changed", "range changed", "reworded"]

# What is said of an order, beside what it orders: its dates and signatures, and what was measured under it.
_ABOUT: Final = frozenset({"head", "checked", "accepted", "readings"})
_ORDERED: Final = frozenset({"document follows"})  # stands in the head, and says by which protocol the order is made


UNNAMED: Final = "outside the named periods"
"""What the unnamed period is called where others have names."""


@dataclass(frozen=True, slots=True)
class Change:
    """What one line, or one row, said before and says now; None where it says nothing.

    ``range changed`` is another range with nothing else set; ``reworded`` is the same in another unit, spelling or
    reference, and no change. ``how`` says what a reader might miss. ``period`` is None where it holds all day.
    """

    term: str
    key: str
    section: str
    kind: Kind
    before: str | None
    after: str | None
    how: str = ""
    period: str | None = None
    old: Entry | None = field(default=None, compare=False, repr=False)
    new: Entry | None = field(default=None, compare=False, repr=False)

    @property
    def is_change(self) -> bool:
        """Whether something else is said than before."""
        return self.kind != "reworded"

    @property
    def is_order(self) -> bool:
        """Whether it belongs to what is ordered, and not to what is said of the order."""
        return self.section not in _ABOUT or self.key in _ORDERED


def kind_of(before: object, after: object) -> Kind:
    """Whether something came, went, or is another one; None stands for what is not there."""
    return "added" if before is None else "removed" if after is None else "changed"


def is_ordered_change(change: Change) -> bool:
    """Whether something else is ordered than before."""
    return change.is_change and change.is_order


def told(stated: Stated) -> str:
    """What a line says, in standard spelling; as it is written where it can't be read."""
    statement = stated.statement
    body = statement.body
    if not statement.readable or body is None or isinstance(body, n.Row):
        return written(stated.entry.text[statement.phrase[1] :])
    text = render_body(body, statement.term)
    rows = [" ".join(render_row(row)) for row in rows_of(stated.entry)]
    return f"{text}: {'; '.join(rows)}" if rows else text


def rows_of(entry: Entry) -> Sequence[n.Row]:
    """The rows of a table that can be read."""
    bodies = (row.statement.body for row in entry.rows if row.statement is not None and row.statement.readable)
    return [body for body in bodies if isinstance(body, n.Row)]


def written(text: str) -> str:
    """A text as it is written, but for its white space."""
    return " ".join(text.split())


def is_spelled_alike(old: Entry, new: Entry) -> bool:
    """Whether two lines are the same but for white space."""
    return "".join(old.text.split()) == "".join(new.text.split())
