"""Changes that an author may ask for: corrections, lines with a blank, acceptances to be filled in, the layout."""

import re
from pathlib import Path

import pytest

from rxlint.editor.actions import actions, layout
from rxlint.editor.diagnostics import marks
from rxlint.editor.shapes import Action, Edit
from rxlint.editor.snapshot import Snapshot
from rxlint.notation.tree import Place
from rxlint.screening.finding import Finding
from tests.editor.texts import applied, at, damaged, example, paths, positions, prefixes, read, snapshot_of
from tests.shelf import EXAMPLES

READER = "reader."
LIKE_O = "\N{CYRILLIC CAPITAL LETTER O}"
LOW = "PEEP  5 cmH2O  # low"


def findings(snapshot: Snapshot) -> tuple[Finding, ...]:
    assert snapshot.screened.screening is not None
    return snapshot.screened.screening.findings


def here(snapshot: Snapshot, what: str, after: str = "") -> Place:
    line, column = at(snapshot, what, after)
    return Place(line, column, line, column)


def after(snapshot: Snapshot, action: Action) -> Snapshot:
    return snapshot_of(applied(snapshot.text, action.edits[snapshot.path]), snapshot.path)


def titles(found: tuple[Action, ...], kind: str = "quickfix") -> list[str]:
    return [each.title for each in found if each.kind == kind]


def rule_at(snapshot: Snapshot) -> set[str]:
    return {each.rule for each in findings(snapshot) if each.counts}


# ---- corrections


def test_every_correction_is_offered_in_the_finding_s_own_order_and_answers_its_mark() -> None:
    snapshot = example("slips/peep-raised-alone")
    shown = marks(snapshot)
    found = actions(snapshot, here(snapshot, "pressure support"), shown)
    assert titles(found) == [
        "pressure support 10 cmH2O instead of 12 cmH2O "
        "(makes pressure above baseline 10 cmH2O, support above baseline 10 cmH2O)",
        "inspiratory pressure 19 cmH2O above ambient instead of 17 cmH2O "
        "(makes pressure above baseline 12 cmH2O, support above baseline 12 cmH2O)",
        "add a line that would accept pressure.supported-breaths-differ, its reason and role left blank",
    ]
    assert [each.settles for each in found[:3]] == [shown[0]] * 3
    assert found[0].edits == {snapshot.path: (Edit(Place(43, 25, 43, 33), "10 cmH2O"),)}
    assert findings(after(snapshot, found[0])) == findings(after(snapshot, found[1])) == ()


def test_a_reading_is_told_with_what_it_takes_the_place_of() -> None:
    snapshot = example("slips/misspelt-term")
    found = actions(snapshot, findings(snapshot)[0].place)
    assert titles(found)[0] == "write pressure support instead of presure support"
    assert rule_at(after(snapshot, found[0])) == set()


@pytest.mark.parametrize(
    ("line", "title", "becomes"),
    [
        ("inspiratory pressure  17 cmH2O allow 15 to 20 cmH2O", "add above ambient", "17 cmH2O above ambient allow"),
        ("tidal volume  7 mL/kg", "add of predicted weight", "7 mL/kg of predicted weight"),
        (f"PEEP  5 cmH2{LIKE_O}  # low", f"write cmH2O instead of cmH2{LIKE_O}", LOW),
        ("PEEP  5\u200b cmH2O  # low", f"write {LOW} instead of PEEP  5<U+200B> cmH2O  # low", LOW),
        ("PEEP  5 cmH2O  # l\u200bow", f"write {LOW} instead of PEEP  5 cmH2O  # l<U+200B>ow", LOW),
        ("PEEP  5,5 cmH2O", "write 5.5 instead of 5,5", "PEEP  5.5 cmH2O"),
        ("PEEP  5.0 cmH2O", "write 5 instead of 5.0", "PEEP  5 cmH2O"),
        ("PEEP  5 cm", None, None),
    ],
)  # fmt: skip
def test_what_stands_after_a_reading_is_taken(line: str, title: str | None, becomes: str | None) -> None:
    snapshot = snapshot_of(f'prescription "p"\nsettings\n  {line}\n')
    place = Place(3, 3, 3, 3)
    of_reader = {
        rule.id for event, rules in snapshot.rules.found_by.items() if event.startswith(READER) for rule in rules
    }
    before = [each for each in findings(snapshot) if each.place.line == 3 and each.rule in of_reader]
    assert len(before) == 1
    found = {each.title: each for each in actions(snapshot, place) if each.title.startswith(("write ", "add "))}
    if title is None or becomes is None:
        assert [each for each in found if each.startswith("write")] == []
        return
    then = after(snapshot, found[title])
    assert becomes in then.text
    assert before[0].rule not in {each.rule for each in findings(then) if each.place.line == 3}


