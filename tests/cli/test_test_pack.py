"""`rxlint test-pack`: what an author is told, at which place, and the exit codes."""

from pathlib import Path

import pytest

from tests.conftest import ROOT, RunCli

PACK = """pack: ward
revision: 1
summary: What a ward asks
rules:
  - id: ward.peep
    level: query
    basis: practice
    title: PEEP is high
    require: PEEP <= 10 cmH2O
    say: "PEEP is {PEEP}"
    because: a rule of a test
    source: common practice, no published source
    cases:
      - fires: PEEP 11 cmH2O
      - holds: PEEP 10 cmH2O
      - silent: mode A/C-PC; EPAP 12 cmH2O
"""
SOUND = PACK.replace("      - silent: mode A/C-PC; EPAP 12 cmH2O\n", "")


@pytest.mark.parametrize(
    ("text", "exit_code", "lines"),
    [
        (SOUND, 0, ["ward.yaml: 2 cases run, 0 not what they say; 0 remarks, 0 can't be told"]),
        (
            PACK,
            1,
            [
                "ward.yaml:16:17: ward.peep: silent: asserts nothing: no term that the rule asks about stands in it, "
                "so it can't be checked anyway",
                "ward.yaml: 3 cases run, 0 not what they say; 1 remark, 0 can't be told",
            ],
        ),
        (
            SOUND.replace("PEEP 11", "PEEP 9"),
            1,
            [
                "ward.yaml:14:16: ward.peep: fires: does not fire: ward.peep is met",
                "    values      PEEP 9 cmH2O",
                "    requires    PEEP <= 10 cmH2O: true",
                "ward.yaml: 2 cases run, 1 not what they say; 0 remarks, 0 can't be told",
            ],
        ),
    ],
)
def test_what_is_told(text: str, exit_code: int, lines: list[str], tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "ward.yaml").write_text(text, "utf-8")
    found = run_cli("test-pack", "ward.yaml")
    assert found.stdout.splitlines() == lines
    assert found.exit_code == exit_code


def test_what_can_t_be_told_is_no_fault(tmp_path: Path, run_cli: RunCli) -> None:
    rule = SOUND.replace("PEEP <= 10 cmH2O", "count of filter in assembly <= 3").replace("{PEEP}", "x")
    holds = "holds: assembly ventilator, filter, filter, filter, tubing 180 cm, nasal mask"
    text = rule.replace("      - fires: PEEP 11 cmH2O\n", "").replace("holds: PEEP 10 cmH2O", holds)
    (tmp_path / "ward.yaml").write_text(text, "utf-8")
    found = run_cli("test-pack", "ward.yaml")
    assert "ward.yaml:5:5: ward.peep: can't be told: whether it can ever fire; no case shows it" in found.stdout
    assert found.exit_code == 0


def test_a_pack_that_can_t_be_used_exits_with_2(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "ward.yaml").write_text(SOUND.replace("level: query", "level: querry"), "utf-8")
    (tmp_path / "sound.yaml").write_text(SOUND, "utf-8")
    found = run_cli("test-pack", "ward.yaml", "sound.yaml")
    assert (found.exit_code, found.stdout) == (2, "")
    assert "ward.yaml:6:12: level is one of reject, query, note, not querry; did you mean query?" in found.stderr
    assert run_cli("test-pack", "nowhere.yaml").exit_code == 2
    assert run_cli("test-pack").exit_code == 2


def test_several_packs_are_reviewed_one_after_another(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "ward.yaml").write_text(SOUND, "utf-8")
    (tmp_path / "other.yaml").write_text(PACK.replace("ward", "other"), "utf-8")
    found = run_cli("test-pack", "ward.yaml", "other.yaml")
    assert found.exit_code == 1
    assert [line.partition(":")[0] for line in found.stdout.splitlines()] == ["ward.yaml", "other.yaml", "other.yaml"]


def test_the_policy_of_the_examples_is_sound(run_cli: RunCli) -> None:
    found = run_cli("test-pack", ROOT / "examples" / "tarnmoor-policy.yaml")
    assert (found.exit_code, found.stderr) == (0, "")


def test_python_rules_are_reviewed_too(run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(ROOT / "tests" / "extension_example"))
    found = run_cli("test-pack", "--python-rules", "tarn")
    assert found.stdout == ("tarn (tarn-rules 1.0): 6 cases run, 0 not what they say; 0 remarks, 0 can't be told\n")
    assert found.exit_code == 0
    failed = run_cli("test-pack", "--python-rules", "tarn", "--python-rules", "tarn-unloadable")
    assert failed.exit_code == 3
    assert "the Python rules tarn-unloadable can't be loaded: ModuleNotFoundError" in failed.stderr
