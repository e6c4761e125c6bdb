"""Slips that an author of packs makes: each is told where it stands, once, with what may have been meant."""

import pytest

from rxlint.packs import load_text
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.found_by import EVENTS, near_events
from tests.packs.policies import faults, row
from tests.packs.test_faults import HEAD, line_of, problems, rule

# ---- events


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("modes.notchecked", "modes.not-checked"),
        ("unit-missing", "reader.unit-missing"),
        ("reader.missing-unit", "reader.unit-missing"),
        ("notation.unit-missing", "reader.unit-missing"),
        ("UNIT-MISSING", "reader.unit-missing"),
        ("unit-mising", "reader.unit-missing"),
    ],
)
def test_the_event_that_a_name_may_mean_is_offered(name: str, meant: str) -> None:
    assert near_events(name)[0] == meant
    (found,) = problems(rule(require=None, found_by=name, say="x"))
    assert found.startswith(f"p.yaml:13:15: there is no event {name}; did you mean {meant}")


def test_a_word_alone_offers_events_that_have_it_and_nonsense_offers_none() -> None:
    offered = near_events("UNKNOWN")
    assert 1 <= len(offered) <= 3 and all("unknown" in each and each in EVENTS for each in offered)
    assert near_events("xyzzy") == () == near_events("")


# ---- places and what was passed over in silence


@pytest.mark.parametrize(
    ("changed", "key", "column", "message"),
    [
        ({"at": "[[PEEP]]"}, "at", 10, "at: a text is expected here, not a list or a mapping"),
        ({"makes": "[PEEP, {a: b}]"}, "makes", 19, "makes: a text is expected here, not a list or a mapping"),
        ({"yields to: ": None, "yields to": "[a.b, ab]"}, "yields to", 22, "yields to: ab is no id of a rule"),
        ({"say": "[a]"}, "say", 10, "say must be text"),
        ({"say": '"{PEEP in cmH20}"'}, "say", 20, "say: there is no unit cmH20; did you mean cmH2O"),
        ({"cases": "[fires: {text: a, tekst: b}]"}, "cases", 20, "a case has one of text, library and pair"),
        ({"cases": "[fires: {library: [a]}]"}, "cases", 20, "library is a mapping from names to the texts"),
    ],
)
def test_a_slip_has_its_place(changed: dict[str, str | None], key: str, column: int, message: str) -> None:
    text = rule(**changed)
    assert problems(text)[0].startswith(f"p.yaml:{line_of(text, key)}:{column}: {message}")


def test_an_item_of_found_by_has_its_place_and_none_is_dropped() -> None:
    text = rule(require=None, found_by="[modes.not-checked, {a: b}, modes.notchecked]", say="x")
    assert problems(text) == [
        "p.yaml:13:35: found by: a text is expected here, not a list or a mapping",
        "p.yaml:13:43: there is no event modes.notchecked; did you mean modes.not-checked?",
    ]


def test_a_rule_without_a_requirement_does_not_load() -> None:
    assert problems(rule(require=None, each="[]")) == ["p.yaml:13:11: each is empty: a rule needs a requirement"]


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("rows: [x, {otherwise: 5 cmH2O}]", "17: a row has when and is, or otherwise"),
        ("rows: []", "16: rows is empty: the last row is otherwise, with a value"),
        ("as: PEEP, rows: [{otherwise: 5 cmH2O}]", "9: a defined term has as or rows, not both"),
    ],
)
def test_a_table_s_slip_is_not_passed_over(body: str, told: str) -> None:
    text = HEAD + f"define:\n  room: {{{body}, means: x, source: y}}\nrules: []\n"
    assert f"p.yaml:5:{told}" in problems(text)


@pytest.mark.parametrize("name", ["5 cmH2O", "and", "(room)", "-room"])
def test_a_term_s_name_can_not_take_the_place_of_a_number_or_a_sign(name: str) -> None:
    text = HEAD + f"define:\n  '{name}': {{as: PEEP, means: x, source: y}}\nrules: []\n"
    assert problems(text) == [f"p.yaml:5:3: a term's name is words that begin with a letter: {name}"]


@pytest.mark.parametrize("revision", ["one", "-1", "9" * 5000, "\u0663"])
def test_a_revision_that_is_none(revision: str) -> None:
    (found,) = problems(rule().replace("revision: 1", f"revision: {revision}"))
    assert found.startswith("p.yaml:2:11: revision is a whole number of at most 9 digits, not ") and len(found) < 120


def test_a_pack_s_name_stands_before_the_point_of_ids() -> None:
    (found,) = problems(rule().replace("pack: trial", "pack: My Ward"))
    assert found == "p.yaml:1:7: a pack's name is lower-case letters, digits and hyphens: My Ward"


