"""Characters in a document that are not what they seem, and numbers that are none."""

from pathlib import Path

import pytest

from tests.cli.orders import ON
from tests.conftest import RunCli
from tests.hostile.texts import ACTS, acting, beside_a_slip, with_line

PEEP = "  PEEP                  5 cmH2O"
# where it stands, what stands there instead, and the column that is told
DECEPTIONS = {
    "Cyrillic letters in a term": (PEEP, "  \u0420\u0415\u0415\u0420                  5 cmH2O", 3),
    "a Cyrillic letter in a term": (PEEP, "  P\u0415EP                  5 cmH2O", 4),
    "a Greek letter in a term": (PEEP, "  PEE\u03a1                  5 cmH2O", 6),
    "a fullwidth letter in a term": (PEEP, "  \uff30EEP                  5 cmH2O", 3),
    "a Cyrillic letter in a unit": (PEEP, "  PEEP                  5 \u0441mH2O", 27),
    "a subscript digit in a unit": (PEEP, "  PEEP                  5 cmH\u2082O", 30),
    "a fullwidth digit": (PEEP, "  PEEP                  \uff15 cmH2O", 25),
    "an Arabic digit": (PEEP, "  PEEP                  \u0665 cmH2O", 25),
    "a superscript digit": (PEEP, "  PEEP                  5\u00b2 cmH2O", 26),
    "a mathematical digit": (PEEP, "  PEEP                  \U0001d7d3 cmH2O", 25),
    "a fullwidth point": (PEEP, "  PEEP                  5\uff0e5 cmH2O", 26),
    "a letter for a digit": (PEEP, "  PEEP                  l0 cmH2O", 25),
    "a text turned round in a number": (PEEP, "  PEEP                  \u202e51\u202c cmH2O", 25),
    "an isolate in a number": (PEEP, "  PEEP                  1\u20665\u2069 cmH2O", 26),
    "an Arabic letter mark": (PEEP, "  PEEP                  1\u061c5 cmH2O", 26),
    "a space of no width in a term": (PEEP, "  PE\u200bEP                  5 cmH2O", 5),
    "a soft hyphen in a number": (PEEP, "  PEEP                  1\u00ad5 cmH2O", 26),
    "a tag character in a unit": (PEEP, "  PEEP                  5 cmH2O\U000e0041", 32),
    "a byte order mark in a line": (PEEP, "  PEEP                  5 \ufeffcmH2O", 27),
    "a Hangul filler in a number": (PEEP, "  PEEP                  1\u31645 cmH2O", 26),
    "a control character": (PEEP, "  PEEP                  5\x08 cmH2O", 26),
    "an escape": (PEEP, "  PEEP                  \x1b[8m1\x1b[0m5 cmH2O", 25),
    "a carriage return within a line": (PEEP, "  PEEP 15 cmH2O\r  PEEP                  5 cmH2O", 16),
    "a separator of lines": (PEEP, "  PEEP                  5 cmH2O\u2028  rate 3 /min", 32),
    "a direction in an id": ("  id           TM-0417", "  id           TM-0\u202e174\u202c", 20),
    "a Cyrillic letter in an id": ("  id           TM-0417", "  id           T\u041c-0417", 17),
    "a direction in a quoted text": ('"consultant nurse', '"\u202econsultant nurse', None),
    "a space of no width in a quoted text": ('"consultant nurse', '"\u200bconsultant nurse', None),
}


@pytest.mark.parametrize("name", DECEPTIONS)
def test_what_is_not_what_it_seems_is_rejected_at_its_place(name: str, tmp_path: Path, run_cli: RunCli) -> None:
    old, new, column = DECEPTIONS[name]
    text, line = with_line(old, new)
    (tmp_path / "a.vrx").write_bytes(text.encode())
    code, told = beside_a_slip(tmp_path, run_cli)
    at = column if column is not None else text.split("\n")[line - 1].index('"') + 2
    assert code == 1
    assert any(each.startswith(f"a.vrx:{line}:{at}: reject: ") for each in told), told
    assert acting("\n".join(told)) == []


def test_every_character_that_acts_is_told_by_its_number(tmp_path: Path, run_cli: RunCli) -> None:
    text, line = with_line(PEEP, f"{PEEP} {ACTS[1:]}")
    (tmp_path / f"a{ACTS[1:]}.vrx").write_bytes(text.encode())
    for form in ("text", "json", "sarif", "junit", "checkstyle", "github", "gitlab"):
        found = run_cli("screen", ".", *ON, "--coverage", "--format", form)
        assert found.exit_code == 1
        assert acting(found.output) == [], form
        if form in ("text", "github"):
            assert all(f"<U+{ord(char):04X}>" in found.stdout for char in ACTS[1:]), form
    assert f".vrx:{line}:" in run_cli("screen", ".", *ON).stdout


NUMBERS = {
    "an exponent": ("5 cmH2O", "1e999 cmH2O"),
    "infinity": ("5 cmH2O", "inf cmH2O"),
    "no number": ("5 cmH2O", "NaN cmH2O"),
    "more digits than a float holds": ("5 cmH2O", "9" * 400 + " cmH2O"),
    "as many digits as a line holds": ("5 cmH2O", "9" * 1900 + " cmH2O"),
    "more digits than Python converts": ("5 cmH2O", "9" * 300_000 + " cmH2O"),
    "next to nothing": ("5 cmH2O", "0." + "0" * 1800 + "1 cmH2O"),
    "an underscore": ("5 cmH2O", "1_0 cmH2O"),
    "a number of another base": ("5 cmH2O", "0x5 cmH2O"),
}


@pytest.mark.parametrize("name", NUMBERS)
def test_a_number_that_is_none_is_rejected_at_its_place(name: str, tmp_path: Path, run_cli: RunCli) -> None:
    old, new = NUMBERS[name]
    text, line = with_line(PEEP, PEEP.replace(old, new))
    (tmp_path / "a.vrx").write_text(text, "utf-8")
    code, told = beside_a_slip(tmp_path, run_cli)
    assert code == 1
    assert any(each.startswith(f"a.vrx:{line}:") and ": reject: " in each for each in told), told
    assert all(len(each) < 3_000 for each in told)


@pytest.mark.parametrize("digits", ["9" * 400, "9" * 1_500, "0." + "0" * 1_500 + "1"], ids=["large", "long", "small"])
@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  revision  1", "  revision  {}"),
        ("  rate                  14 /min", "  rate                  {} /min"),
        ("54 years", "{} years"),
    ],
    ids=["revision", "rate", "age"],
)
def test_too_many_digits_are_no_number_of_any_term(
    old: str, new: str, digits: str, tmp_path: Path, run_cli: RunCli
) -> None:
    order = ORDER.replace(old, new.format(digits))
    assert order != ORDER
    (tmp_path / "a.vrx").write_text(order, "utf-8")
    code, told = beside_a_slip(tmp_path, run_cli)
    line = next(number for number, each in enumerate(order.split("\n"), 1) if digits in each)
    assert code == 1, told
    assert any(each.startswith(f"a.vrx:{line}:") and ": reject: " in each for each in told), told


ORDER = """prescription "x"
  id        TM-1
  revision  1
  written   2026-11-02 09:30 by "registrar"
patient
  age         54 years
settings
  mode                  A/C-PC
  rate                  14 /min
"""
