"""What is measured: each part takes runs in pairs, and leaves its cells in the figures."""

import argparse
import itertools
import json
import shutil
import time
from collections.abc import Callable, Iterator
from dataclasses import asdict
from pathlib import Path

import imports
from cells import MEASURED, NOT_RUN, NOT_THERE, SAME, Cell, Figures, write
from library import CLOCK, census, make_library, make_order
from protocols import protocol
from tools import (
    HERE,
    OURS,
    Environment,
    Run,
    StoppedError,
    Tool,
    check_report,
    fail,
    floor,
    measure,
    peers,
    rxlint,
    say,
)
from writing import as_notation

MANY = 10_000  # documents from which on one round is enough; beyond them, one run of ours stands beside every peer
COLD, NO_CACHE = "cold", "cold, --no-cache"
FIRST, INSTALLED, SECOND, SAME_FILE = "first run ever", "as installed", "second run", "same file again"

PROTOCOL_NAMES = (
    (0, "template: a dozen ranges, six tables by age"),
    (1, "template: a dozen ranges, three tables, relations"),
    (2, "template: ten ranges, five tables, a relation"),
)

Take = Callable[[], Run]


class Suite:
    """A run of the benchmarks: libraries, homes and runs in a working folder."""

    def __init__(self, options: argparse.Namespace, environment: Environment, work: Path, figures: Figures) -> None:
        self.options, self.environment, self.work, self.figures = options, environment, work, figures
        self._numbers = itertools.count()
        self._unwritable = work / "no-folder"  # no one can make a folder below a file, whatever rights they have
        self._unwritable.write_text("", encoding="utf-8")

    # ---- what every part uses

    def library(self, kind: str, size: int) -> Path:
        """A library; of the kind `long` one document of so many lines."""
        folder = self.work / f"{kind}-{size}"
        if not folder.exists():
            say(f"making {kind}, {size:,}")
            count, lines = (1, size) if kind == "long" else (size, 0)
            make_library(folder, count, self.options.seed, kind, lines)
            about = {"kind": kind, "size": size} | asdict(census(folder))
            if about not in self.figures.libraries:
                self.figures.libraries.append(about)
        return folder

    def home(self, like: Path | None = None) -> Path:
        """A home folder of its own: empty, or a copy of another."""
        folder = self.work / "homes" / str(next(self._numbers))
        if like is None:
            folder.mkdir(parents=True)
        else:
            shutil.copytree(like, folder)
        return folder

    def take(self, tool: Tool, library: Path, home: Path | None = None, kind: str = "") -> Run:
        """One run, in a new and empty home where none is given."""
        if self.options.json:
            write(self.figures, self.options.json)  # what is measured so far outlives a benchmark that is ended by hand
        own = home or self.home()
        try:
            return measure(tool, library, self.output(tool), own, self.options.limit, kind)[0]
        finally:
            if home is None:
                shutil.rmtree(own)

    def taking(self, tool: Tool, library: Path, kind: str = "") -> Take:
        """Such a run, to be taken later."""
        return lambda: self.take(tool, library, kind=kind)

    def output(self, tool: Tool) -> Path:
        return self.work / f"report-{tool.name.replace(' ', '-')}"

    def cell(self, part: str, kind: str, size: int, tool: str, way: str = "") -> Cell:
        cell = Cell(part, kind, size, tool, way)
        self.figures.cells.append(cell)
        return cell

    def rounds(self, size: int) -> Iterator[int]:
        """As many rounds as asked for; fewer, but not under three (one at many documents), once time is spent."""
        start, fewest = time.perf_counter(), 1 if size >= MANY else 3
        for number in range(self.options.rounds):
            if number >= fewest and time.perf_counter() - start > self.options.seconds:
                return
            yield number

    def pair(self, first: tuple[Cell, Take], second: tuple[Cell, Take], number: int) -> None:
        """One run of each, taking turns in who begins; the ratio goes to the first cell, under the other's name.

        A cell whose run was stopped is not run again, and the other goes on alone.
        """
        walls = {}
        for cell, take in (first, second) if number % 2 == 0 else (second, first):
            run = attempt(cell, take)
            if run:
                if not any(run is each for each in cell.runs):
                    cell.runs.append(run)
                walls[id(cell)] = run.wall
        (ours, _), (other, _) = first, second
        if len(walls) == 2:
            name = other.way if other.tool == OURS else other.tool
            ours.ratios.setdefault(name, []).append(walls[id(ours)] / walls[id(other)])

    # ---- the parts

    def growth(self, kind: str, sizes: list[int]) -> None:
        """Cold runs from size to size, ours beside each peer."""
        for size in sizes:
            library = self.library(kind, size)
            cold = self._growth(kind, size, sizes, library)
            if kind == "realistic" and size > 1:
                if size <= MANY:
                    self._jobs(library, size, cold)
                self._again(library, size, cold)
            if not self.options.keep:
                shutil.rmtree(library)

    def _growth(self, kind: str, size: int, sizes: list[int], library: Path) -> Cell:
        """One size; the cell of our cold runs."""
        documents = 1 if kind == "long" else size
        ours, uncached = rxlint(self.environment), rxlint(self.environment, "--no-cache")
        cold = self.cell("growth", kind, size, OURS, COLD)
        bare = self.cell("growth", kind, size, OURS, NO_CACHE)
        if not self.environment.has("--no-cache"):
            bare.state, bare.why = NOT_THERE, "rxlint screen has no option --no-cache"
        others = [
            (self.cell("growth", kind, size, tool.name), tool) for tool in peers(self.environment, kind, self.work)
        ]
        for cell in (cold, bare, *(cell for cell, _ in others)):
            self._expect(cell, sizes)
        if cold.state != MEASURED:
            for cell in (bare, *(cell for cell, _ in others)):
                cell.state, cell.why = NOT_RUN, "it stands beside a cold run, which was not"
            return cold
        for number in self.rounds(size):
            say(f"{kind}, {size:,}, round {number + 1} of at most {self.options.rounds}")
            mine = self.taking(ours, library) if size <= MANY else once(self.taking(ours, library))
            for cell, tool in others:
                self.pair((cold, mine), (cell, self.taking(tool, library, kind)), number)
                if number == 0 and cell.runs:
                    cell.findings = check_report(tool, self.output(tool), documents, library)
            if number == 0 and cold.runs:
                cold.findings = check_report(ours, self.output(ours), documents, library)
            if run := attempt(bare, self.taking(uncached, library)):
                bare.runs.append(run)
        return cold

    def _expect(self, cell: Cell, sizes: list[int]) -> None:
        """Leave a cell out whose run would pass the limit, going by what documents took between two smaller sizes.

        By one smaller size alone nothing is expected, for much of its time may be the start.
        """
        below = [size for size in sizes if size < cell.size][-2:]
        known = [self.figures.cell(cell.part, cell.kind, size, cell.tool, cell.way) for size in below]
        ran = [each for each in known if each is not None and each.runs]
        if cell.state != MEASURED or not below:
            return
        if len(ran) < len(below):
            cell.state, cell.why = NOT_RUN, f"nor was it at {below[-1]:,}"
        elif len(ran) == 2:
            each_more = (ran[1].wall - ran[0].wall) / (ran[1].size - ran[0].size)
            expected = ran[1].wall + each_more * (cell.size - ran[1].size)
            if expected > self.options.limit:
                took = f"{each_more * 1000:.1f} ms each from {ran[0].size:,} to {ran[1].size:,}"
                cell.state, cell.why = NOT_RUN, f"{took} would pass the limit of {self.options.limit:.0f} s"

    def _jobs(self, library: Path, size: int, cold: Cell) -> None:
        """Two and four processes beside one."""
        for jobs in (2, 4):
            one = self.cell("jobs", "realistic", size, OURS, f"--jobs 1, beside {jobs}")
            cell = self.cell("jobs", "realistic", size, OURS, f"--jobs {jobs}")
            if not self.environment.has("--jobs"):
                one.state = cell.state = NOT_THERE
                one.why = cell.why = "rxlint screen has no option --jobs"
            elif not cold.runs:
                one.state = cell.state = NOT_RUN
                one.why = cell.why = f"{COLD}: {cold.why}"
            else:
                tools = [
                    rxlint(self.environment, "--jobs", str(count), name=f"{OURS} --jobs {count}") for count in (jobs, 1)
                ]
                takes = [self.taking(tool, library) for tool in tools]
                for number in self.rounds(size):
                    self.pair((cell, takes[0]), (one, takes[1]), number)
                if cell.runs:
                    self._same_findings(cell, cold, tools[0], library)

    def _again(self, library: Path, size: int, cold: Cell) -> None:
        """Unchanged files, in the home of a run that has just screened them, beside reading and hashing them."""
        again = self.cell("again", "realistic", size, OURS, "unchanged files again")
        least = self.cell("again", "realistic", size, "read and hash")
        ours, hashing, home = rxlint(self.environment), floor(self.environment), self.home()
        if not cold.runs:
            again.state, again.why = NOT_RUN, f"{COLD}: {cold.why}"
        elif attempt(again, lambda: self.take(ours, library, home)):  # the run before; it is no figure
            for number in self.rounds(size):
                self.pair(
                    (again, lambda: self.take(ours, library, home)),
                    (least, lambda: self.take(hashing, library)),
                    number,
                )
            if again.runs:
                self._same_findings(again, cold, ours, library)
        if not least.runs:
            least.state, least.why = NOT_RUN, f"it stands beside a run that was not: {again.why}"
        shutil.rmtree(home)

    def _same_findings(self, cell: Cell, cold: Cell, tool: Tool, library: Path) -> None:
        """Stop the benchmark where a way that is to be faster does not find what a cold run finds."""
        cell.findings = check_report(tool, self.output(tool), cell.size, library)
        if cell.findings != cold.findings:
            fail(f"{cell.way}: {cell.findings} findings, and {cold.findings} in a cold run")

    def start(self) -> None:
        """One document, in the ways that a user meets, each beside each peer; and an interpreter that does nothing."""
        library, other = self.library("realistic", 1), self.work / "another"
        make_library(other, 1, self.options.seed + 1)
        ours = rxlint(self.environment)
        warmed, same = self.home(), self.home()
        self.take(ours, other, warmed)
        self.take(ours, library, same)
        ways: dict[str, Take] = {
            FIRST: lambda: self.take(ours, library, self._unwritable),
            SECOND: lambda: self._after(ours, library, warmed),
            SAME_FILE: lambda: self.take(ours, library, same),
        }
        cells = {way: self.cell("start", "realistic", 1, OURS, way) for way in (FIRST, INSTALLED, SECOND, SAME_FILE)}
        if not self.environment.carried:
            cells[INSTALLED].state, cells[INSTALLED].why = (
                SAME,
                f"{FIRST}: the wheel carries nothing that was made before",
            )
        else:
            ways[INSTALLED] = ways[FIRST]
            bare = self._without_carried(ours)
            ways[FIRST] = lambda: self.take(bare, library, self._unwritable)
        beside = [
            (self.cell("start", "realistic", 1, tool.name), tool)
            for tool in peers(self.environment, "realistic", self.work)
        ]
        for number in self.rounds(1):
            say(f"start-up, round {number + 1} of at most {self.options.rounds}")
            for way, take in ways.items():
                for cell, tool in beside:
                    self.pair((cells[way], take), (cell, self.taking(tool, library)), number)
        python = Tool(
            "Python that does nothing", (str(self.environment.ours / "python"), "-I", "-c", "pass"), "vrx", (0,)
        )
        nothing = self.cell("start", "realistic", 1, python.name)
        nothing.runs += [self.take(python, library) for _ in range(self.options.rounds)]
        home = self.home(warmed)
        _, told = measure(imports.timed(ours), library, self.output(ours), home, self.options.limit)
        self.figures.imports = imports.read_profile(told)

    def one_document(self) -> None:
        """One document in a process that has screened before, for each protocol of the templates and for orders."""
        count = 3 * self.options.templates + 3
        names = {
            "realistic": [make_order(number, self.options.seed) for number in range(1, self.options.templates + 2)],
            **{
                name: [protocol(number, self.options.seed) for number in range(at, count, 3)]
                for at, name in PROTOCOL_NAMES
            },
        }
        for name, orders in names.items():
            say(f"one document: {name}")
            folder = self.work / "one" / name
            folder.mkdir(parents=True)
            paths = [folder / f"{number}.vrx" for number in range(len(orders))]
            for path, order in zip(paths, orders, strict=True):
                path.write_text(as_notation(order), encoding="utf-8")
            cell = self.cell("one document", name, 1, OURS, "in a process that has screened before")
            command = (str(self.environment.ours / "python"), str(HERE / "one_document.py"), str(CLOCK))
            tool = Tool("one document", (*command, *map(str, paths)), "", (0,))
            if run := attempt(cell, self.taking(tool, folder)):
                times = json.loads(self.output(tool).read_text("utf-8"))
                cell.runs = [Run(milliseconds / 1000, 0, run.peak, 0) for milliseconds in times]

    def _after(self, tool: Tool, library: Path, home: Path) -> Run:
        """A run in a home where another document was screened."""
        copy = self.home(home)
        try:
            return self.take(tool, library, copy)
        finally:
            shutil.rmtree(copy)

    def _without_carried(self, tool: Tool) -> Tool:
        """The same program from a copy that lacks what the wheel carries beside the checkout's own files."""
        (package,) = self.environment.ours.parent.glob("lib/*/site-packages/rxlint")
        copy = self.work / "without"
        shutil.copytree(package, copy / "rxlint")
        for name in self.environment.carried:
            (copy / name).unlink(missing_ok=True)
        python, _, *rest = tool.command
        load = "import sys; sys.path.insert(0, sys.argv.pop(1)); from rxlint.cli import main; main()"
        return Tool(tool.name, (python, "-c", load, str(copy), *rest), tool.reads, tool.fine)


def once(take: Take) -> Take:
    """A run that is taken when first asked for, and stands for every later one."""
    taken: list[Run] = []

    def given() -> Run:
        if not taken:
            taken.append(take())
        return taken[0]

    return given


def attempt(cell: Cell, take: Take) -> Run | None:
    """A run for a cell that is still to be measured; one that takes too long is the cell's last."""
    if cell.state != MEASURED or cell.why:
        return None
    try:
        return take()
    except StoppedError as stopped:
        cell.state, cell.why = MEASURED if cell.runs else NOT_RUN, str(stopped)
        return None
