"""Ventilator profiles: what is read, every fault at its place, where they are found, and what a schema says of them."""

import io
import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML

from rxlint.data import data_folder
from rxlint.library.profiles import read_profiles, together
from rxlint.library.rulings import Faults, Rulings
from rxlint.packs.profile import Profile, Steps
from rxlint.packs.profile_load import load_profile, load_profile_text
from rxlint.packs.profile_schema import NAME, text_of_profile_schema
from tests.conftest import ROOT

EXAMPLES = sorted((ROOT / "examples" / "profiles").glob("*.yaml"))
SCHEMA: Any = json.loads((data_folder("rules") / NAME).read_text("utf-8"))
WHOLE = """\
profile: Trial
revision: 2
summary: Every kind of entry once
limbs: { dual: two hoses }
modes: { A/C-PC: press, A/C-VC: fill }
settings:
  - { setting: [PEEP, EPAP], name: floor, unit: cmH2O, range: 0 to 20, step: 1 }
  - { setting: inspiratory pressure, name: roof, unit: kPa, range: 0.5 to 4, step: 0.05,
      entered: above PEEP, near enough: 0.02 }
  - { setting: inspiratory time, name: in, unit: s,
      steps: [{ range: 0.2 to 1, step: 0.05 }, { range: 1 to 3, step: 0.1 }] }
  - { setting: "I:E", name: ratio, range: 2:1 to 1:4, step: 0.5, modes: [A/C-VC] }
  - { setting: rise time, name: climb, scale: { 1: 50 ms, 2: 0.1 s } }
  - { setting: trigger, name: wake, scale: { draught: "flow, leak-compensated", never: none } }
  - { setting: FiO2, name: oxygen, unit: fraction, range: 0.21 to 1, step: 0.01 }
alarms:
  - { alarm: apnoea, name: still, unit: s, range: 5 to 60, step: 5, off: mute }
  - { alarm: power loss, name: mains, scale: { always: "on" } }
must be set:
  - { name: shape, ask: level or falling?, modes: [A/C-VC] }
"""


def read(text: str) -> Profile:
    profile, problems = load_profile_text(text, "p.yaml")
    assert profile is not None and problems == (), "\n".join(map(str, problems))
    return profile


def faults(text: str) -> list[str]:
    profile, problems = load_profile_text(text, "p.yaml")
    assert profile is None
    return [str(each).removeprefix("p.yaml:") for each in problems]


def schema_faults(text: str) -> list[str]:
    tree = YAML(typ="safe", pure=True).load(io.StringIO(text))
    return [each.message for each in jsonschema.Draft202012Validator(SCHEMA).iter_errors(tree)]


# ---- what is read


def test_every_kind_of_entry() -> None:
    profile = read(WHOLE)
    assert (profile.name, profile.revision) == ("Trial", 2)
    assert profile.limb("dual") == "two hoses" and profile.limb("single with leak port") is None
    assert profile.mode("A/C-VC") == "fill" and profile.mode("CPAP") is None
    floor, roof, time, ratio, climb, wake, oxygen = profile.settings
    assert floor.keys == ("PEEP", "EPAP") and floor.above == "ambient"
    assert (roof.above, roof.near, roof.unit.symbol) == ("PEEP", Fraction(1, 50), "kPa")
    assert [each.step for each in time.steps] == [Fraction(1, 20), Fraction(1, 10)]
    assert ratio.steps == (Steps(Fraction(1, 2), Fraction(4), Fraction(1, 2)),) and ratio.modes == frozenset({"A/C-VC"})
    assert [(each.name, each.value) for each in climb.choices] == [("1", Fraction(1, 20)), ("2", Fraction(1, 10))]
    assert [each.words for each in wake.choices] == [frozenset({"flow", "leak-compensated"}), frozenset({"none"})]
    assert oxygen.unit.symbol == "" and oxygen.above is None
    assert [each.off for each in profile.alarms] == ["mute", None]
    assert [(each.name, each.modes) for each in profile.needed] == [("shape", frozenset({"A/C-VC"}))]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_examples_are_read_and_say_that_they_are_invented(path: Path) -> None:
    profile, problems = load_profile(path)
    assert problems == () and profile is not None
    assert profile.name.casefold() == path.stem
    first = path.read_text("utf-8").split("\n", 1)[0]
    assert "Invented" in first and "does not exist" in first


