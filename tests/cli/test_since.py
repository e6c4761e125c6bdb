"""`rxlint screen --since`: what it says of its choice, what it screens, and where it refuses."""

import json
from pathlib import Path

import pytest

from tests.cli.orders import ON, REJECT, SLIP, SOUND
from tests.conftest import RunCli
from tests.library.repositories import Repo, repository

NOT_CHANGED = "0 of 2 documents: nothing changed since HEAD\n"


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    made = repository(tmp_path / "library")
    made.write("old/a.vrx", REJECT)
    made.write("old/b.vrx", SOUND.replace("TM-0417", "TM-0418"))
    made.commit()
    return made


def test_what_did_not_change_is_left_out_and_that_is_said(repo: Repo, run_cli: RunCli) -> None:
    found = run_cli("screen", "--since", "HEAD", ".", *ON, cwd=repo.folder)
    assert (found.exit_code, found.stderr) == (0, NOT_CHANGED)
    assert found.stdout.startswith("0 documents: 0 to reject, 0 queries, 0 notes. 0 checks made")


def test_what_changed_is_screened_in_any_format(repo: Repo, run_cli: RunCli) -> None:
    repo.write("new/c.vrx", SLIP.replace("TM-0417", "TM-0419"))
    for form in ("text", "json", "sarif", "junit", "github", "gitlab"):
        found = run_cli("screen", "--since", "HEAD", *ON, "--format", form, cwd=repo.folder)
        assert (found.exit_code, found.stderr) == (1, "1 of 3 documents: 1 changed since HEAD\n")
        assert "new/c.vrx" in found.stdout and "a.vrx" not in found.stdout
    found = run_cli("screen", "--since", "HEAD", *ON, "--format", "json", cwd=repo.folder)
    assert [each["path"] for each in json.loads(found.stdout)["documents"]] == ["new/c.vrx"]


def test_a_part_of_the_repository_may_be_named_from_within(repo: Repo, run_cli: RunCli) -> None:
    repo.write("new/c.vrx", SLIP.replace("TM-0417", "TM-0419"))
    assert run_cli("screen", "--since", "HEAD", "../old", *ON, cwd=repo.folder / "new").stderr == NOT_CHANGED
    found = run_cli("screen", "--since", "HEAD", *ON, cwd=repo.folder / "new")
    assert found.stdout.startswith("c.vrx:")


def test_a_name_from_outside_is_shown_as_text(repo: Repo, run_cli: RunCli) -> None:
    repo.write("known\x1b[31m\u202e.txt", "rxlint known findings 1\n")
    repo.write("rxlint.yaml", 'known findings: "known\\e[31m\\u202e.txt"\n')
    repo.commit()
    repo.write("known\x1b[31m\u202e.txt", "rxlint known findings 1\n# changed\n")
    told = run_cli("screen", "--since", "HEAD", *ON, "--fail-at", "never", cwd=repo.folder).stderr
    assert told.startswith("2 of 2 documents: 2 stand under settings that changed (known")
    assert "\x1b" not in told and "\u202e" not in told


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["--since", "nowhere"], "the repository has no revision nowhere"),
        (["--since", ""], "names no revision"),
        (["--since", "--all"], "names no revision"),
        (["--since", "HEAD", "missing"], "missing is not there"),
        (["--since", "HEAD", ".", ".."], "does not lie in the repository"),
        (["--since", "HEAD", "-"], "--since chooses among files"),
        (["--since", "HEAD", "old/a.vrx", "--readings", "old/b.vrx"], "--since chooses among files"),
        ([], "Missing argument"),
    ],
)
def test_what_can_t_be_told_ends_with_2(arguments: list[str], why: str, repo: Repo, run_cli: RunCli) -> None:
    found = run_cli("screen", *arguments, *ON, cwd=repo.folder)
    assert (found.exit_code, found.stdout) == (2, "")
    assert why in found.stderr
    assert "Traceback" not in found.stderr


def test_a_folder_without_a_repository_ends_with_2(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    found = run_cli("screen", "--since", "HEAD", *ON)
    assert found.exit_code == 2
    assert "is not a git repository and lies in none" in found.stderr


def test_settings_that_can_t_be_used_are_told_though_nothing_changed(repo: Repo, run_cli: RunCli) -> None:
    repo.write("rxlint.yaml", "policies: [missing.yaml]\n")
    repo.commit()
    found = run_cli("screen", "--since", "HEAD", *ON, cwd=repo.folder)
    assert found.exit_code == 2
    assert "(rxlint.yaml, which can't be used)" in found.stderr
