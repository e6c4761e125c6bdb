"""What may be written at a place of a file of rules: keys, words, names of rules and terms, parts of expressions."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path as FilePath
from typing import Final

from rxlint.editor.completion import completions
from rxlint.editor.completion_offers import Offer, fit
from rxlint.editor.hover_words import term_detail
from rxlint.editor.shapes import Completion, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.yaml_expressions import Chosen, next_of
from rxlint.editor.yaml_files import YamlFile
from rxlint.editor.yaml_offers import offers
from rxlint.editor.yaml_outline import At, Path, at_place, offset_of, position_of
from rxlint.editor.yaml_roles import fields_of, names_at, role_of, statement_term
from rxlint.editor.yaml_schema import Shape, shapes, told_of
from rxlint.expressions import NumberType, check, parse
from rxlint.library.rulings import Ruling
from rxlint.notation.tree import Place
from rxlint.screening.case_text import details_of, document_of
from rxlint.screening.cases import CASE_DAY
from rxlint.units import UNITS, units_of
from rxlint.vocabulary import chunks_of, vocabulary

_INSIDE: Final = 1_000  # added where what is typed begins another word than the first
_LATER: Final = 500
_REST_OF_KEY: Final = re.compile(r"[^:#\r\n,\]}\"']*")
_REST_OF_WORD: Final = re.compile(r"[^\s,;:\]}\"'()]*")
_COLON: Final = re.compile(r"[\"']?[ ]*:")
_IN_UNIT: Final = re.compile(r"(.*\S)\s+in\s+(\S*)", re.DOTALL)


def yaml_completions(file: YamlFile, position: Position) -> tuple[Completion, ...]:
    """What may be written at a place, the likeliest first."""
    if file.kind is None or file.is_too_large:
        return ()
    at = at_place(file.text, position)
    found: dict[str, Completion] = {}
    if at.role in ("key", "either"):
        _add(found, _keys(file, at, position))
    if at.role in ("value", "either"):
        _add(found, _values(file, at, position))
    return tuple(sorted(found.values(), key=lambda each: (each.rank, each.label)))


def _add(found: dict[str, Completion], more: Iterator[Completion]) -> None:
    for each in more:
        known = found.get(each.text)
        if known is None or each.rank < known.rank:
            found[each.text] = each


# ---- keys


def _keys(file: YamlFile, at: At, position: Position) -> Iterator[Completion]:
    assert file.kind is not None
    offset = offset_of(file.text, position)
    rest = _REST_OF_KEY.match(file.text, offset)
    end = offset + len(rest[0].rstrip()) if rest is not None and at.typed else offset
    has_colon = _COLON.match(file.text, end) is not None
    standing = file.text[at.start : end] if has_colon else ""
    there = set(file.keys.get(at.path, ())) - {standing}
    ways = shapes(file.kind, at.path)
    for shape in [way for way in ways if there <= way.keys.keys()] or ways:
        needed = shape.schema.get("required", ())
        for rank, (key, held) in enumerate(shape.keys.items()):
            well = fit(key, at.typed.split() or ("",))
            if key in there or well is None:
                continue
            own = shapes(file.kind, (*at.path, key))
            text = key if has_colon else f"{key}:" if _is_several(own) else f"{key}: "
            told = held.get("description", "") or told_of(own)
            order = rank + (0 if key in needed else 50) + (_INSIDE if well else 0)
            yield Completion(key, "keyword", _place(file, at.start, position, end), text, told, rank=order)


def _is_several(found: tuple[Shape, ...]) -> bool:
    """Whether nothing but a list or a mapping may stand there."""
    return bool(found) and all({"object", "array"} & set(shape.kinds) or shape.keys for shape in found)


# ---- values


def _values(file: YamlFile, at: At, position: Position) -> Iterator[Completion]:
    assert file.kind is not None
    found = shapes(file.kind, at.path)
    if not found:
        return
    role = role_of(file, at.path, found)
    if role == "expression":
        yield from _expression(file, at.path, at.typed, at.start, position)
    elif role == "message":
        yield from _message(file, at, position)
    elif role == "facts":
        detail = details_of(at.typed)[-1]
        yield from _statement(file, detail.lstrip(), len(at.typed) - len(detail.lstrip()) + at.start, position, "")
    elif role == "statement":
        term = statement_term(file, at.path)
        if term:
            yield from _statement(file, at.typed, at.start, position, f"{term} ")
    else:
        offset = offset_of(file.text, position)
        rest = _REST_OF_WORD.match(file.text, offset)
        end = rest.end() if rest is not None else offset
        for offer in offers(file, at.path, role, found):
            well = fit(offer.text, at.typed.split() or ("",))
            if well is not None:
                place = _place(file, at.start, position, end)
                yield _completion(offer, place, offer.rank + (_INSIDE if well else 0))


# ---- expressions, messages, facts


def _expression(file: YamlFile, path: Path, typed: str, start: int, position: Position) -> Iterator[Completion]:
    for chosen in next_of(typed, *names_at(file, path)):
        yield _chosen(file, chosen, start, position)


def _message(file: YamlFile, at: At, position: Position) -> Iterator[Completion]:
    """What may stand in the braces of a message."""
    opened = at.typed.rfind("{")
    if opened <= at.typed.rfind("}"):
        return
    typed, start = at.typed[opened + 1 :], at.start + opened + 1
    end = _end_of_word(file, position)
    for rank, name in enumerate(fields_of(file, at.path)):
        if fit(name, typed.split() or ("",)) is not None:
            offer = Offer(name, "name", "told by the event", rank=rank)
            yield _completion(offer, _place(file, start, position, end), rank)
    told = _IN_UNIT.fullmatch(typed)
    node = parse(told[1], file.names).node if told is not None else None
    if told is not None and node is not None:
        kind = check(node, file.names).type
        for rank, symbol in enumerate(units_of(kind.dimension) if isinstance(kind, NumberType) else ()):
            if symbol.startswith(told[2]):
                offer = Offer(symbol, "unit", UNITS[symbol].dimension.describe(), rank=rank)
                yield _completion(offer, _place(file, start + told.start(2), position, end), rank)
    yield from _expression(file, at.path, typed, start, position)


def _statement(file: YamlFile, typed: str, start: int, position: Position, before: str) -> Iterator[Completion]:
    """What may stand in a detail of a document, as the notation has it."""
    detail = f"{before}{typed}"
    if not before:
        words = [chunk.text for chunk in chunks_of(typed)]
        if not typed or typed[-1].isspace():
            words.append("")
        for rank, (key, term) in enumerate(vocabulary().terms.items()):
            well = fit(key, words)
            if well is not None:
                offer = Offer(key, "term", term_detail(term))
                place = _place(file, start, position, _end_of_word(file, position))
                yield _completion(offer, place, _LATER + rank + (_INSIDE if well else 0))
    if not detail.strip() or "\n" in detail:
        return
    text = document_of(detail)
    lines = text.split("\n")
    number = len(lines) - 1
    line = lines[number - 1] + (" " if detail[-1].isspace() else "")
    text = "\n".join([*lines[: number - 1], line, ""])
    snapshot = Snapshot(FilePath("case.vrx"), text, Ruling(None), CASE_DAY)
    offset = offset_of(file.text, position)
    for each in completions(snapshot, Position(number, len(line) + 1)):
        begin = offset - (len(line) + 1 - each.place.column)
        if begin >= start and each.place.line == number:
            place = _place(file, begin, position, _end_of_word(file, position))
            yield Completion(each.label, each.kind, place, each.text, each.detail, each.markdown, each.rank)


# ---- places


def _chosen(file: YamlFile, chosen: Chosen, start: int, position: Position) -> Completion:
    place = _place(file, start + chosen.start, position, _end_of_word(file, position))
    return _completion(chosen.offer, place, chosen.rank)


def _completion(offer: Offer, place: Place, rank: int) -> Completion:
    return Completion(offer.text, offer.kind, place, offer.text, offer.detail, offer.markdown, rank)


def _end_of_word(file: YamlFile, position: Position) -> int:
    found = _REST_OF_WORD.match(file.text, offset_of(file.text, position))
    return found.end() if found is not None else offset_of(file.text, position)


def _place(file: YamlFile, start: int, position: Position, end: int) -> Place:
    """The place of what is replaced; it begins on the line of the position, for editors take no other."""
    first, last = position_of(file.text, start), position_of(file.text, end)
    here = position_of(file.text, offset_of(file.text, position))
    if first.line != here.line:
        first = here
    return Place(first.line, first.column, here.line, last.column if last.line == here.line else here.column)
