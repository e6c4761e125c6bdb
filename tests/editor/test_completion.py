"""What is offered at a place, in which order, and that it reads as what it is once it is chosen."""

import random

import pytest

from rxlint.editor.completion import completions
from rxlint.editor.completion_offers import fit
from rxlint.editor.shapes import Completion, Position
from rxlint.editor.where import pieces_of, where
from rxlint.notation.statements import read_detail, read_heading, read_row, term_of
from rxlint.notation.tree import Entry
from rxlint.vocabulary import vocabulary
from tests.editor.places import ALL, HEAD, alone, details, end_of, example, marked, put_in, snapshot_of
from tests.shelf import EXAMPLES

S_T = "settings\n  mode S/T-PS\n  EPAP 5 cmH2O\n"


def offered(text: str) -> list[str]:
    return [each.text for each in completions(*marked(text))]


def one(text: str, label: str) -> Completion:
    return next(each for each in completions(*marked(text)) if each.label == label)


# ---- by place


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("|", ["prescription", "template", "patient", "airway", "circuit", "settings"]),
        (HEAD + "|", ["patient", "airway", "circuit", "settings", "alarms", "targets"]),
        (HEAD + "patient\n  age 4 years\nsettings\n|", ["airway", "circuit", "alarms"]),
        (HEAD + "al|", ["alarms"]),
        (HEAD + "settings |", ["as needed", "asleep", "awake", "during transfer", "from"]),
        (HEAD + "settings night from 21:00 to 07:00\n  rate 9 /min\nalarms |", ["night", "as needed"]),
        (HEAD + "settings as n|", ["as needed"]),
        (HEAD + "back-up |", ["after apnoea"]),
        (HEAD + "back-up after apnoea 15 |", ["s", "min", "h"]),
        (HEAD + "settings\n  |", ["mode"]),
        (HEAD + S_T + "  |", ["IPAP", "pressure support", "rate", "back-up rate", "inspiratory time"]),
        (HEAD + S_T + "  IPAP 14 cmH2O\n  |", ["rate", "back-up rate", "inspiratory time"]),
        (HEAD + "settings\n  mode |", ["CMV-PC", "A/C-PC", "SIMV-PC"]),
        (HEAD + "settings\n  mode cp|", ["CPAP"]),
        (HEAD + "settings\n  press|", ["pressure support", "inspiratory pressure"]),
        (HEAD + "settings\n  peep|", ["PEEP"]),
        (HEAD + "settings\n  PEEP 5 |", ["cmH2O", "mbar", "kPa", "mmHg"]),
        (HEAD + "settings\n  PEEP 5 k|", ["kPa"]),
        (HEAD + "settings\n  tidal volume 6 |", ["mL", "L", "mL/kg", "L/kg"]),
        (HEAD + "settings\n  tidal volume 6 mL/kg |", ["of predicted weight", "of measured weight"]),
        (HEAD + "settings\n  tidal volume 6 mL/kg of predicted b|", ["of predicted body weight"]),
        (HEAD + "settings\n  tidal volume 6 mL/kg of predicted weight |", ["allow", "in steps of"]),
        (HEAD + "settings\n  inspiratory pressure 17 cmH2O |", ["above PEEP", "above ambient"]),
        (HEAD + "settings\n  inspiratory pressure 17 cmH2O above PEEP |", ["allow", "in steps of"]),
        (HEAD + "settings\n  FiO2 40 |", ["%"]),
        (HEAD + "settings\n  trigger sensitivity 2 |", ["L/min", "mL/min", "cmH2O"]),
        (HEAD + "settings\n  rate by |", ["age", "corrected age", "gestation", "height"]),
        (HEAD + "settings\n  rate by age\n    |", ["under"]),
        (HEAD + "settings\n  rate by age\n    2 |", ["years", "months", "weeks", "days"]),
        (HEAD + "settings\n  rate by age\n    2 to 6 years 20 |", ["/min"]),
        (HEAD + "settings\n  rate by age\n    2 to 6 years 20 /min\n    |", ["6 to", "6 years and over"]),
        (HEAD + "airway\n  interface |", ["endotracheal tube", "tracheostomy", "nasal mask"]),
        (HEAD + "airway\n  interface oronasal mask |", ["cuffed", "uncuffed", "vented", "non-vented"]),
        (HEAD + "circuit\n  limb single |", ["single with exhalation valve", "single with leak port"]),
        (HEAD + "circuit\n  assembly |", ["ventilator", "filter", "tubing"]),
        (HEAD + "circuit\n  assembly ventilator, filter,\n    |", ["tubing", "heated humidifier"]),
        (HEAD + "circuit\n  leak port flow 24 L/min |", ["at"]),
        (HEAD + "circuit\n  leak port flow 24 L/min at 10 |", ["cmH2O"]),
        (HEAD + "monitoring\n  |", ["pulse oximeter", "capnograph"]),
        (HEAD + "monitoring\n  pulse oximeter, |", ["capnograph", "transcutaneous CO2"]),
        (HEAD + "equipment\n  battery 4 |", ["h"]),
        (HEAD + "alarms\n  apnoea |", ["after"]),
        (HEAD + "alarms\n  low SpO2 86 % |", ["after"]),
        (HEAD + "alarms\n  low SpO2 86 % after 30 |", ["s", "min"]),
        (HEAD + "patient\n  weight 81 kg |", ["measured", "estimated", "birth", "dry"]),
        (HEAD + "oxygen\n  flow 1 L/min |", ["at ventilator inlet", "at leak port", "at mask"]),
        (HEAD + 'escalation\n  call "x" |', ["when"]),
        (HEAD + 'escalation\n  call "x" when |', ["expired tidal volume", "inspired tidal volume"]),
        (HEAD + 'escalation\n  call "x" when Sp|', ["SpO2", "spontaneous rate"]),
        (HEAD + 'escalation\n  call "x" when SpO2 |', ["above", "at least", "at most", "below"]),
        (HEAD + 'escalation\n  call "x" when EtCO2 above 6 |', ["kPa"]),
        (HEAD + 'escalation\n  call "x" when EtCO2 above 6 kPa for 5 |', ["min", "h", "s"]),
        (HEAD + "titration\n  raise |", ["PEEP", "EPAP", "IPAP"]),
        (HEAD + "titration\n  raise FiO2 by 5 |", ["%"]),
        (HEAD + "titration\n  raise FiO2 |", ["by", "and"]),
        (HEAD + "titration\n  raise FiO2 by 5 % |", ["every", "up to", "when"]),
        (HEAD + "accepted\n  accept alarms.decannulation |", ["on", "in", "until", "because", "by"]),
        (HEAD + 'escalation\n  call "x" when SpO2 below 88 % |', ["for", "and", "or"]),
        (HEAD + "readings |", ["before change", "after change", "at", "by"]),
        (HEAD + "off ventilator\n  15 |", ["min", "h"]),
        (HEAD + "off ventilator\n  15 min on |", ["endotracheal tube", "tracheostomy"]),
        (HEAD + "settings night\n  rate 9 /min\noff ventilator\n  return to |", ["night"]),
        ('template "x"\n  id newborn-tube\n  revision 9\n  replaces |', ["newborn-tube revision 3"]),
        (HEAD + "  follows neuro|", ["neuromuscular-night revision 6"]),
        (HEAD + "  follows newborn-tube revision |", ["3"]),
        (HEAD + "accepted\n  accept alarms.decannulation on rate at 5 |", ["/min"]),
    ],
)
def test_what_is_offered_first(text: str, first: list[str]) -> None:
    found = offered(text)
    alike = "6 years" in text or "limb" in text or "flow 1" in text or "Sp|" in text  # alike in rank, by the alphabet
    assert (sorted(found[: len(first)]) if alike else found[: len(first)]) == (sorted(first) if alike else first)


