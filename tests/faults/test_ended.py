"""A run that is asked to end (SIGTERM, SIGHUP) at any of its steps ends by that signal, and leaves nothing half beside.

`RXLINT_FAULTS=all` asks at every step that changes a file, with both signals by turns.
"""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from rxlint.store import kept
from tests.cli.orders import ON, SLIP
from tests.cli.programs import Program
from tests.faults.cases import CASES, Case
from tests.faults.steps import Server, files_of, hidden_in, to_kill_at
from tests.faults.test_killed import each_is_whole, environment, kept_is_sound, next_run

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has other ways to end a process")
ASKS = (signal.SIGTERM, signal.SIGHUP) if os.name != "nt" else ()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_run_that_is_asked_to_end_takes_away_what_is_half_written(
    case: Case, server: Server, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not case.needs():
        pytest.skip("a library of an extra is missing")
    before = files_of(case.prepare(folder))
    told, steps = server.steps(case.arguments, folder, **environment(folder))
    after = files_of(folder)
    chosen = to_kill_at(steps)
    monkeypatch.setenv(kept.VARIABLE, str(folder / "kept"))
    ended_so = 0
    for index, step in enumerate(chosen):
        asked = ASKS[index % len(ASKS)]
        case.prepare(folder)
        ended = server.killed_at(step, case.arguments, folder, by=asked, **environment(folder))
        ended_so += ended.code == -asked
        if ended.code != -asked:  # it came to fewer steps of this name this time
            assert (ended.code, ended.stdout) == (told.code, told.stdout), str(step)
        assert "Traceback" not in ended.stderr, (str(step), ended.stderr)
        assert hidden_in(folder) == [], str(step)
        assert [each.name for each in (folder / "kept").iterdir() if each.name.startswith(".")] == [], str(step)
        each_is_whole(case, folder, before, after, step)
        kept_is_sound(folder, step)
        next_run(case, server, folder, told)
        assert files_of(folder) == after, str(step)
    assert ended_so >= len(chosen) * 0.9
    print(f"{case.name}: asked to end at {ended_so} steps")


# What is done to the process from inside, at the call that makes the file of a report: it is at work then.
ASKED_TWICE = """
import os, signal, sys
from rxlint.text import files
real = files.WholeFile.write
def write(self, data):
    real(self, data)
    os.kill(os.getpid(), signal.SIGTERM)
files.WholeFile.write = write
taken = files.WholeFile._take_away
def take_away(self):
    os.kill(os.getpid(), signal.SIGHUP)
    os.kill(os.getpid(), signal.SIGTERM)
    taken(self)
files.WholeFile._take_away = take_away
from rxlint.__main__ import main
main()
"""


def within(program: Program, cwd: Path, code: str, *before: str) -> "subprocess.CompletedProcess[bytes]":
    """A run of `screen` with a report in a file, in a process that does something to itself first."""
    (cwd / "a.vrx").write_text(SLIP, "utf-8")
    return subprocess.run(
        [*before, sys.executable, "-c", code, "screen", "a.vrx", *ON, "--report", "json=r.json"],
        cwd=cwd,
        env=program.environment(),
        capture_output=True,
        check=False,
    )


def test_a_second_signal_does_not_stop_the_taking_away(program: Program, tmp_path: Path) -> None:
    """`timeout` sends two: one to the run, and one to all of its group."""
    done = within(program, tmp_path, ASKED_TWICE)
    assert (done.returncode, done.stderr) == (-signal.SIGTERM, b"")
    assert sorted(each.name for each in tmp_path.iterdir()) == ["a.vrx"]


HUNG_UP = """
import os, signal
from rxlint.text import files
real = files.WholeFile.write
def write(self, data):
    real(self, data)
    os.kill(os.getpid(), signal.SIGHUP)
files.WholeFile.write = write
from rxlint.__main__ import main
main()
"""


def test_a_run_that_is_not_to_hear_that_its_terminal_has_gone_goes_on(program: Program, tmp_path: Path) -> None:
    done = within(program, tmp_path, HUNG_UP, "nohup")
    assert done.returncode == 1
    assert sorted(each.name for each in tmp_path.iterdir()) == ["a.vrx", "r.json"]


IN_A_PROGRAM = """
import datetime, signal
import rxlint
held = [signal.getsignal(each) for each in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)]
rxlint.screen_text(open("a.vrx", encoding="utf-8").read(), on=datetime.date(2026, 11, 24))
list(rxlint.screen_paths(["a.vrx"], on=datetime.date(2026, 11, 24)))
assert held == [signal.getsignal(each) for each in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)]
print("as before")
"""


def test_the_library_leaves_the_signals_of_a_program_alone(program: Program, tmp_path: Path) -> None:
    done = within(program, tmp_path, IN_A_PROGRAM)
    assert (done.returncode, done.stdout) == (0, b"as before\n"), done.stderr.decode()


def test_the_server_of_an_editor_ends_at_once(program: Program, tmp_path: Path) -> None:
    """It writes no file, and a thread of it waits for what its client says next."""
    pytest.importorskip("pygls")
    asked = (
        b'{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"processId":null,"rootUri":null,"capabilities":{}}}'
    )
    with subprocess.Popen(
        [sys.executable, "-m", "rxlint", "editor"],
        cwd=tmp_path,
        env=program.environment(),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdin is not None and process.stdout is not None and process.stderr is not None
        process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(asked), asked))
        process.stdin.flush()
        assert process.stdout.readline().startswith(b"Content-")
        process.terminate()
        try:
            assert process.wait(20) == -signal.SIGTERM
        finally:
            process.kill()
        assert process.stderr.read() == b""
