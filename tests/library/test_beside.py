"""Readings on their own beside an order: as if they stood in it, and each finding in its own file."""

from rxlint.library.beside import Sheet, screen_beside
from rxlint.library.rulings import Ruling
from rxlint.library.screen import Screened, screen_bytes
from rxlint.notation.join import home, join
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import builtin_rules
from rxlint.text import Problem
from tests.documents import DAY, all_facts, document

ORDER = """\
prescription "x"
  id TM-1
  revision 2
settings
  mode A/C-VC
  PEEP 5 cmH2O
  tidal volume 400 mL
alarms
  low SpO2 90 %
readings at 2026-11-24 06:00
  plateau pressure 20 cmH2O
  SpO2 96 %
"""
NAME = "readings for TM-1 revision 2\n"
FIRST = NAME + "readings at 2026-11-24 08:00\n  plateau pressure 26 cmH2O\n  SpO2 96 %\n"
SECOND = NAME + "\n# later\nreadings at 2026-11-24 10:00\n  plateau pressure 33 cmH2O\n  SpO2 85 %\n"


def beside(*sheets: str | Problem, order: str = ORDER) -> list[Screened]:
    given = [
        Sheet(f"{number}.vrx", each if isinstance(each, Problem) else each.encode())
        for number, each in enumerate(sheets, 1)
    ]
    return list(screen_beside(Ruling(builtin_rules()), "order.vrx", order.encode(), given, DAY))


def findings(screened: Screened) -> list[Finding]:
    assert screened.screening is not None, screened.problems
    return list(screened.screening.findings)


def without_place(each: Finding) -> tuple[str, str, str]:
    return each.rule, each.level, each.message


def test_readings_beside_an_order_find_what_they_would_find_within_it() -> None:
    apart = [without_place(each) for screened in beside(FIRST, SECOND) for each in findings(screened)]
    whole = screen_bytes("order.vrx", (ORDER + FIRST + SECOND).encode(), builtin_rules(), DAY)
    assert sorted(apart) == sorted(without_place(each) for each in findings(whole))
    assert {"reading.in-alarm", "drift.plateau-rising", "drift.saturation-falling"} <= {rule for rule, _, _ in apart}


def test_each_finding_stands_in_its_own_file_and_names_the_others() -> None:
    order, first, second = beside(FIRST, SECOND)
    assert [each.shown for each in (order, first, second)] == ["order.vrx", "1.vrx", "2.vrx"]
    drifts = [(screened, each) for screened in (first, second) for each in findings(screened) if "plateau" in each.rule]
    told = [(each.place.line, [(other.place.line, other.place.file) for other in each.related]) for _, each in drifts]
    assert told == [(3, [(11, "order.vrx")]), (5, [(3, "1.vrx")])]
    alarm = next(each for each in findings(second) if each.rule == "reading.in-alarm")
    assert alarm.place.file is None and (alarm.place.line, alarm.place.column) == (6, 3)
    assert [(each.place.line, each.place.file) for each in alarm.related] == [(9, "order.vrx")]
    assert all(each.place.line <= 12 and each.place.file is None for each in findings(order))


def test_every_check_is_counted_once() -> None:
    order, first = beside(FIRST)
    assert order.screening is not None and first.screening is not None
    assert sum(order.screening.coverage.counts.values()) == len(builtin_rules().order)
    assert sum(first.screening.coverage.counts.values()) == 0 and first.screening.coverage.rules == ()


def test_readings_of_another_order_are_refused_and_not_compared() -> None:
    order, sheet = beside(SECOND.replace("TM-1", "TM-2"))
    assert [each.rule for each in findings(sheet)] == ["reading.another-order"]
    assert [each.rule for each in findings(order)] == [each.rule for each in findings(beside()[0])]


def test_readings_of_another_revision_are_compared_and_asked_about() -> None:
    _, sheet = beside(SECOND.replace("revision 2", "revision 1"))
    assert {"reading.another-revision", "reading.in-alarm"} <= {each.rule for each in findings(sheet)}


