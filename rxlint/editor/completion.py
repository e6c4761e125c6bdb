"""What may be written at a place, the likeliest first. Nothing is said of whether it is right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from rxlint.editor.completion_offers import Ask, Offer, fit
from rxlint.editor.completion_parts import offers_of_part
from rxlint.editor.completion_terms import headings, rows, terms
from rxlint.editor.shapes import Completion, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.where import Where, followings, offset_in, pieces_of, replaced, where
from rxlint.notation.tree import Place
from rxlint.vocabulary import chunks_of, vocabulary

_INSIDE: Final = 1_000  # added where what is typed begins another word than the first
_LONGER: Final = 60  # added where a phrase that could end before the place would go on there
_LONGEST_TERM: Final = 6


def completions(snapshot: Snapshot, position: Position) -> tuple[Completion, ...]:
    """What may be written at a place, the likeliest first; nothing in comments, in quoted text and in numbers."""
    spot = where(snapshot, position)
    if spot.zone in ("comment", "text", "nowhere"):
        return ()
    found: dict[str, Completion] = {}
    for each in (*_beginnings(snapshot, spot), *_parts(snapshot, spot)):
        known = found.get(each.text)
        if known is None or each.rank < known.rank:
            found[each.text] = each
    return tuple(sorted(found.values(), key=lambda each: (each.rank, each.label)))


def _beginnings(snapshot: Snapshot, spot: Where) -> Iterator[Completion]:
    """What a line may begin with, as long as nothing but a beginning of it stands there."""
    chunks = chunks_of(spot.before)
    if len(chunks) > _LONGEST_TERM or any(chunk.kind != "word" for chunk in chunks):
        return
    words = [chunk.text for chunk in chunks]
    start = chunks[0].start if chunks else len(spot.before)
    if not chunks or chunks[-1].end < len(spot.before):
        words.append("")
    if spot.zone == "margin":
        offers: Iterable[Offer] = headings(snapshot, spot)
    elif spot.zone == "row":
        offers = rows(spot)
    else:
        offers = terms(snapshot, spot)
    yield from _chosen(offers, words, _whole(snapshot, spot, start))


def _whole(snapshot: Snapshot, spot: Where, start: int) -> Place | None:
    """The place of a phrase that begins at an offset of the statement and is being typed, or stands there already: then
    all of it, where the place is in it. None where it begins on another line.
    """
    place = replaced(spot, start)
    entry = snapshot.entry_at(spot.position)
    offset = offset_in(entry, spot.position) if entry is not None else None
    if place is None or entry is None or offset is None:
        return place
    pieces = pieces_of(spot.zone, spot.section, spot.table, entry)
    standing = next((each for each in pieces if each.start == start and each.start <= offset < each.end), None)
    own = entry.place(standing.start, standing.end) if standing is not None else place
    return replace(place, end_column=max(place.end_column, own.end_column)) if own.end_line == place.line else place


def _parts(snapshot: Snapshot, spot: Where) -> Iterator[Completion]:
    """What may follow what a statement has so far."""
    begun = spot.begun
    if begun is None:
        if spot.zone in ("detail", "row") and spot.section is not None:
            yield from _of_empty(snapshot, spot)
        return
    for each in followings(begun, spot.before):
        if begun.term is not None and each.start <= begun.span[1] and each.words == ("",):
            continue
        assert begun.form is not None
        ask = Ask(snapshot, spot, begun.form, begun.term, each.pieces, each.keywords)
        yield from _chosen(offers_of_part(ask, each.accepts), each.words, _whole(snapshot, spot, each.start))


def _of_empty(snapshot: Snapshot, spot: Where) -> Iterator[Completion]:
    """What may stand in a line of a section whose lines are lists without a term."""
    assert spot.section is not None
    if vocabulary().sections[spot.section].bare == "list":
        ask = Ask(snapshot, spot, "list", None, (), ())
        yield from _chosen(offers_of_part(ask, frozenset({"ITEM"})), ("",), _whole(snapshot, spot, len(spot.before)))


def _chosen(offers: Iterable[Offer], words: Sequence[str], place: Place | None) -> Iterator[Completion]:
    """The offers that what is typed may become, those that begin with it first."""
    if place is None:
        return
    for offer in offers:
        at = fit(offer.text, words)
        if at is not None:
            rank = offer.rank + (_INSIDE if at else 0) + (_LONGER if len(words) > 1 and not words[-1] else 0)
            yield Completion(offer.text, offer.kind, place, offer.text, offer.detail, offer.markdown, rank)
