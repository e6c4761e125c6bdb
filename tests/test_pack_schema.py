"""The schema of packs: it is fresh, every pack that loads is valid, its keys are the loader's, and slips are seen."""

import io
import json
from pathlib import Path
from typing import Any, get_args

import jsonschema
import pytest
from ruamel.yaml import YAML

from rxlint.data import data_folder
from rxlint.packs import EVENTS, LEVELS, load_text
from rxlint.packs.pack import BASES, CaseKind
from rxlint.packs.reading import Reader
from rxlint.packs.schema import NAME, schema_of_packs, text_of_schema
from tests.conftest import ROOT

SCHEMA: Any = json.loads((data_folder("rules") / NAME).read_text("utf-8"))
BUILT_IN = sorted(data_folder("rules").glob("*.yaml"))
POLICIES = [path for path in sorted((ROOT / "examples").rglob("*.yaml")) if "\npack:" in path.read_text("utf-8")]

# Every kind of mapping that a pack may hold, each once.
WHOLE = """
pack: trial
revision: 1
summary: Every kind of entry once
uses: [pressure]
define:
  room: {as: PEEP + 1 cmH2O, means: x, source: y, unit: cmH2O}
  table:
    rows: [{when: PEEP is stated, is: PEEP, source: z}, {otherwise: 5 cmH2O}]
    means: x
    source: y
rules:
  - id: trial.one
    level: query
    stricter: [{level: reject, when: PEEP > 30 cmH2O}]
    basis: policy
    title: A rule
    each: [{when: PEEP is stated, require: PEEP < 20 cmH2O, say: "{PEEP}", at: PEEP}]
    asked of: values as set
    because: of the test
    source: this test
    corrections: [{set: PEEP, to: 5 cmH2O}]
    cases: [{fires: PEEP 30 cmH2O}, {holds: {text: "prescription \\"x\\""}}]
fixed: [{id: site.rise, level: query, setting: rise time, to: 150 ms, source: y}]
limits: [{id: site.peep, level: query, of: PEEP, allow: 4 to 8 cmH2O, source: y, final: true}]
demand: [{id: site.alarms, level: query, terms: [alarm disconnection], source: y}]
must be checked: [pressure]
profiles of cases:
  - profile: One
    revision: 1
    summary: x
    limbs: {dual: a}
    modes: {A/C-PC: b}
    settings:
      - {setting: PEEP, name: c, unit: cmH2O, range: 0 to 20, step: 1, near enough: 0.5, modes: [A/C-PC]}
      - {setting: inspiratory pressure, name: d, unit: cmH2O, steps: [{range: 0 to 20, step: 1}], entered: above PEEP}
      - {setting: rise time, name: e, scale: {1: 50 ms}}
    alarms: [{alarm: apnoea, name: f, unit: s, range: 5 to 20, step: 5, off: g}]
    must be set: [{name: h, ask: i, modes: [A/C-PC]}]
never accepted: [trial.one]
adjust:
  - {rule: pressure.oxygen-ladder, level: note, because: x}
  - {term: baseline limit, of: pressure, to: 30 cmH2O, because: x}
"""


