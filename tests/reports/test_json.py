"""JSON reports: real output against the published schemas, and every key in every entry."""

import json
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from rxlint.screening import engine
from tests.cli.orders import NOTE, ON, REJECT, SLIP, SOUND
from tests.conftest import ROOT, RunCli

NAMES = ("screen", "calculations", "setup")
TEMPLATE = """template "Ranges and tables"
settings
  mode SIMV-PC with PS
  PEEP 5 cmH2O allow 4 to 8 cmH2O
  inspiratory pressure 17 cmH2O above ambient allow 15 to 20 cmH2O
  pressure support 12 cmH2O allow 10 to 14 cmH2O
  keep pressure support = inspiratory pressure - PEEP
  inspiratory time by age
    1 to 3 years  0.7 s
    3 to 6 years  0.8 to 1.2 s
  rate by age
    1 to 3 years  22 to 30 /min
    3 to 6 years  20 to 50 /min
"""
UNDECIDED = """pack: trial
revision: 1
summary: A rule that no search decides
rules:
  - id: trial.one
    level: query
    basis: practice
    title: No search decides this
    require: modelled intrinsic PEEP != 1.23456789 cmH2O
    say: "{modelled intrinsic PEEP}"
    because: a rule of a test
    source: common practice, no published source
    cases: []
"""
MODEL = """template "A model over ranges"
patient
  compliance 20 to 80 mL/cmH2O
  resistance 5 to 40 cmH2O/(L/s)
settings
  mode A/C-PC
  PEEP 5 cmH2O
  inspiratory pressure 10 to 30 cmH2O above ambient
  rate 10 to 30 /min
  inspiratory time 0.8 to 1.2 s
"""


