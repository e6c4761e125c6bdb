"""What is told of a place: of terms, values, modes, rules, templates and findings."""

import random
import re
from fractions import Fraction
from pathlib import Path

import pytest

from rxlint.editor.hover import hover
from rxlint.editor.hover_values import Amounts, in_other_units, told
from rxlint.editor.hover_words import term_markdown
from rxlint.editor.shapes import Position
from rxlint.editor.where import pieces_of
from rxlint.notation import nodes as n
from rxlint.reports.rule_markdown import rule_markdown
from rxlint.units import UNITS, to_base
from rxlint.vocabulary import vocabulary
from tests.editor.places import ALL, HEAD, alone, at, details, end_of, example, marked, rulings, snapshot_of
from tests.shelf import EXAMPLES

NIGHT = EXAMPLES / "sound" / "TM-0533-infant-finding-accepted.vrx"
FOLLOWS = EXAMPLES / "sound" / "TM-0417-tracheostomy-night.vrx"
TEMPLATE = EXAMPLES / "templates" / "neuromuscular-night.vrx"
RAISED = EXAMPLES / "slips" / "peep-raised-alone.vrx"


def said(path: Path, mark: str, within: str) -> str:
    found = hover(*at(path, mark, within))
    assert found is not None
    return found.markdown


def said_of(text: str) -> str:
    found = hover(*marked(text))
    assert found is not None
    return found.markdown


# ---- words


def test_a_term_tells_what_it_means_what_it_takes_and_its_unit() -> None:
    text = said(NIGHT, "inspiratory pressure  18", "inspiratory")
    assert "pressure of mandatory breaths; must say above what" in text
    assert "Takes an amount in cmH2O." in text
    assert "`above ambient` or `above PEEP` (one of them must be)" in text
    found = hover(*at(NIGHT, "inspiratory pressure  18", "pressure"))
    assert found is not None and (found.place.column, found.place.end_column) == (3, 23)


def test_every_term_has_something_to_tell() -> None:
    for term in vocabulary().terms.values():
        text = term_markdown(term)
        assert text.startswith(f"**{term.phrase}** ({term.section}): ") and "Takes " in text
        if term.form == "quantity" and term.unit is not None:
            assert term.unit.symbol in text


def test_a_mode_tells_what_it_is_and_what_it_needs() -> None:
    text = said(NIGHT, "mode   ", "A/C-PC")
    assert text.startswith("**A/C-PC**: assist/control, pressure control")
    assert "- inspiratory pressure or IPAP\n" in text and "May have: back-up rate" in text


@pytest.mark.parametrize(
    ("text", "within"),
    [
        (HEAD + "sett|ings\n  PEEP 5 cmH2O", "mode and its settings"),
        (HEAD + "back-|up after apnoea 15 s", "falls back to after an apnoea"),
        ('pre|scription "x"', "an order for one patient"),
        (HEAD + "titration\n  raise Fi|O2 by 5 %", "inspired oxygen fraction"),
        (HEAD + "titration\n  stop when Sp|O2 below 88 %", "**SpO2** (readings)"),
        (HEAD + "settings\n  rate by a|ge", "completed age"),
        (HEAD + "settings\n  keep  pressure support = inspiratory pres|sure - PEEP", "pressure of mandatory breaths"),
        (HEAD + "settings\n  keep  pressure support = inspiratory pressure - PE|EP", "**PEEP** (settings)"),
        (HEAD + "settings\n  keep  driving pres|sure <= 15 cmH2O", "plateau less total PEEP"),
        (HEAD + "settings\n  inspiratory pressure 9 cmH2O above PE|EP", "end-expiratory pressure"),
        (HEAD + "settings\n  PEEP 9 cmH2O all|ow 8 to 10 cmH2O", "without a new order"),
        (HEAD + "airway\n  interface tracheo|stomy cuffed", "what joins the circuit to the patient"),
        (HEAD + "circuit\n  assembly ventilator, fil|ter", "parts in order from ventilator to patient"),
    ],
)
def test_what_a_word_means(text: str, within: str) -> None:
    assert within in said_of(text)


# ---- values


