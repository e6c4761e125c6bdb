"""Marks: every finding with its calculation at its place, and why a text could not be read or screened."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.editor.diagnostics import marks, summary
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.workspace import Workspace
from rxlint.library.rulings import Ruling
from rxlint.screening import answers
from rxlint.text import Problem
from tests.documents import DAY, first_rules, prescription, rule_text, rules_of
from tests.shelf import EXAMPLES

SLIPS = ("levels-too-close-for-the-template", "periods-overlap", "misspelt-term", "zero-for-the-letter-o")


def snapshot_of(text: str, ruling: Ruling | None = None) -> Snapshot:
    return Snapshot(Path("/x/x.vrx"), text, ruling or Ruling(first_rules()), DAY)


@pytest.fixture(scope="module")
def workspace() -> Workspace:
    return Workspace(day=DAY)


def example(workspace: Workspace, name: str) -> Snapshot:
    path = EXAMPLES / f"{name}.vrx"
    return workspace.snapshot(path, path.read_text("utf-8"))


def test_a_finding_is_told_with_its_calculation_and_its_corrections(workspace: Workspace) -> None:
    (mark,) = marks(example(workspace, "slips/peep-raised-alone"))
    assert (mark.place.line, mark.place.column, mark.level, mark.rule) == (
        43,
        3,
        "query",
        "pressure.supported-breaths-differ",
    )
    assert not mark.settled
    assert mark.fingerprint
    assert mark.message.split("\n") == [
        "supported breaths reach 19 cmH2O, mandatory breaths 17 cmH2O",
        "worked out: supported peak = PEEP + pressure support = 7 cmH2O + 12 cmH2O = 19 cmH2O (lines 41, 43)",
        "either: pressure support 10 cmH2O instead of 12 cmH2O "
        "(makes pressure above baseline 10 cmH2O, support above baseline 10 cmH2O)",
        "or: inspiratory pressure 19 cmH2O above ambient instead of 17 cmH2O "
        "(makes pressure above baseline 12 cmH2O, support above baseline 12 cmH2O)",
    ]
    assert [each.location.place.line for each in mark.related] == [42, 41]
    assert {each.location.path for each in mark.related} == {EXAMPLES / "slips/peep-raised-alone.vrx"}


def test_the_line_of_the_template_is_a_related_place(workspace: Workspace) -> None:
    (mark,) = marks(example(workspace, "slips/levels-too-close-for-the-template"))
    template = EXAMPLES / "templates/copd-acute-support.vrx"
    (there,) = [each.location for each in mark.related if each.location.path == template]
    line = template.read_text("utf-8").splitlines()[there.place.line - 1]
    assert "IPAP >= EPAP + 10 cmH2O" in line


def test_what_somebody_answers_for_is_settled_and_says_so(workspace: Workspace) -> None:
    (mark,) = marks(example(workspace, "sound/TM-0533-infant-finding-accepted"))
    assert (mark.level, mark.settled) == ("query", True)
    assert "\naccepted: until 2027-01-12 by consultant, children's home ventilation: a closer limit" in mark.message


@pytest.mark.parametrize("name", SLIPS)
def test_every_finding_is_a_mark_in_the_order_of_the_text(workspace: Workspace, name: str) -> None:
    found = example(workspace, f"slips/{name}")
    told = marks(found)
    assert found.screened.screening is not None
    findings = found.screened.screening.findings
    assert findings
    assert sorted((each.rule, each.place.line, each.place.column) for each in findings) == sorted(
        (each.rule or "", each.place.line, each.place.column) for each in told
    )
    assert [(each.place.line, each.place.column) for each in told] == sorted(
        (each.place.line, each.place.column) for each in told
    )
    for mark in told:
        assert mark.message.split("\n")[0] in {each.message for each in findings}


def test_a_known_finding_is_settled_and_says_so() -> None:
    found = snapshot_of(prescription("PEEP  5 cmHO"))
    first = marks(found)
    assert first and not any(each.settled for each in first)
    screening = found.screened.screening
    assert screening is not None
    known = replace(screening, findings=tuple(replace(each, known=True) for each in screening.findings))
    found.__dict__["screened"] = replace(found.screened, screening=known)
    assert all(each.settled and "\nknown: " in each.message for each in marks(found))


def test_what_another_limit_says_is_told_with_it() -> None:
    found = snapshot_of(prescription("PEEP  5 cmHO"))
    screening = found.screened.screening
    assert screening is not None
    first = screening.findings[0]
    joined = replace(first, also=(replace(first, rule="trial.other", message="another", level="note"),))
    found.__dict__["screened"] = replace(found.screened, screening=replace(screening, findings=(joined,)))
    (mark,) = marks(found)
    assert mark.message.endswith("\nalso: note: another [trial.other]")


def test_the_period_is_told_where_there_are_several() -> None:
    rules = Ruling(rules_of(rule_text("PEEP < 6 cmH2O")))
    night, day = "settings night from 21:00 to 07:00\n", "settings day from 07:00 to 21:00\n"
    (mark,) = marks(snapshot_of(f'prescription "x"\n{night}  PEEP  9 cmH2O\n', rules))
    assert "holds for" not in mark.message
    several = marks(snapshot_of(f'prescription "x"\n{night}  PEEP  9 cmH2O\n{day}  PEEP  8 cmH2O\n', rules))
    assert [(each.place.line, each.message.split("\n")[-1]) for each in several] == [
        (3, "holds for: period night"),
        (5, "holds for: period day"),
    ]


@pytest.mark.parametrize(
    ("text", "line", "column", "told"),
    [
        ("", 1, 1, "the file is empty: it holds no document"),
        ("\n\n", 1, 1, "the file is empty: it holds no document"),
        ("# only a remark\n", 1, 1, "the file holds no document"),
        ('prescription "x"\n  id\x00  a\n', 2, 5, "the file is not text: it holds a NUL byte"),
        ('prescription "x"\n  id  \ud800\n', 2, 7, "the file is not UTF-8 text"),
        ("\n" * 60_000, 1, 1, "the file is too long to be a prescription"),
    ],
)
def test_a_text_that_cannot_be_read_is_told_where(text: str, line: int, column: int, told: str) -> None:
    (mark,) = marks(snapshot_of(text))
    assert (mark.place.line, mark.place.column, mark.level, mark.rule) == (line, column, "reject", None)
    assert mark.message.startswith(told)
    assert summary(snapshot_of(text)) == "not screened: the text can't be read as a document"


def test_faulty_settings_are_told_at_the_first_line_that_holds_anything() -> None:
    ruling = Ruling(None, problems=(Problem("rxlint.yaml:2:3: this is wrong"), Problem("and this")))
    found = marks(snapshot_of("\n# remark\n" + prescription("PEEP  5 cmH2O"), ruling))
    assert [each.place.line for each in found] == [2, 2]
    assert (
        found[0].message == "not screened, for the rules that hold here can't be used: rxlint.yaml:2:3: this is wrong"
    )
    assert {each.level for each in found} == {"reject"}


def test_a_rule_that_crashes_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("by zero")

    monkeypatch.setattr(answers, "quick", fail)
    found = snapshot_of(prescription("PEEP  8 cmH2O"), Ruling(rules_of(rule_text("PEEP < 6 cmH2O"))))
    crashes = [each for each in marks(found) if each.rule == "trial.one"]
    assert [each.message for each in crashes] == [
        "the rule trial.one failed and was not checked: ZeroDivisionError: by zero"
    ]
    assert crashes[0].level == "reject"
    assert summary(found).startswith("1 rules failed")


def test_what_was_not_checked_is_counted_and_nothing_is_approved() -> None:
    rules = Ruling(rules_of(rule_text("PEEP < 6 cmH2O"), rule_text("IPAP > EPAP", id="trial.two")))
    told = summary(snapshot_of(prescription("PEEP  5 cmH2O"), rules))
    assert told == "1 checks made, 1 not made for want of facts. A screening aid: no finding is no approval."


def test_a_long_line_of_a_message_is_cut_and_says_so() -> None:
    text = (
        prescription("PEEP  5 cmH2O")
        + "accepted\n  accept trial.one until 2027-01-01 because "
        + f'"{"x" * 900}" by "y"\n'
    )
    found = marks(snapshot_of(text, Ruling(rules_of(rule_text("PEEP < 4 cmH2O")))))
    assert any(each.settled and "characters)" in each.message for each in found)
    assert max(len(line) for each in found for line in each.message.split("\n")) < 400


TEXTS = [path.read_text("utf-8") for path in sorted((EXAMPLES / "sound").glob("*.vrx"))]


@given(st.sampled_from(TEXTS), st.data())
def test_any_half_typed_text_has_marks_inside_it(text: str, data: st.DataObject) -> None:
    """A prefix of an order with a random edit: no exception, and every mark at a place that the text has."""
    end = data.draw(st.integers(0, len(text)))
    start = data.draw(st.integers(0, end))
    typed = data.draw(st.text(max_size=12))
    half = text[:start] + typed + text[data.draw(st.integers(start, end)) : end]
    found = snapshot_of(half)
    lines = half.split("\n")
    for mark in marks(found):
        assert 1 <= mark.place.line <= len(lines)
        assert (mark.place.line, mark.place.column) <= (mark.place.end_line, mark.place.end_column)
        assert mark.message and "could not be screened" not in mark.message
    assert summary(found)
