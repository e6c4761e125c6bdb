"""How fast `rxlint screen` is beside two general-purpose tools, in one run on one machine.

    python tests/benchmarks/run.py --documents 1 1000 10000 --json result.json

What is measured: whole processes, from start to exit, as a user would wait for them; wall time, and peak memory of the
process. Every tool screens the same invented library (library.py), rxlint in the notation, the others in YAML:

    rxlint     `rxlint screen --format json`: every rule, findings, coverage and JSON written
    yamllint   its default rules, which know layout only; there is nothing for it to find
    script     peer.py: YAML C loader and jsonschema, some forty constraints

Each tool writes its report to a file. All run from one virtual environment with one interpreter, made for the purpose
in a temporary folder: the checkout is installed there as a wheel, the others from the package index (needed once).
Each run has a new and empty home folder, so rxlint starts cold: no cache of its own from an earlier run. Files are in
the system's cache and modules are compiled, for all alike.

Seconds drift from machine to machine and from minute to minute, so the figure to look at is the ratio. Each run of a
peer has a run of rxlint right before or right after it, taking turns; a pair gives one ratio, and the table shows their
median with the lowest and highest. Below 1 rxlint is the faster. A run whose exit code says that a tool did not do its
work, or whose report does not hold every document, stops the benchmark.

Not part of the test run: it takes minutes, and its figures depend on the machine. POSIX systems only.
"""

import argparse
import dataclasses
import json
import os
import platform
import shlex
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NoReturn

from library import CLOCK, census, make_library

HERE = Path(__file__).resolve().parent
CHECKOUT = HERE.parent.parent
PEERS = ("yamllint", "pyyaml", "jsonschema")
FEWEST_ROUNDS = 3
MIB = 1024 * 1024

# The most that a median ratio is meant to be, by peer and number of documents.
GOALS = {("yamllint", 1): 1.3, ("yamllint", 10_000): 1 / 20, ("script", 10_000): 1 / 2}


@dataclasses.dataclass(frozen=True)
class Tool:
    """A command that is given a folder: `kind` is what it reads, `fine` the exit codes of a run that did its work."""

    name: str
    command: tuple[str, ...]
    kind: str
    fine: tuple[int, ...]


@dataclasses.dataclass(frozen=True)
class Run:
    """What one process took: wall time in seconds, peak memory in bytes."""

    wall: float
    peak: int


@dataclasses.dataclass
class Result:
    """Everything measured at one size of the library."""

    documents: int
    library: dict[str, float]
    findings: int = 0
    runs: dict[str, list[Run]] = dataclasses.field(default_factory=dict)
    ratios: dict[str, list[float]] = dataclasses.field(default_factory=dict)


def fail(message: str) -> NoReturn:
    sys.exit(f"benchmark stopped: {message}")


def say(message: str) -> None:
    print(message, file=sys.stderr, flush=True)


def make_environment(folder: Path, with_checkout: bool) -> Path:
    """A virtual environment with the peers and, as a wheel, this checkout; the folder of its commands."""
    say(f"installing {', '.join(PEERS)}{' and this checkout' if with_checkout else ''} in {folder}")
    subprocess.run([sys.executable, "-m", "venv", folder], check=True)
    ours = [str(CHECKOUT)] if with_checkout else []
    subprocess.run([folder / "bin" / "pip", "install", "--quiet", *PEERS, *ours], check=True, stderr=subprocess.PIPE)
    return folder / "bin"


def tools(commands: Path, ours: str | None) -> tuple[Tool, list[Tool]]:
    """rxlint, and its peers."""
    start = shlex.split(ours) if ours else [str(commands / "rxlint")]
    screen = (*start, "screen", "--format", "json", "--on", str(CLOCK))
    python = str(commands / "python")
    return Tool("rxlint", screen, "vrx", (0, 1)), [
        Tool("yamllint", (python, str(commands / "yamllint")), "yaml", (0,)),
        Tool("script", (python, str(HERE / "peer.py")), "yaml", (0, 1)),
    ]


