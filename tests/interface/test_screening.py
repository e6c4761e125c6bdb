"""Screening from Python: what the command line finds, under the options that a program gives."""

import contextlib
import datetime
import json
import os
import sys
from pathlib import Path
from typing import Any

import pytest

import rxlint
from rxlint.interface.options import day_of
from rxlint.screening import engine
from rxlint.screening.finding import OUTCOMES
from tests.cli.orders import NOTE
from tests.conftest import ROOT, RunCli
from tests.interface.examples import CHOSEN, DAY, ORDER, POLICY, SLIP, SOUND


def place(found: rxlint.Place) -> dict[str, Any]:
    return {
        "line": found.line,
        "column": found.column,
        "end_line": found.end_line,
        "end_column": found.end_column,
    }


def finding(found: rxlint.Finding) -> dict[str, Any]:
    """A finding as the JSON report has it, made from the attributes that are promised."""
    accepted = found.acceptance
    return {
        "rule": found.rule,
        "level": found.level,
        "outcome": found.outcome,
        "message": found.message,
        **place(found.place),
        "calculation": list(found.calculation),
        "corrections": [
            {
                "text": each.text,
                "makes": each.makes,
                "replacement": each.replacement,
                "place": {**place(each.place), "path": each.place.file} if each.place is not None else None,
            }
            for each in found.corrections
        ],
        "related": [{**place(each.place), "path": each.place.file, "message": each.message} for each in found.related],
        "example": dict(found.example) if found.example is not None else None,
        "sound": list(found.sound),
        "period": found.period,
        "band": found.band,
        "fingerprint": found.fingerprint,
        "known": found.known,
        "accepted": None
        if accepted is None
        else {
            "until": accepted.until,
            "by": accepted.by,
            "because": accepted.because,
            "line": accepted.place.line,
            "path": accepted.place.file,
        },
        "also": [{"rule": each.rule, "level": each.level, "message": each.message} for each in found.also],
        "policies": [(each.policy, each.revision, each.path, each.line, each.sets) for each in found.policy],
    }


def as_told(entry: dict[str, Any]) -> dict[str, Any]:
    """The same of a finding of the JSON report."""
    told = {key: entry[key] for key in entry if key != "policy"}
    told["policies"] = [
        tuple(each[key] for key in ("name", "revision", "path", "line", "sets")) for each in entry["policy"]
    ]
    return told


def document(screened: rxlint.Screened) -> dict[str, Any]:
    return {
        "path": screened.path,
        "kind": screened.kind,
        "id": screened.id,
        "policies": list(screened.policies),
        "problems": [{"message": each.message, "line": each.line, "column": each.column} for each in screened.problems],
        "findings": [finding(each) for each in screened.findings],
        "counts": {name: sum(row.outcome == name for row in screened.rows) for name in OUTCOMES},
        "others": [
            (row.rule, row.outcome, list(row.lacks), list(row.reasons)) for row in screened.rows if row.outcome != "met"
        ],
    }


def test_it_finds_what_the_command_line_finds(run_cli: RunCli, tmp_path: Path) -> None:
    broken = tmp_path / "broken.vrx"
    broken.write_bytes(b"prescription \xff")
    paths = [*map(str, CHOSEN), str(broken), str(tmp_path / "absent.vrx"), str(ROOT / "examples" / "readings")]
    result = run_cli("screen", "--on", DAY.isoformat(), "--format", "json", *paths)
    told = json.loads(result.stdout)
    with contextlib.chdir(tmp_path):  # settings and policies are named as from the current folder
        found = list(rxlint.screen_paths(paths, on=DAY))
    assert len(found) == len(paths)
    for screened, entry in zip(found, told["documents"], strict=True):
        wanted = {key: entry[key] for key in ("path", "kind", "id", "policies", "problems")}
        wanted["findings"] = [as_told(each) for each in entry["findings"]]
        wanted["counts"] = entry["coverage"]["counts"]
        keys = ("rule", "outcome", "lacks", "reasons")
        wanted["others"] = [tuple(each[key] for key in keys) for each in entry["coverage"]["others"]]
        assert document(screened) == wanted
    assert any(each.findings for each in found) and any(each.policies for each in found)
    assert [each.path for each in found if each.problems] == paths[-3:-1]
    assert result.exit_code == 3 and all(each.fails("reject") for each in found if each.problems)


@pytest.fixture
def ward(tmp_path: Path) -> Path:
    """A folder with settings that name a policy, and an order in it."""
    (tmp_path / "rxlint.yaml").write_text("policies: [policy.yaml]\n", "utf-8")
    (tmp_path / "policy.yaml").write_bytes(POLICY.read_bytes())
    (tmp_path / "order.vrx").write_bytes(SLIP.read_bytes())
    return tmp_path


def test_a_text_at_a_path_is_screened_as_the_file_there(ward: Path) -> None:
    path = ward / "order.vrx"
    (screened,) = rxlint.screen_paths(path, on=DAY)
    assert screened.policies == ("tarnmoor-policy",) and screened.findings
    assert rxlint.screen_text(path.read_bytes(), on=DAY, path=path) == screened
    assert rxlint.screen_text(path.read_text("utf-8"), on=DAY, path=str(path)) == screened


