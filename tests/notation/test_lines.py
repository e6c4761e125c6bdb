"""Lines: continued lists, tables, comments, limits, and ten broken lines among good ones."""

from rxlint.notation import Document, write
from rxlint.notation import nodes as n
from rxlint.text import MAX_BYTES, MAX_LINE, MAX_LINES, Problem, read_source
from tests.notation.plain import document_of, told

GOOD = """\
prescription "ten broken lines"
  id  TM-1
patient
  weight  22.5 kg measured
circuit
  assembly  ventilator, filter,
    # the tubing of the ward
    tubing 180 cm,
    leak port
settings
  PEEP  5 cmH2O
  rate by age
    1 to 3 years   30 /min
    3 to 18 years  20 /min
  inspiratory time  1 s
alarms
  high rate  40 /min
monitoring
  pulse oximeter
"""

# Where a line is put (after which good line), the line, whether it leaves a reading, and the event.
BROKEN = [
    ("  id  TM-1", "  revison  3", "unknown-term"),
    ("  weight  22.5 kg measured", "  height  1,21 m", "decimal-comma"),
    ("    leak port", "  limb  singel with leak port", "unknown-word"),
    ("  PEEP  5 cmH2O", "  inspiratory pressure  17 cmH2O", "reference-missing"),
    (
        "  PEEP  5 cmH2O",
        "      presure support  12 cmH2O",
        "unknown-term",
    ),  # deeper than the line above that can't be read
    ("    1 to 3 years   30 /min", "    3 to 4 years   25", "unit-missing"),
    ("    3 to 18 years  20 /min", "  FiO2  40", "unit-missing"),
    ("  inspiratory time  1 s", "rise time  150 ms", "not-understood"),  # lost its indentation
    ("  high rate  40 /min", "  low SpO2  9O %", "look-alike"),
    ("  pulse oximeter", "  capnograf", "unknown-word"),
]


def spoilt() -> tuple[str, list[tuple[int, str]]]:
    lines = GOOD.splitlines()
    for after, line, _ in BROKEN:
        at = lines.index(after) + 1
        while lines[at - 1] != after:
            at += 1
        while at < len(lines) and lines[at] in [each for _, each, _ in BROKEN]:
            at += 1
        lines.insert(at, line)
    wanted = [(lines.index(line) + 1, f"reader.{name}") for _, line, name in BROKEN]
    return "\n".join(lines) + "\n", sorted(wanted)


def good_values(document: Document) -> list[tuple[str, object, object]]:
    found: list[tuple[str, object, object]] = []
    for block in document.blocks:
        for entry in block.details:
            for each in (entry, *entry.rows):
                if each.statement is not None and each.statement.readable:
                    found.append((each.text, each.statement.values, each.statement.body))
    return found


def test_ten_broken_lines_are_ten_events_and_the_rest_is_read_as_if_alone() -> None:
    text, wanted = spoilt()
    document = document_of(text)
    assert sorted((line, name) for line, *_, name in told(document)) == wanted
    for reported in document.reported:
        fields = reported.event.fields
        assert reported.event.readings or fields.get("expected") or fields.get("plain"), reported.event
    assert good_values(document) == good_values(document_of(GOOD))
    assert told(document_of(GOOD)) == []
    assert write(document) == text


def test_a_list_goes_on_in_a_deeper_line_alone() -> None:
    document = document_of(GOOD)
    assembly = next(entry for entry in document.blocks[2].details)
    assert assembly.statement is not None and isinstance(assembly.statement.body, n.Items)
    assert [item.name for item in assembly.statement.body.items] == ["ventilator", "filter", "tubing", "leak port"]
    assert [line.number for line in assembly.lines] == [6, 7, 8, 9]
    tubing = assembly.statement.body.items[2]
    assert (assembly.place(tubing.start, tubing.end).line, assembly.place(tubing.start, tubing.end).column) == (8, 5)

    text = 'prescription "x"\ncircuit\n  assembly  ventilator, filter,\n  limb  dual\n'
    assert told(document_of(text)) == [(3, 31, 3, 32, "reader.not-understood")]


def test_a_comma_inside_a_text_continues_nothing() -> None:
    text = 'prescription "x"\npatient\n  indication  "weak,\n    and tired"\n'
    assert [line for line, *_ in told(document_of(text))] == [3, 4]


def test_a_detail_under_a_table_is_a_detail() -> None:
    text = 'prescription "x"\nsettings\n  PEEP by FiO2\n    30 % to 40 %  5 cmH2O\n    rate 20 /min\n'
    document = document_of(text)
    assert told(document) == []
    assert [
        entry.statement.term.phrase for entry in document.blocks[1].details if entry.statement and entry.statement.term
    ] == [
        "PEEP",
        "rate",
    ]


def test_rows_of_a_table_that_cannot_be_read_go_with_it() -> None:
    text = 'prescription "x"\nsettings\n  PEEP by FiO3\n    30 % to 40 %  5 cmH2O\n    under 30 %  4 cmH2O\n'
    assert told(document_of(text)) == [(3, 11, 3, 15, "reader.unknown-word")]


def test_comments_stand_at_the_start_or_after_white_space_outside_quotes() -> None:
    text = '# one\nprescription "a # b" # two\n  id TM#1\n  # three\npatient\n  indication "c" # "d\n'
    document = document_of(text)
    assert told(document) == []
    assert document.title == "a # b"
    assert document.blocks[0].details[0].text == "  id TM#1"


def test_limits_have_a_clear_message() -> None:
    for data, part in (
        (b"x" * (MAX_BYTES + 1), "too large"),
        (b"\n" * MAX_LINES, "too long"),
        (b"a\x00", "NUL"),
        (b"prescription \xff", "UTF-8"),
    ):
        problem = read_source(data)
        assert isinstance(problem, Problem) and part in problem.message
    assert read_source(b"ab\nc\xff") == Problem(read_source(b"ab\nc\xff").message, 2, 2)  # type: ignore[union-attr]


def test_a_long_line_is_an_event_and_a_long_comment_hides_nothing() -> None:
    long = "#" + "x" * MAX_LINE
    document = document_of(f'prescription "x"\nsettings\n{long}\n  PEEP 5 cmH2O\n')
    assert told(document) == [(3, 1, 3, 2, "reader.line-too-long")]
    assert [entry.text for entry in document.blocks[1].details] == ["  PEEP 5 cmH2O"]
    fits = "  indication " + '"' + "x" * (MAX_LINE - 15) + '"'
    assert len(fits) == MAX_LINE and told(document_of(f'prescription "x"\npatient\n{fits}\n')) == []


def test_only_line_feeds_end_lines() -> None:
    text = 'prescription "x"\r\n  id A\u2028B\r  revision 3\n'
    document = document_of(text)
    assert write(document) == text
    assert [line for line, *_ in told(document)] == [2]