@pytest.mark.parametrize(
    "text",
    [
        HEAD + "settings\n  # PE|",
        HEAD + 'escalation\n  ceiling "no |',
        HEAD + 'escalation\n  ceiling "no |intubation"',
        'prescription "|',
        HEAD + "settings\n  PEEP 5|",
        HEAD + "settings\n  PEEP 5.|",
        HEAD + 'checked 2026-11-02 by "x"\n  |',
        HEAD + "settings\n  PEEP 5 gallons |",
        HEAD + "settings\n  no such thing |",
        HEAD + 'escalation\n  call "x"|',
        HEAD + "readings\n  SpO2 90 % |",
        HEAD + "settings\n  inspiratory pressure 17 cmH2O above PEEP allow 15 to 20 cmH2O allow |",
    ],
)
def test_nothing_is_offered(text: str) -> None:
    assert offered(text) == []


@pytest.mark.parametrize(
    ("text", "never"),
    [
        (HEAD + S_T + "  |", "EPAP"),  # it is stated already
        (HEAD + "settings\n  PEEP 5 cmH2O |", "above PEEP"),
        (HEAD + "settings\n  PEEP 5 |", "allow"),  # the unit is wanting
        (HEAD + "alarms\n  low SpO2 86 % |", "allow"),
        (HEAD + "settings\n  inspiratory pressure 17 cmH2O |", "allow"),  # above what stands before it
        (HEAD + "monitoring\n  capnograph\n  |", "capnograph"),
        (HEAD + "titration\n  raise FiO2 by 5 % |", "down to"),
        (HEAD + "settings\n  rate by |", "rate"),
        (HEAD + "patient\n  weight 4 |", "lb"),
        (HEAD + "accepted\n  accept |", "notation.unit-missing"),  # what can't be read can't be answered for
    ],
)
def test_what_can_t_stand_there_is_not_offered(text: str, never: str) -> None:
    found = offered(text)
    assert found and never not in found


