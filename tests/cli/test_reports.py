"""Every format of `rxlint screen` from the command line, and several reports in one run."""

import json
import os
import stat
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rxlint.commands.reporting import FORMS, FileReport, open_files, tell
from rxlint.library.screen import Screened
from rxlint.reports.forms import Wanted, report_of
from rxlint.reports.report import Ending, Report
from rxlint.reports.text import Totals
from rxlint.text.files import WholeFile
from tests import formats
from tests.cli.orders import NOTE, ON, REJECT, SLIP, SOUND
from tests.conftest import ROOT, RunCli

SLIPS = ROOT / "examples" / "slips"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, text in {"sound": SOUND, "query": SLIP, "reject": REJECT, "empty": ""}.items():
        (tmp_path / f"{name}.vrx").write_text(text, "utf-8")
    (tmp_path / "note.yaml").write_text(NOTE, "utf-8")
    return tmp_path


def names(folder: Path) -> set[str]:
    return {each.name for each in folder.iterdir()}


@pytest.mark.parametrize(
    ("paths", "options", "expected"),
    [
        (["sound.vrx"], [], 0),
        (["query.vrx"], ["--fail-at", "reject"], 0),
        (["query.vrx", "reject.vrx"], [], 1),
        (["reject.vrx", "empty.vrx"], ["--fail-at", "never"], 3),
        (["nowhere.vrx"], [], 3),
        (["sound.vrx"], ["--pack", "nowhere.yaml"], 2),
    ],
)
def test_the_exit_code_is_the_same_in_every_format(
    paths: list[str], options: list[str], expected: int, folder: Path, run_cli: RunCli
) -> None:
    for form in FORMS:
        found = run_cli("screen", *paths, *ON, *options, "--format", form, cwd=folder)
        assert (form, found.exit_code) == (form, expected), found.output
        assert bool(found.stdout) == (expected != 2)


@pytest.mark.parametrize(
    ("start", "fail_at", "expected"), [("peep", "query", 1), ("unit-", "reject", 1), ("back-up-rate-be", "reject", 0)]
)
def test_slips_of_the_examples_give_one_exit_code_and_one_list_of_findings(
    start: str, fail_at: str, expected: int, run_cli: RunCli, tmp_path: Path
) -> None:
    paths = [path.relative_to(ROOT) for path in sorted(SLIPS.glob(f"{start}*.vrx"))]
    assert paths
    asked = [item for form in FORMS for item in ("--report", f"{form}={tmp_path / form}")]
    found = run_cli("screen", *paths, *ON, "--fail-at", fail_at, *asked, cwd=ROOT)
    assert found.exit_code == expected, found.output
    documents = json.loads((tmp_path / "json").read_text("utf-8"))["documents"]
    findings = [(each["path"], finding["rule"], finding["line"]) for each in documents for finding in each["findings"]]
    (log,) = json.loads((tmp_path / "sarif").read_text("utf-8"))["runs"]
    places = [each["locations"][0]["physicalLocation"] for each in log["results"]]
    assert findings == [
        (place["artifactLocation"]["uri"], result["ruleId"], place["region"]["startLine"])
        for place, result in zip(places, log["results"], strict=True)
    ]
    assert log["invocations"][0]["exitCode"] == expected
    quality = json.loads((tmp_path / "gitlab").read_text("utf-8"))
    assert findings == [(e["location"]["path"], e["check_name"], e["location"]["lines"]["begin"]) for e in quality]
    failures = (tmp_path / "junit").read_text("utf-8").count("<failure ")
    assert bool(failures) == (expected == 1)