def test_the_two_examples_count_pressures_from_opposite_ends() -> None:
    counted = [
        {dial.above for dial in profile.settings if dial.keys[0] in ("inspiratory pressure", "pressure support")}
        for path in EXAMPLES
        for profile in [load_profile(path)[0]]
        if profile is not None
    ]
    assert counted == [{"ambient"}, {"PEEP"}]


# ---- every fault at its place


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("range: 0 to 20, step: 1", "range: 0 to 20, step: 0", "step is a number above zero, in the unit of the range"),
        ("range: 0 to 20, step: 1", "range: 0 to 20, step: -1", "step is a number above zero"),
        ("range: 0 to 20, step: 1", "range: 20 to 0, step: 1", "range: 20 to 0 runs backwards; 0 to 20?"),
        ("range: 0 to 20, step: 1", "range: 0 to 20, step: 3", "range: steps of 3 from 0 miss its end"),
        ("range: 0 to 20, step: 1", "range: 0-20, step: 1", "range is LOW to HIGH, numbers in the unit, not 0-20"),
        ("range: 0 to 20, step: 1", "range: 0 to 20", "the key step is missing"),
        ("range: 0 to 20, step: 1", "step: 1", "an entry has either a range with its step (or steps), or a scale"),
        ("unit: cmH2O,", "unit: s,", "unit: PEEP is a pressure, and s measures a time"),
        ("unit: cmH2O,", "unit: cmH20,", "unit: there is no unit cmH20; did you mean cmH2O?"),
        ("unit: cmH2O, ", "", "the key unit is missing"),
        ("setting: [PEEP, EPAP]", "setting: PEPE", "PEPE is nothing that a profile can set; did you mean PEEP"),
        ("setting: [PEEP, EPAP]", "setting: [PEEP, rate]", "setting: PEEP and rate are not measured alike"),
        ("setting: [PEEP, EPAP]", "setting: mode", "setting: mode is nothing that a profile can set"),
        ('"I:E", name: ratio, range: 2:1 to 1:4, step: 0.5', "PEEP, name: p, unit: cmH2O, range: 0 to 4, step: 1",
         "PEEP is set by two entries in the same mode"),
        ("name: floor, ", "", "the key name is missing"),
        ("entered: above PEEP, ", "", "the key entered is missing: above ambient, or above PEEP"),
        ("entered: above PEEP", "entered: above peep", "entered is one of above ambient, above PEEP, not above peep"),
        ("unit: s, range: 5 to 60", "entered: above PEEP, unit: s, range: 5 to 60", "counts from nothing that"),
        ("near enough: 0.02", "near enough: -1", "near enough is a number of 0 or more"),
        ("1 to 3, step: 0.1", "1.1 to 3, step: 0.1", "steps: each range begins where the one before it ends"),
        ("2:1 to 1:4", "0.5 to 4", "range is 1:LOW to 1:HIGH, not 0.5 to 4"),
        ("2:1 to 1:4", "1:0 to 1:4", "range is 1:LOW to 1:HIGH, not 1:0 to 1:4"),
        ("2:1 to 1:4", "1:4 to 2:1", "range: 1:4 to 2:1 runs backwards"),
        ("1: 50 ms", "1: 50", "scale: 50 is no number with its unit, such as ms"),
        ("1: 50 ms", "1: 50 cmH2O", "scale: 50 cmH2O is no number with its unit, such as ms"),
        ("2: 0.1 s", "2: 0.05 s", "scale: 0.05 s stands twice"),
        ("never: none", "never: noen", "scale: trigger has no word noen; did you mean none?"),
        ("scale: { 1: 50 ms, 2: 0.1 s }", "scale: 50 ms", "scale is a mapping from what stands"),
        ("scale: { 1: 50 ms, 2: 0.1 s }", "scale: { 1: 50 ms }, step: 1", "step has no meaning beside a scale"),
        ('scale: { draught: "flow, leak-compensated", never: none }', "unit: s, range: 1 to 2, step: 1",
         "trigger has no numbers: give a scale"),
        ("alarm: apnoea", "alarm: apnea", "alarm: apnea is nothing that a profile can set; did you mean apnoea?"),
        ("step: 0.5, modes: [A/C-VC]", "step: 0.5, modes: [A/C-CV]", "modes: A/C-CV is no mode of this ventilator"),
        ("dual: two hoses", "duel: two hoses", "there is no limb duel; did you mean dual?"),
        ("dual: two hoses", "dual:", "the name of dual must be text"),
        ("A/C-PC: press", "A/C-PCV: press", "there is no mode A/C-PCV; did you mean A/C-PC"),
        ("limbs: { dual: two hoses }\n", "", "the key limbs is missing"),
        ("revision: 2", "revision: two", "revision is a whole number of at most 9 digits, not two"),
        ("revision: 2", f"revision: {'9' * 5000}", f"revision is a whole number of at most 9 digits, not {'9' * 20}"),
        ("step: 0.5, modes: [A/C-VC]", f"step: {'9' * 5000}, modes: [A/C-VC]", "step is a number above zero"),
        ("2:1 to 1:4", f"2:1 to 1:{'9' * 5000}", "range is 1:LOW to 1:HIGH, not"),
        ("must be set:", "must be sett:", "must be sett is no key of a profile; did you mean must be set?"),
        ("ask: level or falling?, ", "", "the key ask is missing"),
        ("name: floor,", "nmae: floor,", "nmae is no key of an entry of settings; did you mean name?"),
    ],
)  # fmt: skip
def test_a_fault_is_told_at_its_place(old: str, new: str, told: str) -> None:
    assert WHOLE.count(old) >= 1
    changed = WHOLE.replace(old, new, 1)
    found = faults(changed)
    assert any(told in each for each in found), found
    first = next(
        number for number, (a, b) in enumerate(zip(WHOLE.splitlines(), changed.splitlines(), strict=False), 1) if a != b
    )
    lines = {int(each.split(":")[0]) for each in found}
    assert first in lines or "is missing" in told or "two entries" in told


