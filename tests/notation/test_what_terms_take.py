"""What a term does not take is an event at its place, never passed over; what it takes is read without a word."""

from fractions import Fraction

import pytest

from rxlint.notation import nodes as n
from rxlint.notation.statements import read_detail
from tests.notation.plain import document_of, told

REFUSED = [
    ("settings", "PEEP 5 cmH2O at mask", 16, 23),
    ("settings", "rate 20 /min measured", 16, 24),
    ("settings", "rate 20 /min after 10 s", 22, 26),
    ("settings", "rate 20 /min at 10 cmH2O", 19, 27),
    ("settings", "rate 20 /min of measured weight", 19, 34),
    ("settings", "PEEP 5 cmH2O above ambient above ambient", 30, 43),
    ("oxygen", "flow 1 L/min at mask at leak port", 27, 36),
    ("settings", "PEEP off", 3, 7),
    ("settings", "PEEP by PEEP", 11, 15),
    ("settings", "FiO2 1:2", 8, 11),
    ("settings", "I:E 2", 7, 8),
    ("settings", "PEEP 4 to 8 cmH2O in steps of 0 cmH2O", 33, 40),
    ("settings", "PEEP 4 to 8 cmH2O allow automatic between 3 and 9 cmH2O", 45, 58),
    ("patient", "height 121 cm allow 100 to 130 cm", 23, 36),
    ("patient", "height off", 3, 9),
    ("patient", "weight 22 kg measured 2026-13-45", 16, 35),
    ("patient", "age 7 years 14 months", 15, 24),
    ("patient", "age 4 months 7 months", 16, 24),
    ("patient", "age automatic between 3 and 5 years", 25, 38),
    ("patient", "hypercapnia risk on", 3, 19),
    ("alarms", "power loss yes", 3, 13),
    ("alarms", "high rate 40 /min allow 30 to 40 /min", 27, 40),
    ("alarms", "high rate 30 to 40 /min in steps of 1 /min", 39, 45),
    ("alarms", "high rate automatic between 30 and 40 /min", 31, 45),
    ("targets", "SpO2 94 to 98 % allow 92 to 98 %", 25, 35),
    ("readings", "rate 20 to 25 /min", 8, 21),
    ("readings", "rate 5 or 8 /min", 8, 19),
    ("readings", "rate up to 8 /min", 14, 20),
    ("readings", "rate off", 3, 7),
    ("readings", "rate by age", 11, 14),
    ("readings", "rate 20 /min allow 10 to 30 /min", 22, 35),
    ("titration", "raise PEEP by 1 cmH2O every 0 min", 31, 36),
    ("airway", "interface oronasal mask vented or non-vented", 37, 47),
    ("airway", "interface tracheostomy cuffed uncuffed", 33, 41),
    ("circuit", "assembly ventilator, tubing -5 cm", 31, 36),
    ("monitoring", "capnograph 5 mL", 14, 18),
    ("oxygen", "cylinder foo", 12, 15),
    ("off ventilator", "0 min on tracheostomy mask", 3, 8),
    ("escalation", 'call "x" when SpO2 below 90 % for 0 min', 37, 42),
]


@pytest.mark.parametrize(("section", "detail", "column", "end"), REFUSED, ids=[f"{s} - {d}" for s, d, *_ in REFUSED])
def test_what_a_term_does_not_take_is_not_understood(section: str, detail: str, column: int, end: int) -> None:
    document = document_of(f'prescription "x"\n{section}\n  {detail}\n')
    assert told(document) == [(3, column, 3, end, "reader.not-understood")]
    statement = document.blocks[-1].details[0].statement
    assert statement is not None and not statement.readable and not statement.values


@pytest.mark.parametrize(
    ("detail", "column", "end"),
    [("id  ?", 7, 8), ("id  -", 7, 8), ("follows  ? revision 5", 12, 13), ("replaces  ?? revision 4", 13, 15)],
)
def test_a_question_mark_or_a_dash_is_no_identifier(detail: str, column: int, end: int) -> None:
    document = document_of(f'prescription "x"\n  {detail}\n')
    assert told(document) == [(2, column, 2, end, "reader.not-understood")]
    statement = document.blocks[0].details[0].statement
    assert statement is not None and not statement.readable


def test_nor_is_it_that_of_the_order_which_readings_are_of() -> None:
    document = document_of("readings for ? revision 5\nreadings at 2026-11-24 08:00\n  SpO2  94 %\n")
    assert (1, 14, 1, 15, "reader.not-understood") in told(document)


