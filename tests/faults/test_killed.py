"""A run that is killed at any of its steps leaves every document whole, and the next run does what it ever did.

`RXLINT_FAULTS=all` kills at every system call that changes a file, in place of some of them.
"""

import os
import signal
import sqlite3
from collections.abc import Mapping
from pathlib import Path

import pytest

from rxlint.library.discover import find_inputs
from rxlint.store import kept
from rxlint.store.results import NAME
from tests.faults.cases import CASES, Case
from tests.faults.operations import KEPT
from tests.faults.steps import Ended, Server, changes, files_of, hidden_in, to_kill_at


def environment(folder: Path) -> dict[str, str]:
    return {"RXLINT_CACHE": str(folder / "kept")}


def next_run(case: Case, server: Server, folder: Path, told: Ended) -> None:
    """The same command once more: it ends as ever, or refuses because everything is done."""
    found = server.run(case.arguments, folder, **environment(folder))
    assert found.code in case.ends, (found.code, found.stderr)
    assert "Traceback" not in found.stderr
    if case.ends[found.code]:
        assert (found.code, found.stdout) == (told.code, told.stdout)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_run_that_is_killed_leaves_everything_whole(
    case: Case, server: Server, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not case.needs():
        pytest.skip("a library of an extra is missing")
    before = files_of(case.prepare(folder))
    told, steps = server.steps(case.arguments, folder, **environment(folder))
    assert (told.code, "Traceback" in told.stderr) == (case.code, False), told.stderr
    after = files_of(folder)
    assert hidden_in(folder) == []
    chosen = to_kill_at(steps)
    assert chosen
    monkeypatch.setenv(kept.VARIABLE, str(folder / "kept"))
    killed = 0
    for step in chosen:
        case.prepare(folder)
        ended = server.killed_at(step, case.arguments, folder, signal.SIGKILL, **environment(folder))
        killed += ended.killed
        if not ended.killed:  # it came to fewer steps of this name this time
            assert (ended.code, ended.stdout) == (told.code, told.stdout), step
        each_is_whole(case, folder, before, after, step)
        kept_is_sound(folder, step)
        next_run(case, server, folder, told)
        assert files_of(folder) == after, str(step)
        kept_is_sound(folder, step)
    assert killed >= len(chosen) * 0.9
    print(f"{case.name}: killed at {killed} steps of {len(list(changes(steps)))} that change a file, of {len(steps)}")


def each_is_whole(
    case: Case, folder: Path, before: Mapping[str, bytes], after: Mapping[str, bytes], step: object
) -> None:
    """Every file is as before or as after, and what else there is would be taken for no document."""
    found = files_of(folder)
    for name, data in found.items():
        grows = name == "out/done.jsonl" and after[name].startswith(data)  # line by line: see archive/ledger.py
        assert data in (before.get(name), after.get(name)) or grows, (str(step), name)
    assert before.keys() <= found.keys(), str(step)
    assert all(name.startswith(".rxlint-") for name in hidden_in(folder)), (str(step), hidden_in(folder))
    inputs = [each.shown for each in find_inputs([str(folder)]) if each.path is not None]
    assert len(inputs) == sum(name.endswith(".vrx") for name in found), (case.name, str(step), inputs)


def kept_is_sound(folder: Path, step: object) -> None:
    """What is kept is a miss or right: the database is whole, a text is the one that was kept or none."""
    assert kept.read_kept(*KEPT[:2]) in (None, KEPT[2]), str(step)
    path = folder / "kept" / NAME
    if path.exists() and path.stat().st_size:
        with sqlite3.connect(path) as base:
            assert base.execute("PRAGMA integrity_check").fetchall() == [("ok",)], str(step)
        base.close()
    for each in (folder / "kept").iterdir():
        assert not os.stat(each).st_mode & 0o077 or each.suffix == ".json", (str(step), each)
