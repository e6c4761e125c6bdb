"""The code of a document's content: it outlives every new layout, and no change of what is ordered."""

import dataclasses
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rxlint.model.content import ASIDE, check_code, content_of, holds, is_code, unread_lines
from rxlint.notation import NewDetail, NewSection, render_document, sections_of
from rxlint.notation import nodes as n
from rxlint.vocabulary import vocabulary
from tests.notation.plain import document_of
from tests.notation.strategies import documents

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").rglob("*.vrx"))
SOUND = next(path for path in EXAMPLES if path.stem == "TM-0417-tracheostomy-night").read_text("utf-8")
Made = tuple[NewSection, ...]


def code(text: str) -> str:
    found = check_code(document_of(text))
    assert found is not None
    return found


def ordered(*lines: str, section: str = "settings") -> str:
    return f'prescription "x"\n{section}\n' + "".join(f"  {line}\n" for line in lines)


def orders() -> st.SearchStrategy[Made]:
    """Random documents of which each line can be read, relations included."""
    return documents().map(_readable)


def _readable(made: Made) -> Made:
    return tuple(dataclasses.replace(each, details=tuple(map(_with_relation, each.details))) for each in made)


def _with_relation(detail: NewDetail) -> NewDetail:
    if detail.body != n.Relation("mode is SIMV", 0, 0):
        return detail
    return dataclasses.replace(detail, body=n.Relation("mode pattern is SIMV", 0, 0))


# ---- what does not break it


@given(orders(), st.data())
def test_sections_and_details_may_stand_in_any_order(made: Made, data: st.DataObject) -> None:
    sections = [dataclasses.replace(each, details=tuple(data.draw(st.permutations(each.details)))) for each in made[1:]]
    head = dataclasses.replace(made[0], details=tuple(data.draw(st.permutations(made[0].details))))
    moved = (head, *data.draw(st.permutations(sections)))
    assert code(render_document(moved)) == code(render_document(made))


