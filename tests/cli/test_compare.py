"""`rxlint compare`: its exit codes, its options, what it says where there is nothing to compare with."""

import json
from pathlib import Path

import pytest

from rxlint.reports.caution import CAUTION
from tests.cli.orders import ON, SOUND
from tests.conftest import RunCli
from tests.library.repositories import Repo, order, repository

SIGNED = SOUND.replace("revision     3", "revision     4").replace("2026-11-02 09:30", "2026-11-03 09:30")
SIGNED = SIGNED.replace("2026-11-02 16:05", "2026-11-03 16:05")
RISE = SIGNED.replace("rise time             150 ms", "rise time             200 ms")
ALONE = SIGNED.replace("PEEP                  5 cmH2O", "PEEP                  7 cmH2O")
KEPT = SOUND.replace("rise time             150 ms", "rise time             200 ms")
ACCEPTED = ALONE + (
    'accepted\n  accept change.alone on PEEP until 2027-01-01 because "the peak is the limit" by "consultant"\n'
)


def files(folder: Path, old: str, new: str) -> tuple[str, str]:
    (folder / "old.vrx").write_text(old, "utf-8")
    (folder / "new.vrx").write_text(new, "utf-8")
    return "old.vrx", "new.vrx"


@pytest.mark.parametrize(
    ("new", "code"),
    [(SOUND, 0), (SIGNED, 0), (RISE, 0), (ALONE, 1), (KEPT, 1), (ACCEPTED, 0), (SOUND.replace("20 /min", "20 bpm"), 0)],
    ids=["same", "signed", "changed", "alone", "revision kept", "accepted", "reworded"],
)
def test_changes_are_no_findings(new: str, code: int, tmp_path: Path, run_cli: RunCli) -> None:
    found = run_cli("compare", *files(tmp_path, SOUND, new), *ON)
    assert found.exit_code == code, found.stdout
    assert found.stdout.splitlines()[-1] == CAUTION


def test_the_lowest_level_that_fails_is_an_option(tmp_path: Path, run_cli: RunCli) -> None:
    given = files(tmp_path, SOUND, ALONE)
    codes = [
        run_cli("compare", *given, *ON, "--fail-at", level).exit_code for level in ("never", "reject", "query", "note")
    ]
    assert codes == [0, 0, 1, 1]


def test_an_accepted_finding_is_kept_and_does_not_count(tmp_path: Path, run_cli: RunCli) -> None:
    lines = run_cli("compare", *files(tmp_path, SOUND, ACCEPTED), *ON).stdout.splitlines()
    assert any(": accepted query: PEEP (5 cmH2O -> 7 cmH2O) was changed" in line for line in lines)
    assert "1 accepted" in lines[-2]
    late = run_cli("compare", "old.vrx", "new.vrx", "--on", "2027-01-02")
    assert late.exit_code == 1