def test_a_hidden_character_in_a_list_over_lines_is_not_written_over_its_comment() -> None:
    text = 'prescription "p"\nmonitoring\n  pulse\u200b oximeter,  # why\n    capnograph\n'
    snapshot = snapshot_of(text)
    assert [each.rule for each in findings(snapshot) if each.place.line == 3] == ["notation.hidden-character"]
    assert not [each for each in titles(actions(snapshot, Place(3, 3, 3, 3))) if each.startswith("write")]
    plain = snapshot_of(text.replace("  # why", ""))
    (found,) = [each for each in actions(plain, Place(3, 3, 3, 3)) if each.title.startswith("write")]
    assert after(plain, found).text == text.replace("  # why", "").replace("\u200b", "")


def correctable() -> list[Path]:
    """The slips whose rule has corrections, or speaks of a line that is read wrongly."""
    snapshot = example("slips/peep-raised-alone")
    rules = {each.id: each for each in snapshot.rules.all_rules}
    found: list[Path] = []
    for path in paths("slips"):
        named = re.search(r"\b([a-z]+\.[a-z-]+)\b", path.read_text("utf-8").split("\n", 1)[0])
        rule = rules.get(named.group(1)) if named is not None else None
        if rule is not None and (rule.corrections or any(e.startswith((READER, "relations.")) for e in rule.found_by)):
            found.append(path)
    return found


def test_every_correction_of_a_slip_reads_and_its_finding_is_gone() -> None:
    tried = 0
    for path in correctable():
        snapshot = snapshot_of(path.read_text("utf-8"), path)
        for finding in findings(snapshot):
            replacements = [each.replacement for each in finding.corrections if each.place is not None]
            offered = actions(snapshot, finding.place)
            made = [each for each in offered if each.edits[path][0].text in replacements and each.kind == "quickfix"]
            assert len(made) == len(replacements), path.name
            for action in made:
                then = after(snapshot, action)
                left = {each.rule for each in findings(then)}
                assert finding.rule not in left, (path.name, action.title)
                assert not {each for each in left if each.startswith("notation.not-")}, (path.name, action.title)
                tried += 1
    assert tried >= 30


# ---- lines that are missing


def test_what_a_mode_needs_is_added_as_a_blank_and_every_choice_is_offered() -> None:
    snapshot = example("slips/setting-missing-for-mode")
    shown = marks(snapshot)
    found = actions(snapshot, here(snapshot, "A/C-PC"), shown)
    offered = [each for each in found if "left blank: " in each.title]
    assert [each.title for each in offered] == [
        "add inspiratory time, left blank: A/C-PC needs it",
        "add I:E, left blank: A/C-PC needs it",
    ]
    assert {each.kind for each in offered} == {"quickfix"} and [each.settles for each in offered] == [shown[0]] * 2
    then = after(snapshot, offered[0])
    (line,) = [line.text for line in then.lines if "inspiratory time" in line.text and "?" in line.text]
    assert line == "  inspiratory time      ?"
    (finding,) = findings(then)
    assert (finding.rule, finding.level) == ("notation.not-understood", "reject")
    assert '"?" can\'t stand here' in finding.message


