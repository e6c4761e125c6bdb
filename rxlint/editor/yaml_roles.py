"""What a place of a file of rules is for: an expression, a message, facts of a case, ids of rules, words, a file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, Literal

from rxlint.editor.yaml_files import YamlFile
from rxlint.editor.yaml_outline import Path, Step
from rxlint.editor.yaml_schema import Shape
from rxlint.model.names import NameTable
from rxlint.packs.found_by import shared_fields
from rxlint.packs.pack import Defined
from rxlint.packs.yaml_tree import Mapping_, Scalar, Sequence_, Tree

Role = Literal[
    "expression", "message", "facts", "statement", "rule", "rule or area", "pack", "defined", "file", "name", "word",
    "text",
]  # fmt: skip

_CASES: Final = ("fires", "holds", "silent", "old", "new")
_STATED: Final = {("fixed", "to"): "setting", ("limits", "allow"): "of"}
"""Values that are written as a document would state them, and the key beside them that names the term."""


def role_of(file: YamlFile, path: Path, found: Sequence[Shape]) -> Role:
    """What the value at the end of a path is for."""
    key, names = key_of(path), {shape.name for shape in found}
    if file.kind == "settings":
        return "word" if any(shape.words for shape in found) else "file"
    if key == "say":
        return "message"
    if key in _CASES and "text" in names:
        return "facts"
    if (*path[:1], key) in _STATED:
        return "statement"
    if "expression" in names:
        return "expression"
    if "id" in names:
        return "text" if key == "id" else "rule"
    if "area or rule" in names:
        return "rule or area"
    if "pack" in names:
        return "pack"
    if key == "term" and path[:1] == ("adjust",):
        return "defined"
    if names & {"place", "measured", "setting", "stated", "number"} or key in ("setting", "alarm"):
        return "name"
    return "word" if any(shape.words for shape in found) else "text"


def key_of(path: Path) -> str:
    """The last key of a path."""
    return next((step for step in reversed(path) if isinstance(step, str)), "")


def tree_at(tree: Tree | None, path: Path) -> Tree | None:
    """What a path leads to; None where it leads nowhere."""
    for step in path:
        if isinstance(step, str):
            tree = tree.get(step) if isinstance(tree, Mapping_) else None
        else:
            tree = tree.items[step] if isinstance(tree, Sequence_) and step < len(tree.items) else None
    return tree


def beside(file: YamlFile, path: Path, key: str) -> str:
    """The text of another key of the mapping in which the last key of a path stands; "" where there is none."""
    last = max((at for at, step in enumerate(path) if isinstance(step, str)), default=0)
    found = tree_at(file.rough, (*path[:last], key))
    return found.text.strip() if isinstance(found, Scalar) else ""


def statement_term(file: YamlFile, path: Path) -> str:
    """The term whose value stands at a path, written as a document would state it; "" for none."""
    key = _STATED.get((str(path[0]), key_of(path))) if path else None
    return beside(file, path, key) if key is not None else ""


def fields_of(file: YamlFile, path: Path) -> tuple[str, ...]:
    """The fields that a message at a path may name: those that all events of its rule share."""
    events = tree_at(file.rough, (*path[:2], "found by"))
    return shared_fields([each.text for each in _scalars(events)])


def names_at(file: YamlFile, path: Path) -> tuple[NameTable, Mapping[str, Defined]]:
    """The names that an expression may use, and the terms that are defined: of a change of another pack's term, those
    of that pack.
    """
    of = beside(file, path, "of") if path[:1] == ("adjust",) else ""
    pack = next((each for each in file.packs if each.name == of), None)
    return (pack.names, pack.defined) if pack is not None else (file.names, file.defined)


def uses_of(file: YamlFile) -> tuple[str, ...]:
    """The packs that a file says it uses."""
    return tuple(each.text for each in _scalars(tree_at(file.rough, ("uses",))))


def own_ids(file: YamlFile) -> Iterator[str]:
    """The ids of a file's own rules and rows."""
    for section in ("rules", "fixed", "limits", "demand"):
        listed = tree_at(file.rough, (section,))
        for at in range(len(listed.items) if isinstance(listed, Sequence_) else 0):
            found = tree_at(listed, (at, "id"))
            if isinstance(found, Scalar) and found.text:
                yield found.text


def _scalars(tree: Tree | None) -> Iterator[Scalar]:
    for each in tree.items if isinstance(tree, Sequence_) else (tree,):
        if isinstance(each, Scalar):
            yield each


def steps_to(tree: Tree, line: int, column: int) -> tuple[Path, Scalar, bool] | None:
    """The path to the text that stands at a place of the reader of YAML, the text, and whether it is a key; None where
    no text stands there.
    """
    best: tuple[tuple[int, int], Path, Scalar, bool] | None = None
    waiting: list[tuple[Path, Tree]] = [((), tree)]
    while waiting:
        path, here = waiting.pop()
        items: list[tuple[Path, Scalar, bool]] = []
        if isinstance(here, Scalar):
            items.append((path, here, False))
        elif isinstance(here, Mapping_):
            for key, value in here.items:
                below: tuple[Step, ...] = (*path, key.text)
                items.append((below, key, True))
                waiting.append((below, value))
        else:
            waiting += [((*path, at), each) for at, each in enumerate(here.items)]
        for way, scalar, is_key in items:
            begin = (scalar.spot.line, scalar.spot.column)
            if begin <= (line, column) and scalar.raw and (best is None or begin >= best[0]):
                best = (begin, way, scalar, is_key)
    if best is None:
        return None
    _, way, scalar, is_key = best
    raw = scalar.raw.rstrip()
    end_line = scalar.spot.line + raw.count("\n")
    end_column = len(raw) - (raw.rfind("\n") + 1) + (1 if "\n" in raw else scalar.spot.column)
    return (way, scalar, is_key) if (line, column) <= (end_line, end_column) else None
