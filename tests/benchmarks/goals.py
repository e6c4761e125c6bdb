"""The goals that figures are held against. Each is a ratio taken in one run beside a peer, or a plain limit."""

from collections.abc import Callable
from dataclasses import dataclass

from cells import Cell, Figures
from suite import COLD, INSTALLED, PROTOCOL_NAMES
from tools import OURS

MIB = 1024 * 1024
MOST_MEMORY = 80 * MIB
PLAY = 1.05  # how far a ratio between two sizes may lie above a straight line and still be called one

MET, NOT_MET = "met", "not met"


@dataclass(frozen=True)
class Goal:
    """At most `most` of what `figure` gives for the cell `of`; it gives None where that was not measured."""

    text: str
    of: tuple[str, str, int, str, str]
    against: str  # the peer or way of a ratio; empty where it is no ratio
    most: float
    figure: Callable[[Figures, Cell], float | None]
    form: str = ".3g"


@dataclass(frozen=True)
class Verdict:
    goal: Goal
    figure: float | None  # None: not measured

    @property
    def word(self) -> str:
        return "not run" if self.figure is None else MET if self.figure <= self.goal.most else NOT_MET


def _ratio(text: str, of: tuple[str, str, int, str, str], against: str, most: float) -> Goal:
    return Goal(text, of, against, most, lambda _, cell: cell.ratio(against))


def same_as(figures: Figures, cell: Cell) -> Cell:
    """The cell that another says to be the same as."""
    if cell.state == "same as":
        way = cell.why.partition(":")[0]
        return figures.cell(cell.part, cell.kind, cell.size, cell.tool, way) or cell
    return cell


def growth(figures: Figures, cell: Cell) -> float | None:
    """How wall time grew from the next smaller size, over how the size grew: 1 is a straight line.

    None from a single document on, whose time is the start's.
    """
    before = smaller(figures, cell)
    if before is None or before.size == 1:
        return None
    return (cell.wall / before.wall) / (cell.size / before.size)


def each_more(figures: Figures, cell: Cell) -> float | None:
    """Seconds for each document, or line, more than at the next smaller size."""
    before = smaller(figures, cell)
    return (cell.wall - before.wall) / (cell.size - before.size) if before else None


def smaller(figures: Figures, cell: Cell) -> Cell | None:
    """The same tool and way at the next smaller size; None where either was not run."""
    alike = (each for each in figures.of(cell.part, cell.kind) if each.key[3:] == cell.key[3:])
    before = max((each for each in alike if each.size < cell.size), key=lambda each: each.size, default=None)
    return before if before and before.runs and cell.runs else None


def memory(_: Figures, cell: Cell) -> float | None:
    """Peak memory as a part of what it may be beside results: they are written as they come, so none is taken off."""
    return cell.peak / MOST_MEMORY if cell.runs else None


def _cold(kind: str, size: int) -> tuple[str, str, int, str, str]:
    return "growth", kind, size, OURS, COLD


_START = ("start", "realistic", 1, OURS, INSTALLED)
_TEMPLATE = ("one document", PROTOCOL_NAMES[1][1], 1, OURS, "in a process that has screened before")

GOALS = (
    _ratio("one file as installed: twice as fast as check-jsonschema", _START, "check-jsonschema", 0.5),
    _ratio("one file as installed: no slower than yamllint x 1.3", _START, "yamllint", 1.3),
    _ratio("10,000 files cold: at most 1/20 of yamllint", _cold("realistic", 10_000), "yamllint", 1 / 20),
    _ratio("10,000 files cold: at most 1/2 of the script", _cold("realistic", 10_000), "script", 1 / 2),
    _ratio(
        "10,000 files, two processes: 1.7 times as fast as one",
        ("jobs", "realistic", 10_000, OURS, "--jobs 2"),
        "--jobs 1, beside 2",
        1 / 1.7,
    ),
    _ratio(
        "10,000 unchanged files again: at most 3 times reading and hashing",
        ("again", "realistic", 10_000, OURS, "unchanged files again"),
        "read and hash",
        3,
    ),
    _ratio(
        "10,000 files without a line in common: at most 1/5 of yamllint", _cold("distinct", 10_000), "yamllint", 1 / 5
    ),
    *(
        goal
        for size in (10_000, 100_000)
        for goal in (
            Goal(f"growth to {size:,} files: a straight line or better", _cold("realistic", size), "", PLAY, growth),
            Goal(
                f"peak memory at {size:,} files: at most 80 MiB beside the results (figure: part of it)",
                _cold("realistic", size),
                "",
                1,
                memory,
            ),
        )
    ),
    Goal(
        "a template with a dozen ranges and three tables: 20 ms (figure: s)",
        _TEMPLATE,
        "",
        0.02,
        lambda _, c: c.wall if c.runs else None,
    ),
)


def verdicts(figures: Figures) -> list[Verdict]:
    found = []
    for goal in GOALS:
        cell = figures.cell(*goal.of)
        found.append(Verdict(goal, goal.figure(figures, same_as(figures, cell)) if cell else None))
    return found


def beside(figures: Figures, cell: Cell, against: str) -> str:
    """The goals of one figure, each with its verdict; empty where it has none."""
    told = [
        f"at most {verdict.goal.most:.3g}: {verdict.word}"
        for verdict in verdicts(figures)
        if verdict.goal.against == against and verdict.goal.of == cell.key
    ]
    return "; ".join(told)