@pytest.mark.parametrize("name", ["7", "TM-9001", "é", "ward_2", "a?"])
def test_other_identifiers_are_read(name: str) -> None:
    assert told(document_of(f'prescription "x"\n  id  {name}\n')) == []


def test_the_event_names_what_the_term_takes() -> None:
    event = read_detail("settings", "  inspiratory pressure 5 cmH2O above PEEP at mask").events[0]
    assert event.fields["what"] == "inspiratory pressure takes no place"
    assert event.fields["expected"] == "above ambient, above PEEP, allow, in steps of, the end of the line"
    event = read_detail("patient", "  weight 22 kg weighed").events[0]
    assert event.fields["expected"] == "measured, estimated, birth, dry, the end of the line"


@pytest.mark.parametrize(
    ("section", "detail", "begins", "never"),
    [
        ("settings", "PEEP five", "a number, ", ("an age", "a ratio")),
        ("settings", "FiO2 ?", "a number, ", ("an age", "a ratio")),
        ("settings", "I:E ?", "a ratio such as 1:2, ", ("an age", "a number")),
        ("patient", "age ?", "an age, ", ("a ratio",)),
    ],
)
def test_what_is_expected_is_what_the_term_takes(
    section: str, detail: str, begins: str, never: tuple[str, ...]
) -> None:
    expected = read_detail(section, f"  {detail}").events[0].fields["expected"]
    assert expected.startswith(begins) and not any(each in expected for each in never), expected


OTHER_EVENTS = [
    ("titration", "raise trigger by 1 every 10 min", 9, 16, "unknown-word"),
    ("titration", "raise PEEP and rate by 1 cmH2O up to 9 cmH2O", 26, 33, "unit-mismatch"),
    ("titration", "raise rate by 1 /min up to 25 /min above PEEP", 30, 48, "reference-mismatch"),
    ("titration", "raise PEEP by 1 cmH2O up to 90 cmH2O", 31, 39, "implausible"),
    ("escalation", 'call "x" when SpO2 below 920 %', 28, 33, "implausible"),
    ("oxygen", "cylinder 4 L", 12, 15, "implausible"),
    ("oxygen", "pre-oxygenation 10 % for 60 s", 19, 23, "implausible"),
    ("settings", "tidal volume 300 mL to 8 mL/kg of predicted weight", 26, 33, "unit-mismatch"),
    ("settings", "tidal volume 400 mL allow 6 to 8 mL/kg", 29, 30, "unit-mismatch"),
    ("settings", "rate by age", 3, 14, "not-understood"),
]


@pytest.mark.parametrize(
    ("section", "detail", "column", "end", "name"), OTHER_EVENTS, ids=[d for _, d, *_ in OTHER_EVENTS]
)
def test_amounts_of_sentences_and_ranges_are_checked(
    section: str, detail: str, column: int, end: int, name: str
) -> None:
    document = document_of(f'prescription "x"\n{section}\n  {detail}\n')
    assert told(document) == [(3, column, 3, end, f"reader.{name}")]


TAKEN = [
    ("settings", "I:E 1:2 to 1:3"),
    ("settings", "FiO2 40 % allow 0.3 to 0.5"),
    ("settings", "tidal volume 6 to 8 mL/kg of predicted weight allow up to 9 mL/kg"),
    ("settings", "maximum inspiratory pressure automatic between 12 and 24 cmH2O above ambient"),
    ("alarms", "low SpO2 90 % after 10 s"),
    ("alarms", "disconnection on"),
    ("alarms", 'low rate off because "weaned"'),
    ("head", "id 12-34"),
    ("head", "follows 2026-3-1 revision 2"),
    ("patient", "hypercapnia risk no"),
    ("patient", "age 7  years   4 months"),
    ("titration", "raise oxygen flow by 0.5 L/min up to 3 L/min"),
    ("settings", "PEEP 5 CMH2O".replace("CMH2O", "cmH2O")),
    ("settings", "peep 5 cmH2O"),
    ("settings", "trigger leak-compensated, flow"),
    ("settings asleep", "rate 20 /min"),
    ("settings as needed up to 3 h/day", "rate 20 /min"),
    ("settings day from 07:00 to 12:00 and 14:00 to 16:00", "rate 20 /min"),
]


