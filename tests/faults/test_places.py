"""Odd locales, zones of time and clocks: the report is the same but for what day it is."""

import os
import re
import shutil
import sqlite3
import subprocess
import sys
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from rxlint.store.results import NAME
from tests.cli.orders import ON, SLIP, SOUND, changed
from tests.cli.programs import Program, is_hit
from tests.faults.operations import UNTIDY

ZONES = ("Pacific/Kiritimati", "Etc/GMT+12")  # they are never on the same day: UTC+14 and UTC-12
FORMS = ("json", "sarif", "junit", "github", "gitlab", "checkstyle")


@pytest.fixture
def orders(tmp_path: Path) -> Path:
    place = tmp_path / "orders"
    place.mkdir()
    (place / "a.vrx").write_text(SOUND, "utf-8")
    (place / "größe.vrx").write_text(SLIP.replace("TM-0417", "TM-2"), "utf-8")
    (place / "i.VRX").write_text(UNTIDY.replace("TM-0417", "TM-3"), "utf-8")
    return place


def run(program: Program, cwd: Path, *arguments: str, **environment: str) -> tuple[int, bytes, bytes]:
    done = subprocess.run(
        [sys.executable, "-m", "rxlint", *arguments],
        cwd=cwd,
        env=program.environment() | environment,
        capture_output=True,
        check=False,
    )
    return done.returncode, done.stdout, done.stderr


def own_place(program: Program, place: Path) -> Path:
    """A place for what is kept with the rules in it, so that a run starts fast, and no result."""
    return Path(shutil.copytree(program.cache, place, ignore=shutil.ignore_patterns("*.sqlite*")))