def test_a_report_in_a_file_is_the_one_that_its_format_prints(folder: Path, run_cli: RunCli) -> None:
    paths = ["query.vrx", "sound.vrx", "empty.vrx"]
    asked = [item for form in FORMS for item in ("--report", f"{form}=out.{form}")]
    whole = run_cli("screen", *paths, *ON, "--coverage", *asked, cwd=folder)
    assert whole.exit_code == 3 and whole.stderr == ""
    for form in FORMS:
        single = run_cli("screen", *paths, *ON, "--coverage", "--format", form, cwd=folder)
        assert (folder / f"out.{form}").read_text("utf-8") == single.stdout, form
        assert single.exit_code == whole.exit_code
    assert whole.stdout == (folder / "out.text").read_text("utf-8")
    assert "checks of query.vrx" in whole.stdout
    plain = {f"out.{form}" for form in FORMS}
    assert names(folder) == {"sound.vrx", "query.vrx", "reject.vrx", "empty.vrx", "note.yaml"} | plain


def test_a_report_in_a_file_is_never_coloured(folder: Path, run_cli: RunCli) -> None:
    found = run_cli("screen", "query.vrx", *ON, "--colour", "always", "--report", "text=out.txt", cwd=folder)
    assert "\x1b[" in found.stdout
    assert "\x1b[" not in (folder / "out.txt").read_text("utf-8")


@pytest.mark.parametrize(
    ("reports", "told"),
    [
        (["html=a.html"], "html=a.html: write FORMAT=FILE, with FORMAT one of text, json, sarif,"),
        (["a.json"], "a.json: write FORMAT=FILE"),
        (["json="], "json=: write FORMAT=FILE"),
        (["json=-"], "standard output has the report that --format chooses"),
        (["json=nowhere/a.json"], "the report nowhere/a.json can't be written: No such file or directory"),
        (["json=deep"], "the report deep can't be written: is not a regular file"),
        (["json=new.VRX"], "the report new.VRX can't be written: a report is not written to a document (*.vrx)"),
        (["sarif=rxlint.yaml"], "rxlint.yaml can't be written: a report is not written to settings or rules (*.yaml)"),
        (["sarif=new.YML"], "new.YML can't be written: a report is not written to settings or rules (*.yml)"),
        (["json=./query.vrx"], "the report query.vrx can't be written: a file that is read is not written over"),
        (["text=note.yaml"], "the report note.yaml can't be written: a file that is read is not written over"),
        (["json=a", "sarif=deep/../a"], "the report deep/../a can't be written: two reports can't be written to one"),
        (["json=a", "text=pipe"], "the report pipe can't be written: is not a regular file"),
        (["json=ring"], "the report ring can't be written"),
        (["json=a\x00b"], "can't be written: embedded null byte"),
    ],
)
def test_a_report_that_cannot_be_written_is_told_before_anything_is_screened(
    reports: list[str], told: str, folder: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "deep").mkdir()
    (folder / "ring").symlink_to(folder / "ring")
    os.mkfifo(folder / "pipe")
    before = names(folder)
    monkeypatch.setattr("rxlint.library.screen.screen_under", lambda *_, **__: pytest.fail("it was screened"))
    asked = [item for each in reports for item in ("--report", each)]
    found = run_cli("screen", "query.vrx", *ON, "--pack", "note.yaml", *asked, cwd=folder)
    assert found.exit_code == 2 and found.stdout == ""
    assert told in " ".join(found.stderr.split())
    assert names(folder) == before
    assert (folder / "query.vrx").read_text("utf-8") == SLIP


def test_a_file_that_is_closed_is_told(folder: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "out").touch()
    monkeypatch.setattr(os, "access", lambda path, *_: Path(path).name != "out")  # root may write everywhere
    found = run_cli("screen", "query.vrx", *ON, "--report", "json=out", cwd=folder)
    assert found.exit_code == 2 and "the report out can't be written: Permission denied" in found.stderr


def test_explain_makes_no_report(folder: Path, run_cli: RunCli) -> None:
    asked = ("--explain", "notation.glued-unit", "--report", "json=a")
    found = run_cli("screen", "query.vrx", *ON, *asked, cwd=folder)
    assert found.exit_code == 2 and "--explain shows one rule and makes no report" in found.stderr
    assert "a" not in names(folder)


