"""Standard streams that are closed, or whose reader goes away: told where it can be, never taken for a clean run."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.orders import AT, ON, SLIP, SOUND
from tests.cli.programs import Program
from tests.faults.operations import UNTIDY
from tests.faults.steps import files_of

pytestmark = pytest.mark.skipif(os.name == "nt", reason="streams are closed by a shell of POSIX")
CLOSED = "Error: standard output can't be written: it is closed\n"


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    for name, text in {"a.vrx": SOUND, "b.vrx": SLIP}.items():
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


def shell(program: Program, cwd: Path, command: str) -> subprocess.CompletedProcess[str]:
    """A line of a shell, in which `rxlint` is the program."""
    called = command.replace("rxlint", f"{sys.executable} -m rxlint")
    return subprocess.run(
        ["sh", "-c", called], cwd=cwd, env=program.environment(), capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize(
    "command",
    [
        "rxlint screen . --on 2026-11-24",
        "rxlint screen . --on 2026-11-24 --format json",
        "rxlint screen a.vrx --explain pressure.baseline-high",
        "rxlint screen --from-lines - < lines",
        "rxlint tidy - < b.vrx",
        "rxlint tidy --check .",
        "rxlint calculations a.vrx",
        "rxlint rules",
    ],
)
def test_standard_output_that_is_closed_is_told(command: str, program: Program, orders: Path) -> None:
    (orders / "lines").write_text("{}\n", "utf-8")
    before = files_of(orders)
    done = shell(program, orders, f"{command} >&-")
    assert (done.returncode, done.stderr) == (3, CLOSED)
    assert files_of(orders) == before


def test_reports_in_files_are_whole_where_standard_output_is_closed(program: Program, orders: Path) -> None:
    whole = shell(program, orders, f"rxlint screen . {' '.join(ON)} --format sarif")
    done = shell(program, orders, f"rxlint screen . {' '.join(ON)} --report sarif=r.sarif >&-")
    assert (done.returncode, done.stderr) == (3, CLOSED)
    assert (orders / "r.sarif").read_text("utf-8") == whole.stdout


@pytest.mark.parametrize("closed", ["2>&-", "<&-", "<&- 2>&-"])
def test_the_other_streams_may_be_closed(closed: str, program: Program, orders: Path) -> None:
    whole = shell(program, orders, f"rxlint screen . {' '.join(ON)} --no-cache")
    assert whole.returncode == 1 and f"b.vrx:{AT}" in whole.stdout
    for told in ("cold", "warm"):
        done = shell(program, orders, f"rxlint screen . {' '.join(ON)} {closed}")
        assert (done.returncode, done.stdout, done.stderr) == (1, whole.stdout, ""), told


def test_what_can_not_be_told_changes_no_exit_code(program: Program, orders: Path) -> None:
    (orders / "c.vrx").write_bytes(b"\xff")
    (orders / "d.vrx").write_text(UNTIDY, "utf-8")
    assert shell(program, orders, "rxlint tidy . 2>&-").returncode == 3
    assert (orders / "d.vrx").read_text("utf-8") == SLIP
    assert shell(program, orders, "rxlint screen . --fail-at often 2>&-").returncode == 2


def test_a_file_never_gets_the_number_of_a_closed_stream(program: Program, orders: Path) -> None:
    """What a library writes to standard error would go into it."""
    told = (
        "import os; from rxlint.cli import main, occupy_closed; occupy_closed(); print(os.open('a.vrx', os.O_RDONLY))"
    )
    (orders / "opens.py").write_text(told, "utf-8")
    done = shell(program, orders, f"{sys.executable} opens.py <&- 2>&-")
    assert int(done.stdout) > 2


@pytest.mark.parametrize("stream", ["1", "2"])
def test_a_reader_that_goes_away(stream: str, program: Program, orders: Path) -> None:
    """Of standard output: exit code 3, nothing told. Of standard error: all is done, the exit code is as ever."""
    for number in range(40):
        (orders / f"{number}.vrx").write_text(UNTIDY, "utf-8")
    (orders / "unread.vrx").write_bytes(b"\xff")
    there, here = os.pipe()
    os.close(there)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "rxlint", "tidy", "."],
            cwd=orders,
            env=program.environment(),
            stdout=here if stream == "1" else subprocess.PIPE,
            stderr=here if stream == "2" else subprocess.PIPE,
            check=False,
        )
    finally:
        os.close(here)
    assert done.returncode == 3
    found = {(orders / f"{number}.vrx").read_text("utf-8") for number in range(40)}
    assert found <= {UNTIDY, SLIP}
    if stream == "2":
        assert b"40 files tidied, 2 tidy already, 1 not." in done.stdout and found == {SLIP}
    else:
        assert b"Traceback" not in done.stderr