LOCALES = [
    {"LC_ALL": "C"},
    {"LC_ALL": "POSIX", "PYTHONUTF8": "0"},
    {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    {"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8"},
    {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "latin-1"},
    {"LC_ALL": "no_WHERE.nothing"},
]
TURKISH = 3


@pytest.fixture(scope="module", autouse=True)
def turkish(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The Turkish locale, where it can be made: its small letter of I is another one."""
    made = tmp_path_factory.mktemp("locales")
    if shutil.which("localedef"):
        called = ["localedef", "-i", "tr_TR", "-f", "UTF-8", str(made / "tr_TR.UTF-8")]
        subprocess.run(called, capture_output=True, check=False)
    LOCALES[TURKISH]["LOCPATH"] = str(made)


@pytest.mark.parametrize("locale", LOCALES, ids=lambda each: " ".join(f"{name}={each[name]}" for name in each))
def test_a_locale_changes_no_finding(locale: dict[str, str], program: Program, orders: Path) -> None:
    wanted = run(program, orders, "screen", ".", "--no-cache", *ON)
    found = run(program, orders, "screen", ".", "--no-cache", *ON, **locale)
    assert (found[0], found[2]) == (1, b"")
    spelled = ("größe".encode(), b"gr\xc3\xb6\xc3\x9fe")

    def plain(data: bytes) -> str:
        """The report without how the letters that the encoding lacks are spelled in it."""
        text = data.decode("utf-8", "backslashreplace").replace("größe", "NAME")
        return re.sub(r"gr(?:\\x[0-9a-f]{2}|<U\+[0-9A-F]{4}>|\\udc[0-9a-f]{2}){2,4}e", "NAME", text)

    assert plain(found[1]) == plain(wanted[1]) and spelled[0] in wanted[1]


@pytest.mark.parametrize("locale", LOCALES[1:4], ids=lambda each: " ".join(f"{name}={each[name]}" for name in each))
def test_a_locale_changes_no_byte_of_a_report_in_a_file(locale: dict[str, str], program: Program, orders: Path) -> None:
    (orders / "größe.vrx").rename(orders / "b.vrx")
    asked = [each for form in FORMS for each in ("--report", f"{form}=../{form}")]
    assert run(program, orders, "screen", ".", "--no-cache", *ON, *asked)[0] == 1
    wanted = {form: (orders.parent / form).read_bytes() for form in FORMS}
    assert run(program, orders, "screen", ".", "--no-cache", *ON, *asked, **locale)[0] == 1
    assert {form: (orders.parent / form).read_bytes() for form in FORMS} == wanted


@pytest.mark.parametrize("locale", LOCALES[1:4], ids=lambda each: " ".join(f"{name}={each[name]}" for name in each))
def test_a_locale_changes_no_byte_of_a_document_that_is_tidied(
    locale: dict[str, str], program: Program, orders: Path
) -> None:
    shutil.copytree(orders, orders.parent / "other")
    comment = "# größer İı\n".encode()
    for place, given in ((orders, {}), (orders.parent / "other", locale)):
        (place / "i.VRX").write_bytes(comment + (place / "i.VRX").read_bytes())
        assert run(program, place, "tidy", ".", **given)[0] == 0
    found = [(place / "i.VRX").read_bytes() for place in (orders, orders.parent / "other")]
    assert found[0] == found[1] and comment in found[0] and b"     PEEP 5" not in found[0]


def day_in(zone: str, later: timedelta = timedelta()) -> date:
    """What day it is in one of the two zones, or will be."""
    return (datetime.now(UTC) + timedelta(hours=14 if zone == ZONES[0] else -12) + later).date()


def steady_day(zone: str) -> date:
    """What day it is, and will be for long enough to screen something."""
    while day_in(zone) != day_in(zone, timedelta(minutes=1)):
        time.sleep(5)
    return day_in(zone)


@pytest.mark.parametrize("zone", ZONES)
def test_a_zone_decides_what_day_is_today_and_nothing_else(zone: str, program: Program, orders: Path) -> None:
    """A report of today is the one of that day anywhere else; one of a given day is the same in both zones."""
    day = steady_day(zone)
    shown: dict[str, bytes] = {}
    for each in ZONES:
        shown[each] = run(program, orders, "screen", ".", "--no-cache", *ON, "--format", "json", TZ=each)[1]
    assert shown[ZONES[0]] == shown[ZONES[1]] and b'"on":"2026-11-24"' in shown[zone]
    code, out, err = run(program, orders, "screen", ".", "--no-cache", "--format", "json", TZ=zone)
    assert code in (0, 1) and err == b""
    assert f'"on":"{day.isoformat()}"'.encode() in out
    assert (
        out
        == run(program, orders, "screen", ".", "--no-cache", "--on", day.isoformat(), "--format", "json", TZ="UTC")[1]
    )
    assert day_in(ZONES[0]) != day_in(ZONES[1])


@pytest.mark.parametrize("zone", ZONES)
def test_what_was_kept_in_another_zone_is_right_in_this_one(zone: str, program: Program, orders: Path) -> None:
    place = str(own_place(program, orders.parent / "kept"))
    for each in ZONES:
        run(program, orders, "screen", ".", TZ=each, RXLINT_CACHE=place)
    wanted = run(program, orders, "screen", ".", "--no-cache", TZ=zone)
    assert run(program, orders, "screen", ".", TZ=zone, RXLINT_CACHE=place) == wanted


# ---- clocks


def test_documents_from_the_future_are_screened_and_kept_like_others(program: Program, orders: Path) -> None:
    wanted = program.run(".", "--no-cache", cwd=orders).stdout
    ahead = time.time() + 400 * 86_400
    for path in orders.iterdir():
        os.utime(path, (ahead, ahead))
    (orders / "rxlint.yaml").write_text("policies: []\n", "utf-8")
    os.utime(orders / "rxlint.yaml", (ahead, ahead))
    for told in ("cold", "warm", "warm again"):
        assert program.run(".", cwd=orders).stdout == wanted, told
    text = changed("  PEEP                  5 cmH2O", "  PEEP                  6 cmH2O")
    (orders / "a.vrx").write_text(text, "utf-8")
    os.utime(orders / "a.vrx", (ahead, ahead))  # of the same size and time, and other bytes
    assert program.run(".", cwd=orders).stdout == program.run(".", "--no-cache", cwd=orders).stdout


def test_what_was_kept_on_a_day_that_is_yet_to_come_is_right(program: Program, orders: Path, tmp_path: Path) -> None:
    """The clock was set back: entries say that they were last used in a year's time."""
    own = program.with_cache(own_place(program, tmp_path / "own"))
    wanted = own.run(".", "--no-cache", cwd=orders).stdout
    assert own.run(".", cwd=orders).stdout == wanted
    with sqlite3.connect(own.cache / NAME) as base:
        assert base.execute("UPDATE result SET used = used + 400").rowcount == 3
        base.execute("UPDATE note SET used = used + 400")
    base.close()
    ahead = time.time() + 400 * 86_400
    for path in own.cache.iterdir():
        os.utime(path, (ahead, ahead))
    assert own.run(".", cwd=orders).stdout == wanted
    assert is_hit(own, ".", cwd=orders)
    with sqlite3.connect(own.cache / NAME) as base:
        latest = base.execute("SELECT max(used) FROM result").fetchone()[0]
    base.close()
    assert latest <= time.time() // 86_400  # used today, and not to be kept longer than others


def test_a_program_from_the_future_keeps_nothing(program: Program, orders: Path, tmp_path: Path) -> None:
    """Its code may be changed again at a time that it bears already: what is kept would not be told apart."""
    shutil.copytree(program.folder, tmp_path / "own", ignore=shutil.ignore_patterns("kept"))
    own = Program(tmp_path / "own", tmp_path / "place")
    own.cache.mkdir(mode=0o700)
    ahead = time.time() + 400 * 86_400
    path = own.folder / "rxlint" / "screening" / "walks.py"
    os.utime(path, (ahead, ahead))
    wanted = own.run(".", "--no-cache", cwd=orders).stdout
    for _ in range(2):
        assert own.run(".", cwd=orders).stdout == wanted
    assert not list(own.cache.glob("*.sqlite"))
