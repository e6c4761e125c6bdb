"""What can't be imported is told by its path and place, and nothing of it is guessed."""

import json
import re

import pytest

from rxlint.exchange.documents import Exported, Imported, NotRead, export_document, import_document
from rxlint.exchange.strict_json import DEEPEST, place_at, show_path
from rxlint.text import MAX_BYTES
from tests.documents import document

ORDER = """prescription "x"
  id  TM-1
settings
  PEEP                  5 cmH2O
  inspiratory pressure  15 cmH2O above PEEP allow 12 to 18 cmH2O
  rate by age
    under 1 years  30 /min
    1 to 3 years   25 /min
alarms
  apnoea  after 15 s
"""


def exported(text: str = ORDER) -> str:
    found = export_document(document(text))
    assert isinstance(found, Exported)
    return found.text


PRETTY = exported()
TEXT = json.dumps(json.loads(PRETTY))  # on one line, whatever its layout


def refused(text: str | bytes) -> NotRead:
    found = import_document(text.encode() if isinstance(text, str) else text)
    assert isinstance(found, NotRead), found
    return found


def changed(old: str, new: str) -> NotRead:
    assert TEXT.count(old) >= 1, old
    return refused(TEXT.replace(old, new, 1))


def imported(text: str) -> str:
    found = import_document(text.encode())
    assert isinstance(found, Imported), found
    return found.text


def test_what_is_exported_is_imported() -> None:
    assert imported(TEXT).replace(" ", "") == "\n".join(
        line.replace(" ", "")
        for line in ORDER.replace("settings", "\nsettings").replace("alarms", "\nalarms").split("\n")
    )


FIRST = "$.sections[1].statements[0]"


@pytest.mark.parametrize(
    ("old", "new", "path", "message"),
    [
        ('"schema": "rxlint-document-1"', '"schema": "rxlint-document-2"', "$.schema", "is not 'rxlint-document-1'"),
        ('"kind": "prescription"', '"kind": "order"', "$.kind", "neither null nor one of"),
        ('"kind": "prescription"', '"kind": "template"', "$.kind", "would not be read back"),
        ('"section": "settings"', '"section": "setting"', "$.sections[1].section", "is no section"),
        ('"section": "settings"', '"section": null', "$.sections[1]", "a section without a name"),
        ('"term": "PEEP"', '"term": "PEAP"', f"{FIRST}.term", "'PEAP' is no term of settings"),
        ('"term": "PEEP"', '"term": "apnoea"', f"{FIRST}.term", "is no term of settings"),
        ('"term": "PEEP", "measure"', '"term": "PEEP", "mesure"', FIRST, "a statement has one form"),
        ('"term": "PEEP", "measure"', '"term": "PEEP", "text": "x", "measure"', FIRST, "not text, measure together"),
        ('"number": "5"', '"number": 5', f"{FIRST}.measure.value.amounts[0].number", "a number stands where"),
        (
            '"number": "5"',
            '"number": "5,5"',
            f"{FIRST}.measure.value.amounts[0].number",
            "is not a number as text",
        ),
        ('"number": "5"', '"number": "1e1"', f"{FIRST}.measure.value.amounts[0].number", "is not a number as text"),
        ('"number": "5"', '"number": "\uff15"', f"{FIRST}.measure.value.amounts[0].number", "is not a number as text"),
        ('"number": "5"', '"number": "500"', FIRST, "PEEP 500 cmH2O lies outside"),
        ('"unit": "cmH2O"', '"unit": "cm H2O"', f"{FIRST}.measure.value.amounts[0].unit", "is not known here"),
        ('"unit": "cmH2O"', '"unit": "mL"', FIRST, "PEEP"),
        ('"above": "ambient"', '"above": "PEEP"', FIRST, "above PEEP"),
        ('"kind": "exact"', '"kind": "between"', f"{FIRST}.measure.value.amounts", "'between' has 2 amounts, not 1"),
        ('"above": "PEEP", ', "", "$.sections[1].statements[1]", "above ambient or above PEEP"),
        ('"kind": "under"', '"kind": "below"', "$.sections[1].statements[2].rows[0].key.kind", "is not known here"),
        ('"by": "patient age"', '"by": "rate"', "$.sections[1].statements[2]", "rate by itself"),
        (
            '"term": "apnoea"',
            '"term": "apnoea", "comment": "x"',
            "$.sections[2].statements[0].comment",
            "begins with #",
        ),
        ('"term": "apnoea"', '"term": "apnoea", "rows": []', "$", ""),
        ('"name": "TM-1"', '"name": "TM 1"', "$.sections[0].statements[0]", "can't stand here"),
        ('"name": "TM-1"', '"name": "TM-1\\n  PEEP 9 cmH2O"', "$.sections[0].statements[0].name", "line feed"),
        ('"name": "TM-1"', '"name": "TM-1 # PEEP"', "$.sections[0].statements[0].name", "is not a phrase"),
        ('"title": "x"', '"title": "x\\ud800"', "$.sections[0].title", "surrogate"),
        ('"title": "x"', '"title": "x\\u202e"', "$.sections[0]", "U+202E"),
        ('"title": "x"', '"title": null', "$.sections[0].title", "null stands where a text belongs"),
        ('"statements": [', '"statements": {"a": 1}, "b": [', "$.sections[0].b", "is not known here"),
    ],
)
def test_a_fault_is_told_by_its_path(old: str, new: str, path: str, message: str) -> None:
    if not message:  # a member that says nothing changes nothing
        assert imported(TEXT.replace(old, new, 1)) == imported(TEXT)
        return
    found = changed(old, new)
    assert found.path is not None and found.path.startswith(path), found
    assert message in found.message, found
    assert found.line is not None and found.line > 0


