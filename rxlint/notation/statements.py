"""One statement (a detail, a row, a heading) from its text: its node, its typed value and what is to be said of it.

Pure functions of (section, term, text), so that a line that was read once can be remembered.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any, Final

from rxlint.notation import nodes as n
from rxlint.notation.amounts import Unreadable
from rxlint.notation.checks import check_body, check_heading
from rxlint.notation.events import Event
from rxlint.notation.faults import early_faults, fault_of
from rxlint.notation.grammar import parse_statement
from rxlint.notation.margin import leading_words
from rxlint.notation.measures import Quantity
from rxlint.notation.near import near
from rxlint.notation.repair import repaired
from rxlint.vocabulary import EMPTY_TRIE, Chunk, PhraseTrie, Section, Term, Unexpected, chunks_of, vocabulary

_FORMS: Final[Mapping[str, str]] = {"pre-oxygenation": "preoxygenation"}
_NAMES: Final = frozenset({"identifier", "link"})  # forms whose digits and dashes are no numbers
_SAID: Final = frozenset({"text", "signed", "call"})  # forms whose text names somebody or says something
_SIGNED: Final = frozenset({"checked", "readings"})  # headings that somebody signs
_MEMORY: Final = 20_000  # statements remembered; a library's lines repeat themselves


@dataclass(frozen=True, slots=True)
class Statement:
    """A detail or row as read.

    ``body`` is None where it could not be read at all; ``values`` holds the quantities of its measure, by name ("" for
    the value itself). ``readable`` is False where rules must treat it as stated but unknown.
    """

    term: Term | None
    phrase: tuple[int, int]
    body: n.Body | n.Row | None
    values: Mapping[str, Quantity]
    events: tuple[Event, ...]
    readable: bool


@dataclass(frozen=True, slots=True)
class Begun:
    """A statement as far as its own words tell what follows: the term with its place, the form that its value has, the
    chunks of that value and the words that may stand in it. ``form`` is None where no term is known.
    """

    term: Term | None
    span: tuple[int, int]
    form: str | None
    chunks: tuple[Chunk, ...]
    classes: Mapping[str, PhraseTrie]


@cache
def _classes(section: str, term: str | None) -> Mapping[str, PhraseTrie]:
    """The words that may stand in a value of this term."""
    words = vocabulary()
    home = words.sections[section]
    found: dict[str, PhraseTrie] = {
        "UNIT": words.tries["UNIT"],
        "BASIS": words.tries["BASIS"],
        "READING": words.tries["READING"],
        "COUNTRY": words.tries["COUNTRY"],
        "MODE": words.tries["MODE"],
    }
    entry = home.terms.get(term) if term else None
    if entry is not None:
        found["WORD"] = PhraseTrie([word for slot in entry.slots for word in slot.words])
        found["MANNER"] = PhraseTrie(entry.manner)
        found["PLACE"] = PhraseTrie(entry.places)
        found["ITEM"] = words.items[entry.items].trie if entry.items else EMPTY_TRIE
    if section in words.items:
        found["ITEM"] = words.items[section].trie
    if section == "titration":
        found["TERM"] = _steppable()
    if section == "accepted":
        found["TERM"] = words.tries["any term"]
    if section == "off ventilator":
        slots = words.sections["airway"].terms["interface"].slots
        found["WORD"] = PhraseTrie(slots[0].words)
    found["KEY_TERM"] = _key_terms()
    return found


@cache
def _key_terms() -> PhraseTrie:
    """What a table may go by: facts of the patient and settings that are numbers."""
    words = vocabulary()
    spellings: dict[str, str] = {}
    for name in ("settings", "patient"):
        for phrase, canonical in words.sections[name].trie.phrases.items():
            if words.sections[name].terms[canonical].form in ("quantity", "age", "fraction"):
                spellings[phrase] = words.sections[name].terms[canonical].key
    return PhraseTrie(spellings)


@cache
def _steppable() -> PhraseTrie:
    """What can be raised or lowered by a step: settings that are amounts, and the oxygen that is added."""
    words = vocabulary()
    spellings: dict[str, str] = {}
    for name in ("settings", "oxygen"):
        for phrase, canonical in words.sections[name].trie.phrases.items():
            term = words.sections[name].terms[canonical]
            if term.kind == "value" and term.form in ("quantity", "fraction"):
                spellings |= {phrase: term.key, term.key: term.key}
    return PhraseTrie(spellings)


def term_of(section: str, text: str) -> Term | None:
    """The term of a section that a line begins with."""
    home = vocabulary().sections[section]
    found = home.trie.longest(chunks_of(text), 0)
    return home.terms[found[1]] if found is not None else None


@lru_cache(maxsize=_MEMORY)
def read_detail(section: str, text: str) -> Statement:
    """Read a detail of a section; ``text`` is the statement without its comment and the white space at its end."""
    begun = begun_detail(section, text)
    if begun.form is None:
        return _unknown_term(vocabulary().sections[section], list(begun.chunks))
    if begun.term is not None and begun.form == "relation":
        return _relation(begun.term, text, begun.span)
    return _read_form(section, begun.term, begun.form, list(begun.chunks), text, begun.span)


def begun_detail(section: str, text: str) -> Begun:
    """A detail of a section as far as its term; ``text`` holds more than white space."""
    home = vocabulary().sections[section]
    chunks = tuple(chunks_of(text))
    first = chunks[0].start, chunks[0].end
    if home.bare == "list":
        return Begun(None, (first[0], chunks[-1].end), "list", chunks, _classes(section, None))
    found = home.trie.longest(chunks, 0)
    if found is None:
        is_stage = section == "off ventilator" and chunks[0].text[:1].isdigit()
        return Begun(None, first, "stage" if is_stage else None, chunks, _classes(section, None))
    used, phrase = found
    term = home.terms[phrase]
    span = chunks[0].start, chunks[used - 1].end
    return Begun(term, span, _FORMS.get(term.form, term.form), chunks[used:], _classes(section, phrase))


def begun_row(section: str, phrase: str, text: str) -> Begun:
    """A row of a table of a section's term ``phrase``."""
    chunks = tuple(chunks_of(text))
    term = vocabulary().sections[section].terms[phrase]
    return Begun(term, (0, 0), "row", chunks, _classes(section, phrase))


