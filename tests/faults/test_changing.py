"""A document that changes, goes or becomes something else while a run is on: told, and the others are screened."""

import os
import shutil
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from rxlint.library import discover
from rxlint.text import files
from tests.cli.orders import AT, ON, REJECT, SLIP, SOUND
from tests.conftest import RunCli
from tests.faults.cases import BY
from tests.faults.operations import UNTIDY
from tests.faults.steps import files_of, hidden_in

Change = Callable[[Path], None]


def gone(path: Path) -> None:
    path.unlink()


def a_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def a_pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def a_dead_link(path: Path) -> None:
    path.unlink()
    path.symlink_to("nowhere")


def no_text(path: Path) -> None:
    path.write_bytes(b"\xff")


def empty(path: Path) -> None:
    path.write_bytes(b"")


def without_its_folder(path: Path) -> None:
    shutil.rmtree(path.parent)


BECOMES: list[tuple[Change, str]] = [
    (gone, "can't be opened: No such file or directory"),
    (a_folder, "can't be opened: Is a directory"),
    (a_pipe, "is not a regular file"),
    (a_dead_link, "can't be opened: No such file or directory"),
    (no_text, "the file is not UTF-8 text: byte 0xff"),
    (empty, "the file is empty: it holds no document"),
    (without_its_folder, "can't be opened: No such file or directory"),
]
IDS = [each.__name__ for each, _ in BECOMES]
pytestmark = pytest.mark.skipif(os.name == "nt", reason="pipes and links are those of POSIX")


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    place = tmp_path / "orders"
    (place / "sub").mkdir(parents=True)
    for name, text in {"a.vrx": SLIP, "sub/b.vrx": SOUND.replace("TM-0417", "TM-2"), "z.vrx": REJECT}.items():
        (place / name).write_text(text.replace("TM-0417", name), "utf-8")
    return place


def after_listing(change: Callable[[], None], monkeypatch: pytest.MonkeyPatch) -> None:
    """Let something happen when all documents are found and none is read."""
    real = discover.find_inputs

    def find(paths: Any) -> Iterator[discover.Input]:
        found = list(real(paths))
        change()
        yield from found

    monkeypatch.setattr(discover, "find_inputs", find)


@pytest.mark.parametrize("options", [("--no-cache",), (), ("--jobs", "2", "--no-cache"), ("--format", "json")])
@pytest.mark.parametrize(("change", "told"), BECOMES, ids=IDS)
def test_a_document_that_becomes_something_else_after_it_was_found(
    change: Change, told: str, options: tuple[str, ...], orders: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    after_listing(lambda: change(orders / "sub" / "b.vrx"), monkeypatch)
    found = run_cli("screen", ".", *ON, *options, cwd=orders)
    assert found.exit_code == 3 and found.stderr == ""
    assert told in found.stdout
    if "json" not in options:
        unread = [line for line in found.stdout.splitlines() if "unread: " in line]
        assert len(unread) == 1 and unread[0].startswith("sub/b.vrx") and told in unread[0]
        assert f"a.vrx:{AT}" in found.stdout and "z.vrx:" in found.stdout
        assert "3 documents: " in found.stdout and ", 1 unread." in found.stdout


@pytest.mark.parametrize(("change", "told"), BECOMES, ids=IDS)
def test_the_other_commands_tell_it_too(
    change: Change, told: str, orders: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    changing = [["known", "--start", "known.txt", ".", *ON], ["calculations", "."], ["tidy", "."]]
    for arguments in changing[: 2 if change is empty else 3]:  # there is nothing untidy in an empty file
        shutil.copytree(orders, orders.parent / "again", dirs_exist_ok=True)
        with monkeypatch.context() as patch:
            after_listing(lambda: change(orders.parent / "again" / "sub" / "b.vrx"), patch)
            found = run_cli(*arguments, cwd=orders.parent / "again")
        assert found.exit_code == 3, (arguments, found.output)
        assert told in found.output
        assert hidden_in(orders.parent / "again") == []
        shutil.rmtree(orders.parent / "again")


def right_before_writing(change: Callable[[], None], monkeypatch: pytest.MonkeyPatch) -> None:
    """Let something happen when the new file is written and has not taken its place."""
    real = files._dress

    def dress(name: Path, path: Path) -> None:
        real(name, path)
        change()

    monkeypatch.setattr(files, "_dress", dress)


def written(path: Path, text: str) -> None:
    path.write_text(text, "utf-8")


def by_somebody(path: Path) -> None:
    path.write_text(SLIP.replace("PEEP", "PEEP # somebody"), "utf-8")


@pytest.mark.parametrize("change", [by_somebody, gone, a_folder, a_pipe, empty])
@pytest.mark.parametrize("arguments", [("tidy", "a.vrx"), ("endorse", "a.vrx", *BY, *ON)], ids=["tidy", "endorse"])
def test_a_document_that_changes_before_it_is_written_is_left_alone(
    change: Change, arguments: tuple[str, ...], tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.vrx"
    path.write_text(UNTIDY, "utf-8")
    right_before_writing(lambda: change(path), monkeypatch)
    found = run_cli(*arguments)
    assert found.exit_code in (1, 3) and "Traceback" not in found.output
    assert "was changed meanwhile by somebody else; nothing is written" in found.output or "can't be" in found.output
    assert hidden_in(tmp_path) == []
    if change is by_somebody:
        assert "# somebody" in path.read_text("utf-8")
    elif change is gone:
        assert not path.exists()
    elif change is a_folder:
        assert path.is_dir()
    elif change is a_pipe:
        assert stat.S_ISFIFO(path.stat().st_mode)
    else:
        assert path.read_bytes() == b""


def test_a_list_of_known_findings_that_changes_meanwhile_is_left_alone(
    tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Started or made shorter: what somebody else wrote while the documents were screened stays."""
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    path = tmp_path / "known.txt"
    theirs = "rxlint known findings 1\n# of a colleague\n"
    with monkeypatch.context() as patch:
        right_before_writing(lambda: written(path, theirs), patch)
        found = run_cli("known", "--start", "known.txt", ".", *ON)
    assert found.exit_code == 2 and "changed meanwhile" in found.stdout
    assert path.read_text("utf-8") == theirs
    path.unlink()
    assert run_cli("known", "--start", "known.txt", ".", *ON).exit_code == 0
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    with monkeypatch.context() as patch:
        right_before_writing(lambda: written(path, theirs), patch)
        found = run_cli("known", "known.txt", ".", *ON)
    assert found.exit_code == 2 and "changed meanwhile" in found.stdout
    assert path.read_text("utf-8") == theirs
    assert hidden_in(tmp_path) == []


def test_a_document_that_somebody_made_meanwhile_is_not_overwritten(
    tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "t.csv").write_text("id,PEEP [cmH2O]\nTM-1,5\n", "utf-8")
    path = tmp_path / "TM-1.vrx"
    right_before_writing(lambda: written(path, SOUND), monkeypatch)
    found = run_cli("import", "t.csv", "-o", ".")
    assert found.exit_code == 1
    assert "TM-1.vrx is there already and was not overwritten" in found.stdout
    assert path.read_text("utf-8") == SOUND
    assert sorted(files_of(tmp_path)) == ["TM-1.vrx", "t.csv"] and hidden_in(tmp_path) == []
