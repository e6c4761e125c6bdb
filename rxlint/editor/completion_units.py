"""Which units an amount may have, told by where its number stands in a statement."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rxlint.notation.amounts import dimensions_of, fitting_units, standard_share, unit_of
from rxlint.notation.grammar import Piece
from rxlint.units import DISCOURAGED, PRESSURE, TIME, VOLUME, Dimension
from rxlint.vocabulary import Term, vocabulary

NUMBERS: Final = frozenset({"NUMBER", "AGE", "RATIO"})
MEASURED: Final = frozenset({"quantity", "fraction", "age", "number", "ratio"})
_AGES: Final = ("years", "months", "weeks", "days")
_SELDOM: Final = frozenset({*_AGES, "Fr"})  # no breath lasts days, and nobody is so many French tall
_TIMES: Final = ("s", "min", "h")
_STEPPED: Final = ("min", "h", "s")
_WORDS_OF_TIME: Final = frozenset({"every", "for"})


def units_at(form: str, term: Term | None, key: Term | None, pieces: Sequence[Piece], section: str) -> tuple[str, ...]:
    """The units of the last number of some pieces of a statement, those that are usual first; none where it takes none.

    ``form`` is the statement's start rule, ``term`` its term and ``key`` what its table goes by.
    """
    numbers = [index for index, piece in enumerate(pieces) if piece.kind in NUMBERS]
    if not numbers:
        return ()
    last = numbers[-1]
    before = pieces[:last]
    word = next((piece.text for piece in reversed(before) if piece.kind == "keyword"), "")
    if form in MEASURED:
        return _of_measure(term, before) if term is not None else ()
    if form == "row":
        keys = keys_in_row(pieces)
        if numbers.index(last) < keys:
            return _of_term(key, before) if key is not None else ()
        return _of_measure(term, pieces[numbers[keys - 1] + 1 : last]) if term is not None else ()
    if form in ("raise", "stop", "call"):
        return _of_sentence(before, word)
    if form == "list":
        return _of_item(term, section, pieces)
    if form == "accept":
        return _of_accepted(before)
    return _of_other(form, word, len(numbers))


def keys_in_row(pieces: Sequence[Piece]) -> int:
    """How many numbers at the beginning of a row are its key: two where it goes from one to the other."""
    first = next((index for index, piece in enumerate(pieces) if piece.kind in NUMBERS), 0)
    following = [piece.text for piece in pieces[first + 1 : first + 3] if piece.kind == "keyword"]
    return 2 if following[:1] == ["to"] else 1


def _of_measure(term: Term, before: Sequence[Piece]) -> tuple[str, ...]:
    governing = ("at", "after", "in steps of", "allow")
    word = next((piece.text for piece in reversed(before) if piece.text in governing), "")
    if word == "at" and term.at is not None:
        return _fitting((term.at.dimension,), term.at.symbol)
    return _TIMES if word == "after" else _of_term(term, before)


def _of_term(term: Term, before: Sequence[Piece] = ()) -> tuple[str, ...]:
    """The units of a term; where its value has one already, those that measure the same."""
    standard = term.unit.symbol if term.unit is not None else None
    if term.form == "age":
        return tuple(sorted(_AGES, key=lambda symbol: symbol != standard))
    dimensions = dimensions_of(term)
    units = [found for piece in before if piece.kind == "UNIT" and (found := unit_of(piece.text)) is not None]
    written = next((unit for unit in reversed(units) if unit.dimension in dimensions), None)
    if written is not None:
        return _fitting((written.dimension,), standard_share(term) or written.symbol)
    return _fitting(dimensions, standard)


def _fitting(dimensions: tuple[Dimension, ...], standard: str | None) -> tuple[str, ...]:
    found = fitting_units(dimensions, standard)
    return tuple(symbol for symbol in found if symbol not in DISCOURAGED and symbol not in _SELDOM)


def _of_sentence(before: Sequence[Piece], word: str) -> tuple[str, ...]:
    """A step, or a condition: an amount belongs to the reading before it, or to the first setting that is moved."""
    if word in _WORDS_OF_TIME:
        return _STEPPED
    reading = next((piece.text for piece in reversed(before) if piece.kind == "READING"), None)
    if reading is not None:
        return _of_term(vocabulary().sections["readings"].terms[reading])
    moved = next((piece.text for piece in before if piece.kind == "TERM"), None)
    return _of_term(vocabulary().terms[moved]) if moved is not None else ()


def _of_item(term: Term | None, section: str, pieces: Sequence[Piece]) -> tuple[str, ...]:
    sets = vocabulary().items
    items = sets.get(term.items if term is not None and term.items else section)
    name = next((piece.text for piece in reversed(pieces) if piece.kind == "ITEM"), "")
    symbols = [unit.symbol for unit in items.units] if items is not None else []
    return tuple(sorted(symbols, key=lambda symbol: not _is_usual(name, symbol)))


def _is_usual(name: str, symbol: str) -> bool:
    """Whether an item is usually told in this unit: tubing by its length, a battery by its hours, a catheter in Fr."""
    told = {"tubing": "cm", "battery": "h", "catheter": "Fr"}
    return next((unit for word, unit in told.items() if word in name), None) == symbol


def _of_accepted(before: Sequence[Piece]) -> tuple[str, ...]:
    named = next((piece.text for piece in before if piece.kind == "TERM"), None)
    found = [each for each in terms_called(named) if each.units] if named is not None else []
    return _of_term(found[0]) if found else ()


def terms_called(phrase: str) -> Iterable[Term]:
    """The terms of all sections that are called so, in the order of the sections."""
    words = vocabulary()
    for name in words.sections_with(phrase):
        home = words.sections[name]
        yield home.terms[home.trie.phrases.get(phrase, phrase)]


def _of_other(form: str, word: str, count: int) -> tuple[str, ...]:
    match form, word:
        case "delay", _:
            return _TIMES
        case "heading", "up to":
            return "h/day", "h", "min"
        case "heading", _:
            return _TIMES
        case "stage", _:
            return ("times/day",) if count > 1 else ("min", "h")
        case "extend", _:
            return "min", "h"
        case "gases", _:
            return "h", "min"
        case "cylinder", "at":
            return "bar", *_fitting((PRESSURE,), "kPa")
        case "cylinder", _:
            return _fitting((VOLUME,), "L")
        case (("preoxygenation" | "nebuliser"), "for"):
            return _fitting((TIME,), "s" if form == "preoxygenation" else "min")[:4]
        case "preoxygenation", _:
            return ("%",)
    return ()