def measure(tool: Tool, library: Path, output: Path, commands: Path) -> Run:
    """Run the tool once over the library, with a home folder of its own, and leave its report in `output`."""
    command = [str(commands / "python"), "-I", "-S", str(HERE / "measure.py"), str(output), *tool.command]
    with tempfile.TemporaryDirectory() as home:
        clean = {"HOME": home, "PATH": f"{commands}{os.pathsep}{os.environ['PATH']}", "LC_ALL": "C.UTF-8"}
        done = subprocess.run(
            [*command, str(library / tool.kind)], env=clean, capture_output=True, text=True, check=False
        )
    if done.returncode != 0:
        fail(f"{tool.name} could not be started: {done.stderr.strip()[-500:]}")
    took = json.loads(done.stdout)
    if took["exit"] not in tool.fine:
        fail(f"{tool.name} ended with exit code {took['exit']}: {done.stderr.strip()[-500:]}")
    return Run(took["wall"], took["peak"])


def count_findings(output: Path, documents: int) -> int:
    """How many findings rxlint's report holds; stops the benchmark where a document is missing from it."""
    found = read_report(output)["documents"]
    unread = [document["path"] for document in found if document["problems"]]
    if len(found) != documents or unread:
        fail(f"rxlint reported {len(found)} of {documents} documents, {len(unread)} of them as unread")
    return sum(len(document["findings"]) for document in found)


def check_script(output: Path, documents: int) -> None:
    read = read_report(output, last_line=True)["documents"]
    if read != documents:
        fail(f"the script read {read} of {documents} documents")


def read_report(output: Path, last_line: bool = False) -> dict[str, Any]:
    text = output.read_text("utf-8").rstrip()
    try:
        report: dict[str, Any] = json.loads(text.rsplit("\n", 1)[-1] if last_line else text)
    except json.JSONDecodeError:
        fail(f"the report of {output.name} is not JSON; it starts with {text[:200]!r}")
    return report


def rounds(most: int, seconds: float) -> Iterator[int]:
    """At most so many rounds; fewer, but not under three, once so much time is spent."""
    start = time.perf_counter()
    for number in range(most):
        if number >= FEWEST_ROUNDS and time.perf_counter() - start > seconds:
            return
        yield number


def benchmark(documents: int, options: argparse.Namespace, commands: Path, work: Path) -> Result:
    ours, peers = tools(commands, options.ours)
    library = work / f"library-{documents}"
    say(f"making {documents} documents")
    make_library(library, documents, options.seed)
    result = Result(documents, dataclasses.asdict(census(library)))
    for number in rounds(options.runs, options.seconds):
        say(f"{documents} documents, round {number + 1} of at most {options.runs}")
        for peer in peers:
            pair = {}
            for tool in (ours, peer) if number % 2 == 0 else (peer, ours):
                pair[tool.name] = measure(tool, library, work / tool.name, commands)
                result.runs.setdefault(tool.name, []).append(pair[tool.name])
            result.ratios.setdefault(peer.name, []).append(pair[ours.name].wall / pair[peer.name].wall)
        if number == 0:
            result.findings = count_findings(work / ours.name, documents)
            check_script(work / "script", documents)
    return result


def warm_up(options: argparse.Namespace, commands: Path, work: Path) -> None:
    """Once through every tool, so that modules are compiled and files cached for all alike."""
    make_library(work / "warm", 3, options.seed)
    ours, peers = tools(commands, options.ours)
    for tool in (ours, *peers):
        measure(tool, work / "warm", work / "warm-output", commands)


def machine(commands: Path) -> dict[str, Any]:
    """What the figures were taken on."""
    wanted = {"rxlint", *PEERS}
    listing = [str(commands / "pip"), "list", "--format", "json"]
    listed = json.loads(subprocess.run(listing, capture_output=True, text=True, check=True).stdout)
    return {
        "python": platform.python_version(),
        "implementation": platform.python_implementation(),
        "system": platform.platform(),
        "processor": processor(),
        "cores": os.cpu_count(),
        "memory_gib": round(os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / MIB / 1024, 1),
        "packages": {one["name"].lower(): one["version"] for one in listed if one["name"].lower() in wanted},
    }


def processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text("utf-8").split("\n")
    except OSError:
        return platform.processor() or "unknown"
    return next((line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")), "unknown")


def spread(values: Sequence[float], form: str) -> str:
    low, middle, high = min(values), statistics.median(values), max(values)
    return f"{middle:{form}} ({low:{form}} to {high:{form}})"


def rows(result: Result) -> Iterator[tuple[str, ...]]:
    for name, runs in result.runs.items():
        walls, peak = [run.wall for run in runs], max(run.peak for run in runs)
        rate = result.documents / statistics.median(walls)
        ratios, goal = result.ratios.get(name), GOALS.get((name, result.documents))
        yield (
            f"{result.documents:,}",
            name,
            str(len(runs)),
            spread(walls, ".3f"),
            f"{rate:,.0f}",
            f"{peak / MIB:.0f}",
            spread(ratios, ".3f") if ratios else "",
            f"at most {goal:.3g}" if goal else "",
        )


def table(results: Sequence[Result]) -> str:
    heading = ("documents", "tool", "runs", "wall, s", "files/s", "peak MiB", "rxlint / tool", "goal")
    lines = [heading, *(row for result in results for row in rows(result))]
    widths = [max(len(line[column]) for line in lines) for column in range(len(heading))]
    shown = [
        "| " + " | ".join(f"{cell:{width}}" for cell, width in zip(line, widths, strict=True)) + " |" for line in lines
    ]
    shown.insert(1, "| " + " | ".join("-" * width for width in widths) + " |")
    return "\n".join(shown)


def report(about: dict[str, Any], results: Sequence[Result]) -> str:
    packages = ", ".join(f"{name} {version}" for name, version in about["packages"].items())
    lines = [
        f"{about['implementation']} {about['python']}, {about['system']}",
        f"{about['processor']}, {about['cores']} cores, {about['memory_gib']} GiB; {packages}",
        "wall time and ratios: median (lowest to highest); each run a whole process with an empty home folder",
        "",
        table(results),
        "",
    ]
    return "\n".join([*lines, *map(about_library, results)])


def about_library(result: Result) -> str:
    made = result.library
    return (
        f"library of {result.documents:,}: {made['lines_a_file']:.0f} lines and {made['bytes_a_file']:.0f} bytes a file"
        f" ({made['yaml_bytes_a_file']:.0f} in YAML), {made['seen_before']:.0%} of the lines seen before;"
        f" {result.findings:,} findings by rxlint"
    )


def read_options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Measure rxlint beside yamllint and a YAML schema script.")
    parser.add_argument("--documents", type=int, nargs="+", default=[1, 1000], help="sizes of the library")
    parser.add_argument("--runs", type=int, default=5, help="rounds at each size (default 5)")
    parser.add_argument(
        "--seconds", type=float, default=240, help="time for a size, after which three rounds are enough"
    )
    parser.add_argument("--seed", type=int, default=20261124, help="seed of the library")
    parser.add_argument("--ours", metavar="CMD", help="measure this command in place of the checkout's rxlint")
    parser.add_argument("--environment", type=Path, help="keep the virtual environment here, and use it again")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write every figure to FILE as well")
    options = parser.parse_args()
    if min(options.documents) < 1 or options.runs < 1:
        parser.error("sizes and runs count from 1")
    return options


def main() -> None:
    options = read_options()
    with tempfile.TemporaryDirectory(prefix="rxlint-benchmark-") as folder:
        work = Path(folder)
        commands = make_environment((options.environment or work / "environment").resolve(), not options.ours)
        warm_up(options, commands, work)
        results = [benchmark(documents, options, commands, work) for documents in options.documents]
        about = machine(commands)
    print(report(about, results))
    if options.json:
        figures = {"machine": about, "seed": options.seed, "sizes": [dataclasses.asdict(result) for result in results]}
        options.json.write_text(json.dumps(figures, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
