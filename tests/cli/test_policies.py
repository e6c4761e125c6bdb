"""Policies on the command line: the nearest settings of each input, --policy above them, and what reports tell."""

import json
from pathlib import Path
from typing import Any

import pytest

from rxlint.library import rulings
from rxlint.packs.stack import Stack
from rxlint.screening.ruleset import RuleSet, prepare_stack
from tests.cli.orders import NOTE, ON, SLIP, SOUND
from tests.conftest import ROOT, RunCli
from tests.packs.policies import row, text_of
from tests.reports.test_json import faults

AT = "PEEP 5 cmH2O lies above {} cmH2O, the most that {} allows here [site.peep]"
EXAMPLES = ROOT / "examples"


def limit(most: int, name: str = "ward", extra: str = "", level: str = "query") -> str:
    """A policy that allows PEEP up to a limit; the sound order has 5."""
    return text_of(row("limits", f"of: PEEP; allow: up to {most} cmH2O{extra}", "site.peep", level), name)


def site(folder: Path, policy: str | None, settings: str = "policies: [ward.yaml]\n", order: str = SOUND) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "a.vrx").write_text(order, "utf-8")
    (folder / "rxlint.yaml").write_text(settings, "utf-8")
    if policy is not None:
        (folder / "ward.yaml").write_text(policy, "utf-8")
    return folder


