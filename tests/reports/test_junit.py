"""JUnit XML: kept to the schema that its best known reader publishes, and what became of each rule as a test.

The schema is junit-10.xsd of the Jenkins xUnit plugin (Copyright (c) 2014 Gregory Boissinot, MIT licence; it stands at
https://github.com/jenkinsci/xunit-plugin/tree/master/src/main/resources/org/jenkinsci/plugins/xunit/types/model/xsd).
Its facts are written down here in our own way. It has `errors` where Ant's task writes `error`
(https://github.com/apache/ant/blob/master/src/main/org/apache/tools/ant/taskdefs/optional/junit/XMLConstants.java), which
is what every reader takes, that plugin too.
"""  # noqa: E501

import re
from collections.abc import Iterator
from dataclasses import replace
from xml.etree.ElementTree import Element, fromstring

import pytest

from rxlint.library.screen import Screened
from rxlint.packs import LEVELS
from rxlint.reports.xml_text import element, lines_of, written
from rxlint.screening.engine import Crash
from rxlint.screening.finding import Outcome
from tests.formats import report, rules, run

# Of each element: the attributes it must have, those it may have, and what may stand in it.
SCHEMA = {
    "testsuites": ((), ("name", "time", "tests", "failures", "errors"), ("testsuite",)),
    "testsuite": (
        ("name", "tests", "failures", "errors"),
        ("group", "time", "skipped", "timestamp", "hostname", "id", "package", "file", "log", "url", "version"),
        ("testsuite", "properties", "testcase", "system-out", "system-err"),
    ),
    "properties": ((), (), ("property",)),
    "property": (("name", "value"), (), ()),
    "testcase": (
        ("name",),
        ("time", "classname", "group"),
        ("skipped", "error", "failure", "system-out", "system-err"),
    ),
    "failure": ((), ("type", "message"), ()),
    "error": ((), ("type", "message"), ()),
    "skipped": ((), ("type", "message"), ()),
    "system-out": ((), (), ()),
    "system-err": ((), (), ()),
}
WITH_TEXT = {"failure", "error", "skipped", "system-out", "system-err"}
TIME = re.compile(r"(([0-9]{0,3},)*[0-9]{3}|[0-9]{0,3})*(\.[0-9]{0,3})?")  # SUREFIRE_TIME


def faults(node: Element, where: str = "") -> Iterator[str]:
    """Where an element does not keep to the schema."""
    here = f"{where}/{node.tag}"
    if node.tag not in SCHEMA:
        yield f"{here} is unknown"
        return
    needed, allowed, inside = SCHEMA[node.tag]
    yield from (f"{here} lacks {name}" for name in needed if name not in node.attrib)
    yield from (f"{here} has {name}" for name in node.attrib if name not in (*needed, *allowed))
    if "time" in node.attrib and not TIME.fullmatch(node.attrib["time"]):
        yield f"{here} has the time {node.attrib['time']}"
    if node.tag not in WITH_TEXT and (node.text or "").strip():
        yield f"{here} has text"
    for child in node:
        if child.tag not in inside:
            yield f"{here} has {child.tag}"
        if (child.tail or "").strip():
            yield f"{here} has text after {child.tag}"
        yield from faults(child, here)


@pytest.fixture(scope="module")
def suites() -> list[Element]:
    return list(fromstring(report("junit")))


def suite_of(screened: Screened, fail_at: str = "query") -> Element:
    (only,) = fromstring(report("junit", (screened,), fail_at))
    return only


def named(shown: str) -> Screened:
    (found,) = (each for each in run() if each.shown.endswith(shown))
    return found


def outcome(suite: Element, name: str) -> str:
    """What became of a test: the first mark on it that is no output."""
    (test,) = (each for each in suite.iter("testcase") if each.attrib["name"] == name)
    return next((mark.tag for mark in test if mark.tag != "system-out"), "passed")


