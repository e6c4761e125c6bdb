"""Which documents of a library may come out differently than at a revision, and why: what ``screen --since`` screens.

Here is only the choice, from what is known of the documents; ``since_tree`` finds that out. A document is chosen too
often rather than too seldom: whatever may have another finding than before is chosen, though it need not have one.

What is not looked at: the day, this program and its built-in rules, and rules written in Python. They can change a
finding where no file changed, so now and then everything has to be screened.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from rxlint.library.discover import Input
from rxlint.screening.shelf import Head

Reason = Literal["unread", "changed", "settings", "follows", "related"]
"""Why a document is chosen; the first that holds."""

_MOST_NAMED: Final = 3  # changed files of settings that are named; the others are counted


@dataclass(frozen=True, slots=True)
class Standing:
    """A document of the work tree.

    ``place`` is its path from the top of the repository, ``head`` what its head says, None where that can't be read;
    ``root`` the folder of its library from the top, None where it has none in the repository. ``is_unread`` says that
    it can't be read at all, ``readings_of`` whose readings it holds. ``settings`` are the changed files that decide
    how it is screened; ``may_have_moved`` says that a file of settings, which decides what its library is, is one.
    """

    place: str
    head: Head | None
    root: str | None = ""
    is_changed: bool = False
    is_unread: bool = False
    readings_of: str | None = None
    settings: tuple[str, ...] = ()
    may_have_moved: bool = False


@dataclass(frozen=True, slots=True)
class Before:
    """A document as the revision has it, of those that changed or are gone."""

    place: str
    head: Head


@dataclass(frozen=True, slots=True)
class Choice:
    """The inputs to screen, in the order in which they were found, with why.

    ``of`` counts the inputs that were chosen from, ``gone`` the documents of the revision that are not there any more;
    ``settings`` are the changed files that decide how documents are screened, and ``unknown`` those of the command line
    of which nobody can tell whether they changed.
    """

    inputs: tuple[Input, ...]
    reasons: tuple[Reason, ...]
    of: int
    gone: int
    settings: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def reasons_of(documents: Sequence[Standing], before: Sequence[Before]) -> dict[str, Reason]:
    """Why each document is to be screened, by its place; one that is as it was is not among them."""
    found: dict[str, Reason] = {}
    for each in documents:
        if each.is_unread:
            found[each.place] = "unread"
        elif each.is_changed:
            found[each.place] = "changed"
        elif each.settings:
            found[each.place] = "settings"
    altered = list(_altered(documents, before))
    for each in _followers(documents, altered):
        found.setdefault(each.place, "follows")
    for each in _related(documents, before, altered):
        found.setdefault(each.place, "related")
    return found


def _altered(documents: Iterable[Standing], before: Iterable[Before]) -> Iterator[tuple[str, str]]:
    """The identifiers, each with a place, of which something may not be as it was."""
    for each in documents:
        if (each.is_changed or each.may_have_moved) and each.head is not None and each.head.id is not None:
            yield each.head.id, each.place
    for old in before:
        if old.head.id is not None:
            yield old.head.id, old.place


def _followers(documents: Sequence[Standing], altered: Iterable[tuple[str, str]]) -> Iterator[Standing]:
    """The documents that follow one of these in their own library, directly or by way of others."""
    by_followed: dict[str, list[Standing]] = defaultdict(list)
    for each in documents:
        if each.head is not None and each.head.follows is not None:
            by_followed[each.head.follows[0]].append(each)
    waiting, seen = list(altered), set[tuple[str, str]]()
    told = set[str]()
    while waiting:
        identifier, place = waiting.pop()
        if (identifier, place) in seen:
            continue
        seen.add((identifier, place))
        for each in by_followed.get(identifier, ()):
            if not _is_in(place, each.root):
                continue
            if each.place not in told:
                told.add(each.place)
                yield each
            if each.head is not None and each.head.id is not None:
                waiting.append((each.head.id, each.place))


def _related(
    documents: Sequence[Standing], before: Sequence[Before], altered: Collection[tuple[str, str]]
) -> Iterator[Standing]:
    """What a library as a whole says of others: those of the same identifier, the templates that are followed no more
    or now are, and the orders of changed readings.
    """
    places: dict[str, list[str]] = defaultdict(list)
    for identifier, place in altered:
        places[identifier].append(place)
    for identifier, place in _links_changed(documents, before):
        places[identifier].append(place)
    for each in documents:
        if each.is_changed and each.readings_of is not None:
            places[each.readings_of].append(each.place)
    for each in documents:
        if each.head is None or each.head.id is None:
            continue
        others = [place for place in places.get(each.head.id, ()) if place != each.place]
        if any(_is_in(place, each.root) for place in others):
            yield each


def _links_changed(documents: Iterable[Standing], before: Iterable[Before]) -> Iterator[tuple[str, str]]:
    """The identifiers that a document followed and follows no more, or the other way round, with its place."""
    old = {each.place: _followed(each.head) for each in before}
    new = {each.place: _followed(each.head) for each in documents if each.is_changed}
    moved = {each.place: _followed(each.head) for each in documents if each.may_have_moved}
    for place in old.keys() | new.keys():
        if old.get(place) != new.get(place):
            yield from ((followed, place) for followed in (old.get(place), new.get(place)) if followed is not None)
    yield from ((followed, place) for place, followed in moved.items() if followed is not None)


def _followed(head: Head | None) -> str | None:
    return head.follows[0] if head is not None and head.follows is not None else None


def _is_in(place: str, root: str | None) -> bool:
    """Whether a place lies in a library's folder; without a folder that can be told, it may."""
    return not root or place.startswith(f"{root}/")


# ---- in words


def told(choice: Choice, revision: str) -> str:
    """How many documents were chosen, of how many, and why: one line."""
    counts = Counter(choice.reasons)
    parts = [part for part in _parts(counts, choice, revision) if part]
    chosen = f"{len(choice.inputs):,} of {choice.of:,} document{'' if choice.of == 1 else 's'}"
    gone = f"; {_are(choice.gone)} gone" if choice.gone else ""
    unsure = f"; whether {_named(choice.unknown)} changed can't be told, outside the repository" * bool(choice.unknown)
    return f"{chosen}: {', '.join(parts) or f'nothing changed since {revision}'}{gone}{unsure}"


def _parts(counts: Mapping[Reason, int], choice: Choice, revision: str) -> Iterator[str]:
    def count(reason: Reason, one: str, more: str) -> str:
        number = counts.get(reason, 0)
        return f"{number:,} {one if number == 1 else more}" if number else ""

    yield count("changed", f"changed since {revision}", f"changed since {revision}")
    yield count("follows", "follows what changed", "follow what changed")
    under = count("settings", "stands", "stand")
    yield f"{under} under settings that changed ({_named(choice.settings)})" if under else ""
    yield count("related", "has to do with what changed", "have to do with what changed")
    yield count("unread", "can't be read", "can't be read")


def _are(number: int) -> str:
    return f"{number:,} {'is' if number == 1 else 'are'}"


def _named(names: Sequence[str]) -> str:
    more = f" and {len(names) - _MOST_NAMED:,} more" if len(names) > _MOST_NAMED else ""
    return ", ".join(names[:_MOST_NAMED]) + more
