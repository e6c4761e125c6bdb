"""New names: of a document throughout its library, of a period throughout its document; and why not."""

from pathlib import Path

import pytest

from rxlint.editor.rename import prepare, rename
from rxlint.editor.shapes import Action, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.library.index import Index, View
from rxlint.library.rulings import Ruling
from tests.documents import DAY
from tests.editor.texts import applied, at, damaged, example, positions, prefixes, read

TEMPLATE = (
    'template "t"\n  id  t\n  revision  2\n  status  active\n  replaces  t revision 1\nsettings\n  PEEP  5 cmH2O\n'
)
ORDER = 'prescription "p"\n  id  p  # t\n  revision  1\n  follows  t revision 2\nsettings\n  PEEP  5 cmH2O\n'
OTHER = 'prescription "q"\n  id  q\n  follows  u revision 2\n'
READINGS = "readings for p revision 1\nreadings after change\n  SpO2  95 %\n"


def library(folder: Path, **more: bytes) -> dict[str, Path]:
    files = {"t": TEMPLATE, "p": ORDER, "q": OTHER, "r": READINGS}
    for name, text in files.items():
        (folder / f"{name}.vrx").write_text(text, "utf-8")
    for name, data in more.items():
        (folder / f"{name}.vrx").write_bytes(data)
    return {name: folder / f"{name}.vrx" for name in files}


def seen_from(path: Path) -> Snapshot:
    root = path.parent.resolve()
    view = View(Index(root), path.name, is_searched=True)
    return Snapshot(root / path.name, path.read_text("utf-8"), Ruling(None), DAY, view, root)


def done(found: Action | str) -> dict[str, str]:
    """The texts after a change, by the names of their files."""
    assert isinstance(found, Action), found
    return {path.name: applied(path.read_text("utf-8"), edits) for path, edits in found.edits.items()}


def test_an_id_is_renamed_with_every_line_that_follows_it(tmp_path: Path) -> None:
    files = library(tmp_path)
    template = seen_from(files["t"])
    assert done(rename(template, at(template, "t", "id  "), "t-night")) == {
        "t.vrx": TEMPLATE.replace("id  t", "id  t-night"),  # what it replaces was called so then
        "p.vrx": ORDER.replace("follows  t ", "follows  t-night "),
    }
    order = seen_from(files["p"])
    assert done(rename(order, at(order, "t", "follows  "), "t-night")) == done(
        rename(template, Position(2, 7), "t-night")
    )


def test_readings_of_an_order_are_renamed_with_it(tmp_path: Path) -> None:
    order = seen_from(library(tmp_path)["p"])
    assert done(rename(order, at(order, "p", "id  "), "p-2")) == {
        "p.vrx": ORDER.replace("id  p", "id  p-2"),
        "r.vrx": READINGS.replace("for p ", "for p-2 "),
    }


def test_all_revisions_of_one_id_are_renamed_together(tmp_path: Path) -> None:
    older = TEMPLATE.replace("revision  2", "revision  1")
    files = library(tmp_path, old=older.encode())
    template = seen_from(files["t"])
    assert set(done(rename(template, Position(2, 7), "x"))) == {"t.vrx", "old.vrx", "p.vrx"}


@pytest.mark.parametrize(
    ("new", "why"),
    [
        ("q", "q is the id of q.vrx already"),
        ("t", "t is its name already"),
        ("", "nothing is no id: "),
        ("two words", "two words is no id: "),
        ("a,b", "a,b is no id: "),
        ("-x", "-x is no id: "),
        ("n\N{LATIN SMALL LETTER E WITH ACUTE}", "n\N{LATIN SMALL LETTER E WITH ACUTE} is no id: "),
        ("a\nb", "a<U+000A>b is no id: "),
        ("x # y", "x # y is no id: "),
    ],
)
def test_why_an_id_is_not_taken(new: str, why: str, tmp_path: Path) -> None:
    template = seen_from(library(tmp_path)["t"])
    found = rename(template, Position(2, 7), new)
    assert isinstance(found, str) and found.startswith(why)


def test_a_document_that_can_not_be_read_may_name_it(tmp_path: Path) -> None:
    template = seen_from(library(tmp_path, bad=b"\xff\xfe")["t"])
    found = rename(template, Position(2, 7), "x")
    assert (
        isinstance(found, str)
        and found.startswith("not every document that names it can be found")
        and "bad.vrx" in found
    )


