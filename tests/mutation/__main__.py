"""`python -m tests.mutation`: writes tests/MUTATION.md; ends with 1 where a survivor has no reason."""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

import pytest

from tests.mutation.covering import measured, test_files, with_tests
from tests.mutation.kept import complaints, reasons
from tests.mutation.page import KILLS, PAGE, Tried, page
from tests.mutation.source import Mutant, mutants
from tests.mutation.swap import is_fresh, live_functions
from tests.mutation.trial import Trial, Verdict, in_a_child, steady

FEW: Final = 8
MANY: Final = 40


def main(arguments: Sequence[str] | None = None) -> int:
    """The exit code: 0, or 1 with every complaint told."""
    options = _options(arguments)
    started = time.monotonic()
    existing = mutants()
    chosen = _chosen(existing, options)
    tests = [path.resolve() for path in options.tests] or test_files()
    found = _recorded(options.record, {each.name for each in chosen})
    unknown = [each for each in chosen if each.name not in found]
    fresh, wrong = tried_out(unknown, tests, FEW, options.workers, properties_only=False)
    found |= fresh
    left = [each for each in chosen if found[each.name].outcome == "survived"]
    if left and options.examples > FEW:
        # Only properties can find more when they try more.
        again, more_wrong = tried_out(left, tests, options.examples, options.workers, properties_only=True)
        found |= {name: verdict for name, verdict in again.items() if verdict.outcome in KILLS}
        wrong += more_wrong
    _record(options.record, found)
    given = reasons()
    survivors = [name for name, verdict in found.items() if verdict.outcome not in KILLS]
    if options.only or options.name or options.tests:
        for name in survivors:
            _tell(f"{found[name].outcome}: {name}")
    else:
        tried = [Tried(each, found[each.name], given.get(each.name)) for each in chosen]
        PAGE.write_text(page(tried, existing), encoding="utf-8")
        killed = [name for name in found if name not in survivors]
        wrong += complaints(given, survivors, killed, [each.name for each in existing])
    _tell(f"{len(chosen)} mutants, {len(survivors)} survive; {time.monotonic() - started:.0f} s")
    for line in wrong:
        sys.stderr.write(f"{line}\n")
    return 1 if wrong or (options.name and survivors) else 0


def tried_out(
    chosen: Sequence[Mutant], tests: Sequence[Path], examples: int, workers: int, properties_only: bool
) -> tuple[dict[str, Verdict], list[str]]:
    """A verdict for each mutant by its name, and what is wrong with the tests; in a process of its own."""
    found: tuple[dict[str, Verdict], list[str]] = in_a_child(
        lambda: _tried_here(chosen, tests, examples, workers, properties_only)
    )
    return found


def _tried_here(
    chosen: Sequence[Mutant], tests: Sequence[Path], examples: int, workers: int, properties_only: bool
) -> tuple[dict[str, Verdict], list[str]]:
    found: dict[str, Verdict] = {}
    wrong: list[str] = []

    def work(items: Sequence[pytest.Item]) -> None:
        kept = measured(items, {(each.file, each.function) for each in chosen}, wrong, properties_only)
        unsteady = steady(kept)
        wrong.extend(f"left out, for it fails in another order: {name}" for name in unsteady)
        live = live_functions()
        if not is_fresh(live):
            raise RuntimeError("a file was changed meanwhile")
        _tell(f"{len(items)} tests, of which {len(kept)} run something that is looked at; {examples} examples")
        trial = Trial([each for each in kept if each.item.nodeid not in unsteady], live, workers)
        found.update(trial.all(chosen, _tell))

    code = with_tests(tests, examples, work)
    if code:
        raise RuntimeError(f"pytest ended with {code}")
    return found, wrong


def _chosen(existing: Sequence[Mutant], options: argparse.Namespace) -> list[Mutant]:
    if options.name:
        return [each for each in existing if each.name in options.name]
    return [each for each in existing if each.is_drawn and each.file.startswith(options.only)]


def _recorded(path: Path | None, names: set[str]) -> dict[str, Verdict]:
    """The mutants that were killed before: their tests need not be run again while one looks for the others'."""
    if path is None or not path.is_file():
        return {}
    kept = {name: Verdict(*verdict) for name, verdict in json.loads(path.read_text("utf-8")).items()}
    return {name: verdict for name, verdict in kept.items() if name in names and verdict.outcome in KILLS}


def _record(path: Path | None, found: Mapping[str, Verdict]) -> None:
    if path is not None:
        told = {name: [verdict.outcome, verdict.test] for name, verdict in found.items()}
        path.write_text(json.dumps(told, indent=0), encoding="utf-8")


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser("tests.mutation", description=__doc__)
    parser.add_argument("--only", default="", metavar="FILE", help="these files only (folder/name.py); no page")
    parser.add_argument("--name", action="append", help="this mutant only; no page; ends with 1 if it survives")
    parser.add_argument("--tests", type=Path, nargs="+", default=[], metavar="PATH", help="with these tests; no page")
    parser.add_argument("--examples", type=int, default=MANY, help="examples of a property for what survives at first")
    parser.add_argument(
        "--record", type=Path, metavar="FILE", help="keep verdicts there; do not try again what they say was killed"
    )
    parser.add_argument("--workers", type=int, default=2, help="how many mutants at once")
    return parser.parse_args(arguments)


def _tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
