"""The hooks for pre-commit: what they name is there, and with `RXLINT_HOOKS=1` they run as pre-commit runs them.

The run makes an environment of its own with rxlint in it, which takes most of a minute and a package index.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import click
import pytest
from ruamel.yaml import YAML

from rxlint.cli import main
from tests.cli.orders import REJECT, SOUND
from tests.conftest import ROOT
from tests.library.repositories import Repo, repository

MANIFEST = ROOT / ".pre-commit-hooks.yaml"
HOOKS: list[dict[str, Any]] = YAML(typ="safe").load(MANIFEST.read_text("utf-8"))
IDS = [each["id"] for each in HOOKS]


def pre_commit(*arguments: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run pre-commit with a home of its own."""
    pytest.importorskip("pre_commit")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("GIT_", "PRE_COMMIT"))}
    environment = {**kept, "PRE_COMMIT_HOME": str(cwd.parent / "pre-commit"), "GIT_CONFIG_NOSYSTEM": "1"}
    command = [sys.executable, "-m", "pre_commit", *map(str, arguments)]
    return subprocess.run(command, cwd=cwd, env=environment, capture_output=True, text=True, timeout=600, check=False)


def test_pre_commit_accepts_the_manifest(tmp_path: Path) -> None:
    found = pre_commit("validate-manifest", MANIFEST, cwd=tmp_path)
    assert found.returncode == 0, found.stdout + found.stderr
    (tmp_path / "bad.yaml").write_text(MANIFEST.read_text("utf-8").replace("language: python", "language: x"), "utf-8")
    assert pre_commit("validate-manifest", "bad.yaml", cwd=tmp_path).returncode == 1


@pytest.mark.parametrize("hook", HOOKS, ids=IDS)
def test_a_hook_names_a_command_with_its_options(hook: dict[str, Any]) -> None:
    program, name, *given = shlex.split(hook["entry"])
    assert program == "rxlint"
    command = main.commands[name]
    given = [*given, *([] if hook.get("pass_filenames") is False else ["a.vrx"])]
    assert command.make_context(name, given).params["pack_files" if name == "test-pack" else "paths"]
    with pytest.raises(click.UsageError):
        command.make_context(name, ["--no-such-option"])


@pytest.mark.parametrize("hook", HOOKS, ids=IDS)
def test_no_hook_writes(hook: dict[str, Any]) -> None:
    assert " tidy" not in hook["entry"] or "--check" in hook["entry"]
    assert hook["require_serial"] is True


@pytest.mark.parametrize(
    ("id", "taken", "left"),
    [
        ("rxlint-screen", ["a.vrx", "ward/B.VRX"], ["a.vrx.txt", "avrx", "rxlint.yaml"]),
        ("rxlint-screen-library", ["a.vrx", "rxlint.yaml", "ward/known.txt"], ["README.md"]),
        ("rxlint-tidy", ["a.vrx"], ["rxlint.yaml"]),
        (
            "rxlint-test-pack",
            ["packs/a.yaml", "x/policies/b.yaml", "site-policy.yaml"],
            ["rxlint.yaml", "profiles/a.yaml"],
        ),
    ],
)
def test_a_hook_takes_its_files_alone(id: str, taken: list[str], left: list[str]) -> None:
    pattern = next(each["files"] for each in HOOKS if each["id"] == id)
    assert [name for name in (*taken, *left) if re.search(pattern, name)] == taken


def source(folder: Path) -> tuple[Repo, str]:
    """A repository that holds rxlint as it stands here, and its revision."""
    made = repository(folder)
    for name in ("rxlint", "grammar", "rules"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE", ".pre-commit-hooks.yaml"):
        shutil.copy(ROOT / name, folder / name)
    return made, made.commit()


@pytest.mark.skipif(not os.environ.get("RXLINT_HOOKS"), reason="takes most of a minute; RXLINT_HOOKS=1 runs it")
def test_the_hooks_run_as_pre_commit_runs_them(tmp_path: Path) -> None:
    made, revision = source(tmp_path / "rxlint")
    hooks = "".join(f"  - id: {id}\n" + "    args: [--on, '2026-11-24']\n" * ("screen" in id) for id in IDS)
    orders = repository(tmp_path / "orders")
    configuration = f"repos:\n- repo: {made.folder}\n  rev: {revision}\n  hooks:\n{hooks}"
    orders.write(".pre-commit-config.yaml", configuration)
    orders.write("sound.vrx", SOUND)
    orders.write("packs/ward.yaml", "pack: ward\nrevision: 1\nsummary: of a test\nrules: []\n")
    orders.git("add", "--all")
    found = pre_commit("run", "--all-files", "--verbose", cwd=orders.folder)
    assert found.stdout.count("Passed") == 4, found.stdout + found.stderr
    written = REJECT.replace("  rise time ", "      rise time ")
    orders.write("bad.vrx", written)
    orders.git("add", "--all")
    found = pre_commit("run", cwd=orders.folder)
    assert found.returncode == 1
    assert found.stdout.count("Failed") == 3, found.stdout + found.stderr
    assert re.search(r"bad\.vrx:\d+:\d+: reject: ", found.stdout)
    assert "bad.vrx: would be tidied" in found.stdout
    assert (orders.folder / "bad.vrx").read_bytes() == written.encode("utf-8"), "nothing was rewritten"
