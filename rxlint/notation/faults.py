"""Says of a statement that does not fit its form what was expected and what may have been meant."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from rxlint.notation.events import Event
from rxlint.notation.measures import dimensions_of, expected_units
from rxlint.notation.near import near
from rxlint.units import units_of
from rxlint.vocabulary import PhraseTrie, Term, Unexpected

_COMMA: Final = re.compile(r"(?<![^\s])-?[0-9]+,[0-9]+(?![^\s,])")
_DASH: Final = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)\s?[-\u2010-\u2015\u2212]\s?([0-9]+(?:\.[0-9]+)?)(?=\s|$|[^0-9.:/-])")
_LETTER_DIGIT: Final = re.compile(r"(?=[0-9OlI.]*[0-9])(?=[0-9OlI.]*[OlI])[0-9OlI]+(?:\.[0-9OlI]+)?")

# What each declared class is called in a message.
PLACES: Final[Mapping[str, str]] = {
    "WORD": "word", "ITEM": "item", "MODE": "mode", "UNIT": "unit", "TERM": "setting", "KEY_TERM": "term to go by", "READING": "reading",
    "BASIS": "weight", "MANNER": "way of knowing", "PLACE": "place", "COUNTRY": "country", "SECTION": "section",
}  # fmt: skip
_RAW: Final[Mapping[str, str]] = {
    "NUMBER": "a number", "TEXT": 'text in quotation marks', "DATE": "a date such as 2026-11-02", "TIME": "a time such as 21:00",
    "RATIO": "a ratio such as 1:2", "AGE": "an age", "NAME": "a name", "LABEL": "a name", "RULE": "a rule's id", "$END": "the end of the line",
    "UNIT": "a unit",
}  # fmt: skip


def early_faults(text: str, start: int, end: int) -> Event | None:
    """Ways of writing numbers that make a statement unreadable whatever its form: a decimal comma, a dash for a range."""
    code = _without_quotes(text)
    comma = _COMMA.search(code, start, end)
    if comma is not None:
        return Event("reader.decimal-comma", comma.start(), comma.end(), {"what": comma.group()}, _comma_readings(comma.group()))
    dash = _DASH.search(code, start, end)
    if dash is not None and not re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", code[dash.start() :]):
        before = code[: dash.start()]
        if not before or before[-1].isspace():
            reading = f"{dash.group(1)} to {dash.group(2)}"
            return Event("reader.range-dash", dash.start(), dash.end(), {"what": dash.group()}, (reading,))
    return None


def _without_quotes(text: str) -> str:
    return re.sub(r'"(?:\\.|[^"\\])*"?', lambda match: " " * len(match.group()), text)


def _comma_readings(what: str) -> tuple[str, ...]:
    whole, _, rest = what.partition(",")
    readings = [f"{whole}.{rest}"]
    if len(rest) == 3 and whole.lstrip("-") not in ("", "0"):
        readings.append(f"{whole}{rest}")
    return tuple(readings)


def fault_of(error: Unexpected, text: str, term: Term | None, classes: Mapping[str, PhraseTrie]) -> Event:
    """The event for a statement that stopped fitting at ``error.at``."""
    chunks = error.source.chunks
    what = term.phrase if term is not None else "this line"
    if error.at >= len(chunks):
        return Event("reader.not-understood", error.start, error.end, {"what": f"{what} ends too early", "expected": expected(error, term)})
    chunk = chunks[error.at]
    if chunk.kind == "open":
        return Event(
            "reader.not-understood", chunk.start, chunk.end,
            {"what": "a quotation mark is not closed", "expected": "text in quotation marks, closed on the same line"},
        )  # fmt: skip
    if _LETTER_DIGIT.fullmatch(chunk.text) and "NUMBER" in error.accepts:
        plain = chunk.text.replace("O", "0").replace("l", "1").replace("I", "1")
        fields = {"what": chunk.text, "plain": plain, "where": "a letter stands in a number"}
        return Event("reader.look-alike", chunk.start, chunk.end, fields, (plain,))
    if chunk.kind == "word" and not chunk.text[0].isdigit():
        unknown = _unknown_word(error, term, classes)
        if unknown is not None:
            return unknown
    found = {"what": f"{chunk.text} can't stand here", "expected": expected(error, term)}
    return Event("reader.not-understood", chunk.start, chunk.end, found, _closest(error, chunk.text, classes))


def expected(error: Unexpected, term: Term | None) -> str:
    """What may come next, in words."""
    names = [_RAW[name] for name in sorted(error.accepts) if name in _RAW and name not in ("$END", "UNIT")]
    if "UNIT" in error.accepts and term is not None and term.units:
        names.append(expected_units(dimensions_of(term), term.units[0].symbol))
    names += [f"a {PLACES[name]}" for name in sorted(error.accepts) if name in PLACES and name != "UNIT"]
    names += [f'"{word}"' for word in error.keywords]
    if "$END" in error.accepts:
        names.append("the end of the line")
    return ", ".join(names[:8])


def _unknown_word(error: Unexpected, term: Term | None, classes: Mapping[str, PhraseTrie]) -> Event | None:
    """A word where the vocabulary has words: the run up to the next punctuation or number is taken as one phrase."""
    wanted = [name for name in ("MODE", "ITEM", "WORD", "TERM", "READING", "BASIS", "PLACE", "SECTION", "KEY_TERM", "UNIT") if name in error.accepts]
    if not wanted:
        return None
    place = wanted[0]
    chunks = error.source.chunks
    last = error.at
    if place not in ("UNIT", "MODE"):
        while last + 1 < len(chunks) and chunks[last + 1].kind == "word" and not chunks[last + 1].text[0].isdigit():
            if chunks[last + 1].text in ("and", "or", "to", "when", "by", "allow"):
                break
            last += 1
    run = error.source.chunks[error.at : last + 1]
    text = " ".join(chunk.text for chunk in run)
    candidates = _candidates(error, term, classes, wanted)
    readings = near(text, candidates)
    if not readings and len(run) > 1:
        readings = near(run[0].text, candidates)
        if readings:
            run, text = run[:1], run[0].text
    if place == "UNIT" and not readings and error.keywords and near(text, error.keywords):
        return None
    label = PLACES[place]
    if place in ("WORD", "ITEM") and term is not None:
        label = f"{label} of {term.phrase}"
    return Event("reader.unknown-word", run[0].start, run[-1].end, {"what": text, "place": label}, readings)


def _candidates(error: Unexpected, term: Term | None, classes: Mapping[str, PhraseTrie], wanted: list[str]) -> list[str]:
    candidates: list[str] = []
    for name in wanted:
        if name == "UNIT" and term is not None and term.units:
            candidates += [symbol for dimension in dimensions_of(term) for symbol in units_of(dimension)]
        elif name in classes:
            candidates += list(classes[name].phrases)
    return candidates + list(error.keywords)


def _closest(error: Unexpected, text: str, classes: Mapping[str, PhraseTrie]) -> tuple[str, ...]:
    words = [phrase for name, trie in classes.items() if name in error.accepts for phrase in trie.phrases]
    return near(text, [*error.keywords, *words])
