"""Says of a statement that does not fit its form what was expected and what may have been meant."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from rxlint.notation.amounts import dimensions_of, expected_units
from rxlint.notation.events import Event
from rxlint.notation.near import near
from rxlint.notation.takes import takes, takes_automatic, takes_off
from rxlint.units import units_of
from rxlint.vocabulary import EMPTY_TRIE, Chunk, PhraseTrie, Term, Unexpected

_COMMA: Final = re.compile(r"(?<![^\s])-?[0-9]+,[0-9]+(?![^\s,])")
_DASH: Final = re.compile(
    r"(-?[0-9]+(?:\.[0-9]+)?)\s?[-\u2010-\u2015\u2212]\s?([0-9]+(?:\.[0-9]+)?)(?=\s|$|[^0-9.:/-])"
)
_DATE: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LETTER_DIGIT: Final = re.compile(r"(?=[0-9OlI.]*[0-9])(?=[0-9OlI.]*[OlI])[0-9OlI]+(?:\.[0-9OlI]+)?")

# The classes of words, the likeliest to have been meant first.
_WORDS: Final = ("MODE", "ITEM", "WORD", "TERM", "READING", "BASIS", "PLACE", "SECTION", "KEY_TERM", "UNIT")

# What each declared class is called in a message.
PLACES: Final[Mapping[str, str]] = {
    "WORD": "word",
    "ITEM": "item",
    "MODE": "mode",
    "UNIT": "unit",
    "TERM": "setting",
    "KEY_TERM": "term to go by",
    "READING": "reading",
    "BASIS": "weight",
    "MANNER": "way of knowing",
    "PLACE": "place",
    "COUNTRY": "country",
    "SECTION": "section",
}
_RAW: Final[Mapping[str, str]] = {
    "NUMBER": "a number",
    "TEXT": "text in quotation marks",
    "DATE": "a date such as 2026-11-02",
    "TIME": "a time such as 21:00",
    "RATIO": "a ratio such as 1:2",
    "AGE": "an age",
    "NAME": "a name",
    "LABEL": "a name",
    "RULE": "a rule's id",
}
_ESCAPE: Final = re.compile(r"\\.")
_PLAIN: Final = r"-?[0-9]+(?:\.[0-9]+)?"
_NUMERIC: Final = re.compile(rf"{_PLAIN}(?::{_PLAIN})?")
_NUMBERS: Final = frozenset({"NUMBER", "AGE", "RATIO"})
_OTHER_FORMS: Final[Mapping[str, frozenset[str]]] = {
    "quantity": frozenset({"AGE", "RATIO"}),
    "fraction": frozenset({"AGE", "RATIO"}),
    "ratio": frozenset({"AGE", "NUMBER"}),
    "age": frozenset({"RATIO"}),
}
_MOST_DIGITS: Final = 15  # before the point, and after it, as in the tokens of prescription.lark
_MORE_LINES: Final = "the rest of the list; it goes on only in a line that is indented deeper"


def early_faults(text: str, start: int, end: int) -> Event | None:
    """Ways of writing numbers that no form of a statement can be read with: a decimal comma, a dash for a range."""
    code = _without_quotes(text)
    comma = _COMMA.search(code, start, end)
    if comma is not None:
        what = comma.group()
        return Event("reader.decimal-comma", comma.start(), comma.end(), {"what": what}, _comma_readings(what))
    for dash in _DASH.finditer(code, start, end):
        if code[dash.start() - 1 : dash.start()].strip() or _DATE.match(code, dash.start()):
            continue
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


def fault_of(error: Unexpected, term: Term | None, classes: Mapping[str, PhraseTrie]) -> Event:
    """The event for a statement that stopped fitting at ``error.at``."""
    chunks = error.source.chunks
    if error.at >= len(chunks):
        return _ends_early(error, term)
    chunk = chunks[error.at]
    if chunk.kind == "open":
        what, expected_text = "a quotation mark is not closed", "text in quotation marks, closed on the same line"
        return _not_understood(chunk.start, chunk.end, what, expected_text)
    if chunk.kind == "text" and "TEXT" in error.accepts:
        return _bad_escape(chunk)
    if _LETTER_DIGIT.fullmatch(chunk.text) and "NUMBER" in error.accepts:
        plain = chunk.text.replace("O", "0").replace("l", "1").replace("I", "1")
        fields = {"what": chunk.text, "plain": plain, "where": "a letter stands in a number"}
        return Event("reader.look-alike", chunk.start, chunk.end, fields, (plain,))
    if _NUMERIC.fullmatch(chunk.text) and _NUMBERS & error.accepts:
        spelling = _misspelt_number(chunk)
        if spelling is not None:
            return spelling
    if chunk.kind == "word" and not chunk.text[0].isdigit():
        found = _not_taken(error, term) or _unknown_word(error, term, classes) or _misspelt_whole(error, term, classes)
        if found is not None:
            return found
    what = f'"{chunk.text}" can\'t stand here'
    readings = _closest(error, chunk.text, classes)
    return _not_understood(chunk.start, chunk.end, what, expected(error, term), readings)


def _misspelt_number(chunk: Chunk) -> Event | None:
    """A number, or a ratio, that has more digits than are read, or a zero in front: which of the two it is."""
    for number in chunk.text.split(":"):
        whole, _, part = number.lstrip("-").partition(".")
        for digits, side in ((whole, "before"), (part, "after")):
            if len(digits) > _MOST_DIGITS:
                what = f"a number has {len(digits)} digits {side} the point"
                wanted = f"at most {_MOST_DIGITS} before the point and {_MOST_DIGITS} after it"
                return _not_understood(chunk.start, chunk.end, what, wanted)
        if len(whole) > 1 and whole[0] == "0" and ":" not in chunk.text:  # 08:30 is a time, in the wrong place
            wanted = "no zero but the one before a point, as in 0.5"
            return _not_understood(chunk.start, chunk.end, f'"{chunk.text}" has a zero in front', wanted)
    return None


def _misspelt_whole(error: Unexpected, term: Term | None, classes: Mapping[str, PhraseTrie]) -> Event | None:
    """A mode or words of which the beginning alone was read: the whole may be a phrase with a slip in it."""
    if term is None or term.form not in ("mode", "words") or error.at == 0:
        return None
    chunks = error.source.chunks
    whole = " ".join(chunk.text for chunk in chunks)
    name = "MODE" if term.form == "mode" else "WORD"
    readings = near(whole, classes[name].phrases) if name in classes else ()
    if not readings:
        return None
    fields = {"what": whole, "place": PLACES[name] if name == "MODE" else f"{PLACES[name]} of {term.phrase}"}
    return Event("reader.unknown-word", chunks[0].start, chunks[-1].end, fields, readings)


def _not_understood(start: int, end: int, what: str, wanted: str, readings: tuple[str, ...] = ()) -> Event:
    return Event("reader.not-understood", start, end, {"what": what, "expected": wanted}, readings)


def _ends_early(error: Unexpected, term: Term | None) -> Event:
    chunks = error.source.chunks
    if chunks and chunks[-1].text == ",":
        return _not_understood(chunks[-1].start, chunks[-1].end, "a comma ends the line", _MORE_LINES)
    what = term.phrase if term is not None else "this line"
    return _not_understood(error.start, error.end, f"{what} ends too early", expected(error, term))


def _bad_escape(chunk: Chunk) -> Event:
    """A text that is closed and yet no text has an escape that is none of the two."""
    escape = next(each for each in _ESCAPE.finditer(chunk.text) if each.group() not in ('\\"', "\\\\"))
    start = chunk.start + escape.start()
    expected_text = r"\" for a quotation mark, or \\ for a backslash"
    return _not_understood(start, start + 2, f"{escape.group()} has no meaning in a text", expected_text)


def _not_taken(error: Unexpected, term: Term | None) -> Event | None:
    """A place after `at`, where the term has none."""
    chunks = error.source.chunks
    before = chunks[error.at - 1] if error.at else None
    if term is None or before is None or before.text != "at" or "PLACE" not in error.accepts or term.places:
        return None
    return _not_understood(before.start, chunks[error.at].end, f"{term.phrase} takes no place", takes(term))


def expected(error: Unexpected, term: Term | None) -> str:
    """What may come next, in words."""
    if term is not None and "allow" in error.keywords:  # the value is complete: only its additions may follow
        return takes(term)
    never = _never(error, term)
    names = [_RAW[name] for name in sorted(error.accepts) if name in _RAW and name not in never]
    if "UNIT" in error.accepts and term is not None and term.units:
        names.append(expected_units(dimensions_of(term), term.units[0].symbol))
    names += [_with_article(PLACES[name]) for name in sorted(error.accepts) if name in PLACES and name != "UNIT"]
    names += [f'"{word}"' for word in error.keywords if word not in never]
    if "$END" in error.accepts:
        names.append("the end of the line")
    return ", ".join(list(dict.fromkeys(names))[:8])


def _never(error: Unexpected, term: Term | None) -> frozenset[str]:
    """What one grammar of values has at the beginning of a value, and this term does not take."""
    if term is None or "automatic" not in error.keywords:
        return frozenset()
    words = {"automatic": takes_automatic(term), "off": takes_off(term)}
    return _OTHER_FORMS.get(term.form, frozenset()) | {word for word, taken in words.items() if not taken}


def _with_article(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _unknown_word(error: Unexpected, term: Term | None, classes: Mapping[str, PhraseTrie]) -> Event | None:
    """A word where the vocabulary has words: the run up to the next punctuation or number is taken as one phrase."""
    wanted = [
        name for name in _WORDS if name in error.accepts and (name == "UNIT" or classes.get(name, EMPTY_TRIE).phrases)
    ]
    if not wanted:
        return None
    place = wanted[0]
    run = _run(error, place)
    text = " ".join(chunk.text for chunk in run)
    candidates = _candidates(error, term, classes, wanted)
    readings = near(text, candidates)
    if not readings and len(run) > 1:
        readings = near(run[0].text, candidates)
        if readings:
            run, text = run[:1], run[0].text
    if place == "UNIT" and (term is None or not term.units):
        return None
    if place == "UNIT" and not readings and error.keywords and near(text, error.keywords):
        return None
    label = PLACES[place]
    if place in ("WORD", "ITEM") and term is not None:
        label = f"{label} of {term.phrase}"
    return Event("reader.unknown-word", run[0].start, run[-1].end, {"what": text, "place": label}, readings)


def _run(error: Unexpected, place: str) -> list[Chunk]:
    chunks = error.source.chunks
    last = error.at
    if place not in ("UNIT", "MODE"):
        while last + 1 < len(chunks) and chunks[last + 1].kind == "word" and not chunks[last + 1].text[0].isdigit():
            if chunks[last + 1].text in ("and", "or", "to", "when", "by", "allow"):
                break
            last += 1
    return list(chunks[error.at : last + 1])


def _candidates(
    error: Unexpected, term: Term | None, classes: Mapping[str, PhraseTrie], wanted: Sequence[str]
) -> list[str]:
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
