"""What may be written at a place of a pack, a policy, a profile or of settings."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from rxlint.data import data_folder
from rxlint.editor.shapes import Completion, Position
from rxlint.editor.yaml_completion import yaml_completions
from rxlint.editor.yaml_files import YamlFile, yaml_marks
from rxlint.editor.yaml_hover import yaml_hover
from rxlint.editor.yaml_outline import At, at_place
from rxlint.editor.yaml_symbols import yaml_symbols
from rxlint.library.settings import KEYS
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.load import POLICY_KEYS
from rxlint.packs.pack import BASES, LEVELS, POLICY_BASES
from rxlint.packs.profile_load import PROFILE_KEYS
from tests.editor.yaml_texts import NETWORK, PACK, PROFILE, RULE, WARD, cut, file_of, labels, offered, spoilt
from tests.shelf import EXAMPLES

CASE = RULE + '    cases:\n      - fires: "'


def put_in(text: str, label: str) -> str:
    """A text after a completion was chosen at the bar."""
    whole, position = cut(text)
    found = next(each for each in yaml_completions(file_of(whole), position) if each.label == label)
    lines = whole.split("\n")
    place = found.place
    assert place.line == place.end_line == position.line
    assert place.column <= position.column <= place.end_column
    line = lines[place.line - 1]
    lines[place.line - 1] = line[: place.column - 1] + found.text + line[place.end_column - 1 :]
    return "\n".join(lines)


# ---- keys


def test_keys_of_the_top_that_do_not_stand_there_yet() -> None:
    found = labels(offered("pack: x\n|^\nrevision: 1\n"))
    assert found[:1] == ["summary"]
    assert not {"pack", "revision"} & set(found)
    assert {"uses", "define", "rules", "profiles of cases", *POLICY_KEYS} <= set(found)
    assert labels(offered(f"{PACK}lim|^")) == ["limits"]
    assert set(labels(offered("profile: x\nrevision: 1\n|^", "p.yaml"))) == {*PROFILE_KEYS} - {"profile", "revision"}
    assert set(labels(offered("|^", "rxlint.yaml"))) == set(KEYS)


def test_keys_of_a_rule_a_row_a_case_a_term_and_a_dial() -> None:
    found = offered(spoilt(NETWORK, "    level: query\n", "    lev|^\n"))
    assert [(each.label, each.text) for each in found] == [("level", "level: ")]
    assert "not to be used as written" in found[0].detail
    assert labels(offered(RULE + "    |^"))[:3] == ["basis", "title", "because"]
    assert labels(offered(RULE + "    cases:\n      - |^")) == ["fires", "holds", "silent"]
    assert labels(offered(PACK + "define:\n  wide:\n    |^")) == ["means", "source", "as", "rows", "unit"]
    assert labels(offered(PACK + "adjust:\n  - rule: a.b\n    |^"))[:2] == ["level", "because"]
    assert "near enough" in labels(offered(spoilt(PROFILE, "unit:", "|^unit:"), "p.yaml"))
    assert labels(offered(RULE + "    title: x # le|^")) == []


def test_a_key_is_put_in_the_place_of_what_is_typed_of_it() -> None:
    assert put_in("pack: x\nrev|^", "revision") == "pack: x\nrevision: "
    assert put_in("pack: x\nru|^", "rules") == "pack: x\nrules:"
    assert put_in("pack: x\nsummary: y\nrev|^: 1\n", "revision") == "pack: x\nsummary: y\nrevision: 1\n"
    assert put_in(RULE + "    yie|^", "yields to").endswith("\n    yields to: ")


# ---- words and names


def test_levels_and_the_basis_that_a_pack_may_have() -> None:
    assert labels(offered(RULE.replace("level: query", "level: |^"))) == list(LEVELS)
    assert labels(offered(RULE + "    basis: |^")) == list(BASES)
    assert labels(offered(RULE + "    basis: |^\nlimits: []\n")) == list(POLICY_BASES)
    assert put_in(RULE.replace("level: query", "level: q|^uery"), "query") == RULE


def test_terms_that_a_row_is_about() -> None:
    assert labels(offered(spoilt(NETWORK, "of: EPAP", "of: EP|^")))[0] == "EPAP"
    assert labels(offered(spoilt(NETWORK, "[alarm disconnection,", "[alarm disc|^,")))[0] == "alarm disconnection"
    found = offered("pack: x\nlimits:\n  - of: driv|^")
    assert ("driving pressure", "plateau less total PEEP: volume divided by compliance, in cmH2O") in [
        (each.label, each.detail) for each in found
    ]
    assert labels(offered("profile: x\nlimbs: {}\nsettings:\n  - { setting: [PEEP, ra|^", "p.yaml"))[0] == "rate"


def test_rules_that_may_be_named() -> None:
    adjusted = labels(offered(spoilt(WARD, "rule: pressure.mechanical-power", "rule: pressure.m|^")))
    assert "pressure.mechanical-power" in adjusted
    assert all(each.startswith("pressure.m") for each in adjusted)
    listed = labels(offered(spoilt(NETWORK, "[mode.setting-missing]", "[|^]")))
    assert listed[:3] == ["site", "mode", "pressure"]
    assert {"site.epap-mask", "mode.setting-missing", "pressure.reference-missing"} <= set(listed)
    assert not [each for each in listed if each.startswith("alarms")]  # which uses does not name
    accepted = offered(spoilt(NETWORK, "[pressure.reference-missing]", "[pressure.reference-m|^]"))
    assert accepted[0].label == "pressure.reference-missing"
    assert "A pressure does not say what it is above" in accepted[0].markdown
    given = labels(offered(RULE + "    yields to: |^\n  - id: trial.two\n"))
    assert given[0] == "trial.two"
    assert "trial.one" not in given


def test_terms_that_a_policy_may_change_are_those_of_the_pack() -> None:
    found = labels(offered(spoilt(WARD, "term: widest high pressure margin", "term: |^")))
    alarms = next(pack for pack in builtin_packs() if pack.name == "alarms")
    assert sorted(found) == sorted(alarms.names.own)


def test_events_with_their_fields_and_packs_with_what_they_are_about() -> None:
    assert [(each.label, each.detail) for each in offered(RULE + "    found by: modes.setting-m|^")] == [
        ("modes.setting-missing", "tells mode, setting")
    ]
    found = {each.label: each.detail for each in offered("pack: x\nuses: [press|^]\nrevision: 1\n")}
    assert list(found) == ["pressure"] and "Pressures" in found["pressure"]


def test_files_that_settings_may_name() -> None:
    beside = ("site.yaml", "wards", "wards/seven.yaml")
    assert labels(offered("policies:\n  - |^\n", "rxlint.yaml", beside=beside)) == list(beside)
    assert labels(offered("policies:\n  - wards/s|^\n", "rxlint.yaml", beside=beside)) == ["wards/seven.yaml"]
    assert labels(offered("above: |^", "rxlint.yaml")) == ["no", "yes"]


# ---- expressions, messages and the notation


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("    when: interface is one of nasal m|^", "nasal mask"),
        ("    require: PEEP <= 5 c|^", "cmH2O"),
        ("    require: PEEP <= 5 |^", "cmH2O"),
        ("    when: patient a|^", "patient age"),
        ("    when: not inter|^", "interface"),
        ("    when: >\n      PEEP is stated and\n      alarm disc|^", "alarm disconnection"),
        ('    when: "PEEP is st|^"', "is stated"),
        ("    require: PEEP <= wide m|^", "wide margin"),
        ("    stricter:\n      - when: PEEP is not st|^", "is not stated"),
        ("    say: PEEP {PE|^}", "PEEP"),
        ("    say: PEEP {PEEP in cm|^}", "cmH2O"),
    ],
)
def test_what_may_come_next_in_an_expression(text: str, first: str) -> None:
    define = "define:\n  wide margin:\n    as: 5 cmH2O\n    means: a margin\n    source: a source\n"
    found = offered(RULE.replace("rules:", f"{define}rules:") + text)
    assert labels(found)[:1] == [first]


def test_the_whole_of_a_name_takes_the_place_of_what_is_typed_of_it() -> None:
    assert put_in(RULE + "    when: PEEP is stated and patient a|^ge > 1 years", "patient age").endswith(
        "and patient age > 1 years"
    )
    assert put_in(RULE + "    when: interface is oronasal m|^", "oronasal mask").endswith("is oronasal mask")


def test_a_message_names_the_fields_of_its_events_and_nothing_outside_braces() -> None:
    found = offered(RULE + '    found by: modes.setting-missing\n    say: "{mode} needs {|^')
    assert {"mode", "setting"} <= {each.label for each in found if each.detail == "told by the event"}
    assert offered(RULE + '    say: "PE|^') == []


def test_terms_of_a_changed_term_are_those_of_its_pack() -> None:
    found = labels(offered(spoilt(WARD, "to: 25 cmH2O", "to: widest h|^")))
    assert found == ["widest high pressure margin"]


def test_cases_and_values_are_written_in_the_notation() -> None:
    assert labels(offered(f"{CASE}inter|^"))[0] == "interface"
    assert put_in(f"{CASE}interface tracheostomy; alarm dis|^", "disconnection").endswith("; alarm disconnection")
    assert put_in(f"{CASE}interface tracheostomy; discon|^", "alarm disconnection").endswith("; alarm disconnection")
    assert labels(offered(f"{CASE}interface tracheostomy; EPAP 13 |^"))[0] == "cmH2O"
    assert "oronasal mask" in labels(offered(f"{CASE}interface oro|^"))
    assert labels(offered(spoilt(NETWORK, "allow: 4 to 12 cmH2O", "allow: 4 to 12 |^")))[0] == "cmH2O"
    fixed = "pack: x\nfixed:\n  - id: site.a\n    setting: trigger\n    to: |^\n"
    assert "flow" in labels(offered(fixed))


def test_nothing_is_offered_in_files_of_others() -> None:
    assert offered("jobs:\n  - |^") == []
    assert offered("pa|^") == []


# ---- places


@pytest.mark.parametrize(
    ("text", "path", "role", "typed"),
    [
        ("uses: # which\n  |^", ("uses",), "either", ""),
        ("rules:\n- id: a.b\n  cases:\n  - fi|^", ("rules", 0, "cases", 0), "either", "fi"),
        ("rules:\n  - id: a.b\n  - id: c.d\n    at: [x, 'y z|^", ("rules", 1, "at", 1), "value", "y z"),
        ("a: 'it''s'\nb|^", (), "key", "b"),
        ("a:\n  text: |\n    b: c\n    d|^", ("a", "text"), "value", "    b: c\n    d"),
        ("a: b\n  c|^", ("a",), "value", "b\n  c"),
        ("x: { a: [1, { b: c|^", ("x", "a", 1, "b"), "value", "c"),
        ('a: "x" |^', (), "none", ""),
    ],
)
def test_a_place_is_found_in_a_text_that_is_half_typed(
    text: str, path: tuple[str | int, ...], role: str, typed: str
) -> None:
    whole, position = cut(text)
    found = at_place(whole, position)
    assert (found.path, found.role, found.typed) == (path, role, typed)


def test_places_beyond_the_text_are_its_end() -> None:
    assert at_place("pack: x\nre", Position(9, 9)) == At((), "key", "re", 8)
    assert at_place("\ufeffre", Position(1, 99)) == At((), "key", "re", 1)


def test_columns_after_characters_beyond_the_first_plane() -> None:
    (found,) = offered(
        f'{RULE}    when: {{ a: "\U0001f600" }}\n    yields to: ["\U0001f600", trial.t|^]\n  - id: trial.two'
    )
    assert isinstance(found, Completion)
    assert (found.place.column, found.place.end_column) == (22, 29)


# ---- whatever is typed


def _prefixes() -> Iterator[tuple[Path, str]]:
    chance = random.Random(20261124)
    rules = data_folder("rules")
    for path, count in (
        (EXAMPLES / "policies/network.yaml", 80),
        (EXAMPLES / "policies/ward.yaml", 80),
        (EXAMPLES / "rxlint.yaml", 320),
        (EXAMPLES / "profiles/holm.yaml", 80),
        (rules / "relation.yaml", 15),
        (rules / "monitoring.yaml", 15),
    ):
        text = path.read_text("utf-8")
        for at in chance.sample(range(len(text) + 1), min(count, len(text) + 1)):
            yield path, text[:at]


SCRAPS = [
    "&a", "*a", "!!x ", "\t", "[", "{", "}", "]", '"', "'", "|", ">", "%", "@", "`", "- ", "? ", ": ", ":", "#", " #",
    "\n", "\r", "\x85", "\u2028", "\ufeff", "\x00", "\ud800", "\U0001f600", "<<: ", "---", "...", "null", "{}", "[]",
    "  ", "\n  ", "\n- ",
]  # fmt: skip


def _damaged(count: int) -> Iterator[tuple[Path, str]]:
    chance = random.Random(20261125)
    paths = [EXAMPLES / "policies/ward.yaml", EXAMPLES / "policies/network.yaml", EXAMPLES / "profiles/holm.yaml"]
    for at in range(count):
        path = paths[at % len(paths)]
        text = path.read_text("utf-8")
        for _ in range(chance.randrange(1, 5)):
            start = chance.randrange(len(text))
            put = chance.choice(SCRAPS) * chance.choice([1, 1, 1, 2, 40])
            text = text[:start] + put + text[start + chance.choice([0, 0, 1, 5, 200]) :]
        yield path, text


def test_nothing_is_raised_whatever_is_typed() -> None:
    chance = random.Random(7)
    count = 0
    for path, text in (*_prefixes(), *_damaged(90)):
        file = YamlFile(path, text)
        lines = text.split("\n")
        somewhere = chance.randrange(len(lines))
        for position in (
            Position(len(lines), len(lines[-1]) + 1),
            Position(somewhere + 1, chance.randrange(len(lines[somewhere]) + 3) + 1),
        ):
            for each in yaml_completions(file, position):
                assert each.place.line == each.place.end_line == position.line
                assert 1 <= each.place.column <= each.place.end_column <= len(lines[position.line - 1]) + 1
            yaml_hover(file, position)
            count += 1
        for mark in yaml_marks(file):
            assert mark.message
            assert (mark.place.line, mark.place.column) <= (mark.place.end_line, mark.place.end_column)
            assert mark.place.end_line <= len(lines)
        yaml_symbols(file)
    assert count > 1_000
