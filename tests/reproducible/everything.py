"""Makes everything that the program makes of the examples, and prints a digest of each: run as a process of its own.

    python everything.py CHECKOUT [forwards|backwards] [SHARE]

`backwards` turns round what the system says of folders; of `SHARE` documents one is taken, for a shorter run.
"""

import hashlib
import itertools
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

CHECKOUT = Path(sys.argv[1]).resolve()
BACKWARDS = sys.argv[2:3] == ["backwards"]
SHARE = int(sys.argv[3]) if len(sys.argv) > 3 else 1
ON = ("--on", "2026-11-24")
WRITTEN = "{}"  # in a command: a file that it writes, in a folder that is no part of what is compared
FORMATS = ("text", "json", "sarif", "junit", "github", "gitlab", "checkstyle")


class _Entries:
    """What os.scandir gives, from the last to the first."""

    def __init__(self, entries: Any) -> None:
        self._entries = entries
        self._turned = iter(sorted(entries, key=lambda entry: str(entry.name), reverse=True))

    def __iter__(self) -> Iterator[Any]:
        return self._turned

    def __next__(self) -> Any:
        return next(self._turned)

    def __enter__(self) -> "_Entries":
        return self

    def __exit__(self, *_: object) -> None:
        self._entries.close()

    def close(self) -> None:
        self._entries.close()


def turn_folders_round() -> None:
    """Let the system tell the entries of every folder in the opposite order of their names."""
    scan: Callable[..., Any] = os.scandir
    names: Callable[..., Any] = os.listdir

    def scandir(*path: Any) -> Any:
        return _Entries(scan(*path))

    def listdir(*path: Any) -> Any:
        return sorted(names(*path), reverse=True)

    os.scandir, os.listdir = scandir, listdir  # type: ignore[assignment]


def commands() -> Iterator[tuple[str, ...]]:
    """Every command that makes something, over the examples."""
    for kind in FORMATS:
        less = "examples/sound" if kind == "json" else "examples/story"
        yield ("screen", "--no-cache", *ON, "--format", kind, "examples" if SHARE == 1 else less)
    for path in sorted(CHECKOUT.glob("examples/sound/*.vrx"))[::SHARE]:
        name = str(path.relative_to(CHECKOUT))
        yield ("calculations", "--format", "json", name)
        yield ("setup-list", *ON, "--profile", "examples/profiles", "--ventilator", "Fell", "--format", "json", name)
        yield ("export", *ON, "--to", "json", name)
        yield ("export", *ON, "--to", "fhir", "--despite-findings", name)
        yield ("tidy", "--check", name)
    for path in sorted(CHECKOUT.glob("examples/s*/*.vrx"))[:: 16 * SHARE]:
        yield ("sheet", *ON, "--fail-at", "never", "-o", WRITTEN, str(path.relative_to(CHECKOUT)))
    story = sorted(str(path.relative_to(CHECKOUT)) for path in CHECKOUT.glob("examples/story/orders/*.vrx"))
    for before, after in itertools.pairwise(story):
        yield ("compare", *ON, "--format", "json", before, after)
    yield ("rules",)


def main() -> None:
    """Print a line a command: digest, exit code and command."""
    sys.path.insert(0, str(CHECKOUT))
    os.chdir(CHECKOUT)
    if BACKWARDS:
        turn_folders_round()
    from click.testing import CliRunner

    from rxlint.cli import main as program

    with tempfile.TemporaryDirectory() as folder:
        for command in commands():
            file = Path(folder, "written.html")
            done = CliRunner().invoke(program, [str(file) if each == WRITTEN else each for each in command])
            if done.exception is not None and not isinstance(done.exception, SystemExit):
                raise done.exception
            if done.exit_code not in (0, 1):
                raise AssertionError(f"{command}: exit {done.exit_code}: {done.stderr}")
            made = file.read_bytes() if WRITTEN in command else done.stdout_bytes
            file.unlink(missing_ok=True)
            print(hashlib.sha256(made).hexdigest()[:16], done.exit_code, len(made), " ".join(command))


if __name__ == "__main__":
    main()
