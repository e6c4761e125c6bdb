"""Real editors over a copy of the examples, with the settings that examples/editors/README.md shows."""

import json
import os
import shutil
import signal
import stat
import subprocess
import sys
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest

from tests.editor.serving import DAY, environment
from tests.shelf import EXAMPLES

README: Final = EXAMPLES / "editors" / "README.md"
SLIP: Final = "slips/peep-raised-alone.vrx"
WANTED: Final = "pressure support 10 cmH2O"
"""Of the corrections of the slip, the one that is chosen."""

_PATIENCE: Final = 20  # seconds for one step; a loaded machine takes its time
_LIMIT: Final = 300  # seconds for a whole session of an editor; beyond, it hangs
_AT_TERMINAL: Final = "import os, sys; os.login_tty(0); os.execv(sys.argv[1], sys.argv[1:])"
_LEFT_OUT: Final = ("editors", "story", "readings")


def block(name: str) -> str:
    """The fenced block that follows ``<!-- name -->`` in the README."""
    _, found, rest = README.read_text("utf-8").partition(f"<!-- {name} -->\n```")
    assert found, f"no block {name} in {README}"
    return rest.partition("\n")[2].partition("\n```")[0] + "\n"


def program(name: str) -> str:
    """Where a program is; the test is skipped where there is none."""
    found = shutil.which(name) if os.name == "posix" else None
    if found is None:
        pytest.skip(f"{name} is not installed here")
    return found


@dataclass(frozen=True)
class Desk:
    """A library, a home folder, and a PATH on which `rxlint` is the one that is tested, on the day of the tests."""

    library: Path
    home: Path
    environment: dict[str, str]


def desk(tmp_path: Path) -> Desk:
    library, home, commands = tmp_path / "orders, of all kinds", tmp_path / "home", tmp_path / "bin"
    shutil.copytree(EXAMPLES, library, ignore=shutil.ignore_patterns(*_LEFT_OUT, "slips"))
    (library / SLIP).parent.mkdir()
    shutil.copy(EXAMPLES / SLIP, library / SLIP)
    home.mkdir()
    commands.mkdir()
    command = commands / "rxlint"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -P -m rxlint "$@" --on {DAY}\n', "utf-8")
    command.chmod(command.stat().st_mode | stat.S_IXUSR)
    found = environment(home)
    found |= {"PATH": f"{commands}{os.pathsep}{found['PATH']}", "TERM": "xterm", "LC_ALL": "C.UTF-8"}
    return Desk(library, home, found | {"RXLINT_WANTED": WANTED, "RXLINT_PATIENCE": str(_PATIENCE)})


def session(at: Desk, command: list[str]) -> dict[str, Any]:
    """Run an editor at a terminal of its own until it ends; what it has written down of what it saw."""
    import pty  # not on every system; where it is not, no test comes here
    import termios

    seen = at.home / "seen.json"
    ours, theirs = pty.openpty()
    shown = bytearray()

    def read() -> None:
        try:
            while data := os.read(ours, 65536):
                shown.extend(data)
        except OSError:
            pass  # the other end is closed

    reader = threading.Thread(target=read, daemon=True)
    reader.start()
    env = at.environment | {"RXLINT_SEEN": str(seen)}
    termios.tcsetwinsize(theirs, (40, 120))
    started = [sys.executable, "-S", "-c", _AT_TERMINAL, *command]
    running = subprocess.Popen(
        started, cwd=at.library, env=env, stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True
    )
    os.close(theirs)
    try:
        running.wait(_LIMIT)
    except subprocess.TimeoutExpired:
        os.killpg(running.pid, signal.SIGKILL)
        running.wait()
        pytest.fail(f"{command[0]} did not end in {_LIMIT} s; it showed {bytes(shown[-2000:])!r}")
    finally:
        reader.join(5)
        os.close(ours)
    assert seen.exists(), f"{command[0]} ended with {running.returncode} and showed {bytes(shown[-3000:])!r}"
    found: dict[str, Any] = json.loads(seen.read_text("utf-8"))
    assert "fault" not in found, found["fault"]
    return found


# ---- what any editor must show of the slip


def shown_at_its_place(found: dict[str, Any], severity: object) -> None:
    """The slip's finding, with its calculation, where it belongs."""
    assert (found["line"], found["column"], found["severity"]) == (43, 3, severity)
    assert found["end_column"] > found["column"]
    assert "supported breaths reach 19 cmH2O, mandatory breaths 17 cmH2O" in found["message"]
    assert "worked out: supported peak = PEEP + pressure support" in found["message"]


def corrected_as_chosen(at: Desk, seen: dict[str, Any]) -> None:
    """Both corrections were offered, the one that was chosen was made, nothing else changed, and it was saved."""
    assert [each for each in seen["actions"] if WANTED in each]
    assert [each for each in seen["actions"] if "inspiratory pressure 19 cmH2O above ambient" in each]
    before = seen["before"].splitlines()
    changed = [(old, new) for old, new in zip(before, seen["after"].splitlines(), strict=True) if old != new]
    assert changed == [
        ("  pressure support      12 cmH2O above PEEP", "  pressure support      10 cmH2O above PEEP"),
    ]
    assert seen["left"] == []
    assert (at.library / SLIP).read_text("utf-8") == seen["after"]


def told_of_peep(hover: str) -> None:
    """What stands under the cursor, which is on PEEP."""
    assert "PEEP" in hover
    assert "cmH2O" in hover
