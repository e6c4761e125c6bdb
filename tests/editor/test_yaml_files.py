"""Faults of packs, policies, profiles and settings at their places, and what a review of them finds."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from rxlint.data import data_folder
from rxlint.editor.yaml_files import MOST_CASES, YamlFile, yaml_marks
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.load import load_text
from tests.editor.yaml_texts import NETWORK, PACK, PROFILE, WARD, file_of, shown, spoilt, told
from tests.shelf import EXAMPLES

RULES = data_folder("rules")
ROOT = EXAMPLES.parent


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("    level: query", "    levl: query", [
            (9, "reject", "id", "the key level is missing"),
            (13, "reject", "levl", "levl is no key of a row of limits; did you mean level?"),
        ]),
        ("level: reject", "level: rejct", [
            (34, "reject", "rejct", "level is one of reject, query, note, not rejct; did you mean reject?"),
        ]),
        ("one of nasal mask", "one of nasel mask", [
            (12, "reject", "nasel mask", "when: `nasel mask` is not a word of this term; did you mean nasal mask?"),
        ]),
        ("up to 15 s", "up to 15 cmH2O", [
            (23, "reject", "up to 15 cmH2O", "allow: time and pressure do not go together around `<=`"),
        ]),
        ("[mode.setting-missing]", "[mode.setting-mising]", [
            (44, "reject", "mode.setting-mising",
             "must be checked: there is no rule mode.setting-mising in what uses names; did you mean "
             "mode.setting-missing?"),
        ]),
        ("revision: 2", "revision: two", [
            (4, "reject", "two", "revision is a whole number of at most 9 digits, not two"),
        ]),
        ("of: EPAP", "of EPAP", [
            (10, "reject", "of EPAP", "not YAML that can be read: a key has no colon after it"),
        ]),
    ],
)  # fmt: skip
def test_a_fault_is_told_at_its_place(old: str, new: str, expected: list[tuple[int, str, str, str]]) -> None:
    assert told(NETWORK) == []
    assert told(spoilt(NETWORK, old, new)) == expected


def test_a_case_that_is_not_what_it_says_is_told_there_with_its_numbers() -> None:
    file = file_of(spoilt(NETWORK, "vented; EPAP 13 cmH2O", "vented; EPAP 11 cmH2O"))
    (mark,) = yaml_marks(file)
    assert (mark.place.line, mark.level) == (16, "query")
    assert shown(file, mark) == '"interface oronasal mask vented; EPAP 11 cmH2O"'
    lines = mark.message.split("\n")
    assert lines[0] == "fires: does not fire: site.epap-mask is met [site.epap-mask]"
    assert "requires    EPAP is between 4 cmH2O and 12 cmH2O: true" in lines


def test_a_review_tells_what_cases_leave_open() -> None:
    doubled = spoilt(
        NETWORK,
        '      - fires: "alarm disconnection after 16 s"\n',
        '      - fires: "alarm disconnection after 16 s"\n' * 2,
    )
    assert told(doubled) == [
        (28, "query", '"alarm disconnection after 16 s"',
         "fires: says the same as the case at line 27 [site.disconnection-delay]"),
    ]  # fmt: skip


def test_the_cases_of_a_large_pack_are_left_to_the_command() -> None:
    text = (RULES / "alarms.yaml").read_text("utf-8")
    pack, _ = load_text(text, "alarms.yaml", builtin_packs())
    assert pack is not None and sum(len(rule.cases) for rule in pack.rules) > MOST_CASES
    wrong = text.replace("      - fires: ", "      - silent: ", 1)
    assert wrong != text
    assert told(wrong, "alarms.yaml") == []
    small = (RULES / "relation.yaml").read_text("utf-8")
    assert told(small, "relation.yaml") == []
    assert [each[1] for each in told(small.replace("- fires:", "- silent:", 1), "relation.yaml")] == ["query"]


def test_every_example_is_without_a_mark() -> None:
    network, problems = load_text(NETWORK, "network.yaml")
    assert network is not None and problems == ()
    assert yaml_marks(file_of(WARD, known=(*builtin_packs(), network))) == ()
    assert [each[3].partition(";")[0] for each in told(WARD)] == [
        "uses: there is no pack tarnmoor-network among the built-in ones and those named before this policy"
    ]
    for path in [EXAMPLES / "rxlint.yaml", *sorted((EXAMPLES / "profiles").glob("*.yaml"))]:
        file = YamlFile(path, path.read_text("utf-8"))
        assert file.kind in ("settings", "profile")
        assert yaml_marks(file) == ()


def test_a_profile_is_told_at_its_place() -> None:
    assert told(spoilt(PROFILE, "unit:", "unt:"), "holm.yaml")[-1][1:] == (
        "reject", "unt", "unt is no key of an entry of settings; did you mean unit?",
    )  # fmt: skip


def test_settings_are_told_as_they_stand_in_the_editor(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(NETWORK, "utf-8")
    path = tmp_path.resolve() / "rxlint.yaml"  # which need not be there
    sound, wrong = "policies:\n  - site.yaml\n", "policies:\n  - sit.yaml\npacks: none\npolices: []\n"
    assert yaml_marks(YamlFile(path, sound)) == ()
    file = YamlFile(path, wrong)
    assert [(each.place.line, shown(file, each), each.message) for each in yaml_marks(file)] == [
        (2, "sit.yaml", "policies: there is no file sit.yaml; did you mean site.yaml?"),
        (3, "none", "a list is expected"),
        (4, "polices", "polices is no key of rxlint.yaml; did you mean policies?"),
    ]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("pack: x\n", "pack"),
        (PACK, "pack"),
        (PACK + "limits: []\n", "policy"),
        ("revision: 1\nsummary: x\nrules: []\n", "pack"),
        ("profile: x\nlimbs: {}\n", "profile"),
        ("rules:\n  - uses: x\n", None),
        ("pack: x\nversion: 3\n", None),
        ("name: CI\non: push\njobs: {}\n", None),
        ("- a\n- b\n", None),
        ("", None),
    ],
)
def test_whose_file_it_is(text: str, kind: str | None) -> None:
    assert file_of(text).kind == kind
    assert file_of(text, "rxlint.yaml").kind == "settings"


def test_files_of_others_have_no_marks() -> None:
    for name in ("grammar/vocabulary.yaml", "tests/constants/reasons.yaml", "tests/outside/limits/mode.yaml"):
        assert told((ROOT / name).read_text("utf-8"), name) == []
    assert told("name: x\njobs: [\n") == []


# ---- places


def test_places_count_as_editors_do_whatever_ends_a_line() -> None:
    strange = NETWORK.replace("# Invented", "# \U0001f600\x85 # \u2028# Invented", 1).replace("\n", "\r\n")
    wrong = "\ufeff" + spoilt(strange, "level: reject", "level: rejct")
    file = file_of(wrong)
    (mark,) = yaml_marks(file)
    assert (mark.place.line, mark.place.column, shown(file, mark)) == (34, 12, "rejct")
    first = file_of("\ufeffpack: Trial-\U0001f600\nlimits: []\nrevision: 1\nsummary: x\n")
    assert [(each.place.line, each.place.column, shown(first, each)) for each in yaml_marks(first)] == [
        (1, 7, "Trial-\U0001f600")
    ]


def test_a_place_after_characters_beyond_the_first_plane() -> None:
    text = spoilt(NETWORK, "[mode.setting-missing]", '["\U0001f600\U0001f600", mode.x]')
    file = file_of(text)
    assert [(each.place.column, shown(file, each)) for each in yaml_marks(file)] == [
        (19, '"\U0001f600\U0001f600"'), (25, "mode.x"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "line", "message"),
    [
        ("pack: &a x\nrules: *a\n", 1, "anchors and aliases are not read in packs"),
        ("pack: !!python/object:os.system x\nrevision: 1\n", 1, "tags are not read in packs"),
        ("pack: x\n\trevision: 1\n", 2, "a tab stands where only spaces can"),
        ("pack: x\nrules: " + "[" * 500, 2, "nested too deeply"),
        ("pack: x\nrules: " + "{a: " * 90, 2, ""),
        ("pack: x\nrules:\n" + "".join(" " * at + "-\n" for at in range(2, 150)), 0, "nested too deeply"),
        ('pack: "x\n', 1, "the quotation mark is never closed"),
        ("pack: x\nrevision: \ud800\n", 2, "half of a character"),
        ("pack: x\nrevision: \x00\n", 2, "U+0000"),
        ("pack: x\nrevision: 1\nrevision: 2\n", 3, "revision stands twice"),
        ("pack: x\nrevision: 1\n---\npack: y\n", 3, "a second document begins here"),
        ("pack: x\nrevision: 1\nsummary: " + "x" * 400_000, 1, "too large"),
    ],
)
def test_hostile_texts_have_one_mark_and_nothing_worse(text: str, line: int, message: str) -> None:
    (mark,) = yaml_marks(file_of(text))
    assert mark.level == "reject"
    assert message in mark.message
    assert line in (0, mark.place.line)


def test_other_front_ends_need_no_protocol(tmp_path: Path) -> None:
    code = (
        "import sys; sys.modules['pygls'] = sys.modules['lsprotocol'] = None\n"
        "import rxlint.editor.yaml_completion, rxlint.editor.yaml_hover, rxlint.editor.yaml_symbols\n"
        "import rxlint.editor.yaml_files, rxlint.editor.yaml_known"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, env={**os.environ, "HOME": str(tmp_path)}, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")