def test_readings_that_name_no_order_are_noted() -> None:
    _, sheet = beside(FIRST.removeprefix(NAME))
    assert [(each.rule, each.level) for each in findings(sheet) if each.rule.startswith("notation.")] == [
        ("notation.readings-unnamed", "note")
    ]


def test_what_holds_no_readings_keeps_the_others_from_nothing() -> None:
    order, template, missing, torn, sheet = beside(
        'template "x"\n', Problem("is not there"), "readings for TM-1\n" + FIRST, SECOND
    )
    assert template.problems[0].message.startswith("holds a template; a file of readings begins")
    assert missing.problems == (Problem("is not there"),)
    assert next(each.level for each in findings(torn)) == "reject", "its first line can't be read"
    assert "reading.in-alarm" in {each.rule for each in findings(sheet)}
    assert order.problems == ()


def test_without_an_order_that_can_be_read_no_readings_are_screened() -> None:
    order, sheet = beside(SECOND, order="")
    assert order.problems and sheet.problems and sheet.screening is None
    order, sheet = beside(SECOND, order=FIRST)
    assert sheet.problems, "readings are no order"


def test_other_sections_in_a_file_of_readings_change_nothing_of_the_order() -> None:
    order, sheet = beside(FIRST + "settings\n  PEEP 20 cmH2O\nalarms\n  low SpO2 99 %\n")
    rejected = [each.message for each in findings(sheet) if each.rule == "notation.not-readings"]
    assert len(rejected) == 2
    assert "reading.in-alarm" not in {each.rule for each in findings(sheet)}
    assert order.document is not None and len(order.document.blocks_of("settings")) == 1


def test_a_line_of_a_joined_document_knows_its_home() -> None:
    order, one, two = document(ORDER), document(FIRST), document(SECOND)
    whole = join(order, [("a", one), ("b", two)])
    assert whole.entries == order.entries
    numbers = [block.entry.lines[0].number for block in whole.blocks]
    assert len(set(numbers)) == len(numbers) == len(order.blocks) + 4
    homes = [home(whole, number) for number in numbers]
    own = [(None, block.entry.lines[0].number) for block in order.blocks]
    assert homes == [*own, ("a", 1), ("a", 2), ("b", 1), ("b", 4)]


def test_the_set_before_is_the_last_in_time_whatever_the_order_of_the_text() -> None:
    whole = document(SECOND.removeprefix(NAME) + ORDER + FIRST.removeprefix(NAME))
    earlier = {
        facts.scope.readings.entry.text: facts.constants.get("earlier reading plateau pressure")
        for facts in all_facts("".join(line.text + line.ending for line in whole.source.lines))
        if facts.scope.readings is not None
    }
    assert earlier == {
        "readings at 2026-11-24 06:00": None,
        "readings at 2026-11-24 08:00": 20,
        "readings at 2026-11-24 10:00": 26,
    }


def test_sets_of_other_hours_of_the_day_are_not_compared() -> None:
    text = """\
prescription "x"
settings night from 22:00 to 07:00
  mode A/C-VC
settings day from 07:00 to 22:00
  mode A/C-VC
readings at 2026-11-24 06:00
  plateau pressure 20 cmH2O
readings at 2026-11-24 08:00
  plateau pressure 30 cmH2O
readings at 2026-11-24 23:00
  plateau pressure 21 cmH2O
"""
    found = {
        (facts.period, facts.scope.readings.entry.text[-5:]): facts.constants.get("reading interval")
        for facts in all_facts(text)
        if facts.scope.readings is not None
    }
    assert found == {("night", "06:00"): None, ("night", "23:00"): 17 * 3600, ("day", "08:00"): None}


def test_what_two_sets_of_one_moment_both_state_is_not_taken_as_earlier() -> None:
    text = """\
prescription "x"
readings at 2026-11-24 06:00
  SpO2 96 %
  rate 20 /min
readings at 2026-11-24 06:00
  SpO2 80 %
  PaCO2 6 kPa
readings at 2026-11-24 08:00
  SpO2 90 %
"""
    last = [facts for facts in all_facts(text) if facts.scope.readings is not None][-1]
    known = {key for key in last.constants if key.startswith("earlier reading ")}
    assert known == {"earlier reading rate", "earlier reading PaCO2", "earlier reading change"}
