"""One statement (a detail, a row, a heading) from its text: its node, its typed value and what is to be said of it.

Pure functions of (section, term, text), so that a line that was read once can be remembered.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any, Final

from rxlint.notation import nodes as n
from rxlint.notation.checks import check_body
from rxlint.notation.events import Event
from rxlint.notation.faults import early_faults, fault_of
from rxlint.notation.grammar import parse_statement
from rxlint.notation.measures import Quantity, Unreadable
from rxlint.notation.near import near
from rxlint.notation.repair import repaired
from rxlint.vocabulary import EMPTY_TRIE, Chunk, PhraseTrie, Section, Term, Unexpected, chunks_of, vocabulary

_FORMS: Final[Mapping[str, str]] = {"pre-oxygenation": "preoxygenation"}
_MEMORY: Final = 20_000  # statements remembered; a library's lines repeat themselves


@dataclass(frozen=True, slots=True)
class Statement:
    """A detail or row as read.

    ``body`` is None where it could not be read at all; ``values`` holds the quantities of its measure, by name ("" for the value
    itself). ``readable`` is False where rules must treat it as stated but unknown.
    """

    term: Term | None
    phrase: tuple[int, int]
    body: n.Body | n.Row | None
    values: Mapping[str, Quantity]
    events: tuple[Event, ...]
    readable: bool


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
        found["TERM"] = PhraseTrie(
            {phrase: key for name in ("settings", "oxygen") for phrase, key in _spellings(words.sections[name]).items()}
        )
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


def _spellings(section: Section) -> dict[str, str]:
    return {phrase: section.terms[canonical].key for phrase, canonical in section.trie.phrases.items()}


@lru_cache(maxsize=_MEMORY)
def read_detail(section: str, text: str, end: int) -> Statement:
    """Read a detail of a section; ``text[:end]`` is the statement without its comment."""
    home = vocabulary().sections[section]
    chunks = chunks_of(text[:end])
    if home.bare == "list":
        return _read_form(section, None, "list", chunks, text, end, (chunks[0].start, chunks[-1].end))
    found = home.trie.longest(chunks, 0)
    if found is None:
        if section == "off ventilator" and chunks[0].text[:1].isdigit():
            return _read_form(section, None, "stage", chunks, text, end, (chunks[0].start, chunks[0].end))
        return _unknown_term(home, chunks)
    used, phrase = found
    term = home.terms[phrase]
    span = chunks[0].start, chunks[used - 1].end
    if term.form == "relation":
        return _relation(term, text, span, end)
    return _read_form(section, term, _FORMS.get(term.form, term.form), chunks[used:], text, end, span)


@lru_cache(maxsize=_MEMORY)
def read_row(section: str, phrase: str, key: str, text: str, end: int) -> Statement:
    """Read a row of a table: of the section's term ``phrase``, by the term with this key."""
    term = vocabulary().sections[section].terms[phrase]
    chunks = chunks_of(text[:end])
    return _read_form(section, term, "row", chunks, text, end, (chunks[0].start, chunks[-1].end), key)


@lru_cache(maxsize=_MEMORY)
def read_heading(text: str, end: int) -> tuple[n.Heading | None, tuple[Event, ...]]:
    """Read a line at the margin; None where its kind can't be told."""
    chunks = chunks_of(text[:end])
    classes = {"SECTION": vocabulary().tries["SECTION"], "UNIT": vocabulary().tries["UNIT"]}
    node, events = _parse(chunks, "heading", classes, text, None, end)
    return node, tuple(events)


def _relation(term: Term, text: str, span: tuple[int, int], end: int) -> Statement:
    start = span[1] + len(text[span[1] : end]) - len(text[span[1] : end].lstrip())
    body = text[start:end].rstrip()
    if not body:
        event = Event("reader.not-understood", span[0], span[1], {"what": "keep ends too early", "expected": "TERM = EXPRESSION, or a condition"})
        return Statement(term, span, None, {}, (event,), False)
    return Statement(term, span, n.Relation(body, start, start + len(body)), {}, (), True)


def _unknown_term(home: Section, chunks: list[Chunk]) -> Statement:
    words = vocabulary()
    elsewhere = next(
        ((chunks[:used], phrase) for used, phrase in [words.tries["any term"].longest(chunks, 0) or (0, "")] if used), None
    )
    if elsewhere is not None:
        run, phrase = elsewhere
        right = " or ".join(words.sections_with(phrase))
        fields = {"what": phrase, "section": home.name, "right": right}
        event = Event("reader.misplaced-term", run[0].start, run[-1].end, fields)
        return Statement(None, (run[0].start, run[-1].end), None, {}, (event,), False)
    run = _leading_words(chunks)
    text = " ".join(chunk.text for chunk in run)
    readings = near(text, home.trie.phrases) or near(run[0].text, home.trie.phrases) or near(text, words.tries["any term"].phrases)
    fields = {"what": text, "section": home.name}
    event = Event("reader.unknown-term", run[0].start, run[-1].end, fields, readings)
    return Statement(None, (run[0].start, run[-1].end), None, {}, (event,), False)


def _leading_words(chunks: list[Chunk]) -> list[Chunk]:
    run = [chunks[0]]
    for chunk in chunks[1:4]:
        if chunk.kind != "word" or not chunk.text[0].isalpha():
            break
        run.append(chunk)
    return run


def _read_form(
    section: str,
    term: Term | None,
    form: str,
    chunks: list[Chunk],
    text: str,
    end: int,
    span: tuple[int, int],
    key: str | None = None,
) -> Statement:
    classes = _classes(section, term.phrase if term else None)
    node, events = _parse(chunks, form, classes, text, term, end)
    if node is None:
        return Statement(term, span, None, {}, tuple(events), False)
    try:
        values, more = check_body(section, term, node, key)
    except Unreadable as error:
        keep = [event for event in events if event.name != error.event.name]
        return Statement(term, span, node, {}, (*keep, error.event), False)
    more = [replace(event, start=span[0], end=span[1]) if event.end == 0 else event for event in more]
    return Statement(term, span, node, values, (*events, *more), True)


def _parse(
    chunks: list[Chunk], form: str, classes: Mapping[str, PhraseTrie], text: str, term: Term | None, end: int
) -> tuple[Any, list[Event]]:
    early = early_faults(text, chunks[0].start, end) if chunks else None
    if early is not None:
        return None, [early]
    events: list[Event] = []
    for _ in range(8):  # a statement with more departures than this is not one whose meaning is certain
        try:
            return parse_statement(chunks, form, classes, end), events
        except Unexpected as error:
            again = repaired(chunks, error, classes.get("UNIT", EMPTY_TRIE))
            if again is None:
                return None, [fault_of(error, text, term, classes)]
            chunks, more = again
            events += more
    return None, events
