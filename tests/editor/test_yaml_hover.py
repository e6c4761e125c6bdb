"""What is told of a place in a file of rules, and its outline."""

import pytest

from rxlint.editor.shapes import Hover, Position, Symbol
from rxlint.editor.yaml_files import YamlFile
from rxlint.editor.yaml_hover import yaml_hover
from rxlint.editor.yaml_symbols import yaml_symbols
from tests.editor.yaml_texts import NETWORK, PACK, PROFILE, RULE, WARD, file_of, spoilt

DEFINED = PACK + (
    "define:\n  wide margin:\n    as: PEEP + 5 cmH2O\n    means: a margin\n    source: a source\n"
    "rules:\n  - id: trial.one\n    level: query\n    found by: modes.setting-missing\n"
    '    say: "\U0001f600 {mode} at {PEEP in cmH2O}"\n'
    "    when: >\n      PEEP > wide margin and\n      not PEEP is stated or rate * tidal volume > 3 L/min\n"
)


def told(text: str, words: str, within: str = "", name: str = "p.yaml") -> tuple[str, str]:
    """What is told where some words begin, the first after some others: the text that it is of, and what."""
    file, found = asked(text, words, within, name)
    assert found is not None
    place = found.place
    assert place.line == place.end_line
    return file.places.lines[place.line - 1][place.column - 1 : place.end_column - 1], found.markdown


def asked(text: str, words: str, within: str = "", name: str = "p.yaml") -> tuple[YamlFile, Hover | None]:
    offset = text.index(words, text.index(within) + len(within) if within else 0)
    before = text[:offset]
    file = file_of(text, name)
    return file, yaml_hover(file, Position(before.count("\n") + 1, len(before) - before.rfind("\n")))


def test_a_key_tells_what_it_is_for() -> None:
    assert told(NETWORK, "limits") == ("limits", "**limits**: ranges that the site stays within")
    assert told(NETWORK, "level")[1].endswith("One of `reject`, `query`, `note`.")
    assert told(PROFILE, "must be set") == (
        "must be set", "**must be set**: what it asks for and the notation has no term for",
    )  # fmt: skip
    assert "the widest first and the nearest last" in told("policies:\n  - x\n", "policies", name="rxlint.yaml")[1]


def test_a_term_of_an_expression_tells_meaning_unit_and_type() -> None:
    words, text = told(NETWORK, "interface is one of")
    assert words == "interface"
    assert "what joins the circuit to the patient" in text
    assert "Gives: yes or no" in text
    words, text = told(DEFINED, "tidal volume >")
    assert words == "tidal volume"
    assert "Value: volume, in mL" in text
    words, text = told(RULE + "    require: driving pressure < 15 cmH2O\n", "driving pressure")
    assert words == "driving pressure"
    assert "- `reading plateau pressure - reading total PEEP`" in text
    assert "Value: pressure, in cmH2O" in text


def test_a_term_that_the_pack_defines_tells_its_formula() -> None:
    for place in ("wide margin and", "wide margin:"):
        words, text = told(DEFINED, place)
        assert words == "wide margin"
        assert "As: `PEEP + 5 cmH2O`" in text
        assert "Source: a source" in text
    words, text = told(WARD, "widest high pressure margin")
    assert words == "widest high pressure margin"
    assert "(defined by the pack)" in text


def test_an_expression_tells_how_it_was_read() -> None:
    read = "Read as `((PEEP > wide margin) and (not (PEEP is stated))) or ((rate * tidal volume) > 3 L/min)`"
    for words in ("PEEP > wide", "* tidal", "> 3"):
        assert read in told(DEFINED, words)[1]
    _, found = asked(DEFINED, "or rate")
    assert found is not None and found.markdown.startswith(read)
    assert (found.place.line, found.place.end_line) == (16, 17)
    part, text = told(DEFINED, "* tidal")
    assert part == "rate * tidal volume"
    assert text.startswith("This part: `rate * tidal volume`\n\nGives: flow, in")
    assert told(WARD, "25 cmH2O", "to: ") == ("25 cmH2O", "Read as `25 cmH2O`\n\nGives: pressure, in cmH2O")


def test_a_message_tells_its_slots() -> None:
    assert told(DEFINED, "mode}") == ("{mode}", "**mode**: told by the event")
    words, text = told(DEFINED, "PEEP in")
    assert words == "PEEP"
    assert "pressure, in cmH2O" in text
    assert asked(DEFINED, "at {PEEP")[1] is None