def report(run_cli: RunCli, *arguments: str | Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(run_cli("screen", *arguments, *ON, "--format", "json").stdout)
    assert faults("screen", found) == []
    return found


def test_every_input_has_the_settings_of_its_own_folder(tmp_path: Path, run_cli: RunCli) -> None:
    site(tmp_path / "north", limit(4, "north"))
    site(tmp_path / "south" / "deep", limit(3, "south"))
    (tmp_path / "plain").mkdir()
    (tmp_path / "plain" / "a.vrx").write_text(SOUND, "utf-8")
    found = run_cli("screen", "north", "south", "plain", *ON)
    assert found.exit_code == 1
    lines = [line for line in found.stdout.splitlines() if "site.peep" in line]
    assert [line.split(": query: ")[1] for line in lines] == [AT.format(4, "north"), AT.format(3, "south")]
    assert "    set by      north revision 2, north/ward.yaml:6" in found.stdout.splitlines()
    assert "Policies: north revision 2, south revision 2." in found.stdout
    data = report(run_cli, "north", "south", "plain")
    assert [each["policies"] for each in data["documents"]] == [["north"], ["south"], []]
    (finding,) = data["documents"][0]["findings"]
    (origin,) = finding["policy"]
    assert origin == {
        "name": "north", "revision": 2, "path": "north/ward.yaml", "line": 6, "sets": "rule", "change": None,
    }  # fmt: skip
    assert [(each["name"], each["path"], each["loosens"]) for each in data["policies"]] == [
        ("north", "north/ward.yaml", []),
        ("south", "south/deep/ward.yaml", []),
    ]
    assert [each["policy"][0]["name"] for each in data["rules"] if each["id"] == "site.peep"] == ["north", "south"]
    assert {each["name"] for each in data["packs"]} >= {"north", "south", "pressure"}


def test_settings_can_be_left_unread(tmp_path: Path, run_cli: RunCli) -> None:
    site(tmp_path / "north", limit(4))
    found = run_cli("screen", "north", *ON, "--settings", "none")
    assert found.exit_code == 0 and "Policies" not in found.stdout
    data = report(run_cli, "north", "--settings", "none")
    assert (data["policies"], data["documents"][0]["policies"]) == ([], [])


@pytest.mark.parametrize(
    ("settings", "policy", "told"),
    [
        (
            "policies: [wrad.yaml]\n",
            limit(4),
            "north/rxlint.yaml:1:12: policies: there is no file wrad.yaml; did you mean ward.yaml?",
        ),
        (
            "policies: [../ward.yaml]\n",
            limit(4),
            "north/rxlint.yaml:1:12: policies: ../ward.yaml leads out of the folder",
        ),
        (
            "policies: [ward.yaml]\n",
            limit(4).replace("level: query", "level: qery"),
            "north/ward.yaml:7:12: level is one of reject, query, note, not qery; did you mean query?",
        ),
        ("policies: [ward.yaml]\n", "x", "north/ward.yaml:1:1: a pack is a mapping"),
        ("packs: [ward.yaml]\n", limit(4), "north/ward.yaml:1:1: is a policy: name it as one, not as a pack"),
        (
            "policies: [ward.yaml, two.yaml]\n",
            limit(4, extra="; final: true"),
            "north/two.yaml:6:5: site.peep is final in ward (north/ward.yaml:6) and can't be replaced",
        ),
    ],
)
def test_a_fault_in_settings_keeps_its_own_documents_from_being_screened_and_no_others(
    settings: str, policy: str, told: str, tmp_path: Path, run_cli: RunCli
) -> None:
    site(tmp_path / "north", policy, settings, SLIP)
    (tmp_path / "north" / "two.yaml").write_text(limit(3, "two"), "utf-8")
    (tmp_path / "north" / "b.vrx").write_text(SLIP, "utf-8")
    site(tmp_path / "south", limit(3, "south"))
    found = run_cli("screen", "north", "south", *ON)
    assert (found.exit_code, found.stderr) == (2, "")
    lines = found.stdout.splitlines()
    assert [line.split(": not screened: ")[0] for line in lines if ": not screened: " in line] == [
        "north/a.vrx",
        "north/b.vrx",
    ]
    assert all(told in line for line in lines if ": not screened: " in line), lines
    assert any(AT.format(3, "south") in line for line in lines)
    assert "3 documents: 0 to reject, 1 query, 0 notes, 2 not screened." in found.stdout
    data = report(run_cli, "north", "south")
    assert [len(each["problems"]) for each in data["documents"]] == [1, 1, 0]
    assert (data["summary"]["not_screened"], data["summary"]["unread"]) == (2, 0)
    assert run_cli("screen", "north", "south", *ON, "--fail-at", "never").exit_code == 2


def test_many_faults_are_counted_and_not_all_told_for_every_document(tmp_path: Path, run_cli: RunCli) -> None:
    rows = "".join(row("", "terms: [PEEPP]", f"site.n{number}").removeprefix(":\n") for number in range(8))
    site(tmp_path / "north", text_of("demand:\n" + rows, "ward"))
    found = run_cli("screen", "north", *ON)
    assert found.stdout.count(": not screened: ") == 6 and "and 3 more faults" in found.stdout


def test_a_policy_of_the_command_line_stands_above_the_settings(tmp_path: Path, run_cli: RunCli) -> None:
    site(tmp_path / "north", limit(9, level="note"))
    (tmp_path / "network.yaml").write_text(limit(4, "network", level="reject"), "utf-8")
    found = run_cli("screen", "north", *ON, "--policy", "network.yaml")
    assert found.exit_code == 1
    assert f"reject: {AT.format(4, 'network')}" in found.stdout
    assert (
        "Policies: ward revision 2, network revision 2. ward does not decide site.peep: network decides."
        in found.stdout
    )
    data = report(run_cli, "north", "--policy", "network.yaml")
    assert data["documents"][0]["policies"] == ["ward", "network"]
    assert [(each["name"], each["overruled"]) for each in data["policies"]] == [
        ("ward", ["site.peep: network decides"]),
        ("network", []),
    ]


def test_policies_of_the_command_line_go_from_the_widest_to_the_nearest(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    (tmp_path / "network.yaml").write_text(limit(4, "network"), "utf-8")
    (tmp_path / "ward.yaml").write_text(limit(9), "utf-8")
    found = run_cli("screen", "a.vrx", *ON, "--policy", "network.yaml", "--policy", "ward.yaml")
    assert found.exit_code == 0
    told = (
        "Policies: network revision 2, ward revision 2. ward loosens site.peep: up to 9 cmH2O instead of up to 4 cmH2O."
    )
    assert told in found.stdout
    found = run_cli("screen", "a.vrx", *ON, "--policy", "ward.yaml", "--policy", "network.yaml")
    assert found.exit_code == 1 and "loosens" not in found.stdout
    data = report(run_cli, "a.vrx", "--policy", "network.yaml", "--policy", "ward.yaml")
    assert [each["loosens"] for each in data["policies"]] == [
        [],
        ["site.peep: up to 9 cmH2O instead of up to 4 cmH2O"],
    ]


def test_a_fault_in_a_policy_of_the_command_line_ends_the_run(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    (tmp_path / "ward.yaml").write_text(limit(9).replace("PEEP", "PEEPP"), "utf-8")
    found = run_cli("screen", "a.vrx", *ON, "--policy", "ward.yaml")
    assert (found.exit_code, found.stdout) == (2, "")
    assert found.stderr.startswith("Error: a policy can't be used:\nward.yaml:9:9: of: there is no term PEEPP")
    found = run_cli("screen", "a.vrx", *ON, "--policy", "nowhere.yaml")
    assert found.exit_code == 2 and "nowhere.yaml:1:1: can't be opened" in found.stderr
    (tmp_path / "ward.yaml").write_text(limit(9), "utf-8")
    found = run_cli("screen", "a.vrx", *ON, "--pack", "ward.yaml")
    assert found.exit_code == 2 and "ward.yaml:1:1: is a policy: name it as one, not as a pack" in found.stderr


def test_packs_of_the_settings(tmp_path: Path, run_cli: RunCli) -> None:
    site(tmp_path / "north", None, "packs: [own.yaml]\n")
    (tmp_path / "north" / "own.yaml").write_text(NOTE, "utf-8")
    assert "PEEP is 5 cmH2O [ward.note]" in run_cli("screen", "north", *ON).stdout
    # the same pack may be named on the command line too
    assert "PEEP is 5 cmH2O [ward.note]" in run_cli("screen", "north", *ON, "--pack", "north/own.yaml").stdout
    other = NOTE.replace("PEEP < 5", "PEEP < 4")
    (tmp_path / "other.yaml").write_text(other, "utf-8")
    found = run_cli("screen", "north", *ON, "--pack", "other.yaml")
    assert found.exit_code == 2 and "ward.note is a rule of other.yaml already" in found.stdout


def test_standard_input_belongs_to_the_folder_of_its_name(tmp_path: Path, run_cli: RunCli) -> None:
    north = site(tmp_path / "north", limit(4, "north"))
    site(tmp_path, limit(3, "here"))
    assert AT.format(3, "here") in run_cli("screen", "-", *ON, input=SOUND).stdout
    assert AT.format(3, "here") in run_cli("screen", "-", "--as", "b.vrx", *ON, input=SOUND).stdout
    assert AT.format(4, "north") in run_cli("screen", "-", "--as", "north/b.vrx", *ON, input=SOUND).stdout
    assert AT.format(3, "here") in run_cli("screen", "-", "--as", "nowhere/b.vrx", *ON, input=SOUND).stdout
    assert AT.format(4, "north") in run_cli("screen", "-", *ON, input=SOUND, cwd=north).stdout


def test_rules_are_prepared_once_for_all_folders_under_the_same_settings(
    tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    site(tmp_path / "north", limit(4, "north"))
    for name in ("one", "two", "three"):
        (tmp_path / "north" / name).mkdir()
        (tmp_path / "north" / name / "a.vrx").write_text(SOUND, "utf-8")
    made: list[Stack] = []

    def counted(stack: Stack) -> RuleSet:
        made.append(stack)
        return prepare_stack(stack)

    monkeypatch.setattr(rulings, "prepare_stack", counted)
    assert run_cli("screen", "north", *ON).stdout.count("site.peep") == 4
    assert len(made) == 1
    (tmp_path / "plain").mkdir()
    (tmp_path / "plain" / "a.vrx").write_text(SOUND, "utf-8")
    made.clear()
    run_cli("screen", "plain", *ON)
    assert made == []  # without a policy nothing is done for one


def test_rules_and_pages_show_what_a_policy_made_of_them(tmp_path: Path, run_cli: RunCli) -> None:
    body = row("limits", "of: PEEP; allow: up to 4 cmH2O", "site.peep")
    body += "must be checked: [site.peep]\nadjust:\n  - {rule: pressure.oxygen-ladder, level: note, because: x}\n"
    (tmp_path / "ward.yaml").write_text(text_of(body, "ward"), "utf-8")
    listed = run_cli("rules", "--policy", "ward.yaml").stdout.splitlines()
    assert any("site.peep" in line and line.endswith("PEEP lies above 4 cmH2O  (set by ward)") for line in listed)
    assert any("pressure.oxygen-ladder" in line and line.endswith("(level by ward)") for line in listed)
    page = run_cli("rules", "site.peep", "--policy", "ward.yaml").stdout.splitlines()
    assert "basis     policy (the site's own decision)" in page
    assert "set by    ward revision 2, ward.yaml:6" in page
    assert any(line.startswith("asked by  ward revision 2, ward.yaml:1") for line in page)
    page = run_cli("rules", "pressure.oxygen-ladder", "--policy", "ward.yaml").stdout.splitlines()
    assert "level     note" in page and "level by  ward revision 2, ward.yaml:13: note as before" in page
    assert run_cli("rules", "site.peep").exit_code == 2


def test_one_rule_is_explained_and_coverage_lists_where_rows_come_from(tmp_path: Path, run_cli: RunCli) -> None:
    site(tmp_path / "north", limit(4, "north"))
    found = run_cli("screen", "north/a.vrx", *ON, "--explain", "site.peep").stdout
    assert "north/a.vrx: site.peep is broken" in found and "PEEP <= 4 cmH2O = no" in found
    listed = run_cli("screen", "north/a.vrx", *ON, "--coverage").stdout.splitlines()
    assert "    broken          site.peep  set by north revision 2, north/ward.yaml:6" in listed
    (broken,) = [
        each for each in report(run_cli, "north")["documents"][0]["coverage"]["others"] if each["rule"] == "site.peep"
    ]
    assert [each["path"] for each in broken["policy"]] == ["north/ward.yaml"]


def test_what_must_be_checked_keeps_to_the_schema(tmp_path: Path, run_cli: RunCli) -> None:
    site(tmp_path / "north", text_of("must be checked: [pressure]\n", "ward"))
    told = report(run_cli, "north")["documents"][0]["findings"]
    assert {each["outcome"] for each in told} == {"not checked"}
    assert {each["line"] for each in told} == {
        next(n for n, line in enumerate(SOUND.splitlines(), 1) if line.startswith("prescription"))
    }
    assert {each["sets"] for finding in told for each in finding["policy"]} == {"check"}


# ---- the examples


@pytest.mark.parametrize(
    "policies",
    [
        (),
        ("--settings", "none", "--policy", "examples/policies/network.yaml", "--policy", "examples/policies/ward.yaml"),
    ],
    ids=["the settings of the examples", "network and ward"],
)
def test_the_sound_examples_are_sound_under_the_example_policies(policies: tuple[str, ...], run_cli: RunCli) -> None:
    found = run_cli("screen", "examples/sound", "examples/templates", *ON, *policies, cwd=ROOT)
    assert [line for line in found.stdout.splitlines() if ": query: " in line or ": reject: " in line] == []
    assert found.exit_code == 0 and "Policies: " in found.stdout


def test_the_example_ward_loosens_what_it_says_it_does(run_cli: RunCli) -> None:
    policies = ("--policy", "examples/policies/network.yaml", "--policy", "examples/policies/ward.yaml")
    found = run_cli(
        "screen", EXAMPLES / "sound" / "TM-0417-tracheostomy-night.vrx", *ON, *policies, "--settings", "none", cwd=ROOT
    )
    assert "tarnmoor-ward-7 loosens site.epap-mask: 4 to 14 cmH2O instead of 4 to 12 cmH2O; " in found.stdout


def test_a_ward_s_settings_build_on_those_of_its_library(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / ".git").mkdir()
    national = limit(4, "national").replace("site.peep", "national.peep")
    (tmp_path / "national.yaml").write_text(national, "utf-8")
    (tmp_path / "rxlint.yaml").write_text("policies: [national.yaml]\n", "utf-8")
    site(tmp_path / "ward", limit(3), "above: yes\npolicies: [ward.yaml]\n")
    found = run_cli("screen", "ward", *ON)
    assert "Policies: national revision 2, ward revision 2." in found.stdout
    assert AT.format(3, "ward") in found.stdout  # the narrower of the two speaks, the other is told with it
    told = "PEEP 5 cmH2O lies above 4 cmH2O, the most that national allows here [national.peep]"
    assert f"    also        query: {told}" in found.stdout.splitlines()
    (tmp_path / "national.yaml").write_text(national.replace("of: PEEP", "of: PEPP"), "utf-8")
    broken = run_cli("screen", "ward", *ON)
    assert broken.exit_code == 2 and "national.yaml:9:9: of: there is no term PEPP" in broken.stdout


def test_a_row_of_the_wider_policy_is_replaced_where_settings_build_on_it(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / ".git").mkdir()
    (tmp_path / "national.yaml").write_text(limit(4, "national"), "utf-8")
    (tmp_path / "rxlint.yaml").write_text("policies: [national.yaml]\n", "utf-8")
    site(tmp_path / "ward", limit(9), "above: yes\npolicies: [ward.yaml]\n")
    found = run_cli("screen", "ward", *ON)
    assert "ward loosens site.peep: up to 9 cmH2O instead of up to 4 cmH2O." in found.stdout
