"""`rxlint tidy`: documents in one layout, in place, to look at, or through standard input and output."""

import errno
import os
from pathlib import Path

import pytest

from rxlint.library import tidying
from rxlint.notation.tidy import Edit, Plan
from rxlint.text import Problem
from rxlint.text.files import ChangedError, linked_file
from tests.conftest import ROOT, RunCli

ROUGH = '# an order\nprescription "x"\n notation   1\nsettings \n  PEEP 5 cmH2O  \n  inspiratory time 1 s'
TIDY = '# an order\nprescription "x"\n  notation  1\n\nsettings\n  PEEP              5 cmH2O\n  inspiratory time  1 s\n'
LOOK_ALIKE = "settings\n  P\u0415EP   5 cmH2O\n"


@pytest.fixture
def rough(tmp_path: Path) -> Path:
    path = tmp_path / "rough.vrx"
    path.write_bytes(ROUGH.encode())
    return path


def test_a_file_is_tidied_in_place(rough: Path, run_cli: RunCli) -> None:
    (rough.parent / "tidy.vrx").write_text(TIDY, "utf-8")
    rough.chmod(0o640)
    found = run_cli("tidy", "rough.vrx", "tidy.vrx")
    assert (found.exit_code, found.stdout, found.stderr) == (
        0,
        "rough.vrx: tidied\n1 file tidied, 1 tidy already.\n",
        "",
    )
    assert rough.read_bytes() == TIDY.encode()
    assert rough.stat().st_mode & 0o777 == 0o640
    assert sorted(each.name for each in rough.parent.iterdir()) == ["rough.vrx", "tidy.vrx"]
    assert run_cli("tidy", "rough.vrx").stdout == "0 files tidied, 1 tidy already.\n"


def test_what_is_tidy_is_not_written(tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "tidy.vrx").write_text(TIDY, "utf-8")
    monkeypatch.setattr(tidying, "write_whole", None)  # a call would fail
    assert run_cli("tidy", "tidy.vrx").exit_code == 0


def test_check_changes_nothing_and_fails(rough: Path, run_cli: RunCli) -> None:
    found = run_cli("tidy", "--check", ".")
    assert (found.exit_code, found.stdout) == (
        1,
        "rough.vrx: would be tidied\n1 file would be tidied, 0 tidy already.\n",
    )
    assert rough.read_bytes() == ROUGH.encode()
    rough.write_text(TIDY, "utf-8")
    assert run_cli("tidy", "--check", ".").exit_code == 0


def test_diff_shows_and_changes_nothing(rough: Path, run_cli: RunCli) -> None:
    found = run_cli("tidy", "--diff", "rough.vrx")
    assert found.exit_code == 0
    assert found.stdout == (
        "--- rough.vrx\n+++ rough.vrx (tidied)\n@@ -1,6 +1,7 @@\n # an order\n"
        ' prescription "x"\n- notation   1\n-settings \n-  PEEP 5 cmH2O  \n-  inspiratory time 1 s\n'
        "\\ No newline at end of file\n+  notation  1\n+\n+settings\n+  PEEP              5 cmH2O\n"
        "+  inspiratory time  1 s\n"
    )
    assert rough.read_bytes() == ROUGH.encode()
    both = run_cli("tidy", "--diff", "--check", "rough.vrx")
    assert (both.exit_code, both.stdout) == (1, found.stdout)


def test_standard_input_goes_to_standard_output(run_cli: RunCli) -> None:
    found = run_cli("tidy", "-", input=ROUGH)
    assert (found.exit_code, found.stdout_bytes, found.stderr) == (0, TIDY.encode(), "")
    assert run_cli("tidy", "-", "--check", "--as", "ward.vrx", input=ROUGH).stdout.startswith("ward.vrx: would be")
    assert run_cli("tidy", "-", "--check", input=TIDY).exit_code == 0
    assert run_cli("tidy", "-", "--diff", input=ROUGH).stdout.startswith("--- <standard input>\n")


@pytest.mark.parametrize("text", ["\ufeff" + ROUGH, ROUGH.replace("\n", "\r\n")])
def test_a_mark_and_line_ends_are_kept(text: str, rough: Path, run_cli: RunCli) -> None:
    rough.write_bytes(text.encode())
    assert run_cli("tidy", "rough.vrx").exit_code == 0
    after = rough.read_bytes().decode()
    assert after.startswith("\ufeff") == text.startswith("\ufeff")
    assert after.count("\r\n") == (TIDY.count("\n") if "\r" in text else 0)
    assert after.lstrip("\ufeff").replace("\r\n", "\n") == TIDY
    assert run_cli("tidy", "-", input=text.encode()).stdout_bytes == after.encode()


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"settings\n  PEEP\xff 5\n", "bad.vrx:2:7: the file is not UTF-8 text"),
        (b"settings\x00\n", "bad.vrx:1:9: the file is not text"),
        (b"x" * 5_000_000, "bad.vrx: the file is too large to be a prescription"),
    ],
)
def test_what_is_no_text_is_named_and_left(data: bytes, told: str, rough: Path, run_cli: RunCli) -> None:
    bad = rough.parent / "bad.vrx"
    bad.write_bytes(data)
    found = run_cli("tidy", ".")
    assert found.exit_code == 3
    assert found.stderr.startswith(told)
    assert found.stdout == "rough.vrx: tidied\n1 file tidied, 0 tidy already, 1 not.\n"
    assert bad.read_bytes() == data
    assert rough.read_text("utf-8") == TIDY


