"""Reading and working out from Python, and texts that nobody should be hurt by."""

import json
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import rxlint
from tests.conftest import ROOT, RunCli
from tests.interface.examples import CHOSEN, DAY, HOSTILE, ORDER, SLIP


def statement(parsed: rxlint.Parsed, term: str) -> rxlint.Statement:
    (found,) = (each for each in parsed.statements if each.term == term)
    return found


def test_statements_are_told_in_standard_spelling_with_exact_numbers() -> None:
    text = ORDER + "  pressure support 1.5kPa above PEEP allow 10 to 16 cmH2O\n  rate 12 /min\n"
    parsed = rxlint.parse(text)
    assert (parsed.kind, parsed.title, parsed.problems) == ("prescription", "x", ())
    rate, support = statement(parsed, "rate"), statement(parsed, "pressure support")
    assert (rate.section, rate.value, rate.written, rate.is_read) == ("settings", "12 /min", "rate 12 /min", True)
    assert rate.quantity == rxlint.Quantity("exact", (Fraction(12),), "/min", None, None, None)
    assert (rate.place.line, rate.place.column, rate.place.end_column) == (6, 3, 15)
    assert support.quantity is not None
    assert (support.quantity.numbers, support.quantity.unit) == ((Fraction(3, 2),), "kPa")
    assert support.quantity.reference == "PEEP"


def test_a_line_that_cant_be_read_is_there_and_says_so() -> None:
    parsed = rxlint.parse(ORDER + "  rate twelve\n  what is this\nnonsense\n  PEEP 6 cmH2O\n")
    assert [(each.kind, each.written) for each in parsed.statements if not each.is_read] == [
        ("detail", "rate twelve"),
        ("detail", "what is this"),
        ("heading", "nonsense"),
        ("unread", "PEEP 6 cmH2O"),
    ]
    assert all(each.value is None and each.quantity is None for each in parsed.statements if not each.is_read)


def test_periods_and_tables() -> None:
    text = (
        'template "x"\nsettings night\n  mode A/C-PC\n  rate by age\n    1 to 3 years  22 to 30 /min\n'
        "    3 to 6 years  20 /min\n"
    )
    rows = [each for each in rxlint.parse(text).statements if each.kind == "row"]
    assert [(each.period, each.term, each.value) for each in rows] == [
        ("night", "rate", "1 to 3 years 22 to 30 /min"),
        ("night", "rate", "3 to 6 years 20 /min"),
    ]
    assert rows[0].quantity is not None and rows[0].quantity.numbers == (Fraction(22), Fraction(30))


@pytest.mark.parametrize("path", CHOSEN, ids=lambda path: path.stem)
def test_every_line_that_says_something_is_in_a_statement(path: Any) -> None:
    text = path.read_text("utf-8")
    parsed = rxlint.parse(text)
    held = {line for each in parsed.statements for line in range(each.place.line, each.place.end_line + 1)}
    saying = {n for n, line in enumerate(text.split("\n"), 1) if line.strip() and not line.strip().startswith("#")}
    assert saying <= held
    assert parsed.id is not None and not parsed.problems


def test_it_works_out_what_the_command_line_works_out(run_cli: RunCli) -> None:
    for path in (SLIP, ROOT / "tests" / "cases" / "calculations" / "child-volume-targeted.vrx"):
        told = json.loads(run_cli("calculations", "--format", "json", path).stdout)["documents"][0]
        derived = rxlint.derive(path.read_bytes())
        assert derived.problems == () and derived.id == told["id"] and len(derived.values) > 10
        for value, entry in zip(derived.values, told["derived"], strict=True):
            low, high = (entry["low"], entry["high"]) if value.is_range else (entry["value"], entry["value"])
            assert (float(value.low), float(value.high)) == (low, high)
            keys = ("term", "unit", "formula", "numbers", "source", "period", "band", "readings")
            assert [getattr(value, key) for key in keys] == [entry[key] for key in keys]
            assert value.text


def test_a_range_has_two_ends() -> None:
    text = ORDER + "  inspiratory pressure 15 to 20 cmH2O above ambient\n"
    (above,) = (each for each in rxlint.derive(text).values if each.term == "pressure above baseline")
    assert above.low == 10 and above.high == 15 and above.is_range
    assert (above.unit, above.text) == ("cmH2O", "10 cmH2O to 15 cmH2O")


@pytest.mark.parametrize("name", HOSTILE)
def test_no_text_makes_anything_fail(name: str) -> None:
    text = HOSTILE[name]
    screened = rxlint.screen_text(text, on=DAY)
    assert screened.fails("reject"), "it must not look clean"
    parsed, derived = rxlint.parse(text), rxlint.derive(text)
    assert bool(parsed.problems) == bool(derived.problems) == bool(screened.problems)
    assert not any("fault of this program" in each.message for each in (*screened.problems, *parsed.problems))
    compared = rxlint.compare(text, ORDER, on=DAY)
    assert bool(compared.problems) == bool(parsed.problems)
    assert all("fault of this program" not in each.message for each in compared.problems)


@given(st.one_of(st.text(max_size=200), st.binary(max_size=200)))
def test_no_text_at_all_makes_anything_fail(text: str | bytes) -> None:
    parsed, screened = rxlint.parse(text), rxlint.screen_text(text, on=DAY)
    assert all("fault of this program" not in each.message for each in (*parsed.problems, *screened.problems))
    assert screened.fails("reject")