def test_an_acceptance_of_a_change_is_not_unneeded_in_a_screening(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(
        SOUND.replace("\nchecked", "\naccepted" + ACCEPTED.split("\naccepted")[1] + "\nchecked"), "utf-8"
    )
    assert "governance.acceptance-unneeded" not in run_cli("screen", "a.vrx", *ON).stdout


def test_a_screening_asks_no_rule_of_changes(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(KEPT, "utf-8")
    lines = run_cli("screen", "a.vrx", *ON, "--coverage").stdout.splitlines()
    rows = [line.split() for line in lines if "change." in line or "library.revision-kept" in line]
    assert len(rows) == 11
    assert all(row[:3] == ["does", "not", "apply"] for row in rows)
    assert "change.alone" in run_cli("rules").stdout
    assert "before: mode A/C-PC" in run_cli("rules", "change.alone").stdout


def test_two_folders_are_matched_by_identifier_and_path(tmp_path: Path, run_cli: RunCli) -> None:
    for name, text in {
        "then/a.vrx": SOUND,
        "then/gone.vrx": order("TM-8"),
        "then/same.vrx": order("TM-7"),
        "now/ward/b.vrx": RISE,
        "now/come.vrx": order("TM-9"),
        "now/same.vrx": order("TM-7"),
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    found = json.loads(run_cli("compare", "then", "now", *ON, "--format", "json").stdout)
    told = [(each["old_path"], each["path"], each["status"], each["renamed"]) for each in found["documents"]]
    assert told == [
        (None, "now/come.vrx", "new", False),
        ("then/a.vrx", "now/ward/b.vrx", "compared", True),
        ("then/gone.vrx", None, "deleted", False),
    ]


def test_what_is_new_or_gone_is_told_apart(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "then").mkdir()
    (tmp_path / "now").mkdir()
    (tmp_path / "now" / "a.vrx").write_text(SOUND, "utf-8")
    there, back = run_cli("compare", "then", "now", *ON), run_cli("compare", "now", "then", *ON)
    assert there.stdout.splitlines()[0] == "now/a.vrx is new: rxlint screen reads it for itself"
    assert back.stdout.splitlines()[0] == "now/a.vrx is gone"
    assert (there.exit_code, back.exit_code) == (0, 0)


def test_two_orders_are_no_change_of_one(tmp_path: Path, run_cli: RunCli) -> None:
    other = KEPT.replace("TM-0417", "TM-0418")
    found = run_cli("compare", *files(tmp_path, SOUND, other), *ON)
    assert found.exit_code == 0
    assert "the two say that they are different documents" in found.stdout


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ([], "name OLD and NEW"),
        (["old.vrx"], "name OLD and NEW"),
        (["old.vrx", "nothing.vrx"], "nothing.vrx is not there"),
        (["old.vrx", "."], "name two files or two folders"),
        (["--since", "HEAD"], "not a git repository"),
        (["--since", "--output=x"], "names no revision"),
        (["old.vrx", "new.vrx", "--on", "tomorrow"], "is not a date"),
        (["old.vrx", "new.vrx", "--policy", "nothing.yaml"], "nothing.yaml"),
    ],
)
def test_nothing_to_compare_with_is_a_fault_of_usage(
    arguments: list[str], told: str, tmp_path: Path, run_cli: RunCli
) -> None:
    files(tmp_path, SOUND, SOUND)
    if "--output=x" in arguments:
        repository(tmp_path / "inner")
        found = run_cli("compare", *arguments, cwd=tmp_path / "inner")
    else:
        found = run_cli("compare", *arguments)
    assert (found.exit_code, found.stdout) == (2, "")
    assert told in found.stderr


@pytest.mark.parametrize("which", ["old.vrx", "new.vrx"])
def test_a_text_that_can_t_be_read_never_looks_clean(which: str, tmp_path: Path, run_cli: RunCli) -> None:
    files(tmp_path, SOUND, SOUND.replace("5 cmH2O", "6 cmH2O"))
    (tmp_path / which).write_bytes(b"\xff\xfe")
    found = run_cli("compare", "old.vrx", "new.vrx", *ON)
    assert found.exit_code == 3
    assert f"{which}:1:1: unread: the file is not UTF-8 text" in found.stdout


def test_a_fault_in_the_settings_keeps_a_document_from_being_compared(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "rxlint.yaml").write_text("policies: [nothing.yaml]\n", "utf-8")
    found = run_cli("compare", *files(tmp_path, SOUND, RISE), *ON)
    assert found.exit_code == 2 and "not compared" in found.stdout
    assert run_cli("compare", "old.vrx", "new.vrx", *ON, "--settings", "none").exit_code == 0


POLICY = """pack: ward
revision: 1
summary: What a ward asks of changes
uses: [change]
adjust:
  - {term: largest step of PEEP, of: change, to: 1 cmH2O, because: one step at a time}
  - {rule: change.alone, level: note, because: the ward looks at every change}
"""


def test_a_policy_sets_the_steps_and_the_levels_of_its_site(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "ward.yaml").write_text(POLICY, "utf-8")
    found = run_cli("compare", *files(tmp_path, SOUND, ALONE), *ON, "--policy", "ward.yaml")
    assert "PEEP goes from 5 cmH2O to 7 cmH2O: a step of 2 cmH2O, where 1 cmH2O is the most at once" in found.stdout
    assert ": note: PEEP (5 cmH2O -> 7 cmH2O) was changed" in found.stdout
    assert "Policies: ward revision 1." in found.stdout


# ---- --since


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    return repository(tmp_path / "orders")


def test_the_work_tree_against_a_revision(repo: Repo, run_cli: RunCli) -> None:
    repo.write("a b.vrx", SOUND)
    repo.write("old name.vrx", order("TM-2"))
    repo.write("gone.vrx", order("TM-3"))
    repo.write("same.vrx", order("TM-4"))
    repo.commit()
    repo.write("a b.vrx", ALONE)
    repo.write("new name.vrx", order("TM-2").replace("after 10 s", "after 10000 ms"))
    (repo.folder / "old name.vrx").unlink()
    (repo.folder / "gone.vrx").unlink()
    repo.write("come.vrx", order("TM-5"))
    found = run_cli("compare", "--since", "HEAD", *ON, cwd=repo.folder)
    lines = found.stdout.splitlines()
    assert found.exit_code == 1
    assert lines[0] == "a b.vrx against HEAD:a b.vrx"
    assert "come.vrx is new: rxlint screen reads it for itself" in lines
    assert "new name.vrx against HEAD:old name.vrx, which had another name" in lines
    assert "    reworded    alarm disconnection: after 10 s -> after 10000 ms" in lines
    assert "HEAD:gone.vrx is gone" in lines
    assert lines[-2].startswith("1 changed, 1 alike, 1 new, 1 gone. Of the changes: 0 to reject, 1 query")
    assert not any("same.vrx" in line for line in lines)


def test_the_paths_that_are_named_alone_are_compared(repo: Repo, run_cli: RunCli) -> None:
    repo.write("ward/a.vrx", order("TM-1"))
    repo.write("home/b.vrx", order("TM-2"))
    repo.commit()
    repo.write("ward/a.vrx", order("TM-1", peep="6"))
    repo.write("home/b.vrx", order("TM-2", peep="6"))
    found = run_cli("compare", "--since", "HEAD", "ward", *ON, "--format", "json", cwd=repo.folder)
    assert [each["path"] for each in json.loads(found.stdout)["documents"]] == ["ward/a.vrx"]


def test_a_shallow_clone_says_what_to_do(repo: Repo, tmp_path: Path, run_cli: RunCli) -> None:
    repo.write("a.vrx", order())
    first = repo.commit()
    repo.write("a.vrx", order(peep="6"))
    repo.commit()
    repo.git("clone", "--quiet", "--depth", "1", f"file://{repo.folder}", tmp_path / "clone")
    found = run_cli("compare", "--since", first, cwd=tmp_path / "clone")
    assert (found.exit_code, found.stdout) == (2, "")
    assert "this clone is shallow" in found.stderr and "git fetch --unshallow" in found.stderr


def test_names_with_control_characters_reach_no_terminal(repo: Repo, run_cli: RunCli) -> None:
    name = "a\x1b[31m\nb.vrx"
    repo.write(name, order())
    repo.commit()
    repo.write(name, order(peep="6"))
    for form in ("text", "markdown", "json"):
        found = run_cli("compare", "--since", "HEAD", *ON, "--format", form, cwd=repo.folder)
        assert "\x1b" not in found.stdout
        assert not any(line.startswith("b.vrx") for line in found.stdout.splitlines())


def test_markdown_is_a_comment_of_a_review(tmp_path: Path, run_cli: RunCli) -> None:
    found = run_cli("compare", *files(tmp_path, SOUND, ALONE), *ON, "--format", "markdown")
    lines = found.stdout.splitlines()
    assert found.exit_code == 1
    assert lines[:3] == ["## What changed in the orders", "", "### `new.vrx`"]
    assert "| changed | `PEEP` | `5 cmH2O` | `7 cmH2O` |  |" in lines
    assert lines[-1] == f"*{CAUTION}*"