def test_a_pressure_is_told_in_the_other_units_and_from_the_other_reference() -> None:
    text = said(RAISED, "pressure support  ", "12 cmH2O")
    assert "pressure support **12 cmH2O** above PEEP" in text
    # 1 kPa is 10.197 cmH2O, 1 mmHg 1.3595 cmH2O (exact factors in rxlint/units)
    assert "- about 1.177 kPa\n" in text and "- about 11.77 mbar (the same in hPa)\n" in text
    assert "- about 8.827 mmHg\n" in text
    assert "- 19 cmH2O above ambient (baseline 7 cmH2O)" in text
    text = said(RAISED, "inspiratory pressure  ", "17 cmH2O")
    assert "- 10 cmH2O above PEEP (baseline 7 cmH2O)" in text


def test_both_ends_of_a_range_are_told() -> None:
    assert "- about 1.177 to 1.765 kPa\n" in said(TEMPLATE, "12 to 18 years                 12 to 18", "12 to 18 cmH2O")
    assert "- 144 to 216 months" in said(TEMPLATE, "12 to 18 years                 12 to 18", "12 to 18 years")
    text = said_of(HEAD + "settings\n  PEEP 5 cmH2O allow 4 to |6 cmH2O")
    assert "4 to 6 cmH2O" in text and "(what may be set)" in text and "about 0.3923 to 0.5884 kPa" in text
    text = said_of(
        HEAD + "settings\n  PEEP 6 cmH2O\n  inspiratory pressure 16 cmH2O above ambient allow 14 to |18 cmH2O"
    )
    assert "- 8 to 12 cmH2O above PEEP (baseline 6 cmH2O)" in text
    text = said_of(f"{HEAD}settings\n  PEEP 6 cmH2O allow 5 to 7 cmH2O\n  IPAP 1|6 cmH2O")
    assert "- 10 cmH2O above PEEP (baseline 6 cmH2O as set)" in text


def test_a_volume_is_told_by_the_weights_that_are_known() -> None:
    body = HEAD + "patient\n  sex male\n  height 178 cm\n  weight 81 kg measured 2026-10-30\nsettings\n"
    text = said_of(body + "  tidal volume 438 |mL")
    # 50 + 0.91 (178 - 152.4) = 73.296 kg (Devine formula as the ARDS Network has it, N Engl J Med 2000;342:1301-8)
    assert "- about 5.976 mL/kg of predicted weight (about 73.3 kg)" in text
    assert "- about 5.407 mL/kg of measured weight (81 kg)" in text and "- 0.438 L\n" in text
    text = said_of(body + "  tidal volume 6 |mL/kg of predicted weight")
    assert "- about 439.8 mL at about 73.3 kg predicted weight" in text
    assert "here about 73.3 kg" in said_of(body + "  tidal volume 6 mL/kg of pre|dicted weight")
    assert "not known here" in said_of(HEAD + "settings\n  tidal volume 6 mL/kg of pre|dicted weight")


@pytest.mark.parametrize(
    ("line", "within"),
    [
        ("rate 2|0 /min", "- one every 3 s"),
        ("inspiratory flow 3|0 L/min", "- 500 mL/s"),
        ("inspiratory time 0.9| s", "- 900 ms"),
        ("rise time 15|0 ms", "150 ms"),
        ("FiO2 4|0 %", "- as a fraction: 0.4"),
    ],
)
def test_other_values_in_other_units(line: str, within: str) -> None:
    assert within in said_of(f"{HEAD}settings\n  {line}")


def test_a_rounded_number_says_about_and_an_exact_one_does_not() -> None:
    for symbol, unit in UNITS.items():
        for number in (Fraction(5), Fraction(17, 2), Fraction(1, 3), Fraction(1234)):
            points = (to_base(number, unit),)
            amounts = Amounts(n.Amount((), False, 0, 0), points, unit)
            for text in [told(points, unit), *in_other_units(amounts)]:
                bare = text.removeprefix("as a fraction: ").removeprefix("one every ")
                shown = bare.removeprefix("about ").partition(" ")
                other = next((UNITS[each] for each in (shown[2].partition(" (")[0],) if each in UNITS), None)
                if other is None or text.startswith("one every"):
                    continue
                is_exact = Fraction(shown[0]) * other.factor == points[0]
                assert is_exact != bare.startswith("about "), (symbol, number, text)


