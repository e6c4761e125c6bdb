"""Runs that are stopped by a signal: no process is left over, nothing looks clean, nothing is half."""

import contextlib
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.cli.orders import ON, SLIP
from tests.cli.programs import Program
from tests.faults.steps import files_of, hidden_in

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has another way to stop")
COUNT = 120


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    place = tmp_path / "orders"
    place.mkdir()
    for number in range(COUNT):
        (place / f"{number:03}.vrx").write_text(SLIP.replace("TM-0417", f"TM-{number}"), "utf-8")
    return place


@contextmanager
def started(program: Program, cwd: Path, *arguments: str) -> Iterator["subprocess.Popen[bytes]"]:
    """A run with a group of processes of its own, once it is at work; nothing of it is left at the end."""
    process = subprocess.Popen(
        [sys.executable, "-m", "rxlint", *arguments],
        cwd=cwd,
        env=program.environment(RXLINT_CACHE=str(program.cache)),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )
    assert process.stdout is not None
    try:
        process.stdout.readline()
        yield process
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.communicate()


def is_left(group: int) -> bool:
    """Whether a process of a group is there still; they are given some seconds to notice."""
    for _ in range(200):
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return False
        time.sleep(0.05)
    return True


JOBS = [("--jobs", "1"), ("--jobs", "2")]
ASKED = ("screen", ".", *ON, "--report", "json=r.json")


@pytest.mark.parametrize("jobs", JOBS, ids=" ".join)
@pytest.mark.parametrize("everybody", [True, False])
def test_an_interrupt_ends_a_run_with_the_code_of_what_was_not_read(
    jobs: tuple[str, ...], everybody: bool, program: Program, orders: Path
) -> None:
    """From the keyboard everybody of the group hears it; from another process, the run alone."""
    before = files_of(orders)
    with started(program, orders, *ASKED, *jobs, "--no-cache") as process:
        (os.killpg if everybody else os.kill)(process.pid, signal.SIGINT)
        out, err = process.communicate(timeout=60)
        assert process.returncode == 3
        assert not is_left(process.pid)
    assert err.decode().strip() == "The run was stopped."
    assert b"documents: " not in out
    assert files_of(orders) == before and hidden_in(orders) == []


@pytest.mark.parametrize("jobs", JOBS, ids=" ".join)
@pytest.mark.parametrize("everybody", [True, False])
def test_an_end_that_is_asked_for_leaves_no_process(
    jobs: tuple[str, ...], everybody: bool, program: Program, orders: Path
) -> None:
    before = files_of(orders)
    with started(program, orders, *ASKED, *jobs, "--no-cache") as process:
        (os.killpg if everybody else os.kill)(process.pid, signal.SIGTERM)
        _, err = process.communicate(timeout=60)
        assert process.returncode == -signal.SIGTERM
        assert not is_left(process.pid)
    assert err == b""
    assert files_of(orders) == before and hidden_in(orders) == []


@pytest.mark.parametrize("which", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_a_run_that_was_stopped_spoils_no_later_one(which: signal.Signals, program: Program, orders: Path) -> None:
    whole = program.run(".", "--no-cache", cwd=orders)
    with started(program, orders, "screen", ".", *ON, "--jobs", "2") as process:
        os.killpg(process.pid, which)
        process.communicate(timeout=60)
        assert process.returncode not in (0, 1, 2)
    for told in ("first", "again"):
        done = program.run(".", cwd=orders)
        assert (done.returncode, done.stdout, done.stderr) == (1, whole.stdout, b""), told


def test_a_worker_that_is_killed_changes_nothing(program: Program, orders: Path) -> None:
    psutil = pytest.importorskip("psutil")
    whole = program.run(".", "--no-cache", cwd=orders)
    with started(program, orders, "screen", ".", *ON, "--jobs", "2", "--no-cache") as process:
        children = psutil.Process(process.pid).children()
        assert len(children) == 2
        children[0].kill()
        out, err = process.communicate(timeout=100)
    assert (process.returncode, err) == (1, b"")
    assert whole.stdout.endswith(out) and out.count(b"\n") > COUNT


@pytest.mark.parametrize("jobs", JOBS, ids=" ".join)
def test_a_reader_that_goes_away_ends_a_run_without_a_word(
    jobs: tuple[str, ...], program: Program, orders: Path
) -> None:
    with started(program, orders, "screen", ".", *ON, *jobs, "--no-cache") as process:
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        err = process.stderr.read()
        assert process.wait(60) == 3
        assert not is_left(process.pid)
    assert err == b""
