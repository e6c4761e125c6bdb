"""The worked story of the examples, walked through the command line in copies of its folder; then what may go wrong."""

import json
import re
import shlex
from pathlib import Path

import pytest
from click.testing import Result

from rxlint.library.index import Index
from rxlint.reports.caution import CAUTION
from tests import story
from tests.conftest import ROOT, RunCli
from tests.story import CORRECTED, FIRST, ON, RAISED, STORY, TEMPLATE, Run, changed, unchecked

AT = ["--on", "2026-11-24"]
PHARMACY = ["--by", "second checker, pharmacy", "--at"]
KEPT = {path.relative_to(STORY).as_posix(): path.read_bytes() for path in STORY.rglob("*") if path.is_file()}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return story.copy(tmp_path)


@pytest.fixture
def run(run_cli: RunCli) -> Run:
    return lambda place, command: run_cli(*shlex.split(command)[1:], cwd=place)


def rules(found: Result) -> list[str]:
    """The rules that spoke, in the order in which they did."""
    return re.findall(r"\[([a-z-]+\.[a-z-]+)\]$", found.stdout, re.MULTILINE)


def test_every_step_ends_as_it_says_and_the_page_shows_it(run: Run, tmp_path: Path) -> None:
    steps = list(story.walked(run, tmp_path))
    assert [(step.name, found.exit_code) for step, found in steps] == [
        (each.name, each.exit_code) for each in story.STEPS
    ]
    assert {found.stdout.splitlines()[-1] for step, found in steps if step.name != "endorsed"} == {CAUTION}
    assert story.PAGE.read_text("utf-8") == story.page_of(steps), "python -m tests.story --write"


# ---- from the first order to the bedside


def test_the_first_order_was_sound_when_it_was_in_force(folder: Path, run: Run, run_cli: RunCli) -> None:
    in_force(folder)
    assert rules(run(folder, f"rxlint screen {ON} {FIRST}")) == ["governance.unchecked"]
    assert run_cli("endorse", FIRST, *AT, *PHARMACY, "2026-11-16 13:10", cwd=folder).exit_code == 0
    found = run(folder, f"rxlint screen {ON} {TEMPLATE} {FIRST}")
    assert (found.exit_code, rules(found)) == (0, [])


def in_force(folder: Path) -> None:
    unchecked(folder / FIRST)
    changed(folder / FIRST, "status     withdrawn", "status     active")


def test_its_withdrawal_is_a_change_that_is_checked_anew(folder: Path, run: Run, run_cli: RunCli) -> None:
    in_force(folder)
    assert run_cli("endorse", FIRST, *AT, *PHARMACY, "2026-11-16 13:10", cwd=folder).exit_code == 0
    changed(folder / FIRST, "status     active", "status     withdrawn")
    assert rules(run(folder, f"rxlint screen {ON} {FIRST}")) == ["governance.code-broken", "governance.withdrawn"]
    unchecked(folder / FIRST)
    assert run_cli("endorse", FIRST, *AT, *PHARMACY, "2026-11-18 14:30", cwd=folder).exit_code == 0
    assert (folder / FIRST).read_bytes() == KEPT[FIRST]


def test_peep_raised_alone_is_found_in_the_change_and_in_the_order(folder: Path, run: Run) -> None:
    change = run(folder, f"rxlint compare {ON} {FIRST} {RAISED}")
    assert (change.exit_code, rules(change)) == (1, ["change.alone"])
    assert "what a breath adds above PEEP goes from 12 cmH2O to 10 cmH2O" in change.stdout
    itself = run(folder, f"rxlint screen {ON} {RAISED}")
    assert itself.exit_code == 1
    assert rules(itself) == ["library.relation-broken", "pressure.supported-breaths-differ"]
    refused = run(folder, f'rxlint endorse {ON} {RAISED} --by "second checker, pharmacy"')
    assert refused.exit_code == 1 and (folder / RAISED).read_bytes() == KEPT[RAISED]


@pytest.mark.parametrize("old", [FIRST, RAISED])
def test_the_correction_leaves_nothing_behind(old: str, folder: Path, run: Run) -> None:
    found = run(folder, f"rxlint compare {ON} {old} {CORRECTED}")
    assert (found.exit_code, rules(found)) == (0, [])
    for line in (
        "inspiratory pressure: 17 cmH2O above ambient -> 19",
        "alarm low inspiratory pressure: 12 cmH2O -> 14",
    ):
        assert f"    changed     {line} cmH2O" in found.stdout


