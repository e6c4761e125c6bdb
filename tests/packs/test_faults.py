"""Faults of a pack: each at its line and column, with what may have been meant."""

import pytest

from rxlint.packs import BASES, load_text

HEAD = "pack: trial\nrevision: 1\nsummary: rules of a test\n"
NOTHING = "nothing that a document can set to a number"
KEYS = {
    "id": "trial.one",
    "level": "query",
    "basis": "practice",
    "title": "A rule",
    "require": "PEEP < 20 cmH2O",
    "say": "too high",
    "because": "of the test",
    "source": "this test",
    "cases": "[]",
}


def rule(**changed: str | None) -> str:
    """A pack with one rule; a key set to None is left out. The rule's first key stands in line 5."""
    keys = {**KEYS, **{key.replace("_", " "): value for key, value in changed.items()}}
    lines = [f"{key}: {value}" for key, value in keys.items() if value is not None]
    return HEAD + "rules:\n  - " + "\n    ".join(lines) + "\n"


def problems(text: str) -> list[str]:
    pack, found = load_text(text, "p.yaml")
    assert (pack is None) == bool(found)
    return [str(each) for each in found]


def line_of(text: str, start: str) -> int:
    return next(number for number, line in enumerate(text.split("\n"), 1) if line.lstrip(" -").startswith(start))


def test_the_pack_the_faults_are_made_of_is_sound() -> None:
    assert problems(rule()) == []


@pytest.mark.parametrize(
    ("changed", "key", "column", "message"),
    [
        ({"titel": "x"}, "titel", 5, "titel is no key of a rule; did you mean title?"),
        ({"level": "rejekt"}, "level", 12, "level is one of reject, query, note, not rejekt; did you mean reject?"),
        ({"basis": "practise"}, "basis", 12, f"basis is one of {', '.join(BASES)}, not practise; did you mean"),
        ({"require": "PEEP + 1 s < 20 cmH2O"}, "require", 21, "require: pressure and time do not go together"),
        ({"require": "PEEP < 20"}, "require", 21, "require: "),
        ({"require": "PEEPP < 20 cmH2O"}, "require", 14, "require: "),
        ({"require": "mode type is PQ"}, "require", 27, "require: "),
        ({"require": "PEEP"}, "require", 14, "require: "),
        ({"when": "PEEP <"}, "when", 17, "when: "),
        ({"say": '"at {PEEPP}"'}, "say", 15, "say: "),
        ({"say": '"at {PEEP in s}"'}, "say", 15, "say: PEEP is not measured in s"),
        ({"say": '"at {PEEP"'}, "say", 14, "say: a brace is not closed, or nested"),
        ({"id": "one"}, "id", 9, "an id is lower-case words with hyphens, an area before a point: one"),
        ({"id": "Trial.One"}, "id", 9, "an id is lower-case words with hyphens, an area before a point: Trial.One"),
        ({"at": "[PEEP, PEP]"}, "at", 16, "at: there is no term PEP; did you mean PEEP?"),
        ({"makes": "nothing"}, "makes", 12, "makes: there is no term nothing"),
        ({"yields to": "trial.one"}, "yields to", 16, "yields to: a rule that gives way to itself is never heard"),
        ({"yields to": ""}, "yields to", 5, "yields to: nothing is no id of a rule"),
        ({"title": ""}, "title", 5, "title must be text"),
        ({"source": "[a]"}, "source", 13, "source must be text"),
        ({"cases": "PEEP 5 cmH2O"}, "cases", 12, "a list is expected"),
        ({"cases": "[fire: x]"}, "cases", 13, "a case is one of fires, holds, silent, not fire; did you mean fires?"),
        ({"cases": "[fires: '']"}, "cases", 20, "a case is a line of facts, or text: with a whole document"),
        ({"stricter": "[{level: reject}]"}, "stricter", 16, "the key when is missing"),
        ({"stricter": "[{when: PEEP is stated}]"}, "stricter", 16, "the key level is missing"),
        ({"stricter": "reject"}, "stricter", 15, "a list is expected"),
        ({"corrections": "[{set: PEEP}]"}, "corrections", 19, "the key to is missing"),
        ({"corrections": "[{set: PEP, to: 5 cmH2O}]"}, "corrections", 25, f"set: PEP is {NOTHING}; did you mean PEEP?"),
        ({"corrections": "[{set: PEEP, to: 5 s}]"}, "corrections", 35, "to: PEEP can't be set to what this measures"),
        ({"corrections": "[{set: duty cycle, to: 5 %}]"}, "corrections", 25, f"set: duty cycle is {NOTHING}"),
    ],
)  # fmt: skip
def test_a_fault_stands_at_its_place(changed: dict[str, str], key: str, column: int, message: str) -> None:
    text = rule(**changed)
    found = problems(text)
    assert len(found) == 1, found
    assert found[0].startswith(f"p.yaml:{line_of(text, key)}:{column}: {message}")


