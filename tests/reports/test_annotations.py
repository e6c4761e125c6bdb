"""What hosts of repositories and tools for review read, held against the examples that their documentation shows."""

import json
import re
from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import Element, fromstring

import pytest

from rxlint.library.screen import screen_bytes
from rxlint.reports.annotations import command, notes_of
from rxlint.reports.where import STANDARD_INPUT
from tests.documents import DAY
from tests.formats import report, rules, run

LINE = re.compile(r"::(?P<name>error|warning|notice) (?P<properties>[^:]*)::(?P<message>.*)")
KEYS = {"file", "line", "endLine", "col", "endColumn", "title"}
SEVERITIES = {"info", "minor", "major", "critical", "blocker"}


# ---- workflow commands


@pytest.mark.published("https://docs.github.com/en/actions/reference/workflows-and-actions/workflow-commands")
@pytest.mark.parametrize(
    ("name", "properties", "line"),
    [
        ("error", {"file": "app.js", "line": "1"}, "::error file=app.js,line=1::Missing semicolon"),
        (
            "notice",
            {"file": "app.js", "line": "1", "col": "5", "endColumn": "7"},
            "::notice file=app.js,line=1,col=5,endColumn=7::Missing semicolon",
        ),
        (
            "warning",
            {"file": "app.js", "line": "1", "col": "5", "endColumn": "7", "title": "YOUR-TITLE"},
            "::warning file=app.js,line=1,col=5,endColumn=7,title=YOUR-TITLE::Missing semicolon",
        ),
    ],
)
def test_a_command_is_what_the_documentation_shows(name: str, properties: dict[str, str], line: str) -> None:
    assert command(name, properties, "Missing semicolon") == line + "\n"


@pytest.mark.published("https://github.com/actions/toolkit/blob/main/packages/core/__tests__/command.test.ts")
def test_escapes_are_those_of_the_toolkit() -> None:
    assert (
        command("some-command", {}, "percent % percent % cr \r cr \r lf \n lf \n")
        == "::some-command::percent %25 percent %25 cr %0D cr %0D lf %0A lf %0A\n"
    )
    assert (
        command("some-command", {}, "%25 %25 %0D %0D %0A %0A")
        == "::some-command::%2525 %2525 %250D %250D %250A %250A\n"
    )
    assert (
        command("some-command", {"name": "percent % percent % colon : colon : comma , comma ,"}, "")
        == "::some-command name=percent %25 percent %25 colon %3A colon %3A comma %2C comma %2C::\n"
    )
    assert (
        command("some-command", {"prop1": "value 1", "prop2": "value 2"}, "some message")
        == "::some-command prop1=value 1,prop2=value 2::some message\n"
    )


def unescaped(text: str) -> str:
    for mark, code in ((",", "%2C"), (":", "%3A"), ("\n", "%0A"), ("\r", "%0D"), ("%", "%25")):
        text = text.replace(code, mark)
    return text


def commands() -> list[tuple[str, dict[str, str], str]]:
    """The commands of the run as their reader takes them apart. Every line but the last two must be one."""
    found = []
    for line in report("github").splitlines()[:-2]:
        match = LINE.fullmatch(line)
        assert match is not None, line
        properties = dict(pair.split("=", 1) for pair in match["properties"].split(","))
        told = {key: unescaped(value) for key, value in properties.items()}
        found.append((match["name"], told, unescaped(match["message"])))
    return found


def test_everything_that_is_to_say_is_one_command() -> None:
    notes = [(screened, note) for screened in run() for note in notes_of(screened)]
    words = {"reject": "error", "query": "warning", "note": "notice"}
    for (screened, note), (name, properties, message) in zip(notes, commands(), strict=True):
        assert name == words[note.level] and message == "\n".join(note.lines)
        assert properties.keys() <= KEYS
        assert ("file" in properties) == (screened.shown != STANDARD_INPUT)
        if "line" in properties:
            assert properties["line"] == str(note.place.line)
            assert int(properties["col"]) == note.place.column <= int(properties["endColumn"])
    files = [properties.get("file") for _, properties, _ in commands()]
    assert files[0] == "orders/ward 7/größe 100%.vrx" and files[1] == "orders/can-break.vrx"
    assert "/elsewhere/broken.vrx" in files and None in files


def test_a_place_over_several_lines_has_no_columns() -> None:
    """The toolkit's own words on AnnotationProperties: columns can't be sent where start and end line differ."""

    screened = screen_bytes("a.vrx", b'prescription "a"\nsettings\n  PEEP 5\n', rules(), DAY)
    assert screened.screening is not None
    (finding,) = screened.screening.findings
    wide = replace(finding, place=replace(finding.place, end_line=9))
    (line, *_) = report(
        "github", (replace(screened, screening=replace(screened.screening, findings=(wide,))),)
    ).splitlines()
    assert line.startswith("::error file=a.vrx,line=3,endLine=9,title=")


