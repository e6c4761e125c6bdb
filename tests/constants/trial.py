"""Every change tried, each in a process of its own: what caught it, or that nothing did."""

from __future__ import annotations

import csv
import importlib
import multiprocessing
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.constants.change import Change
from tests.constants.child import FAIR, Caught, Outcome, run
from tests.constants.source import FOLDER, Constant, changes, constants, steps

DATA: Final = FOLDER / "cdc2000.csv"
_READ_FROM: Final = 'Path(__file__).with_name("cdc2000.csv")'
_WORKERS: Final = 2
# What the tests import and no change touches.
_PRELOADED: Final = ("hypothesis", "scipy.special", "click.testing", "rxlint.units")


class Broken(Exception):
    """A run that says nothing of a number: the tests fail without a change, or a change broke more than a number."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What caught a constant's change up and down; None where nothing did."""

    constant: Constant
    up: Caught | None
    down: Caught | None

    @property
    def held(self) -> bool:
        return self.up is not None and self.down is not None


def judged(change: Change | None, outcome: Outcome) -> Caught | None:
    """What caught the change, if anything did. Raises Broken."""
    what = f"{change.module}:{change.line}: {change.old} -> {change.new}" if change else "without a change"
    if outcome.errors:
        raise Broken(f"{what}: {outcome.errors}")
    if outcome.caught is None:
        if outcome.code != 0 or not outcome.passed:
            raise Broken(f"{what}: pytest ended with {outcome.code} after {outcome.passed} tests")
        return None
    if outcome.caught.kind not in FAIR:
        raise Broken(f"{what}: {outcome.caught.test} ended with {outcome.caught.kind}, which is no other number")
    return outcome.caught


def try_all(left_out: Mapping[str, str], whole: Mapping[str, str], tell: Callable[[str], None]) -> list[Verdict]:
    """A verdict for every constant that is not left out. Raises Broken."""
    if (caught := _all([None], tell)[0]) is not None:
        raise Broken(f"{caught.test} fails without any change")
    tried = [each for each in constants() if each.name not in left_out]
    jobs = [
        Change(each.module, each.line, each.column, each.text, new)
        for each in tried
        for new in (steps if each.name in whole else changes)(each.text)
    ]
    found = _all(jobs, tell)
    return [Verdict(each, *found[2 * index : 2 * index + 2]) for index, each in enumerate(tried)]


def try_data(folder: Path, tell: Callable[[str], None]) -> dict[str, list[Caught | None]]:
    """For every column of the growth table, what caught a change up and down of the number in its middle row."""
    source = (FOLDER / "growth_tables.py").read_text(encoding="utf-8")
    line, text = next((n, text) for n, text in enumerate(source.splitlines(), 1) if _READ_FROM in text)
    column = text.index(_READ_FROM)
    copies = [copy for name in columns() for copy in _changed_data(name, folder)]
    jobs = [
        Change("rxlint.physiology.growth_tables", line, column, _READ_FROM, f"Path({str(copy)!r})") for copy in copies
    ]
    found = _all(jobs, tell)
    return {name: found[2 * index : 2 * index + 2] for index, name in enumerate(columns())}


def columns() -> list[str]:
    """The columns of the growth table that hold L, M or S."""
    return [name for name in _rows()[1] if name != "age"]


def _rows() -> tuple[list[str], list[str], list[dict[str, str]]]:
    lines = DATA.read_text(encoding="utf-8").splitlines()
    head = [line for line in lines if line.startswith("#")]
    reader = csv.DictReader(lines[len(head) :])
    return head, list(reader.fieldnames or ()), list(reader)


def _changed_data(column: str, folder: Path) -> list[Path]:
    head, names, rows = _rows()
    filled = [row for row in rows if row[column]]
    middle = filled[len(filled) // 2]
    paths = []
    kept = middle[column]
    for kind, new in zip(("up", "down"), changes(kept), strict=True):
        middle[column] = new
        path = folder / f"{column.replace(' ', '-')}-{kind}.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            file.writelines(f"{line}\n" for line in head)
            writer = csv.DictWriter(file, names)
            writer.writeheader()
            writer.writerows(rows)
        paths.append(path)
    return paths


def _all(jobs: Sequence[Change | None], tell: Callable[[str], None]) -> list[Caught | None]:
    """A fresh process for each job, forked from this one, so that what the tests import is loaded only once."""
    for name in _PRELOADED:
        importlib.import_module(name)
    results: list[Caught | None] = []
    with multiprocessing.get_context("fork").Pool(_WORKERS, maxtasksperchild=1) as pool:
        for done, outcome in enumerate(pool.imap(run, jobs, chunksize=1), 1):
            results.append(judged(jobs[done - 1], outcome))
            if done % 20 == 0 or done == len(jobs):
                tell(f"{done} of {len(jobs)}")
    return results
