"""How far a long run has come: shown at a terminal, gone when it is over, and nowhere else."""

import contextlib
import io
import os
import pty
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from rxlint.cli import main
from rxlint.commands import progress
from rxlint.commands.progress import Progress, picture
from tests.cli.orders import ON, SLIP, SOUND
from tests.conftest import RunCli

FILES = {"a.vrx": SOUND, "b.vrx": SLIP, "c.vrx": SOUND}


class Clock:
    """A clock that goes on by so many seconds whenever somebody looks."""

    def __init__(self, step: float) -> None:
        self.now, self.step = 0.0, step

    def __call__(self) -> float:
        self.now += self.step
        return self.now


def shown(total: int, step: float, *, wanted: bool = True) -> str:
    stream = io.StringIO()
    line = Progress(total, stream, Clock(step), wanted=wanted)
    assert list(line.over(range(total))) == list(range(total))
    return stream.getvalue()


def test_a_short_run_shows_nothing() -> None:
    assert shown(10, 0.19) == ""
    assert "10 of 10 screened" in shown(10, 0.21)


def test_one_document_alone_shows_nothing() -> None:
    assert shown(1, 10.0) == ""
    assert "2 of 2 screened" in shown(2, 10.0)


def test_what_is_not_wanted_shows_nothing() -> None:
    assert shown(10, 10.0, wanted=False) == ""


def test_it_is_not_drawn_more_often_than_anybody_sees() -> None:
    assert shown(1_000, 0.01).count("screened") == pytest.approx(80, abs=10)  # in eight seconds, ten a second


def test_it_is_taken_away_also_where_the_run_breaks_off() -> None:
    stream = io.StringIO()
    line = Progress(9, stream, Clock(10.0))
    with contextlib.suppress(KeyboardInterrupt):
        for each in line.over(range(9)):
            if each == 4:
                raise KeyboardInterrupt
    del line
    assert screen(stream.getvalue()) == [""]


def test_a_terminal_that_has_gone_stops_nothing() -> None:
    stream = io.StringIO()
    stream.close()
    assert list(Progress(3, stream, Clock(10.0)).over(range(3))) == [0, 1, 2]


def test_the_picture_fits() -> None:
    assert picture(5, 20, 79) == "[#######.......................] 5 of 20 screened"
    assert picture(1_234, 2_000, 79).endswith("] 1,234 of 2,000 screened")
    assert picture(20, 20, 24) == "20 of 20 screened"
    assert all(len(picture(5, 20, width)) <= width for width in range(80))


# ---- the command at a terminal


def screen(text: str) -> list[str]:
    """What stands on a terminal after all this was written to it."""
    rows, column = [""], 0
    for character in text:
        if character == "\r":
            column = 0
        elif character == "\n":
            rows.append("")
            column = 0
        else:
            rows[-1] = rows[-1][:column].ljust(column) + character + rows[-1][column + 1 :]
            column += 1
    return [row.rstrip() for row in rows]


@dataclass
class Ran:
    """What a run left: all that was written to the terminal, and what else standard output had."""

    terminal: str
    output: str
    code: int


@pytest.fixture
def orders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    for name, text in FILES.items():
        (tmp_path / name).write_text(text, "utf-8")
    monkeypatch.setattr(progress, "_AFTER", -1.0)
    monkeypatch.setattr(progress, "_EVERY", 0.0)
    monkeypatch.setenv("HOME", str(tmp_path / "nobody"))
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    with contextlib.chdir(tmp_path):
        yield tmp_path