def test_the_values_that_are_worked_out_from_a_setting_are_told_with_their_source() -> None:
    text = said(NIGHT, "inspiratory time  ", "0.5 s")
    assert (
        "expiratory time **1.5 s**: `cycle time - inspiratory time = 2 s - 0.5 s`; definition of breath times" in text
    )
    assert "mean airway pressure **9 cmH2O**" in text
    assert "pressure above baseline" not in text.partition("Worked out")[2].replace("+ pressure above baseline", "")


def test_only_values_that_read_the_term_are_told() -> None:
    text = said(NIGHT, "rise time  ", "80 ms")
    assert "Worked out from it" not in text


def test_what_is_told_of_a_value_is_no_verdict() -> None:
    snapshot = example(FOLLOWS)
    seen = 0
    for section, entry in details(snapshot):
        for piece in pieces_of("detail", section, None, entry):
            if piece.kind == "NUMBER" and section in ("settings", "alarms"):
                found = hover(snapshot, Position(entry.lines[0].number, piece.start + 1))
                assert found is not None
                assert not re.search(r"\b(safe|right|correct|approved|recommended|fine)\b", found.markdown)
                seen += 1
    assert seen > 10


# ---- rules, findings, templates


def test_a_finding_is_told_with_its_calculation_and_its_rule() -> None:
    text = said(RAISED, "pressure support  ", "12 cmH2O")
    assert "**query**: supported breaths reach 19 cmH2O, mandatory breaths 17 cmH2O" in text
    assert "`pressure.supported-breaths-differ`" in text
    assert "- because: When PEEP is changed alone" in text and "- source: common practice, no published source" in text


def test_a_finding_that_somebody_answers_for_says_who() -> None:
    text = said(NIGHT, "low inspiratory pressure  ", "13")
    assert "(accepted until 2027-01-12 by consultant, children's home ventilation)" in text


def test_a_finding_is_told_where_nothing_else_is() -> None:
    found = hover(*marked(HEAD + "settings\n  PEEP 5 |gallons"))
    assert found is not None and "gallons" in found.markdown and "**reject**" in found.markdown


def test_a_rule_s_id_tells_the_rule() -> None:
    text = said(NIGHT, "accept alarms.", "alarms.decannulation")
    assert text.startswith("**alarms.decannulation**: The low pressure alarm may stay silent")
    assert "Chest 2001;119:562-4" in text


def test_a_template_s_id_tells_its_title_revision_and_state() -> None:
    text = said(FOLLOWS, "follows ", "tracheostomy-night")
    assert "revision 5, active, templates/tracheostomy-night.vrx: Overnight support of a child" in text
    assert "no such document" in said_of(HEAD + "  follows no-such-pa|ge revision 2")


def test_a_setting_tells_what_the_template_says_of_it() -> None:
    for within in ("PEEP", "5 cmH2O"):
        text = said(FOLLOWS, "PEEP   ", within)
        assert "Template tracheostomy-night revision 5 says:" in text and "4 to 6 cmH2O" in text


def test_of_a_template_s_table_only_the_rows_that_may_hold_are_told() -> None:
    text = said(EXAMPLES / "sound" / "TM-0513-adult-neuromuscular-night.vrx", "IPAP   ", "IPAP")
    assert "by patient age: 18 years and over 12 to 20 cmH2O" in text and "6 to 12 years" not in text


def test_text_of_a_document_is_never_read_as_markdown() -> None:
    found = hover(*marked(HEAD + "settings\n  **PE|EP**[x](http://y) 5 cmH2O"))
    assert found is not None and "[x](" not in found.markdown


@pytest.mark.parametrize(
    "text", [HEAD + "settings\n  # PE|EP", HEAD + "settings\n  PEEP  |  5 cmH2O", "|", HEAD + "|", "# x|"]
)
def test_nothing_is_told_where_nothing_stands(text: str) -> None:
    found = hover(*marked(text))
    assert found is None or found.markdown.startswith("**")  # a finding of the whole line, and no more
    assert found is None or "Takes" not in found.markdown


