"""A session over a library: open texts laid over files, what a change means for the others, and rules made anew."""

import json
import os
import random
import shutil
from pathlib import Path

import pytest

from rxlint.editor import overlay
from rxlint.editor.diagnostics import marks
from rxlint.editor.workspace import Workspace
from rxlint.library import heads
from rxlint.library.discover import find_inputs
from rxlint.library.rulings import Faults, Rulings
from rxlint.library.screen import screen_inputs
from rxlint.reports.json_report import document_object
from rxlint.reports.pieces import dumped
from tests.conftest import RunCli
from tests.documents import DAY
from tests.shelf import EXAMPLES

TEMPLATE = 'template "t"\n  id  t\n  revision  {revision}\n  status  active\nsettings\n  PEEP  {peep} cmH2O\n'
ORDER = (
    'prescription "p"\n  id  {id}\n  revision  1\n  status  active\n  follows  t revision 2\n'
    "settings\n  PEEP  {peep} cmH2O\n"
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    library = tmp_path.resolve() / "library"
    for name in ("templates", "ward"):
        (library / name).mkdir(parents=True)
    (library / "rxlint.yaml").write_text("library: .\n", "utf-8")
    write(library / "templates/t.vrx", template())
    write(library / "ward/in.vrx", order("in"))
    write(library / "ward/out.vrx", order("out", 7))
    return library


def template(peep: str = "4 to 6", revision: int = 2) -> str:
    return TEMPLATE.format(peep=peep, revision=revision)


def order(name: str, peep: int = 5) -> str:
    return ORDER.format(id=name, peep=peep)


def write(path: Path, text: str) -> None:
    """Write a file so that its stamp is another one, however fast a test is."""
    before = overlay.stamp_of(path)
    path.write_text(text, "utf-8")
    if before is not None:
        os.utime(path, ns=(before[0] + 10_000_000, before[0] + 10_000_000))


def told(workspace: Workspace, path: Path, text: str | None = None) -> list[str]:
    """The findings of the library's rules, and why a document was not screened."""
    snapshot = workspace.snapshot(path, path.read_text("utf-8") if text is None else text)
    found = [each for each in marks(snapshot) if each.rule is None or each.rule.startswith("library.")]
    return [each.rule.removeprefix("library.") if each.rule is not None else each.message for each in found]


def opened(workspace: Workspace, *paths: Path) -> None:
    for path in paths:
        text = path.read_text("utf-8")
        workspace.put(path, text)
        workspace.snapshot(path, text)


# ---- as the command tells it


@pytest.mark.parametrize(
    "name",
    [
        "slips/template-revised-since",
        "slips/peep-raised-alone",
        "sound/TM-0506-adult-copd-acute",
        "templates/newborn-tube",
    ],
)
def test_a_document_is_told_as_the_command_tells_it(name: str) -> None:
    path = EXAMPLES / f"{name}.vrx"
    (screened,) = screen_inputs(find_inputs([str(path)]), Rulings(), DAY)
    assert Workspace(day=DAY).snapshot(path, path.read_text("utf-8")).screened.screening == screened.screening


def test_a_warm_session_tells_every_document_as_the_report_does_to_the_byte(
    tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every document opened, changed and put right again, with all others open, and then held against the report."""
    folder = tmp_path.resolve() / "library"
    shutil.copytree(EXAMPLES, folder, ignore=shutil.ignore_patterns("pictures", "editors", "ci", "story"))
    for number, slip in enumerate(sorted(folder.glob("slips/*.vrx"))):
        if number % 16:
            slip.unlink()
    report = run_cli("screen", "--format", "json", "--on", DAY.isoformat(), "--no-cache", "library", cwd=folder.parent)
    entries = {each["path"]: each for each in json.loads(report.stdout)["documents"]}
    texts = {folder.parent / each: (folder.parent / each).read_text("utf-8") for each in entries}
    assert len(texts) > 50
    monkeypatch.chdir(folder.parent)  # policies are told by their names from there
    workspace = Workspace(day=DAY)
    workspace.set_folders([folder])
    for path, text in texts.items():
        workspace.put(path, text)
        workspace.snapshot(path, text)
        workspace.put(path, f"{text}\nsettings\n  PEEP 4 cmH2O\n")
        workspace.snapshot(path, f"{text}\nsettings\n  PEEP 4 cmH2O\n")
        workspace.put(path, text)
    for path, text in texts.items():
        name = path.relative_to(folder.parent).as_posix()
        told = document_object(workspace.snapshot(path, text).screened)
        assert dumped({**told, "path": name}) == dumped(entries[name]), name


def test_a_folder_that_is_open_counts_as_searched(folder: Path) -> None:
    copy = folder / "ward/copy.vrx"
    write(copy, order("in"))
    workspace = Workspace(day=DAY)
    assert told(workspace, copy) == []
    workspace.set_folders([folder])
    assert told(workspace, copy) == ["repeated-id"]
    workspace.set_folders([folder / "ward"])
    assert told(workspace, copy) == []


# ---- open texts over files


def test_a_follower_is_checked_against_the_template_that_is_being_written(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    out, inside, laid = folder / "ward/out.vrx", folder / "ward/in.vrx", folder / "templates/t.vrx"
    opened(workspace, out, inside)
    assert (told(workspace, out), told(workspace, inside)) == (["outside-template"], [])
    assert workspace.put(laid, template()) <= {out, inside}  # the same as its file
    assert workspace.put(laid, template("6 to 8")) == {out, inside}
    assert (told(workspace, out), told(workspace, inside)) == ([], ["outside-template"])
    assert workspace.put(laid, template("6 to 8", revision=3)) == {out, inside}
    assert told(workspace, out) == ["follows-outdated"]
    assert workspace.drop(laid) == {out, inside}
    assert (told(workspace, out), told(workspace, inside)) == (["outside-template"], [])


def test_what_is_written_in_an_order_is_no_matter_of_others(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    out, inside = folder / "ward/out.vrx", folder / "ward/in.vrx"
    opened(workspace, out, inside)
    assert workspace.put(inside, order("in", 6)) == frozenset()
    assert workspace.put(inside, order("another")) == {out}  # its id is


def test_the_snapshot_is_the_same_while_nothing_changes(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    path, text = folder / "ward/out.vrx", order("out", 7)
    workspace.put(path, text)
    first = workspace.snapshot(path, text)
    workspace.put(path, text)
    assert workspace.snapshot(path, text) is first
    workspace.put(folder / "templates/t.vrx", template("6 to 8"))
    assert workspace.snapshot(path, text) is not first


def test_a_template_that_is_not_saved_yet_is_found(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    (folder / "templates/t.vrx").unlink()
    out, laid = folder / "ward/out.vrx", folder / "templates/new.vrx"
    opened(workspace, out)
    assert told(workspace, out) == ["follows-unknown"]
    assert workspace.put(laid, template()) == {out}
    assert told(workspace, out) == ["outside-template"]
    assert workspace.drop(laid) == {out}
    assert told(workspace, out) == ["follows-unknown"]


def test_a_document_opened_by_a_link_is_the_same_document(folder: Path, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(folder, target_is_directory=True)
    workspace = Workspace(day=DAY)
    opened(workspace, folder / "ward/out.vrx")
    laid = link / "templates/t.vrx"
    assert workspace.put(laid, template("6 to 8")) == {folder / "ward/out.vrx"}
    assert told(workspace, folder / "ward/out.vrx") == []
    assert workspace.text_of(folder / "templates/t.vrx") == template("6 to 8")


def test_a_document_that_is_saved_nowhere_is_screened(folder: Path) -> None:
    path = Path("untitled", "Untitled-1")
    text = order("new", 7)
    workspace = Workspace(day=DAY)
    assert workspace.put(path, text) == frozenset()
    alone = workspace.snapshot(path, text)
    assert alone.screened.screening is not None
    assert alone.library is None
    workspace.set_folders([folder])
    assert told(workspace, path, text) == ["outside-template"]  # it belongs to the only folder that is open
    workspace.set_folders([folder, folder.parent])
    assert workspace.snapshot(path, text).library is None


# ---- files that change


def test_only_the_file_that_has_changed_is_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    workspace = Workspace(day=DAY)
    out = folder / "ward/out.vrx"
    opened(workspace, out)
    assert told(workspace, out) == ["outside-template"]
    read: list[str] = []
    real = heads.read_head

    def counted(path: str, shown: str):  # type: ignore[no-untyped-def]
        read.append(shown)
        return real(path, shown)

    monkeypatch.setattr(overlay, "read_head", counted)
    write(folder / "templates/t.vrx", template("6 to 8"))
    assert workspace.changed([folder / "templates/t.vrx"]) == {out}
    assert told(workspace, out) == []
    assert read == ["templates/t.vrx"]
    write(folder / "templates/t.vrx", template("1 to 2", revision=3))
    assert workspace.look_again() == {out}
    assert told(workspace, out) == ["follows-outdated"]
    assert read == ["templates/t.vrx"] * 2
    assert workspace.look_again() == frozenset()
    write(folder / "templates/t.vrx", template("7 to 9", revision=3))  # its head is the same
    assert workspace.look_again() == {out}
    write(folder / "ward/in.vrx", order("in", 6))
    assert workspace.changed([folder / "ward/in.vrx"]) == frozenset()
    (folder / "templates/t.vrx").unlink()
    assert workspace.changed([folder / "templates/t.vrx"]) == {out}
    assert told(workspace, out) == ["follows-unknown"]


def test_a_file_that_is_open_may_be_saved_without_anything_being_looked_at_again(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    out, laid = folder / "ward/out.vrx", folder / "templates/t.vrx"
    opened(workspace, out, laid)
    workspace.put(laid, template("6 to 8", revision=2))
    write(laid, template("6 to 8", revision=2))
    assert workspace.changed([laid]) == frozenset()
    assert told(workspace, out) == []


def test_what_is_affected_is_all_that_is(folder: Path) -> None:
    """However texts, files and folders change: what was not named as affected has not changed."""
    chance = random.Random(20261124)
    files = [folder / "templates/t.vrx", folder / "ward/in.vrx", folder / "ward/out.vrx"]
    texts = {
        files[0]: [
            template(),
            template("6 to 8"),
            template(revision=3),
            order("t"),
            "",
            template().replace("t\n", "u\n"),
        ],
        files[1]: [order("in"), order("out"), order("in", 9), template("1 to 9"), order("in").replace(" t r", " u r")],
        files[2]: [order("out", 7), order("t", 7), "prescription"],
    }
    workspace = Workspace(day=DAY)
    workspace.set_folders([folder])
    shown: dict[Path, list[str]] = {}
    now: dict[Path, str] = {}
    for _ in range(40):
        path = chance.choice(files)
        text = chance.choice(texts[path])
        touched: set[Path] = set()
        match chance.choice(["put", "put", "put", "drop", "write", "write unseen"]):
            case "put":
                now[path] = text
                touched = {*workspace.put(path, text), path}
            case "drop":
                now.pop(path, None)
                shown.pop(path, None)
                touched = set(workspace.drop(path))
            case "write":
                write(path, text)
                touched = set(workspace.changed([path]))
            case _:
                write(path, text)
                touched = set(workspace.look_again())
        for each in touched & now.keys():
            shown[each] = told(workspace, each, now[each])
        fresh = Workspace(day=DAY)
        fresh.set_folders([folder])
        for each, its in now.items():
            fresh.put(each, its)
        assert shown == {each: told(fresh, each, its) for each, its in now.items()}


# ---- rules


def test_settings_that_change_are_read_again(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    out, settings = folder / "ward/out.vrx", folder / "rxlint.yaml"
    opened(workspace, out)
    assert told(workspace, out) == ["outside-template"]
    assert workspace.settings_marks() == {settings: ()}
    write(settings, "library: .\npolices: []\n")
    assert workspace.put(folder / "ward/in.vrx", order("in")) == {out}  # nobody has told, and it is seen all the same
    (said,) = told(workspace, out)
    assert said.startswith("not screened, for the rules that hold here can't be used: ")
    assert "polices is no key" in said
    (mark,) = workspace.settings_marks()[settings]
    assert (mark.place.line, mark.place.column, mark.level) == (2, 1, "reject")
    assert mark.message.startswith("polices is no key")
    write(settings, "library: .\n")
    assert workspace.changed([settings]) >= {out}
    assert told(workspace, out) == ["outside-template"]
    assert workspace.settings_marks() == {settings: ()}


def test_a_faulty_policy_is_told_where_the_settings_name_it(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    out = folder / "ward/out.vrx"
    write(folder / "p.yaml", "policy: [\n")
    write(folder / "rxlint.yaml", "library: .\npolicies:\n  - p.yaml\n")
    opened(workspace, out)
    (mark,) = workspace.settings_marks()[folder / "rxlint.yaml"]
    assert (mark.place.line, mark.place.column) == (3, 5)
    assert "p.yaml:" in mark.message
    write(folder / "rxlint.yaml", "library: .\n")
    assert told(workspace, out) == ["outside-template"]


def test_settings_that_appear_nearer_are_found(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    out = folder / "ward/out.vrx"
    opened(workspace, out)
    write(folder / "ward/rxlint.yaml", "library: .\n")
    assert told(workspace, out) == ["follows-unknown"]
    (folder / "ward/rxlint.yaml").unlink()
    assert told(workspace, out) == ["outside-template"]


def test_rules_that_cannot_be_made_are_told_in_every_document(folder: Path) -> None:
    given = folder / "given.yaml"
    write(given, "no pack")

    def rulings() -> Rulings:
        if given.read_text("utf-8") == "no pack":
            raise Faults(["given.yaml:1:1: is no pack"], "a rule pack")
        return Rulings()

    workspace = Workspace(rulings, DAY, [given])
    out = folder / "ward/out.vrx"
    assert [each.rpartition(": ")[2] for each in told(workspace, out)][-1] == "is no pack"
    write(given, "a pack")
    assert told(workspace, out) == ["outside-template"]


def test_texts_are_those_that_are_open(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    path = folder / "ward/out.vrx"
    assert workspace.text_of(path) == order("out", 7)
    workspace.put(path, "new")
    assert workspace.text_of(path) == "new"
    assert workspace.text_of(folder / "ward/none.vrx") is None


def test_another_day_is_another_result(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    path = folder / "ward/in.vrx"
    text = order("in") + "periods\n"
    workspace.put(path, text)
    before = workspace.snapshot(path, text)
    assert workspace.set_day(DAY.replace(year=2027)) == {path}
    assert workspace.snapshot(path, text).day == DAY.replace(year=2027)
    workspace.set_day(DAY)
    assert workspace.snapshot(path, text).screened == before.screened


def test_what_is_let_go_is_worked_out_again(folder: Path) -> None:
    workspace = Workspace(day=DAY)
    path = folder / "ward/out.vrx"
    workspace.put(path, order("out", 7))
    before = workspace.snapshot(path, order("out", 7))
    assert workspace.snapshot(path, order("out", 7)) is before
    workspace.let_go(path)
    after = workspace.snapshot(path, order("out", 7))
    assert after is not before
    assert marks(after) == marks(before)


def test_where_every_change_is_told_none_is_looked_for(folder: Path) -> None:
    asked, watching = Workspace(day=DAY, is_told=True), Workspace(day=DAY)
    path = folder / "ward/in.vrx"
    for each in (asked, watching):
        assert told(each, path, order("in")) == []
    write(folder / "rxlint.yaml", "policies: [nowhere.yaml]\n")
    assert told(watching, path, order("in")) != []
    assert told(asked, path, order("in")) == []
    asked.changed([folder / "rxlint.yaml"])
    assert told(asked, path, order("in")) == told(watching, path, order("in"))
