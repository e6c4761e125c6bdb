"""Orders and their templates in folders of files, from the command line."""

import json
from pathlib import Path

import pytest

from tests.conftest import RunCli

ON = ("--on", "2026-11-24")
TEMPLATE = 'template "t"\n  id  t\n  revision  {revision}\n  status  active\nsettings\n  PEEP  4 to 6 cmH2O\n'
HEAD = "  id  {id}\n  revision  1\n  status  active\n"
ORDER = f'prescription "p"\n{HEAD}  follows  t revision 2\nsettings\n  PEEP  {{peep}} cmH2O\n'


@pytest.fixture
def outside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("outside")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    library = tmp_path
    for name in ("templates", "ward"):
        (library / name).mkdir(parents=True)
    (library / "rxlint.yaml").write_text("library: .\n", "utf-8")
    (library / "templates" / "t.vrx").write_text(TEMPLATE.format(revision=2), "utf-8")
    (library / "ward" / "in.vrx").write_text(ORDER.format(id="in", peep=5), "utf-8")
    (library / "ward" / "out.vrx").write_text(ORDER.format(id="out", peep=7), "utf-8")
    return library


def told(run_cli: RunCli, *arguments: str, stdin: str | None = None) -> list[tuple[str, str, int]]:
    """Every finding of the library's rules: file, rule and line."""
    result = run_cli("screen", *arguments, *ON, "--format", "json", input=stdin)
    return [
        (each["path"], finding["rule"].removeprefix("library."), finding["line"])
        for each in json.loads(result.stdout)["documents"]
        for finding in each["findings"]
        if finding["rule"].startswith("library.")
    ]


OUT = ("ward/out.vrx", "outside-template", 7)


@pytest.mark.usefixtures("folder")
def test_a_file_and_its_folder_are_told_alike(run_cli: RunCli) -> None:
    assert told(run_cli, "ward/out.vrx") == told(run_cli, "ward") == told(run_cli, ".") == [OUT]
    assert told(run_cli, "ward/in.vrx") == []


@pytest.mark.usefixtures("folder")
def test_the_line_of_the_template_is_named_from_the_library_s_root(run_cli: RunCli) -> None:
    found = run_cli("screen", "ward/out.vrx", *ON).stdout
    assert "PEEP is 7 cmH2O, and t revision 2 (templates/t.vrx:6) allows 4 to 6 cmH2O" in found


@pytest.mark.usefixtures("folder")
def test_settings_that_are_not_read_make_no_library(run_cli: RunCli) -> None:
    assert told(run_cli, "ward/out.vrx", "--settings", "none") == [("ward/out.vrx", "not-looked-up", 5)]
    found = run_cli("screen", "ward/out.vrx", "--settings", "none", "--coverage", *ON).stdout
    assert "no library is known" in found


@pytest.mark.usefixtures("folder")
def test_standard_input_stands_in_a_library_by_its_name_alone(run_cli: RunCli) -> None:
    text = ORDER.format(id="out", peep=7)
    assert told(run_cli, "-", stdin=text) == [("<standard input>", "not-looked-up", 5)]
    assert told(run_cli, "-", "--as", "ward/out.vrx", stdin=text) == [OUT]
    assert told(run_cli, "-", "--as", "ward/new.vrx", stdin=text) == [("ward/new.vrx", "outside-template", 7)]


def test_ids_that_stand_twice_are_found_where_the_library_is_screened(folder: Path, run_cli: RunCli) -> None:
    (folder / "ward" / "copy.vrx").write_text(ORDER.format(id="in", peep=5), "utf-8")
    assert told(run_cli, "ward/copy.vrx") == []
    twice = [("ward/copy.vrx", "repeated-id", 2), ("ward/in.vrx", "repeated-id", 2)]
    assert told(run_cli, ".") == [*twice, OUT]
    assert [rule for _, rule, _ in told(run_cli, str(folder))] == ["repeated-id", "repeated-id", "outside-template"]


