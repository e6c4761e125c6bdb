"""Several runs at once over the same documents and the same place for what is kept: each tells the same as alone."""

import subprocess
import sys
import threading
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.cli.orders import ON, SLIP, SOUND
from tests.cli.programs import Program
from tests.faults.cases import BY
from tests.faults.operations import UNTIDY
from tests.faults.steps import files_of, hidden_in

COUNT = 24
Ended = tuple[int, str, str]


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    place = tmp_path / "orders"
    place.mkdir()
    for number in range(COUNT):
        text = UNTIDY if number % 2 else SLIP
        (place / f"{number:02}.vrx").write_text(text.replace("TM-0417", f"TM-{number}"), "utf-8")
    return place


def at_once(program: Program, cwd: Path, *commands: Sequence[str]) -> list[Ended]:
    """How commands end that are started at the same moment."""
    started = [
        subprocess.Popen(
            [sys.executable, "-m", "rxlint", *each],
            cwd=cwd,
            env=program.environment(),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for each in commands
    ]
    told: list[tuple[str, str]] = [("", "")] * len(started)

    def read(index: int) -> None:
        told[index] = started[index].communicate(timeout=100)

    readers = [threading.Thread(target=read, args=(index,)) for index in range(len(started))]
    for each in readers:
        each.start()
    for each in readers:
        each.join()
    return [(each.returncode, *texts) for each, texts in zip(started, told, strict=True)]


def test_two_that_screen_with_one_place_for_what_is_kept(program: Program, orders: Path) -> None:
    whole = program.run(".", "--no-cache", cwd=orders).stdout.decode()
    screening = ("screen", ".", *ON)
    for told in ("cold", "warm"):
        found = at_once(program, orders, screening, screening, (*screening, "--jobs", "2"))
        assert found == [(1, whole, "")] * 3, told


def test_two_that_tidy(program: Program, orders: Path) -> None:
    """Every document is tidy afterwards, and each was tidied by one of them, or seen to be by both."""
    found = at_once(program, orders, ("tidy", "."), ("tidy", "."))
    assert {code for code, _, _ in found} <= {0, 3}
    for code, out, err in found:
        assert (code == 3) == ("was changed meanwhile by somebody else; nothing is written" in err)
        assert "Traceback" not in err and "tidy already" in out
    untidy = [name for name, data in files_of(orders).items() if b"     PEEP 5" in data]
    assert untidy == [] and hidden_in(orders) == []
    assert all(data.startswith(b"prescription") for data in files_of(orders).values())
    again = at_once(program, orders, ("tidy", "--check", "."))
    assert again[0][0] == 0 and len(files_of(orders)) == COUNT


def test_one_that_tidies_and_one_that_screens(program: Program, orders: Path) -> None:
    """A document is screened as it was or as it is, whole; its findings are the same, for only white space changes."""
    tidied, screened = at_once(program, orders, ("tidy", "."), ("screen", ".", *ON))
    assert tidied[0] == 0 and tidied[2] == ""
    code, out, err = screened
    assert (code, err) == (1, "")
    assert f"{COUNT} documents: 0 to reject, {COUNT} queries, 0 notes." in out
    assert out.count("[notation.glued-unit]") == COUNT
    assert hidden_in(orders) == []
    done = program.run(".", cwd=orders)
    assert done.stdout == program.run(".", "--no-cache", cwd=orders).stdout


def test_two_that_endorse(program: Program, orders: Path) -> None:
    """One adds its line and the other refuses, or both add theirs, one after the other; no line is lost."""
    (orders / "00.vrx").write_text(SOUND, "utf-8")
    other = ("--by", "third checker, pharmacy", "--at", "2026-11-24 17:05")
    found = at_once(program, orders, *(("endorse", "00.vrx", *each, *ON) for each in (BY, other)))
    text = (orders / "00.vrx").read_text("utf-8")
    added = [f"checked 2026-11-24 {each}" in text for each in ("17:00", "17:05")]
    assert [code == 0 for code, _, _ in found] == added and any(added)
    assert text.startswith(SOUND) and hidden_in(orders) == []


def test_two_that_start_one_list(program: Program, orders: Path) -> None:
    """One starts it and the other is refused."""
    start = ("known", "--start", "known.txt", ".", *ON)
    found = at_once(program, orders, start, start)
    assert sorted(code for code, _, _ in found) == [0, 2]
    assert [code for code, _, _ in at_once(program, orders, ("known", "--check", "known.txt", ".", *ON))] == [0]
    assert hidden_in(orders) == []


def test_two_that_import_one_table(program: Program, tmp_path: Path) -> None:
    """Every row becomes a document once; what the other has made already is told as not overwritten."""
    place = tmp_path / "work"
    place.mkdir()
    (place / "t.csv").write_text("id,PEEP [cmH2O]\n" + "".join(f"TM-{each},5\n" for each in range(30)), "utf-8")
    found = at_once(program, place, *[("import", "t.csv", "-o", "new")] * 2)
    assert {code for code, _, _ in found} <= {0, 1}
    kept = sum(out.count("is there already and was not overwritten") for _, out, _ in found)
    assert kept == 30 and len(files_of(place / "new")) == 30 and hidden_in(place) == []
