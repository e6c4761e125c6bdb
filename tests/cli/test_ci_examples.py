"""The examples of workflows: they are what their hosts accept, and every command in them does what it says."""

import json
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any, Final
from xml.etree import ElementTree

import pytest
from ruamel.yaml import YAML

from tests.conftest import ROOT, RunCli
from tests.library.repositories import Repo, repository

CI = ROOT / "examples" / "ci"
SCHEMAS: Final = {"github-actions.yml": "vendor.github-workflows", "gitlab-ci.yml": "vendor.gitlab-ci"}
BASE: Final = ("rxlint.yaml", "tarnmoor-policy.yaml", "profiles", "sound/TM-0513-adult-neuromuscular-night.vrx")
TEMPLATE: Final = "templates/neuromuscular-night.vrx"
SLIP: Final = "slips/peep-raised-alone.vrx"
FOUND: Final = "pressure.supported-breaths-differ"


def texts(node: Any) -> list[str]:
    """Every text anywhere in a tree of YAML."""
    if isinstance(node, dict):
        return [text for each in node.values() for text in texts(each)]
    if isinstance(node, list):
        return [text for each in node for text in texts(each)]
    return [node] if isinstance(node, str) else []


def commands(name: str) -> list[str]:
    """The commands in which a workflow calls rxlint."""
    tree = YAML(typ="safe").load((CI / name).read_text("utf-8"))
    return [line.strip() for text in texts(tree) for line in text.splitlines() if line.strip().startswith("rxlint ")]


ALL = [(name, command) for name in SCHEMAS for command in commands(name)]


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Repo:
    """Some of the examples under git, with a slip that came after the revision that the workflows compare with."""
    made = repository(tmp_path_factory.mktemp("ci") / "library")
    for name in (*BASE, TEMPLATE):
        copied = made.folder / name
        copied.parent.mkdir(exist_ok=True)
        (shutil.copytree if (ROOT / "examples" / name).is_dir() else shutil.copy)(ROOT / "examples" / name, copied)
    made.git("update-ref", "refs/remotes/origin/main", made.commit())
    made.write(SLIP, (ROOT / "examples" / SLIP).read_text("utf-8"))
    made.commit()
    return made


def test_every_command_is_tried() -> None:
    assert [command.split()[1] for _, command in ALL].count("screen") == 4
    assert {command.split()[1] for _, command in ALL} == {"screen", "compare", "tidy"}


@pytest.mark.parametrize(("name", "command"), ALL, ids=[command[:40] for _, command in ALL])
def test_a_command_does_what_it_is_there_for(name: str, command: str, library: Repo, run_cli: RunCli) -> None:
    base = library.git("rev-parse", "refs/remotes/origin/main")
    told, _, _ = command.partition(" >> ")
    told = told.replace("$GITHUB_BASE_REF", "main").replace("$CI_MERGE_REQUEST_DIFF_BASE_SHA", base)
    assert "$" not in told
    arguments = shlex.split(told)[1:]
    ran = run_cli(*arguments, cwd=library.folder)
    if arguments[0] == "screen":
        assert ran.exit_code == 1, ran.stdout + ran.stderr
        assert FOUND in ran.stdout
        assert ran.stderr.startswith("1 of 3 documents: 1 changed since") == ("--since" in arguments)
        for form, file in re.findall(r"--report (\w+)=(\S+)", told):
            holds_the_finding(form, library.folder / file)
            assert file in texts(YAML(typ="safe").load((CI / name).read_text("utf-8"))), "the report goes to nobody"
    elif arguments[0] == "compare":
        assert ran.exit_code == 0 and "peep-raised-alone" in ran.stdout
    else:
        assert ran.exit_code == 0 and "0 files would be tidied, 3 tidy already" in ran.stdout


def holds_the_finding(form: str, path: Path) -> None:
    text = path.read_text("utf-8")
    path.unlink()
    if form == "junit":
        assert ElementTree.fromstring(text).find(".//failure") is not None
    else:
        json.loads(text)
    assert FOUND in text


def check(schema: str, path: Path) -> subprocess.CompletedProcess[str]:
    pytest.importorskip("check_jsonschema")
    command = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", schema, str(path)]
    return subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)


@pytest.mark.parametrize("name", SCHEMAS)
def test_the_host_accepts_the_workflow(name: str, tmp_path: Path) -> None:
    found = check(SCHEMAS[name], CI / name)
    assert found.returncode == 0, found.stdout + found.stderr
    bad = tmp_path / name
    bad.write_text(
        (CI / name).read_text("utf-8").replace("    steps:", "    stages:").replace("script:", "run:"), "utf-8"
    )
    assert check(SCHEMAS[name], bad).returncode == 1


def test_the_guide_names_every_file_and_every_hook() -> None:
    guide = (CI / "README.md").read_text("utf-8")
    assert all(f"`{path.name}`" in guide for path in CI.glob("*.yml"))
    hooks = [each["id"] for each in YAML(typ="safe").load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))]
    assert re.findall(r"^\| `(rxlint-[a-z-]+)` \|", guide, re.MULTILINE) == hooks
    shown = YAML(typ="safe").load(guide.partition("```yaml\n")[2].partition("```")[0])
    assert {each["id"] for repo in shown["repos"] for each in repo["hooks"]} <= set(hooks)
    assert all(f"_RXLINT_COMPLETE={shell}_source rxlint" in guide for shell in ("bash", "zsh", "fish"))
