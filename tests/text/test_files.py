"""A file is written in one step: whatever fails or kills the program, the old file or the new one is there, whole."""

import errno
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rxlint.text.files import ChangedError, WholeFile, write_whole
from tests.conftest import ROOT

OLD, NEW = b"old\r\n", b"old\r\nnew\r\n"
STEPS = ["open", "fdopen", "fsync", "chown", "chmod", "replace"]
BEFORE = [step for step in STEPS if step not in ("chown",)]  # a file of another owner is written all the same


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "order.vrx"
    path.write_bytes(OLD)
    return path


def names(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir())


def test_a_file_is_replaced_and_nothing_is_left_beside_it(file: Path) -> None:
    write_whole(file, NEW)
    assert file.read_bytes() == NEW
    assert names(file.parent) == ["order.vrx"]


def test_a_new_file_is_made(tmp_path: Path) -> None:
    write_whole(tmp_path / "new", NEW)
    assert (tmp_path / "new").read_bytes() == NEW
    (tmp_path / "plain").touch()
    assert (tmp_path / "new").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_a_file_that_is_not_put_in_place_is_taken_away(file: Path) -> None:
    with WholeFile(file) as new:
        new.write(NEW)
        assert len(names(file.parent)) == 2 and file.read_bytes() == OLD
    assert file.read_bytes() == OLD and names(file.parent) == ["order.vrx"]
    with WholeFile(file) as new:
        for piece in (NEW[:3], NEW[3:]):
            new.write(piece)
        new.put()
    assert file.read_bytes() == NEW and names(file.parent) == ["order.vrx"]


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
def test_permissions_are_kept(file: Path, mode: int) -> None:
    file.chmod(mode)
    write_whole(file, NEW)
    assert stat.S_IMODE(file.stat().st_mode) == mode


@pytest.mark.skipif(not hasattr(os, "chown"), reason="files have no owner here")
def test_the_owner_is_kept_before_the_permissions(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A change of owner takes some permissions away."""
    done: list[str] = []
    monkeypatch.setattr(os, "chown", lambda *_: done.append("chown"))
    monkeypatch.setattr(os, "chmod", lambda *_: done.append("chmod"))
    write_whole(file, NEW)
    assert done == ["chown", "chmod"]


@pytest.mark.parametrize("step", BEFORE)
@pytest.mark.parametrize("error", [OSError(errno.ENOSPC, "No space left on device"), KeyboardInterrupt()])
def test_a_step_that_fails_leaves_the_old_file(
    step: str, error: BaseException, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise error

    with monkeypatch.context() as patch:
        patch.setattr(os, step, fail)
        with pytest.raises(type(error)):
            write_whole(file, NEW)
    assert file.read_bytes() == OLD
    assert names(file.parent) == ["order.vrx"]


def test_a_disk_that_fills_up_while_it_is_written_leaves_the_old_file(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = os.fdopen

    class Full:
        def __init__(self, handle: int) -> None:
            self.file = opened(handle, "wb")

        def close(self) -> None:
            self.file.close()

        def write(self, data: bytes) -> None:
            self.file.write(data[:3])
            raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fdopen", lambda handle, _: Full(handle))
        with pytest.raises(OSError, match="No space"):
            write_whole(file, NEW)
    assert file.read_bytes() == OLD
    assert names(file.parent) == ["order.vrx"]


def test_a_folder_that_cannot_be_written_down_is_no_fault(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced = os.fsync
    calls: list[int] = []

    def once(handle: int) -> None:
        calls.append(handle)
        if len(calls) > 1:
            raise OSError(errno.EINVAL, "not here")
        synced(handle)

    monkeypatch.setattr(os, "fsync", once)
    write_whole(file, NEW)
    assert file.read_bytes() == NEW
    assert len(calls) == 2


KILL = """
import os, sys
from pathlib import Path
from rxlint.text.files import write_whole
path, step, after = Path(sys.argv[1]), sys.argv[2], sys.argv[3] == "after"
real = getattr(os, step)
def killed(*given, **named):
    if after:
        real(*given, **named)
    os._exit(9)
setattr(os, step, killed)
write_whole(path, path.read_bytes() + b"new\\r\\n")
"""


@pytest.mark.parametrize("when", ["before", "after"])
@pytest.mark.parametrize("step", ["open", "fsync", "chmod", "replace"])
def test_a_program_that_is_killed_leaves_one_of_the_two_whole(step: str, when: str, file: Path) -> None:
    found = subprocess.run(
        [sys.executable, "-c", KILL, file, step, when], env={**os.environ, "PYTHONPATH": str(ROOT)}, check=False
    )
    assert found.returncode == 9
    replaced = (step, when) == ("replace", "after")
    assert file.read_bytes() == (NEW if replaced else OLD)
    left = [name for name in names(file.parent) if name != "order.vrx"]
    assert all(name.startswith(".rxlint-") for name in left)
    assert len(left) == (0 if replaced or (step, when) == ("open", "before") else 1)


def test_a_file_that_was_changed_meanwhile_is_left_alone(file: Path) -> None:
    for other in (b"older", OLD + b"x", b""):
        file.write_bytes(other)
        with pytest.raises(ChangedError):
            write_whole(file, NEW, instead_of=OLD)
        assert file.read_bytes() == other
    file.write_bytes(OLD)
    write_whole(file, NEW, instead_of=OLD)
    assert file.read_bytes() == NEW
    assert names(file.parent) == ["order.vrx"]


def test_a_file_that_is_gone_is_not_made_again(file: Path) -> None:
    file.unlink()
    with pytest.raises(FileNotFoundError):
        write_whole(file, NEW, instead_of=OLD)
    assert names(file.parent) == []


def test_a_file_that_is_closed_to_writing_is_left_alone(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file.chmod(0o444)
    asked: Callable[..., bool] = lambda path, mode: (path, mode) != (file, os.W_OK)  # noqa: E731 - root may write all
    monkeypatch.setattr(os, "access", asked)
    with pytest.raises(PermissionError):
        write_whole(file, NEW)
    assert file.read_bytes() == OLD
    assert names(file.parent) == ["order.vrx"]
