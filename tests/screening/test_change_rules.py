"""The rules of changes on whole orders: silent on sound changes, loud on a change that left something behind."""

import datetime
import re
from pathlib import Path

import pytest

from rxlint.notation.write import render_document, sections_of
from rxlint.packs.events import EVENTS
from rxlint.screening.compare import CHANGE_EVENTS, Comparison, change_rules, compare_documents
from rxlint.screening.engine import screen_document
from rxlint.screening.ruleset import builtin_rules
from tests.cli.orders import SOUND
from tests.conftest import ROOT
from tests.documents import DAY, document, outcome

FILES = [path for name in ("sound", "templates") for path in sorted((ROOT / "examples" / name).glob("*.vrx"))]
each_order = pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)


def compared(old: str, new: str) -> Comparison:
    return compare_documents(document(old), document(new), builtin_rules(), DAY)


def found(old: str, new: str) -> list[tuple[str, str]]:
    return [(each.rule, each.level) for each in compared(old, new).screening.findings]


def signed(text: str) -> str:
    """The next revision: counted up, dated and checked two days later."""
    later = re.sub(r"(?m)^(  revision +)(\d+)$", lambda match: f"{match[1]}{int(match[2]) + 1}", text)
    two_days = datetime.timedelta(days=2)
    return re.sub(
        r"(?m)^(  written +|checked )(\d{4}-\d\d-\d\d)",
        lambda match: f"{match[1]}{datetime.date.fromisoformat(match[2]) + two_days}",
        later,
    )


def steps(text: str) -> str:
    """Every rate that is set a breath faster: what is done every day."""
    return re.sub(r"(?m)^(  rate +)(\d+) /min", lambda match: f"{match[1]}{int(match[2]) + 1} /min", text)


@each_order
def test_nothing_is_found_where_nothing_changed(path: Path) -> None:
    text = path.read_text("utf-8")
    tidied = render_document(sections_of(document(text)))
    assert found(text, text) == []
    assert found(text, tidied) == []


@each_order
def test_the_next_revision_of_a_sound_order_with_a_small_step_is_sound(path: Path) -> None:
    text = path.read_text("utf-8")
    new = steps(signed(text))
    assert found(text, new) == []


def test_small_steps_are_among_them() -> None:
    assert sum(steps(path.read_text("utf-8")) != path.read_text("utf-8") for path in FILES) > 10


AT_HAND = [path for path in FILES if "\nequipment\n" in path.read_text("utf-8")]


@pytest.mark.parametrize("path", AT_HAND, ids=lambda path: path.stem)
def test_a_change_under_the_old_signatures_is_never_passed_over(path: Path) -> None:
    text = path.read_text("utf-8")
    new = text.replace("\nequipment\n", "\nequipment\n  suction, suction, suction\n")
    assert {"library.revision-kept"} <= {rule for rule, _ in found(text, new)}
    assert "\nchecked " not in text or "change.checked-kept" in {rule for rule, _ in found(text, new)}


@pytest.mark.parametrize(
    ("old", "new", "rules"),
    [
        ("PEEP                  5 cmH2O", "PEEP                  7 cmH2O", ["change.alone"]),
        ("12 cmH2O above PEEP allow 10 to 15 cmH2O", "13 cmH2O above PEEP", ["change.alone"]),
        ("17 cmH2O above ambient allow 15 to 20 cmH2O", "17 cmH2O above PEEP", ["change.reference"]),
        ("  low SpO2                   92 %\n", "", ["change.alarm-lost"]),
        ("sex          female", "sex          male", ["change.other-patient"]),
        ("tracheostomy cuffed", "tracheostomy uncuffed", ["change.circuit-type"]),
        ("rate                  20 /min", "rate                  27 /min", ["change.large-step"]),
        ("rise time             150 ms", "rise time             200 ms", []),
        ("battery 9 h", "battery 8 h", []),
    ],
)
def test_one_slip_of_a_change_gives_one_finding(old: str, new: str, rules: list[str]) -> None:
    assert SOUND.count(old) == 1
    assert [rule for rule, _ in found(SOUND, signed(SOUND).replace(old, new))] == rules


def test_one_edit_under_old_signatures_gives_one_finding_a_signature() -> None:
    assert found(SOUND, SOUND.replace("battery 9 h", "battery 8 h")) == [
        ("library.revision-kept", "reject"),
        ("change.checked-kept", "reject"),
    ]