def test_the_place_is_that_of_the_path() -> None:
    found = refused(PRETTY.replace('"number": "5"', '"number": "5.5.5"', 1))
    assert found.line is not None and found.line > 10 and found.column is not None
    line = PRETTY.replace('"number": "5"', '"number": "5.5.5"', 1).split("\n")[found.line - 1]
    assert line[found.column - 1 :].startswith('"5.5.5"')


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "not JSON"),
        ("{", "not JSON"),
        (TEXT + "{}", "not JSON"),
        (TEXT.replace("{", '{"kind": "prescription", ', 1), "the member 'kind' twice"),
        (TEXT.replace('"PEEP", ', '"PEEP", "term": "EPAP", ', 1), "the member 'term' twice"),
        (TEXT.replace('"number": "5"', '"number": 5.0'), "5.0 has decimals"),
        (TEXT.replace('"number": "5"', '"number": NaN'), "NaN is no JSON"),
        (TEXT.replace('"number": "5"', f'"number": {"9" * 5000}'), "is too large"),
        ("[" * 100_000, f"more than {DEEPEST} brackets"),
        ('{"schema": ' + '{"a":' * 100 + "1" + "}" * 101, f"more than {DEEPEST} brackets"),
        (b"\xff\xfe{}", "not UTF-8"),
        (b" " * (MAX_BYTES + 1), "too large"),
        ('"' + '\\"' * 30_000, "not JSON"),  # many quotes and no end: not looked at from each of them
    ],
    ids=range(13),
)
def test_what_is_no_json_for_us_is_told(text: str | bytes, message: str) -> None:
    assert message in refused(text).message


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ('{"a": "1.5 ", "b": [{}, 1.5]}', "1.5]"),
        ('{"a": "NaN", "b": NaN}', "NaN}"),
        ('{"a": "1234567890", "b": -1234567890}', "-1"),
        ('{"a": 1.5x, b: 2}', "1.5x"),
        ("[1.5, {b: 2}]", "1.5"),
        ('{"a": 1.5: []}', "1.5"),
        ('{"a": {"b": 1}, "b": {"c": 2, "d": 3}, "a": 4}', '"a": 4'),
        ('{"a": [{"b": "a", "c": {"b": 1}, "\\u0062": 2}], "a": 3}', '"\\u0062"'),
        ('{"a,\\"{": 1, "a,\\"{" : 2}', '"a,\\"{" :'),
    ],
    ids=range(9),
)
def test_what_is_refused_is_told_with_its_place(text: str, place: str) -> None:
    found = refused("\n" + text)
    assert (found.line, found.column) == (2, text.rindex(place) + 1)


