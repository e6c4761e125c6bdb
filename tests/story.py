"""The worked story of the examples: each of its commands, and what its page shows of it.

Every command runs in a copy of the story's folder, as somebody would run it who stands in that folder.
`python -m tests.story --write` renews the page; look at the difference before it is committed.
"""

import contextlib
import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from click.testing import CliRunner, Result

from rxlint.reports.caution import CAUTION
from tests.shown import renewed

ROOT: Final = Path(__file__).resolve().parent.parent
STORY: Final = ROOT / "examples" / "story"
PAGE: Final = STORY / "README.md"
TEMPLATE: Final = "templates/tracheostomy-night-adult.vrx"
FIRST, RAISED, CORRECTED = (f"orders/TM-2001-revision-{number}.vrx" for number in (1, 2, 3))
ON: Final = "--on 2026-11-24"
ENDORSE: Final = f'rxlint endorse {ON} {CORRECTED} --by "second checker, pharmacy" --at "2026-11-18 14:20"'
_COUNTS: Final = re.compile(r"[0-9,]+ documents?: |[0-9,]+ changed, ")

Run = Callable[[Path, str], Result]
"""Runs a command line of the story in a folder."""


def changed(path: Path, old: str, new: str) -> None:
    """Change the one place in a file where this stands. Raises ValueError where it stands nowhere or more than once."""
    text = path.read_text("utf-8")
    if text.count(old) != 1:
        raise ValueError(f"{path.name} holds {text.count(old)} times {old!r}")
    path.write_text(text.replace(old, new), "utf-8")


def unchecked(path: Path) -> None:
    """Take out the check, which is the last thing in the file."""
    text = path.read_text("utf-8")
    path.write_text(text[: text.index("\nchecked ")], "utf-8")


def as_it_is(_: Path) -> None:
    """Leave the folder as it is kept."""


def before_the_check(folder: Path) -> None:
    """The corrected revision as it was handed to the second checker."""
    unchecked(folder / CORRECTED)


def changed_by_accident(folder: Path) -> None:
    """A value of the checked revision, changed when nobody meant to."""
    changed(folder / CORRECTED, "rate                      15 /min", "rate                      14 /min")


@dataclass(frozen=True, slots=True)
class Step:
    """A command of the story, what is done to the folder before it, its exit code, and where what is shown ends."""

    name: str
    command: str
    exit_code: int
    before: Callable[[Path], None] = as_it_is
    until: str | None = None


STEPS: Final = (
    Step("first", f"rxlint screen {ON} {TEMPLATE} {FIRST}", 0),
    Step("raised", f"rxlint compare {ON} {FIRST} {RAISED}", 1),
    Step("screened", f"rxlint screen {ON} {RAISED}", 1),
    Step("corrected", f"rxlint compare {ON} {FIRST} {CORRECTED}", 0),
    Step("endorsed", ENDORSE, 0, before_the_check),
    Step("broken", f"rxlint screen {ON} {CORRECTED}", 1, changed_by_accident),
    Step("fell", f"rxlint setup-list {ON} {CORRECTED} --ventilator Fell", 0, until="  Check before and once it runs:"),
    Step("holm", f"rxlint setup-list {ON} {CORRECTED} --ventilator Holm", 1, until="  Check before and once it runs:"),
)


def block(step: Step, output: str) -> str:
    """What the page shows of a step: its command and what it tells, without the closing lines that count all rules."""
    lines = output.splitlines()
    if step.until is not None:
        lines = [*lines[: lines.index(step.until) + 1], "    ..."]
    lines = [line for line in lines if line != CAUTION and not _COUNTS.match(line)]
    return "\n".join(["```text", f"$ {step.command}", *lines, "```"])


def copy(target: Path) -> Path:
    """A copy of the story's folder, to do with as one likes."""
    return shutil.copytree(STORY, target / "story")


def walked(run: Run, scratch: Path) -> Iterator[tuple[Step, Result]]:
    """Every step with what came of it; each has a copy of its own in the scratch folder."""
    for step in STEPS:
        folder = copy(scratch / step.name)
        step.before(folder)
        yield step, run(folder, step.command)


def page_of(steps: Iterable[tuple[Step, Result]]) -> str:
    """The page as it should be after these steps."""
    page = PAGE.read_text("utf-8")
    for step, found in steps:
        page = renewed(page, step.name, block(step, found.output))
    return page


def _run(folder: Path, command: str) -> Result:
    from rxlint.cli import main

    with contextlib.chdir(folder):
        return CliRunner().invoke(main, shlex.split(command)[1:], catch_exceptions=False)


def write() -> None:
    """Renew the page."""
    with tempfile.TemporaryDirectory() as scratch:
        PAGE.write_text(page_of(walked(_run, Path(scratch))), "utf-8")


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit("usage: python -m tests.story --write")
    write()