@given(orders(), st.sampled_from([" ", "\t", "    "]), st.data())
def test_layout_and_comments_change_nothing(made: Made, step: str, data: st.DataObject) -> None:
    text = render_document(made)
    lines: list[str] = []
    for line in text.split("\n"):
        words = line.lstrip(" ")
        after = data.draw(st.sampled_from(["", "  # a remark", " \t"])) if words else ""
        lines.append(step * ((len(line) - len(words)) // 2) + words + after)
        lines += data.draw(st.sampled_from([[], [""], ["# a remark"], ["         # further in"]]))
    end = data.draw(st.sampled_from(["\n", "\r\n"]))
    mark = data.draw(st.sampled_from(["", "\ufeff"]))
    assert code(mark + end.join(lines)) == code(text)


@given(orders())
def test_the_projects_own_writer_changes_nothing(made: Made) -> None:
    text = render_document(made)
    assert code(render_document(sections_of(document_of(text)))) == code(text)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_that_is_tidied_keeps_its_code(path: Path) -> None:
    document = document_of(path.read_text("utf-8"))
    found = check_code(document)
    if found is None:
        assert unread_lines(document) or document.kind not in ("prescription", "template")
    else:
        assert code(render_document(sections_of(document))) == found


OTHER_UNITS: Final[dict[str, tuple[str, str]]] = {
    "mbar": ("hPa", "1"), "hPa": ("kPa", "0.1"), "kPa": ("hPa", "10"), "mL": ("L", "0.001"), "L": ("mL", "1000"),
    "L/min": ("mL/min", "1000"), "mL/min": ("L/min", "0.001"), "s": ("ms", "1000"), "ms": ("s", "0.001"),
    "min": ("s", "60"), "h": ("min", "60"), "kg": ("g", "1000"), "cm": ("mm", "10"), "mm": ("cm", "0.1"),
    "m": ("cm", "100"), "/min": ("breaths/min", "1"), "mL/kg": ("L/kg", "0.001"),
}  # fmt: skip


def in_other_units(node: Any) -> Any:
    """Every amount in another unit that it can be told in exactly; a range whose unit stands once is left as it is."""
    if isinstance(node, tuple):
        return tuple(in_other_units(each) for each in node)
    if isinstance(node, n.Amount):
        return _converted(node)
    if isinstance(node, n.Value | n.RowKey) and any(each.unit is None for each in node.amounts):
        return node
    if not dataclasses.is_dataclass(node) or isinstance(node, type):
        return node
    changed = {field.name: in_other_units(getattr(node, field.name)) for field in dataclasses.fields(node)}
    return dataclasses.replace(node, **changed)


def _converted(amount: n.Amount) -> n.Amount:
    part = amount.parts[0]
    if len(amount.parts) > 1 or part.unit not in OTHER_UNITS:
        return amount
    unit, factor = OTHER_UNITS[part.unit]
    number = part.number * Fraction(factor)
    text = format((Decimal(number.numerator) / Decimal(number.denominator)).normalize(), "f")
    assert Fraction(text) == number
    return dataclasses.replace(amount, parts=(dataclasses.replace(part, number=number, text=text, unit=unit),))


@given(orders())
def test_another_unit_for_the_same_amount_changes_nothing(made: Made) -> None:
    other = render_document(in_other_units(made))
    assume(other != render_document(made))
    assert code(other) == code(render_document(made))


SPELLINGS = [
    (section.name, spelling, phrase)
    for section in vocabulary().sections.values()
    for spelling, phrase in section.trie.phrases.items()
    if spelling != phrase and section.terms[phrase].form == "quantity"
]


@pytest.mark.parametrize(("section", "spelling", "phrase"), SPELLINGS)
def test_another_spelling_of_a_term_changes_nothing(section: str, spelling: str, phrase: str) -> None:
    term = vocabulary().sections[section].terms[phrase]
    assert term.plausible is not None and term.unit is not None
    number = int(term.plausible[1] / term.unit.factor) or 1
    tail = f"{number} {term.unit.symbol}{' above ambient' if term.reference == 'stated' else ''}"
    texts = [ordered(f"{name} {tail}", section=section) for name in (phrase, spelling, spelling.upper())]
    assert len({code(text) for text in texts}) == 1


SAME = [
    ("PEEP 5 cmH2O", "PEEP  5.0 cmH2O above ambient"),
    ("pressure support 12 cmH2O", "pressure support 12 cmH2O above PEEP"),
    ("inspiratory pressure 17 cmH2O above ambient", "inspiratory pressure 17 cmH2O total"),
    ("inspiratory pressure 1 kPa above PEEP", "inspiratory pressure 10 hPa above PEEP"),
    ("rise time 150 ms", "rise time 0.15 s"),
    ("rate 20 /min allow 15 to 25 /min", "rate 20 breaths/min allow 15 /min to 1500 /h"),
    ("FiO2 40 %", "FiO2 0.4"),
    ("FiO2 0.3 to 0.4", "FiO2 30 to 40 %"),
    ("I:E 1:2 to 1:3", "I:E 1:3 to 1:2"),
    ("I:E 1:2", "I:E 2:4"),
    ("mode SIMV-PC with PS", "mode simv-pc with ps"),
    ("trigger flow, leak-compensated", "trigger leak-compensated flow"),
    ("tidal volume 0.5 L", "tidal volume 500 mL"),
    ("tidal volume 6 to 8 mL/kg of measured weight", "tidal volume 6 mL/kg to 0.008 L/kg of measured weight"),
]


@pytest.mark.parametrize(("one", "other"), SAME)
def test_what_says_the_same_has_one_code(one: str, other: str) -> None:
    assert one != other
    assert code(ordered(one)) == code(ordered(other))


def test_a_relation_is_told_by_what_it_means() -> None:
    assert code(ordered("keep PEEP = 5 mbar within 1 hPa")) == code(ordered("keep (peep = (0.5 kPa) within 1 mbar)"))
    assert code(ordered("keep PEEP - 1 mbar <= 4 mbar")) == code(ordered("keep (PEEP - 1 hPa) <= 0.4 kPa"))


def test_windows_may_stand_in_any_order() -> None:
    one = 'prescription "x"\nsettings day from 09:00 to 12:00 and 14:00 to 16:00\n  rate 16 /min\n'
    assert code(one) == code(one.replace("09:00 to 12:00 and 14:00 to 16:00", "14:00 to 16:00 and 09:00 to 12:00"))
    assert code(one) != code(one.replace("09:00", "09:30"))


def test_a_list_without_a_term_may_stand_on_several_lines_in_any_order() -> None:
    one = ordered("suction, battery 9 h, mask", section="equipment")
    assert code(one) == code(ordered("mask", "battery 540 min, suction", section="equipment"))
    assert code(one) != code(ordered("mask", "battery 9 h, suction, suction", section="equipment"))


def test_a_section_may_be_told_in_two_parts() -> None:
    parts = 'prescription "x"\nsettings\n  PEEP 5 cmH2O\nsettings\n  rate 20 /min\n'
    assert code(parts) == code(ordered("PEEP 5 cmH2O", "rate 20 /min"))


def test_white_space_in_a_text_is_single() -> None:
    one = ordered('indication "weak  muscles"', section="patient")
    assert code(one) == code(one.replace("weak  muscles", " weak muscles "))
    assert code(one) != code(one.replace("weak  muscles", "Weak muscles"))


BESIDE = """readings after change at 2026-11-21 08:00 by "nurse"
  rate 22 /min
accepted
  accept pressure.peak-high until 2027-01-01 because "stiff chest wall" by "consultant"
checked 2026-11-20 10:00 by "second checker"
# a remark
"""


@given(orders())
def test_readings_acceptances_and_checks_are_no_part_of_it(made: Made) -> None:
    kept = [each for each in made if each.name not in ASIDE]
    assert code(render_document(made)) == code(render_document(kept) + BESIDE)


# ---- what breaks it


@given(orders(), st.data())
def test_a_digit_that_is_changed_breaks_it(made: Made, data: st.DataObject) -> None:
    text = render_document(made)
    lines = text.split("\n")
    at = data.draw(st.sampled_from(content_lines(text)))
    digits = [index for index, char in enumerate(lines[at]) if char in "0123456789"]
    assume(digits)
    place = data.draw(st.sampled_from(digits))
    other = data.draw(st.sampled_from("0123456789").filter(lambda each: each != lines[at][place]))
    lines[at] = lines[at][:place] + other + lines[at][place + 1 :]
    assert check_code(document_of("\n".join(lines))) != code(text)


@given(orders(), st.data())
def test_a_line_that_is_lost_or_doubled_breaks_it(made: Made, data: st.DataObject) -> None:
    text = render_document(made)
    lines = text.split("\n")
    at = data.draw(st.sampled_from(content_lines(text)))
    is_heading = not lines[at].startswith(" ")
    lost = lines[:at] + lines[at + 1 :]
    assert check_code(document_of("\n".join(lost))) != code(text)
    if not is_heading:
        doubled = lines[: at + 1] + lines[at:]
        assert check_code(document_of("\n".join(doubled))) != code(text)


@given(orders(), st.data())
def test_a_word_that_is_changed_breaks_it(made: Made, data: st.DataObject) -> None:
    """Two neighbouring words in each other's place, or a letter more in one of them."""
    text = render_document(made)
    lines = text.split("\n")
    at = data.draw(st.sampled_from(content_lines(text)))
    place = data.draw(st.integers(len(lines[at]) - len(lines[at].lstrip()), len(lines[at])))
    assume(place == len(lines[at]) or lines[at][place - 1 : place] not in ("\\", " ", ""))
    lines[at] = lines[at][:place] + "q" + lines[at][place:]
    assert check_code(document_of("\n".join(lines))) != code(text)


def content_lines(text: str) -> list[int]:
    """The lines, from 0, of the sections whose content counts."""
    document = document_of(text)
    blocks = [block for block in document.blocks if block.section not in ASIDE]
    entries = [each for block in blocks for detail in block.details for each in (detail, *detail.rows)]
    return sorted({line.number - 1 for each in [*(b.entry for b in blocks), *entries] for line in each.lines})


OTHER = [
    ("PEEP 5 cmH2O", "PEEP 5 mbar"),
    ("PEEP 5 cmH2O", "PEEP 5 cmH2O allow 5 to 6 cmH2O"),
    ("PEEP 5 cmH2O allow 5 to 6 cmH2O", "PEEP 5 cmH2O allow 5 or 6 cmH2O"),
    ("PEEP 5 cmH2O allow up to 6 cmH2O", "PEEP 5 cmH2O allow 0 to 6 cmH2O"),
    ("PEEP 5 cmH2O allow 5 to 8 cmH2O", "PEEP 5 cmH2O allow 5 to 8 cmH2O in steps of 1 cmH2O"),
    ("PEEP 5 to 8 cmH2O", "PEEP automatic between 5 and 8 cmH2O"),
    ("PEEP 5 cmH2O", "EPAP 5 cmH2O"),
    ("inspiratory pressure 17 cmH2O above ambient", "inspiratory pressure 17 cmH2O above PEEP"),
    ("tidal volume 8 mL/kg of measured weight", "tidal volume 8 mL/kg of predicted weight"),
    ("trigger flow", "trigger flow, leak-compensated"),
    ("trigger flow", "trigger flow or pressure"),
    ("mode A/C-PC", "mode A/C-VC"),
    ("mode A/C-PC or A/C-VC", "mode A/C-VC or A/C-PC"),
    ("I:E 1:2", "I:E 2:1"),
    ("keep PEEP <= 8 cmH2O", "keep PEEP < 8 cmH2O"),
    ("keep rate = 20 /min", "keep rate = 20 /min within 1 /min"),
    ("keep mode pattern is SIMV", "keep mode pattern is not SIMV"),
]


@pytest.mark.parametrize(("one", "other"), OTHER)
def test_what_says_something_else_has_another_code(one: str, other: str) -> None:
    assert code(ordered(one)) != code(ordered(other))


CHANGES: Final[dict[str, tuple[str, str]]] = {
    "title": ("Overnight support", "Night support"),
    "id": ("TM-0417", "TM-0418"),
    "revision": ("revision     3", "revision     4"),
    "status": ("active", "draft"),
    "follows": ("revision 5", "revision 6"),
    "moment of writing": ("09:30", "09:31"),
    "author": ("consultant nurse", "nurse"),
    "review": ("2027-02-01", "2027-02-02"),
    "date of a weight": ("2026-10-30", "2026-10-29"),
    "how a weight is known": ("measured 2026", "estimated 2026"),
    "order of parts": ("CO2 adapter 5 mL, HME 12 mL", "HME 12 mL, CO2 adapter 5 mL"),
    "size of a part": ("HME 12 mL", "HME 13 mL"),
    "window": ("21:00 to 07:00", "21:00 to 06:00"),
    "name of a period": ("settings night", "settings Night"),
    "period": ("settings night from", "settings from"),
    "place of oxygen": ("at ventilator inlet", "at leak port"),
    "pressure of a leak": ("at 10 cmH2O", "at 12 cmH2O"),
    "delay": ("after 15 s", "after 16 s"),
    "alarm off": ("power loss                 on", 'power loss off because "awake with a carer"'),
    "weight of a target": ("of measured weight", "of predicted weight"),
    "moved together": ("raise inspiratory pressure and pressure support", "raise inspiratory pressure"),
    "way of a step": ("raise inspiratory", "lower inspiratory"),
    "time between steps": ("every 10 min", "every 20 min"),
    "end of a step": ("up to 20 cmH2O above ambient", "up to 20 cmH2O above PEEP"),
    "condition": ("EtCO2 above 6 kPa", "EtCO2 at least 6 kPa"),
    "duration": ("6 kPa for 5 min", "6 kPa"),
    "whom to call": ("on-call home", "on call home"),
    "or": ("5 min or EtCO2", "5 min and EtCO2"),
    "equipment": ("battery 9 h", "external battery 9 h"),
}


@pytest.mark.parametrize(("old", "new"), CHANGES.values(), ids=CHANGES)
def test_each_change_of_an_order_breaks_it(old: str, new: str) -> None:
    assert SOUND.count(old) == 1
    assert code(SOUND.replace(old, new)) != code(SOUND)


def test_the_reason_of_an_alarm_that_is_off_counts() -> None:
    one = ordered('high leak off because "awake"', section="alarms")
    assert code(one) != code(one.replace("awake", "with a carer"))


def test_rows_stand_in_their_order() -> None:
    """For the last row's high end is included."""
    rows = ["    1 to 3 years  26 /min\n", "    3 to 12 years  20 /min\n"]
    head = ordered("rate by age")
    assert code(head + rows[0] + rows[1]) != code(head + rows[1] + rows[0])
    wide = rows[0].replace("1 to 3 years  26", "12 months to 36 months         26")
    assert code(head + wide + rows[1]) == code(head + rows[0] + rows[1])


def test_time_off_is_content() -> None:
    stage = "15 min 2 times/day on tracheostomy mask"
    lines = (stage, "extend by 15 min every day up to 4 h", "stop when SpO2 below 92 %", "return to night")
    one = ordered(*lines, section="off ventilator")
    for old, new in (
        ("2 times", "3 times"),
        ("up to 4 h", "up to 5 h"),
        ("below 92", "below 90"),
        ("to night", "to day"),
    ):
        assert code(one) != code(one.replace(old, new)), new


# ---- lines that can't be read, codes, and the form itself


@pytest.mark.parametrize(
    "text",
    [
        'prescription "x"\nsettings\n  PEEP 5\n',
        'prescription "x"\nsettings\n  pep 5 cmH2O\n',
        'prescription "x"\nsettings\n  keep PEEP = 5\n',
        'prescription "x"\nsettings\n  PEEP by FiO2\n',
        'prescription "x"\nsettings\n  PEEP by FiO2\n    30 % to 40 %  5\n',
        'prescription "x"\nsetings\n  PEEP 5 cmH2O\n',
        'prescription "x"\nrate 20 /min\n',
        'prescription "x"\nsettings from 21 to 07:00\n  PEEP 5 cmH2O\n',
        "settings\n  PEEP 5 cmH2O\n",
        'prescription "x"\nprescription "y"\n',
        "readings\n  rate 20 /min\n",
    ],
)
def test_what_cannot_be_read_has_no_code(text: str) -> None:
    document = document_of(text)
    assert content_of(document) is None
    assert check_code(document) is None


def test_a_reading_that_cannot_be_read_leaves_the_code_alone() -> None:
    text = ordered("PEEP 5 cmH2O") + "readings\n  rate twenty\n"
    document = document_of(text)
    assert check_code(document) == code(ordered("PEEP 5 cmH2O"))
    assert [entry.lines[0].number for entry in unread_lines(document)] == [5]
    assert unread_lines(document, content_only=True) == ()


@pytest.mark.parametrize(
    ("change", "kept"),
    [
        (str.upper, True),
        (lambda code: code[:31], False),
        (lambda code: code[:-1] + ("0" if code[-1] != "0" else "1"), False),
        (lambda _: "", False),
    ],
)
def test_a_code_holds_for_its_content_alone(change: Callable[[str], str], kept: bool) -> None:
    content = content_of(document_of(SOUND))
    assert content is not None
    assert holds(change(code(SOUND)), content) == kept


def test_a_code_has_sixteen_bytes_or_more() -> None:
    assert len(bytes.fromhex(code(SOUND))) >= 16
    assert is_code("0" * 32) and is_code("F" * 64)
    assert not any(map(is_code, ["0" * 31, "0" * 65, "g" * 32, "０" * 32, "0" * 31 + "\n"]))  # noqa: RUF001


def test_the_form_stays_as_it_is() -> None:
    """Where this fails, every code written into a document before is broken: then the form needs another name."""
    text = ordered('indication "x"', "weight 20 kg measured 2026-10-30", section="patient")
    text += "settings night from 21:00 to 07:00\n  PEEP 5 cmH2O allow up to 6 cmH2O\n  keep PEEP <= 6 cmH2O\n"
    content = content_of(document_of(text))
    assert content is not None
    assert content.decode("ascii").split("\n", 2)[:2] == ["rxlint content 1", "notation 1"]
    assert code(text) == "530f7e519af4a697b8123c2e3f6dc499"


def test_details_made_of_nodes_are_details() -> None:
    """The strategies draw bare lists and stages too: without them the properties above would say less."""
    made = NewSection(n.Heading("monitoring", 0, 0), (NewDetail(None, n.Items((n.Item("capnograph", None, 0, 0),))),))
    head = NewSection(n.Heading("prescription", 0, 0, title="x"))
    assert code(render_document((head, made))) == code(ordered("capnograph", section="monitoring"))
