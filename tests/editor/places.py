"""Snapshots and places for the tests of an editor's features: a bar in a text marks the place."""

from functools import cache
from pathlib import Path

from rxlint.editor.shapes import Completion, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.library.rulings import Ruling, Rulings
from rxlint.notation.tree import Entry
from tests.documents import DAY, first_rules
from tests.shelf import EXAMPLES

HEAD = 'prescription "x"\n  id TM-1\n'
ALL = sorted(EXAMPLES.glob("*/*.vrx"))


@cache
def rulings() -> Rulings:
    return Rulings()


def snapshot_of(text: str, path: Path = EXAMPLES / "sound" / "x.vrx") -> Snapshot:
    """A text as a file of the examples, under their policy and beside their templates."""
    return Snapshot(path, text, rulings().of_folder(path.parent), DAY, rulings().library(path))


def example(path: Path) -> Snapshot:
    return snapshot_of(path.read_text("utf-8"), path)


def alone(text: str) -> Snapshot:
    """A text by itself, under a few rules: for many of them."""
    return Snapshot(EXAMPLES / "x.vrx", text, Ruling(first_rules()), DAY)


def end_of(text: str) -> Position:
    return Position(text.count("\n") + 1, len(text) - text.rfind("\n"))


def marked(text: str) -> tuple[Snapshot, Position]:
    """A text with a bar at the place that is meant; the bar is taken out."""
    before, bar, after = text.partition("|")
    assert bar, "no place is marked"
    return snapshot_of(before + after), end_of(before)


def at(path: Path, mark: str, within: str) -> tuple[Snapshot, Position]:
    """An example and the place where ``within`` begins in the first line that holds ``mark``."""
    snapshot = example(path)
    line = next(line for line in snapshot.lines if mark in line.text)
    return snapshot, Position(line.number, line.text.index(within, line.text.index(mark)) + 1)


def put_in(line: str, completion: Completion) -> str:
    """A line after a completion was chosen."""
    place = completion.place
    return line[: place.column - 1] + completion.text + line[place.end_column - 1 :]


def details(snapshot: Snapshot) -> list[tuple[str, Entry]]:
    """Every detail of a document with its section."""
    assert snapshot.document is not None
    return [(block.section, entry) for block in snapshot.document.blocks for entry in block.details]
