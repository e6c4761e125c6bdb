"""From one place to others that have to do with it: what a line follows, who follows it, where else a term stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final

from rxlint.editor.shapes import Location, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.tokens import Home, homes_of, pieces_of
from rxlint.notation import nodes as n
from rxlint.notation.document import REPEATABLE, period_name
from rxlint.notation.grammar import Piece
from rxlint.notation.tree import Block, Document, Entry, Place
from rxlint.screening.finding import Finding
from rxlint.screening.follows import resolve
from rxlint.screening.shelf import Head, head_of
from rxlint.text import Problem
from rxlint.vocabulary import Term, vocabulary

_SETTINGS: Final = frozenset({"settings", "back-up"})  # one term in both is the same setting at another time


# ---- what stands at a place


def home_at(snapshot: Snapshot, line: int) -> Home | None:
    """The statement that stands on a line, with its section."""
    document = snapshot.document
    if document is None:
        return None
    for home in homes_of(document):
        if home.entry.lines[0].number <= line <= home.entry.lines[-1].number:
            return home
    return None


def is_at(place: Place, position: Position) -> bool:
    """Whether a position lies in a place or at one of its ends."""
    return (place.line, place.column) <= position <= (place.end_line, place.end_column)


def piece_at(home: Home, position: Position) -> Piece | None:
    """The word of a statement that a position lies in, else the one that it stands behind."""
    found = [each for each in pieces_of(home) if is_at(home.entry.place(each.start, each.end), position)]
    return found[-1] if found else None


def link_of(entry: Entry) -> n.Link | None:
    """The document that a statement names: by `follows` or `replaces`, or at the head of readings."""
    if entry.heading is not None:
        return entry.heading.link
    body = entry.statement.body if entry.statement is not None else None
    return body if isinstance(body, n.Link) else None


def own_id(entry: Entry) -> n.Phrase | None:
    """The id that a statement gives its document."""
    statement = entry.statement
    if statement is None or statement.term is None or statement.term.key != "document id":
        return None
    return statement.body if isinstance(statement.body, n.Phrase) else None


def is_follows(entry: Entry) -> bool:
    """Whether a statement names the template that its document follows."""
    statement = entry.statement
    return statement is not None and statement.term is not None and statement.term.key == "document follows"


def named_in(document: Document, identifier: str) -> Iterator[tuple[Entry, n.Phrase]]:
    """Every place where a document is said to follow another, or holds readings of it."""
    for entry in document.entries:
        link = link_of(entry)
        if link is not None and link.id.text == identifier and (entry.heading is not None or is_follows(entry)):
            yield entry, link.id


def term_of(home: Home) -> Term | None:
    """The term that a statement states; of a row, that of its table."""
    statement = (home.table or home.entry).statement
    return statement.term if statement is not None else None


def keys_of(piece: Piece, section: str | None) -> frozenset[str]:
    """The keys of the terms that a word may stand for; none for a word that is no term."""
    words = vocabulary()
    if piece.kind == "READING":
        return frozenset({words.sections["readings"].key_of(piece.text)})
    if piece.kind not in ("TERM", "KEY_TERM"):
        return frozenset()
    if section == "accepted":  # there a term is told without its section
        named = (each.terms.get(piece.text) for each in words.sections.values())
        return frozenset(term.key for term in named if term is not None)
    return frozenset({piece.text} & words.terms.keys())


# ---- where something is laid down


def definition(snapshot: Snapshot, position: Position) -> tuple[Location, ...]:
    """Where what stands at a place is laid down.

    From a document's id to that document; from a setting to the template's line for it; from a term in a sentence or a
    relation to the line that states it; from a rule that is accepted to what it found. Empty where nobody can tell.
    """
    home = home_at(snapshot, position.line)
    if home is None or snapshot.document is None:
        return ()
    piece = piece_at(home, position)
    link = link_of(home.entry)
    if link is not None:
        return _document(snapshot, link) if piece is not None else ()
    if piece is not None and piece.kind == "RULE":
        return tuple(Location(snapshot.path, each.place) for each in _findings_of(snapshot, piece.text, home.entry))
    term = term_of(home)
    if piece is not None and term is not None:
        keys = keys_of(piece, home.section) - {term.key}
        if keys:
            return _stated(snapshot, keys)
    return _in_template(snapshot, home, term) if term is not None else ()


def _document(snapshot: Snapshot, link: n.Link) -> tuple[Location, ...]:
    """The documents with the id and the revision of a link; where that revision is gone, those with the id."""
    if snapshot.library is None:
        return ()
    heads = snapshot.library.heads(link.id.text)
    same = [head for head in heads if head.revision == link.revision.number]
    return tuple(_id_line(snapshot, head) for head in same or heads if _is_placed(snapshot, head))


def _is_placed(snapshot: Snapshot, head: Head) -> bool:
    return snapshot.path_in_library(head.shown) is not None


def _id_line(snapshot: Snapshot, head: Head) -> Location:
    document = other_document(snapshot, head)
    path = snapshot.path_in_library(head.shown) or snapshot.path
    for entry in document.entries if document is not None else ():
        phrase = own_id(entry)
        if phrase is not None:
            return Location(path, entry.place(phrase.start, phrase.end))
    return Location(path, Place(1, 1, 1, 1))


def other_document(snapshot: Snapshot, head: Head) -> Document | None:
    """Another document of the library; None where it can't be read."""
    found = snapshot.library.template(head) if snapshot.library is not None else None
    return None if found is None or isinstance(found, Problem) else found.document


