"""Snapshots of examples and of texts, and the changes that an editor would make to them."""

import random
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Final

from rxlint.editor.shapes import Edit, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.library.rulings import Ruling
from rxlint.screening.ruleset import builtin_rules
from tests.documents import DAY
from tests.shelf import EXAMPLES, shelf_of

SEED: Final = 20261124


def snapshot_of(text: str, path: Path = Path("/x/x.vrx"), *, ruled: bool = True) -> Snapshot:
    """A text as if it stood at a path, under the built-in rules; of an example, with the library around it.

    Without rules (they take a while to be prepared) nothing can be asked that needs a screening.
    """
    return Snapshot(path, text, Ruling(builtin_rules() if ruled else None), DAY, shelf_of(path), EXAMPLES)


def read(text: str) -> Snapshot:
    """A text that is read and not screened."""
    return snapshot_of(text, ruled=False)


@cache
def example(name: str, *, ruled: bool = True) -> Snapshot:
    """An example by its folder and name."""
    path = EXAMPLES / f"{name}.vrx"
    return snapshot_of(path.read_text("utf-8"), path, ruled=ruled)


def paths(*folders: str) -> list[Path]:
    found = [path for folder in folders for path in sorted((EXAMPLES / folder).glob("*.vrx"))]
    assert len(found) >= len(folders)
    return found


def prefixes(count: int, *folders: str, ruled: bool = False) -> Iterator[Snapshot]:
    """Beginnings of examples, as they stand while somebody writes them; the same in every run."""
    chance = random.Random(SEED)
    of = paths(*folders)
    for _ in range(count):
        path = chance.choice(of)
        text = path.read_text("utf-8")
        yield snapshot_of(text[: chance.randrange(len(text) + 1)], path, ruled=ruled)


def damaged(count: int, *folders: str, ruled: bool = False) -> Iterator[Snapshot]:
    """Examples in which something was struck out, doubled or mistyped; the same in every run."""
    chance = random.Random(SEED + 1)
    of = paths(*folders)
    for _ in range(count):
        path = chance.choice(of)
        text = path.read_text("utf-8")
        for _ in range(chance.randrange(1, 5)):
            start = chance.randrange(len(text))
            end = min(len(text), start + chance.randrange(12))
            put = chance.choice(
                ["", "\n", "  ", "?", '"', "#", ",", "é", "\U0001f600", "\u200b", " 5", text[start:end] * 2]
            )
            text = text[:start] + put + text[end:]
        yield snapshot_of(text, path, ruled=ruled)


def applied(text: str, edits: Iterable[Edit]) -> str:
    """A text with edits made that do not overlap."""
    starts = [0]
    for line in text.split("\n"):
        starts.append(starts[-1] + len(line) + 1)
    ordered = sorted(edits, key=lambda edit: (edit.place.line, edit.place.column))
    spans = [
        (starts[e.place.line - 1] + e.place.column - 1, starts[e.place.end_line - 1] + e.place.end_column - 1, e.text)
        for e in ordered
    ]
    assert all(one[1] <= other[0] for one, other in pairwise(spans))
    for start, end, put in reversed(spans):
        assert 0 <= start <= end <= len(text)
        text = text[:start] + put + text[end:]
    return text


def at(snapshot: Snapshot, what: str, after: str = "") -> Position:
    """The position of the first character of some words, the first after some others."""
    begin = snapshot.text.index(after) + len(after)
    offset = snapshot.text.index(what, begin)
    before = snapshot.text[:offset]
    return Position(before.count("\n") + 1, offset - (before.rfind("\n") + 1) + 1)


def positions(snapshot: Snapshot, count: int) -> Iterator[Position]:
    """Some positions of a text, its end among them, and one beyond it."""
    chance = random.Random(SEED + len(snapshot.text))
    lines = snapshot.text.split("\n")
    yield Position(len(lines), len(lines[-1]) + 1)
    yield Position(len(lines) + 3, 7)
    for _ in range(count):
        number = chance.randrange(len(lines))
        yield Position(number + 1, chance.randrange(len(lines[number]) + 1) + 1)
