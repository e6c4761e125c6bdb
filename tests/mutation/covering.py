"""The tests, collected once; which functions each of them runs, and how long it takes."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType
from typing import Final

import pytest
from _pytest.runner import runtestprotocol
from hypothesis import Phase, settings

from tests.mutation.source import ROOT, files
from tests.mutation.swap import forget

# Whatever screens whole prescriptions takes too long to run for each mutant.
FOLDERS: Final = ("expressions", "physiology", "outside", "units", "model")
_TOO_LONG: Final = ("test_published_limits.py", "test_circuit_truth.py", "test_error_prone.py", "test_ladders.py")
SLOWEST: Final = 2.5  # seconds; a test of no property that takes longer is left out


def test_files() -> list[Path]:
    found = [path for folder in FOLDERS for path in sorted((ROOT / "tests" / folder).glob("test_*.py"))]
    return [path for path in found if path.name not in _TOO_LONG]


@dataclass(frozen=True, slots=True)
class Test:
    """A test that passes, the functions it runs (file, qualified name), and its processor time in seconds."""

    item: pytest.Item
    functions: frozenset[tuple[str, str]]
    seconds: float


def passes(item: pytest.Item) -> bool:
    """Run one test, with what it needs set up before and taken down afterwards."""
    return all(report.passed or report.skipped for report in runtestprotocol(item, log=False, nextitem=None))


def measured(
    items: Iterable[pytest.Item], looked_at: Collection[tuple[str, str]], wrong: list[str], properties_only: bool
) -> list[Test]:
    """The tests that pass and run any function that is looked at, fastest first; those that fail go to `wrong`."""
    found = []
    for item in items:
        if properties_only and not _is_property(item):
            continue
        forget()
        seen, passed, seconds = _watched(item)
        if not passed:
            wrong.append(f"left out, for it fails without a change: {item.nodeid}")
        elif seen.intersection(looked_at) and (properties_only or seconds <= SLOWEST):
            found.append(Test(item, frozenset(seen), seconds))
    return sorted(found, key=lambda test: test.seconds)


def _is_property(item: pytest.Item) -> bool:
    return hasattr(getattr(item, "obj", None), "hypothesis")


def _watched(item: pytest.Item) -> tuple[set[tuple[str, str]], bool, float]:
    ours = {str(path): f"{path.parent.name}/{path.name}" for path in files()}
    codes: set[CodeType] = set()

    def watch(frame: FrameType, event: str, _argument: object) -> None:
        if event == "call":
            codes.add(frame.f_code)

    started = time.process_time()
    sys.setprofile(watch)
    try:
        passed = passes(item)
    finally:
        sys.setprofile(None)
    seconds = time.process_time() - started
    return {(ours[c.co_filename], c.co_qualname) for c in codes if c.co_filename in ours}, passed, seconds


class _Collected:
    """Hands the collected tests over instead of running them."""

    def __init__(self, examples: int, work: Callable[[Sequence[pytest.Item]], None]) -> None:
        self._examples, self._work = examples, work

    def pytest_collection(self) -> None:
        # The same examples every time, none made smaller: that a test fails is all there is to know.
        settings.register_profile(
            "mutation",
            settings.get_profile("ci"),
            max_examples=self._examples,
            phases=(Phase.explicit, Phase.generate),
        )
        settings.load_profile("mutation")

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self._work(session.items)
        return True


def with_tests(paths: Sequence[Path], examples: int, work: Callable[[Sequence[pytest.Item]], None]) -> int:
    """Call `work` with the collected tests, in this process; pytest's exit code."""
    os.environ["RXLINT_EXAMPLES"] = str(examples)
    os.environ["RXLINT_CACHE"] = "off"  # what was kept before a change of the code would hide the change
    options = ["--assert=plain", "-p", "no:cacheprovider", "-p", "no:terminal", "--capture=no"]
    return int(pytest.main([*options, *map(str, paths)], plugins=[_Collected(examples, work)]))
