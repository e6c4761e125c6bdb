"""Statements by key, for each period: what a document says, before anything is computed from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from rxlint.model.clock import around, fill_the_day
from rxlint.model.sets import own_sets, sets_before
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name, readings_scope
from rxlint.notation.statements import Statement
from rxlint.notation.tree import Block, Document, Entry
from rxlint.text import Problem
from rxlint.vocabulary import vocabulary

MOST_SCOPES: Final = 10_000
"""The most combinations of a period and a set of readings that a document is screened with."""
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
    """The periods that rules run in, in the order of the text; with an unnamed one unless no time is left for it: all
    settings are named, or the named periods fill the day.
    """
    return _periods(document, unnamed=False)


def _periods(document: Document, *, unnamed: bool) -> list[str | None]:
    """The periods, with the unnamed one for sure where ``unnamed``, unless all settings are named."""
    blocks = [block for block in document.blocks if block.section not in ("head", "readings", "checked", "accepted")]
    named = [period_name(block) for block in blocks]
    found: list[str | None] = list(dict.fromkeys(name for name in named if name is not None))
    settings = [period_name(block) for block in document.blocks_of("settings")]
    if found and settings and None not in settings:
        return found
    if found and not unnamed and fill_the_day(blocks) and not _hides_a_line(blocks):
        return found
    return [None, *found]


def _hides_a_line(blocks: Iterable[Block]) -> bool:
    """Whether each named period replaces a line of the sections without a name: it holds at no time, and is asked about
    in the unnamed period or nowhere.
    """
    own: dict[str | None, set[str]] = {}
    for block in blocks:
        gather = _Gather()
        gather.add(block)
        own.setdefault(period_name(block), set()).update(gather.by_key)
    replaced = [keys for name, keys in own.items() if name is not None]
    return bool(own.get(None, set()).intersection(*replaced))


def scopes_of(document: Document, *, unnamed: bool = False) -> Iterator[Scope]:
    """One scope for each period, without readings, and one more for each section of readings.

    With ``unnamed`` the sections without a name make a scope even where named periods fill the day.
    """
    parts = _Parts(document)
    own = [(block, parts.periods_at(block)) for block in own_sets(document)]
    for period in _periods(document, unnamed=unnamed):
        yield _scope(parts, period, None)
        sets = [block for block, holding in own if not holding or period in holding]
        for block in sets:
            yield _scope(parts, period, block, sets_before(block, sets))


def too_many_scopes(document: Document) -> Problem | None:
    """Why a document with more periods and sets of readings than anybody writes is not screened: each period is asked
    about with each set. None for any other.
    """
    periods: set[str | None] = {None}
    sets = 0
    for block in document.blocks:
        periods.add(period_name(block))
        sets += block.section == "readings"
        if len(periods) * max(sets, 1) > MOST_SCOPES:
            told = f"{len(periods):,} periods and {sets:,} sets of readings up to here, each to be screened with each"
            return Problem(f"the document holds {told}: the limit is {MOST_SCOPES:,}", block.entry.lines[0].number, 1)
    return None


class _Parts:
    """The sections of a document, as the scopes ask for them: found once for all of them."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.by_period: dict[str | None, list[Block]] = {}
        self.number: dict[int, int] = {}  # of a set of readings among all, by its identity
        self._windows: list[tuple[str | None, tuple[n.Window, ...]]] = []
        for block in document.blocks:
            if block.section == "readings":
                self.number[id(block)] = len(self.number)
            else:
                self.by_period.setdefault(period_name(block), []).append(block)
            period = block.heading.period if block.heading is not None else None
            if period is not None and period.windows:
                self._windows.append((period_name(block), tuple(period.windows)))
        self._around = around(document.blocks)

    def periods_over(self, period: str | None) -> tuple[str | None, ...]:
        """The periods whose sections speak in a period, each over those before it: the unnamed one, those in whose
        hours it lies, itself.
        """
        return (None,) if period is None else (None, *self._around.get(period, ()), period)

    def periods_at(self, readings: Block) -> frozenset[str | None]:
        """The periods in whose hours readings were taken; none where that can not be told, and they belong to all."""
        moment = readings.heading.moment if readings.heading is not None else None
        time = moment.time if moment is not None else None
        if time is None:
            return frozenset()
        return frozenset(name for name, windows in self._windows if any(_holds(each, time) for each in windows))


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


def _holds(window: n.Window, time: str) -> bool:
    start, end = window.start_time, window.end_time
    return start <= time < end if start < end else time >= start or time < end


def _scope(parts: _Parts, period: str | None, readings: Block | None, before: Sequence[Block] = ()) -> Scope:
    gather = _Gather()
    document = parts.document
    layers = parts.periods_over(period)
    for block in (block for layer in layers for block in parts.by_period.get(layer, ())):
        gather.add(block)  # a named section speaks for its period, value by value
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
        if section in sections and name in layers
    )
    if readings is not None:
        own_set = readings_scope(parts.number[id(readings)])
        home = sections["readings"]
        repeated |= {home.key_of(phrase) for section, _, phrase in document.repeated if section == own_set}
    several = {form: tuple(each) for form, each in gather.several.items()}
    blocks = tuple(gather.blocks)
    return Scope(period, gather.by_key, several, blocks, unsure, repeated, readings, _earlier(before), untold)
