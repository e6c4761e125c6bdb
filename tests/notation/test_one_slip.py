"""One slip, one event: each hazard of writing at its exact place, and the rest of the file read as if alone."""

import pytest

from rxlint.notation import Document
from tests.notation.plain import document_of, told

BEFORE = 'prescription "x"\nsettings\n  rate  20 /min\n'
AFTER = "  inspiratory time  1 s\nalarms\n  high rate  40 /min\n"

# What stands as a detail of the settings, or after its section's name and a colon; then columns and the event.
SLIPS = [
    ("PEEP  .5 cmH2O", 9, 11, "leading-zero"),
    ("PEEP  5.0 cmH2O", 9, 12, "trailing-zero"),
    ("trigger sensitivity  0.50 L/min", 24, 28, "trailing-zero"),
    ("inspiratory pause  0,9 s", 22, 25, "decimal-comma"),
    ("tidal volume  1,500 mL", 17, 22, "decimal-comma"),
    ("back-up rate  12 bpm", 20, 23, "unit-discouraged"),
    ("tidal volume  450 cc", 21, 23, "unit-discouraged"),
    ("patient: weight  50 lbs measured", 14, 17, "unit-discouraged"),
    ("circuit: humidifier temperature  37 F", 27, 31, "unit-mismatch"),
    ("PEEP  5 cmH20", 11, 16, "look-alike"),
    ("back-up rate  1O /min", 17, 19, "look-alike"),
    ("back-up rate  l2 /min", 17, 19, "look-alike"),
    ("РEEP  5 cmH2O", 3, 4, "look-alike"),  # noqa: RUF001 - Cyrillic Er
    ("PEEP  5 сmH2O", 11, 12, "look-alike"),  # noqa: RUF001 - Cyrillic Es
    ("PEEP  ５ cmH2O", 9, 10, "look-alike"),  # noqa: RUF001 - fullwidth digit
    ("PEEP  5\u00a0cmH2O", 10, 11, "odd-space"),
    ("PEEP  1\u200b0 cmH2O", 10, 11, "hidden-character"),
    ("PEEP  \u202e5 cmH2O", 9, 10, "hidden-character"),
    ("PEEP  5\ufe0f cmH2O", 10, 11, "hidden-character"),
    ("PEEP  5\x0c cmH2O", 10, 11, "hidden-character"),
    ('patient: indication  "a\u202eb"', 17, 18, "hidden-character"),
    ("PEEP  5cmH2O", 9, 15, "glued-unit"),
    ("patient: age  7years", 8, 14, "glued-unit"),
    ("patient: age  7years 4 months", 8, 14, "glued-unit"),
    ("PEEP  4-8 cmH2O", 9, 12, "range-dash"),
    ("PEEP  4 – 8 cmH2O", 9, 14, "range-dash"),  # noqa: RUF001 - en dash
    ("PEEP  4–8 cmH2O", 9, 12, "range-dash"),  # noqa: RUF001 - en dash
    ("PEEP  5", 9, 10, "unit-missing"),
    ("FiO2  40", 9, 11, "unit-missing"),
    ("PEEP  5 L/min", 9, 16, "unit-mismatch"),
    ("PEEP  1:2", 9, 12, "unit-mismatch"),
    ("PEEP  8 to 5 cmH2O", 9, 21, "reversed-range"),
    ("PEEP  5 cmH2O allow 8 to 4 cmH2O", 23, 35, "reversed-range"),
    ("PEEP  9 cmH2O allow 4 to 8 cmH2O", 9, 35, "outside-allowed"),
    ("PEEP  50 cmH2O", 9, 17, "implausible"),
    ("inspiratory pressure  17 cmH2O", 25, 33, "reference-missing"),
    ("PEEP  5 cmH2O above PEEP", 17, 27, "reference-mismatch"),
    ("back-up rate  12 /min above PEEP", 25, 35, "reference-mismatch"),
    ("tidal volume  6 mL/kg", 17, 24, "basis-missing"),
    ("PEEEP  5 cmH2O", 3, 8, "unknown-term"),
    ("mode  SIMV-PX", 9, 16, "unknown-word"),
    ("trigger  flowing", 12, 19, "unknown-word"),
    ("PEEP  5 cmH2X", 11, 16, "unknown-word"),
    ("circuit: assembly  ventilator, filtre, tubing 180 cm", 25, 31, "unknown-word"),
    ("targets: tube size  5 mm", 3, 12, "misplaced-term"),
    ("rate  18 /min", 3, 7, "repeated-term"),
    ("mode  A/C-PC or", 18, 18, "not-understood"),
    ('patient: indication  "not closed', 15, 26, "not-understood"),
    ('patient: indication  "line\\nfeed"', 20, 22, "not-understood"),
    ("circuit: assembly  ventilator, filter,", 31, 32, "not-understood"),
    ("trigger  flow,", 16, 17, "not-understood"),
    ("PEEP  5 cmH2O 7 cmH2O", 17, 18, "not-understood"),
    ("PEEP  by FiO2", 3, 16, "not-understood"),
    ("keep", 7, 7, "not-understood"),
    ('head: written  2026-02-30 by "x"', 12, 22, "not-understood"),
    ('head: written  2026-11-02 25:61 by "x"', 12, 28, "not-understood"),
    ("head: revision  5.0", 13, 16, "not-understood"),
    ("alarms: power loss  off", 3, 13, "off-without-reason"),
    ("x" * 3000, 3, 4, "line-too-long"),
    ("settings", 3, 11, "not-understood"),  # a heading that lost its place at the margin
]


