"""`rxlint setup-list`: kept lists of both invented ventilators, exit codes, JSON, and what is refused."""

import json
from pathlib import Path
from typing import Any

import pytest

from rxlint.screening.dials import served
from rxlint.vocabulary import vocabulary
from tests import setup_lists
from tests.cli.orders import ON, SOUND
from tests.conftest import ROOT, RunCli
from tests.reports.test_json import faults

EXAMPLES = ROOT / "examples"
FELL, HOLM = (str(EXAMPLES / "profiles" / name) for name in ("fell.yaml", "holm.yaml"))
NIGHT = EXAMPLES / "sound" / "TM-0513-adult-neuromuscular-night.vrx"
CHILD = EXAMPLES / "sound" / "TM-0417-tracheostomy-night.vrx"
TWO = EXAMPLES / "sound" / "TM-0505-adolescent-mouthpiece-day-mask-night.vrx"
PLAIN = """prescription "x"
circuit
  ventilator "Holm"
  limb single with leak port
settings
  mode A/C-PC
  PEEP 5 cmH2O
"""


def lists(run_cli: RunCli, *arguments: str | Path) -> tuple[int, dict[str, Any]]:
    found = run_cli("setup-list", *arguments, *ON, "--format", "json")
    data: dict[str, Any] = json.loads(found.stdout)
    assert faults("setup", data) == []
    return found.exit_code, data


@pytest.mark.parametrize(
    ("order", "ventilator", "path"), [pytest.param(*each, id=each[2].stem) for each in setup_lists.kept()]
)
def test_a_kept_list_is_as_it_was(order: str, ventilator: str, path: Path) -> None:
    assert path.read_text("utf-8") == setup_lists.text_of(order, ventilator), "python -m tests.setup_lists --write"


def test_every_kept_list_is_still_made() -> None:
    assert {path for _, _, path in setup_lists.kept()} == set(setup_lists.KEPT.glob("*.txt"))


def test_the_settings_of_the_folder_give_the_profile_and_a_whole_list_is_exit_0(run_cli: RunCli) -> None:
    code, data = lists(run_cli, NIGHT, "--ventilator", "holm")
    assert code == 0
    assert (data["can_be_keyed_in"], data["stops"], data["to_reject"]) == (True, [], [])
    assert data["ventilator"]["name"] == "Holm"
    (period,) = data["periods"]
    assert (period["period"], period["mode"], period["open"], period["lacking"]) == ("night", "S/T-PS", [], [])
    (terrace,) = [
        each for each in period["lines"] if each["term"] == "inspiratory pressure" or each["name"] == "terrace"
    ]
    assert (terrace["state"], terrace["keyed"], terrace["number"]) == ("near", "1.15 kPa above PEEP", 1.15)
    assert (terrace["unit"], terrace["above"], terrace["as_prescribed"]) == ("kPa", "PEEP", False)
    assert [each["order"] for each in period["lines"]] == list(range(1, len(period["lines"]) + 1))


def test_one_period_or_all(run_cli: RunCli) -> None:
    _, data = lists(run_cli, TWO, "--ventilator", "Holm")
    assert [each["period"] for each in data["periods"]] == ["night", "as needed"]
    _, data = lists(run_cli, TWO, "--ventilator", "Holm", "--period", "as needed")
    assert [(each["period"], each["mode"]) for each in data["periods"]] == [("as needed", "A/C-PC")]


def test_a_finding_to_reject_stops_the_list_which_is_still_made(tmp_path: Path, run_cli: RunCli) -> None:
    wrong = SOUND.replace("12 cmH2O above PEEP", "17 cmH2O above PEEP").replace("allow 10 to 15", "allow 10 to 20")
    (tmp_path / "a.vrx").write_text(wrong, "utf-8")
    found = run_cli("setup-list", "a.vrx", "--ventilator", "Fell", "--profile", FELL, *ON)
    assert found.exit_code == 1
    head = found.stdout.splitlines()[1]
    assert head.startswith("NOT TO BE KEYED IN as it stands: ") and "to reject stand" in head
    assert "[relation.broken]" in found.stdout
    assert "carry roof      22 cmH2O above ambient" in found.stdout
    code, data = lists(run_cli, "a.vrx", "--ventilator", "Fell", "--profile", FELL)
    assert code == 1 and not data["can_be_keyed_in"]
    assert "relation.broken" in {each["rule"] for each in data["to_reject"]}