def test_a_change_in_one_period_is_judged_in_it() -> None:
    text = (
        'prescription "x"\nsettings night from 21:00 to 07:00\n  mode A/C-PC\n  PEEP {} cmH2O\n'
        "  inspiratory pressure 18 cmH2O above ambient\nsettings day from 07:00 to 21:00\n  mode A/C-PC\n"
        "  PEEP {} cmH2O\n  inspiratory pressure 18 cmH2O above ambient\n"
    )
    comparison = compared(text.format(5, 5), text.format(7, 5))
    (finding,) = comparison.screening.findings
    assert (finding.rule, finding.period, finding.place.line) == ("change.alone", "night", 4)


def test_a_change_of_the_unnamed_period_is_judged_beside_a_named_one() -> None:
    text = (
        'prescription "x"\nsettings\n  mode A/C-PC\n  PEEP {} cmH2O\n  inspiratory pressure 18 cmH2O above ambient\n'
        "settings night from 21:00 to 07:00\n  PEEP 6 cmH2O\n"
    )
    assert found(text.format(5), text.format(7)) == [("change.alone", "query")]


def test_every_rule_of_changes_is_asked_of_changes_alone() -> None:
    rules = change_rules(builtin_rules())
    assert len(rules) == len(CHANGE_EVENTS) == sum(event.startswith("change.") for event in EVENTS)
    screening = screen_document(document(SOUND), builtin_rules(), DAY)
    assert {outcome(screening, rule) for rule in rules} == {"does not apply"}


def test_a_rule_that_fails_is_told_and_the_others_are_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise ValueError("a fault of a test")

    monkeypatch.setattr("rxlint.screening.compare.walk_period", fail)
    screening = compared(SOUND, SOUND.replace("battery 9 h", "battery 8 h")).screening
    assert "change.alone" in {crash.rule for crash in screening.crashes}
    assert "library.revision-kept" in {finding.rule for finding in screening.findings}


def test_a_revision_that_is_not_stated_is_not_checked() -> None:
    old = 'prescription "x"\nsettings\n  PEEP 5 cmH2O\n'
    screening = compared(old, old.replace("5", "6")).screening
    assert outcome(screening, "library.revision-kept") == "not checked"


def test_an_alarm_is_not_missed_where_a_line_of_alarms_can_t_be_told() -> None:
    old = 'prescription "x"\nsettings\n  mode A/C-PC\nalarms\n  low SpO2 92 %\n'
    screening = compared(old, old.replace("low SpO2", "lwo SpO2")).screening
    assert screening.findings == ()
    assert outcome(screening, "change.alarm-lost") == "not checked"


def test_how_long_the_oxygen_lasts_is_told_without_a_leak_port_too() -> None:
    """4600 L at 7.56 L/min x 0.5, and at 7.56 L/min x 0.6."""
    old = (ROOT / "examples" / "sound" / "TM-0512-adult-transfer.vrx").read_text("utf-8")
    new = old.replace("FiO2                 50 %", "FiO2                 60 %")
    told = {each.term: (each.told(each.before), each.told(each.after)) for each in compared(old, new).implied}
    assert told["oxygen lasts, leaks left out"] == ("1217 min", "1014 min")


@pytest.mark.parametrize(
    ("peep", "is_seen"),
    [("6.865 mbar", False), ("0.6865 kPa", False), ("7 mbar", True), ("6.8 mbar", True), ("7.1 cmH2O", True)],
)
def test_a_unit_that_rounds_leaves_nothing_behind(peep: str, is_seen: bool) -> None:
    """7 cmH2O are 6.864655 mbar: written with the decimals that can be set, no breath is another one than before."""
    old = (ROOT / "examples" / "story" / "orders" / "TM-2001-revision-3.vrx").read_text("utf-8")
    comparison = compared(old, signed(old.replace("PEEP                      7 cmH2O", f"PEEP  {peep}")))
    alone = [each for each in comparison.screening.findings if each.rule == "change.alone"]
    assert bool(alone) == is_seen
    assert [each.key for each in comparison.changes if each.is_order] == ["PEEP"], "it is told all the same"
    assert any(each.is_seen_to_change for each in comparison.implied) == is_seen