def test_a_text_without_a_path_has_no_settings_around_it() -> None:
    with contextlib.chdir(ROOT / "examples"):  # where a rxlint.yaml stands, which is none of its business
        alone = rxlint.screen_text(SLIP.read_bytes(), on=DAY)
    assert alone.policies == ()
    assert alone.path == "<text>"
    assert [each.rule for each in alone.findings] == ["pressure.supported-breaths-differ"]


def test_settings_are_read_anew_and_only_where_they_are_wanted(tmp_path: Path) -> None:
    order, settings = tmp_path / "order.vrx", tmp_path / "rxlint.yaml"
    order.write_bytes(SLIP.read_bytes())
    near, none = rxlint.Rules(), rxlint.Rules(settings="none")
    assert rxlint.screen_text(SLIP.read_bytes(), on=DAY, path=order, rules=near).policies == ()
    (tmp_path / "policy.yaml").write_bytes(POLICY.read_bytes())
    settings.write_text("policies: [policy.yaml]\n", "utf-8")
    assert next(rxlint.screen_paths(order, on=DAY, rules=near)).policies == ("tarnmoor-policy",)
    assert next(rxlint.screen_paths(order, on=DAY, rules=none)).policies == ()
    settings.write_text("policies: [gone.yaml]\n", "utf-8")
    kept = next(rxlint.screen_paths(order, on=DAY, rules=near))
    assert kept.findings == () and "gone.yaml" in kept.problems[0].message and kept.fails("reject")


def test_packs_policies_and_profiles_are_added(tmp_path: Path) -> None:
    pack = tmp_path / "ward.yaml"
    pack.write_text(NOTE, "utf-8")
    rules = rxlint.Rules(packs=pack, policies=[POLICY], profiles=ROOT / "examples" / "profiles")
    found = rxlint.screen_text(SLIP.read_bytes(), on=DAY, rules=rules)
    assert "ward.note" in {each.rule for each in found.findings}
    assert found.policies == ("tarnmoor-policy",)
    packs = {each.name: each for each in rxlint.rule_packs(rules)}
    assert packs["ward"].rules[0].level == "note" and not packs["ward"].is_policy
    assert packs["tarnmoor-policy"].is_policy
    assert "ward" not in {each.name for each in rxlint.rule_packs()}


def test_dates_are_judged_on_the_day_that_is_given() -> None:
    text = SOUND.read_bytes()
    sound = rxlint.screen_text(text, on=DAY)
    late = rxlint.screen_text(text, on=datetime.date(2030, 1, 1))
    assert not sound.fails()
    assert {each.rule for each in late.findings} - {each.rule for each in sound.findings} == {"governance.review-due"}


class NoClock(datetime.date):
    @classmethod
    def today(cls) -> "NoClock":
        raise AssertionError("the clock was read")


def test_the_clock_is_read_only_where_no_day_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("rxlint.interface.options.datetime.date", NoClock)
        assert day_of(NoClock(2026, 11, 24)) == DAY
        with pytest.raises(AssertionError, match="the clock was read"):
            day_of(None)
    assert day_of(None) == datetime.date.today()


def test_a_level_says_what_fails() -> None:
    found = rxlint.screen_text(SLIP.read_bytes(), on=DAY)
    assert {each.level for each in found.findings} == {"query"}
    assert found.fails("query") and found.fails("note") and found.fails() and not found.fails("reject")


def test_what_is_accepted_does_not_fail() -> None:
    line = (
        '\naccepted\n  accept pressure.supported-breaths-differ until 2026-12-01 because "weaning, reviewed daily" '
        'by "consultant, intensive care"\n'
    )
    found = rxlint.screen_text(SLIP.read_text("utf-8") + line, on=DAY)
    accepted = [each for each in found.findings if each.acceptance is not None]
    assert [each.rule for each in accepted] == ["pressure.supported-breaths-differ"]
    assert not accepted[0].counts


def test_a_rule_that_fails_is_a_problem(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("a fault of a test")

    monkeypatch.setattr(engine, "walk_checks", broken)
    found = rxlint.screen_text(SLIP.read_bytes(), on=DAY)
    assert found.problems and "a fault of a test" in found.problems[0].message and found.fails("reject")


@pytest.mark.skipif(sys.platform == "win32", reason="a folder in use can't be removed there")
def test_nothing_rests_on_the_current_folder(ward: Path) -> None:
    gone = ward / "gone"
    gone.mkdir()
    (wanted,) = rxlint.screen_paths(ward / "order.vrx", on=DAY)
    with contextlib.chdir(gone):
        os.rmdir(gone)
        (found,) = rxlint.screen_paths(ward / "order.vrx", on=DAY)
        assert rxlint.screen_text(ORDER, on=DAY).problems == ()
    assert found.policies == wanted.policies == ("tarnmoor-policy",)
    assert found.findings == wanted.findings != ()