def _findings_of(snapshot: Snapshot, rule: str, line: Entry) -> list[Finding]:
    """What an accepted rule found: what this very line accepts, else everything."""
    screening = snapshot.screened.screening
    found = [each for each in screening.findings if each.rule == rule] if screening is not None else []
    place = line.whole()
    accepted = [each for each in found if each.acceptance is not None and each.acceptance.place == place]
    return accepted or found


def _stated(snapshot: Snapshot, keys: frozenset[str]) -> tuple[Location, ...]:
    """The lines of this document that state a term."""
    return _located(snapshot, _lines(snapshot, keys))


def _in_template(snapshot: Snapshot, home: Home, term: Term) -> tuple[Location, ...]:
    """The line of the template that lays a setting down."""
    document = snapshot.document
    if document is None or home.section == "head" or term.form in REPEATABLE or snapshot.library is None:
        return ()
    if head_of(document, "").follows is None:
        return ()
    followed, _ = resolve(document, snapshot.facts, snapshot.library)
    if followed.template is None:
        return ()
    block = _block_of(document, home.table or home.entry)
    period = followed.template.period_for(document, period_name(block) if block is not None else None)
    stated = period.scope.by_key.get(term.key) if period is not None else None
    path = snapshot.path_in_library(followed.template.shown)
    if stated is None or path is None:
        return ()
    return (Location(path, stated.entry.place(*stated.statement.phrase)),)


def _block_of(document: Document, entry: Entry) -> Block | None:
    number = entry.lines[0].number
    return next((each for each in document.blocks if any(d.lines[0].number == number for d in each.details)), None)


# ---- what has to do with something


def references(snapshot: Snapshot, position: Position) -> tuple[Location, ...]:
    """What has to do with what stands at a place.

    From a document's id: all that follow it or are readings of it. From a setting: the lines that its findings relate
    to, the same term at other times, and the sentences that name it.
    """
    home = home_at(snapshot, position.line)
    document = snapshot.document
    if home is None or document is None:
        return ()
    phrase = own_id(home.entry)
    link = link_of(home.entry)
    named = phrase or (link.id if link is not None else None)
    if named is not None:
        return _followers(snapshot, named.text)
    term = term_of(home)
    if term is None or home.section == "head":
        return ()
    own = {line.number for line in home.entry.lines}
    places = [
        *_related(snapshot, own),
        *_lines(snapshot, _alike(term)),
        *_named_in_sentences(document, _alike(term)),
    ]
    return _located(snapshot, (place for place in places if place.line not in own))


def _followers(snapshot: Snapshot, identifier: str) -> tuple[Location, ...]:
    document, library = snapshot.document, snapshot.library
    found: list[Location] = []
    if document is not None:
        found += [
            Location(snapshot.path, entry.place(phrase.start, phrase.end))
            for entry, phrase in named_in(document, identifier)
        ]
    for head in library.others() if library is not None else ():
        if head.kind != "readings" and (head.follows is None or head.follows[0] != identifier):
            continue
        path, other = snapshot.path_in_library(head.shown), other_document(snapshot, head)
        if path is not None and other is not None:
            found += [
                Location(path, entry.place(phrase.start, phrase.end)) for entry, phrase in named_in(other, identifier)
            ]
    return tuple(found)