def test_standard_input_that_is_no_text_comes_out_as_it_was(run_cli: RunCli) -> None:
    found = run_cli("tidy", "-", input=b"settings \n\xff")
    assert (found.exit_code, found.stdout_bytes) == (3, b"settings \n\xff")
    assert found.stderr.startswith("<standard input>:2:1: the file is not UTF-8 text")


def test_what_is_not_there_or_no_document_is_named(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "empty").mkdir()
    found = run_cli("tidy", "gone.vrx", "empty", "--check")
    assert found.exit_code == 3
    assert "gone.vrx: can't be opened" in found.stderr and "empty: the folder holds no document" in found.stderr


def test_a_line_that_cannot_be_read_is_named_and_left(rough: Path, run_cli: RunCli) -> None:
    rough.write_text("settings\n    PEEP   5\n  rate 20 /min\n" + LOOK_ALIKE, "utf-8")
    found = run_cli("tidy", "rough.vrx")
    assert found.exit_code == 0
    assert found.stderr == (
        "rough.vrx: left as written: lines 2, 5, not read with certainty; `rxlint screen` tells why\n"
    )
    assert rough.read_text("utf-8") == "settings\n    PEEP   5\n  rate  20 /min\n\n" + LOOK_ALIKE


def test_a_section_that_would_read_otherwise_is_named(rough: Path, run_cli: RunCli) -> None:
    rough.write_text("monitoring\n pulse oximeter, kapnograph,\n ECG\n", "utf-8")
    found = run_cli("tidy", "rough.vrx")
    assert "rough.vrx: left as written: section at line 1, which would not read the same\n" in found.stderr
    assert rough.read_text("utf-8") == "monitoring\n pulse oximeter, kapnograph,\n ECG\n"


def test_a_fault_of_ours_damages_no_order(rough: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    """A layout that changes a value is refused, whatever has let it through."""

    def faulty(*_: object) -> Plan:
        return Plan((Edit(5, 6, "  PEEP  6 cmH2O\n"),), (), ())

    monkeypatch.setattr(tidying, "plan", faulty)
    found = run_cli("tidy", "rough.vrx")
    assert (found.exit_code, found.stdout) == (3, "0 files tidied, 0 tidy already, 1 not.\n")
    assert "the tidied text would not read the same" in found.stderr
    assert rough.read_bytes() == ROUGH.encode()
    assert run_cli("tidy", "-", input=ROUGH).stdout_bytes == ROUGH.encode()


def test_a_link_is_followed_in_its_folder_alone(rough: Path, run_cli: RunCli) -> None:
    folder = rough.parent / "ward"
    folder.mkdir()
    (folder / "out.vrx").symlink_to(rough)
    found = run_cli("tidy", folder)
    assert found.exit_code == 3
    assert "out.vrx: is a link that leads out of its folder" in found.stderr
    assert rough.read_bytes() == ROUGH.encode()
    (rough.parent / "link.vrx").symlink_to("rough.vrx")
    assert run_cli("tidy", "link.vrx").stdout.startswith("link.vrx: tidied\n")
    assert (rough.parent / "link.vrx").is_symlink() and rough.read_text("utf-8") == TIDY


def test_a_ring_of_links_is_told(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").symlink_to("b.vrx")
    (tmp_path / "b.vrx").symlink_to("a.vrx")
    assert linked_file(tmp_path / "a.vrx") in (tmp_path / "a.vrx", tmp_path / "b.vrx")
    found = run_cli("tidy", "a.vrx")
    assert found.exit_code == 3 and "a.vrx: can't be opened" in found.stderr


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="the owner of everything may write everywhere")
def test_a_file_that_is_closed_is_named(rough: Path, run_cli: RunCli) -> None:
    rough.chmod(0o444)
    found = run_cli("tidy", "rough.vrx")
    assert found.exit_code == 3 and "rough.vrx: can't be written: Permission denied" in found.stderr


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (ChangedError(errno.EBUSY, "x"), "was changed meanwhile by somebody else; nothing is written"),
        (OSError(errno.ENOSPC, "No space left on device"), "can't be written: No space left on device"),
    ],
)
def test_a_write_that_fails_is_named(
    error: OSError, told: str, rough: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(tidying, "write_whole", fails)
    found = run_cli("tidy", "rough.vrx")
    assert (found.exit_code, found.stderr) == (3, f"rough.vrx: {told}\n")
    assert rough.read_bytes() == ROUGH.encode()


@pytest.mark.parametrize("arguments", [(), ("-", "a.vrx"), ("a.vrx", "--as", "b.vrx"), ("--fix", "a.vrx")])
def test_usage(arguments: tuple[str, ...], run_cli: RunCli) -> None:
    assert run_cli("tidy", *arguments).exit_code == 2


def test_control_characters_do_not_reach_the_terminal(rough: Path, run_cli: RunCli) -> None:
    rough.write_text("settings\n  PEEP 5 cmH2O\n  # \x1b[31m\n", "utf-8")
    found = run_cli("tidy", "--diff", "rough.vrx")
    assert "\x1b" not in found.stdout and "<U+001B>" in found.stdout


def test_the_examples_are_tidy(run_cli: RunCli) -> None:
    found = run_cli("tidy", "--check", "examples", cwd=ROOT)
    assert (found.exit_code, found.stdout.count("\n")) == (0, 1)


def test_tidying_bytes_of_a_problem_keeps_it() -> None:
    assert tidying.tidy_bytes("x", Problem("why")).problem == "why"
