"""What a shell completes: by click's own mechanism, and in a real bash."""

import contextlib
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.shell_completion import CompletionItem, ShellComplete
from click.testing import CliRunner

from rxlint.cli import main
from rxlint.commands.reporting import FORMS
from rxlint.screening.ruleset import builtin_rules
from tests.conftest import ROOT

FILES = (
    "ward/a.vrx",
    "ward/notes.txt",
    "ward/.hidden.vrx",
    "library/templates/t.vrx",
    "library/templates/U.VRX",
    "rxlint.yaml",
)
VARIABLE = "_RXLINT_COMPLETE"


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    for name in FILES:
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("", "utf-8")
    (tmp_path / "empty").mkdir()
    with contextlib.chdir(tmp_path):
        yield tmp_path


def completed(*words: str) -> list[CompletionItem]:
    """What may stand for the last word."""
    return ShellComplete(main, {}, "rxlint", VARIABLE).get_completions(list(words[:-1]), words[-1])


def values(*words: str) -> list[str]:
    return [each.value for each in completed(*words)]


def test_every_rule_is_completed_and_nothing_else() -> None:
    assert sorted(values("rules", "")) == sorted(rule.id for rule in builtin_rules().all_rules)
    assert values("rules", "alarms.o") == ["alarms.off", "alarms.order"]
    assert values("screen", "--explain", "alarms.o") == ["alarms.off", "alarms.order"]
    assert values("rules", "nothing") == []


def test_rules_of_a_pack_that_the_line_names_are_completed_too(folder: Path) -> None:
    (folder / "ward.yaml").write_text("pack: ward\nrules:\n  - id: ward.peep\n    level: query\n", "utf-8")
    assert values("screen", "--pack", "ward.yaml", "--explain", "ward.") == ["ward.peep"]
    assert values("rules", "--policy", "ward.yaml", "ward.") == ["ward.peep"]
    assert values("screen", "--pack", "missing.yaml", "--explain", "ward.") == []


def test_formats_and_levels_are_completed() -> None:
    assert values("screen", "--format", "") == list(FORMS)
    assert sorted(values("screen", "--fail-at", "n")) == ["never", "note"]
    assert "--since" in values("screen", "--s")
    assert values("se") == ["setup-list"]


@pytest.mark.usefixtures("folder")
def test_documents_and_folders_are_completed() -> None:
    assert values("screen", "") == ["empty/", "library/", "ward/"]
    assert values("screen", "ward/a.vrx", "ward/") == ["ward/a.vrx"]
    assert values("tidy", "ward/.h") == ["ward/.hidden.vrx"]
    assert values("compare", "./w") == ["./ward/a.vrx"]
    assert values("screen", "empty") == ["empty/"]


@pytest.mark.usefixtures("folder")
def test_a_folder_that_is_the_only_choice_is_entered() -> None:
    wanted = ["library/templates/U.VRX", "library/templates/t.vrx"]
    for command in ("screen", "calculations", "tidy", "compare", "endorse", "setup-list"):
        assert values(command, "lib") == wanted
    assert values("known", "list.txt", "lib") == wanted
    assert values("screen", "--readings", "lib") == wanted


@pytest.mark.parametrize(
    "name", ["a b.vrx", "a$(x).vrx", "a;b.vrx", "a\nb.vrx", "a'b.vrx", "a\x1b[31m.vrx", "\u202ea.vrx"]
)
def test_a_name_that_needs_quoting_is_left_to_the_shell(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_text("", "utf-8")
    with contextlib.chdir(tmp_path):
        assert [(each.type, each.value) for each in completed("screen", "")] == [("file", "")]


@pytest.mark.usefixtures("folder")
def test_where_there_is_no_document_the_shell_completes_files() -> None:
    assert [(each.type, each.value) for each in completed("screen", "~/x")] == [("file", "~/x")]
    assert [each.type for each in completed("screen", "--policy", "rx")] == ["file"]
    assert [each.type for each in completed("screen", "--known", "rx")] == ["file"]


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_the_scripts_of_the_other_shells_call_the_program(shell: str) -> None:
    found = CliRunner().invoke(main, [], env={VARIABLE: f"{shell}_source"}, prog_name="rxlint")
    assert found.exit_code == 0
    assert f"{VARIABLE}={shell}_complete" in found.stdout


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_a_real_bash_completes(folder: Path) -> None:
    program = folder / "bin" / "rxlint"
    program.parent.mkdir()
    start = f"import sys; sys.path.append({str(ROOT)!r}); sys.argv[0] = 'rxlint'; from rxlint.cli import main; main()"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -c "{start}" "$@"\n', "utf-8")
    program.chmod(0o755)
    script = f"""
    PATH={program.parent}:$PATH
    eval "$({VARIABLE}=bash_source rxlint)"
    complete -p rxlint
    COMP_WORDS=(rxlint rules alarms.o); COMP_CWORD=2; _rxlint_completion rxlint
    printf '%s\\n' "${{COMPREPLY[@]}}"
    COMPREPLY=(); COMP_WORDS=(rxlint screen lib); COMP_CWORD=2; _rxlint_completion rxlint
    printf '%s\\n' "${{COMPREPLY[@]}}"
    """
    found = subprocess.run(
        ["bash", "--norc", "-c", script], cwd=folder, capture_output=True, text=True, timeout=120, check=True
    )
    assert found.stdout.splitlines() == [
        "complete -o nosort -F _rxlint_completion rxlint",
        "alarms.off",
        "alarms.order",
        "library/templates/U.VRX",
        "library/templates/t.vrx",
    ]
