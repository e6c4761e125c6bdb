"""Comparing from Python: what the command line tells of the same two files."""

import json
from pathlib import Path

import pytest

import rxlint
from tests.conftest import ROOT, RunCli
from tests.interface.examples import DAY, POLICY, SLIP

PAIRS = ROOT / "tests" / "reports" / "compare"
BEFORE = SLIP.read_text("utf-8").replace("PEEP                  7 cmH2O", "PEEP                  5 cmH2O")


def test_it_tells_what_the_command_line_tells(run_cli: RunCli, tmp_path: Path) -> None:
    old = tmp_path / "before.vrx"
    old.write_text(BEFORE, "utf-8")
    told = json.loads(run_cli("compare", old, SLIP, "--on", DAY.isoformat(), "--format", "json").stdout)
    (entry,) = told["documents"]
    (found,) = rxlint.compare_paths(old, SLIP, on=DAY)
    assert (found.path, found.old_path, found.id) == (entry["path"], entry["old_path"], entry["id"])
    assert (found.status, found.are_one, list(found.policies)) == ("compared", True, entry["policies"])
    keys = ("term", "section", "kind", "before", "after", "how", "period")
    assert [[getattr(each, key) for key in keys] for each in found.changes] == [
        [each[key] for key in keys] for each in entry["changes"]
    ]
    assert [(each.is_order, each.old_line, each.new_line) for each in found.changes] == [
        (each["ordered"], each["old_line"], each["line"]) for each in entry["changes"]
    ]
    assert [(each.term, each.unit, each.is_changed) for each in found.derived] == [
        (each["term"], each["unit"], each["changed"]) for each in entry["derived"]
    ]
    assert [each.before and float(each.before.low) for each in found.derived] == [
        each["before"] and each["before"]["low"] for each in entry["derived"]
    ]
    assert [(each.rule, each.message) for each in found.findings] == [
        (each["rule"], each["message"]) for each in entry["findings"]
    ]
    assert found.changes and found.derived and found.findings and found.fails()


def test_two_texts_are_compared_under_the_rules_that_are_given() -> None:
    found = rxlint.compare(BEFORE, SLIP.read_bytes(), on=DAY)
    assert [(each.term, each.before, each.after) for each in found.changes] == [("PEEP", "5 cmH2O", "7 cmH2O")]
    peak = next(each for each in found.derived if each.term == "supported peak")
    assert peak.before is not None and peak.after is not None
    assert peak.before.low == 17 and peak.after.high == 19 and peak.after.text == "19 cmH2O"
    assert (found.path, found.old_path, found.policies, found.is_renamed) == ("<new>", "<old>", (), False)
    rules = rxlint.Rules(policies=POLICY)
    assert rxlint.compare(BEFORE, SLIP.read_bytes(), on=DAY, rules=rules).policies == ("tarnmoor-policy",)
    assert rxlint.compare(BEFORE, SLIP.read_bytes(), on=DAY, path=SLIP).policies == ("tarnmoor-policy",)


def test_what_carbon_dioxide_is_to_be_expected() -> None:
    old = (ROOT / "examples" / "sound" / "TM-0508-adult-lung-protective.vrx").read_text("utf-8")
    line = next(each for each in old.splitlines() if each.strip().startswith("rate "))
    rate = line.split()[1]
    found = rxlint.compare(old, old.replace(line, line.replace(rate, str(int(rate) + 2))), on=DAY)
    (expected,) = found.expected
    assert expected.expected < expected.measured and expected.unit and expected.source


def test_two_folders(tmp_path: Path) -> None:
    old, new = tmp_path / "old", tmp_path / "new"
    for folder in (old, new):
        folder.mkdir()
        (folder / "same.vrx").write_text(BEFORE.replace("TM-0608", "TM-0001"), "utf-8")
    (old / "gone.vrx").write_text(BEFORE.replace("TM-0608", "TM-0002"), "utf-8")
    (old / "a.vrx").write_text(BEFORE, "utf-8")
    (new / "b.vrx").write_bytes(SLIP.read_bytes())
    found = list(rxlint.compare_paths(old, new, on=DAY))
    assert [(each.status, each.is_renamed, each.id) for each in found] == [
        ("compared", True, "TM-0608"),
        ("deleted", False, "TM-0002"),
    ]
    assert found[1].path is None and found[1].are_one is None and not found[1].fails()


def test_a_text_that_cant_be_read_is_a_problem_of_the_comparison() -> None:
    found = rxlint.compare(b"\xff", SLIP.read_bytes(), on=DAY)
    assert found.are_one is None and found.changes == ()
    assert found.problems[0].message.startswith("<old>: the file is not UTF-8 text")
    assert (found.problems[0].line, found.problems[0].column) == (1, 1)
    assert found.fails("reject")


def test_nothing_to_compare_with(tmp_path: Path) -> None:
    with pytest.raises(rxlint.OptionError, match=r"absent\.vrx is not there"):
        rxlint.compare_paths(tmp_path / "absent.vrx", SLIP, on=DAY)
    with pytest.raises(rxlint.OptionError, match="two files or two folders"):
        rxlint.compare_paths(tmp_path, SLIP, on=DAY)
