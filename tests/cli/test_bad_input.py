"""Bad input: a clear line, never a traceback, and the other files of the run are still screened."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.orders import AT, ON, SLIP, SOUND
from tests.conftest import ROOT, RunCli

ORDER = SOUND.encode()


def big(path: Path) -> None:
    path.touch()
    os.truncate(path, 100_000_000)


def written(data: bytes) -> Callable[[Path], None]:
    def make(path: Path) -> None:
        path.write_bytes(data)

    return make


def loop(path: Path) -> None:
    path.symlink_to(path.name)


def folder(path: Path) -> None:
    path.mkdir()


def nothing(_: Path) -> None:
    pass


BAD = [
    pytest.param(written(b""), ": unread: the file is empty: it holds no document", id="empty"),
    pytest.param(written(b" \n\t\n"), ": unread: the file is empty: it holds no document", id="blank"),
    pytest.param(written(b"\xef\xbb\xbf"), ": unread: the file is empty: it holds no document", id="mark alone"),
    pytest.param(
        written(b"# order\n\n  # none\n"),
        ": unread: the file holds no document: blank lines and comments alone",
        id="comments",
    ),
    pytest.param(written(bytes(range(256))), ":1:1: unread: the file is not text: it holds a NUL byte", id="binary"),
    pytest.param(
        written(b"\x89PNG\r\n\x1a\n\xff"), ":1:1: unread: the file is not UTF-8 text: byte 0x89", id="picture"
    ),
    pytest.param(big, ": unread: the file is too large to be a prescription: 100,000,000 bytes", id="100 MB"),
    pytest.param(written(ORDER[:20] + b"\0" + ORDER[20:]), ":1:21: unread: the file is not text", id="NUL"),
    pytest.param(written(SOUND.encode("utf-16")), ":1:4: unread: the file is not text", id="UTF-16"),
    pytest.param(
        written('prescription "é"\n'.encode("latin-1")), ":1:15: unread: the file is not UTF-8 text", id="Latin-1"
    ),
    pytest.param(written(b"\n" * 50_001), ": unread: the file is too long to be a prescription", id="lines"),
    pytest.param(folder, ": unread: the folder holds no document (*.vrx)", id="folder"),
    pytest.param(loop, ": unread: can't be opened: Too many levels of symbolic links", id="link that loops"),
    pytest.param(os.mkfifo, ": unread: is not a regular file", id="pipe"),
    pytest.param(nothing, ": unread: can't be opened: No such file or directory", id="missing"),
]


@pytest.mark.parametrize(("make", "told"), BAD)
def test_bad_input_beside_good(make: Callable[[Path], None], told: str, tmp_path: Path, run_cli: RunCli) -> None:
    make(tmp_path / "bad.vrx")
    (tmp_path / "good.vrx").write_text(SLIP, "utf-8")
    found = run_cli("screen", "bad.vrx", "good.vrx", *ON)
    assert found.exit_code == 3
    assert found.stderr == ""
    unread = [line for line in found.stdout.splitlines() if "unread: " in line]
    assert len(unread) == 1 and unread[0].startswith(f"bad.vrx{told}"), unread
    assert f"good.vrx:{AT}" in found.stdout
    assert "2 documents: 0 to reject, 1 query, 0 notes, 1 unread." in found.stdout
    both = json.loads(run_cli("screen", "bad.vrx", "good.vrx", *ON, "--format", "json").stdout)["documents"]
    assert [(each["path"], len(each["problems"]), len(each["findings"])) for each in both] == [
        ("bad.vrx", 1, 0),
        ("good.vrx", 0, 1),
    ]
    calculated = run_cli("calculations", "bad.vrx", "good.vrx")
    assert calculated.exit_code == 3 and f"bad.vrx: {told[told.index('unread') :]}" in calculated.stdout


def test_a_folder_with_every_kind_of_bad_file_is_screened_to_its_end(tmp_path: Path, run_cli: RunCli) -> None:
    library = tmp_path / "library"
    library.mkdir()
    for number, parameters in enumerate(BAD):
        make = parameters.values[0]
        assert callable(make)
        make(library / f"{number:02}.vrx")
    (library / "zz.vrx").write_text(SLIP, "utf-8")
    found = run_cli("screen", library, *ON)
    assert found.exit_code == 3
    # the folder of the list is looked into and is not empty of documents as a whole; the missing file is not there
    assert found.stdout.count(": unread: ") == len(BAD) - 2
    assert f"zz.vrx:{AT}" in found.stdout


def test_a_file_that_may_not_be_read(tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "secret.vrx").write_text(SOUND, "utf-8")
    (tmp_path / "good.vrx").write_text(SLIP, "utf-8")
    real = os.open

    def refuse(path: str, flags: int) -> int:
        if str(path).endswith("secret.vrx"):
            raise PermissionError(13, "Permission denied", path)
        return real(path, flags)

    monkeypatch.setattr("rxlint.text.files.os.open", refuse)
    found = run_cli("screen", ".", *ON)
    assert found.exit_code == 3
    assert "secret.vrx: unread: can't be opened: Permission denied" in found.stdout
    assert f"good.vrx:{AT}" in found.stdout


def test_a_folder_that_may_not_be_entered(tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b.vrx").write_text(SLIP, "utf-8")
    real = os.scandir

    def refuse(path: str) -> object:
        if str(path).endswith("a"):
            raise PermissionError(13, "Permission denied", path)
        return real(path)

    monkeypatch.setattr(os, "scandir", refuse)
    found = run_cli("screen", ".", *ON)
    assert found.exit_code == 3
    assert "a: unread: can't be opened: Permission denied" in found.stdout and f"b.vrx:{AT}" in found.stdout


def test_links_to_folders_are_walked_once_or_told(tmp_path: Path, run_cli: RunCli) -> None:
    outside, library = tmp_path / "outside", tmp_path / "library"
    for place in (outside, library / "sub"):
        place.mkdir(parents=True)
        (place / "a.vrx").write_text(SOUND, "utf-8")
    (library / "sub" / "up").symlink_to(library)
    assert run_cli("screen", library, *ON).exit_code == 0
    (library / "away").symlink_to(outside)
    found = run_cli("screen", library, *ON)
    assert found.exit_code == 3
    assert "away: unread: a link that leads out of the folder is not followed" in found.stdout


def test_an_empty_name_is_no_folder(run_cli: RunCli) -> None:
    found = run_cli("screen", "")
    assert found.exit_code == 3 and ": unread: an empty name names no file" in found.stdout


HOSTILE = "\x1b[31mred\x1b[0m \x07\x9b2J\u202e\u2028\u200b"


def test_control_characters_never_reach_the_output(tmp_path: Path, run_cli: RunCli) -> None:
    name = "a\x1b[2J\u202e.vrx"
    text = (
        f'prescription "{HOSTILE}"\npatient\n  indication "{HOSTILE}"\n  wei{HOSTILE}ght 3 kg\n'
        f'settings {HOSTILE}\n  PEEP {HOSTILE}\n  keep PEEP = "{HOSTILE}"\n'
        f"  mode CPAP\n  rise time 150 ms # {HOSTILE}\n"
        f"alarms\n  low rate off because {HOSTILE}\n{HOSTILE}\n"
    )
    (tmp_path / name).write_text(text, "utf-8")
    (tmp_path / "pack\x1b.yaml").write_text(f"pack: x\n{HOSTILE}: y\n", "utf-8")
    runs = [
        run_cli("screen", name, "--coverage"),
        run_cli("screen", tmp_path, "--format", "json"),
        run_cli("screen", "-", "--as", name, input=text),
        run_cli("screen", name, "--explain", "pressure.baseline-high"),
        run_cli("screen", f"nowhere{HOSTILE}"),
        run_cli("calculations", name),
        run_cli("calculations", name, "--format", "json"),
        run_cli("screen", name, "--pack", "pack\x1b.yaml"),
        run_cli("screen", name, "--pack", f"none{HOSTILE}.yaml"),
        run_cli("screen", name, "--explain", HOSTILE),
        run_cli("screen", name, "--on", HOSTILE),
        run_cli("rules", HOSTILE),
    ]
    for found in runs:
        for mark in ("\x1b", "\x07", "\x9b", "\u202e", "\u2028", "\u200b"):
            assert mark not in found.output, found.output
    assert "a<U+001B>[2J<U+202E>.vrx:" in runs[0].stdout


def test_control_characters_of_a_pack_never_reach_the_output(tmp_path: Path, run_cli: RunCli) -> None:
    pack = (
        "pack: ward\nrevision: 1\nsummary: x\nrules:\n  - id: ward.peep\n    level: query\n    basis: practice\n"
        '    title: "\\e[31mred"\n    require: PEEP > 90 cmH2O\n    say: "\\e[31m{PEEP}"\n    because: "\\e[31mx"\n'
        '    source: "\\e[31mx"\n    cases: [fires: "\\e[31mx"]\n'
    )
    (tmp_path / "ward.yaml").write_text(pack, "utf-8")
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    for arguments in (["screen", "a.vrx"], ["screen", "a.vrx", "--format", "json"], ["rules"], ["rules", "ward.peep"]):
        found = run_cli(*arguments, "--pack", "ward.yaml")
        assert "ward.peep" in found.stdout
        assert "\x1b" not in found.output


def command(*arguments: str, cwd: Path, **environment: str) -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [sys.executable, "-m", "rxlint", *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), **environment},
        cwd=cwd,
    )


def test_a_reader_that_goes_away_is_told_nothing_and_is_no_clean_run(tmp_path: Path) -> None:
    for number in range(200):
        (tmp_path / f"{number}.vrx").write_text(SLIP, "utf-8")
    run = command("screen", ".", *ON, cwd=tmp_path)
    assert run.stdout is not None and run.stderr is not None
    run.stdout.readline()
    run.stdout.close()
    told = run.stderr.read()
    run.stderr.close()
    assert (run.wait(), told) == (3, b"")


def test_a_terminal_without_the_letters_is_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "Zoë.vrx"
    path.write_text('prescription "x"\nsettings\n  PEEP ≥ 5\n', "utf-8")
    run = command("screen", "Zoë.vrx", cwd=tmp_path, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    out, err = run.communicate()
    assert (run.returncode, err) == (1, b"")
    assert b"Zo\\xeb.vrx:3:" in out


def test_standard_input_that_is_closed_or_too_long(tmp_path: Path, run_cli: RunCli) -> None:
    found = run_cli("screen", "-", input=b"#" * (4 * 1024 * 1024 + 1))
    assert found.exit_code == 3 and "too large to be a prescription" in found.stdout
    run = subprocess.run(
        ["sh", "-c", f"exec {sys.executable} -m rxlint screen - <&-"],
        capture_output=True,
        check=False,
        env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT)},
        cwd=tmp_path,
    )
    assert (run.returncode, run.stderr) == (3, b"")
    assert b"<standard input>: unread: " in run.stdout
