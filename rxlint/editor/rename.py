"""New names: of a document throughout its library, of a period throughout its document. Said no to, with the reason,
where the result would not read, or would say something else.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from rxlint.editor.links import (
    home_at,
    is_at,
    is_follows,
    link_of,
    named_in,
    other_document,
    own_id,
    period_of,
    period_places,
    piece_at,
)
from rxlint.editor.shapes import Action, Edit, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.library.index import View
from rxlint.notation import nodes as n
from rxlint.notation.statements import read_detail, read_heading
from rxlint.notation.tree import Document, Place
from rxlint.text import printable

_NO_NAME: Final = "nothing here has a name that can be changed: the id of a document and the name of a period have"

_OF_PERIODS: Final = "it has letters, digits and hyphens, and is no word of the notation"
_OF_IDS: Final = "it begins with a letter or digit, and has neither spaces nor commas, brackets or quotation marks"


@dataclass(frozen=True, slots=True)
class _Named:
    kind: Literal["document", "period"]
    name: str
    place: Place


def prepare(snapshot: Snapshot, position: Position) -> Place | None:
    """The name at a place that can be changed; None where there is none."""
    found = _named(snapshot, position)
    return found.place if found is not None else None


def rename(snapshot: Snapshot, position: Position, new: str) -> Action | str:
    """The change that gives what stands at a place a new name; why there is none.

    A document's id is changed in every document of the library with this id, in every `follows` line that names it and
    at the head of readings of it. What it replaces stays: that is what was replaced then. A check with a code must be
    made again, for what was checked has changed.
    """
    found = _named(snapshot, position)
    document = snapshot.document
    if found is None or document is None:
        return _NO_NAME
    shown = printable(new)
    if new == found.name:
        return f"{shown} is its name already"
    if found.kind == "period":
        why = _no_period(document, new)
        edits = {snapshot.path: tuple(Edit(place, new) for place in period_places(document, found.name))}
    else:
        why = _no_id(document, snapshot.library, new)
        edits, lost = _of_documents(snapshot, document, found.name, new) if why is None else ({}, [])
        if lost:
            why = f"not every document that names it can be changed, for some can't be read: {', '.join(lost[:3])}"
    if why is not None:
        return why
    return Action(f"rename {printable(found.name)} to {shown}", "refactor", edits)


def _named(snapshot: Snapshot, position: Position) -> _Named | None:
    home = home_at(snapshot, position.line)
    if home is None:
        return None
    entry = home.entry
    link = link_of(entry)
    phrase = own_id(entry) or (link.id if link is not None else None)
    if phrase is not None:
        place = entry.place(phrase.start, phrase.end)
        is_named = link is None or is_follows(entry) or entry.heading is not None
        return _Named("document", phrase.text, place) if is_named and is_at(place, position) else None
    period = period_of(home)
    piece = piece_at(home, position)
    if period is None or piece is None or not is_at(period[1], position):
        return None
    return _Named("period", *period) if _is_own(snapshot, period[0]) else None


def _is_own(snapshot: Snapshot, name: str) -> bool:
    """Whether a name is that of a section's period, and not a use (asleep) or one that no section has."""
    return snapshot.document is not None and name in _periods(snapshot.document)


def _periods(document: Document) -> set[str]:
    """The names that a document gives its periods."""
    periods = (block.heading.period for block in document.blocks if block.heading is not None)
    return {period.name for period in periods if period is not None and period.name is not None}


def _no_period(document: Document, new: str) -> str | None:
    """Why a period can't have a name; None where it can."""
    heading, events = read_heading(f"settings {new}") if new.strip() else (None, ())
    period = heading.period if heading is not None else None
    if period is None or events or period.name != new or period.windows:
        return f"{printable(new) or 'nothing'} is no name for a period: {_OF_PERIODS}"
    if new in _periods(document):
        return f"there is a period {printable(new)} already: both would become one"
    return None


def _no_id(document: Document, library: View | None, new: str) -> str | None:
    """Why a document can't have an id; None where it can."""
    statement = read_detail("head", f"  id  {new}") if new.strip() else None
    body = statement.body if statement is not None else None
    is_read = statement is not None and statement.readable and not statement.events
    if not is_read or not isinstance(body, n.Phrase) or body.text != new or not new[0].isalnum() or not new.isascii():
        return f"{printable(new) or 'nothing'} is no id: {_OF_IDS}"
    if any(phrase is not None and phrase.text == new for phrase in map(own_id, document.entries)):
        return f"{new} is its id already"
    if library is None:
        return None
    if library.problem is not None:
        return f"not every document that names it can be found: {library.problem}"
    taken = library.heads(new)
    if taken:
        return f"{new} is the id of {taken[0].shown} already"
    if library.unread:
        return f"not every document that names it can be found, for some can't be read: {'; '.join(library.unread[:3])}"
    return None


def _of_documents(
    snapshot: Snapshot, document: Document, old: str, new: str
) -> tuple[dict[Path, tuple[Edit, ...]], list[str]]:
    """The edits of every document that has an id or names it, and the names of those that can't be read."""
    found = {snapshot.path: _edits(document, old, new)}
    lost: list[str] = []
    library = snapshot.library
    for head in library.others() if library is not None else ():
        if head.id != old and head.kind != "readings" and (head.follows is None or head.follows[0] != old):
            continue
        path, other = snapshot.path_in_library(head.shown), other_document(snapshot, head)
        if path is None or other is None:
            lost.append(printable(head.shown))
        else:
            found[path] = _edits(other, old, new)
    return {path: edits for path, edits in found.items() if edits}, lost


def _edits(document: Document, old: str, new: str) -> tuple[Edit, ...]:
    places = [
        entry.place(phrase.start, phrase.end)
        for entry in document.entries
        if (phrase := own_id(entry)) is not None and phrase.text == old
    ]
    places += [entry.place(phrase.start, phrase.end) for entry, phrase in named_in(document, old)]
    return tuple(Edit(place, new) for place in sorted(places, key=lambda place: (place.line, place.column)))