def test_the_endorsement_is_the_one_that_is_kept(folder: Path, run: Run) -> None:
    story.before_the_check(folder)
    before = (folder / CORRECTED).read_bytes()
    assert run(folder, story.ENDORSE).exit_code == 0
    assert (folder / CORRECTED).read_bytes() == KEPT[CORRECTED] != before
    assert run(folder, f"rxlint screen {ON} {CORRECTED}").exit_code == 0
    again = run(folder, story.ENDORSE)
    assert again.exit_code == 1 and "second checker, pharmacy has checked it as it stands already" in again.stdout
    assert (folder / CORRECTED).read_bytes() == KEPT[CORRECTED]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("rate                      15 /min", "rate                      14 /min"),
        ("weight                 60 kg", "weight                 61 kg"),
        ("high rate                  32 /min", "high rate                  33 /min"),
        ("EtCO2                 4.7 to 6 kPa", "EtCO2                 4.7 to 5.9 kPa"),
    ],
)
def test_a_value_that_is_changed_afterwards_breaks_the_code(old: str, new: str, folder: Path, run: Run) -> None:
    changed(folder / CORRECTED, old, new)
    found = run(folder, f"rxlint screen {ON} {CORRECTED}")
    assert (found.exit_code, rules(found)) == (1, ["governance.code-broken"])


def test_the_same_order_in_other_words_keeps_its_code(folder: Path, run: Run) -> None:
    changed(folder / CORRECTED, "rise time                 150 ms", "rise time  0.15 s   # as before")
    assert run(folder, f"rxlint screen {ON} {CORRECTED}").exit_code == 0


def test_both_ventilators_show_the_pressure_that_is_prescribed(folder: Path, run: Run) -> None:
    """One counts from ambient, in cmH2O; the other from the PEEP that is keyed in, in kPa, within half a step."""
    keyed: dict[str, float] = {}
    for name, code in (("Fell", 0), ("Holm", 1)):
        found = run(folder, f"rxlint setup-list {ON} {CORRECTED} --ventilator {name} --format json")
        assert found.exit_code == code
        (period,) = json.loads(found.stdout)["periods"]
        lines = {line["name"]: line for line in period["lines"]}
        keyed |= {
            called: lines[called]["number"] for called in ("floor", "roof", "ground", "terrace") if called in lines
        }
    assert (keyed["floor"], keyed["roof"]) == (7, 19)
    one = 10.19716  # cmH2O in a kPa
    assert abs(keyed["ground"] * one - 7) <= 0.025 * one
    assert abs((keyed["ground"] + keyed["terrace"]) * one - 19) <= 0.025 * one


# ---- the folder as a library


def test_one_revision_is_in_force_and_no_id_stands_twice(folder: Path, run: Run) -> None:
    found = run(folder, f"rxlint screen {ON} .")
    assert rules(found) == ["governance.withdrawn", "library.relation-broken", "pressure.supported-breaths-differ"]
    in_force(folder)
    assert rules(run(folder, f"rxlint screen {ON} .")).count("library.repeated-id") == 2


def test_the_story_is_no_part_of_the_examples_around_it(run_cli: RunCli) -> None:
    ids = Index(ROOT / "examples").by_id
    assert "TM-0513" in ids and "TM-2001" not in ids
    around = run_cli("screen", *AT, "examples/sound/TM-0513-adult-neuromuscular-night.vrx", cwd=ROOT)
    inside = run_cli("screen", *AT, "examples/story/templates", f"examples/story/{CORRECTED}", cwd=ROOT)
    assert (around.exit_code, inside.exit_code, rules(inside)) == (0, 0, [])
    assert "Policies: tarnmoor-policy" in around.stdout and "Policies: " not in inside.stdout


def test_its_ventilators_are_those_of_the_examples() -> None:
    names = {path.name for path in (ROOT / "examples" / "profiles").iterdir()}
    assert names == {Path(name).name for name in KEPT if name.startswith("profiles/")}
    for name in names:
        assert KEPT[f"profiles/{name}"] == (ROOT / "examples" / "profiles" / name).read_bytes()


# ---- what may go wrong: a clear message, nothing lost, the exit code that README.md tells


def test_a_template_that_is_missing(folder: Path, run: Run) -> None:
    (folder / TEMPLATE).unlink()
    found = run(folder, f"rxlint screen {ON} .")
    assert found.exit_code == 1
    unknown = "tracheostomy-night-adult revision 2 is not in the library [library.follows-unknown]"
    assert [line.split(": ", 2)[0] for line in found.stdout.splitlines() if line.endswith(unknown)] == [
        f"{name}:7:3" for name in (FIRST, RAISED, CORRECTED)
    ]
    assert "pressure.supported-breaths-differ" in rules(found), "what is in the order itself is still found"


def test_templates_that_follow_each_other(folder: Path, run: Run) -> None:
    other = folder / "templates" / "network.vrx"
    other.write_bytes((folder / TEMPLATE).read_bytes())
    follow(other, "tracheostomy-night-adult")
    changed(other, "  id         tracheostomy-night-adult\n", "  id         network\n")
    follow(folder / TEMPLATE, "network")
    found = run(folder, f"rxlint screen {ON} {TEMPLATE} {CORRECTED}")
    assert found.exit_code == 1
    assert rules(found) == ["library.follows-circular"]
    assert f"{TEMPLATE}:7:3: reject: this leads back to the document itself: " in found.stdout
    assert "network follows tracheostomy-night-adult [library.follows-circular]" in found.stdout


