"""What each stretch of a line is, in lines that read and in lines that do not."""

import pytest

from rxlint.editor.tokens import tokens
from tests.editor.texts import damaged, example, prefixes, read

STEP = ["term", "term", "keyword", "number", "unit", "keyword", "term", "keyword", "number", "unit"]
ACCEPTED = ["term", "rule", "keyword", "date", "keyword", "text"]


def told(text: str, line: int) -> list[tuple[str, str]]:
    """The tokens of a line with their words."""
    row = text.split("\n")[line - 1]
    found = [each for each in tokens(read(text)) if each.place.line == line]
    return [(each.kind, row[each.place.column - 1 : each.place.end_column - 1]) for each in found]


def in_section(section: str, line: str) -> list[tuple[str, str]]:
    return told(f'prescription "p"\n{section}\n  {line}\n', 3)


def test_a_setting_has_term_number_unit_and_keywords() -> None:
    assert in_section("settings", "inspiratory pressure  17 cmH2O above ambient allow 15 to 20 cmH2O  # by day") == [
        ("term", "inspiratory pressure"),
        ("number", "17"),
        ("unit", "cmH2O"),
        ("keyword", "above ambient"),
        ("keyword", "allow"),
        ("number", "15"),
        ("keyword", "to"),
        ("number", "20"),
        ("unit", "cmH2O"),
        ("comment", "# by day"),
    ]


@pytest.mark.parametrize(
    ("section", "line", "kinds"),
    [
        ("patient", "age  7 years 4 months", ["term", "number", "unit", "number", "unit"]),
        ("patient", "weight  22.5 kg measured 2026-10-30", ["term", "number", "unit", "word", "date"]),
        ("settings", "I:E  1:2", ["term", "number"]),
        ("settings", "mode  SIMV-PC with PS", ["term", "word"]),
        ("settings", "PEEP by FiO2", ["term", "keyword", "term"]),
        ("settings", "keep  pressure support <= 12 cmH2O", ["term", "term", "keyword", "number", "unit"]),
        ("monitoring", "pulse oximeter, capnograph", ["word", "word"]),
        ("titration", "raise FiO2 by 5 % when SpO2 below 94 %", STEP),
        ("accepted", 'accept alarms.too-wide until 2026-12-31 by "x"', ACCEPTED),
        ("off ventilator", "30 min 4 /day", ["number", "unit", "number", "unit"]),
    ],
)  # fmt: skip
def test_the_kinds_of_a_line(section: str, line: str, kinds: list[str]) -> None:
    assert [kind for kind, _ in in_section(section, line)] == kinds


def test_headings_have_their_section_their_period_and_its_hours() -> None:
    text = (
        'prescription "p"\nsettings night from 21:00 to 07:00\nback-up after apnoea 15 s\nchecked 2026-11-02 by "x"\n'
    )
    assert told(text, 1) == [("section", "prescription"), ("text", '"p"')]
    assert [kind for kind, _ in told(text, 2)] == ["section", "name", "keyword", "date", "keyword", "date"]
    assert told(text, 3) == [
        ("section", "back-up"),
        ("keyword", "after"),
        ("keyword", "apnoea"),
        ("number", "15"),
        ("unit", "s"),
    ]
    assert [kind for kind, _ in told(text, 4)] == ["section", "date", "keyword", "text"]


@pytest.mark.parametrize(
    ("line", "known"),
    [
        ("PEEP  5 cmH2O above nonsense 3", [("term", "PEEP"), ("number", "5"), ("unit", "cmH2O")]),
        ("PEEP  5 or so 6 kPa", [("term", "PEEP"), ("number", "5"), ("number", "6"), ("unit", "kPa")]),
        ("PEPE  5 cmH2O", [("number", "5"), ("unit", "cmH2O")]),
        ("PEEP  5cmH2O", [("term", "PEEP"), ("number", "5"), ("unit", "cmH2O")]),
        ('call  "somebody', [("text", '"somebody')]),
    ],
)
def test_of_a_line_that_does_not_read_as_much_as_is_known(line: str, known: list[tuple[str, str]]) -> None:
    found = in_section("settings", line)
    assert [each for each in known if each not in found] == []


def test_a_decimal_comma_parts_a_number() -> None:
    assert in_section("settings", "rate  1,5 /min")[1:] == [("number", "1"), ("number", "5"), ("unit", "/min")]


def test_a_row_of_a_table_and_a_list_over_lines() -> None:
    text = 'template "t"\nsettings\n  rate by age\n    1 to 3 years  26 /min\n'
    text += "circuit\n  assembly  ventilator,\n    # why\n    filter\n"
    assert [kind for kind, _ in told(text, 4)] == ["number", "keyword", "number", "unit", "number", "unit"]
    assert told(text, 6) == [("term", "assembly"), ("word", "ventilator")]
    assert told(text, 7) == [("comment", "# why")]
    assert told(text, 8) == [("word", "filter")]


def test_a_whole_order_has_a_token_for_every_word() -> None:
    snapshot = example("sound/TM-0417-tracheostomy-night", ruled=False)
    found = tokens(snapshot)
    rest = [list(line.text) for line in snapshot.lines]
    for token in found:
        row = rest[token.place.line - 1]
        row[token.place.column - 1 : token.place.end_column - 1] = " " * (token.place.end_column - token.place.column)
    assert {"".join(row).replace(",", "").strip() for row in rest} == {""}
    assert {token.kind for token in found} >= {
        "section",
        "term",
        "number",
        "unit",
        "keyword",
        "word",
        "text",
        "name",
        "date",
    }


def test_tokens_stand_in_order_on_one_line_each_and_never_overlap() -> None:
    seen = 0
    for snapshot in [*prefixes(120, "sound", "templates", "slips"), *damaged(120, "sound", "templates", "slips")]:
        end = (0, 0)
        for token in tokens(snapshot):
            place = token.place
            assert place.line == place.end_line
            assert place.column < place.end_column <= len(snapshot.lines[place.line - 1].text) + 1
            assert (place.line, place.column) >= end
            end = (place.end_line, place.end_column)
            seen += 1
    assert seen > 10_000


def test_a_text_that_is_no_text_has_none() -> None:
    assert tokens(read("")) == ()
    assert tokens(read("\n" * 60_000)) == ()