def test_a_report_keeps_to_the_schema() -> None:
    assert list(faults(fromstring(report("junit")))) == []
    assert list(faults(fromstring(report("junit", ())))) == []


@pytest.mark.parametrize(
    "text",
    [
        "<testsuites><testcase name='a'/></testsuites>",
        "<testsuite name='a' tests='1' failures='0'/>",
        "<testsuite name='a' tests='1' failures='0' errors='0' line='3'/>",
        "<testsuite name='a' tests='1' failures='0' errors='0' time='1.2345'/>",
        "<testcase name='a'>text</testcase>",
        "<testcase name='a'><failed/></testcase>",
    ],
)
def test_the_schema_would_tell_of_a_fault(text: str) -> None:
    assert list(faults(fromstring(text)))


def test_a_document_is_a_suite_whose_counts_are_right(suites: list[Element]) -> None:
    assert len(suites) == len(run())
    for suite in suites:
        tests = suite.findall("testcase")
        names = [each.attrib["name"] for each in tests]
        assert len(names) == len(set(names)) == int(suite.attrib["tests"]) > 0
        for count, tag in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped")):
            assert int(suite.attrib[count]) == sum(1 for each in tests if each.find(tag) is not None)
        assert all(len([mark for mark in each if mark.tag != "system-out"]) <= 1 for each in tests)


def test_every_rule_that_was_asked_is_a_test_and_no_other(suites: list[Element]) -> None:
    for screened, suite in zip(run(), suites, strict=True):
        rows = screened.screening.coverage.rules if screened.screening is not None else ()
        found = {each.attrib["name"] for each in suite.iter("testcase")} - {"document can be read"}
        assert found == {row.rule for row in rows if row.outcome != "does not apply"}
        skipped = [each for each in suite.iter("testcase") if each.find("skipped") is not None]
        assert len(skipped) == sum(1 for row in rows if row.outcome == "not checked" and row.rule in found) - (
            screened.shown == "settled.vrx"  # the rule that failed is one of them
        )
        for row in rows:
            if row.outcome == "met":
                assert outcome(suite, row.rule) == "passed"
            elif row.outcome in ("broken", "can break"):
                assert outcome(suite, row.rule) in ("failure", "passed") and (
                    outcome(suite, row.rule) == "failure" or _output(suite, row.rule)
                )


def _output(suite: Element, name: str) -> str:
    (test,) = (each for each in suite.iter("testcase") if each.attrib["name"] == name)
    return test.findtext("system-out") or ""


@pytest.mark.parametrize(
    ("fail_at", "failing"),
    [
        ("reject", {"relation.leaves-range"}),
        ("query", {"relation.leaves-range", "trial.time"}),
        ("note", {"relation.leaves-range", "trial.time", "trial.note"}),
        ("never", set()),
    ],
)
def test_a_test_fails_from_the_level_of_failure_on(fail_at: str, failing: set[str]) -> None:
    suite = suite_of(named("can-break.vrx"), fail_at)
    told = {"relation.leaves-range": "reject", "trial.time": "query", "trial.note": "note"}
    assert {name for name in told if outcome(suite, name) == "failure"} == failing
    for name, level in told.items():
        (test,) = (each for each in suite.iter("testcase") if each.attrib["name"] == name)
        text = test.findtext("failure" if name in failing else "system-out") or ""
        assert f": {level}: " in text and f"[{name}]" in text
    assert all(mark.attrib["type"] in LEVELS for mark in suite.iter("failure"))


def test_a_document_that_was_not_read_is_an_error(suites: list[Element]) -> None:
    for screened, suite in zip(run(), suites, strict=True):
        mark = suite.find("testcase/error") if screened.screening is None else None
        assert (outcome(suite, "document can be read") == "error") == (screened.screening is None)
        if mark is not None:
            assert len(suite.findall("testcase")) == 1
            assert mark.attrib["type"] == ("not screened" if screened.misconfigured else "unread")
    assert "line 1, column 2: the file is not text" in (suites[9].findtext("testcase/error") or "")