def test_what_the_mode_needs_says_so_and_what_has_no_effect_too() -> None:
    text = HEAD + S_T + "  |"
    assert "S/T-PS needs it, or pressure support" in one(text, "IPAP").detail
    assert "no effect in S/T-PS" in one(text, "gas flow").detail
    ranks = [one(text, label).rank for label in ("IPAP", "rise time", "keep", "gas flow")]
    assert ranks == sorted(ranks) and len(set(ranks)) == 4


def test_the_needs_of_a_period_are_met_by_the_section_without_one() -> None:
    text = HEAD + S_T + "settings night from 21:00 to 07:00\n  |"
    assert "needs it" not in one(text, "EPAP").detail and "needs it" in one(text, "IPAP").detail


def test_rules_that_are_found_here_come_first_with_their_message() -> None:
    slip = (EXAMPLES / "slips" / "peep-raised-alone.vrx").read_text("utf-8")
    found = completions(*marked(slip + "\naccepted\n  accept |"))
    assert found[0].text == "pressure.supported-breaths-differ"
    assert "supported breaths reach 19 cmH2O" in found[0].detail and found[0].detail.startswith("line 43")
    assert len(found) > 200
    terms = offered(slip + "\naccepted\n  accept pressure.supported-breaths-differ on |")
    assert terms[0] == "pressure support"


def test_a_period_is_offered_where_a_finding_is_accepted() -> None:
    text = HEAD + "settings night\n  rate 9 /min\naccepted\n  accept timing.rate on rate in |"
    assert offered(text)[0] == "night"


def test_no_library_offers_no_template() -> None:
    text = HEAD + "  follows "
    assert [each.text for each in completions(alone(text), end_of(text))] == []


def test_a_template_is_offered_ranges_before_a_prescription_is() -> None:
    line = "settings\n  PEEP 5 cmH2O |"
    template = offered('template "x"\n' + line)
    order = offered(HEAD + line)
    assert template.index("to") < template.index("in steps of") or template.index("to") <= 3
    assert order.index("to") > order.index("in steps of")


# ---- the place that is replaced