def test_what_is_no_profile_at_all() -> None:
    keys = "profile, revision, summary, limbs, modes, settings, alarms, must be set"
    assert faults("- x\n") == [f"1:1: a profile is a mapping with the keys {keys}"]
    assert "anchors and aliases are not read" in faults("a: &x 1\nb: *x\n")[0]
    assert "tags are not read" in faults("a: !!python/object:os.system x\n")[0]
    assert faults("")[0].endswith("the file is empty")


def test_a_ratio_is_read_by_its_expiratory_part() -> None:
    text = WHOLE.replace("range: 2:1 to 1:4, step: 0.5", "scale: { a: 1:2, b: 1:1 }")
    assert [each.value for each in read(text).settings[3].choices] == [Fraction(1, 2), Fraction(1)]


# ---- where they are found


def site(folder: Path) -> Path:
    (folder / "vents").mkdir(parents=True)
    (folder / "vents" / "b.yaml").write_text(WHOLE.replace("Trial", "Second"), "utf-8")
    (folder / "vents" / "a.yaml").write_text(WHOLE, "utf-8")
    (folder / "vents" / "notes.txt").write_text("no profile", "utf-8")
    return folder


def test_a_folder_is_read_in_the_order_of_names_and_a_name_stands_once(tmp_path: Path) -> None:
    folder = site(tmp_path) / "vents"
    profiles, problems = read_profiles([(folder, "vents")])
    assert [(each.name, each.path) for each in profiles] == [("Trial", "vents/a.yaml"), ("Second", "vents/b.yaml")]
    assert problems == ()
    (folder / "c.yaml").write_text(WHOLE.replace("Trial", "TRIAL"), "utf-8")
    assert [str(each) for each in read_profiles([(folder, "vents")])[1]] == [
        "vents/c.yaml:1:1: the ventilator TRIAL has a profile in vents/a.yaml"
    ]


