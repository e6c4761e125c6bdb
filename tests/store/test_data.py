"""The project's own YAML comes back from what was kept as it was read; what JSON can't say is read anew each time."""

import datetime
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from rxlint.data import data_folder
from rxlint.store import data, kept


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cache"
    monkeypatch.setenv(kept.VARIABLE, str(folder))
    return folder


def test_the_vocabulary_comes_back_as_it_was_read(place: Path) -> None:
    text = (data_folder("grammar") / "vocabulary.yaml").read_text(encoding="utf-8")
    wanted = YAML(typ="safe").load(text)
    assert data.read_yaml("vocabulary.json", text) == wanted
    assert (place / "vocabulary.json").is_file()
    assert data.read_yaml("vocabulary.json", text) == wanted
    assert data.read_yaml("vocabulary.json", "a: 1\n") == {"a": 1}  # another text, whatever was kept
    (place / "vocabulary.json").write_text("spoilt")
    assert data.read_yaml("vocabulary.json", text) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"), [("1: a\n", {1: "a"}), ("a: 2026-11-24\n", {"a": datetime.date(2026, 11, 24)})]
)
def test_what_json_cannot_say_is_not_kept(place: Path, text: str, wanted: object) -> None:
    for _ in range(2):
        assert data.read_yaml("a.json", text) == wanted
    assert not (place / "a.json").exists()


def test_what_was_kept_but_is_no_json_is_a_miss(place: Path) -> None:
    kept.keep("a.json", kept.key_of("yaml 1", "a: 1\n"), "[")
    assert data.read_yaml("a.json", "a: 1\n") == {"a": 1}
    assert (place / "a.json").read_text().endswith('{"a":1}')
