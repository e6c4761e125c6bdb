"""Statements by key, for each period: what a document says, before anything is computed from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from rxlint.model.sets import own_sets, sets_before
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name, readings_scope
from rxlint.notation.statements import Statement
from rxlint.notation.tree import Block, Document, Entry
from rxlint.vocabulary import vocabulary

EARLIER: Final = "earlier "
"""Before the name of a reading: the same of the set of readings that was taken before."""
REPEATED_FORMS: Final = frozenset({"relation", "raise", "stop", "call", "accept", "extend"})


@dataclass(frozen=True, slots=True)
class Stated:
    """A statement of a document with the place it stands at."""

    key: str
    statement: Statement
    entry: Entry
    block: Block


@dataclass(frozen=True, slots=True)
class Scope:
    """What holds in one period (None: the unnamed one) together with one set of readings.

    ``by_key`` holds one statement for each term; ``several`` those of which there may be many, by form; ``unsure`` the
    sections of which a line could not be told, so that the absence of a term there proves nothing. ``earlier`` holds
    the readings, by key, that were taken last before ``readings``. ``untold`` are the texts of those lines, by section;
    a section that is unsure for another reason as well is not in it.
    """

    period: str | None
    by_key: Mapping[str, Stated]
    several: Mapping[str, tuple[Stated, ...]]
    blocks: tuple[Block, ...]
    unsure: frozenset[str]
    repeated: frozenset[str]
    readings: Block | None = None
    earlier: Mapping[str, Stated] = field(default_factory=dict)
    untold: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(slots=True)
class _Gather:
    by_key: dict[str, Stated] = field(default_factory=dict)
    several: dict[str, list[Stated]] = field(default_factory=dict)
    blocks: list[Block] = field(default_factory=list)
    unsure: set[str] = field(default_factory=set)
    untold: dict[str, list[str]] = field(default_factory=dict)
    unreadable: set[str] = field(default_factory=set)

    def add(self, block: Block) -> None:
        self.blocks.append(block)
        if not block.readable:
            self.unsure.add(block.section)
            self.unreadable.add(block.section)
        for entry in block.details:
            statement = entry.statement
            if statement is None:
                continue
            key = key_of(block, statement)
            if key is None:
                self.unsure.add(block.section)
                self.untold.setdefault(block.section, []).append(entry.text)
            elif statement.term is not None and statement.term.form in REPEATED_FORMS:
                self.several.setdefault(statement.term.form, []).append(Stated(key, statement, entry, block))
            elif isinstance(statement.body, n.Stage):
                self.several.setdefault("stage", []).append(Stated(key, statement, entry, block))
            elif statement.term is None:  # a bare list: its lines make one list
                self.several.setdefault(block.section, []).append(Stated(key, statement, entry, block))
            else:
                self.by_key[key] = Stated(key, statement, entry, block)


def key_of(block: Block, statement: Statement) -> str | None:
    """The key of a statement in its section; None where its term could not be read."""
    if statement.term is not None:
        return statement.term.key
    home = vocabulary().sections.get(block.section)
    if home is None:
        return None
    if home.bare == "list" or isinstance(statement.body, n.Stage):
        return block.section
    return None


def periods_of(document: Document) -> list[str | None]:
    """The periods that rules run in, in the order of the text; with an unnamed one unless all settings are named."""
    named = [
        period_name(block)
        for block in document.blocks
        if block.section not in ("head", "readings", "checked", "accepted")
    ]
    found: list[str | None] = list(dict.fromkeys(name for name in named if name is not None))
    settings = [period_name(block) for block in document.blocks_of("settings")]
    if not found or not settings or None in settings:
        return [None, *found]
    return found


def scopes_of(document: Document) -> Iterator[Scope]:
    """One scope for each period, without readings, and one more for each section of readings."""
    for period in periods_of(document):
        yield _scope(document, period, None)
        sets = [block for block in own_sets(document) if _read_in(document, period, block)]
        for block in sets:
            yield _scope(document, period, block, sets_before(block, sets))


def _earlier(sets: Sequence[Block]) -> dict[str, Stated]:
    """The readings of some sets of one moment; of what two of them state, neither can be taken."""
    gather = _Gather()
    twice: set[str] = set()
    for block in sets:
        before = set(gather.by_key)
        gather.by_key, kept = {}, gather.by_key
        gather.add(block)
        twice |= before & set(gather.by_key)
        gather.by_key = {**kept, **gather.by_key}
    return {key: stated for key, stated in gather.by_key.items() if key not in twice}


def _read_in(document: Document, period: str | None, readings: Block) -> bool:
    """Whether readings belong to a period: where their time lies in the hours of some periods, to those alone."""
    moment = readings.heading.moment if readings.heading is not None else None
    if moment is None or moment.time is None:
        return True
    holding = {
        period_name(block)
        for block in document.blocks
        if block.heading is not None and block.heading.period is not None
        and any(_holds(window, moment.time) for window in block.heading.period.windows)
    }  # fmt: skip
    return not holding or period in holding


def _holds(window: n.Window, time: str) -> bool:
    start, end = window.start_time, window.end_time
    return start <= time < end if start < end else time >= start or time < end


def _scope(document: Document, period: str | None, readings: Block | None, before: Sequence[Block] = ()) -> Scope:
    gather = _Gather()
    own = [block for block in document.blocks if block.section != "readings"]
    for block in own:
        if period_name(block) is None:
            gather.add(block)
    named = [block for block in own if period is not None and period_name(block) == period]
    for block in named:  # a named section speaks for its period, value by value
        gather.add(block)
    if readings is not None:
        gather.add(readings)
    sections = vocabulary().sections
    is_open = document.unread_sections or document.kind == "readings"  # then much is said elsewhere
    unsure = frozenset(sections) if is_open else frozenset(gather.unsure)
    told_apart = () if is_open else gather.untold.keys() - gather.unreadable
    untold = {section: tuple(gather.untold[section]) for section in told_apart}
    repeated = frozenset(
        sections[section].key_of(phrase)
        for section, name, phrase in document.repeated
        if section in sections and name in (None, period)
    )
    if readings is not None:
        own_set = readings_scope(next(at for at, each in enumerate(document.blocks_of("readings")) if each is readings))
        home = sections["readings"]
        repeated |= {home.key_of(phrase) for section, _, phrase in document.repeated if section == own_set}
    several = {form: tuple(each) for form, each in gather.several.items()}
    blocks = tuple(gather.blocks)
    return Scope(period, gather.by_key, several, blocks, unsure, repeated, readings, _earlier(before), untold)
