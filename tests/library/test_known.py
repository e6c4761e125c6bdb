"""Known findings: what is listed does not count, moved lines change nothing, and the list only ever shrinks."""

import os
from pathlib import Path

import pytest

from rxlint.library.known import NOTHING, Known, marked, read_known, relative, shrunk, started, text_of, write_known
from rxlint.screening.engine import Screening
from tests.documents import screen

OLD = """\
prescription "old"
settings
  mode  A/C-PC
  PEEP  5.0 cmH2O
  inspiratory pressure  18cmH2O above ambient
  rate  20 bpm
  inspiratory time  1 s
"""


def counting(screening: Screening) -> list[str]:
    return sorted(each.rule for each in screening.findings if each.counts)


def listed() -> Known:
    return started([("old/order.vrx", screen(OLD))])


def test_what_is_listed_does_not_count_and_is_still_there() -> None:
    before = screen(OLD)
    after = marked(before, "old/order.vrx", listed())
    assert counting(before) == ["notation.glued-unit", "notation.trailing-zero", "notation.unit-discouraged"]
    assert counting(after) == []
    assert [each.rule for each in after.findings] == [each.rule for each in before.findings]


def test_another_file_with_the_same_text_is_not_known() -> None:
    assert counting(marked(screen(OLD), "new/order.vrx", listed())) == counting(screen(OLD))


@pytest.mark.parametrize(
    "moved",
    [
        "# a comment\n\n" + OLD,
        OLD.replace("  rate  20 bpm\n", "").replace("  PEEP", "  rate  20 bpm\n  PEEP"),
        OLD.replace("  rate  20 bpm", "  rate    20 bpm"),
    ],
)
def test_lines_that_moved_are_still_known(moved: str) -> None:
    assert counting(marked(screen(moved), "old/order.vrx", listed())) == []


def test_a_line_that_changed_counts_again() -> None:
    changed = OLD.replace("20 bpm", "22 bpm")
    assert counting(marked(screen(changed), "old/order.vrx", listed())) == ["notation.unit-discouraged"]


def test_a_second_line_of_the_same_kind_counts() -> None:
    twice = OLD.replace("settings\n", "settings\n  rate  20 bpm\n")
    found = counting(marked(screen(twice), "old/order.vrx", listed()))
    assert "notation.unit-discouraged" in found


def test_a_finding_that_became_stricter_counts() -> None:
    milder = Known(
        {
            path: {key: type(entry)(entry.fingerprint, "note", entry.rule) for key, entry in entries.items()}
            for path, entries in listed().by_path.items()
        }
    )
    assert counting(marked(screen(OLD), "old/order.vrx", milder)) == counting(screen(OLD))


def test_the_list_shrinks_and_never_grows() -> None:
    mended = OLD.replace("20 bpm", "20 /min")
    less = shrunk(listed(), [("old/order.vrx", screen(mended))])
    assert {entry.rule for entry in less.by_path["old/order.vrx"].values()} == {
        "notation.glued-unit",
        "notation.trailing-zero",
    }
    assert shrunk(less, [("old/order.vrx", screen(OLD))]) == less  # the old slip is made again: it is not let in
    assert shrunk(less, [("other.vrx", screen(OLD))]) == less
    assert shrunk(less, [], gone=["old/order.vrx"]) == NOTHING
    assert len(shrunk(listed(), [("old/order.vrx", screen(OLD))])) == 3


def test_a_list_comes_back_as_it_was_written(tmp_path: Path) -> None:
    path = tmp_path / "known.txt"
    write_known(path, listed())
    assert read_known(path, "known.txt") == (listed(), ())
    assert path.read_text("utf-8") == text_of(listed())
    assert [each.name for each in tmp_path.iterdir()] == ["known.txt"]


def test_a_list_that_is_not_there_yet_knows_nothing(tmp_path: Path) -> None:
    assert read_known(tmp_path / "known.txt", "known.txt") == (NOTHING, ())


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "known.txt:1:1: is no list of known findings: expected rxlint known findings 1"),
        ("a\n", "known.txt:1:1: is no list of known findings: expected rxlint known findings 1"),
        (
            "rxlint known findings 1\n\n0123  query  a.b  c.vrx\n",
            "known.txt:3:1: expected fingerprint, level, rule and file, two spaces apart",
        ),
        (
            "rxlint known findings 1\n0123456789abcdef-0  often  a.b  c.vrx\n",
            "known.txt:2:1: expected fingerprint, level, rule and file, two spaces apart",
        ),
    ],
)
def test_a_list_that_cannot_be_used_says_where(text: str, told: str, tmp_path: Path) -> None:
    path = tmp_path / "known.txt"
    path.write_text(text, "utf-8")
    known, problems = read_known(path, "known.txt")
    assert known is None
    assert [str(each) for each in problems] == [told]


def test_what_is_no_text_or_no_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "bytes").write_bytes(b"\xff\xfe")
    os.mkfifo(tmp_path / "pipe")
    assert "is not UTF-8 text" in str(read_known(tmp_path / "bytes", "bytes")[1][0])
    assert "is not a regular file" in str(read_known(tmp_path / "pipe", "pipe")[1][0])
    assert "Is a directory" in str(read_known(tmp_path, "folder")[1][0])


def test_paths_are_told_from_the_folder_of_the_list(tmp_path: Path) -> None:
    assert relative(tmp_path / "a" / "b.vrx", tmp_path) == "a/b.vrx"
    assert relative(tmp_path.parent / "b.vrx", tmp_path) is None
    assert relative(tmp_path / "a\nb.vrx", tmp_path) is None
