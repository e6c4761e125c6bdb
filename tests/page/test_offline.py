"""What the browser keeps of the page: another version at its address, a half-copied one, two folders at one server.

The folders here hold little: the service worker of the made folder with a list of its own, so no program is loaded.
"""

from __future__ import annotations

import hashlib
import itertools
import json
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

from tests.page.serving import Served, serving
from tests.reports.sheet.browser import Browser, browser

pytest.importorskip("selenium")

PAGE: Final = "<!doctype html><meta charset=utf-8><link rel=icon href=data:,><title>{0}</title><p>{0}<p id=part></p>"
STATE: Final = """
const done = arguments[arguments.length - 1];
navigator.serviceWorker.getRegistration().then(async found => {
  if (arguments[0]) await found.update().catch(() => {});
  done({active: found?.active?.state ?? null, waiting: found?.waiting?.state ?? null,
        installing: found?.installing?.state ?? null, kept: (await caches.keys()).sort()});
}, () => done({active: null, waiting: null, installing: null, kept: []}));
"""
DAYS: Final = itertools.count(20_000)


@pytest.fixture(scope="module")
def worker(made_page: Path) -> str:
    """The service worker's script, with its list left out."""
    script = (made_page / "offline.js").read_text("utf-8")
    lists = re.findall(r'\{version:"[0-9a-f]+",files:\{[^{}]*\}\}', script)
    assert len(lists) == 1, "the list of the service worker is not where it was"
    return script.replace(lists[0], "@LIST@")


@pytest.fixture
def chromium(tmp_path: Path) -> Iterator[Browser]:
    with browser(tmp_path / "profile") as started:
        yield started


def lay(folder: Path, worker: str, name: str, *, comment: str = "") -> None:
    """A folder of one version; its pages say its name."""
    folder.mkdir(parents=True, exist_ok=True)
    files = {
        "index.html": PAGE.format(name),
        "part.txt": f"part of {name}",
        **{f"file-{number}.txt": f"{number} of {name}" for number in range(5)},
    }
    for path, text in files.items():
        (folder / path).write_text(text, "utf-8")
    sums = {path: hashlib.sha256(text.encode()).hexdigest() for path, text in files.items()}
    told = {"version": hashlib.sha256(name.encode()).hexdigest()[:16], "files": sums}
    (folder / "offline.js").write_text(worker.replace("@LIST@", json.dumps(told)) + comment, "utf-8")
    day = float(next(DAYS) * 86_400)  # a server tells the second: two lots of one second would count as unchanged
    for path in (*files, "offline.js"):
        os.utime(folder / path, (day, day))


def visit(chromium: Browser, address: str) -> str:
    """Open a page; what it says and what its part says, which must be of one version."""
    chromium.driver.get(address)
    return str(
        chromium.driver.execute_async_script(
            "const done = arguments[0]; const keeper = navigator.serviceWorker;"
            "keeper.register('offline.js', {updateViaCache: 'none'}).catch(() => {});"
            "fetch('part.txt').then(each => each.text(), () => 'nothing')"
            ".then(each => done(document.title + ': ' + each))"
        )
    )


def state(chromium: Browser, *, update: bool = False) -> dict[str, Any]:
    return dict(chromium.driver.execute_async_script(STATE, update))


def until(chromium: Browser, holds: str) -> dict[str, Any]:
    for _ in range(200):
        found = state(chromium)
        if found[holds]:
            return found
        time.sleep(0.05)
    raise AssertionError(f"never {holds}: {found}")


def settled(chromium: Browser) -> dict[str, Any]:
    """The state when no version is being fetched any more."""
    for _ in range(200):
        found = state(chromium)
        if found["installing"] is None:
            return found
        time.sleep(0.05)
    raise AssertionError(f"it never comes to an end: {found}")


def leave(chromium: Browser) -> None:
    """Close the page, so that a version that waits may take over."""
    chromium.driver.get("about:blank")


def kept_first(chromium: Browser, served: Served, folder: str = "") -> None:
    assert visit(chromium, served.address + folder) == "one: part of one"
    until(chromium, "active")
    leave(chromium)


def test_an_old_version_serves_until_it_is_closed_and_then_the_new_one(
    chromium: Browser, worker: str, tmp_path: Path
) -> None:
    folder = tmp_path / "site"
    lay(folder, worker, "one")
    with serving(folder) as served:
        kept_first(chromium, served)
        lay(folder, worker, "two")
        assert visit(chromium, served.address) == "one: part of one"
        state(chromium, update=True)
        found = until(chromium, "waiting")
        assert len(found["kept"]) == 2
        assert visit(chromium, served.address) == "one: part of one"  # loading anew is not closing
        leave(chromium)
        time.sleep(1)
        assert visit(chromium, served.address) == "two: part of two"
        assert len(until(chromium, "active")["kept"]) == 1


@pytest.mark.parametrize("half", ["lost", "older"])
@pytest.mark.parametrize("renamed", [True, False], ids=["another version", "another script of the same version"])
def test_a_folder_that_is_copied_by_half_never_takes_the_place_of_the_whole_one(
    chromium: Browser, worker: str, tmp_path: Path, half: str, renamed: bool
) -> None:
    folder = tmp_path / "site"
    lay(folder, worker, "one")
    with serving(folder) as served:
        kept_first(chromium, served)
        lay(folder, worker, "two" if renamed else "one", comment="/* another script */")
        if half == "lost":
            served.lost.add("file-3.txt")
        else:
            (folder / "file-3.txt").write_text("3 of nought", "utf-8")
        assert visit(chromium, served.address) == "one: part of one"
        state(chromium, update=True)
        assert settled(chromium)["waiting"] is None
        served.stop()
        leave(chromium)
        assert visit(chromium, served.address) == "one: part of one"
        assert len(state(chromium)["kept"]) == 1


def test_two_folders_at_one_server_do_not_mix(chromium: Browser, worker: str, tmp_path: Path) -> None:
    site = tmp_path / "site"
    lay(site / "a", worker, "one")
    lay(site / "b", worker, "two")
    with serving(site) as served:
        kept_first(chromium, served, "a/")
        assert visit(chromium, served.address + "b/") == "two: part of two"
        assert len(until(chromium, "active")["kept"]) == 2
        leave(chromium)
        served.stop()
        assert visit(chromium, served.address + "a/") == "one: part of one"
        assert visit(chromium, served.address + "b/") == "two: part of two"
