"""Compares every variant, and writes the page. Exit code 1 where anything differs."""

import argparse
import datetime
import hashlib
import platform
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from tests.reproducible.variants import PLAIN, VARIANTS, Variant, differing, made

PAGE = Path(__file__).with_name("PAGE.md")
HEAD = """# The same input, the same output

Made by `python -m tests.reproducible`, on {day}, {system}.

All that the program makes of the examples ({count} outputs: reports in every format, calculations, set-up lists,
exports, sheets, comparisons, the list of rules) was made in each of these surroundings, and compared byte for byte with
what {first} makes with {plain}. Each run starts with an empty home folder. A shorter run of the first
against the one that differs in everything is part of the tests.

| surroundings | Python | digest of all | differs in |
| --- | --- | --- | --- |
"""


def version(python: str) -> str:
    told = "import platform; print(platform.python_implementation(), platform.python_version())"
    return subprocess.run([python, "-c", told], capture_output=True, text=True, check=True).stdout.strip()


def main() -> None:
    parser = argparse.ArgumentParser(description="Is the output the same wherever it is made?")
    parser.add_argument(
        "--python", action="append", default=[], help="a further interpreter that has what rxlint needs"
    )
    parser.add_argument("--share", type=int, default=1, help="of so many documents, take one (writes no page)")
    options = parser.parse_args()
    others = [replace(PLAIN, python=python, name=PLAIN.name) for python in options.python]
    rows: list[str] = []
    faults, first = 0, tuple[str, ...]()
    variants: list[Variant] = [*VARIANTS, *others]
    for variant in variants:
        start = time.perf_counter()
        with tempfile.TemporaryDirectory() as home:
            lines = made(variant, Path(home), options.share)
        first = first or lines
        unlike = differing(first, lines)
        faults += bool(unlike)
        digest = hashlib.sha256("\n".join(lines).encode()).hexdigest()[:16]
        rows.append(f"| {variant.name} | {version(variant.python)} | {digest} | {', '.join(unlike) or 'nothing'} |")
        print(f"{time.perf_counter() - start:.0f} s", rows[-1], flush=True)
    if options.share == 1:
        about = {"day": datetime.date.today(), "system": f"{platform.system()} {platform.machine()}"}
        names = {"first": version(sys.executable), "plain": PLAIN.name, "count": len(first)}
        PAGE.write_text(HEAD.format(**about, **names) + "\n".join(rows) + "\n", encoding="utf-8")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
