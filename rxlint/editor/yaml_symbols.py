"""The outline of a file of rules: rules and rows with their cases, terms that it defines, entries of a profile."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rxlint.editor.shapes import Symbol
from rxlint.editor.yaml_files import YamlFile
from rxlint.notation.tree import Place
from rxlint.packs.yaml_tree import Mapping_, Scalar, Sequence_, Tree

_NAMES: Final = {"adjust": ("rule", "term"), "settings": ("setting",), "alarms": ("alarm",), "must be set": ("name",)}
_DETAILS: Final = ("title", "of", "setting", "name", "level", "ask")
_MOST_TERMS: Final = 3  # of a row that are named
_LONGEST: Final = 80


def yaml_symbols(file: YamlFile) -> tuple[Symbol, ...]:
    """The parts of a file in their order; none of one that is none of ours."""
    if file.kind is None or file.is_too_large or not isinstance(file.rough, Mapping_):
        return ()
    return tuple(_top(key, value) for key, value in file.rough.items)


def _top(key: Scalar, value: Tree) -> Symbol:
    listed: list[Symbol] = []
    if isinstance(value, Sequence_):
        listed = [_entry(key.text, each) for each in value.items if isinstance(each, Mapping_) and each.items]
    elif isinstance(value, Mapping_) and key.text == "define":
        listed = [_symbol(name, body, "setting", _text(body, "means")) for name, body in value.items]
    kind, detail = ("section", "") if listed else ("setting", _shown(value))
    found = _symbol(key, value, "section" if kind == "section" else "setting", detail)
    return Symbol(found.name, found.kind, found.place, found.name_place, found.detail, tuple(listed))


def _entry(section: str, entry: Mapping_) -> Symbol:
    """A rule, a row of a policy, an entry of a profile, by what names it, with its cases."""
    names = _NAMES.get(section, ("id", "profile"))
    named = next((value for key, value in entry.items if key.text in names), entry.items[0][1])
    first = _first(named) or entry.items[0][0]
    detail = next((text for key in _DETAILS if key not in names and (text := _text(entry, key))), "")
    cases = entry.get("cases")
    rows = tuple(
        _symbol(key, value, "row", _shown(value))
        for each in (cases.items if isinstance(cases, Sequence_) else ())
        if isinstance(each, Mapping_)
        for key, value in each.items
    )
    place = _span(entry)
    return Symbol(_shown(named), "section", place, _span(first), detail, rows)


def _symbol(key: Scalar, value: Tree, kind: str, detail: str) -> Symbol:
    own, below = _span(key), _span(value)
    end = max((own.end_line, own.end_column), (below.end_line, below.end_column))
    place = Place(own.line, own.column, *end)
    shown = key.text[:_LONGEST]
    if kind == "section":
        return Symbol(shown, "section", place, own, detail)
    return Symbol(shown, "row" if kind == "row" else "setting", place, own, detail)


def _first(tree: Tree) -> Scalar | None:
    while isinstance(tree, Sequence_) and tree.items:
        tree = tree.items[0]
    return tree if isinstance(tree, Scalar) and tree.raw else None


def _text(tree: Tree, key: str) -> str:
    value = tree.get(key) if isinstance(tree, Mapping_) else None
    return _shown(value) if value is not None else ""


def _shown(tree: Tree) -> str:
    """A text on one line; of a list, its first texts."""
    if isinstance(tree, Scalar):
        text = " ".join(tree.text.split())
    else:
        items = tree.items if isinstance(tree, Sequence_) else ()
        texts = [each.text for each in items if isinstance(each, Scalar)]
        text = ", ".join([*texts[:_MOST_TERMS], *(["..."] if len(texts) > _MOST_TERMS else [])])
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}..."


def _span(tree: Tree) -> Place:
    """All of a part of the tree."""
    begin = (tree.spot.line, tree.spot.column)
    return Place(*begin, *max([begin, *_ends(tree)]))


def _ends(tree: Tree) -> Iterator[tuple[int, int]]:
    waiting = [tree]
    while waiting:
        here = waiting.pop()
        if isinstance(here, Scalar):
            raw = here.raw.rstrip()
            last = len(raw) - (raw.rfind("\n") + 1)
            yield here.spot.line + raw.count("\n"), last + (1 if "\n" in raw else here.spot.column)
        elif isinstance(here, Mapping_):
            waiting += [part for pair in here.items for part in pair]
        else:
            waiting += here.items