@pytest.mark.parametrize(("section", "detail"), TAKEN, ids=[f"{s} - {d}" for s, d in TAKEN])
def test_what_a_term_takes_is_read_without_a_word(section: str, detail: str) -> None:
    document = document_of(f'prescription "x"\n{"" if section == "head" else section}\n  {detail}\n')
    assert told(document) == []
    statement = document.blocks[-1].details[0].statement
    assert statement is not None and statement.readable


def test_a_ratio_keeps_its_order_and_its_bounds_do_not() -> None:
    statement = read_detail("settings", "  I:E 1:2 to 1:3")
    assert isinstance(statement.body, n.Measure)
    assert [each.parts[0].text for each in statement.body.value.amounts] == ["1:2", "1:3"]
    assert [str(point) for point in statement.values[""].points] == ["1/3", "1/2"]


def test_pounds_are_converted_and_fahrenheit_is_not_read() -> None:
    pounds = read_detail("patient", "  weight 50 lbs measured")
    assert round(float(pounds.values[""].points[0]), 3) == 22.68
    assert pounds.events[0].name == "reader.unit-discouraged" and pounds.events[0].readings == ()
    assert not read_detail("circuit", "  humidifier temperature 37 F").readable


def test_places_of_an_age_are_those_in_the_line() -> None:
    statement = read_detail("patient", "  age 7   years  4 months")
    assert isinstance(statement.body, n.Measure)
    parts = statement.body.value.amounts[0].parts
    assert [(part.start, part.number_end, part.end) for part in parts] == [(6, 7, 15), (17, 18, 26 - 1)]


def test_the_place_of_a_kept_relation_is_that_in_the_line() -> None:
    text = '  keep    pressure support = "x'
    statement = read_detail("settings", text)
    assert isinstance(statement.body, n.Relation)
    assert text[statement.body.start : statement.body.end] == statement.body.text == 'pressure support = "x'


@pytest.mark.parametrize(
    ("section", "detail", "column", "end", "what"),
    [
        ("settings", "PEEP 1234567890123456 cmH2O", 8, 24, "a number has 16 digits before the point"),
        ("settings", "PEEP -12345678901234567 cmH2O", 8, 26, "a number has 17 digits before the point"),
        ("settings", "PEEP 5.1234567890123456 cmH2O", 8, 26, "a number has 16 digits after the point"),
        ("settings", "PEEP 4 to 1234567890123456 cmH2O", 13, 29, "a number has 16 digits before the point"),
        ("settings", "I:E 1:1234567890123456", 7, 25, "a number has 16 digits before the point"),
        ("settings", "I:E 1.12345678901234567:2", 7, 28, "a number has 17 digits after the point"),
        ("patient", "age 1234567890123456 years", 7, 23, "a number has 16 digits before the point"),
        ("settings", "PEEP 05 cmH2O", 8, 10, '"05" has a zero in front'),
        ("settings", "PEEP -005.5 cmH2O", 8, 14, '"-005.5" has a zero in front'),
    ],
)
def test_a_number_written_as_none_may_be_says_why(section: str, detail: str, column: int, end: int, what: str) -> None:
    assert told(document_of(f'prescription "x"\n{section}\n  {detail}\n')) == [
        (3, column, 3, end, "reader.not-understood")
    ]
    digits, zero = "at most 15 before the point and 15 after it", "no zero but the one before a point, as in 0.5"
    fields = read_detail(section, f"  {detail}").events[0].fields
    assert dict(fields) == {"what": what, "expected": zero if "zero" in what else digits}


@pytest.mark.parametrize("number", ["123456789012345", "0.123456789012345", "123456789012345.123456789012345"])
def test_numbers_of_15_digits_on_each_side_are_read(number: str) -> None:
    statement = read_detail("settings", f"  PEEP {number} cmH2O")
    if number.startswith("0."):
        assert statement.readable and statement.values[""].points[0] == Fraction(number)
    else:
        assert [each.name for each in statement.events] == ["reader.implausible"]


@pytest.mark.parametrize(
    ("section", "detail", "what"),
    [("circuit", "limb 1234567890123456", "1234567890123456"), ("settings", "rate 08:30", "08:30")],
    ids=["no place of a number", "a time"],
)
def test_digits_that_are_no_number_are_not_told_as_one(section: str, detail: str, what: str) -> None:
    assert read_detail(section, f"  {detail}").events[0].fields["what"] == f'"{what}" can\'t stand here'
