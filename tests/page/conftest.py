"""The folder of the page, made once for all tests and all processes that run them."""

import os
import shutil
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from rxlint.page.build import make_page
from rxlint.page.problems import OutOfReach
from tests.page.serving import Served, serving
from tests.reports.sheet.browser import Browser, browser

_LONGEST: Final = 900  # seconds that another process may take to make the folder


@pytest.fixture(scope="session")
def made_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder as `rxlint page` makes it; the one that RXLINT_MADE_PAGE names, where it does, so that work on the tests
    need not wait. Skips where Node.js or npm is missing or the registry is out of reach.
    """
    if "RXLINT_MADE_PAGE" in os.environ:
        return Path(os.environ["RXLINT_MADE_PAGE"])
    for name in ("node", "npm"):
        if shutil.which(name) is None:
            pytest.skip(f"{name} is not installed here")
    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    top = shared / "made-page"
    place, told = top / "page", top / "told"
    try:
        top.mkdir()
    except FileExistsError:  # another process makes it
        return _awaited(place, told)
    why = "failed"
    try:
        make_page(place, lambda _step: None)
        why = ""
    except OutOfReach as problem:
        why = f"skip {problem}"
        pytest.skip(str(problem))
    finally:
        (top / "told.new").write_text(why, "utf-8")
        (top / "told.new").rename(told)
    return place


def _awaited(place: Path, told: Path) -> Path:
    until = time.monotonic() + _LONGEST
    while not told.exists():
        assert time.monotonic() < until, "the process that makes the page has not come to an end"
        time.sleep(0.2)
    why = told.read_text("utf-8")
    if why.startswith("skip "):
        pytest.skip(why.removeprefix("skip "))
    assert why == "", "another process could not make the page"
    return place


@pytest.fixture(scope="module")
def chromium(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """One browser for the tests of a file."""
    with browser(tmp_path_factory.mktemp("profile")) as started:
        yield started


@pytest.fixture(scope="module")
def served(made_page: Path) -> Iterator[Served]:
    """The folder of the page at an address of its own, for the tests of a file."""
    with serving(made_page) as each:
        yield each
