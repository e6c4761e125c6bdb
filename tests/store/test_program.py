"""The state of the program changes with whatever decides a result, and with nothing else."""

import shutil
from pathlib import Path

import pytest

from rxlint.store import program
from rxlint.store.program import program_key
from tests.conftest import ROOT


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A package with few modules, and data of its own; it was changed long ago, as far as anybody looks."""
    place = tmp_path / "rxlint"
    (place / "screening").mkdir(parents=True)
    (place / "screening" / "engine.py").write_text("x = 1\n")
    for kind in ("grammar", "rules"):
        shutil.copytree(ROOT / kind, tmp_path / kind)
    monkeypatch.setattr(program, "_PACKAGE", place)
    monkeypatch.setattr(program, "_SETTLED", -1)
    monkeypatch.setattr(program, "data_folder", lambda kind: tmp_path / kind)
    return place


def test_it_is_the_same_as_long_as_nothing_changes(package: Path) -> None:
    first = program_key()
    assert first is not None
    (package / "screening" / "notes.txt").write_text("no code")
    (package.parent / "rules" / "README.md").write_text("no rules")
    assert program_key() == first


@pytest.mark.parametrize(
    "name", ["rxlint/screening/engine.py", "rules/volume.yaml", "grammar/vocabulary.yaml", "grammar/prescription.lark"]
)
def test_a_change_of_code_or_data_is_another(name: str, package: Path) -> None:
    first = program_key()
    path = package.parent / name
    path.write_text(path.read_text("utf-8") + "\n", "utf-8")
    assert program_key() not in (first, None)


def test_a_new_module_is_another(package: Path) -> None:
    first = program_key()
    (package / "screening" / "more.py").write_text("")
    assert program_key() not in (first, None)


def test_code_that_has_just_been_changed_is_no_state(package: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(program, "_SETTLED", 3_600_000_000_000)
    (package / "screening" / "engine.py").write_text("x = 2\n")
    assert program_key() is None


@pytest.mark.usefixtures("package")
def test_a_library_that_is_not_there_is_no_state(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(program, "_READERS", ("lark", "no_such_library"))
    assert program_key() is None
