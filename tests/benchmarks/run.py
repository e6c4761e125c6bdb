"""How fast `rxlint screen` is beside three general-purpose tools, in one run on one machine.

    python tests/benchmarks/run.py --sizes 1 1000 10000 --kinds realistic distinct --json result.json

What is measured: whole processes, from start to exit, as a user would wait for them; wall time, and peak memory of the
process. Every tool screens the same invented libraries (library.py), rxlint in the notation, the others in YAML:

    rxlint             `rxlint screen --format json`: every rule, findings, coverage and JSON written
    yamllint           its default rules, which know layout only; there is nothing for it to find
    check-jsonschema   some forty constraints of a schema, made by peer.py; files on its command line, in as many runs
                       of it as the system needs to take them all, whose times are added
    script             peer.py: YAML C loader and jsonschema, the same constraints

Each tool writes its report to a file. Ours and the peers' have an environment each, with one interpreter, made in a
temporary folder: the checkout is installed as a wheel, the others from the package index (needed once). Each cold run
has a new and empty home folder: no cache of its own from an earlier run. Files are in the system's cache and modules
are compiled, for all alike.

Parts: `start` one file, in the ways that a user meets it, and what it imports; `growth` from size to size, with several
processes and unchanged files again for the realistic kind; `document` one document in a process that runs already.

Seconds drift from machine to machine and from minute to minute, so the figure to look at is the ratio. Each run of a
peer has a run of rxlint right before or right after it, taking turns; a pair gives one ratio, and the tables show their
median with the lowest and highest. Below 1 rxlint is the faster. A run whose exit code says that a tool did not do its
work, or whose report does not hold every document, stops the benchmark. A cell that was not run is shown as such.

Not part of the test run: it takes minutes, and its figures depend on the machine. POSIX systems only.
"""

import argparse
import datetime as dt
import json
import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import page
from cells import Figures, FiguresError, write
from library import LONG, MAKERS, make_library
from suite import Suite
from tools import CHECKOUT, EXTRAS, Environment, make_environment, measure, peers, rxlint

PARTS = ("start", "document", "growth")
GIB = 1024**3


def machine(environment: Environment, checkout: Path) -> dict[str, Any]:
    """What the figures are taken on."""
    return {
        "python": platform.python_version(),
        "implementation": platform.python_implementation(),
        "system": platform.platform(),
        "processor": processor(),
        "cores": os.cpu_count(),
        "memory_gib": round(os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / GIB, 1),
        "packages": packages(environment.ours, ("rxlint", "lark", "ruamel.yaml", "ruamel.yaml.clib"))
        | packages(environment.peers, ("yamllint", "check-jsonschema", "pyyaml", "jsonschema")),
        "commit": commit(checkout),
        "load_before": os.getloadavg()[0],
        "load_after": os.getloadavg()[0],
    }


def packages(commands: Path, wanted: tuple[str, ...]) -> dict[str, str]:
    listing = [str(commands / "pip"), "list", "--format", "json"]
    listed = json.loads(subprocess.run(listing, capture_output=True, text=True, check=True).stdout)
    return {one["name"].lower(): one["version"] for one in listed if one["name"].lower() in wanted}


def processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text("utf-8").split("\n")
    except OSError:
        return platform.processor() or "unknown"
    return next((line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")), "unknown")


def commit(checkout: Path) -> str:
    """The checkout's commit, and whether its files differ from it."""
    try:
        done = subprocess.run(
            ["git", "-C", str(checkout), "describe", "--always", "--dirty"], capture_output=True, text=True, check=True
        )
    except (OSError, subprocess.CalledProcessError):
        return "no commit"
    return done.stdout.strip()


def remarks(environment: Environment) -> list[str]:
    """What a reader of the figures must know of this run."""
    carried = environment.carried
    made = f"the wheel carries what was made when it was built: {', '.join(carried)}"
    none = "the wheel carries nothing that was made when it was built, so a run as installed is the first run ever"
    absent = [option for option in ("--jobs", "--no-cache") if not environment.has(option)]
    return [made if carried else none, *(f"`rxlint screen` has no option `{option}`" for option in absent)]


def warm_up(options: argparse.Namespace, environment: Environment, work: Path) -> None:
    """Once through every tool, so that modules are compiled and files cached for all alike."""
    make_library(work / "warm", 3, options.seed)
    (work / "warm-home").mkdir()
    for tool in (rxlint(environment), *peers(environment, "realistic", work)):
        measure(tool, work / "warm", work / "warm-output", work / "warm-home", options.limit)


def read_options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Measure rxlint beside three general-purpose tools.")
    parser.add_argument("--sizes", type=int, nargs="+", default=[1, 1000], help="documents of the libraries")
    parser.add_argument("--kinds", nargs="+", choices=list(MAKERS), default=list(MAKERS), help="kinds of library")
    parser.add_argument("--parts", nargs="+", choices=PARTS, default=list(PARTS), help="what to measure")
    parser.add_argument("--lines", type=int, nargs="+", default=[500, LONG], help="lengths of the long document")
    parser.add_argument("--templates", type=int, default=5, help="documents of each protocol in the part `document`")
    parser.add_argument("--rounds", type=int, default=5, help="rounds at each size (default 5)")
    parser.add_argument(
        "--seconds", type=float, default=240, help="time for a size, after which fewer rounds are enough"
    )
    parser.add_argument("--limit", type=float, default=900, help="the most that one run may take, s (default 900)")
    parser.add_argument("--seed", type=int, default=20261124, help="seed of the libraries")
    parser.add_argument("--extras", default=EXTRAS, help=f"extras of rxlint to install (default {EXTRAS})")
    parser.add_argument("--checkout", type=Path, default=CHECKOUT, help="measure this one (default: that of this file)")
    parser.add_argument("--environment", type=Path, help="keep both environments here, and use the peers' again")
    parser.add_argument("--work", type=Path, help="where to make libraries (default: the system's temporary folder)")
    parser.add_argument("--keep", action="store_true", help="don't remove a library once it is measured")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write every figure to FILE as well")
    parser.add_argument("--page", type=Path, metavar="FILE", action="append", default=[], help="see page.py")
    options = parser.parse_args()
    if min(*options.sizes, *options.lines, options.rounds, options.templates, 1) < 1:
        parser.error("sizes, lines, rounds and templates count from 1")
    options.sizes, options.lines = sorted(set(options.sizes)), sorted(set(options.lines))
    return options


def measured(options: argparse.Namespace, work: Path) -> Figures:
    environment = make_environment(
        (options.environment or work / "environment").resolve(), options.checkout.resolve(), options.extras
    )
    warm_up(options, environment, work)
    told = {name: str(value) if isinstance(value, Path) else value for name, value in vars(options).items()}
    kept = {
        name: told[name]
        for name in ("sizes", "kinds", "parts", "lines", "rounds", "seconds", "limit", "seed", "extras")
    }
    figures = Figures(str(dt.date.today()), machine(environment, options.checkout), kept, remarks=remarks(environment))
    suite = Suite(options, environment, work, figures)
    if "start" in options.parts:
        suite.start()
    if "document" in options.parts:
        suite.one_document()
    if "growth" in options.parts:
        for kind in options.kinds:
            suite.growth(kind, options.lines if kind == "long" else options.sizes)
    figures.machine["load_after"] = os.getloadavg()[0]
    return figures


def main() -> None:
    options = read_options()
    with tempfile.TemporaryDirectory(prefix="rxlint-benchmark-", dir=options.work) as folder:
        figures = measured(options, Path(folder).resolve())
    if options.json:
        write(figures, options.json)
    print(page.long(figures), end="")
    try:
        for each in options.page:
            page.put(figures, each)
    except (FiguresError, OSError) as error:
        sys.exit(str(error))


if __name__ == "__main__":
    main()
