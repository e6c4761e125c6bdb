"""Results are found under their key alone, whole or not at all, and take no more room than they may."""

import hashlib
import os
import sqlite3
from pathlib import Path

import pytest

from rxlint.store import kept, results
from rxlint.store.results import NAME, Results

COMMON = (b"outcomes", b"of rules")


def key(name: str) -> bytes:
    return hashlib.sha256(name.encode()).digest()


def filled(
    count: int, size: int = 100, largest: int = results.LARGEST, common: tuple[bytes, bytes] = COMMON
) -> Results:
    base = Results(largest)
    for number in range(count):
        base.keep(key(f"{number}"), b"front %d" % number + b"." * size, b"body %d" % number, common)
    base.close()
    return base


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "kept"
    monkeypatch.setenv(kept.VARIABLE, str(folder))
    return folder


@pytest.mark.usefixtures("place")
def test_a_result_is_read_back_under_its_key_alone() -> None:
    filled(3)
    base = Results()
    found = base.read(key("1"))
    assert found is not None
    front, common = found
    assert front == b"front 1" + b"." * 100
    assert base.read_body(key("1")) == b"body 1"
    assert base.read_common(common) == COMMON
    assert base.read(key("3")) is None
    assert base.read_body(key("3")) is None
    assert base.read_common(common + 1) is None
    base.close()


@pytest.mark.usefixtures("place")
def test_keys_that_begin_alike_are_told_apart() -> None:
    first, second = key("a"), key("a")[:8] + key("b")[8:]
    base = Results()
    base.keep(first, b"one", b"1", COMMON)
    base.close()
    assert base.read(second) is None
    base.keep(second, b"two", b"2", COMMON)
    base.close()
    assert base.read(first) is None
    assert base.read_body(second) == b"2"
    base.close()


@pytest.mark.usefixtures("place")
def test_notes_are_kept_with_results() -> None:
    base = Results()
    base.keep_note(key("a"), b"text")
    base.close()
    assert base.note(key("a")) == b"text"
    assert base.note(key("b")) is None
    base.close()


def test_it_takes_no_more_room_than_it_may(place: Path) -> None:
    largest = 2_000_000
    for run in range(6):
        base = Results(largest)
        for number in range(700):
            name = f"{run} {number}"
            base.keep(key(name), hashlib.sha256(name.encode()).hexdigest().encode() * 10, b"body", COMMON)
        base.close()
        size = sum(path.stat().st_size for path in place.glob(f"{NAME}*"))
        assert size <= largest, run
    left = [run for run in range(6) if Results(largest).read(key(f"{run} 699")) is not None]
    assert 5 in left


def test_what_was_used_last_stays(place: Path) -> None:
    largest = 1_000_000
    base = filled(600, 700, largest)
    with sqlite3.connect(place / NAME) as direct:  # all of it was used some days ago
        direct.execute("UPDATE result SET used = used - 3")
    direct.close()
    again = [key(f"{number}") for number in range(0, 600, 10)]
    base = Results(largest)
    assert all(base.read(each) is not None for each in again)
    base.close()
    base = Results(largest)
    assert base.read(key("1")) is not None  # it is open, and knows how full it is
    for number in range(600, 1000):
        base.keep(key(f"{number}"), b"front" + b"." * 700, b"body", COMMON)
    base.close()
    assert all(base.read(each) is not None for each in again)
    assert sum(base.read(key(f"{number}")) is None for number in range(600)) > 200
    base.close()


def test_a_part_that_many_share_is_kept_once(place: Path) -> None:
    shared = (b"x" * 50_000, b"y" * 50_000)
    filled(100, common=shared)
    assert (place / NAME).stat().st_size < 400_000
    base = Results()
    found = base.read(key("99"))
    assert found is not None
    assert base.read_common(found[1]) == shared
    base.close()


@pytest.mark.usefixtures("place")
def test_what_waits_is_written_in_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(results, "_BATCH", 10)
    base = Results()
    for number in range(25):
        base.keep(key(f"{number}"), b"front", b"body", COMMON)
    other = Results()
    assert [other.read(key(f"{number}")) is not None for number in (0, 19, 20, 24)] == [True, True, False, False]
    other.close()
    base.close()
    assert other.read(key("24")) is not None
    other.close()


def test_a_file_of_another_form_is_no_database_of_ours(place: Path) -> None:
    place.mkdir(mode=0o700)
    with sqlite3.connect(place / NAME) as direct:
        direct.execute("CREATE TABLE result (something TEXT)")
    direct.close()
    os.chmod(place / NAME, 0o600)
    base = filled(2)
    assert base.read(key("1")) is None
    base.close()


def test_a_full_file_keeps_nothing_more(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Results, "_make_room", lambda *_: None)
    largest = 200_000
    base = filled(2_000, 400, largest)
    assert (place / NAME).stat().st_size <= largest
    assert base.read(key("1999")) is None
    base.close()


@pytest.mark.skipif(not hasattr(os, "symlink") or os.name == "nt", reason="links are a matter of POSIX")
def test_a_link_in_its_place_is_not_followed(place: Path, tmp_path: Path) -> None:
    place.mkdir(mode=0o700)
    (tmp_path / "theirs").write_bytes(b"")
    os.chmod(tmp_path / "theirs", 0o600)
    (place / NAME).symlink_to(tmp_path / "theirs")
    filled(2)
    assert (tmp_path / "theirs").read_bytes() == b""