def begun_heading(text: str) -> Begun:
    """A line at the margin."""
    return Begun(None, (0, 0), "heading", tuple(chunks_of(text)), _heading_classes())


@lru_cache(maxsize=_MEMORY)
def read_row(section: str, phrase: str, key: str, text: str) -> Statement:
    """Read a row of a table: of the section's term ``phrase``, by the term with this key."""
    term = vocabulary().sections[section].terms[phrase]
    chunks = chunks_of(text)
    return _read_form(section, term, "row", chunks, text, (chunks[0].start, chunks[-1].end), key)


@lru_cache(maxsize=_MEMORY)
def read_heading(text: str) -> tuple[n.Heading | None, tuple[Event, ...]]:
    """Read a line at the margin; None where its kind can't be told."""
    chunks = chunks_of(text)
    node, events = _parse(chunks, "heading", _heading_classes(), text, None)
    if node is None:
        return None, tuple(events)
    blank = _blank(chunks) if node.section in _SIGNED else None
    if blank is not None:
        return None, (*events, blank)
    try:
        return node, (*events, *check_heading(node))
    except Unreadable as error:
        return None, (error.event,)


def _heading_classes() -> Mapping[str, PhraseTrie]:
    return {name: vocabulary().tries[name] for name in ("SECTION", "UNIT")}


def _relation(term: Term, text: str, span: tuple[int, int]) -> Statement:
    start = len(text) - len(text[span[1] :].lstrip())
    if start == len(text):
        fields = {"what": f"{term.phrase} ends too early", "expected": "TERM = EXPRESSION, or a condition"}
        event = Event("reader.not-understood", start, start, fields)
        return Statement(term, span, None, {}, (event,), False)
    return Statement(term, span, n.Relation(text[start:], start, len(text)), {}, (), True)


def _unknown_term(home: Section, chunks: list[Chunk]) -> Statement:
    words = vocabulary()
    elsewhere = next(
        ((chunks[:used], phrase) for used, phrase in [words.tries["any term"].longest(chunks, 0) or (0, "")] if used),
        None,
    )
    if elsewhere is not None:
        run, phrase = elsewhere
        right = " or ".join(words.sections_with(phrase))
        fields = {"what": phrase, "section": home.name, "right": right}
        event = Event("reader.misplaced-term", run[0].start, run[-1].end, fields)
        return Statement(None, (run[0].start, run[-1].end), None, {}, (event,), False)
    run = leading_words(chunks)
    text = " ".join(chunk.text for chunk in run)
    readings = (
        near(text, home.trie.phrases)
        or near(run[0].text, home.trie.phrases)
        or near(text, words.tries["any term"].phrases)
    )
    fields = {"what": text, "section": home.name}
    event = Event("reader.unknown-term", run[0].start, run[-1].end, fields, readings)
    return Statement(None, (run[0].start, run[-1].end), None, {}, (event,), False)


def _read_form(
    section: str,
    term: Term | None,
    form: str,
    chunks: list[Chunk],
    text: str,
    span: tuple[int, int],
    key: str | None = None,
) -> Statement:
    classes = _classes(section, term.phrase if term else None)
    node, events = _parse(chunks, form, classes, text, term)
    if node is None:
        return Statement(term, span, None, {}, tuple(events), False)
    blank = _blank(chunks) if form in _SAID else None
    if blank is not None:
        return Statement(term, span, node, {}, (*events, blank), False)
    try:
        values, more = check_body(section, term, node, key)
    except Unreadable as error:
        keep = [event for event in events if event.name != error.event.name]
        body = None if isinstance(node, n.TableHead) else node
        return Statement(term, span, body, {}, (*keep, _placed(error.event, span)), False)
    return Statement(term, span, node, values, (*events, *(_placed(event, span) for event in more)), True)


def _blank(chunks: list[Chunk]) -> Event | None:
    """The event for the first text with nothing between its quotation marks: a signature that nobody wrote."""
    found = next((each for each in chunks if each.kind == "text" and not each.text[1:-1].strip()), None)
    if found is None:
        return None
    fields = {"what": f"nothing stands between the quotation marks of {found.text}", "expected": "a name or a text"}
    return Event("reader.not-understood", found.start, found.end, fields)


def _placed(event: Event, span: tuple[int, int]) -> Event:
    """The event, at its term where it has no place of its own."""
    return replace(event, start=span[0], end=span[1]) if event.end == 0 else event


def _parse(
    chunks: list[Chunk], form: str, classes: Mapping[str, PhraseTrie], text: str, term: Term | None
) -> tuple[Any, list[Event]]:
    early = early_faults(text, chunks[0].start, len(text)) if chunks and form not in _NAMES else None
    if early is not None:
        return None, [early]
    events: list[Event] = []
    for _ in range(8):  # a statement with more departures than this is not one whose meaning is certain
        try:
            return parse_statement(chunks, form, classes, len(text)), events
        except Unexpected as error:
            again = repaired(chunks, error, classes.get("UNIT", EMPTY_TRIE))
            if again is None:
                return None, [fault_of(error, term, classes)]
            chunks, more = again
            events += more
    return None, events
