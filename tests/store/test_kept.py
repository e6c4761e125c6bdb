"""What is kept is read back only if it is whole, was kept for the same key, and nobody else can have written it."""

import os
from pathlib import Path

import pytest

from rxlint.store import kept


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cache"
    monkeypatch.setenv(kept.VARIABLE, str(folder))
    return folder


def test_a_text_is_read_back_under_its_key_alone(place: Path) -> None:
    kept.keep("a.json", "key", "text é\n")
    assert kept.read_kept("a.json", "key") == "text é\n"
    assert kept.read_kept("a.json", "other") is None
    assert kept.read_kept("b.json", "key") is None
    assert [each.name for each in place.iterdir()] == ["a.json"]


@pytest.mark.usefixtures("place")
def test_a_later_text_takes_the_place_of_an_earlier_one() -> None:
    kept.keep("a.json", "one", "1")
    kept.keep("a.json", "two", "2")
    assert kept.read_kept("a.json", "one") is None
    assert kept.read_kept("a.json", "two") == "2"


def test_every_single_changed_or_lost_byte_is_a_miss(place: Path) -> None:
    kept.keep("a.json", "key", "some text")
    whole = (place / "a.json").read_bytes()
    for at in range(len(whole)):
        for spoilt in (whole[:at], whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :]):
            (place / "a.json").write_bytes(spoilt)
            assert kept.read_kept("a.json", "key") is None
    (place / "a.json").write_bytes(whole)
    assert kept.read_kept("a.json", "key") == "some text"


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="owners of files are a matter of POSIX")
def test_a_folder_that_others_may_write_to_is_not_used(place: Path) -> None:
    kept.keep("a.json", "key", "text")
    place.chmod(0o777)
    assert kept.read_kept("a.json", "key") is None
    kept.keep("b.json", "key", "text")
    assert not (place / "b.json").exists()
    place.chmod(0o700)
    assert kept.read_kept("a.json", "key") == "text"


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="modes of folders are a matter of POSIX")
def test_the_folder_is_the_users_own(place: Path) -> None:
    kept.keep("a.json", "key", "text")
    assert place.stat().st_mode & 0o777 == 0o700


def test_where_nothing_can_be_kept_nothing_happens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("no folder")
    for told in (str(tmp_path / "file"), str(tmp_path / "file" / "below"), "off"):
        monkeypatch.setenv(kept.VARIABLE, told)
        kept.keep("a.json", "key", "text")
        assert kept.read_kept("a.json", "key") is None
    assert (tmp_path / "file").read_text() == "no folder"
    assert [each.name for each in tmp_path.iterdir()] == ["file"]


def test_a_folder_where_the_file_should_be_is_a_miss(place: Path) -> None:
    (place / "a.json").mkdir(parents=True)
    place.chmod(0o700)
    kept.keep("a.json", "key", "text")
    assert kept.read_kept("a.json", "key") is None
    assert [each.name for each in place.iterdir()] == ["a.json"]


def test_the_place_follows_the_platform(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv(kept.VARIABLE)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path))
    folder = kept.folder()
    assert folder is not None
    assert folder.is_relative_to(tmp_path)
    assert "rxlint" in folder.parts


def test_parts_of_a_key_do_not_run_together() -> None:
    assert kept.key_of("ab", "c") != kept.key_of("a", "bc")
    assert kept.key_of("a") == kept.key_of("a")


def test_a_changed_module_has_another_stamp(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text("1")
    before = kept.stamps_of([tmp_path])
    assert kept.stamps_of([tmp_path, tmp_path / "missing"]) == before
    os.utime(module, ns=(1, 1))
    assert kept.stamps_of([tmp_path]) != before
