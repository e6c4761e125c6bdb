"""A disk that is full: what could not be written is told, everything else is as it was, and nothing looks done."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.orders import ON, SLIP, SOUND
from tests.cli.programs import Program
from tests.faults.cases import CASES, Case
from tests.faults.operations import UNTIDY
from tests.faults.steps import Server, files_of, hidden_in, to_fill_at
from tests.faults.test_killed import each_is_whole, environment, kept_is_sound, next_run

FULL = Path("/dev/full")
NO_SPACE = "Error: standard output can't be written: No space left on device\n"
needs_full = pytest.mark.skipif(not FULL.exists(), reason="there is no /dev/full here")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_disk_that_is_full_from_any_step_on_leaves_everything_whole(
    case: Case, server: Server, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not case.needs():
        pytest.skip("a library of an extra is missing")
    before = files_of(case.prepare(folder))
    told, steps = server.steps(case.arguments, folder, **environment(folder))
    after = files_of(folder)
    monkeypatch.setenv("RXLINT_CACHE", str(folder / "kept"))
    chosen = to_fill_at(steps)
    assert chosen
    stopped = 0
    for step in chosen:
        case.prepare(folder)
        ended = server.full_from(step, case.arguments, folder, **environment(folder))
        assert "Traceback" not in ended.stderr, (str(step), ended.stderr)
        assert ended.code in (case.code, 2, 3), (str(step), ended)
        if ended.code == case.code:  # what says that it went well has done all of it
            assert ended.stdout == told.stdout and files_of(folder) == after, str(step)
        else:
            stopped += 1
            assert ended.stderr.strip() or ended.stdout != told.stdout or step.name == "write", (str(step), ended)
        assert hidden_in(folder) == [], str(step)
        each_is_whole(case, folder, before, after, step)
        kept_is_sound(folder, step)
        next_run(case, server, folder, told)
        assert files_of(folder) == after, str(step)
    assert stopped or case.name == "kept"
    print(f"{case.name}: full from {len(chosen)} steps on, {stopped} runs stopped")


def into_full(program: Program, cwd: Path, *arguments: str, stdin: bytes = b"") -> tuple[int, str]:
    """The exit code of a command whose standard output is full, and what it tells beside it."""
    with FULL.open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "rxlint", *arguments],
            cwd=cwd,
            env=program.environment(),
            input=stdin,
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
        )
    return done.returncode, done.stderr.decode()


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    for name, text in {"a.vrx": SOUND, "b.vrx": SLIP, "c.vrx": UNTIDY}.items():
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


@needs_full
@pytest.mark.parametrize(
    "arguments",
    [
        ("screen", ".", *ON),
        ("screen", ".", *ON, "--format", "json"),
        ("screen", "a.vrx", *ON, "--explain", "pressure.baseline-high"),
        ("screen", "--from-lines", "-", *ON),
        ("tidy", "--check", "."),
        ("tidy", "-"),
        ("calculations", "a.vrx"),
        ("compare", "a.vrx", "b.vrx"),
        ("export", "a.vrx", "--to", "json"),
        ("rules",),
    ],
    ids=" ".join,
)
def test_standard_output_that_is_full_is_told(arguments: tuple[str, ...], program: Program, orders: Path) -> None:
    before = files_of(orders)
    assert into_full(program, orders, *arguments, stdin=SLIP.encode()) == (3, NO_SPACE)
    assert files_of(orders) == before


@needs_full
def test_help_that_finds_no_room_is_told(program: Program, orders: Path) -> None:
    assert into_full(program, orders, "--help") == (3, "Error: No space left on device\n")


@needs_full
def test_reports_in_files_are_whole_where_standard_output_is_full(program: Program, orders: Path) -> None:
    whole = program.run(".", "--format", "json", cwd=orders)
    told = into_full(program, orders, "screen", ".", *ON, "--report", "json=r.json")
    assert told == (3, NO_SPACE)
    assert (orders / "r.json").read_bytes() == whole.stdout


@needs_full
def test_standard_error_that_is_full_changes_no_exit_code(program: Program, orders: Path) -> None:
    (orders / "d.vrx").write_bytes(b"\xff")
    for arguments, code in [(("tidy", "."), 3), (("screen", "a.vrx", "--fail-at", "often"), 2), (("tidy", "a.vrx"), 0)]:
        with FULL.open("wb") as full:
            done = subprocess.run(
                [sys.executable, "-m", "rxlint", *arguments],
                cwd=orders,
                env=program.environment(),
                stdout=subprocess.PIPE,
                stderr=full,
                check=False,
            )
        assert done.returncode == code, arguments
    assert (orders / "c.vrx").read_text("utf-8") == SLIP


def can_mount(place: Path) -> bool:
    """Whether a small disk of our own may be made."""
    if not sys.platform.startswith("linux") or os.getuid() != 0:
        return False
    options = ["-t", "tmpfs", "-o", "size=160k", "tmpfs", str(place)]
    return subprocess.run(["mount", *options], capture_output=True, check=False).returncode == 0


def test_a_small_disk_that_fills_up(program: Program, tmp_path: Path) -> None:
    """A real one: tidy and import write what finds room, tell what does not, and leave nothing half."""
    disk = tmp_path / "disk"
    disk.mkdir()
    if not can_mount(disk):
        pytest.skip("a small disk can't be mounted here")
    try:
        table = "id,PEEP [cmH2O]\n" + "".join(f"TM-{number},5\n" for number in range(60))
        (tmp_path / "t.csv").write_text(table, "utf-8")
        done = subprocess.run(
            [sys.executable, "-m", "rxlint", "import", str(tmp_path / "t.csv"), "-o", str(disk / "new")],
            cwd=tmp_path,
            env=program.environment(),
            capture_output=True,
            check=False,
        )
        assert done.returncode == 3 and b"No space left on device" in done.stdout and done.stderr == b""
        written = sorted((disk / "new").iterdir())
        assert 5 < len(written) < 60
        assert len({each.stat().st_size for each in written if len(each.stem) == 5}) == 1
        assert not hidden_in(disk)
    finally:
        subprocess.run(["umount", str(disk)], check=True)
