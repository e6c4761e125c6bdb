"""The figures of a run as data: cells, and the whole that is written as JSON and read again."""

import dataclasses
import json
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tools import Run

SCHEMA = 1
MEASURED, NOT_RUN, NOT_THERE, SAME = "measured", "not run", "not there", "same as"

Key = tuple[str, str, int, str, str]


@dataclass
class Cell:
    """All runs of one tool in one way over one library.

    `size` counts documents, of the kind `long` lines of one document. `ratios` are wall times of this cell's runs over
    those of another tool or way, each of two runs that followed one another. A cell that holds no runs says `why`.
    """

    part: str
    kind: str
    size: int
    tool: str
    way: str = ""
    state: str = MEASURED
    why: str = ""
    runs: list[Run] = field(default_factory=list)
    ratios: dict[str, list[float]] = field(default_factory=dict)
    findings: int | None = None

    @property
    def key(self) -> Key:
        return self.part, self.kind, self.size, self.tool, self.way

    @property
    def wall(self) -> float:
        """Median wall time, s."""
        return statistics.median(run.wall for run in self.runs)

    @property
    def peak(self) -> int:
        """Highest peak memory, bytes."""
        return max(run.peak for run in self.runs)

    @property
    def report(self) -> int:
        """Bytes of the largest report."""
        return max(run.report for run in self.runs)

    def ratio(self, against: str) -> float | None:
        """The median ratio to another; None where none was taken."""
        return statistics.median(self.ratios[against]) if self.ratios.get(against) else None


@dataclass
class Figures:
    """A run of the benchmarks."""

    made: str  # the day
    machine: dict[str, Any]
    options: dict[str, Any]
    libraries: list[dict[str, Any]] = field(default_factory=list)
    cells: list[Cell] = field(default_factory=list)
    imports: dict[str, Any] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)

    def of(self, part: str, kind: str | None = None) -> list[Cell]:
        return [cell for cell in self.cells if cell.part == part and kind in (None, cell.kind)]

    def cell(self, *key: str | int) -> Cell | None:
        return next((cell for cell in self.cells if cell.key == key), None)


class FiguresError(ValueError):
    """A file does not hold figures that can be read."""


def write(figures: Figures, path: Path) -> None:
    whole = {"schema": SCHEMA} | dataclasses.asdict(figures)
    path.write_text(json.dumps(whole, indent=1) + "\n", encoding="utf-8")


def read(path: Path) -> Figures:
    """Raises FiguresError for what `write` did not write, OSError where there is no such file."""
    try:
        whole = json.loads(path.read_text("utf-8"))
        schema = whole.pop("schema")
        if schema != SCHEMA:
            raise FiguresError(f"{path} has schema {schema}, and this reads schema {SCHEMA}")
        cells = [Cell(**each | {"runs": [Run(**run) for run in each["runs"]]}) for each in whole.pop("cells")]
        return Figures(cells=cells, **whole)
    except (AttributeError, KeyError, TypeError, json.JSONDecodeError) as error:
        raise FiguresError(f"{path} holds no figures of the benchmarks: {error}") from error


def spread(values: Iterable[float], form: str) -> str:
    """The median, and where there are several the lowest and the highest."""
    known: Sequence[float] = sorted(values)
    middle = f"{statistics.median(known):{form}}"
    return middle if len(known) == 1 else f"{middle} ({known[0]:{form}} to {known[-1]:{form}})"