@pytest.mark.parametrize("text", ["1", "null", '"x"', "[]", "true", "{}"])
def test_other_json_is_no_document(text: str) -> None:
    assert refused(text).path in {"$", "$.schema"}


def test_a_unit_may_stand_once_and_a_reference_that_is_fixed_may_be_left_out() -> None:
    short = TEXT.replace('{"number": "12", "unit": "cmH2O"}', '{"number": "12"}').replace(
        '"above": "ambient"', '"x": 1'
    )
    short = re.sub(r',\s*"x": 1', "", short)
    assert short.count('"above"') == TEXT.count('"above"') - 1
    assert imported(short) == imported(TEXT)


def test_lines_as_written_must_say_what_is_stated_beside_them() -> None:
    text = exported('prescription "x"\nsettings\n  rate  20 bpm\n')
    assert json.loads(text)["sections"][1]["statements"][0]["written"] == ["rate  20 bpm"]
    assert "20 bpm" in imported(text)
    found = refused(text.replace('"number": "20"', '"number": "22"'))
    assert found.path == "$.sections[1].statements[0].measure.value.amounts[0].number"
    assert "rate  20 bpm" in found.message


def test_a_line_that_cannot_be_read_is_carried_with_its_place() -> None:
    text = 'prescription "x"\nsettings\n  PEEP  4-8 cmH2O  # so\n  rat  20 /min\nsetings\n  rate 20 /min\nstray 1\n'
    found = export_document(document(text))
    assert isinstance(found, Exported)
    assert found.unreadable == (3, 4, 5, 6, 7)
    sections = json.loads(found.text)["sections"]
    first = {"unreadable": {"lines": ["PEEP  4-8 cmH2O  # so"], "line": 3}}
    assert sections[1]["statements"] == [first, {"unreadable": {"lines": ["rat  20 /min"], "line": 4}}]
    assert sections[2]["section"] in (None, "settings")
    back = import_document(found.text.encode())
    assert isinstance(back, Imported)
    assert all(line.strip() in back.text for line in text.split("\n"))
    assert len(back.unreadable) == len(found.unreadable)


def test_an_unreadable_line_that_could_be_read_is_refused() -> None:
    text = exported('prescription "x"\nsettings\n  PEEP  4-8 cmH2O\n').replace("4-8", "8")
    assert "the line `PEEP  8 cmH2O` says something else" in refused(text).message


def test_a_line_as_written_that_says_something_else_is_shown() -> None:
    text = TEXT.replace('{"term": "PEEP",', '{"term": "PEEP", "written": ["PEEP 40 cmH2O"],', 1)
    assert "the line `PEEP 40 cmH2O` says something else" in refused(text).message


@pytest.mark.parametrize("comment", ["# a", '#b, \\"c\\" # d', "# <script>alert(1)</script> \\u001b[31m"])
def test_a_comment_cannot_become_a_line(comment: str) -> None:
    text = TEXT.replace('"term": "apnoea"', f'"comment": "{comment}", "term": "apnoea"')
    found = import_document(text.encode())
    if isinstance(found, Imported):
        assert document(found.text).blocks[-1].details[0].text.strip().endswith("after 15 s")
    else:
        assert found.path is not None


def test_paths_are_json_paths() -> None:
    assert show_path(()) == "$"
    assert show_path(("sections", 2, "a b", 'q"')) == '$.sections[2]["a b"]["q\\""]'


def test_a_place_is_found_as_far_as_the_path_leads() -> None:
    text = '{"a": [1, {"b\\"": "x"}],\n "c": {}}'
    assert place_at(text, ("a", 1, 'b"')) == (1, 19)
    assert place_at(text, ("c", "d")) == (2, 7)
    assert place_at(text, ("a", 5)) == (1, 7)
    assert place_at(text, ()) == (1, 1)