def test_a_pack_that_is_used_must_be_there() -> None:
    text = rule().replace("rules:", "uses: [pressure, presure]\nrules:")
    assert load_text(text, "p.yaml", builtin_packs())[1][0].suggestions == ("pressure",)
    (told,) = load_text(text, "p.yaml", builtin_packs())[1]
    assert (told.line, told.column) == (4, 18)
    assert load_text(text.replace(", presure", ""), "p.yaml", builtin_packs())[1] == ()


# ---- what YAML itself refuses


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('a: 1\nb: "x\nc: 3\n', "2:4: not YAML that can be read: the quotation mark is never closed"),
        ("a: [1, 2\nb: 3\n", "1:4: not YAML that can be read: the list that begins here is not closed, or a comma"),
        ("a: {x: 1\n", "1:4: not YAML that can be read: the mapping that begins here is not closed, or a comma"),
        ("a: x: y\n", "1:5: not YAML that can be read: no value can begin at this colon: a text with a colon needs"),
        ("a: 1\nb\nc: 2\n", "2:1: not YAML that can be read: a key has no colon after it"),
        ("a: 1\n\tb: 2\n", "2:1: not YAML that can be read: a tab stands where only spaces can"),
        ("- a\nb: 1\n", "2:1: not YAML that can be read: the indentation fits nothing above it"),
        ("a: 1\n---\nb: 1\n", "2:1: not YAML that can be read: a second document begins here: a file holds one"),
        ("a: %x\n", "1:4: not YAML that can be read: a text can't begin with this sign: it needs quotation marks"),
        ("a: 1\nb: \0\n", "2:4: not YAML that can be read: the character U+0000 can't stand in a text file"),
        ("a: - b\n", "1:4: not YAML that can be read: no list can begin here: its first item needs a line of its own"),
        ("<<: {a: b}\n", "1:1: a merge key (<<) is not read in packs"),
    ],
)
def test_what_is_no_yaml_is_told_where_the_slip_is(text: str, told: str) -> None:
    (found,) = problems(text)
    assert found.startswith(f"p.yaml:{told}")


# ---- policies


NOT_THERE = "there is no pack north among the built-in ones and those named before this policy; "


def test_a_policy_whose_pack_is_not_there_is_told_once_and_the_rest_is_checked() -> None:
    body = (
        "adjust:\n  - {rule: north.one, level: note, because: x}\n  - {term: y, of: north, to: 5 cmH2O, because: x}\n"
        "must be checked: [north, north.two]\nnever accepted: [north.three]\n"
    )
    (found,) = faults(body, uses="pressure, north")
    assert found.startswith(f"4:18: uses: {NOT_THERE}name its file first")
    more = faults(body + row("limits", "of: PEP; allow: 4 to 8 cmH2O"), uses="pressure, north")
    assert len(more) == 2 and more[1].startswith("14:9: of: there is no term PEP; did you mean PEEP?")


def test_a_slip_in_a_name_is_told_although_a_pack_is_not_there() -> None:
    body = "must be checked: [presure, pressure.oxygen-lader, mode]\n"
    assert faults(body, uses="pressure, north")[1:] == [
        "5:19: must be checked: there is no area presure in what uses names; did you mean pressure?",
        "5:28: must be checked: there is no rule pressure.oxygen-lader in what uses names; "
        "did you mean pressure.oxygen-ladder?",
        "5:51: must be checked: mode is an area of the pack mode, which uses does not name",
    ]


def test_what_is_said_of_a_pack_with_a_slip_in_its_name_is_not_told_again() -> None:
    body = "must be checked: [pressure]\nadjust:\n  - {term: baseline limit, of: pressure, to: 9 cmH2O, because: x}\n"
    assert faults(body, uses="presure") == ["4:8: uses: there is no pack presure; did you mean pressure?"]


def test_a_row_of_the_policy_itself_is_not_adjusted() -> None:
    body = row("limits", "of: PEEP; allow: 4 to 8 cmH2O") + "adjust:\n  - {rule: site.one, level: note, because: x}\n"
    assert faults(body) == ["12:12: rule: site.one is a rule of this policy: set its level there"]


def test_a_term_that_is_demanded_stands_once() -> None:
    assert faults(row("demand", "terms: [PEEP, rate, PEEP]")) == ["9:25: terms: PEEP stands twice"]


def test_what_a_changed_term_would_be_is_told() -> None:
    body = "adjust:\n  - {term: baseline limit, of: pressure, to: 5, because: x}\n"
    assert faults(body) == ["6:46: to: baseline limit is pressure, and this is a number without a unit"]