# ---- whatever stands there


def test_no_beginning_of_an_example_raises_anything() -> None:
    picked = random.Random(9)
    small = NIGHT.read_text("utf-8").partition("\nalarms")[0]
    small = small[: small.index("patient")] + small[small.index("settings") :]
    cut = [(small, length) for length in range(len(small) + 1)]
    for path in ALL[::2]:
        text = path.read_text("utf-8")
        cut.append((text, picked.randrange(len(text) + 1)))
    seen = 0
    for text, length in cut:
        before = text[:length]
        position = end_of(before)
        found = hover(alone(before), position)
        if found is not None:
            seen += 1
            assert found.markdown and found.place.line <= position.line <= found.place.end_line
    assert seen > 300


@pytest.mark.parametrize(
    "text",
    [
        "\x00",
        '"' * 50,
        HEAD + "settings\n  " + "x" * 5_000,
        HEAD + "settings\n  \u202ePEEP 5 \u200bcmH2O",
        HEAD + "settings\n  PEEP 0 cmH2O\n  rate 0 /min",
        HEAD + "settings\n  I:E 1:0\n  rate 1:2 /min",
        HEAD + "settings\n  keep (((((",
        HEAD + "settings\n  keep PEEP = PEEP",
        HEAD + "settings\n  rate by age\n    1 to 1 years 0 /min\n    \u0661 to",
        HEAD + "circuit\n  assembly " + ",\n    ,".join("filter" for _ in range(300)),
        HEAD + "patient\n  height 0 cm\n  weight 0 kg\nsettings\n  tidal volume 5 mL",
        HEAD + "accepted\n  accept x.y on rate at 5",
        HEAD + "  follows TM-1 revision 1\nsettings\n  PEEP 5 cmH2O",
        HEAD + HEAD + "settings\n  PEEP",
        "readings for TM-1 revision 2\nreadings\n  SpO2 90 %\n  PEEP 5 cmH2O",
    ],
)
def test_hostile_text_raises_nothing(text: str) -> None:
    snapshot = snapshot_of(text)
    places = [Position(0, 0), Position(9, 999), end_of(text)]
    for line in snapshot.lines[:6]:
        places += [Position(line.number, column) for column in range(1, min(len(line.text), 60) + 2, 3)]
    for position in places:
        found = hover(snapshot, position)
        assert found is None or found.markdown


def test_each_period_has_its_own_baseline() -> None:
    nights = "settings night from 21:00 to 07:00\n  EPAP 6 cmH2O\nsettings day from 07:00 to 21:00\n  EPAP 4 cmH2O\n"
    text = said_of(f"{HEAD}{nights}settings\n  IPAP 1|6 cmH2O")
    assert "- 10 cmH2O above PEEP (baseline 6 cmH2O in night)" in text
    assert "- 12 cmH2O above PEEP (baseline 4 cmH2O in day)" in text


def test_a_line_too_long_to_be_read_still_tells_its_finding() -> None:
    text = HEAD + "settings\n  |" + "x" * 2_500
    assert "2,000" in said_of(text)


def test_a_table_s_row_tells_its_value_and_its_key() -> None:
    table = (
        HEAD + "patient\n  age 7 years\nsettings\n  PEEP by age\n    1 to 3 years  5 cmH2O\n    3 to 12 years  6 cmH2O"
    )
    assert "PEEP **6 cmH2O**" in said_of(table.replace("  6 cmH2O", "  |6 cmH2O"))
    assert "**3 to 12 years**" in said_of(table.replace("3 to 12", "3 t|o 12"))


def test_every_rule_has_a_page_with_its_reason_and_its_source() -> None:
    rules = rulings().base.all_rules
    assert len(rules) > 200
    for rule in rules:
        text = rule_markdown(rule)
        assert text.startswith(f"**{rule.id}**: ") and "\n- because: " in text and "\n- source: " in text
        assert all(line.startswith("- ") for line in text.split("\n\n", 1)[1].split("\n"))
