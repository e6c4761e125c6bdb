"""Sets of readings beside one another: of which order they are, and whether their moments can be true."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

from rxlint.model.sets import moment_of, named_sets, own_sets, phrases_of, stated_identity
from rxlint.notation.tree import Block, Document
from rxlint.screening.walks import Found, Walk

_FEWEST_IN_ORDER = 3  # two sets always stand in an order, the newest first or last


def walk_reading_sets(document: Document) -> Walk:
    """What is wrong with the sets of readings of a document, and of the files put beside it."""
    walk = Walk()
    _names(document, walk)
    sets = own_sets(document)
    _same_moment(sets, walk)
    for part in _by_file(document, sets):
        _order(part, walk)
    return walk


def _names(document: Document, walk: Walk) -> None:
    own, revision = stated_identity(document)
    for named in named_sets(document):
        if own is None:
            walk.unsure["readings.another-order"] = "the order does not state its identifier"
            continue
        walk.ran.add("readings.another-order")
        other = named.link.id.text
        if other != own:
            _say(walk, "readings.another-order", named.block, named=other, own=own)
        elif revision is not None:
            walk.ran.add("readings.another-revision")
            if named.link.revision.number != revision:
                text = named.link.revision.text
                _say(walk, "readings.another-revision", named.block, named=text, own=str(revision))


def _same_moment(sets: Sequence[Block], walk: Walk) -> None:
    """Two sets of one moment that both state something: one of them is a copy, or of another moment."""
    dated = [each for each in sets if moment_of(each) is not None]
    if len(dated) > 1:
        walk.ran.add("readings.same-moment")
    for first, second in combinations(dated, 2):
        shared = sorted(phrases_of(first) & phrases_of(second))
        if moment_of(first) != moment_of(second) or not shared or _change(first) != _change(second):
            continue
        related = (first, "the other set stands here")
        _say(walk, "readings.same-moment", second, related, moment=_told(second), what=" and ".join(shared[:3]))


def _order(sets: Sequence[Block], walk: Walk) -> None:
    """The set that breaks the order in time of a file, be it the oldest or the newest first."""
    dated = [(moment, each) for each in sets if (moment := moment_of(each)) is not None]
    if len(dated) < _FEWEST_IN_ORDER:
        return
    walk.ran.add("readings.out-of-order")
    falls = [later for (one, _), later in pairwise(dated) if later[0] < one]
    rises = [later for (one, _), later in pairwise(dated) if later[0] > one]
    if falls and rises:
        _, block = min(falls, rises, key=len)[0]
        before = dated[[each for _, each in dated].index(block) - 1][1]
        related = (before, "the set before it")
        _say(walk, "readings.out-of-order", block, related, moment=_told(block), before=_told(before))


def _by_file(document: Document, sets: Sequence[Block]) -> list[list[Block]]:
    starts = [0, *(joined.before for joined in document.joined)]
    parts: list[list[Block]] = [[] for _ in starts]
    for block in sets:
        line = block.entry.lines[0].number
        parts[max(index for index, start in enumerate(starts) if start < line)].append(block)
    return parts


def _change(block: Block) -> str | None:
    return block.heading.change if block.heading is not None else None


def _told(block: Block) -> str:
    moment = moment_of(block)
    return moment.strftime("%Y-%m-%d %H:%M") if moment is not None else ""


def _say(walk: Walk, event: str, block: Block, related: tuple[Block, str] | None = None, **fields: str) -> None:
    entry = block.entry
    others = ((related[0].entry, related[1]),) if related is not None else ()
    walk.found.append(Found(event, entry, entry.indent, len(entry.text.rstrip()), fields, others))
