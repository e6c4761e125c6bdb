"""Names that lead elsewhere, and files that are none: nothing hangs, nothing outside is read, and each is told."""

import os
import socket
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.orders import ON, SLIP, SOUND
from tests.cli.test_bad_input import command
from tests.conftest import RunCli
from tests.hostile.texts import beside_a_slip

SECONDS = 60
SETTLES = 0.1  # seconds, after which a file counts as one that nobody is changing
POLICY = """pack: ward
revision: 1
summary: x
uses: [notation]
limits:
  - {id: site.peep, of: PEEP, allow: 3 to 12 cmH2O, level: query, source: x, because: x}
"""


def listening(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(os.path.relpath(path))


def link_to(target: str) -> Callable[[Path], None]:
    return lambda path: path.symlink_to(target)


def linked_pipe(path: Path) -> None:
    os.mkfifo(path.with_name("pipe"))
    path.symlink_to("pipe")


NO_FILES: dict[str, Callable[[Path], None]] = {
    "pipe": os.mkfifo,
    "link to a pipe": linked_pipe,
    "zero": link_to("/dev/zero"),
    "full": link_to("/dev/full"),
    "random": link_to("/dev/urandom"),
    "socket": listening,
    "ring": lambda path: path.symlink_to(path.name),
    "folder": lambda path: path.mkdir(),
}


@pytest.mark.parametrize("name", NO_FILES)
def test_what_is_no_file_is_told_and_never_waited_for(
    name: str, tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    NO_FILES[name](tmp_path / "a.vrx")
    code, told = beside_a_slip(tmp_path, run_cli)
    if name != "folder":  # one that is found in a folder is looked into
        assert code == 3
        assert any(each.startswith("a.vrx: unread: ") for each in told), told
    for command_, options in (
        ("screen", ON), ("calculations", ()), ("tidy", ("--check",)), ("export", ("--to", "json")), ("setup-list", ()),
        ("endorse", ("--by", "consultant")),
    ):  # fmt: skip
        found = run_cli(command_, "a.vrx", *options)
        assert found.exit_code in (1, 2, 3), (command_, found.output)
        assert "Traceback" not in found.output


@pytest.mark.parametrize("name", [name for name in NO_FILES if name != "folder"])
@pytest.mark.parametrize("kind", ["policies", "packs", "profiles", "known findings", "settings"])
def test_settings_that_name_no_file_are_told_and_never_waited_for(
    kind: str, name: str, tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bad").mkdir()
    (tmp_path / "bad" / "a.vrx").write_text(SLIP, "utf-8")
    NO_FILES[name](tmp_path / "bad" / ("rxlint.yaml" if kind == "settings" else "x.yaml"))
    if kind != "settings":
        listed = "x.yaml" if kind == "known findings" else "[x.yaml]"
        (tmp_path / "bad" / "rxlint.yaml").write_text(f"{kind}: {listed}\n", "utf-8")
    code, told = beside_a_slip(tmp_path, run_cli)
    assert code == 2
    assert any(each.startswith("bad/a.vrx: not screened: bad/") for each in told), told


@pytest.mark.parametrize("which", ["policy.yaml", "rxlint.yaml", "known.txt"])
def test_a_pipe_in_the_place_of_a_file_that_was_read_before_is_never_waited_for(which: str, tmp_path: Path) -> None:
    """What is kept between runs asks whether such files are as they were."""
    cache = tmp_path / "kept"
    cache.mkdir(mode=0o700)
    folder = tmp_path / "orders"
    folder.mkdir()
    (folder / "a.vrx").write_text(SLIP, "utf-8")
    (folder / "policy.yaml").write_text(POLICY, "utf-8")
    (folder / "known.txt").write_text("rxlint known findings 1\n", "utf-8")
    (folder / "rxlint.yaml").write_text("policies: [policy.yaml]\nknown findings: known.txt\n", "utf-8")
    time.sleep(SETTLES)
    for expected in (1, 2):
        run = command("screen", ".", *ON, cwd=folder, RXLINT_CACHE=str(cache))
        try:
            out, err = run.communicate(timeout=SECONDS)
        finally:
            run.kill()
        assert (run.returncode, err) == (expected, b""), out
        (folder / which).unlink()
        os.mkfifo(folder / which)
    assert b"a.vrx: not screened: " in out and b"is not a regular file" in out


OUTSIDE = ("../outside.yaml", "sub/../../outside.yaml", "{outside}", "link.yaml", "away/outside.yaml", "~/outside.yaml")


@pytest.mark.parametrize("name", OUTSIDE)
@pytest.mark.parametrize("kind", ["policies", "packs", "profiles", "known findings", "library"])
def test_settings_name_nothing_outside_of_their_folder(kind: str, name: str, tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "outside.yaml").write_text(POLICY, "utf-8")
    folder = tmp_path / "orders"
    (folder / "sub").mkdir(parents=True)
    (folder / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    (folder / "away").symlink_to(tmp_path)
    (folder / "a.vrx").write_text(SLIP, "utf-8")
    named = name.format(outside=tmp_path / "outside.yaml")
    listed = named if kind in ("known findings", "library") else f"[{named}]"
    (folder / "rxlint.yaml").write_text(f"{kind}: {listed}\n", "utf-8")
    found = run_cli("screen", "orders/a.vrx", *ON)
    if name == "~/outside.yaml" and kind == "known findings":  # a folder called ~, in which there is no list yet
        assert found.exit_code == 1
        return
    assert found.exit_code == 2
    assert f"a.vrx: not screened: orders/rxlint.yaml:1:{found.stdout.split('rxlint.yaml:1:')[1][:1]}" in found.stdout
    assert "leads out of the folder of rxlint.yaml" in found.stdout or "there is no file ~" in found.stdout or (
        "is no folder" in found.stdout
    )  # fmt: skip


@pytest.mark.parametrize("name", ["../outside", "/etc/passwd", "TM-9", "..\\outside", "%2e%2e/outside"])
def test_a_template_is_found_by_its_id_and_not_by_a_path(name: str, tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "outside.vrx").write_text('template "x"\n  id TM-9\n  revision 1\nsettings\n  PEEP 5 cmH2O\n', "utf-8")
    folder = tmp_path / "orders"
    folder.mkdir()
    (folder / "link.vrx").symlink_to(tmp_path / "outside.vrx")
    (folder / "rxlint.yaml").write_text("policies: []\n", "utf-8")
    (folder / "a.vrx").write_text(SOUND.replace("  revision", f"  follows   {name} revision 1\n  revision", 1), "utf-8")
    found = run_cli("screen", "orders/a.vrx", *ON)
    assert found.exit_code == 1
    line = SOUND[: SOUND.index("  revision")].count("\n") + 1
    assert f"orders/a.vrx:{line}:" in found.stdout and ": reject: " in found.stdout


def test_a_pack_is_used_by_its_name_and_not_by_a_path(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    for name in ("../ward", "/etc/passwd", "policy.yaml"):
        (tmp_path / "policy.yaml").write_text(POLICY.replace("[notation]", f'["{name}"]'), "utf-8")
        found = run_cli("screen", "a.vrx", *ON, "--policy", "policy.yaml")
        assert found.exit_code == 2 and f"policy.yaml:4:8: uses: there is no pack {name}" in found.stderr
