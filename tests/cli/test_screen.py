"""What `rxlint screen` prints, and its options."""

import json
from pathlib import Path

import pytest

from rxlint.reports.caution import CAUTION
from tests.cli.orders import AT, ON, SLIP, SOUND, changed, line_of
from tests.conftest import RunCli

PACK = """pack: ward
revision: 1
summary: What a ward asks
rules:
  - id: ward.peep
    level: query
    basis: practice
    title: PEEP is high for the ward
    require: PEEP {operator} {limit}
    say: "PEEP is {{PEEP}}"
    because: the ward's own rule
    source: common practice, no published source
    cases: []
"""


def test_a_clean_run_says_what_was_checked(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    found = run_cli("screen", "a.vrx", *ON)
    closing, caution = found.stdout.splitlines()
    assert closing.startswith("1 document: 0 to reject, 0 queries, 0 notes. ")
    assert "checks made" in closing and caution == CAUTION


def test_a_finding_stands_at_its_place_with_what_is_written(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    lines = run_cli("screen", "a.vrx", *ON).stdout.splitlines()
    assert lines[0] == f"a.vrx:{AT} [notation.glued-unit]"
    assert lines[1] == "    written     rise time             150ms"


def test_a_finding_shows_the_other_places_it_has_to_do_with(tmp_path: Path, run_cli: RunCli) -> None:
    text = changed(
        "  rate                  20 /min\n", "  rate                  20 /min\n  rate                  25 /min\n"
    )
    (tmp_path / "a.vrx").write_text(text, "utf-8")
    first = line_of(text, "rate")
    lines = run_cli("screen", "a.vrx", *ON).stdout.splitlines()
    assert lines[0].startswith(f"a.vrx:{first + 1}:3: reject: ") and lines[0].endswith(" [notation.repeated-term]")
    assert lines[1:3] == [
        "    written     rate                  25 /min",
        f"    line {first}     rate                  20 /min",
    ]


def test_standard_input_bears_the_name_it_is_given(run_cli: RunCli) -> None:
    assert run_cli("screen", "-", *ON, input=SLIP).stdout.startswith(f"<standard input>:{AT}")
    assert run_cli("screen", "-", *ON, "--as", "ward/a.vrx", input=SLIP).stdout.startswith(f"ward/a.vrx:{AT}")
    found = run_cli("screen", "-", *ON, "--as", "a.vrx", "--format", "json", input=SLIP)
    assert [each["path"] for each in json.loads(found.stdout)["documents"]] == ["a.vrx"]


def test_standard_input_may_stand_among_files(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    found = run_cli("screen", "a.vrx", *ON, "-", input=b"\xff\xfe")
    assert f"a.vrx:{AT}" in found.stdout
    assert "<standard input>:1:1: unread: the file is not UTF-8 text" in found.stdout


def test_files_of_a_folder_come_in_order_and_others_are_left_alone(tmp_path: Path, run_cli: RunCli) -> None:
    for name in ("b.vrx", "a/z.vrx", "a/C.VRX", ".hidden.vrx", ".git/x.vrx", "notes.txt"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(SOUND, "utf-8")
    found = json.loads(run_cli("screen", ".", *ON, "--format", "json").stdout)
    assert [each["path"] for each in found["documents"]] == ["b.vrx", "a/C.VRX", "a/z.vrx"]


def test_coverage_lists_every_rule_with_its_outcome(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    ids = [line.split()[1] for line in run_cli("rules").stdout.splitlines() if line.startswith("  ")]
    lines = run_cli("screen", "a.vrx", *ON, "--coverage").stdout.splitlines()
    start = lines.index("checks of a.vrx") + 1
    listed = [line[4:].split() for line in lines[start : start + len(ids)]]
    rows = {next(word for word in words if "." in word): " ".join(words) for words in listed}
    assert list(rows) == ids
    assert rows["notation.glued-unit"] == "broken notation.glued-unit"
    assert rows["notation.unit-missing"] == "met notation.unit-missing"
    assert rows["mode.period-overlap"] == "does not apply mode.period-overlap"


def test_explain_shows_the_value_of_every_part(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "ward.yaml").write_text(PACK.format(operator="<=", limit="4 cmH2O + 0.5 cmH2O"), "utf-8")
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    found = run_cli("screen", "a.vrx", *ON, "--pack", "ward.yaml", "--explain", "ward.peep")
    assert found.exit_code == 1
    assert found.stdout.splitlines() == [
        "a.vrx: ward.peep is broken",
        "  period night",
        "    requires",
        "      PEEP <= 4 cmH2O + 0.5 cmH2O = no",
        "        PEEP = 5 cmH2O",
        "        4 cmH2O + 0.5 cmH2O = 4.5 cmH2O",
    ]


def test_explain_says_so_where_a_rule_has_no_expression(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    found = run_cli("screen", "a.vrx", *ON, "--explain", "notation.glued-unit")
    assert "notation.glued-unit is broken" in found.stdout
    assert "found by reader.glued-unit" in found.stdout


@pytest.mark.parametrize("command", [["screen", ".", "--explain"], ["rules"]])
def test_an_unknown_rule_is_told_with_those_that_are_near(command: list[str], run_cli: RunCli) -> None:
    found = run_cli(*command, "mode.setting-unusd")
    assert (found.exit_code, found.stdout) == (2, "")
    assert "there is no rule mode.setting-unusd; did you mean mode.setting-unused?" in found.stderr


def test_a_pack_of_one_s_own_runs_with_the_others(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "ward.yaml").write_text(PACK.format(operator="<=", limit="4 cmH2O"), "utf-8")
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    found = json.loads(run_cli("screen", "a.vrx", *ON, "--pack", "ward.yaml", "--format", "json").stdout)
    assert sorted(each["rule"] for each in found["documents"][0]["findings"]) == ["notation.glued-unit", "ward.peep"]
    assert found["packs"][-1]["name"] == "ward"
    assert "PEEP is high for the ward" in run_cli("rules", "--pack", "ward.yaml").stdout


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (PACK.format(operator="<=", limit="5 s"), "ward.yaml:9:22: require: "),
        (PACK.format(operator="+ 1 s <=", limit="5 cmH2O"), "ward.yaml:9:21: require: "),
        (PACK.format(operator="<=", limit="5 cmH2O").replace("ward.peep", "mode.cpap"), None),
        (PACK.format(operator="<=", limit="5 cmH2O").replace("ward.peep", "mode.setting-unused"), "ward.yaml:5:5: "),
        ("", "ward.yaml:1:1: the file is empty"),
    ],
    ids=["unit", "pressure and time", "another's area", "another's id", "empty"],
)
def test_a_pack_at_fault_is_told_with_its_place_and_nothing_is_screened(
    text: str, told: str | None, tmp_path: Path, run_cli: RunCli
) -> None:
    (tmp_path / "ward.yaml").write_text(text, "utf-8")
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    found = run_cli("screen", "a.vrx", *ON, "--pack", "ward.yaml")
    if told is None:
        assert found.exit_code == 1
    else:
        assert (found.exit_code, found.stdout) == (2, "")
        assert told in found.stderr


def test_colour_is_for_terminals_alone(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    assert "\x1b" not in run_cli("screen", "a.vrx", *ON).stdout
    assert "\x1b[33mquery\x1b[0m: 150ms" in run_cli("screen", "a.vrx", *ON, "--colour", "always").stdout


def test_the_list_of_rules_and_a_rule_s_page(run_cli: RunCli) -> None:
    listed = run_cli("rules").stdout.splitlines()
    assert listed[0] == "notation"
    assert any(line.split()[:2] == ["reject", "relation.broken"] for line in listed)
    page = run_cli("rules", "relation.broken").stdout
    for word in (
        "level     reject",
        "basis     contradiction",
        "found by  relations.broken",
        "source",
        "cases",
        "  fires",
    ):
        assert word in page


def test_a_list_of_choices_in_a_correction_says_that_it_restores(tmp_path: Path, run_cli: RunCli) -> None:
    text = changed("time      1 s\n", "time      1 s\n  keep inspiratory time = 0.5 * cycle time\n")
    (tmp_path / "a.vrx").write_text(text, "utf-8")
    found = run_cli("screen", "a.vrx", *ON).stdout
    assert "    restores    inspiratory time 1.5 s instead of 1 s\n" in found


def test_readings_of_a_line_are_offered_as_what_it_may_mean(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text('prescription "x"\nsettings\n  PEEP 5\n', "utf-8")
    assert "    may mean    5 cmH2O | 5 mbar\n" in run_cli("screen", "a.vrx", *ON).stdout
