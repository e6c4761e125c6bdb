"""A text with nothing between its quotation marks names nobody and gives no reason."""

import pytest

from tests.documents import screen

HEAD = 'prescription "x"\n  id TM-1\n  revision 1\n  status active\n'


def told(text: str) -> list[tuple[str, int, int]]:
    """What cannot be read or lacks a reason, with line and column from 1."""
    rules = ("notation.not-understood", "notation.alarm-off-unexplained", "governance.acceptance-incomplete")
    found = screen(text).findings
    return [(each.rule, each.place.line, each.place.column) for each in found if each.rule in rules]


@pytest.mark.parametrize("empty", ['""', '" "', '"\t"'])
@pytest.mark.parametrize(
    ("lines", "line", "column"),
    [
        ("  written 2026-11-20 09:00 by {}\n", 5, 31),
        ("checked 2026-11-20 10:00 by {}\n", 5, 29),
        ("escalation\n  call {} when SpO2 below 88 %\n", 6, 8),
        ("escalation\n  ceiling {}\n", 6, 11),
        ("patient\n  indication {}\n", 6, 14),
        ("readings at 2026-11-20 10:00 by {}\n  SpO2 95 %\n", 5, 33),
    ],
)
def test_an_empty_name_is_told_at_its_place(lines: str, line: int, column: int, empty: str) -> None:
    (first, *_) = told(HEAD + lines.format(empty))
    assert first == ("notation.not-understood", line, column)


@pytest.mark.parametrize("empty", ['""', '"  "'])
@pytest.mark.parametrize("alarm", ["high rate", "apnoea"])
def test_an_empty_reason_is_none(alarm: str, empty: str) -> None:
    ((rule, line, _),) = told(f"{HEAD}alarms\n  {alarm} off because {empty}\n")
    assert (rule, line) == ("notation.alarm-off-unexplained", 6)
    assert told(f'{HEAD}alarms\n  {alarm} off because "watched at the bedside"\n') == []


def test_a_named_check_is_read() -> None:
    assert told(f'{HEAD}  written 2026-11-20 09:00 by "registrar"\nchecked 2026-11-20 10:00 by "nurse"\n') == []


def test_an_order_that_nobody_signed_as_checked_is_not_checked() -> None:
    text = f'{HEAD}  written 2026-11-20 09:00 by "registrar"\n  review by 2027-01-01\nchecked 2026-11-20 10:00 by ""\n'
    found = screen(text).findings
    assert "notation.not-understood" in [each.rule for each in found if each.place.line == 7]
