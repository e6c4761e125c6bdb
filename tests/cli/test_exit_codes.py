"""Exit codes: 0, 1, 2, 3, which wins, and that the format makes no difference."""

from pathlib import Path

import pytest

from rxlint.commands.common import EXIT_USAGE
from rxlint.notation.document import read_document
from rxlint.notation.tree import Document
from rxlint.text import Source
from tests.cli.orders import NOTE, ON, REJECT, SLIP, SOUND
from tests.conftest import RunCli

FILES = {"sound": SOUND, "query": SLIP, "reject": REJECT, "empty": "", "comment": "# nothing\n"}
PACK = ["--pack", "note.yaml"]


@pytest.fixture
def files(tmp_path: Path) -> Path:
    for name, text in FILES.items():
        (tmp_path / f"{name}.vrx").write_text(text, "utf-8")
    (tmp_path / "note.yaml").write_text(NOTE, "utf-8")
    return tmp_path


@pytest.mark.parametrize("form", ["text", "json"])
@pytest.mark.parametrize(
    ("names", "options", "expected"),
    [
        (["sound"], [], 0),
        (["sound"], PACK, 0),
        (["query"], [], 1),
        (["reject"], [], 1),
        (["sound", "query"], [], 1),
        (["sound"], [*PACK, "--fail-at", "note"], 1),
        (["query"], ["--fail-at", "reject"], 0),
        (["reject"], ["--fail-at", "reject"], 1),
        (["reject", "query"], [*PACK, "--fail-at", "never"], 0),
        (["empty"], [], 3),
        (["comment"], [], 3),
        (["empty", "reject"], [], 3),
        (["empty"], ["--fail-at", "never"], 3),
        (["nowhere", "reject"], [], 3),
        (["sound"], ["--on", "24.11.2026"], 2),
        (["empty"], ["--on", "2026-02-30"], 2),
        (["sound"], ["--on", "20261124"], 2),
        (["empty"], ["--fail-at", "often"], 2),
        (["empty"], ["--as", "name"], 2),
        (["empty", "-", "-"], [], 2),
        (["empty"], ["--pack", "nowhere.yaml"], 2),
        ([], [], 2),
    ],
)
def test_exit_code(
    names: list[str], options: list[str], expected: int, form: str, files: Path, run_cli: RunCli
) -> None:
    paths = [name if name == "-" else files / f"{name}.vrx" for name in names]
    found = run_cli("screen", *paths, *ON, *options, "--format", form)
    assert found.exit_code == expected, found.output
    assert bool(found.stdout) == (expected != 2)
    assert bool(found.stderr) == (expected == 2)


def test_a_folder_counts_by_the_worst_of_its_documents(files: Path, run_cli: RunCli) -> None:
    assert run_cli("screen", files, *ON).exit_code == 3
    for name in ("empty", "comment"):
        (files / f"{name}.vrx").unlink()
    assert run_cli("screen", files, *ON).exit_code == 1


def test_a_crashed_rule_wins_over_findings(files: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    from rxlint.screening import engine

    def fail(*_: object) -> None:
        raise RuntimeError("lost")

    monkeypatch.setattr(engine, "walk_periods", fail)
    found = run_cli("screen", files / "reject.vrx", *ON)
    assert found.exit_code == 3
    assert "the rule mode.period-overlap failed and was not checked: RuntimeError: lost" in found.stdout
    assert "[notation.unit-missing]" in found.stdout
    assert "1 to reject" in found.stdout and "rule failures" in found.stdout


def test_a_document_that_the_program_fails_on_hides_no_other(
    files: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(source: Source) -> Document:
        if "150ms" in source.text():
            raise RecursionError("too deep")
        return read_document(source)

    monkeypatch.setattr("rxlint.library.screen.read_document", fail)
    found = run_cli("screen", files / "query.vrx", files / "reject.vrx", *ON)
    assert found.exit_code == 3
    assert "query.vrx: unread: could not be screened, through a fault of this program: RecursionError" in found.stdout
    assert "[notation.unit-missing]" in found.stdout


def test_built_in_rules_at_fault_are_a_matter_of_configuration(
    files: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rxlint.packs import builtin

    def fail() -> None:
        raise ValueError("rules/x.yaml:1:1: the file is empty")

    monkeypatch.setattr(builtin, "builtin_packs", fail)
    found = run_cli("screen", files)
    assert (found.exit_code, found.stdout) == (EXIT_USAGE, "")
    assert "rules/x.yaml:1:1: the file is empty" in found.stderr


@pytest.mark.parametrize(("names", "expected"), [(["sound"], 0), (["sound", "empty"], 3), (["nowhere"], 3)])
@pytest.mark.parametrize("form", ["text", "json"])
def test_calculations(names: list[str], form: str, expected: int, files: Path, run_cli: RunCli) -> None:
    paths = [files / f"{name}.vrx" for name in names]
    assert run_cli("calculations", *paths, "--format", form).exit_code == expected
