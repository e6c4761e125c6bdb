"""What a screening asks of a library is written down, and holds as long as every answer stays as it was."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rxlint.library import recorded
from rxlint.library.heads import read_head
from rxlint.library.index import Index, View
from rxlint.library.recorded import Recorded, Trace, answer, holds
from rxlint.library.roots import Libraries, RunLibraries
from rxlint.library.screen import screen_bytes
from rxlint.screening.ruleset import builtin_rules
from rxlint.screening.shelf import Shelf
from tests.cli.test_cache import FOLLOWER, TEMPLATE
from tests.documents import DAY


@pytest.fixture
def place(tmp_path: Path) -> Path:
    for name, text in {"t.vrx": TEMPLATE, "f.vrx": FOLLOWER, "u.vrx": TEMPLATE.replace("TM-T1", "TM-T2")}.items():
        (tmp_path / name).write_text(text)
    return tmp_path


def view(place: Path, own: str = "f.vrx", searched: bool = True) -> View:
    return View(Index(place), own, searched)


def trace_of(place: Path, own: str = "f.vrx") -> Trace:
    shelf = Recorded(view(place, own))
    screen_bytes(own, (place / own).read_bytes(), builtin_rules(), DAY, shelf=shelf)
    assert shelf.can_be_kept
    return shelf.trace


def test_what_is_asked_is_written_down(place: Path) -> None:
    asked = {(question, about) for question, about, _ in trace_of(place)}
    assert asked == {
        ("problem", ""), ("is library", ""), ("heads", "TM-T1"), ("template", "t.vrx"), ("is searched", ""),
        ("heads", "TM-9"),
    }  # fmt: skip
    assert ("followed ids", "") in {(question, about) for question, about, _ in trace_of(place, "t.vrx")}


def test_it_answers_as_the_library_does(place: Path) -> None:
    for own in ("f.vrx", "t.vrx", "u.vrx"):
        data = (place / own).read_bytes()
        shelves: list[Shelf] = [view(place, own), Recorded(view(place, own))]
        plain, written = (screen_bytes(own, data, builtin_rules(), DAY, shelf=each) for each in shelves)
        assert plain.screening == written.screening


def test_every_question_of_a_shelf_can_be_asked_again(place: Path) -> None:
    shelf = Recorded(view(place))
    names = [name for name in vars(Shelf) if not name.startswith("_")]
    for name in names:
        found = getattr(shelf, name)
        if callable(found):
            about: dict[str, list[object]] = {"heads": ["TM-T1"], "template": [view(place).heads("TM-T1")[0]]}
            found(*about.get(name, []))
    assert len(shelf.trace) == len(names)
    assert holds(shelf.trace, view(place))
    with pytest.raises(LookupError):
        answer(view(place), "something else", "")


def grow(place: Path) -> None:
    (place / "t.vrx").write_text(TEMPLATE + "  rate 12 /min\n")


def shrink(place: Path) -> None:
    (place / "t.vrx").unlink()


def twin(place: Path) -> None:
    (place / "w.vrx").write_text(FOLLOWER)


def another(place: Path) -> None:
    (place / "w.vrx").write_text(TEMPLATE.replace("revision 1", "revision 2"))


@pytest.mark.parametrize("change", [grow, shrink, twin, another])
def test_another_answer_is_seen(change: Callable[[Path], None], place: Path) -> None:
    trace = trace_of(place)
    assert holds(trace, view(place))
    change(place)
    assert not holds(trace, view(place))


def test_what_does_not_concern_it_changes_nothing(place: Path) -> None:
    trace = trace_of(place)
    (place / "w.vrx").write_text(FOLLOWER.replace("TM-9", "TM-10"))
    assert holds(trace, view(place))
    assert not holds(trace, view(place, searched=False))


def test_a_template_that_can_t_be_read_is_not_rested_on(place: Path) -> None:
    (place / "t.vrx").write_bytes(TEMPLATE.encode() + b"\xff")
    shelf = Recorded(view(place))
    screen_bytes("f.vrx", FOLLOWER.encode(), builtin_rules(), DAY, shelf=shelf)
    assert not shelf.can_be_kept


def test_a_run_sees_each_document_in_its_library_as_ever(place: Path, tmp_path: Path) -> None:
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "d.vrx").write_text(FOLLOWER)
    (tmp_path / "link.vrx").symlink_to(tmp_path / "deep" / "d.vrx")
    (tmp_path / "around").symlink_to(tmp_path / "deep")
    once = RunLibraries(read_head)
    for searched in (None, place, place / "deep"):
        for name in ("f.vrx", "deep/d.vrx", "link.vrx", "around/d.vrx", "deep/../t.vrx", "none.vrx"):
            path = place / name
            one, other = Libraries().view(path, None, searched), once.seen(path, None, searched)
            assert one is not None
            assert other is not None
            told = [[each.own, each.root, each.is_searched, each.is_library, each.beyond] for each in (one, other)]
            assert told[0] == told[1], (searched, name)


def test_long_answers_are_digests() -> None:
    assert recorded._digest(()) == ""
    assert len(recorded._digest(["x" * 10_000])) == 40
