"""The published tests under one change, until one fails; to be run in a process that has loaded no physiology yet."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest

from tests.constants.change import Change, install
from tests.constants.source import ROOT

MARK: Final = "published"
# Failures that say "another number than the published one", or "refused", or "not refused". Anything else says that the
# change broke the program, which proves nothing about a number.
FAIR: Final = ("AssertionError", "Failed", "OutOfDomain")


@dataclass(frozen=True, slots=True)
class Caught:
    """The first test that failed, the source of its numbers, and the kind of its failure."""

    test: str
    source: str
    kind: str


class Recorder:
    """Remembers the first failure, and errors outside tests."""

    def __init__(self) -> None:
        self.caught: Caught | None = None
        self.errors: list[str] = []
        self.passed = 0

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(self, item: pytest.Item, call: pytest.CallInfo[None]) -> Any:
        report = yield
        if call.excinfo is not None and call.excinfo.typename != "Skipped" and self.caught is None:
            self.caught = Caught(item.nodeid, source_of(item), call.excinfo.typename)
        elif call.when == "call" and call.excinfo is None:
            self.passed += 1
        return report

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        # Tables and worked examples first: what a coefficient catches, they have let pass. A mark without a source ends
        # the run here.
        items.sort(key=lambda item: of_a_formula(source_of(item)))

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            self.errors.append(f"{report.nodeid}: {report.longrepr}")


def marked_files() -> list[Path]:
    """The files that mark a test at all: to import the others would only take time."""
    folder = ROOT / "tests" / "outside"
    return [path for path in sorted(folder.glob("test_*.py")) if f"mark.{MARK}(" in path.read_text(encoding="utf-8")]


def of_a_formula(source: str) -> bool:
    """Whether a source gives a coefficient of a printed formula, not a table or a worked example."""
    return source.startswith("coefficient")


def source_of(item: pytest.Item) -> str:
    """What the nearest mark names. Raises ValueError where it names nothing."""
    mark = item.get_closest_marker(MARK)
    if mark is None or len(mark.args) != 1 or not isinstance(mark.args[0], str):
        raise ValueError(f"{item.nodeid}: the mark {MARK} takes one text, the source of the expected numbers")
    return mark.args[0]


@dataclass(frozen=True, slots=True)
class Outcome:
    """How the tests ended: pytest's exit code, how many passed, what failed first, errors outside tests."""

    code: int
    passed: int
    caught: Caught | None
    errors: tuple[str, ...]


def run(change: Change | None) -> Outcome:
    """Run the published tests. Raises RuntimeError where the physiology has been loaded already, without the change."""
    if any(name.startswith("rxlint.physiology") for name in sys.modules):
        raise RuntimeError("the physiology is loaded already")
    changer = install(change) if change is not None else None
    recorder = Recorder()
    options = ["-x", "--assert=plain", "-p", "no:cacheprovider", "-p", "no:terminal", "-m", MARK]
    code = int(pytest.main([*options, *map(str, marked_files())], plugins=[recorder]))
    if changer is not None and not changer.used:
        recorder.errors.append(f"{changer.change.module} was never imported")
    return Outcome(code, recorder.passed, recorder.caught, tuple(recorder.errors))
