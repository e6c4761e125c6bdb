"""`rxlint import` from the command line: exit codes, standard input, and every row in the closing line."""

from pathlib import Path

import pytest

from tests.conftest import ROOT, RunCli

HEADER = "id,mode,PEEP [cmH2O],rate [/min]\n"


def test_the_example_tells_its_two_bad_cells(run_cli: RunCli) -> None:
    result = run_cli("import", ROOT / "examples" / "audit-export.csv", "-o", "out")
    assert result.exit_code == 1
    lines = result.stdout.splitlines()
    assert lines[-1] == "4 rows: 4 documents in out, 2 with cells that can't be read."
    assert ":4:11: patient weight measured [kg]: 34,5 has a comma in its number" in lines[0]
    screening = run_cli("screen", "--on", "2026-11-24", "out")
    assert screening.exit_code == 1
    assert 'out/TM-0603.vrx:15:21: reject: ""34,5"" can\'t stand here' in screening.stdout


def test_a_sound_table_is_imported_from_standard_input(run_cli: RunCli, tmp_path: Path) -> None:
    result = run_cli("import", "-", "-o", "a/b", input=HEADER + "TM-1,A/C-PC,5,20\n")
    assert (result.exit_code, result.stdout) == (0, "1 row: 1 document in a/b, 0 with cells that can't be read.\n")
    assert "# Row 2 of <standard input>, imported" in (tmp_path / "a" / "b" / "TM-1.vrx").read_text("utf-8")


@pytest.mark.parametrize(
    ("text", "code", "told"),
    [
        (HEADER.replace("PEEP", "PEP"), 2, "did you mean PEEP?"),
        (HEADER + 'TM-1,"A/C-PC,5,20\n', 3, "is a quotation mark not closed?"),
        (HEADER + "TM-1,A/C-PC,5\n", 1, "the row has 3 cells and the header 4"),
        (HEADER + "TM-1\n", 1, "the row has 1 cell and the header 4"),
        (HEADER + "TM-\0,A/C-PC,5,20\n", 3, "it holds a NUL byte"),
        (HEADER + "TM-1,A/C-PC,5;5,20\n", 1, "<standard input>:2:3: PEEP [cmH2O]: "),
        ("", 3, "the table is empty"),
    ],
)
def test_what_is_wrong_is_told_with_its_exit_code(text: str, code: int, told: str, run_cli: RunCli) -> None:
    result = run_cli("import", "-", "-o", "out", input=text)
    assert result.exit_code == code and told in result.stdout


def test_files_that_are_not_there_or_can_t_be_written_are_told(run_cli: RunCli, tmp_path: Path) -> None:
    assert run_cli("import", "nowhere.csv", "-o", "out").exit_code == 3
    assert run_cli("import", tmp_path, "-o", "out").exit_code == 3
    (tmp_path / "file").write_text("x")
    result = run_cli("import", "-", "-o", "file", input=HEADER + "TM-1,A/C-PC,5,20\n")
    assert result.exit_code == 3 and "can't be imported" in result.stdout


def test_a_second_import_keeps_what_is_there(run_cli: RunCli) -> None:
    text = HEADER + "TM-1,A/C-PC,5,20\n"
    assert run_cli("import", "-", "-o", "out", input=text).exit_code == 0
    again = run_cli("import", "-", "-o", "out", input=text)
    assert again.exit_code == 1 and "1 not written" in again.stdout
    assert run_cli("import", "-", "-o", "out", "--force", input=text).exit_code == 0


def test_delimiter_and_decimal_are_as_they_are_said(run_cli: RunCli, tmp_path: Path) -> None:
    text = "id;inspiratory time [s]\nTM-1;0,8\n"
    assert run_cli("import", "-", "-o", "a", "--decimal", "comma", input=text).exit_code == 0
    assert "0.8 s" in (tmp_path / "a" / "TM-1.vrx").read_text("utf-8")
    assert run_cli("import", "-", "-o", "b", "--delimiter", "tab", input=text).exit_code == 2