def follow(path: Path, template: str) -> None:
    changed(path, "  status     active\n", f"  status     active\n  follows    {template} revision 2\n")


def test_a_document_that_follows_itself(folder: Path, run: Run) -> None:
    changed(folder / RAISED, "follows    tracheostomy-night-adult", "follows    TM-2001")
    found = run(folder, f"rxlint screen {ON} {RAISED}")
    assert found.exit_code == 1
    assert "the document itself: TM-2001 [library.follows-circular]" in found.stdout


def test_two_templates_with_one_id(folder: Path, run: Run) -> None:
    (folder / "templates" / "copy.vrx").write_bytes((folder / TEMPLATE).read_bytes())
    found = run(folder, f"rxlint screen {ON} {CORRECTED}")
    assert (found.exit_code, rules(found)) == (1, ["library.follows-ambiguous"])
    assert f"stands in templates/copy.vrx and {TEMPLATE}: nobody can tell which is meant" in found.stdout
    whole = rules(run(folder, f"rxlint screen {ON} ."))
    assert (whole.count("library.repeated-id"), whole.count("library.follows-ambiguous")) == (2, 3)


def test_a_ventilator_with_a_step_of_zero(folder: Path, run: Run) -> None:
    profile = folder / "profiles" / "fell.yaml"
    changed(profile, "unit: cmH2O, range: 0 to 30, step: 1", "unit: cmH2O, range: 0 to 30, step: 0")
    number = next(at for at, line in enumerate(profile.read_text("utf-8").splitlines(), 1) if "step: 0 " in line)
    told = f"profiles/fell.yaml:{number}:"
    for command in (
        f"rxlint screen {ON} {CORRECTED}",
        f"rxlint setup-list {ON} {CORRECTED} --ventilator Holm",
        f"rxlint compare {ON} {FIRST} {CORRECTED}",
        f"rxlint screen {ON} --settings none --profile profiles/fell.yaml {CORRECTED}",
        f'rxlint endorse {ON} {CORRECTED} --by "third checker"',
    ):
        found = run(folder, command)
        assert found.exit_code == 2, command
        assert told in found.output and "step is a number above zero" in found.output, command
    assert (folder / CORRECTED).read_bytes() == KEPT[CORRECTED]


def test_a_faulty_ventilator_keeps_no_other_folder_from_being_screened(folder: Path, run_cli: RunCli) -> None:
    changed(folder / "profiles" / "fell.yaml", "range: 5 to 80, step: 5", "range: 5 to 80, step: 0")
    found = run_cli("screen", *AT, folder / CORRECTED, ROOT / "examples" / "slips" / "peep-raised-alone.vrx")
    assert found.exit_code == 2
    assert "step is a number above zero" in found.output
    assert rules(found) == ["pressure.supported-breaths-differ"], "the other document is still screened"


def test_a_table_that_breaks_off(folder: Path, run: Run) -> None:
    """What stands before the break becomes documents, and is told apart from what could not be read."""
    table = folder / "orders.csv"
    table.write_text(
        'id,mode,PEEP [cmH2O],rate [/min]\nTM-2002,A/C-PC,5,15\nTM-2003,"A/C-PC,6,14\nTM-2004,A/C-PC,7,13\n'
    )
    before = table.read_bytes()
    found = run(folder, "rxlint import orders.csv -o imported")
    assert found.exit_code == 3
    assert "orders.csv:3:1: from here on cells can't be told apart" in found.output
    assert [path.name for path in (folder / "imported").iterdir()] == ["TM-2002.vrx"]
    assert table.read_bytes() == before
    assert run(folder, f"rxlint screen {ON} imported").exit_code == 1


def test_a_table_with_a_broken_cell(folder: Path, run: Run) -> None:
    """Every row becomes a document; the one with the cell can't look sound."""
    (folder / "orders.csv").write_text("id,mode,PEEP [cmH2O]\nTM-2002,A/C-PC,5\nTM-2003,A/C-PC,five\n")
    found = run(folder, "rxlint import orders.csv -o imported")
    assert found.exit_code == 1
    assert "orders.csv:3:3: PEEP [cmH2O]: " in found.output
    assert sorted(path.name for path in (folder / "imported").iterdir()) == ["TM-2002.vrx", "TM-2003.vrx"]
    assert "five" in (folder / "imported" / "TM-2003.vrx").read_text("utf-8")
    assert any(rule.startswith("notation.") for rule in rules(run(folder, f"rxlint screen {ON} imported/TM-2003.vrx")))
