"""No home, no room for what is kept, folders that may not be written to: the report is the same, changes are told."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

import pytest

from tests.cli.orders import ON, SLIP, SOUND
from tests.cli.programs import Program
from tests.faults.cases import BY
from tests.faults.operations import TABLE, UNTIDY
from tests.faults.steps import files_of, hidden_in

pytestmark = pytest.mark.skipif(os.name == "nt", reason="homes and permissions are those of POSIX")


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    place = tmp_path / "orders"
    place.mkdir()
    for name, text in {"a.vrx": SOUND, "b.vrx": SLIP, "c.vrx": UNTIDY, "t.csv": TABLE}.items():
        (place / name).write_text(text, "utf-8")
    return place


def run(
    program: Program,
    cwd: Path,
    *arguments: str,
    bound: tuple[str, ...] = (),
    home: Mapping[str, str | None] = MappingProxyType({}),
) -> subprocess.CompletedProcess[str]:
    """A command, with what it begins with; None in the environment leaves a name out."""
    given = {name: value for name, value in {**program.environment(), **home}.items() if value is not None}
    return subprocess.run(
        [*bound, sys.executable, "-m", "rxlint", *arguments],
        cwd=cwd,
        env=given,
        capture_output=True,
        text=True,
        check=False,
    )


def whole(program: Program, orders: Path) -> str:
    return program.run("--no-cache", ".", cwd=orders).stdout.decode()


HOMES: dict[str, dict[str, str | None]] = {
    "unset": {"HOME": None},
    "empty": {"HOME": ""},
    "missing": {"HOME": "/nowhere/at/all"},
    "a file": {"HOME": "/dev/null"},
}


@pytest.mark.parametrize("home", HOMES)
def test_a_home_that_is_not_there_is_no_fault(home: str, program: Program, orders: Path) -> None:
    names = sorted(os.listdir(orders))
    done = run(program, orders, "screen", ".", *ON, home={"RXLINT_CACHE": None, **HOMES[home]})
    assert (done.returncode, done.stdout, done.stderr) == (1, whole(program, orders), "")
    assert sorted(os.listdir(orders)) == names


NO_ENTRY = """
import pwd, sys
def refuse(_):
    raise KeyError("no entry")
pwd.getpwuid = refuse
from rxlint.cli import main
main()
"""


@pytest.mark.skipif(sys.platform == "darwin", reason="the place for what is kept is found in another way")
def test_a_user_without_an_entry_has_no_folder_named_by_a_tilde(program: Program, orders: Path) -> None:
    names = sorted(os.listdir(orders))
    given = {name: value for name, value in program.environment().items() if name not in ("HOME", "RXLINT_CACHE")}
    called = [sys.executable, "-c", NO_ENTRY, "screen", ".", *ON]
    done = subprocess.run(called, cwd=orders, env=given, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (1, whole(program, orders), "")
    assert sorted(os.listdir(orders)) == names


@pytest.fixture
def bound() -> tuple[str, ...]:
    """What a command begins with so that permissions hold for it, whoever runs the tests."""
    if os.getuid() != 0:
        return ()
    found = ("setpriv", "--bounding-set=-dac_override,-dac_read_search,-fowner")
    if shutil.which("setpriv") is None or subprocess.run([*found, "true"], check=False).returncode != 0:
        pytest.skip("no permission stops this user")
    return found


CHANGING = [
    (("tidy", "c.vrx"), 3, "c.vrx: can't be written: Permission denied"),
    (("endorse", "a.vrx", *BY, *ON), 3, "a.vrx: can't be written: Permission denied"),
    (("known", "--start", "known.txt", ".", *ON), 2, "known.txt can't be written: Permission denied"),
    (("import", "t.csv", "-o", "."), 3, "Permission denied"),
    (("export", "a.vrx", "--to", "json", "-o", "a.json"), 3, "a.json: can't be written: Permission denied"),
    (("screen", ".", *ON, "--report", "json=r.json"), 2, "the report r.json can't be written: Permission denied"),
]


@pytest.mark.parametrize(("arguments", "code", "told"), CHANGING, ids=[each[0][0] for each in CHANGING])
def test_a_folder_that_may_not_be_written_to(
    arguments: tuple[str, ...], code: int, told: str, bound: tuple[str, ...], program: Program, orders: Path
) -> None:
    before = files_of(orders)
    orders.chmod(0o555)
    try:
        done = run(program, orders, *arguments, bound=bound)
    finally:
        orders.chmod(0o755)
    assert done.returncode == code, done
    assert told in done.stdout + done.stderr and "Traceback" not in done.stderr
    assert files_of(orders) == before and hidden_in(orders) == []


def closed(place: Path) -> None:
    place.mkdir(mode=0o500)


def a_file(place: Path) -> None:
    place.write_text("no folder")


def open_to_all(place: Path) -> None:
    place.mkdir()
    place.chmod(0o777)


def full_of_folders(place: Path) -> None:
    place.mkdir(mode=0o700)
    (place / "results-1.sqlite").mkdir()


def a_ring(place: Path) -> None:
    place.symlink_to(place.name)


@pytest.mark.parametrize("make", [closed, a_file, open_to_all, full_of_folders, a_ring])
def test_a_place_for_what_is_kept_that_is_of_no_use_is_a_miss(
    make: Callable[[Path], None], program: Program, orders: Path, tmp_path: Path
) -> None:
    make(tmp_path / "bad")
    for told in ("first", "again"):
        done = run(program, orders, "screen", ".", *ON, home={"RXLINT_CACHE": str(tmp_path / "bad")})
        assert (done.returncode, done.stdout, done.stderr) == (1, whole(program, orders), ""), told
