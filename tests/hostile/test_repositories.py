"""Folders and repositories that try to have their own code run, or to keep the program waiting."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from rxlint.library.revisions import NoRevision, Repository
from tests.cli.orders import ON, SLIP, SOUND
from tests.cli.test_bad_input import command
from tests.conftest import ROOT, RunCli
from tests.hostile.texts import TERMINAL, acting
from tests.library.repositories import Repo, order, repository

SECONDS = 110
MODULES = (
    "click", "json", "lark", "ruamel", "sqlite3", "sitecustomize", "usercustomize", "dataclasses", "fractions",
    "multiprocessing", "rxlint_rules", "conftest", "_ruamel_yaml", "difflib", "yaml", "pygls", "jinja2",
)  # fmt: skip


def trapped(folder: Path) -> Path:
    """A folder of documents with a module of every name that the program may ask for; each leaves a mark."""
    folder.mkdir()
    for name in MODULES:
        (folder / f"{name}.py").write_text(f"open({str(folder.parent / 'ran')!r}, 'w').close()\n", "utf-8")
    for number in range(30):
        (folder / f"{number}.vrx").write_text(SLIP, "utf-8")
    return folder


def test_modules_of_the_folder_that_is_screened_are_not_loaded(tmp_path: Path) -> None:
    folder = trapped(tmp_path / "orders")
    live = [sys.executable, "-c", "import click"]
    subprocess.run(live, cwd=folder, check=False, capture_output=True, env={"PATH": os.environ["PATH"]})
    assert (tmp_path / "ran").exists(), "the trap is not live, so this test would prove nothing"
    (tmp_path / "ran").unlink()
    for arguments in (["screen", ".", *ON], ["screen", ".", *ON, "--jobs", "2"], ["rules"], ["export", "0.vrx"]):
        run = command(*arguments, cwd=folder, RXLINT_CACHE="off")
        out, err = run.communicate(timeout=SECONDS)
        assert b"Traceback" not in err and out + err
        assert not (tmp_path / "ran").exists(), arguments


START = """
import os, sys
from rxlint.library.workers import safe_start
import multiprocessing
if __name__ == "__main__":
    os.chdir(sys.argv[1])
    process = multiprocessing.get_context("spawn").Process(target=print, args=("well",))
    if sys.argv[2] == "safe":
        with safe_start():
            process.start()
        assert "PYTHONSAFEPATH" not in os.environ
    else:
        process.start()
    process.join()
"""


@pytest.mark.parametrize("how", ["safe", "plain"])
def test_other_processes_load_no_module_of_the_folder_that_is_screened(how: str, tmp_path: Path) -> None:
    folder = trapped(tmp_path / "orders")
    (tmp_path / "start.py").write_text(START, "utf-8")
    run = subprocess.run(
        [sys.executable, tmp_path / "start.py", folder, how],
        env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
        timeout=SECONDS,
    )
    # without it Python itself looks there first: otherwise this test would prove nothing
    assert (tmp_path / "ran").exists() == (how == "plain")
    assert (run.stdout == b"well\n") == (how == "safe"), run.stderr


SPAWN = """
import sys
from rxlint.library import workers
workers._way_to_start = lambda: "spawn"
if __name__ == "__main__":
    from rxlint.cli import main
    main(["screen", ".", "--jobs", "2", "--on", "2026-11-24", "--no-cache"])
"""


def test_every_way_to_start_other_processes_is_a_safe_one(tmp_path: Path) -> None:
    folder = trapped(tmp_path / "orders")
    (tmp_path / "start.py").write_text(SPAWN, "utf-8")
    run = subprocess.run(
        [sys.executable, tmp_path / "start.py"],
        cwd=folder,
        env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
        timeout=SECONDS,
    )
    assert (run.returncode, run.stderr) == (1, b"")
    assert b"30 documents: " in run.stdout and b"written without a space" in run.stdout
    assert not (tmp_path / "ran").exists()


def test_settings_can_name_no_code(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    (tmp_path / "evil.py").write_text("open('ran', 'w').close()\n", "utf-8")
    for text in ("python rules: [evil]\n", "packs: [evil.py]\n", "policies: [evil.py]\n", "plugins: [evil]\n"):
        (tmp_path / "rxlint.yaml").write_text(text, "utf-8")
        found = run_cli("screen", "a.vrx", *ON)
        assert found.exit_code == 2 and "a.vrx: not screened: " in found.stdout, text
        assert not (tmp_path / "ran").exists()


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    made = repository(tmp_path / "repository")
    made.write("a.vrx", order())
    made.commit()
    made.write("a.vrx", order(peep="6"))
    return made


ASKED = (["screen", ".", "--since", "HEAD"], ["compare", ".", "--since", "HEAD"])
HANGING = ("config", "HEAD", "packed-refs", "included")


@pytest.mark.parametrize("which", HANGING)
@pytest.mark.parametrize("asked", ASKED, ids=["screen", "compare"])
def test_a_pipe_in_a_repository_is_not_waited_for_without_end(
    which: str, asked: list[str], repo: Repo, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rxlint.library import revisions

    monkeypatch.setattr(revisions, "_SECONDS", 2)
    path = repo.folder / ".git" / which
    if which == "included":
        repo.git("config", "include.path", path)
    path.unlink(missing_ok=True)
    os.mkfifo(path)
    found = run_cli(*asked, *ON, cwd=repo.folder)
    assert found.exit_code in (1, 2), found.output  # git passes over some of them
    assert found.exit_code == 1 or "git" in found.stderr
    assert "Traceback" not in found.output


@pytest.mark.parametrize("asked", ASKED, ids=["screen", "compare"])
def test_what_a_repository_makes_git_say_acts_on_no_terminal(asked: list[str], repo: Repo, run_cli: RunCli) -> None:
    (repo.folder / ".git" / "config").write_text(f"[core{TERMINAL}\n", "utf-8")
    found = run_cli(*asked, *ON, cwd=repo.folder)
    assert found.exit_code == 2 and found.stderr
    assert acting(found.output) == []


@pytest.mark.parametrize(
    "revision",
    ["--output=ran", "-O/bin/sh", "HEAD\n--x", "HEAD^{/(a+)+$}", "$(touch ran)", "`touch ran`", "\x1b[2J", ""],
)
@pytest.mark.parametrize("asked", ["screen", "compare"])
def test_a_revision_is_a_name_and_nothing_else(asked: str, revision: str, repo: Repo, run_cli: RunCli) -> None:
    found = run_cli(asked, ".", f"--since={revision}", *ON, cwd=repo.folder)
    assert found.exit_code == 2, found.output
    assert not (repo.folder / "ran").exists() and acting(found.output) == []


def test_a_folder_that_only_looks_like_a_repository_is_told(tmp_path: Path) -> None:
    (tmp_path / ".git").write_text("gitdir: /proc/self/root\n", "utf-8")
    with pytest.raises(NoRevision):
        Repository(tmp_path)