def test_no_text_from_outside_begins_a_command() -> None:
    lines = report("github").splitlines()
    assert sum("::error::##[error]" in unescaped(line) for line in lines) > 3, "the hostile text is not among them"
    closing = lines[-2:]
    assert all(not line.startswith("::") and "##[" not in line for line in closing)
    assert closing[0].startswith("11 documents: ") and closing[1].startswith("A screening aid")


def test_what_does_not_count_is_a_notice() -> None:
    found = [
        (name, message.split(":")[0])
        for name, properties, message in commands()
        if properties.get("file") == "settled.vrx"
    ]
    assert found == [("notice", "accepted reject"), ("notice", "known reject"), ("error", "failed")]


# ---- code quality reports


def entries() -> list[dict[str, Any]]:
    found = json.loads(report("gitlab"))
    assert isinstance(found, list)
    return found


@pytest.mark.published("https://docs.gitlab.com/ci/testing/code_quality/#code-quality-report-format")
def test_an_entry_has_what_the_documentation_asks_for() -> None:
    """Its table: description, check_name, fingerprint, severity, location.path, location.lines.begin; its example."""
    example = """[{"description": "'unused' is assigned a value but never used.", "check_name": "no-unused-vars",
        "fingerprint": "7815696ecbf1c96e6894b779456d330e", "severity": "minor",
        "location": {"path": "lib/index.js", "lines": {"begin": 42}}}]"""
    (shown,) = json.loads(example)
    for each in entries():
        assert each.keys() == shown.keys() and each["location"].keys() == shown["location"].keys()
        assert each["severity"] in SEVERITIES and re.fullmatch(r"[0-9a-f]{32}", each["fingerprint"])
        assert isinstance(each["location"]["lines"]["begin"], int) and each["location"]["lines"]["begin"] >= 1
        assert each["description"] and each["check_name"] and each["location"]["path"]
    assert report("gitlab").startswith("["), "no byte order mark"


def test_an_entry_is_told_from_every_other_by_its_fingerprint() -> None:
    marks = [each["fingerprint"] for each in entries()]
    assert len(marks) == len(set(marks)) == sum(1 for screened in run() for _ in notes_of(screened))


def test_levels_are_severities() -> None:
    found = {each["description"].split(":")[0]: each["severity"] for each in entries()}
    assert found == {
        "reject": "blocker",
        "query": "major",
        "note": "info",
        "accepted reject": "info",
        "known reject": "info",
        "failed": "blocker",
        "unread": "blocker",
        "not screened": "blocker",
    }


# ---- Checkstyle


def checkstyle_faults(node: Element) -> list[str]:
    """What checkstyle-report-1.0.0.xsd would refuse (https://checkstyle.org/result_reports.html)."""
    found = [] if node.tag == "checkstyle" and node.attrib.keys() <= {"version"} else [node.tag]
    for file in node:
        found += [] if file.tag == "file" and file.attrib.keys() == {"name"} else [file.tag]
        for error in file:
            good = error.tag == "error" and error.attrib.keys() <= {"line", "column", "severity", "message", "source"}
            good = good and all(re.fullmatch(r"[1-9][0-9]*", error.attrib[key]) for key in ("line", "column"))
            found += [] if good and error.attrib["severity"] in {"ignore", "info", "warning", "error"} else [error.tag]
    return found


@pytest.mark.published("https://checkstyle.org/result_reports.html")
def test_a_checkstyle_report_keeps_to_its_schema() -> None:
    found = fromstring(report("checkstyle"))
    assert checkstyle_faults(found) == []
    example = """<checkstyle version="10.0"><file name="com/puppycrawl/tools/checkstyle/Main.java"><error
        line="1" column="1" severity="error" message="Missing package-info.java file."
        source="com.puppycrawl.tools.checkstyle.checks.coding.MissingPackageInfoCheck"/></file></checkstyle>"""
    assert checkstyle_faults(fromstring(example)) == []
    shown = fromstring(example).find("file/error")
    assert shown is not None and {key for each in found.iter("error") for key in each.attrib} == shown.attrib.keys()


def test_the_schema_of_checkstyle_would_tell_of_a_fault() -> None:
    for wrong in ('line="0"', 'line="1" severity="reject"', 'line="1" severity="info" level="note"'):
        text = f'<checkstyle><file name="a"><error column="1" {wrong}/></file></checkstyle>'
        assert checkstyle_faults(fromstring(text)), wrong


def test_every_document_is_a_file_with_what_is_to_say_of_it() -> None:
    for screened, file in zip(run(), fromstring(report("checkstyle")), strict=True):
        found = [(each.attrib["source"], each.attrib["line"], each.attrib["message"]) for each in file]
        assert found == [(note.rule, str(note.place.line), note.text) for note in notes_of(screened)]