def schema(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(files("rxlint.reports").joinpath(f"{name}.schema.json").read_text("utf-8"))
    return found


def faults(name: str, report: Any) -> list[str]:
    checker = jsonschema.Draft202012Validator(schema(name))
    return [f"{error.json_path}: {error.message}" for error in checker.iter_errors(report)]


@pytest.fixture
def inputs(tmp_path: Path) -> Path:
    texts = {"sound": SOUND, "slip": SLIP, "reject": REJECT, "template": TEMPLATE, "model": MODEL, "empty": ""}
    for name, text in texts.items():
        (tmp_path / f"{name}.vrx").write_text(text, "utf-8")
    (tmp_path / "bytes.vrx").write_bytes(b"\xff\x00")
    (tmp_path / "note.yaml").write_text(NOTE, "utf-8")
    (tmp_path / "undecided.yaml").write_text(UNDECIDED, "utf-8")
    return tmp_path


def report(run_cli: RunCli, command: str, *arguments: str | Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(run_cli(command, *arguments, "--format", "json").stdout)
    return found


def objects(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, dict):
        yield node
        node = list(node.values())
    if isinstance(node, list):
        for each in node:
            yield from objects(each)


@pytest.mark.parametrize("name", NAMES)
def test_a_schema_is_sound_and_closed(name: str) -> None:
    found = schema(name)
    jsonschema.Draft202012Validator.check_schema(found)
    shapes = [each for each in objects(found) if each.get("type") == "object" and "properties" in each]
    assert len(shapes) > 3
    assert all(each.get("additionalProperties") is False for each in shapes)
    needed = [each for each in shapes if "value" not in each["properties"]]
    assert all(sorted(each["required"]) == sorted(each["properties"]) for each in needed)


def test_findings_of_every_outcome_keep_to_the_schema(inputs: Path, run_cli: RunCli) -> None:
    found = report(run_cli, "screen", inputs, *ON, "--pack", "note.yaml", "--pack", "undecided.yaml")
    assert faults("screen", found) == []
    told = [finding for each in found["documents"] for finding in each["findings"]]
    assert {finding["outcome"] for finding in told} == {"broken", "can break", "undecided"}
    assert {finding["level"] for finding in told} == {"reject", "query", "note"}
    assert any(finding["example"] for finding in told)
    assert any(finding["band"] for finding in told)
    assert any(finding["period"] for finding in told)
    assert any(finding["corrections"] for finding in told) and any(finding["related"] for finding in told)


def test_a_clean_run_keeps_to_the_schema(inputs: Path, run_cli: RunCli) -> None:
    found = report(run_cli, "screen", inputs / "sound.vrx", *ON)
    assert faults("screen", found) == []
    (document,) = found["documents"]
    assert (document["kind"], document["id"], document["findings"]) == ("prescription", "TM-0417", [])
    assert found["on"] == "2026-11-24"


def test_every_input_has_an_entry_with_every_key(inputs: Path, run_cli: RunCli) -> None:
    paths = [inputs / name for name in ("sound.vrx", "empty.vrx", "bytes.vrx", "nowhere.vrx", "slip.vrx")]
    found = report(run_cli, "screen", *paths, *ON)
    assert faults("screen", found) == []
    assert [each["path"] for each in found["documents"]] == [str(path) for path in paths]
    keys = {"path", "kind", "id", "policies", "problems", "findings", "coverage"}
    assert all(each.keys() == keys for each in found["documents"])
    assert [len(each["problems"]) for each in found["documents"]] == [0, 1, 1, 1, 0]
    empty = found["documents"][1]
    assert empty["findings"] == [] and set(empty["coverage"]["counts"].values()) == {0}
    assert found["documents"][2]["problems"][0]["line"] == 1
    assert (found["summary"]["documents"], found["summary"]["unread"]) == (5, 3)


def test_a_rule_that_crashes_is_a_problem_of_its_document(
    inputs: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("lost")

    monkeypatch.setattr(engine, "walk_periods", fail)
    found = report(run_cli, "screen", inputs / "slip.vrx", *ON)
    assert faults("screen", found) == []
    (document,) = found["documents"]
    assert any("mode.period-overlap failed" in each["message"] for each in document["problems"])
    assert [each["rule"] for each in document["findings"]] == ["notation.glued-unit"]
    assert found["summary"]["rule_failures"] == len(document["problems"])


def test_the_rules_of_the_run_are_one_table(inputs: Path, run_cli: RunCli) -> None:
    found = report(run_cli, "screen", inputs / "slip.vrx", *ON, "--pack", "note.yaml")
    ids = [each["id"] for each in found["rules"]]
    assert len(ids) == len(set(ids)) and ids[-1] == "ward.note"
    document = found["documents"][0]
    assert sum(document["coverage"]["counts"].values()) == len(ids)
    others = [each["rule"] for each in document["coverage"]["others"]]
    assert set(others) <= set(ids)
    assert len(others) == len(ids) - document["coverage"]["counts"]["met"]
    assert {each["rule"] for each in document["findings"]} <= set(others)


def test_findings_and_text_report_say_the_same(inputs: Path, run_cli: RunCli) -> None:
    found = report(run_cli, "screen", inputs / "reject.vrx", inputs / "template.vrx", *ON)
    text = run_cli("screen", inputs / "reject.vrx", inputs / "template.vrx", *ON).stdout
    for document in found["documents"]:
        for each in document["findings"]:
            place = f"{document['path']}:{each['line']}:{each['column']}"
            assert f"{place}: {each['level']}: {each['message']} [{each['rule']}]" in text


def test_calculations_keep_to_the_schema(inputs: Path, run_cli: RunCli) -> None:
    found = report(run_cli, "calculations", inputs)
    assert faults("calculations", found) == []
    keys = {"path", "kind", "id", "problems", "derived"}
    assert all(each.keys() == keys for each in found["documents"])
    by_path = {Path(each["path"]).stem: each for each in found["documents"]}
    assert by_path["empty"]["derived"] == [] and len(by_path["empty"]["problems"]) == 1
    assert any("low" in each for each in by_path["template"]["derived"])


@pytest.mark.parametrize(
    ("peep", "peak", "rate"),
    [
        ("5 cmH2O", "17 cmH2O", "20 /min"),
        ("0.4903325 kPa", "16.671305 mbar", "20 /min"),
        ("5 cmH2O", "17 cmH2O", "1200 /h"),
    ],
)
def test_values_come_in_the_vocabulary_s_unit_whatever_the_author_wrote(
    peep: str, peak: str, rate: str, tmp_path: Path, run_cli: RunCli
) -> None:
    text = f'prescription "x"\nsettings\n  PEEP {peep}\n  inspiratory pressure {peak} above ambient\n  rate {rate}\n'
    (tmp_path / "a.vrx").write_text(text, "utf-8")
    derived = {each["term"]: each for each in report(run_cli, "calculations", "a.vrx")["documents"][0]["derived"]}
    above = derived["pressure above baseline"]
    assert (above["unit"], above["value"]) == ("cmH2O", 12)
    assert (derived["cycle time"]["unit"], derived["cycle time"]["value"]) == ("s", 3)


def test_numbers_are_not_rounded(tmp_path: Path, run_cli: RunCli) -> None:
    text = 'prescription "x"\nsettings\n  rate 21 /min\n  inspiratory time 0.8 to 1.1 s\n'
    (tmp_path / "a.vrx").write_text(text, "utf-8")
    derived = {each["term"]: each for each in report(run_cli, "calculations", "a.vrx")["documents"][0]["derived"]}
    assert derived["cycle time"]["value"] == 60 / 21
    assert derived["expiratory time"]["low"] == pytest.approx(60 / 21 - 1.1, abs=1e-12)
    assert derived["expiratory time"]["high"] == pytest.approx(60 / 21 - 0.8, abs=1e-12)


def test_the_examples_keep_to_the_schemas(run_cli: RunCli) -> None:
    folders = [ROOT / "examples" / "sound", ROOT / "examples" / "templates"]
    assert faults("screen", report(run_cli, "screen", *folders, *ON)) == []
    templates = sorted(folders[1].glob("*.vrx"))[:2]  # the ends of all values over all that a template allows take long
    assert faults("calculations", report(run_cli, "calculations", folders[0], *templates)) == []