def test_a_mode_alone_is_offered_its_settings_by_choice() -> None:
    text = 'prescription "p"\r\nsettings night\r\n  mode  S/T-PS\r\n  # so far\r\nalarms\r\n  power loss  on\r\n'
    snapshot = snapshot_of(text)
    found = [each.title for each in actions(snapshot, Place(2, 1, 2, 1)) if "left blank: " in each.title]
    assert found == [
        f"add {term}, left blank: S/T-PS needs it"
        for term in (
            *("PEEP", "EPAP", "IPAP", "pressure support", "back-up rate", "rate"),
            *("inspiratory time", "I:E", "minimum inspiratory time", "maximum inspiratory time"),
        )
    ]
    (rate,) = [each for each in actions(snapshot, Place(3, 3, 3, 3)) if each.title.startswith("add rate,")]
    assert after(snapshot, rate).text == text.replace("  # so far\r\n", "  # so far\r\n  rate  ?\r\n")
    assert not [each for each in actions(snapshot, Place(6, 3, 6, 3)) if "S/T-PS needs" in each.title]


def test_settings_without_a_choice_are_added_together() -> None:
    snapshot = snapshot_of('prescription "p"\nsettings\n  mode  A/C-VC\n  PEEP  5 cmH2O\n  I:E   1:2\n')
    (found,) = [each for each in actions(snapshot, Place(3, 3, 3, 3)) if "left blank: " in each.title]
    assert found.title == "add tidal volume and rate, left blank: A/C-VC needs them"
    assert after(snapshot, found).text.endswith("  I:E   1:2\n  tidal volume  ?\n  rate  ?\n")


def test_a_sound_order_needs_nothing() -> None:
    snapshot = example("sound/TM-0417-tracheostomy-night")
    for line in range(1, len(snapshot.lines) + 1):
        assert actions(snapshot, Place(line, 1, line, 1)) == ()


def test_a_line_that_a_rule_asks_for_is_added_in_its_section() -> None:
    snapshot = example("slips/apnoea-alarm-left-out")
    found = [each for each in actions(snapshot, findings(snapshot)[0].place) if each.title.endswith("left blank")]
    apnoea = next(each for each in found if each.title == "add apnoea, left blank")
    then = after(snapshot, apnoea)
    document = then.document
    assert document is not None
    (alarms,) = document.blocks_of("alarms")
    assert alarms.details[-1].text.split() == ["apnoea", "?"]
    assert rule_at(then) == {"notation.not-understood"}


def test_a_section_that_every_order_has_is_offered_at_the_first_line() -> None:
    text = 'prescription "p"\npatient\n  age  4 years\nalarms\n  power loss  on\n\nchecked 2026-11-02 by "x"\n'
    snapshot = read(text)
    found = {each.title: each for each in actions(snapshot, Place(1, 1, 1, 1))}
    assert titles(tuple(found.values()), "refactor") == [
        "add the section airway",
        "add the section circuit",
        "add the section settings",
    ]
    settings = found["add the section settings"].edits[snapshot.path]
    assert applied(text, settings) == text.replace("  age  4 years\n", "  age  4 years\n\nsettings\n")
    assert not titles(actions(snapshot, Place(3, 1, 3, 1)), "refactor")


def test_an_empty_section_hides_nothing() -> None:
    text = (EXAMPLES / "sound/TM-0417-tracheostomy-night.vrx").read_text("utf-8")
    start, end = text.index("alarms\n"), text.index("targets\n")
    bare = snapshot_of(text[:start] + text[end:])
    (added,) = [each for each in actions(bare, Place(1, 1, 1, 1)) if each.title == "add the section alarms"]
    then = after(bare, added)
    assert then.text == text[:start] + "alarms\n\n" + text[end:]
    assert rule_at(bare) == rule_at(then) and rule_at(bare)


# ---- acceptances


def test_an_acceptance_is_a_line_that_holds_only_once_it_is_filled_in() -> None:
    snapshot = example("slips/peep-raised-alone")
    (finding,) = findings(snapshot)
    (accept,) = [each for each in actions(snapshot, finding.place) if "accept" in each.title]
    then = after(snapshot, accept)
    line = "accept pressure.supported-breaths-differ on pressure support at 12 cmH2O above PEEP"
    line += ' until 2027-01-13 because "" by ""'
    assert f"\n\naccepted\n  {line}\n\nchecked " in then.text
    by_rule = {each.rule: each for each in findings(then)}
    assert by_rule[finding.rule].counts
    assert "a reason and who answers for it" in by_rule["governance.acceptance-incomplete"].message
    half = snapshot_of(then.text.replace('because ""', 'because "spontaneous breaths are to be larger"'), snapshot.path)
    assert finding.rule in rule_at(half)
    whole = snapshot_of(half.text.replace('by ""', 'by "consultant, intensive care"'), snapshot.path)
    assert rule_at(whole) == set()