def test_a_rule_that_failed_is_an_error_and_settled_findings_fail_nothing() -> None:
    suite = suite_of(named("settled.vrx"), "note")
    assert outcome(suite, "trial.weight") == "error"
    assert outcome(suite, "relation.broken") == "passed"
    assert "accepted reject: " in _output(suite, "relation.broken")
    assert "known reject: " in _output(suite, "relation.broken")


def test_a_rule_for_which_another_speaks_does_not_read_as_passed() -> None:
    slip = named("100%.vrx")
    assert slip.screening is not None
    suite = suite_of(replace(slip, screening=replace(slip.screening, findings=())))
    assert outcome(suite, "relation.broken") == "skipped"


def test_a_rule_that_failed_keeps_what_it_found_before() -> None:
    slip = named("100%.vrx")
    assert slip.screening is not None
    crash = Crash("relation.broken", "RuntimeError: lost")
    suite = suite_of(replace(slip, screening=replace(slip.screening, crashes=(crash,))))
    assert outcome(suite, "relation.broken") == "error"
    assert "[relation.broken]" in _output(suite, "relation.broken")


@pytest.mark.parametrize("came_to", ["not checked", "undecided"])
def test_a_note_on_a_rule_that_was_not_judged_does_not_read_as_passed(came_to: Outcome) -> None:
    """A policy may ask that a rule be checked: then it is a finding that it was not."""
    found = named("can-break.vrx")
    assert found.screening is not None
    coverage = found.screening.coverage
    rows = tuple(replace(row, outcome=came_to) if row.rule == "trial.note" else row for row in coverage.rules)
    suite = suite_of(replace(found, screening=replace(found.screening, coverage=replace(coverage, rules=rows))))
    assert outcome(suite, "trial.note") == "skipped" and "note: " in _output(suite, "trial.note")


def test_a_rule_that_speaks_twice_is_one_test() -> None:
    suite = suite_of(named("broken.vrx"))
    (test,) = (each for each in suite.iter("testcase") if each.attrib["name"] == "notation.unit-missing")
    (mark,) = test
    assert mark.attrib["message"].endswith("(and 1 more)") and (mark.text or "").count("notation.unit-missing") == 2


def test_names_group_by_folder_and_no_text_spoils_them(suites: list[Element]) -> None:
    classes = [suite.findall("testcase")[0].attrib["classname"] for suite in suites]
    assert classes[:4] == ["orders.sound", "orders.ward 7.größe 100%", "orders.orders.can-break", "orders.periods"]
    assert suites[1].attrib["name"] == "orders/ward 7/größe 100%.vrx"
    assert "<U+001B>[31m<b>]]>&lt;" in suites[6].attrib["name"]


def test_xml_takes_every_character() -> None:
    """https://www.w3.org/TR/xml/#charsets: what is not among them can't be written at all, not even as a reference."""
    every = "".join(map(chr, (*range(0x80), 0x85, 0xA0, 0xD800, 0xDFFF, 0xFFFD, 0xFFFE, 0xFFFF, 0x10000, 0x10FFFF)))
    text = written(element("system-out", {"a": every}, text=lines_of([every, "second"])))
    found = fromstring(text)
    assert text.isascii()
    assert found.text == f"{found.attrib['a']}\nsecond"
    assert "<U+0000>" in (found.text or "") and "<U+FFFE><U+FFFF>\U00010000\U0010ffff" in (found.text or "")
    assert found.attrib["a"].startswith("<U+0000>") and "<U+D800><U+DFFF>\ufffd" in found.attrib["a"]


def test_the_run_has_what_these_tests_are_about() -> None:
    assert {rule.id for rule in rules().all_rules} >= {"trial.note", "trial.time", "trial.weight", "relation.broken"}