def lines_with(slip: str) -> tuple[str, int, str]:
    """A document with the slip in it, the slip's line, and the same document without it."""
    section, colon, detail = slip.partition(": ")
    if not colon or section not in ("patient", "circuit", "targets", "alarms", "head"):
        section, detail = "settings", slip
    if section == "head":
        first, rest = BEFORE.split("\n", 1)
        return f"{first}\n  {detail}\n{rest}{AFTER}", 2, BEFORE + AFTER
    heading = "" if section == "settings" else f"{section}\n"
    text = f"{BEFORE}{heading}  {detail}\n"
    back = "" if section == "settings" else "settings from 01:00 to 02:00\n"
    line = text.count("\n")
    return text + back + AFTER, line, BEFORE + heading + back + AFTER


def values(document: Document) -> dict[str, object]:
    return {
        entry.text: entry.statement.values
        for block in document.blocks
        for entry in block.details
        if entry.statement is not None and entry.statement.readable
    }


@pytest.mark.parametrize(("slip", "column", "end", "name"), SLIPS, ids=[slip[:40] for slip, *_ in SLIPS])
def test_one_slip_one_event(slip: str, column: int, end: int, name: str) -> None:
    text, line, sound = lines_with(slip)
    document = document_of(text)
    assert told(document) == [(line, column, line, end, f"reader.{name}")]
    assert told(document_of(sound)) == []
    found = values(document)
    assert {key: found.get(key) for key in values(document_of(sound))} == values(document_of(sound))


MARGIN = [
    ("setings\n  PEEP 5 cmH2O\n", 1, 8, "unknown-word"),
    ("settings night from 9pm\n  PEEP 5 cmH2O\n", 21, 24, "not-understood"),
    ("settings night from 21:00 to 07:00 and\n  PEEP 5 cmH2O\n", 39, 39, "not-understood"),
    ("PEEP 5 cmH2O\n", 1, 13, "not-understood"),
    ("PEEEP 5 cmH2O\n", 1, 14, "not-understood"),
    ("oxygen inlet capped\n", 1, 20, "not-understood"),
    ("back-up rate 12 /min\n", 1, 21, "not-understood"),
    ('prescription "two"\nsettings\n  PEEP nonsense\n', 1, 19, "second-document"),
    ('checked 2026-13-02 by "x"\n', 9, 19, "not-understood"),
    ("readings at 2026-11-02 24:00\n", 13, 29, "not-understood"),
    ('checked 2026-11-02 by "x"\n  PEEP 5 cmH2O\n', 3, 15, "heading-has-no-details"),
    ("back-up after apnoea 15\n  PEEP 5 cmH2O\n", 22, 24, "unit-missing"),
    ("settings as needed up to 3 %\n  PEEP 5 cmH2O\n", 26, 29, "not-understood"),
    ("patient day\n  age 7 years\n", 1, 8, "not-understood"),
]


@pytest.mark.parametrize(("text", "column", "end", "name"), MARGIN, ids=[text.split("\n")[0] for text, *_ in MARGIN])
def test_one_slip_at_the_margin(text: str, column: int, end: int, name: str) -> None:
    document = document_of(BEFORE + text)
    line = 5 if name == "heading-has-no-details" else 4
    assert told(document) == [(line, column, line, end, f"reader.{name}")]


FIRST = [
    ('  PEEP 5 cmH2O\nprescription "x"\n', 1, 3, 15, "no-section"),
    ("settings\n  PEEP 5 cmH2O\n", 1, 1, 9, "no-document"),
    ("# nothing but a comment\n", None, 0, 0, ""),
    ('prescription "not closed\n  id A\n', 1, 14, 25, "not-understood"),
    ('presciption "x"\n  id A\n', 1, 1, 12, "unknown-word"),
    (' prescription "x"\n  id A\n', 1, 2, 18, "not-understood"),
    ("prescription\n  id A\n", 1, 13, 13, "not-understood"),
]


@pytest.mark.parametrize(
    ("text", "line", "column", "end", "name"), FIRST, ids=[text.split("\n")[0] for text, *_ in FIRST]
)
def test_one_slip_in_the_first_line(text: str, line: int | None, column: int, end: int, name: str) -> None:
    expected = [] if line is None else [(line, column, line, end, f"reader.{name}")]
    assert told(document_of(text)) == expected


def test_an_unindented_detail_hides_none_of_those_below() -> None:
    document = document_of('prescription "x"\nsettings\n  PEEP 5 cmH2O\nrate 20 /min\n  inspiratory time 1 s\n')
    assert [name for *_, name in told(document)] == ["reader.not-understood"]
    assert [entry.text for entry in document.blocks[1].details] == ["  PEEP 5 cmH2O", "  inspiratory time 1 s"]
    assert document.unread_sections


def test_headings_that_cannot_be_read_do_not_collide() -> None:
    text = 'prescription "x"\nsettings day from 9am\n  PEEP 5 cmH2O\nsettings night from 9pm\n  PEEP 6 cmH2O\n'
    assert [name for *_, name in told(document_of(text))] == ["reader.not-understood"] * 2


@pytest.mark.parametrize(
    "text",
    ["1e3", "1_000", "+5", "05", "5.", "nan", "inf", "\u0665", "5²", "\uff15", "½", "0x5", "5'", "--5", "5..1"],
)
def test_what_is_no_number_is_never_read_as_one(text: str) -> None:
    for section, detail in (
        ("settings", f"PEEP {text} cmH2O"),
        ("head", f"revision {text}"),
        ("targets", f"pH {text}"),
    ):
        head = "" if section == "head" else f"{section}\n"
        document = document_of(f'prescription "x"\n{head}  {detail}\n')
        assert len(told(document)) == 1
        statement = document.blocks[-1].details[0].statement
        assert statement is not None and not statement.readable and not statement.values
