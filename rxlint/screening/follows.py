"""Which template a document follows: whether it is there, is the newest, is in force, and does not lead back.

What a library as a whole has to say of one of its documents - an id that stands twice, a template that nothing
follows - is found here too. All of it is placed in the document that is screened.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from rxlint.expressions.problems import near
from rxlint.model.facts import Facts
from rxlint.notation.tree import Document, Entry
from rxlint.screening.outside import COMPARED
from rxlint.screening.shelf import Head, Shelf, head_of_scope
from rxlint.screening.template import Template
from rxlint.screening.walks import Walk
from rxlint.text import Problem, printable

UNKNOWN: Final = "library.follows-unknown"
NOT_LOOKED_UP: Final = "library.not-looked-up"
OUTDATED: Final = "library.follows-outdated"
NOT_IN_FORCE: Final = "library.follows-not-in-force"
NO_TEMPLATE: Final = "library.follows-no-template"
AMBIGUOUS: Final = "library.follows-ambiguous"
CIRCULAR: Final = "library.follows-circular"
REPEATED: Final = "library.repeated-id"
UNUSED: Final = "library.template-unused"
RESOLVED: Final = (UNKNOWN, NOT_LOOKED_UP, OUTDATED, NOT_IN_FORCE, NO_TEMPLATE, AMBIGUOUS, CIRCULAR, REPEATED, UNUSED)
"""The events of this walk."""

_NO_LIBRARY: Final = "no library here: no rxlint.yaml and no repository says where one begins, and no template is near"
_OF_LINK: Final = (UNKNOWN, OUTDATED, NOT_IN_FORCE, NO_TEMPLATE, AMBIGUOUS, CIRCULAR)
_LONGEST_CHAIN: Final = 50
_ALONE: Final = "one document by itself: this is found where the library is screened as a whole"


@dataclass(frozen=True, slots=True)
class Followed:
    """The template that a document follows, with the line that names it; else why there is nothing to compare with."""

    link: Entry | None = None
    template: Template | None = None
    label: str = ""
    why: str = ""


def resolve(document: Document, scopes: Sequence[Facts], shelf: Shelf | None) -> tuple[Followed, Walk]:
    """What a document follows, and what there is to say of that and of its place in the library."""
    walk = Walk()
    if not scopes:
        return Followed(), walk
    scope = scopes[0].scope
    own = head_of_scope(document, scope)
    followed = Followed()
    stated = scope.by_key.get("document follows")
    if stated is not None:
        followed = _followed(own, stated.entry, shelf, walk)
        if followed.template is None:
            walk.unsure |= dict.fromkeys(COMPARED, followed.why)
    named = scope.by_key.get("document id")
    if named is not None and own.id is not None:
        _in_library(own, named.entry, shelf, walk)
    return followed, walk


# ---- the line that names a template


def _followed(own: Head, link: Entry, shelf: Shelf | None, walk: Walk) -> Followed:
    """The template that is named, where it is the right one to compare with."""
    if own.follows is None:
        return _unsure(walk, link, "follows is stated but could not be read")
    identifier, revision = own.follows
    why = _unsearched(shelf)
    if shelf is None or why is not None:
        walk.whole(NOT_LOOKED_UP, link, what=printable(f"{identifier} revision {revision}"), why=printable(why or ""))
        return _unsure(walk, link, why or "")
    walk.ran |= {*_OF_LINK, NOT_LOOKED_UP}
    if identifier == own.id:
        return _said(walk, CIRCULAR, link, "a document that follows itself is compared with nothing", way=identifier)
    heads = shelf.heads(identifier)
    templates = [head for head in heads if head.kind == "template"]
    if not templates:
        if heads:
            told = {"what": identifier, "kind": heads[0].kind or "document that can't be read", "at": heads[0].shown}
            return _said(walk, NO_TEMPLATE, link, "what it follows is no template", **told)
        what, why = f"{identifier} revision {revision}", f"is not in the library{_meant(identifier, shelf)}"
        return _said(walk, UNKNOWN, link, f"there is no template {identifier}", what=what, why=why)
    _circular(own, link, shelf, walk)
    return _of_revision(own, templates, revision, link, shelf, walk)


def _of_revision(
    own: Head, templates: Sequence[Head], revision: int, link: Entry, shelf: Shelf, walk: Walk
) -> Followed:
    what = f"{templates[0].id} revision {revision}"
    wanted = [head for head in templates if head.revision == revision]
    newest = max(templates, key=lambda head: (head.revision or 0, head.shown))
    newer = [head for head in templates if (head.revision or 0) > revision]
    in_force = [head for head in newer if head.status == "active"]
    if not wanted and not newer:
        why = f"is not in the library; there is {newest.told} in {newest.shown}"
        return _said(walk, UNKNOWN, link, f"there is no {what}", what=what, why=why)
    if len(wanted) > 1:
        told = " and ".join(head.shown for head in wanted)
        return _said(walk, AMBIGUOUS, link, f"{what} stands in {told}", what=what, at=told)
    if own.status != "withdrawn":
        if in_force or not wanted:
            last = max(in_force or newer, key=lambda head: head.revision or 0)
            walk.whole(OUTDATED, link, what=what, newest=f"revision {last.revision}", at=last.shown)
        elif wanted[0].status in ("withdrawn", "draft") and own.status != "draft":
            walk.whole(NOT_IN_FORCE, link, what=what, status=wanted[0].status, at=wanted[0].shown)
    if not wanted:
        return Followed(link, why=f"{what} is no longer in the library")
    template = shelf.template(wanted[0])
    if isinstance(template, Problem):
        why = f"{wanted[0].shown} could not be read: {template.message}"
        return _said(walk, UNKNOWN, link, why, what=what, why=f"can't be looked up, for {why}")
    return Followed(link, template, what)


def _unsure(walk: Walk, link: Entry, why: str) -> Followed:
    walk.unsure |= dict.fromkeys(_OF_LINK, why)
    return Followed(link, why=why)


def _said(walk: Walk, event: str, link: Entry, why_not: str, /, **fields: str) -> Followed:
    walk.whole(event, link, **{name: printable(text) for name, text in fields.items()})
    return Followed(link, why=why_not)


def _unsearched(shelf: Shelf | None) -> str | None:
    """Why nothing can be looked up; None where there is a library."""
    if shelf is None:
        return "no library is known in which to look for the template"
    return shelf.problem or (None if shelf.is_library else _NO_LIBRARY)


def _meant(identifier: str, shelf: Shelf) -> str:
    """What to say of a template that is not there: which was meant, and where it may stand."""
    close = near(identifier, sorted(shelf.template_ids()))
    told = f"; did you mean {' or '.join(close)}?" if close else ""
    unread = list(shelf.unread)
    if unread:
        more = f" and {len(unread) - 3} more" if len(unread) > 3 else ""
        told += f"; not all documents of the library could be read: {', '.join(unread[:3])}{more}"
    return f"{told}; {shelf.beyond}" if shelf.beyond else told


def _circular(own: Head, link: Entry, shelf: Shelf, walk: Walk) -> None:
    """Whether the templates that are followed from here lead back to this document."""
    way: list[str] = []
    following = own.follows
    while following is not None and own.id is not None and len(way) < _LONGEST_CHAIN:
        identifier, revision = following
        if identifier in way:
            return  # a ring further on, of which this document is no part
        way.append(identifier)
        if identifier == own.id:
            walk.whole(CIRCULAR, link, way=printable(" follows ".join(way)))
            return
        heads = [head for head in shelf.heads(identifier) if head.kind == "template" and head.follows is not None]
        same = [head for head in heads if head.revision == revision]
        following = (same or heads)[0].follows if heads else None


# ---- the document's place in the library


def _in_library(own: Head, entry: Entry, shelf: Shelf | None, walk: Walk) -> None:
    if shelf is None:
        return
    why = _ALONE if not shelf.is_searched else shelf.problem
    if why is not None:
        walk.unsure |= dict.fromkeys((REPEATED, UNUSED) if own.kind == "template" else (REPEATED,), why)
        return
    walk.ran.add(REPEATED)
    _repeated(own, entry, shelf, walk)
    if own.kind == "template" and own.status == "active":
        _unused(own, entry, shelf, walk)


def _repeated(own: Head, entry: Entry, shelf: Shelf, walk: Walk) -> None:
    """Another document with the same id and revision; or one with the same id, and both are in force."""
    assert own.id is not None
    same = [head for head in shelf.heads(own.id) if head.revision == own.revision and own.revision is not None]
    both = [head for head in shelf.heads(own.id) if head.status == own.status == "active" and head not in same]
    for found, told in ((same, f"{own.told} is"), (both, f"another revision of {own.id} is active")):
        if found:
            at = ", ".join(head.shown for head in found[:3]) + (f" and {len(found) - 3} more" if len(found) > 3 else "")
            walk.whole(REPEATED, entry, what=printable(told), at=printable(at))


def _unused(own: Head, entry: Entry, shelf: Shelf, walk: Walk) -> None:
    """An active template that nothing follows, in a library where templates are followed."""
    followed = shelf.followed_ids()
    if followed:
        walk.ran.add(UNUSED)
        if own.id not in followed:
            walk.whole(UNUSED, entry, what=printable(own.id or ""))
