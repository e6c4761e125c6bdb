"""A file that is named for writing and is a link: what it leads to is written, wherever that is, and the link stays."""

import json
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from rxlint.text.files import named_file
from tests.cli.orders import ON, SLIP
from tests.conftest import RunCli

pytestmark = pytest.mark.skipif(os.name == "nt", reason="links need a right of their own on Windows")
BEFORE = "old\n"


@pytest.fixture
def folder(tmp_path: Path, run_cli: RunCli) -> Path:
    """Orders, what is made of them, and another folder that links lead to."""
    place = tmp_path / "orders"
    place.mkdir()
    (tmp_path / "away").mkdir()
    (place / "a.vrx").write_text(SLIP, "utf-8")
    assert run_cli("export", "a.vrx", "--to", "json", "-o", "given.json", cwd=place).exit_code == 0
    assert run_cli("known", "--start", "known.txt", ".", *ON, cwd=place).exit_code == 0
    assert run_cli("sheet", "a.vrx", "-o", "page.html", *ON, cwd=place).exit_code == 1
    return place


def writes(*arguments: str) -> Callable[[RunCli, Path], Result]:
    return lambda run_cli, place: run_cli(*arguments, cwd=place)


# The command, the name of the link, what stood before in the file that it leads to (a file of the folder, or a text),
# and a part of what stands there then.
COMMANDS: dict[str, tuple[Callable[[RunCli, Path], Result], str, str | Path, str]] = {
    "export": (writes("export", "a.vrx", "--to", "json", "-o", "link.json", "--force"), "link.json", BEFORE, "rxlint"),
    "import": (writes("import", "given.json", "-o", "link.vrx", "--force"), "link.vrx", BEFORE, "PEEP"),
    "sheet": (writes("sheet", "a.vrx", "-o", "link.html", *ON), "link.html", Path("page.html"), "rxlint sheet"),
    "report": (writes("screen", "a.vrx", *ON, "--report", "json=link.json"), "link.json", BEFORE, "rxlint-screen-1"),
}
NEW: dict[str, tuple[Callable[[RunCli, Path], Result], str, str]] = {
    **{name: (run, link, told) for name, (run, link, _, told) in COMMANDS.items()},
    "export, without --force": (writes("export", "a.vrx", "--to", "json", "-o", "link.json"), "link.json", "rxlint"),
    "import, without --force": (writes("import", "given.json", "-o", "link.vrx"), "link.vrx", "PEEP"),
    "known --start": (writes("known", "--start", "link.txt", ".", *ON), "link.txt", "a.vrx"),
}


def held(folder: Path) -> list[str]:
    return sorted(each.relative_to(folder).as_posix() for each in folder.rglob("*"))


@pytest.mark.parametrize("name", COMMANDS)
def test_what_a_link_leads_to_is_written_and_keeps_its_permissions(name: str, folder: Path, run_cli: RunCli) -> None:
    run, link, before, told = COMMANDS[name]
    target = folder.parent / "away" / "real"
    target.write_text(before if isinstance(before, str) else (folder / before).read_text("utf-8"), "utf-8")
    target.chmod(0o640)
    old = target.stat().st_ino
    (folder / link).symlink_to(Path("..") / "away" / "real")
    there = held(folder.parent)
    result = run(run_cli, folder)
    assert result.exit_code in (0, 1), result.output
    assert (folder / link).is_symlink() and os.readlink(folder / link) == "../away/real"
    assert told in target.read_text("utf-8") and target.read_text("utf-8") != before
    assert stat.S_IMODE(target.stat().st_mode) == 0o640
    assert target.stat().st_ino != old, "it is written in one step, as another file that takes its place"
    assert held(folder.parent) == there


@pytest.mark.parametrize("name", NEW)
def test_a_link_to_a_file_that_is_not_there_yet_makes_it(name: str, folder: Path, run_cli: RunCli) -> None:
    run, link, told = NEW[name]
    (folder / link).symlink_to(folder.parent / "away" / "new")
    result = run(run_cli, folder)
    assert result.exit_code in (0, 1), result.output
    assert (folder / link).is_symlink()
    assert told in (folder.parent / "away" / "new").read_text("utf-8")