def test_a_rule_an_event_a_pack_and_a_mode_tell_what_they_are() -> None:
    words, text = told(NETWORK, "mode.setting-missing")
    assert words == "mode.setting-missing"
    assert text.startswith("**mode.setting-missing**: The mode lacks a setting it needs")
    assert "found by: `modes.setting-missing`" in text
    assert told(NETWORK, "site.epap-mask")[1].startswith("**site.epap-mask**: EPAP lies outside 4 to 12 cmH2O")
    assert told(DEFINED, "modes.setting-missing")[1].endswith("an event that tells `mode`, `setting`")
    assert told(NETWORK, "mode, pressure")[1].startswith("**mode** revision ")
    assert told(WARD, "pressure.mechanical-power")[1].startswith("**pressure.mechanical-power**: ")


def test_facts_and_rows_tell_their_terms() -> None:
    words, text = told(NETWORK, "EPAP 13 cmH2O")
    assert words == "EPAP"
    assert "expiratory level of a two-level order" in text
    assert told(NETWORK, "EPAP\n")[0] == "EPAP"
    assert told(NETWORK, "alarm disconnection after 16 s")[0] == "alarm disconnection"
    assert told(PROFILE, "inspiratory pressure")[0] == "inspiratory pressure"


def test_a_text_that_is_half_typed_still_tells() -> None:
    broken = spoilt(NETWORK, "    level: query\n", "    lev\n")
    assert told(broken, "interface is one of")[0] == "interface"
    assert told(broken, "EPAP 13")[0] == "EPAP"


@pytest.mark.parametrize("text", ["name: x\njobs: []\n", "", "pack: [", NETWORK.replace("pack:", "# pack:")])
def test_where_nothing_can_be_told(text: str) -> None:
    assert yaml_hover(file_of(text), Position(1, 1)) is None
    assert yaml_hover(file_of(text), Position(99, 99)) is None


# ---- the outline


def flat(found: tuple[Symbol, ...], depth: int = 0) -> list[tuple[int, str, str]]:
    lines: list[tuple[int, str, str]] = []
    for each in found:
        lines += [(depth, each.name, each.detail), *flat(each.children, depth + 1)]
    return lines


def test_the_outline_of_a_policy_has_rows_and_cases() -> None:
    found = yaml_symbols(file_of(WARD))
    assert flat(found) == [
        (0, "pack", "tarnmoor-ward-7"),
        (0, "revision", "1"),
        (0, "summary", "What ward 7 of the invented Tarnmoor network does differently"),
        (0, "uses", "tarnmoor-network, alarms, pressure"),
        (0, "limits", ""),
        (1, "site.epap-mask", "EPAP"),
        (2, "fires", "interface oronasal mask vented; EPAP 15 cmH2O"),
        (2, "holds", "interface oronasal mask vented; EPAP 14 cmH2O"),
        (2, "holds", "interface oronasal mask vented; EPAP 4 cmH2O"),
        (2, "silent", "interface tracheostomy; EPAP 15 cmH2O"),
        (0, "adjust", ""),
        (1, "pressure.mechanical-power", "query"),
        (1, "widest high pressure margin", "alarms"),
    ]
    row = found[4].children[0]
    assert (row.place.line, row.place.end_line, row.name_place.line, row.name_place.column) == (9, 20, 9, 9)


def test_the_outline_of_a_pack_and_of_a_profile() -> None:
    assert flat(yaml_symbols(file_of(DEFINED)))[4:] == [
        (0, "define", ""), (1, "wide margin", "a margin"), (0, "rules", ""), (1, "trial.one", "query"),
    ]  # fmt: skip
    names = [name for _, name, _ in flat(yaml_symbols(file_of(PROFILE)))]
    assert {"settings", "PEEP, EPAP", "alarms", "high rate", "must be set"} <= set(names)
    assert yaml_symbols(file_of("jobs: []\n")) == ()


def test_names_lie_within_their_places() -> None:
    waiting = [each for text in (NETWORK, WARD, PROFILE, DEFINED) for each in yaml_symbols(file_of(text))]
    assert len(waiting) > 20
    while waiting:
        each = waiting.pop()
        whole, name = each.place, each.name_place
        assert (whole.line, whole.column) <= (name.line, name.column)
        assert (name.end_line, name.end_column) <= (whole.end_line, whole.end_column)
        waiting += each.children