@pytest.mark.parametrize(
    ("text", "label", "line"),
    [
        (HEAD + "settings\n  ins|", "inspiratory pressure", "  inspiratory pressure"),
        (HEAD + "settings\n  inspiratory pr|", "inspiratory pressure", "  inspiratory pressure"),
        (HEAD + "settings\n  PE|EP  5 cmH2O", "PEEP", "  PEEP  5 cmH2O"),
        (HEAD + "settings\n  |PEEP  5 cmH2O", "rate", "  rate  5 cmH2O"),
        (HEAD + "settings\n  |inspiratory pressure  5 cmH2O", "rate", "  rate  5 cmH2O"),
        (HEAD + "settings\n  PEEP 5 c|", "cmH2O", "  PEEP 5 cmH2O"),
        (HEAD + "settings\n  PEEP 5 |cmH2O", "kPa", "  PEEP 5 kPa"),
        (HEAD + "settings\n  PEEP 5 |", "kPa", "  PEEP 5 kPa"),
        (HEAD + "patient\n  resistance 5 |cmH2O/(L/s)", "kPa/(L/s)", "  resistance 5 kPa/(L/s)"),
        (
            HEAD + "settings\n  inspiratory pressure 5 cmH2O above a|mbient # so",
            "above PEEP",
            "  inspiratory pressure 5 cmH2O above PEEP # so",
        ),
        (HEAD + "circuit\n  limb |single with leak port", "dual", "  limb dual"),
        (HEAD + "settings\n  PE|", "PEEP", "  PEEP"),
    ],
)
def test_what_is_typed_is_replaced_and_nothing_else(text: str, label: str, line: str) -> None:
    snapshot, position = marked(text)
    found = {each.label: each for each in completions(snapshot, position)}
    if label == "above PEEP":  # another word than the typed one: it is offered where the phrase begins
        found = {
            each.label: each
            for each in completions(*marked(text.replace("a|mbient", "ambient").replace("above", "|above")))
        }
    assert found[label].place.line == found[label].place.end_line == position.line
    assert put_in(snapshot.lines[position.line - 1].text, found[label]) == line


@pytest.mark.parametrize(
    ("text", "words", "at"),
    [
        ("inspiratory pressure", ("ins",), 0),
        ("inspiratory pressure", ("press",), 1),
        ("inspiratory pressure", ("INSPIRATORY", "p"), 0),
        ("inspiratory pressure", ("inspiratory", ""), 0),
        ("inspiratory pressure", ("insp", "p"), None),
        ("inspiratory pressure", ("ratory",), None),
        ("cmH2O", ("cmh",), 0),
        ("rate", ("rate", ""), None),
        ("rate", ("",), 0),
    ],
)
def test_typed_words_choose_by_the_beginnings_of_words(text: str, words: tuple[str, ...], at: int | None) -> None:
    assert fit(text, words) == at


# ---- what is chosen reads as what it is


def test_every_term_that_is_offered_at_a_detail_is_understood_as_that_term() -> None:
    seen = 0
    known: set[tuple[str, ...]] = (
        set()
    )  # what is offered rests on the section and the settings: most slips share theirs
    for path in ALL:
        snapshot = example(path)
        every = details(snapshot)
        settings = [entry.text for section, entry in every if section == "settings"]
        for section, entry in every:
            own = [each.text for name, each in every if name == section]
            key = (section, entry.text, *own, *(settings if section == "settings" else ()))
            if key in known:
                continue
            known.add(key)
            place = Position(entry.lines[0].number, entry.indent + 1)
            line = entry.lines[0].text
            for each in completions(snapshot, place):
                if each.kind != "term":
                    continue
                term = term_of(section, put_in(line, each))
                assert term is not None and term.phrase == each.label, (path.name, line, each.label)
                seen += 1
    assert seen > 20_000


def is_read(section: str, head: Entry | None, text: str) -> bool:
    """Whether no unit of a statement is told to be wrong."""
    statement = head.statement if head is not None else None
    if statement is not None and statement.term is not None:
        read = read_row(section, statement.term.phrase, statement.body.key.text, text)  # type: ignore[union-attr]
    else:
        read = read_detail(section, text)
    return not {"reader.unit-mismatch", "reader.unit-discouraged"} & {event.name for event in read.events}


def test_every_unit_that_is_offered_after_a_number_reads_as_that_unit() -> None:
    seen = 0
    known: set[tuple[str, str, str]] = set()
    for path in ALL:
        snapshot = example(path)
        rows = [(section, row, entry) for section, entry in details(snapshot) for row in entry.rows]
        for section, entry, head in [*((section, entry, None) for section, entry in details(snapshot)), *rows]:
            key = section, entry.text, head.text if head is not None else ""
            if len(entry.lines) > 1 or entry.events or key in known:
                continue
            known.add(key)
            for piece in pieces_of("row" if head else "detail", section, head, entry):
                if piece.kind != "UNIT":
                    continue
                line = entry.lines[0].text
                found = completions(snapshot, Position(entry.lines[0].number, piece.start + 1))
                units = [each for each in found if each.kind == "unit"]
                assert units, (path.name, line, piece)
                assert entry.text[piece.start : piece.end] in [each.text for each in units], (path.name, line)
                for each in units:
                    text = put_in(line, each)[: piece.start + len(each.text)]
                    read = pieces_of("row" if head else "detail", section, head, entry._replace(text=text))
                    assert (read[-1].kind, read[-1].text) == ("UNIT", each.text), (path.name, text)
                    assert is_read(section, head, text), (path.name, text)
                    seen += 1
    assert seen > 2_000


