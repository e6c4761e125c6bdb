"""Documents that are made to take for ever: refused at once, or screened in a time that their limits bound."""

import json
import os
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from rxlint.model.stated import MOST_SCOPES
from rxlint.screening.acceptances import MOST
from rxlint.text import MAX_BYTES, MAX_LINE, MAX_LINES
from tests.cli.orders import SLIP, SOUND
from tests.cli.test_bad_input import command
from tests.conftest import RunCli
from tests.hostile.texts import beside_a_slip, with_line

SECONDS = 110
"""Far more than any of these takes, far less than what none of them may take."""
HEAD = 'prescription "x"\n  id TM-1\n  revision 1\nsettings\n  mode A/C-PC\n  PEEP 5 cmH2O\n'


def times(count: int) -> list[str]:
    return [f"{at // 60:02}:{at % 60:02}" for at in range(count)]


REFUSED: dict[str, tuple[Callable[[], str], str]] = {
    "a million lines": (lambda: "\n" * 1_000_001, ": unread: the file is too long to be a prescription: 1,000,001 "),
    "one line of many megabytes": (lambda: "a" * (MAX_BYTES + 1), ": unread: the file is too large"),
    "one line of megabytes": (lambda: "a" * (MAX_BYTES - 1), ":1:1: reject: "),
    "more acceptances than anybody answers for": (
        lambda: HEAD + "accepted\n" + '  accept mode.x on PEEP until 2027-01-12 because "x" by "y"\n' * 40_000,
        f":{8 + MOST}:1: unread: the document accepts more findings than anybody answers for: the limit is {MOST:,}",
    ),
    "more periods than anybody writes": (
        lambda: HEAD + "".join(f"settings p{at}\n  PEEP 5 cmH2O\n" for at in range(MOST_SCOPES + 1)),
        f":{7 + 2 * (MOST_SCOPES - 1)}:1: unread: the document holds {MOST_SCOPES + 1:,} periods and 0 sets",
    ),
    "periods and readings that multiply": (
        lambda: HEAD
        + "".join(f"settings p{at}\n  PEEP 5 cmH2O\n" for at in range(5_000))
        + "readings 2026-11-01 10:00\n  SpO2 95 %\n" * 5_000,
        f":{7 + 10_000 + 2 * (MOST_SCOPES // 5_001)}:1: unread: the document holds 5,001 periods and "
        f"{MOST_SCOPES // 5_001 + 1:,} sets of readings up to here",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_document_beyond_its_limits_is_told_at_once(name: str, tmp_path: Path) -> None:
    make, expected = REFUSED[name]
    (tmp_path / "a.vrx").write_text(make(), "utf-8")
    (tmp_path / "b.vrx").write_text(SLIP, "utf-8")
    run = command(
        "screen",
        "a.vrx",
        "b.vrx",
        "--no-cache",
        "--on",
        "2026-11-24",
        cwd=tmp_path,
        RXLINT_CACHE=os.environ["RXLINT_CACHE"],
    )
    out, err = run.communicate(timeout=SECONDS)
    assert err == b""
    told = out.decode().splitlines()
    assert any(line.startswith(f"a.vrx{expected}") for line in told), told[:3]
    assert any(line.startswith("b.vrx:") for line in told)
    assert run.returncode == (1 if "reject" in expected else 3)


SCREENED: dict[str, Callable[[], str]] = {
    "lines that say the same": lambda: HEAD + "  rate 12 /min\n" * 20_000,
    "headings": lambda: HEAD + "settings\n" * 40_000,
    "rows": lambda: HEAD + "  FiO2 by SpO2\n" + "    90 %  21 %\n" * 20_000,
    "ids": lambda: HEAD + "settings\n" + "".join(f"  id TM-{at}\n" for at in range(5_000)),
    "periods": lambda: HEAD + "".join(f"settings p{at}\n  PEEP {5 + at % 9} cmH2O\n" for at in range(1_000)),
    "acceptances": lambda: (
        HEAD
        + "  rate 12 /min\n" * 10_000
        + "accepted\n"
        + '  accept notation.repeated-line on rate until 2027-01-12 because "x" by "y"\n' * 400
    ),
    "lines that mean nothing": lambda: HEAD + "".join(f"  zorp{at} {'qx ' * 9}\n" for at in range(4_000)),
    "brackets": lambda: HEAD + f"  keep PEEP = {'(' * 900}1{')' * 900}\n" * 20,
    "signs": lambda: HEAD + f"  keep PEEP = {'-' * 1_900}1\n" * 20,
    "quotation marks": lambda: HEAD + '"' * MAX_LINE + "\n" + f"  {chr(92) * 1_900}\n" * 50,
    "parts": lambda: HEAD + "circuit\n  assembly ventilator\n" + "    , tubing 160 cm\n" * 1_000,
}


@pytest.mark.parametrize("name", SCREENED)
def test_a_document_within_its_limits_is_screened_in_bounded_time(name: str, tmp_path: Path) -> None:
    (tmp_path / "a.vrx").write_text(SCREENED[name](), "utf-8")
    (tmp_path / "b.vrx").write_text(SLIP, "utf-8")
    run = command(
        "screen",
        ".",
        "--no-cache",
        "--on",
        "2026-11-24",
        "--format",
        "json",
        cwd=tmp_path,
        RXLINT_CACHE=os.environ["RXLINT_CACHE"],
    )
    out, err = run.communicate(timeout=SECONDS)
    assert (run.returncode, err) == (1, b"")
    one, other = json.loads(out)["documents"]
    assert one["findings"] and not one["problems"]
    assert [each["rule"] for each in other["findings"]] == ["notation.glued-unit"]


def test_nested_brackets_are_a_finding_at_their_line(tmp_path: Path, run_cli: RunCli) -> None:
    text, line = with_line(
        "  PEEP                  5 cmH2O", f"  PEEP                  5 cmH2O\n  keep PEEP = {'(' * 900}1{')' * 900}"
    )
    (tmp_path / "a.vrx").write_text(text, "utf-8")
    code, told = beside_a_slip(tmp_path, run_cli)
    assert code == 1
    assert any(each.startswith(f"a.vrx:{line + 1}:") and ": reject: " in each for each in told), told


def test_the_limits_are_those_that_are_told() -> None:
    assert (MAX_BYTES, MAX_LINES, MAX_LINE, MOST, MOST_SCOPES) == (4_194_304, 50_000, 2_000, 500, 10_000)
    assert len(SOUND) * 100 < MAX_BYTES


def test_an_order_that_is_watched_for_long_is_no_attack(tmp_path: Path) -> None:
    sets = "".join(f"readings 2026-11-01 {time}\n  SpO2 95 %\n" for time in times(480))
    (tmp_path / "a.vrx").write_text(SOUND + sets, "utf-8")
    run = command(
        "screen", "a.vrx", "--no-cache", "--on", "2026-11-24", cwd=tmp_path, RXLINT_CACHE=os.environ["RXLINT_CACHE"]
    )
    try:
        out, _ = run.communicate(timeout=SECONDS)
    except subprocess.TimeoutExpired:
        run.kill()
        raise
    assert run.returncode in (0, 1)
    assert b"unread" not in out
