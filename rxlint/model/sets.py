"""Several sets of readings over time: which belong to the order, which came before which."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rxlint.notation import nodes as n
from rxlint.notation.tree import Block, Document
from rxlint.vocabulary import vocabulary


@dataclass(frozen=True, slots=True)
class Named:
    """A line `readings for ID revision N` with the order that it names, and the sets that stand under it."""

    block: Block
    link: n.Link
    sets: tuple[Block, ...]


def moment_of(block: Block) -> datetime.datetime | None:
    """When a set of readings was taken; None where it does not say so to the minute."""
    moment = block.heading.moment if block.heading is not None else None
    if moment is None or moment.time is None:
        return None
    try:
        return datetime.datetime.fromisoformat(f"{moment.date}T{moment.time}")
    except ValueError:
        return None


def named_sets(document: Document) -> tuple[Named, ...]:
    """The lines that say of which order the readings after them are; one holds to the end of its file."""
    found: list[Named] = []
    for part in _parts(document):
        current: Block | None = None
        sets: list[Block] = []
        for block in (*part, None):
            if block is None or block.section == "readings for":
                link = current.heading.link if current is not None and current.heading is not None else None
                if current is not None and link is not None:
                    found.append(Named(current, link, tuple(sets)))
                current, sets = block, []
            elif block.section == "readings":
                sets.append(block)
    return tuple(found)


def _parts(document: Document) -> Iterator[tuple[Block, ...]]:
    """The blocks of each file of a document, in their order."""
    ends = [joined.before for joined in document.joined]
    for start, end in zip([0, *ends], [*ends, None], strict=True):
        yield tuple(
            block
            for block in document.blocks
            if start < block.entry.lines[0].number and (end is None or block.entry.lines[0].number <= end)
        )


def own_sets(document: Document) -> tuple[Block, ...]:
    """The sets of readings of a document, without those that are said to be of another order."""
    own = stated_identity(document)[0]
    strange = {
        id(block)
        for named in named_sets(document)
        if own is not None and named.link.id.text != own
        for block in named.sets
    }
    return tuple(block for block in document.blocks_of("readings") if id(block) not in strange)


def stated_identity(document: Document) -> tuple[str | None, int | None]:
    """The identifier and the revision that an order states of itself; None for each that it does not."""
    name: str | None = None
    revision: int | None = None
    for block in document.blocks_of("head"):
        for detail in block.details:
            statement = detail.statement
            if statement is None or statement.term is None or not statement.readable:
                continue
            if statement.term.key == "document id" and isinstance(statement.body, n.Phrase):
                name = statement.body.text
            elif statement.term.key == "document revision" and isinstance(statement.body, n.Part):
                revision = int(statement.body.number)
    return name, revision


def sets_before(block: Block, sets: Sequence[Block]) -> tuple[Block, ...]:
    """The sets of the last moment before a set's own; none where it does not say when it was taken."""
    own = moment_of(block)
    if own is None:
        return ()
    moments = {id(each): moment for each in sets if (moment := moment_of(each)) is not None and moment < own}
    last = max(moments.values(), default=None)
    return tuple(each for each in sets if moments.get(id(each)) == last) if last is not None else ()


def phrases_of(block: Block) -> frozenset[str]:
    """What a set of readings states."""
    return frozenset(
        entry.statement.term.phrase
        for entry in block.details
        if entry.statement is not None and entry.statement.term is not None
    )


def reading_phrases() -> tuple[str, ...]:
    """Everything that can be read."""
    return tuple(vocabulary().sections["readings"].terms)
