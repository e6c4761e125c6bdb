"""The loader finds the grammar and the rules wherever the package is, and nothing else."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from rxlint import data


def make_folder(*parts: Path | str) -> Path:
    folder = Path(*parts)
    folder.mkdir(parents=True)
    return folder


@pytest.fixture
def package(tmp_path: Path) -> Path:
    return make_folder(tmp_path, "rxlint")


def test_in_a_wheel_the_folder_inside_the_package_is_used(package: Path) -> None:
    inside = make_folder(package, "_data", "rules")
    assert data.find_folder(package, "rules") == inside


def test_in_a_checkout_the_folder_beside_the_package_is_used(package: Path) -> None:
    package.with_name("pyproject.toml").touch()
    beside = make_folder(package.parent, "grammar")
    assert data.find_folder(package, "grammar") == beside


def test_what_the_package_carries_wins_over_what_stands_beside_it(package: Path) -> None:
    package.with_name("pyproject.toml").touch()
    make_folder(package.parent, "rules")
    inside = make_folder(package, "_data", "rules")
    assert data.find_folder(package, "rules") == inside


def test_a_stranger_of_that_name_beside_an_installed_package_is_not_used(package: Path) -> None:
    make_folder(package.parent, "rules")
    with pytest.raises(data.MissingDataError):
        data.find_folder(package, "rules")


def test_an_incomplete_installation_says_where_it_looked(package: Path) -> None:
    with pytest.raises(data.MissingDataError) as caught:
        data.find_folder(package, "grammar")
    message = str(caught.value)
    assert str(package / "_data" / "grammar") in message
    assert str(package.parent / "grammar") in message


@pytest.mark.parametrize("kind", ["grammar", "rules"])
def test_this_installation_is_complete(kind: data.Kind) -> None:
    folder = data.data_folder(kind)
    assert any(folder.iterdir()), f"{folder} is empty"


def test_no_comma_ends_a_text_of_the_vocabulary_early() -> None:
    # in braces, a comma in a text without quotation marks begins a key of no value
    tree = YAML(typ="safe", pure=True).load(data.data_folder("grammar") / "vocabulary.yaml")
    assert not [key for key, value in _pairs(tree) if value is None]


def _pairs(tree: object) -> Iterator[tuple[object, object]]:
    match tree:
        case dict():
            yield from tree.items()
            for value in tree.values():
                yield from _pairs(value)
        case list():
            for value in tree:
                yield from _pairs(value)


def test_a_file_is_read_as_utf_8_with_its_line_ends_kept(package: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = make_folder(package, "_data", "rules")
    (folder / "one.yaml").write_bytes("5 µm\r\n".encode())
    monkeypatch.setattr(data, "_PACKAGE", package)
    assert data.read_data("rules", "one.yaml") == "5 µm\r\n"


def test_a_missing_file_is_named(package: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make_folder(package, "_data", "rules")
    monkeypatch.setattr(data, "_PACKAGE", package)
    with pytest.raises(data.MissingDataError, match=r"'absent\.yaml'"):
        data.read_data("rules", "absent.yaml")


@pytest.mark.parametrize("name", ["", ".", "..", "../one.yaml", "..\\one.yaml", "/etc/hostname", "a/b.yaml", "a\0b"])
def test_a_name_never_leads_out_of_the_folder(name: str) -> None:
    with pytest.raises(ValueError, match="not a plain file name"):
        data.read_data("rules", name)