def _related(snapshot: Snapshot, own: set[int]) -> Iterator[Place]:
    """The other places of findings that stand at some lines or relate to them."""
    screening = snapshot.screened.screening
    for finding in screening.findings if screening is not None else ():
        places = [finding.place, *(each.place for each in finding.related)]
        if any(place.file is None and place.line in own for place in places):
            yield from (place for place in places if place.file is None)


def _alike(term: Term) -> frozenset[str]:
    """The keys of a term: a setting has one among the settings and one among those of the back-up."""
    if term.section not in _SETTINGS:
        return frozenset({term.key})
    sections = (vocabulary().sections[name] for name in sorted(_SETTINGS))
    return frozenset(section.terms[term.phrase].key for section in sections if term.phrase in section.terms)


def _lines(snapshot: Snapshot, keys: frozenset[str]) -> Iterator[Place]:
    """The terms of the lines that state one of some terms, whatever the period."""
    document = snapshot.document
    for block in document.blocks if document is not None else ():
        for entry in block.details:
            statement = entry.statement
            if statement is not None and statement.term is not None and statement.term.key in keys:
                yield entry.place(*statement.phrase)


def _named_in_sentences(document: Document, keys: frozenset[str]) -> Iterator[Place]:
    """Where terms are named beside the lines that state them: in steps, relations, heads of tables, acceptances."""
    for home in homes_of(document):
        if home.entry.kind not in ("detail", "row"):
            continue
        term = term_of(home)
        own = {term.key} if term is not None else set()
        for piece in pieces_of(home):
            if keys_of(piece, home.section) & keys - own:
                yield home.entry.place(piece.start, piece.end)


def _located(snapshot: Snapshot, places: Iterable[Place]) -> tuple[Location, ...]:
    """Places of this document in its order, each once."""
    own = dict.fromkeys(replace(place, file=None) for place in places)
    ordered = sorted(own, key=lambda place: (place.line, place.column, place.end_line, place.end_column))
    return tuple(Location(snapshot.path, place) for place in ordered)


def highlights(snapshot: Snapshot, position: Position) -> tuple[Place, ...]:
    """Every place of this document that names the same term, document or period as a place does."""
    home = home_at(snapshot, position.line)
    document = snapshot.document
    piece = piece_at(home, position) if home is not None else None
    if home is None or document is None or piece is None:
        return ()
    if piece.kind == "LABEL":
        return period_places(document, named_period(home) or "")
    phrase, link = own_id(home.entry), link_of(home.entry)
    if piece.kind == "NAME" and (phrase is not None or link is not None):
        return _ids(document, piece.text)
    terms = [vocabulary().terms[key] for key in keys_of(piece, home.section)]
    keys = frozenset[str]().union(*(_alike(term) for term in terms if term.form not in REPEATABLE))
    found = [*_lines(snapshot, keys), *_named_in_sentences(document, keys)]
    return tuple(each.place for each in _located(snapshot, found))


def _ids(document: Document, identifier: str) -> tuple[Place, ...]:
    found: list[Place] = []
    for entry in document.entries:
        link = link_of(entry)
        phrase = own_id(entry) or (link.id if link is not None else None)
        if phrase is not None and phrase.text == identifier:
            found.append(entry.place(phrase.start, phrase.end))
    return tuple(found)


# ---- periods


def period_of(home: Home) -> tuple[str, Place] | None:
    """The name of a period that a statement names, with its place: in a heading, after `in`, after `return to`."""
    labels = [piece for piece in pieces_of(home) if piece.kind == "LABEL"]
    if not labels or home.entry.kind not in ("heading", "detail"):
        return None
    return " ".join(each.text for each in labels), home.entry.place(labels[0].start, labels[-1].end)


def named_period(home: Home) -> str | None:
    """The name of the period that a statement names."""
    found = period_of(home)
    return found[0] if found is not None else None


def period_places(document: Document, name: str) -> tuple[Place, ...]:
    """Every place of a document that names a period."""
    found = (period_of(home) for home in homes_of(document))
    return tuple(each[1] for each in found if each is not None and each[0] == name)