@pytest.mark.parametrize(
    ("require", "suggestion"),
    [
        ("PEEPP < 20 cmH2O", "PEEP"),
        ("inspiratory presure < 20 cmH2O", "inspiratory pressure"),
        ("interface is tracheostmy", "tracheostomy"),
        ("mode type is one of PC, vtpc2", "vtPC"),
        ("assembly has HMEE", "HME"),
    ],
)
def test_what_may_have_been_meant_is_offered(require: str, suggestion: str) -> None:
    (found,) = problems(rule(require=require))
    assert found.partition("did you mean ")[2].partition("?")[0].split(" or ")[0] == suggestion


@pytest.mark.parametrize("key", sorted(set(KEYS) - {"require"}))
def test_a_missing_key_is_told_once_at_the_rule(key: str) -> None:
    assert problems(rule(**{key: None})) == [f"p.yaml:5:5: the key {key} is missing"]


@pytest.mark.parametrize("key", ["pack", "revision", "summary", "rules"])
def test_a_pack_needs_its_own_keys(key: str) -> None:
    text = rule()
    lines = text.split("\n")
    without = "\n".join(line for line in lines if not line.startswith(key)) if key != "rules" else HEAD
    assert f"p.yaml:1:1: the key {key} is missing" in problems(without)


def test_a_rule_is_found_in_one_way() -> None:
    wanted = "p.yaml:5:5: a rule has exactly one of require, each and found by"
    assert problems(rule(found_by="modes.not-checked")) == [wanted]
    assert problems(rule(require=None)) == [wanted]


def test_an_unknown_event_is_told_with_one_that_is_near() -> None:
    (found,) = problems(rule(require=None, found_by="modes.notchecked"))
    assert found == "p.yaml:13:15: there is no event modes.notchecked; did you mean modes.not-checked?"


def test_a_slot_must_be_a_field_of_the_event_or_read() -> None:
    assert problems(rule(require=None, found_by="modes.not-checked", say='"{mode}"')) == []
    (found,) = problems(rule(require=None, found_by="modes.not-checked", say='"{mod}"'))
    assert found.startswith("p.yaml:9:12: say: ") and "mode" in found


def test_ids_stand_once() -> None:
    text = rule() + rule().partition("rules:\n")[2]
    assert problems(text) == ["p.yaml:14:5: the id trial.one stands twice, first at line 5"]


def test_several_faults_are_all_told_in_the_order_of_the_file() -> None:
    found = problems(rule(level="x", require="PEEPP > 3 cmH2O", say='"{rat}"'))
    assert [each.split(":")[1] for each in found] == ["6", "9", "10"]


DEFINE = HEAD + "define:\n  room:\n{}rules: []\n"
TAIL = "    means: x\n    source: y\n"
SUM = "    as: PEEP + 1 cmH2O\n"
ROW = "    rows:\n      - {when: PEEP is stated, is: PEEP}\n"


@pytest.mark.parametrize(
    ("body", "place", "message"),
    [
        ("    as: PEEP + 1 s\n" + TAIL, "6:16", "room: "),
        (TAIL, "6:5", "a defined term needs as, or rows"),
        (SUM + "    source: y\n", "6:5", "the key means is missing"),
        (SUM + "    means: x\n", "6:5", "the key source is missing"),
        (SUM + TAIL + "    unit: cmH20\n", "9:11", "unit: there is no unit cmH20; did you mean cmH2O"),
        (SUM + TAIL + "    unit: s\n", "9:11", "unit: the term is not measured in s"),
        (SUM + "    mean: x\n" + TAIL, "7:5", "mean is no key of a defined term"),
        (ROW + TAIL, "7:9", "the last row is otherwise: every document needs a value"),
        (
            ROW.replace(", is: PEEP", "") + "      - {otherwise: PEEP}\n" + TAIL,
            "7:9",
            "a row has when and is, or otherwise",
        ),
        (ROW + "      - {otherwise: 1 s}\n" + TAIL, "6:5", "rows: pressure and time do not go together"),
    ],
)
def test_a_defined_term_s_fault_stands_at_its_place(body: str, place: str, message: str) -> None:
    found = problems(DEFINE.format(body))
    assert any(each.startswith(f"p.yaml:{place}: {message}") for each in found), found


def test_a_defined_term_may_not_take_a_name_that_is_taken() -> None:
    (found,) = problems(HEAD + "define:\n  PEEP: {as: 5 cmH2O, means: x, source: y}\nrules: []\n")
    assert found == "p.yaml:5:3: PEEP is a term already"


def test_each_requirement_of_a_rule_is_read_at_its_place() -> None:
    each = "\n      - require: PEEP < 20 cmH2O\n      - when: PEEP is stated\n        require: PEEPP < 3 cmH2O"
    (found,) = problems(rule(require=None, each=each))
    assert found.startswith("p.yaml:16:18: require: ")
    (lacks,) = problems(rule(require=None, each="\n      - when: PEEP is stated"))
    assert lacks.startswith("p.yaml:14:9: each is a list of requirements")
