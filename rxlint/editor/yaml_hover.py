"""What is told of a place in a file of rules: what a key is for, what a term means, how an expression was read, what a
rule finds. Nothing that is told says that a rule is right.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from rxlint.editor.hover_words import mode_markdown
from rxlint.editor.shapes import Hover, Position
from rxlint.editor.yaml_expressions import name_markdown, told_at
from rxlint.editor.yaml_files import YamlFile
from rxlint.editor.yaml_outline import Path
from rxlint.editor.yaml_roles import Role, beside, fields_of, key_of, names_at, role_of, statement_term, steps_to
from rxlint.editor.yaml_schema import shapes, told_of
from rxlint.model.names import NameTable, own_key
from rxlint.notation.tree import Place
from rxlint.packs.found_by import EVENTS
from rxlint.packs.pack import Defined
from rxlint.packs.yaml_tree import Scalar
from rxlint.reports.rule_markdown import code, plain, rule_markdown
from rxlint.screening.case_text import details_of
from rxlint.vocabulary import chunks_of, vocabulary

_SLOT: Final = re.compile(r"\{([^{}]*)\}")
_IN_UNIT: Final = re.compile(r"(.*\S)\s+in\s+\S+\s*", re.DOTALL)
_Named = Mapping[str, Defined]


def yaml_hover(file: YamlFile, position: Position) -> Hover | None:
    """What is told of a place; None where there is nothing to tell."""
    if file.kind is None or file.is_too_large or file.rough is None:
        return None
    line, column = file.places.within(position.line, position.column)
    found = steps_to(file.rough, line, column)
    if found is None:
        return None
    path, scalar, is_key = found
    if is_key:
        return _of_key(file, path, scalar)
    ways = shapes(file.kind, path)
    role = role_of(file, path, ways)
    offset = _offset(scalar, line, column)
    if role == "expression":
        names, defined = names_at(file, path)
        return _of_expression(scalar, scalar.text, 0, offset, names, defined)
    if role == "message":
        return _of_message(file, path, scalar, offset)
    if role in ("facts", "statement"):
        return _of_facts(file, path, scalar, offset)
    text = _of_word(file, path, role, scalar.text.strip())
    if text is None:
        told = told_of(ways)
        text = f"**{plain(key_of(path))}**: {plain(told)}" if told else None
    return Hover(_place(scalar, 0, len(scalar.text)), text) if text is not None else None


def _of_key(file: YamlFile, path: Path, key: Scalar) -> Hover | None:
    assert file.kind is not None
    place = _place(key, 0, len(key.text))
    defined = file.defined.get(own_key(beside(file, ("pack",), "pack"), key.text)) if path[:1] == ("define",) else None
    if defined is not None and len(path) == 2:
        return Hover(place, name_markdown(defined.key, file.names, file.defined))
    ways = shapes(file.kind, path)
    told = told_of(ways)
    if not told:
        return None
    words = list(dict.fromkeys(word for shape in ways for word in shape.words))
    one_of = f"\n\nOne of {', '.join(map(code, words))}." if 1 < len(words) < 10 else ""
    return Hover(place, f"**{plain(key.text)}**: {plain(told)}{one_of}")


def _of_expression(
    scalar: Scalar, text: str, start: int, offset: int, names: NameTable, defined: _Named
) -> Hover | None:
    told = told_at(text, offset - start, names, defined)
    if told is None:
        return None
    first, last, markdown = told
    return Hover(_place(scalar, start + first, start + last), markdown)


def _of_message(file: YamlFile, path: Path, scalar: Scalar, offset: int) -> Hover | None:
    for slot in _SLOT.finditer(scalar.text):
        if slot.start() <= offset <= slot.end():
            text = slot[1]
            if text.strip() in fields_of(file, path):
                told = f"**{plain(text)}**: told by the event"
                return Hover(_place(scalar, slot.start(), slot.end()), told)
            unit = _IN_UNIT.fullmatch(text)
            whole = _of_expression(scalar, text, slot.start(1), offset, file.names, file.defined)
            if whole is None and unit is not None:
                return _of_expression(scalar, unit[1], slot.start(1), offset, file.names, file.defined)
            return whole
    return None


def _of_facts(file: YamlFile, path: Path, scalar: Scalar, offset: int) -> Hover | None:
    """The term of a detail, as the notation has it."""
    start, key = 0, statement_term(file, path)
    if key:
        return Hover(_place(scalar, 0, len(scalar.text)), name_markdown(key, file.names, file.defined))
    for detail in details_of(scalar.text):
        end = start + len(detail)
        if start <= offset <= end:
            begin = start + len(detail) - len(detail.lstrip())
            return _of_detail(file, scalar, detail.strip(), begin, offset)
        start = end + 1
    return None


def _of_detail(file: YamlFile, scalar: Scalar, detail: str, begin: int, offset: int) -> Hover | None:
    chunks = chunks_of(detail)
    words = vocabulary()
    for length in range(len(chunks), 0, -1):
        phrase = detail[: chunks[length - 1].end]
        term = words.terms.get(phrase)
        if term is not None and offset <= begin + len(phrase):
            text = name_markdown(term.key, file.names, file.defined) if term.key in file.names.types else None
            return Hover(_place(scalar, begin, begin + len(phrase)), text) if text is not None else None
    mode = next(
        (each for each in chunks if each.text in words.modes and _holds(each.start, each.end, begin, offset)), None
    )
    if mode is not None:
        return Hover(_place(scalar, begin + mode.start, begin + mode.end), mode_markdown(words.modes[mode.text]))
    return None


def _holds(start: int, end: int, begin: int, offset: int) -> bool:
    return begin + start <= offset <= begin + end


def _of_word(file: YamlFile, path: Path, role: Role, text: str) -> str | None:
    """What is told of a word by what it is there; None where that is nothing of its own."""
    if role in ("rule", "rule or area") or (role == "text" and key_of(path) == "id"):
        rule = file.rules.get(text)
        return rule_markdown(rule) if rule is not None else None
    if role == "pack":
        pack = next((each for each in file.packs if each.name == text), None)
        return f"**{plain(pack.name)}** revision {pack.revision}: {plain(pack.summary)}" if pack is not None else None
    if role == "defined":
        names, defined = names_at(file, path)
        key = names.own.get(text)
        return name_markdown(key, names, defined) if key is not None else None
    if role == "name":
        name = f"alarm {text}" if key_of(path) == "alarm" else text
        known = file.names.spellings().get(name)
        return name_markdown(known, file.names, file.defined) if known is not None else None
    if text in EVENTS and key_of(path) == "found by":
        fields = EVENTS[text]
        return f"**{plain(text)}**: an event that tells {', '.join(map(code, fields)) if fields else 'nothing more'}"
    modes = vocabulary().modes
    return mode_markdown(modes[text]) if key_of(path) == "modes" and text in modes else None


# ---- places


def _offset(scalar: Scalar, line: int, column: int) -> int:
    """The offset in a text of a place in the file: the last character that begins at or before it."""
    low, high = 0, len(scalar.text)
    while low < high:
        middle = (low + high + 1) // 2
        spot = scalar.spot_of(middle)
        low, high = (middle, high) if (spot.line, spot.column) <= (line, column) else (low, middle - 1)
    return low


def _place(scalar: Scalar, start: int, end: int) -> Place:
    first, last = scalar.spot_of(start), scalar.spot_of(max(end - 1, start))
    return Place(first.line, first.column, last.line, last.column + 1)