@pytest.mark.parametrize("blank", ["", " ", "  \t"])
def test_a_blank_reason_accepts_nothing(blank: str) -> None:
    snapshot = example("slips/acceptance-without-a-reason")
    text = snapshot.text.replace(
        ' by "consultant, intensive care"\n', f' because "{blank}" by "consultant, intensive care"\n'
    )
    assert text != snapshot.text
    told = rule_at(snapshot_of(text, snapshot.path))
    assert "governance.acceptance-incomplete" in told


def test_an_acceptance_names_its_period_where_there_are_several() -> None:
    order = example("slips/peep-raised-alone")
    text = order.text.replace("\nsettings\n", "\nsettings night\n").replace(
        "\ntargets\n", "\nsettings day\n  mode  CPAP\n  PEEP  5 cmH2O\n\ntargets\n"
    )
    snapshot = snapshot_of(text, order.path)
    finding = next(each for each in findings(snapshot) if each.rule == "pressure.supported-breaths-differ")
    (accept,) = [each for each in actions(snapshot, finding.place) if f"would accept {finding.rule}," in each.title]
    assert " at 12 cmH2O above PEEP in night until 2027-01-13 " in accept.edits[snapshot.path][0].text


def test_a_second_acceptance_joins_the_first() -> None:
    snapshot = example("slips/peep-raised-alone")
    for _ in range(2):
        finding = next(each for each in findings(snapshot) if each.rule == "pressure.supported-breaths-differ")
        (accept,) = [each for each in actions(snapshot, finding.place) if "would accept" in each.title]
        snapshot = after(snapshot, accept)
    assert snapshot.document is not None
    (block,) = snapshot.document.blocks_of("accepted")
    first, second = block.details
    assert first.text == second.text


@pytest.mark.parametrize("name", ["acceptance-of-a-missing-unit", "acceptance-past-its-date", "checked-by-its-author"])
def test_what_may_not_be_accepted_is_not_offered_to_be(name: str) -> None:
    snapshot = example(f"slips/{name}")
    found = [(f, a.title) for f in findings(snapshot) for a in actions(snapshot, f.place)]
    assert findings(snapshot)
    offered = {title.split()[6].rstrip(",") for _, title in found if "would accept" in title}
    assert not {rule for rule in offered if rule.startswith(("governance.", "notation."))}


# ---- layout and all else


def test_the_layout_is_offered_where_it_would_change_something() -> None:
    text = 'prescription "p"\nsettings\n      PEEP 5 cmH2O\n      rate      20 /min'
    snapshot = read(text)
    (found,) = [each for each in actions(snapshot, Place(3, 1, 3, 1)) if each.kind == "source"]
    assert found.title == "lay out the document: white space alone changes"
    tidied = applied(text, found.edits[snapshot.path])
    assert tidied.split() == text.split()
    assert "\n  PEEP  5 cmH2O\n  rate  20 /min" in tidied
    assert layout(read(tidied)) == ()
    assert layout(snapshot, 3, 4) == layout(snapshot)


def test_nothing_is_offered_for_what_is_no_text() -> None:
    for text in ("", "\n" * 60_000):
        assert actions(read(text), Place(1, 1, 1, 1)) == ()


def test_every_action_can_be_made_whatever_is_written() -> None:
    seen = 0
    for snapshot in [*prefixes(14, "sound", "slips", ruled=True), *damaged(14, "sound", "slips", ruled=True)]:
        shown = marks(snapshot)
        for position in positions(snapshot, 4):
            place = Place(position.line, position.column, position.line, position.column)
            for action in actions(snapshot, place, shown):
                assert action.title and "\n" not in action.title
                assert action.settles is None or action.settles in shown
                then = read(applied(snapshot.text, action.edits[snapshot.path]))
                assert then.document is not None
                seen += 1
    assert seen > 20