def tree(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(io.StringIO(text))


def faults(text: str) -> list[str]:
    return [each.message for each in jsonschema.Draft202012Validator(SCHEMA).iter_errors(tree(text))]


def test_the_schema_is_a_schema_and_fresh() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert (data_folder("rules") / NAME).read_text("utf-8") == text_of_schema(), (
        "run python -m rxlint.packs.schema --write"
    )


@pytest.mark.parametrize("path", [*BUILT_IN, *POLICIES], ids=lambda path: path.stem)
def test_every_pack_of_the_house_is_valid(path: Path) -> None:
    assert faults(path.read_text("utf-8")) == []


def test_there_are_policies_among_them() -> None:
    assert len(BUILT_IN) > 10
    assert POLICIES


PLAIN = WHOLE.partition("fixed:")[0].replace("basis: policy", "basis: practice")


@pytest.mark.parametrize("text", [WHOLE, PLAIN])
def test_the_trial_packs_are_sound(text: str) -> None:
    assert faults(text) == []
    assert load_text(text, "p.yaml")[1] == ()


def properties_of(pointer: str) -> set[str]:
    found = SCHEMA if pointer == "" else SCHEMA["$defs"][pointer]
    return (
        set(found["properties"])
        if "properties" in found
        else {key for each in found["oneOf"] for key in each["properties"]}
    )


# What the loader calls a kind of mapping, and the schema's name for it.
KINDS = {
    "a pack": "",
    "a defined term": "defined",
    "a row": "table row",
    "a rule": "rule",
    "each": "requirement",
    "stricter": "stricter",
    "a correction": "correction",
    "a case": "documents",
    "a row of fixed": "fixed",
    "a row of limits": "limit",
    "a row of demand": "demand",
    "a row of adjust": "adjusted",
    "a profile": "profile",
    "an entry of settings": "profile setting",
    "an entry of alarms": "profile alarm",
    "steps": "profile steps",
    "what must be set": "profile needed",
}


def test_the_schema_has_the_loader_s_keys_and_no_others(monkeypatch: pytest.MonkeyPatch) -> None:
    """Told by the loader itself: every mapping that it reads is held against the keys that it allows there."""
    known: dict[str, set[str]] = {}
    real = Reader.unknown_keys

    def note(self: Reader, read: Any, allowed: tuple[str, ...], what: str) -> None:
        known.setdefault(what, set()).update(allowed)
        real(self, read, allowed, what)

    monkeypatch.setattr(Reader, "unknown_keys", note)
    load_text(WHOLE, "p.yaml")
    assert known.keys() == KINDS.keys()
    assert {what: properties_of(name) for what, name in KINDS.items()} == known


def test_the_words_are_the_loader_s() -> None:
    definitions = schema_of_packs()["$defs"]
    assert definitions["level"]["enum"] == list(LEVELS)
    assert definitions["basis"]["enum"] == [*BASES, "policy"]
    assert set(definitions["event"]["enum"]) == set(EVENTS)
    assert set(definitions["case"]["properties"]) == set(get_args(CaseKind))


@pytest.mark.parametrize("of", [WHOLE, PLAIN])
@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("level: query", "level: querry"),
        ("    title: A rule\n", "    titel: A rule\n"),
        ("summary:", "sumary:"),
        ("revision: 1", "revision: one"),
        ("    source: this test\n", ""),
        ("id: trial.one", "id: Trial.One"),
        ("    because: of the test\n", "    because:\n"),
        ("{fires: PEEP 30 cmH2O}", "{fire: PEEP 30 cmH2O}"),
        ("{fires: PEEP 30 cmH2O}", "{fires: PEEP 30 cmH2O, holds: PEEP 5 cmH2O}"),
        ("{level: reject, when: PEEP > 30 cmH2O}", "{level: reject}"),
        ("unit: cmH2O", "unit: cmH20"),
        ("set: PEEP", "set: PEP"),
        ("asked of: values as set", "asked of: values"),
        ("    each:", "    found by: modes.not-checked\n    each:"),
        ("each: [{when: PEEP is stated, require: PEEP < 20 cmH2O,", "each: [{when: PEEP is stated,"),
        ("is: PEEP,", "was: PEEP,"),
    ],
)
def test_a_slip_is_seen_by_the_schema_and_by_the_loader(of: str, old: str, new: str) -> None:
    assert of.count(old) >= 1
    text = of.replace(old, new, 1)
    assert faults(text)
    assert load_text(text, "p.yaml")[0] is None


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("setting: rise time", "seting: rise time"),
        ("setting: rise time", "setting: rise times"),
        ("allow: 4 to 8 cmH2O, ", ""),
        ("terms: [alarm disconnection]", "terms: [alarm disconection]"),
        ("terms: [alarm disconnection]", "terms: []"),
        ("final: true", "final: always"),
        ("level: note, because: x", "level: note"),
        ("rule: pressure.oxygen-ladder", "rule: pressure"),
        ("must be checked:", "must be chequed:"),
        ("to: 30 cmH2O, ", ""),
    ],
)
def test_a_slip_in_a_policy_is_seen_too(old: str, new: str) -> None:
    assert WHOLE.count(old) >= 1
    text = WHOLE.replace(old, new, 1)
    assert faults(text)
    assert load_text(text, "p.yaml")[0] is None


def test_a_pack_that_is_no_policy_needs_rules_and_decides_nothing_for_a_site() -> None:
    head = "pack: trial\nrevision: 1\nsummary: nothing\n"
    assert faults(head) == ["'rules' is a required property"]
    assert faults(head + "rules: []\n") == []
    assert faults(head + "fixed: []\n") == []
    assert faults(PLAIN) == []
    assert faults(PLAIN.replace("basis: practice", "basis: policy"))
    assert load_text(PLAIN.replace("basis: practice", "basis: policy"), "p.yaml")[0] is None


def test_an_editor_s_comment_changes_nothing() -> None:
    text = "# yaml-language-server: $schema=pack.schema.json\n" + PLAIN
    assert faults(text) == []
    pack, problems = load_text(text, "p.yaml")
    assert problems == () and pack is not None