def test_a_template_that_nothing_follows_is_a_note_and_fails_nothing(folder: Path, run_cli: RunCli) -> None:
    (folder / "templates" / "u.vrx").write_text(TEMPLATE.format(revision=1).replace("id  t", "id  u"), "utf-8")
    assert ("templates/u.vrx", "template-unused", 2) in told(run_cli, ".")
    assert told(run_cli, "templates") == []


def test_two_templates_with_one_id(folder: Path, run_cli: RunCli) -> None:
    (folder / "templates" / "t2.vrx").write_text(TEMPLATE.format(revision=2), "utf-8")
    assert told(run_cli, "ward/out.vrx") == [("ward/out.vrx", "follows-ambiguous", 5)]


def test_a_newer_revision(folder: Path, run_cli: RunCli) -> None:
    (folder / "templates" / "t3.vrx").write_text(TEMPLATE.format(revision=3), "utf-8")
    assert told(run_cli, "ward/out.vrx") == [OUT, ("ward/out.vrx", "follows-outdated", 5)]
    (folder / "templates" / "t.vrx").unlink()
    assert told(run_cli, "ward/out.vrx") == [("ward/out.vrx", "follows-outdated", 5)]


def test_a_template_outside_is_not_there(folder: Path, outside: Path, run_cli: RunCli) -> None:
    """Neither beside the library, nor by a link into it; and a link is named as one that was not followed."""
    (folder / "templates" / "t.vrx").rename(outside / "t.vrx")
    assert told(run_cli, "ward/out.vrx") == [("ward/out.vrx", "follows-unknown", 5)]
    (folder / "templates" / "t.vrx").symlink_to(outside / "t.vrx")
    assert told(run_cli, "ward/out.vrx") == [("ward/out.vrx", "follows-unknown", 5)]
    assert "templates/t.vrx: is a link that leads out of the library" in run_cli("screen", "ward/out.vrx", *ON).stdout
    (folder / "templates" / "t.vrx").unlink()
    (folder / "templates").rmdir()
    (folder / "templates").symlink_to(outside)
    assert told(run_cli, "ward/out.vrx") == [("ward/out.vrx", "follows-unknown", 5)]


@pytest.mark.parametrize("name", ["../t", "/etc/passwd", "templates/t.vrx", "t.vrx", "..", "./t"])
def test_an_id_is_no_path(name: str, folder: Path, run_cli: RunCli) -> None:
    (folder / "ward" / "out.vrx").write_text(
        ORDER.format(id="out", peep=7).replace("t revision", f"{name} revision"), "utf-8"
    )
    assert told(run_cli, "ward/out.vrx") == [("ward/out.vrx", "follows-unknown", 5)]


def test_a_template_that_cannot_be_read(folder: Path, run_cli: RunCli) -> None:
    """Its head is plain, and further on it is no text: then nothing was compared, and nobody can look it up."""
    data = (TEMPLATE.format(revision=2) + "# " + "x" * 5_000 + "\n").encode() + b"\xff"
    (folder / "templates" / "t.vrx").write_bytes(data)
    assert told(run_cli, "ward/out.vrx") == [("ward/out.vrx", "follows-unknown", 5)]
    found = run_cli("screen", "ward/out.vrx", "--coverage", *ON).stdout
    assert "t revision 2 can't be looked up, for templates/t.vrx could not be read: the file is not UTF-8 text" in found
    assert "not checked     library.outside-template  templates/t.vrx could not be read" in found
    (folder / "templates" / "t.vrx").write_bytes(b"\xff")
    assert told(run_cli, "ward/out.vrx") == [("ward/out.vrx", "follows-unknown", 5)]
    assert (
        "not all documents of the library could be read: templates/t.vrx"
        in run_cli("screen", "ward/out.vrx", *ON).stdout
    )


def test_known_findings_hold_what_the_library_finds(folder: Path, run_cli: RunCli) -> None:
    run_cli("known", "--start", "known.txt", ".", *ON)
    assert "library.outside-template" in (folder / "known.txt").read_text("utf-8")
    assert run_cli("known", "--check", "known.txt", ".", *ON).exit_code == 0