def test_what_a_link_leads_to_is_replaced_and_keeps_its_permissions(folder: Path, run_cli: RunCli) -> None:
    (folder / "kept").mkdir()
    real, link = folder / "kept" / "real.json", folder / "link.json"
    real.write_text("old", "utf-8")
    real.chmod(0o640)
    link.symlink_to(real)
    assert run_cli("screen", "query.vrx", *ON, "--report", "json=link.json", cwd=folder).exit_code == 1
    assert link.is_symlink() and json.loads(real.read_text("utf-8"))["schema"] == "rxlint-screen-1"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_run_that_is_stopped_leaves_the_old_report_whole(
    folder: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "out.json").write_text("old", "utf-8")
    before = names(folder)

    def stop(*_: object) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr("rxlint.reports.json_report.own_object", stop)
    found = run_cli("screen", "query.vrx", *ON, "--report", "json=out.json", "--report", "sarif=new", cwd=folder)
    assert found.exit_code == 3 and "The run was stopped" in found.stderr
    assert (folder / "out.json").read_text("utf-8") == "old" and names(folder) == before


@pytest.mark.parametrize("step", ["write", "put"])
def test_a_disk_that_fills_up_spoils_one_report_and_no_other(
    step: str, folder: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = getattr(WholeFile, step)
    (folder / "full.json").write_text("old", "utf-8")

    def fail(self: WholeFile, *given: Any, **named: Any) -> None:
        if self._path.name == "full.json":
            raise OSError(28, "No space left on device")
        real(self, *given, **named)

    monkeypatch.setattr(WholeFile, step, fail)
    asked = ("--report", "json=full.json", "--report", "junit=good.xml")
    found = run_cli("screen", "query.vrx", *ON, *asked, cwd=folder)
    assert found.exit_code == 2
    assert found.stderr == "Error: the report full.json can't be written: No space left on device\n"
    assert "[notation.glued-unit]" in found.stdout and "[notation.glued-unit]" in (folder / "good.xml").read_text(
        "utf-8"
    )
    assert (folder / "full.json").read_text("utf-8") == "old"
    assert not any(name.startswith(".rxlint-") for name in names(folder))


class Gone:
    """A standard output whose reader goes away after some pieces."""

    def __init__(self, pieces: int) -> None:
        self.left = pieces

    def write(self, _text: str) -> None:
        self.left -= 1
        if self.left < 0:
            raise BrokenPipeError

    def flush(self) -> None:
        self.write("")

    def fileno(self) -> int:
        raise ValueError("there is none")


@pytest.mark.parametrize("pieces", [0, 1, 5])
def test_files_are_written_to_their_end_when_the_reader_of_standard_output_goes_away(
    pieces: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[str] = []
    monkeypatch.setattr(sys, "stdout", Gone(pieces))
    code = told([FileReport("gitlab", tmp_path / "out.json")], seen)
    assert code == 3
    assert len(seen) == len(formats.run())
    assert (tmp_path / "out.json").read_text("utf-8") == formats.report("gitlab")


def test_without_files_the_run_ends_there(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[str] = []
    monkeypatch.setattr(sys, "stdout", Gone(1))
    assert told([], seen) == 3
    assert 0 < len(seen) < len(formats.run())


def told(further: list[FileReport], seen: list[str]) -> int:
    totals = Totals()

    def results() -> Iterator[Screened]:
        for each in formats.run():
            seen.append(each.shown)
            yield each

    def make(form: str, _is_shown: bool) -> Report:
        return report_of(form, Wanted("2026-11-24", "query", formats.FOLDER, lambda _: formats.rules()))

    def end() -> Ending:
        return Ending(totals, [formats.rules()], 1)

    with open_files(further, []) as files:
        return tell("text", files, results(), totals, make, end, lambda pieces: pieces)