def test_a_link_may_not_lead_out_of_the_folder_of_the_settings(tmp_path: Path) -> None:
    own = site(tmp_path / "own")
    (tmp_path / "away.yaml").write_text(WHOLE.replace("Trial", "Away"), "utf-8")
    (own / "vents" / "c.yaml").symlink_to(tmp_path / "away.yaml")
    problems = read_profiles([(own / "vents", "vents")], own)[1]
    assert [str(each) for each in problems] == [
        "vents/c.yaml:1:1: is a link that leads out of the folder of the settings"
    ]


def test_settings_name_profiles_and_the_command_line_stands_above(tmp_path: Path) -> None:
    own = site(tmp_path / "own")
    (own / "rxlint.yaml").write_text("profiles: [vents]\n", "utf-8")
    newer = tmp_path / "newer.yaml"
    newer.write_text(WHOLE.replace("revision: 2", "revision: 9"), "utf-8")
    plain = Rulings().of_folder(own)
    assert plain.rules is not None
    assert [(each.name, each.revision) for each in plain.rules.profiles] == [("Trial", 2), ("Second", 2)]
    above = Rulings(profiles=[str(newer)])
    rules = above.of_folder(own).rules
    assert rules is not None
    assert [(each.name, each.revision) for each in rules.profiles] == [("Trial", 9), ("Second", 2)]
    assert [each.revision for each in above.base.profiles] == [9]
    assert Rulings().base.profiles == ()


def test_a_faulty_profile_keeps_the_documents_of_its_folder_from_being_screened(tmp_path: Path) -> None:
    own = site(tmp_path / "own")
    (own / "rxlint.yaml").write_text("profiles: [vents/a.yaml]\n", "utf-8")
    (own / "vents" / "a.yaml").write_text(WHOLE.replace("step: 1 ", "step: 0 "), "utf-8")
    ruling = Rulings().of_folder(own)
    assert ruling.rules is None and "step is a number above zero" in ruling.problems[0].message
    with pytest.raises(Faults, match="a ventilator profile can't be used"):
        Rulings(profiles=[str(own / "vents" / "a.yaml")])
    with pytest.raises(Faults, match="can't be opened"):
        Rulings(profiles=[str(tmp_path / "nowhere.yaml")])


def test_what_is_above_counts() -> None:
    one, other = read(WHOLE), read(WHOLE.replace("Trial", "Other"))
    assert together((one,), (read(WHOLE.replace("Trial", " trial").replace("revision: 2", "revision: 1")), other)) == (
        one,
        other,
    )


# ---- the schema


def test_the_schema_is_a_schema_and_fresh() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    written = (data_folder("rules") / NAME).read_text("utf-8")
    assert written == text_of_profile_schema(), "run python -m rxlint.packs.schema --write"


@pytest.mark.parametrize("text", [WHOLE, *(path.read_text("utf-8") for path in EXAMPLES)])
def test_what_loads_is_valid(text: str) -> None:
    assert schema_faults(text) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("setting: [PEEP, EPAP]", "setting: PEPE"),
        ("unit: cmH2O", "unit: cmH20"),
        ("step: 1 }", "step: one }"),
        ("range: 0 to 20, step: 1", "step: 1"),
        ("entered: above PEEP", "entered: above peep"),
        ("dual: two hoses", "duel: two hoses"),
        ("name: floor, ", ""),
        ("summary: Every kind of entry once\n", ""),
    ],
)
def test_a_slip_is_seen_by_the_schema_too(old: str, new: str) -> None:
    changed = WHOLE.replace(old, new, 1)
    assert changed != WHOLE
    assert schema_faults(changed)
    assert faults(changed)