def test_a_list_of_known_findings_that_is_a_link_shrinks_where_it_is(folder: Path, run_cli: RunCli) -> None:
    """Its paths start from the folder of the link, for a run that reads it too."""
    target = folder.parent / "away" / "known.txt"
    (folder / "known.txt").rename(target)
    (folder / "known.txt").symlink_to(target)
    whole = target.read_text("utf-8")
    assert "a.vrx" in whole
    assert run_cli("known", "known.txt", ".", *ON, cwd=folder).exit_code == 0
    assert target.read_text("utf-8") == whole
    assert run_cli("screen", ".", *ON, "--known", "known.txt", cwd=folder).exit_code == 0
    (folder / "a.vrx").unlink()
    (folder / "b.vrx").write_text("settings\n  PEEP 5 cmH2O\n", "utf-8")
    assert run_cli("known", "known.txt", ".", *ON, cwd=folder).exit_code == 0
    assert (folder / "known.txt").is_symlink() and "a.vrx" not in target.read_text("utf-8")


@pytest.mark.parametrize("name", ["export, without --force", "import, without --force", "known --start"])
def test_a_link_to_a_file_that_is_there_is_no_way_over_it(name: str, folder: Path, run_cli: RunCli) -> None:
    run, link, _ = NEW[name]
    target = folder.parent / "away" / "real"
    target.write_text(BEFORE, "utf-8")
    (folder / link).symlink_to(target)
    assert run(run_cli, folder).exit_code in (1, 2)
    assert target.read_text("utf-8") == BEFORE and (folder / link).is_symlink()


@pytest.mark.parametrize("name", [*COMMANDS, "known --start"])
@pytest.mark.parametrize("what", ["ring", "pipe", "folder"])
def test_a_link_that_leads_to_no_file_is_told_and_stays(name: str, what: str, folder: Path, run_cli: RunCli) -> None:
    run, link, _ = NEW[name]
    os.mkfifo(folder.parent / "away" / "pipe")
    (folder.parent / "away" / "folder").mkdir()
    (folder / link).symlink_to(link if what == "ring" else folder.parent / "away" / what)
    there = held(folder.parent)
    result = run(run_cli, folder)
    if (name, what) == ("import", "folder"):  # a folder takes the document under its own name
        assert result.exit_code == 0 and (folder / link).is_symlink()
        return
    assert result.exit_code in (1, 2, 3) and "Traceback" not in result.output
    assert link in result.output + result.stderr
    assert held(folder.parent) == there and (folder / link).is_symlink()


@pytest.mark.parametrize("direct", [True, False])
def test_an_export_does_not_take_the_place_of_the_document_that_it_reads(
    direct: bool, folder: Path, run_cli: RunCli
) -> None:
    before = (folder / "a.vrx").read_bytes()
    (folder / "link.json").symlink_to("a.vrx")
    result = run_cli(
        "export", "a.vrx", "--to", "json", "-o", "./a.vrx" if direct else "link.json", "--force", cwd=folder
    )
    assert result.exit_code == 3 and "the file that is read is not written over" in result.stderr
    assert (folder / "a.vrx").read_bytes() == before


def test_an_import_does_not_take_the_place_of_the_file_that_it_reads(folder: Path, run_cli: RunCli) -> None:
    before = (folder / "given.json").read_bytes()
    assert json.loads(before)
    (folder / "link.vrx").symlink_to("given.json")
    result = run_cli("import", "given.json", "-o", "link.vrx", "--force", cwd=folder)
    assert result.exit_code == 3 and "the file that is read is not written over" in result.stderr
    assert (folder / "given.json").read_bytes() == before


@pytest.mark.skipif(not Path("/dev/null").exists(), reason="there is no such device here")
def test_a_device_is_never_replaced_by_a_file() -> None:
    """Who may write in its folder could do that. Asked of the function alone: a slip here would spoil the machine."""
    with pytest.raises(OSError, match="is not a regular file"):
        named_file(Path("/dev/null"))