def test_the_order_s_own_ventilator_is_taken_and_another_one_is_told(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(PLAIN, "utf-8")
    _, data = lists(run_cli, "a.vrx", "--profile", HOLM)
    assert data["ventilator"]["name"] == "Holm"
    code, data = lists(run_cli, "a.vrx", "--profile", HOLM, "--profile", FELL, "--ventilator", "Fell")
    assert code == 1
    assert "the prescription names the ventilator Holm, and this list is for Fell" in data["stops"]


@pytest.mark.parametrize("status", ["draft", "withdrawn"])
def test_an_order_that_is_not_active_is_not_keyed_in(tmp_path: Path, run_cli: RunCli, status: str) -> None:
    (tmp_path / "a.vrx").write_text(
        NIGHT.read_text("utf-8").replace("status     active", f"status     {status}"), "utf-8"
    )
    code, data = lists(run_cli, "a.vrx", "--profile", HOLM, "--ventilator", "Holm")
    assert code == 1
    assert f"the prescription is not active: its status is {status}" in data["stops"]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((str(CHILD),), "the prescription names no ventilator: give --ventilator NAME"),
        ((str(CHILD), "--ventilator", "Fel"), "there is no profile of the ventilator Fel; did you mean Fell?"),
        ((str(CHILD), "--ventilator", "Other"), "there is no profile of the ventilator Other; there are Fell, Holm"),
        ((str(CHILD), "--ventilator", "Fell", "--period", "nigth"), "there is no period nigth; did you mean night?"),
        (
            (str(EXAMPLES / "templates" / "newborn-tube.vrx"), "--ventilator", "Fell"),
            "is a template: a set-up list is made of",
        ),
        ((str(EXAMPLES / "sound"), "--ventilator", "Fell"), "made of one prescription; name its file"),
        ((str(CHILD), "--ventilator", "Fell", "--profile", "nowhere.yaml"), "nowhere.yaml:1:1: can't be opened"),
    ],
)
def test_what_no_list_can_be_made_of(run_cli: RunCli, arguments: tuple[str, ...], told: str) -> None:
    found = run_cli("setup-list", *arguments, *ON)
    assert found.exit_code == 2
    assert told in found.stderr
    assert found.stdout == ""


def test_a_file_that_can_t_be_read(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_bytes(b"\xff\x00")
    for name in ("a.vrx", "nowhere.vrx"):
        found = run_cli("setup-list", name, "--ventilator", "Fell", "--profile", FELL, *ON)
        assert found.exit_code == 3
        assert found.stderr.startswith(f"{name}: unread: ")


def test_screening_holds_an_order_against_the_profile_of_its_ventilator(tmp_path: Path, run_cli: RunCli) -> None:
    named = SOUND.replace("circuit\n", 'circuit\n  ventilator      "Holm"\n')
    (tmp_path / "a.vrx").write_text(named, "utf-8")
    with_profile = run_cli("screen", "a.vrx", "--profile", HOLM, *ON)
    assert "query" in with_profile.stdout or "reject" in with_profile.stdout
    assert (
        "reject: rise time can't be set on Holm: this ventilator has no place for 150 ms; "
        "the nearest it takes: 2 (100 ms) or 3 (200 ms) [profile.not-settable]"
    ) in with_profile.stdout
    without = run_cli("screen", "a.vrx", "--coverage", *ON)
    assert "[profile." not in without.stdout
    assert "not checked     profile.not-settable  no ventilator profiles are given" in without.stdout
    unknown = run_cli("screen", "a.vrx", "--profile", FELL, *ON)
    assert "query: there is no profile of the ventilator Holm; the site has Fell [profile.unknown]" in unknown.stdout


@pytest.mark.parametrize("path", sorted((EXAMPLES / "sound").glob("*.vrx")), ids=lambda path: path.stem)
@pytest.mark.parametrize("ventilator", setup_lists.VENTILATORS)
def test_nothing_that_is_ordered_is_left_out_in_silence(path: Path, ventilator: str) -> None:
    """Every setting and alarm is keyed in by some line, set elsewhere, or told to be beyond the ventilator."""
    for sheet in setup_lists.list_of(path.stem, ventilator).sheets:
        facts = sheet.facts
        keyed = {key for line in sheet.lines for key in served(line.key, facts.mode)}
        elsewhere = {what.partition(",")[0] for what, _ in sheet.beside}
        lacking = {key for key, _ in sheet.lacking}
        has_mode = all(line.keyed for line in sheet.lines if line.key == "mode")
        for key, stated in facts.scope.by_key.items():
            term = vocabulary().terms.get(key)
            if term is None or term.kind not in ("value", "limit") or stated.block.section == "oxygen":
                continue
            told = key in keyed | lacking or key.removeprefix("alarm ") in elsewhere
            is_setting = stated.block.section in ("settings", "back-up")
            assert told or key in facts.off or (is_setting and not has_mode), key
        for line in sheet.lines:
            assert bool(line.keyed) == (line.state in ("set", "near"))
            assert line.keyed or line.why