def test_every_word_item_and_mode_that_is_offered_reads_as_itself() -> None:
    for line, section in (
        ("  interface |", "airway"),
        ("  limb |", "circuit"),
        ("  assembly ventilator, |", "circuit"),
        ("  mode |", "settings"),
        ("  trigger |", "settings"),
        ("  diagnosis |", "patient"),
        ("  |", "monitoring"),
        ("  |", "equipment"),
    ):
        text = f"{HEAD}{section}\n{line}"
        snapshot, position = marked(text)
        chosen = [each for each in completions(snapshot, position) if each.kind in ("word", "item", "mode")]
        assert len(chosen) >= 3
        for each in chosen:
            pieces = pieces_of("detail", section, None, entry_of(section, put_in(line.replace("|", ""), each)))
            assert pieces[-1].text == each.text and pieces[-1].kind in ("WORD", "ITEM", "MODE")


def entry_of(section: str, line: str) -> Entry:
    found = details(alone(f"{HEAD}{section}\n{line}\n"))
    return found[-1][1]


def test_every_heading_that_is_offered_reads_as_one() -> None:
    text = HEAD + "|"
    for each in completions(*marked(text)):
        complete = {"checked": 'checked 2026-11-02 by "x"'}.get(each.text, each.text)
        heading, _ = read_heading(complete)
        assert heading is not None and heading.section == each.text


def test_every_mode_tells_what_it_needs() -> None:
    found = {each.label: each for each in completions(*marked(HEAD + "settings\n  mode |"))}
    for code, mode in vocabulary().modes.items():
        assert all(" or ".join(choice) in found[code].markdown for choice in mode.needs)


# ---- whatever stands there


def test_no_beginning_of_an_example_raises_anything() -> None:
    """Character by character over one order, and at random over the others: the answers lie on the line asked about."""
    picked = random.Random(8)
    texts = [(EXAMPLES / "sound" / "TM-0533-infant-finding-accepted.vrx").read_text("utf-8")]
    cut = [(texts[0], length) for length in range(0, len(texts[0]) + 1)]
    for path in ALL:
        text = path.read_text("utf-8")
        cut.append((text, picked.randrange(len(text) + 1)))
    for text, length in cut:
        before = text[:length]
        position = end_of(before)
        for each in completions(alone(before), position):
            assert each.place.line == each.place.end_line == position.line
            assert each.place.column <= position.column <= each.place.end_column
            assert each.text and each.label


@pytest.mark.parametrize(
    "text",
    [
        "\x00",
        "\ufeff",
        "\r",
        '"' * 50,
        "prescription " + '"' * 3,
        HEAD + "settings\n  PEEP " + "5 " * 900,
        HEAD + "settings\n  " + "x" * 5_000,
        HEAD + "settings\n  \u202ePEEP 5 \u200bcmH2O",
        HEAD + "settings\n  \U0001f600 PEEP",
        HEAD + "settings\n  PEEP\u00a05\u00a0cmH2O",
        HEAD + "settings\n  rate by age\n    \u0661 to",
        HEAD + "circuit\n  assembly ventilator,\n    #,\n\n    ,",
        HEAD + "circuit\n  assembly " + ",\n    ,".join("filter" for _ in range(300)),
        HEAD + "settings\n  keep (((((",
        HEAD + "accepted\n  accept . on",
        HEAD + HEAD + "settings\n  PEEP",
        "readings for TM-1 revision 2\nreadings\n  SpO2 ",
    ],
)
def test_hostile_text_raises_nothing(text: str) -> None:
    snapshot = snapshot_of(text)
    for position in (end_of(text), Position(1, 1), Position(0, 0), Position(3, 3), Position(4, 10), Position(9, 999)):
        for each in completions(snapshot, position):
            assert each.place.line >= 1 and each.place.column >= 1
        where(snapshot, position)


def test_the_answers_are_the_same_every_time() -> None:
    text = HEAD + S_T + "  |"
    assert completions(*marked(text)) == completions(*marked(text))