def at_terminal(*arguments: str, output: str = "terminal", errors: str = "terminal") -> Ran:
    """Run `rxlint screen` with its streams at a real pseudo-terminal, or at a file or a pipe."""
    leader, follower = pty.openpty()
    got: list[bytes] = []
    reader = threading.Thread(target=_read, args=(leader, got))
    reader.start()
    piped: list[bytes] = []
    out, end = {"terminal": lambda: (os.dup(follower), -1), "file": _file, "pipe": os.pipe}[output]()
    if output == "pipe":
        out, end = end, out
    err = os.dup(follower) if errors == "terminal" else os.open("errors", os.O_WRONLY | os.O_CREAT)
    with (
        open(out, "w", encoding="utf-8") as stdout,
        open(err, "w", encoding="utf-8") as stderr,
        contextlib.redirect_stdout(stdout),
        contextlib.redirect_stderr(stderr),
        pytest.raises(SystemExit) as ended,
    ):
        main(["screen", *ON, *arguments], prog_name="rxlint")
    if output == "pipe":
        _read(end, piped)
    os.close(follower)
    reader.join(timeout=30)
    os.close(leader)
    text = Path("report").read_text("utf-8") if output == "file" else b"".join(piped).decode("utf-8")
    if errors == "file":
        text += Path("errors").read_text("utf-8")
    return Ran(b"".join(got).decode("utf-8").replace("\r\n", "\n"), text, int(ended.value.code or 0))


def _file() -> tuple[int, int]:
    return os.open("report", os.O_WRONLY | os.O_CREAT | os.O_TRUNC), -1


def _read(handle: int, got: list[bytes]) -> None:
    with contextlib.suppress(OSError):  # a terminal without a writer gives an error, not an end
        while data := os.read(handle, 65_536):
            got.append(data)


@pytest.fixture
def plain(orders: Path, run_cli: RunCli) -> str:
    return run_cli("screen", *ON, ".", cwd=orders).stdout


@pytest.mark.usefixtures("orders")
def test_at_a_terminal_the_report_stands_as_if_there_had_been_no_bar(plain: str) -> None:
    ran = at_terminal(".", "--colour", "never")
    assert "] 1 of 3 screened" in ran.terminal and "] 3 of 3 screened" in ran.terminal
    assert screen(ran.terminal) == [*(row.rstrip() for row in plain.splitlines()), ""]
    assert "\x1b" not in ran.terminal
    assert ran.code == 1


@pytest.mark.usefixtures("orders")
def test_beside_a_report_in_a_file_it_stands_alone(plain: str) -> None:
    ran = at_terminal(".", output="file")
    assert ran.output == plain
    assert "] 2 of 3 screened" in ran.terminal
    assert screen(ran.terminal) == [""]


@pytest.mark.usefixtures("orders")
@pytest.mark.parametrize(
    ("arguments", "output", "errors"),
    [
        ([], "pipe", "terminal"),
        ([], "file", "file"),
        ([], "pipe", "file"),
        (["--no-progress"], "file", "terminal"),
    ],
    ids=["into a pager", "redirected", "in a script", "not wanted"],
)
def test_elsewhere_nothing_of_it_appears(arguments: list[str], output: str, errors: str, plain: str) -> None:
    ran = at_terminal(".", *arguments, output=output, errors=errors)
    assert ran.output == plain
    assert ran.terminal == ""


@pytest.mark.usefixtures("orders")
def test_a_terminal_that_can_t_go_back_gets_none(plain: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    assert at_terminal(".").terminal == plain
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("NO_COLOR", "1")
    ran = at_terminal(".")
    assert "screened" in ran.terminal and "\x1b" not in ran.terminal
    monkeypatch.delenv("NO_COLOR")
    assert "\x1b" in at_terminal(".").terminal


@pytest.mark.usefixtures("orders")
def test_a_report_that_is_no_lines_is_left_alone_at_a_terminal() -> None:
    assert "of 3 screened" not in at_terminal(".", "--format", "json").terminal
    ran = at_terminal(".", "--format", "json", output="file")
    assert "] 3 of 3 screened" in ran.terminal and ran.output.startswith("{")


@pytest.mark.usefixtures("orders")
def test_an_explanation_makes_room_too(run_cli: RunCli) -> None:
    wanted = run_cli("screen", *ON, ".", "--explain", "alarms.order").stdout
    ran = at_terminal(".", "--explain", "alarms.order", "--colour", "never")
    assert screen(ran.terminal) == [*(row.rstrip() for row in wanted.splitlines()), ""]
    assert "of 3 screened" in ran.terminal
