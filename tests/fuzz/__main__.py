"""`python -m tests.fuzz`: runs targets for a while each, tells what was found, and may keep the figures.

Ends with 1 where a fault was found: its shortest input stands in the work folder, and `--input` runs it again.
"""

from __future__ import annotations

import argparse
import importlib.util
import os
import re
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from tests.fuzz import results
from tests.fuzz.page import PAGE, page
from tests.fuzz.run import Session, guided, unguided
from tests.fuzz.targets import TARGETS


def main(arguments: Sequence[str] | None = None) -> int:
    """The exit code."""
    options = _options(arguments)
    if options.list:
        for target in TARGETS.values():
            _tell(f"{target.name:12}{target.what}")
        return 0
    chosen = [TARGETS[name] for name in options.target or TARGETS]
    if options.input is not None:
        for target in chosen[:1]:
            target.reads(options.input.read_bytes())
        return 0
    options.work.mkdir(parents=True, exist_ok=True)
    os.environ.update(RXLINT_CACHE=str(options.work / "kept"), HOME=str(options.work / "home"))
    found = 0
    for at, target in enumerate(chosen * options.rounds):
        if options.unguided:
            session = unguided(target, options.seconds, options.seed + at)
        else:
            session = guided(target, options.seconds, options.seed + at, options.work)
        _told(session, options.work)
        found += len(session.seen.faults)
        if options.record:
            results.add(session)
            PAGE.write_text(page(results.totals()), "utf-8")
    return 1 if found else 0


def _told(session: Session, work: Path) -> None:
    seen = session.seen
    rate = seen.executions / session.wall if session.wall else 0
    covered = "" if session.edges is None else f", {session.edges} edges"
    _tell(
        f"{session.target} ({session.engine}): {seen.executions:,} inputs in {session.wall:.0f} s ({rate:,.0f}/s), the"
        f" slowest {seen.worst:.3f} s, {seen.peak_megabytes} MB{covered}; ended {session.ended}"
    )
    (work / f"{session.target}-slowest.input").write_bytes(bytes.fromhex(seen.worst_input))
    for fault in seen.faults.values():
        path = work / f"{session.target}-{re.sub(r'[^A-Za-z0-9]+', '-', fault.name)}.input"
        path.write_bytes(bytes.fromhex(fault.input))
        _tell(f"  FAULT {fault.name}, {fault.times} times; {path}\n    {fault.told}")


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser("tests.fuzz", description=__doc__)
    parser.add_argument("target", nargs="*", choices=[*TARGETS, []], help="these targets (default: all)")
    parser.add_argument("--list", action="store_true", help="tell what targets there are")
    parser.add_argument("--seconds", type=float, default=30, help="for each target (30)")
    parser.add_argument("--rounds", type=int, default=1, help="how often each target has its turn (1)")
    parser.add_argument("--seed", type=int, default=1, help="another seed makes other inputs")
    parser.add_argument("--unguided", action="store_true", help="without atheris: changes by chance alone")
    parser.add_argument("--work", type=Path, default=Path(tempfile.gettempdir()) / "rxlint-fuzz", metavar="FOLDER",
                        help="corpora, logs and the inputs of faults")  # fmt: skip
    parser.add_argument("--record", action="store_true", help="add the figures to results.json and renew PAGE.md")
    parser.add_argument("--input", type=Path, metavar="FILE", help="run one input through the first target, and raise")
    options = parser.parse_args(arguments)
    if not options.unguided and options.input is None and not options.list and not importlib.util.find_spec("atheris"):
        parser.error("atheris is not here: install rxlint[fuzz], or give --unguided")
    return options


def _tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
