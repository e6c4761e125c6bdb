"""`rxlint known`: started once, only ever shorter after that; what is known does not fail a run."""

from pathlib import Path

import pytest

from tests.cli.orders import ON, REJECT, SLIP, SOUND
from tests.conftest import RunCli


def write(folder: Path, name: str, text: str) -> None:
    """An order with an id of its own."""
    (folder / f"{name}.vrx").write_text(text.replace("TM-0417", f"TM-{name}"), "utf-8")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name, text in {"query": SLIP, "reject": REJECT, "sound": SOUND}.items():
        write(tmp_path, name, text)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_what_is_known_does_not_fail_a_run(folder: Path, run_cli: RunCli) -> None:
    assert run_cli("screen", ".", *ON).exit_code == 1
    assert run_cli("known", "--start", "known.txt", ".", *ON).stdout == "known.txt: 2 known findings in 2 files\n"
    found = run_cli("screen", ".", "--known", "known.txt", *ON)
    assert found.exit_code == 0
    assert "known reject: PEEP has a number without a unit" in found.stdout
    assert "2 known" in found.stdout
    (folder / "rxlint.yaml").write_text("known findings: known.txt\n", "utf-8")
    assert run_cli("screen", ".", *ON).exit_code == 0
    assert run_cli("screen", ".", "--settings", "none", *ON).exit_code == 1


def test_a_new_slip_fails_it(folder: Path, run_cli: RunCli) -> None:
    run_cli("known", "--start", "known.txt", ".", *ON)
    write(folder, "new", SLIP)
    assert run_cli("screen", ".", "--known", "known.txt", *ON).exit_code == 1


def test_the_list_gets_shorter_and_not_longer(folder: Path, run_cli: RunCli) -> None:
    run_cli("known", "--start", "known.txt", ".", *ON)
    write(folder, "reject", SOUND)
    write(folder, "sound", REJECT)
    before = (folder / "known.txt").read_bytes()
    assert run_cli("known", "--check", "known.txt", ".", *ON).exit_code == 1
    assert (folder / "known.txt").read_bytes() == before
    renewed = run_cli("known", "known.txt", ".", *ON)
    assert renewed.exit_code == 0
    assert renewed.stdout == "known.txt: 1 known finding in 1 file; 1 found no more\n"
    assert "sound.vrx" not in (folder / "known.txt").read_text("utf-8")
    assert run_cli("known", "--check", "known.txt", ".", *ON).exit_code == 0
    assert run_cli("screen", ".", "--known", "known.txt", *ON).exit_code == 1


def test_a_file_that_cannot_be_read_keeps_its_entries(folder: Path, run_cli: RunCli) -> None:
    run_cli("known", "--start", "known.txt", ".", *ON)
    (folder / "reject.vrx").write_bytes(b"\xff")
    found = run_cli("known", "known.txt", ".", *ON)
    assert found.exit_code == 3
    assert "reject.vrx" in (folder / "known.txt").read_text("utf-8")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["known", "nowhere.txt", "."], "there is no list nowhere.txt; --start writes one"),
        (["known", "--start", "query.vrx", "."], "query.vrx is there already"),
        (["known", "query.vrx", "."], "query.vrx:1:1: is no list of known findings"),
        (["screen", ".", "--known", "query.vrx"], "query.vrx:1:1: is no list of known findings"),
        (["known", "--start", "nowhere/known.txt", "."], "nowhere/known.txt can't be written: No such file"),
    ],
)
def test_a_list_that_cannot_be_used_is_a_fault_of_usage(
    arguments: list[str], told: str, folder: Path, run_cli: RunCli
) -> None:
    assert folder.is_dir()
    found = run_cli(*arguments, *ON)
    assert found.exit_code == 2
    assert told in found.output