def test_a_follower_that_is_lost_after_its_head_is_told(tmp_path: Path) -> None:
    broken = ORDER.replace("id  p", "id  z").encode().ljust(70_000, b"\n") + b"\xff"
    template = seen_from(library(tmp_path, broken=broken)["t"])
    found = rename(template, Position(2, 7), "x")
    assert isinstance(found, str) and "broken.vrx" in found


def test_an_example_s_template() -> None:
    template = example("templates/tracheostomy-night", ruled=False)
    found = rename(template, at(template, "tracheostomy-night", "id  "), "trachy-night")
    assert isinstance(found, Action) and len(found.edits) > 3
    for path, edits in found.edits.items():
        after = read(applied(path.read_text("utf-8"), edits))
        assert after.document is not None
        assert ("id", "trachy-night") in _said(after) or ("follows", "trachy-night") in _said(after)
        assert ("id", "tracheostomy-night") not in _said(after) and ("follows", "tracheostomy-night") not in _said(
            after
        )
    taken = rename(template, at(template, "tracheostomy-night", "id  "), "newborn-tube")
    assert isinstance(taken, str) and taken.endswith("newborn-tube.vrx already")


def _said(snapshot: Snapshot) -> set[tuple[str, str]]:
    rows = [line.text.split() for line in snapshot.lines if line.text.startswith("  ")]
    return {(row[0], row[1]) for row in rows if len(row) > 1}


PERIODS = """\
prescription "p"
settings night from 21:00 to 07:00
  rate  12 /min
settings day
  rate  14 /min
alarms night
  high rate  40 /min
off ventilator
  return to night
accepted
  accept alarms.too-wide in night until 2026-12-31 because "at night" by "x"
"""


def test_a_period_is_renamed_wherever_it_is_named() -> None:
    snapshot = read(PERIODS)
    for position in (at(snapshot, "night"), at(snapshot, "night", "return to "), at(snapshot, "night", "too-wide in ")):
        found = rename(snapshot, position, "sleep-time")
        assert isinstance(found, Action)
        after = applied(PERIODS, found.edits[snapshot.path])
        assert after == PERIODS.replace("night", "sleep-time").replace('"at sleep-time"', '"at night"')


@pytest.mark.parametrize(
    ("new", "why"),
    [
        ("day", "there is a period day already"),
        ("asleep", "asleep is no name for a period"),
        ("from 21:00 to 22:00", "from 21:00 to 22:00 is no name for a period"),
        ("1st", "1st is no name for a period"),
        ("", "nothing is no name for a period"),
        ("night", "night is its name already"),
    ],
)
def test_why_a_period_is_not_renamed(new: str, why: str) -> None:
    snapshot = read(PERIODS)
    found = rename(snapshot, at(snapshot, "night"), new)
    assert isinstance(found, str) and found.startswith(why)


def test_what_has_no_name_is_not_renamed() -> None:
    snapshot = read(PERIODS)
    for what in ("settings", "from", "rate", "12", "high rate"):
        assert prepare(snapshot, at(snapshot, what)) is None
        assert isinstance(rename(snapshot, at(snapshot, what), "x"), str)
    asleep = read("settings asleep\n  rate  12 /min\n")
    assert prepare(asleep, at(asleep, "asleep")) is None
    template = example("templates/tracheostomy-night", ruled=False)
    assert prepare(template, at(template, "revision  ")) is None


def test_the_place_that_is_renamed_is_the_name() -> None:
    order = example("sound/TM-0417-tracheostomy-night", ruled=False)
    seen: set[str] = set()
    for line in order.lines:
        for column in range(1, len(line.text) + 2):
            place = prepare(order, Position(line.number, column))
            if place is not None:
                seen.add(order.lines[place.line - 1].text[place.column - 1 : place.end_column - 1])
    assert seen == {"TM-0417", "tracheostomy-night", "night"}


def test_whatever_stands_there_something_is_answered() -> None:
    named = 0
    for snapshot in [*prefixes(60, "sound", "templates", "slips"), *damaged(60, "sound", "templates")]:
        chosen = [*positions(snapshot, 4), Position(3, 17), Position(6, 17), Position(31, 12)]
        for position in chosen:
            place = prepare(snapshot, position)
            found = rename(snapshot, position, "x-1")
            assert (place is None) <= isinstance(found, str)
            if isinstance(found, Action):
                named += 1
                assert snapshot.path in found.edits
                applied(snapshot.text, found.edits[snapshot.path])
    assert named > 10
