"""The canonical layout: white space alone changes, it changes to one form, and nothing reads otherwise after it."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.library.tidying import plan_of as plan
from rxlint.model.content import check_code, unread_lines
from rxlint.notation import Document, sections_of
from rxlint.notation.tidy import applied, same_reading
from rxlint.text import Source, read_source, source_of_text
from tests.notation.damage import damaged, flattened, lines_of_all_kinds
from tests.notation.plain import document_of, without_places

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").rglob("*.vrx"))
OTHERS = sorted([*(ROOT / "tests" / "cases").rglob("*.vrx"), *(ROOT / "tests" / "independent").rglob("*.vrx")])
SOUND = [path for path in EXAMPLES if path.parent.name in ("sound", "templates")]


def source_of(text: str) -> Source:
    source = source_of_text(text)
    assert isinstance(source, Source)
    return source


def tidy(text: str) -> str:
    return applied(source_of(text), plan(source_of(text)).edits)


def told(document: Document) -> list[tuple[str, tuple[str, ...]]]:
    """What the reader says, without places and the white space of what it quotes."""
    return sorted((each.event.name, tuple(each.event.readings)) for each in document.reported)


def assert_says_the_same(before: str, after: str) -> None:
    """By the texts and their nodes, not by the means with which tidying checks itself."""
    assert re.sub(r"\s", "", after) == re.sub(r"\s", "", before)
    one, other = document_of(before), document_of(after)
    assert without_places(sections_of(other)) == without_places(sections_of(one))
    assert told(other) == told(one)
    assert check_code(other) == check_code(one)
    assert [line.text for entry in unread_lines(other) for line in entry.lines] == [
        line.text for entry in unread_lines(one) for line in entry.lines
    ]


# ---- one pair for each thing that is laid out

PAIRS = {
    "values in one column": (
        'prescription "x"\n notation 1\nsettings\n    PEEP   5 cmH2O\n  inspiratory  time 1  s\n',
        'prescription "x"\n  notation  1\n\nsettings\n  PEEP              5 cmH2O\n  inspiratory time  1 s\n',
    ),
    "a column that is there is kept": (
        "settings\n  PEEP                  5 cmH2O\n  rate                  20 /min\n",
        "settings\n  PEEP                  5 cmH2O\n  rate                  20 /min\n",
    ),
    "a column that no term calls for is not": (
        "settings\n  PEEP                                  5 cmH2O\n  rate                                  20 /min\n",
        "settings\n  PEEP  5 cmH2O\n  rate  20 /min\n",
    ),
    "a column is kept whatever the indentation": (
        "settings\n      PEEP                  5 cmH2O\n      rate                  20 /min\n",
        "settings\n  PEEP                  5 cmH2O\n  rate                  20 /min\n",
    ),
    "one value makes no column": ("settings\n  PEEP        5 cmH2O\n", "settings\n  PEEP  5 cmH2O\n"),
    "few terms reach into a column": (
        "settings\n  mode      CPAP\n  PEEP      5 cmH2O\n  rate      20 /min\n  inspiratory time  1 s\n",
        "settings\n  mode      CPAP\n  PEEP      5 cmH2O\n  rate      20 /min\n  inspiratory time  1 s\n",
    ),
    "many terms reach into a column": (
        "settings\n  PEEP      5 cmH2O\n  rate      20 /min\n  inspiratory time  1 s\n",
        "settings\n  PEEP              5 cmH2O\n  rate              20 /min\n  inspiratory time  1 s\n",
    ),
    "rows of a table": (
        "settings\n  PEEP by FiO2 # table\n   30 % to 40 % 5 cmH2O\n   40 %   to 100 %   8 cmH2O\n  rate  20 /min\n",
        "settings\n  PEEP by FiO2     # table\n    30 % to 40 %   5 cmH2O\n    40 % to 100 %  8 cmH2O\n"
        "  rate             20 /min\n",
    ),
    "rows of every kind": (
        "settings\n  rate by age\n    under 1 year at least  30 /min\n    1 year to 3 years  up  to 30 /min\n"
        "    3 years   and over 20 or 22 /min\n",
        "settings\n  rate by age\n    under 1 year       at least 30 /min\n    1 year to 3 years  up to 30 /min\n"
        "    3 years and over   20 or 22 /min\n",
    ),
    "a value in words": (
        "targets\n  SpO2 at   least 92 %\n  plateau pressure up to 30 cmH2O\n",
        "targets\n  SpO2              at least 92 %\n  plateau pressure  up to 30 cmH2O\n",
    ),
    "sentences are in no column": (
        'escalation\n  call   "a  b"   when SpO2 below 90 %\n  gases at 1 h\n  ceiling "all"\n',
        'escalation\n  call "a  b" when SpO2 below 90 %\n  gases    at 1 h\n  ceiling  "all"\n',
    ),
    "a list that goes on": (
        "circuit\n  limb dual\n  assembly ventilator,filter ,\n   # to here\n      tubing 160 cm,\n    Y-piece # end\n",
        "circuit\n  limb      dual\n  assembly  ventilator, filter,\n            # to here\n"
        "            tubing 160 cm,\n            Y-piece  # end\n",
    ),
    "a bare list that goes on": (
        "monitoring\n   pulse oximeter,\n      capnograph\n   ECG\n",
        "monitoring\n  pulse oximeter,\n    capnograph\n  ECG\n",
    ),
    "a long relation stands close to its term": (
        "settings\n  inspiratory time 1 s\n  keep   alarm low minute volume is between 0.55 * expected minute volume"
        " and 0.8 * expected minute volume\n  keep PEEP > 2 cmH2O\n",
        "settings\n  inspiratory time  1 s\n  keep  alarm low minute volume is between 0.55 * expected minute volume"
        " and 0.8 * expected minute volume\n  keep              PEEP > 2 cmH2O\n",
    ),
    "blank lines": (
        '\n\nprescription "x"\n\n  notation 1\n\n\n  id A\nsettings\n\n  PEEP  5 cmH2O\n\n\n\n'
        "alarms\n  power loss on\n\n\n",
        'prescription "x"\n  notation  1\n  id        A\n\nsettings\n  PEEP  5 cmH2O\n\nalarms\n  power loss  on\n',
    ),
    "white space at ends of lines and no line feed": ("settings  \n  PEEP  5 cmH2O \t", "settings\n  PEEP  5 cmH2O\n"),
    "tabs": ("settings\n\tPEEP\t5\tcmH2O\n\trate\t20 /min\n", "settings\n  PEEP  5 cmH2O\n  rate  20 /min\n"),
    "comments": (
        '# top\nprescription "x"# no comment\n\n # about\n\n# of settings\nsettings # here\n'
        "# of PEEP\n  PEEP 5 cmH2O# no\n  rate 20 /min #  two  \n    # at the end\n# of alarms\nalarms\n",
        '# top\nprescription "x"# no comment\n\n  # about\n\n# of settings\nsettings  # here\n# of PEEP\n'
        "  PEEP 5 cmH2O# no\n  rate  20 /min  #  two\n  # at the end\n\n# of alarms\nalarms\n",
    ),
    "comments at the end": ("settings\n  PEEP  5 cmH2O\n\n\n# end\n\n", "settings\n  PEEP  5 cmH2O\n\n# end\n"),
    "line ends of another system": (
        "settings\r\n  PEEP 5 cmH2O\r\nalarms\r\n  power loss on",
        "settings\r\n  PEEP  5 cmH2O\r\n\r\nalarms\r\n  power loss  on\r\n",
    ),
    "each line keeps its end": (
        "settings\n  PEEP  5 cmH2O \r\n  rate 20 /min\n",
        "settings\n  PEEP  5 cmH2O\r\n  rate  20 /min\n",
    ),
    "a byte order mark": ("\ufeffsettings\n PEEP 5 cmH2O", "\ufeffsettings\n  PEEP  5 cmH2O\n"),
    "spelling is the author's": (
        "Settings\n  peep 5 cmh2o\n  RATE 20 bpm\n  inspiratory time 1.0s\n",
        "Settings\n  peep              5 cmh2o\n  RATE              20 bpm\n  inspiratory time  1.0s\n",
    ),
    "what can't be read stays": (
        "settings\n    PEEP   5  \n     rate 20 /min\n   tidal  volume  4,5 mL\t\n\n   trigger flow\n",
        "settings\n    PEEP   5  \n  rate          20 /min\n   tidal  volume  4,5 mL\t\n\n  trigger       flow\n",
    ),
    "what is not what it seems stays": (
        "settings\n   P\u0415EP  5 cmH2O\n   rate\u00a020 /min\n   trigger   flow\n",
        "settings\n   P\u0415EP  5 cmH2O\n   rate\u00a020 /min\n  trigger  flow\n",
    ),
    "under a heading that can't be read": (
        "settigns\n     PEEP   5 cmH2O\n\n\n    rate 20 /min\nalarms\n   power loss on\n",
        "settigns\n     PEEP   5 cmH2O\n\n\n    rate 20 /min\n\nalarms\n  power loss  on\n",
    ),
    "a heading that is indented": (
        "settings\n    PEEP  5 cmH2O\n alarms\n    power loss on\n",
        "settings\n  PEEP  5 cmH2O\n\n alarms\n  power loss  on\n",
    ),
    "nothing": ("", ""),
    "nothing but white space": ("  \n\n\t", ""),
    "nothing but a comment": ("\n\n  # x  ", "# x\n"),
}


@pytest.mark.parametrize(("before", "after"), PAIRS.values(), ids=PAIRS.keys())
def test_a_layout(before: str, after: str) -> None:
    assert tidy(before) == after
    assert tidy(after) == after
    assert_says_the_same(before, after)


def test_a_relation_means_the_same_whatever_its_spaces() -> None:
    before = 'prescription "x"\nsettings\n  keep  PEEP   >   2 cmH2O  or rate >\t20 /min\n'
    after = 'prescription "x"\n\nsettings\n  keep  PEEP > 2 cmH2O or rate > 20 /min\n'
    assert tidy(before) == after
    assert check_code(document_of(before)) == check_code(document_of(after)) is not None


def test_a_relation_that_cannot_be_read_stays() -> None:
    text = "settings\n    keep   PEEEP  > 2 cmH2O\n\n  keep  PEEP > 2 cmH2O\n"
    assert tidy(text) == text


# ---- lines that would mean something else if their neighbours moved

TRAPS = {
    "a detail that would become a row": "settings\n PEP by FiO2\n 30 % to 40 %  5 cmH2O\n  rate 20 /min\n",
    "a row that would become a detail": "settings\n PEEP by FiO2\n  30 % to 4O %  5 cmH2O\n",
    "a line that would go on with a list": "monitoring\n pulse oximeter, kapnograph,\n ECG\n",
    "a blank line that ends a list": "monitoring\n pulse oximeter,\n\n   capnograph\n ECG\n",
}


@pytest.mark.parametrize("text", TRAPS.values(), ids=TRAPS.keys())
def test_neighbours_of_what_cannot_be_read_still_mean_the_same(text: str) -> None:
    after = tidy(text)
    assert_says_the_same(text, after)
    assert tidy(after) == after


def test_a_section_that_would_read_otherwise_is_told_and_left() -> None:
    text = "monitoring\n pulse oximeter, kapnograph,\n ECG\nalarms\n power loss on\n"
    found = plan(source_of(text))
    assert (found.unread, found.left) == ((2,), (1,))
    assert applied(source_of(text), found.edits).endswith("\n\nalarms\n  power loss  on\n")


def test_same_reading_sees_what_has_changed() -> None:
    before = 'settings\n  PEEP 5 cmH2O  # a\nescalation\n  ceiling "a b"\n'
    for old, new in [("5", "6"), ("# a", "# b"), ("a b", "a  b"), ("PEEP", "peep"), ("escalation", "monitoring")]:
        assert not same_reading(document_of(before), document_of(before.replace(old, new)))
    moved = 'settings\n  PEEP 5 cmH2O\n  # a\nescalation\n  ceiling "a b"\n'
    assert not same_reading(document_of(before), document_of(moved))
    assert same_reading(document_of(before), document_of(before.replace("  ", "    ")))


# ---- the examples


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_tidy(path: Path) -> None:
    text = path.read_bytes().decode()
    assert tidy(text) == text


@pytest.mark.parametrize("path", [*EXAMPLES, *OTHERS], ids=lambda path: path.stem)
def test_a_document_means_the_same_when_it_is_tidied(path: Path) -> None:
    source = read_source(path.read_bytes())
    if not isinstance(source, Source):
        return  # no text at all
    text = source.text()
    for before in (text, flattened(text)):
        after = tidy(before)
        assert_says_the_same(before, after)
        assert tidy(after) == after


def test_most_examples_have_the_layout_that_follows_from_what_they_say() -> None:
    """The others have kept the column of a longer term, which their text alone does not tell."""
    texts = [path.read_text("utf-8") for path in SOUND]
    assert sum(tidy(flattened(text)) == text for text in texts) >= len(texts) - 3


@given(st.data())
def test_whatever_the_layout_was_it_becomes_the_same(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from(SOUND)).read_text("utf-8")
    assert tidy(data.draw(damaged(text))) == tidy(flattened(text))


# ---- any text


@given(lines_of_all_kinds())
def test_any_lines_keep_their_meaning(text: str) -> None:
    source = source_of(text)
    found = plan(source)
    after = source_of(applied(source, found.edits))
    assert_says_the_same(text, after.text())
    assert tidy(after.text()) == after.text()
    stay = [source.lines[number - 1].text for number in found.unread]
    assert [after.lines[number - 1].text for number in plan(after).unread] == stay


@given(st.text(max_size=400))
def test_any_text_can_be_tidied(text: str) -> None:
    after = tidy(text)
    assert re.sub(r"\s", "", after) == re.sub(r"\s", "", text)
    assert tidy(after) == after


# ---- edits


@given(lines_of_all_kinds(), st.integers(1, 20), st.integers(0, 20))
def test_a_range_touches_its_own_sections_alone(text: str, first: int, more: int) -> None:
    source = source_of(text)
    after = applied(source, plan(source, (first, first + more)).edits)
    assert_says_the_same(text, after)
    everything = plan(source, (1, len(source.lines) + 1))
    assert applied(source, everything.edits) == tidy(text)


@given(lines_of_all_kinds())
def test_edits_are_in_order_and_touch_no_line_that_stays(text: str) -> None:
    source = source_of(text)
    at = 0
    for edit in plan(source).edits:
        assert at < edit.first <= edit.end <= len(source.lines) + 1
        old = [line.text + line.ending for line in source.lines[edit.first - 1 : edit.end - 1]]
        new = re.findall(r"[^\n]*\n|[^\n]+$", edit.text)  # a form feed ends no line of ours
        assert not old or not new or (old[0] != new[0] and old[-1] != new[-1])
        at = edit.end


def test_the_edits_of_one_line() -> None:
    source = source_of("settings\n  PEEP  5 cmH2O\nalarms\n  power loss on\n\n")
    found = [(each.first, each.end, each.text) for each in plan(source).edits]
    assert found == [(3, 3, "\n"), (4, 6, "  power loss  on\n")]
    assert [each.first for each in plan(source, (2, 2)).edits] == []
    assert [each.first for each in plan(source, (3, 3)).edits] == [3, 4]
