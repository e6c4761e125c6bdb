"""Results are used again where nothing that they depend on has changed, and a report is then the same to the byte."""

import os
import shutil
import signal
import sqlite3
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from rxlint.commands.reporting import FORMS
from rxlint.store.results import NAME
from tests.cli.orders import SLIP, SOUND
from tests.cli.programs import SETTLES, Program, copied, is_hit
from tests.conftest import ROOT
from tests.packs.policies import row, text_of

EXAMPLES = ROOT / "examples"
EVERY = bool(os.environ.get("RXLINT_EVERY_DOCUMENT"))
TEMPLATE = 'template "Night"\n  id TM-T1\n  revision 1\n  status active\n\nsettings\n  PEEP 5 cmH2O\n'
_HEAD = "  id TM-9\n  revision 1\n  status active\n  follows TM-T1 revision 1\n"
FOLLOWER = f'prescription "A"\n{_HEAD}\nsettings\n  PEEP 6 cmH2O\n'


def policy(most: int) -> str:
    """A site's policy, with the most that PEEP may be in cmH2O."""
    return text_of(row("limits", f"of: PEEP; allow: up to {most} cmH2O", "site.peep", "query"), "ward")


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Program:
    return copied(tmp_path_factory.mktemp("program"))


@pytest.fixture
def program(base: Program, tmp_path: Path) -> Program:
    """The program with nothing kept of any result, and with its own data kept, so that it starts fast."""
    cache = tmp_path / "kept"
    shutil.copytree(base.cache, cache)
    for path in cache.glob("*.sqlite*"):
        path.unlink()
    return base.with_cache(cache)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A few documents, with settings, a policy, a profile and a list of known findings beside them."""
    place = tmp_path / "orders"
    place.mkdir()
    for name, text in {"a.vrx": SOUND, "b.vrx": SLIP, "t.vrx": TEMPLATE, "f.vrx": FOLLOWER}.items():
        (place / name).write_text(text)
    return place


def all_forms(program: Program, folder: str, cwd: Path, *further: str) -> dict[str, bytes]:
    """The report of a run in every form, made by one run."""
    place = cwd / "reports"
    place.mkdir(exist_ok=True)
    asked = [f"--report={form}=reports/{form}" for form in FORMS if form != "json"]
    done = program.run("--format", "json", *asked, *further, folder, cwd=cwd)
    found = {form: (place / form).read_bytes() for form in FORMS if form != "json"}
    shutil.rmtree(place)
    return found | {"json": done.stdout, "code": str(done.returncode).encode(), "stderr": done.stderr}


ALONE = (("--format", "json"), ("--format", "text"), ("--colour", "always"))
"""What is put together from pieces, where it is all that is asked for."""


def alone(program: Program, folder: str, cwd: Path) -> list[bytes]:
    return [program.run(*each, folder, cwd=cwd).stdout for each in ALONE]


def library_of_examples(place: Path) -> None:
    """The examples with a part of the slips."""
    shutil.copytree(EXAMPLES, place, ignore=shutil.ignore_patterns("pictures", "editors", "ci"))
    slips = sorted(place.glob("slips/**/*.vrx"))
    for number, path in enumerate(slips):
        if number % 40 and not EVERY:
            path.unlink()


def hard_cases(place: Path) -> None:
    """Documents of the tests: unread ones among them, and names and texts that are hard to tell."""
    place.mkdir()
    for path in sorted((ROOT / "tests" / "cases").glob("*.vrx")):
        shutil.copy(path, place)
    (place / "empty.vrx").write_bytes(b"")
    (place / "bytes.vrx").write_bytes(b"\xff\x00")
    (place / "größe 100% <b>.vrx").write_text(SLIP.replace("PEEP", "PEEP # \x1b[31m\u202e"), encoding="utf-8")
    (place / "far").mkdir()
    (place / "far" / "rxlint.yaml").write_text("policies: [nowhere.yaml]\n")
    (place / "far" / "a.vrx").write_text(SLIP)


@pytest.mark.parametrize("make", [library_of_examples, hard_cases])
def test_reports_are_the_same_to_the_byte(make: Callable[[Path], None], program: Program, tmp_path: Path) -> None:
    library = tmp_path / "far" / "library"
    library.parent.mkdir()
    make(library)
    wanted = all_forms(program, "library", library.parent, "--no-cache")
    coloured = program.run("--colour", "always", "library", "--no-cache", cwd=library.parent).stdout
    assert not list(program.cache.glob("*.sqlite"))
    for told in ("cold", "warm"):
        assert all_forms(program, "library", library.parent) == wanted, told
    for told in ("warm", "warm again"):
        assert alone(program, "library", library.parent) == [wanted["json"], wanted["text"], coloured], told
    elsewhere = all_forms(program, "far/library", tmp_path, "--no-cache")
    assert elsewhere != wanted
    assert all_forms(program, "far/library", tmp_path) == elsewhere
    assert alone(program, "far/library", tmp_path)[:2] == [elsewhere["json"], elsewhere["text"]]
    shutil.rmtree(program.cache)
    assert all_forms(program, "library", library.parent, "--jobs", "2") == wanted
    assert alone(program, "library", library.parent) == [wanted["json"], wanted["text"], coloured]


def test_a_run_in_which_nothing_is_new_loads_nothing_that_screens(program: Program, folder: Path) -> None:
    for form in ("json", "text"):
        cold = program.loaded("--format", form, ".", cwd=folder)
        assert form == "text" or "rxlint.screening.engine" in cold
        warm = program.loaded("--format", form, ".", cwd=folder)
        for module in ("lark", "pint", "ruamel.yaml", "jinja2", "pygls", "rxlint.screening.engine", "rxlint.packs"):
            assert module not in warm, (form, module)
        assert not [each for each in warm if each.startswith(("rxlint.editor", "rxlint.reports.sheet"))]


def test_a_first_run_of_a_clean_file_loads_nothing_that_it_does_not_need(program: Program, folder: Path) -> None:
    loaded = program.loaded("a.vrx", cwd=folder)
    assert "rxlint.screening.engine" in loaded
    assert not loaded & {"pint", "pygls", "jinja2", "weasyprint", "lsprotocol", "multiprocessing"}
    assert not [each for each in loaded if each.startswith(("rxlint.editor.", "rxlint.reports.sheet"))]


# ---- what a result depends on


def settle() -> None:
    """Let the clock of the file system go on: a file that changed while a run began is nothing to rest a result on."""
    time.sleep(0.05)


def change_a_byte(folder: Path, _: Program) -> None:
    (folder / "a.vrx").write_text(SOUND + "# a comment\n")


def add_a_twin(folder: Path, _: Program) -> None:
    (folder / "twin.vrx").write_text(SOUND)


def change_the_template(folder: Path, _: Program) -> None:
    (folder / "t.vrx").write_text(TEMPLATE.replace("5 cmH2O", "6 cmH2O"))


def remove_the_template(folder: Path, _: Program) -> None:
    (folder / "t.vrx").unlink()


def add_settings(folder: Path, _: Program) -> None:
    (folder / "site.yaml").write_text(policy(4))
    (folder / "rxlint.yaml").write_text("policies: [site.yaml]\n")


def change_a_pack(_: Path, program: Program) -> None:
    (path,) = program.folder.glob("**/rules/volume.yaml")
    path.write_text(path.read_text("utf-8") + "# a comment\n", "utf-8")


def change_a_module(_: Path, program: Program) -> None:
    path = program.folder / "rxlint" / "screening" / "walks.py"
    path.write_text(path.read_text("utf-8") + "# a comment\n", "utf-8")
    time.sleep(SETTLES)


CHANGES = [
    change_a_byte,
    add_a_twin,
    change_the_template,
    remove_the_template,
    add_settings,
    change_a_pack,
    change_a_module,
]


@pytest.mark.parametrize("change", CHANGES)
def test_whatever_a_result_depends_on_makes_another_of_it(
    change: Callable[[Path, Program], None], program: Program, folder: Path, tmp_path: Path
) -> None:
    if change in (change_a_pack, change_a_module):
        shutil.copytree(program.folder, tmp_path / "own", ignore=shutil.ignore_patterns("kept"))
        time.sleep(SETTLES)
        program = Program(tmp_path / "own", program.cache)
    settle()
    assert not is_hit(program, ".", cwd=folder)
    assert is_hit(program, ".", cwd=folder)
    change(folder, program)
    settle()
    assert not is_hit(program, ".", cwd=folder)
    assert program.run(".", cwd=folder).stdout == program.run(".", "--no-cache", cwd=folder).stdout


SETTINGS = "policies: [site.yaml]\npacks: [pack.yaml]\nprofiles: [devices]\nknown findings: known.txt\n"


@pytest.fixture
def site(folder: Path) -> Path:
    """The documents with everything that settings can name."""
    (folder / "site.yaml").write_text(policy(4))
    (folder / "devices").mkdir()
    shutil.copy(next((EXAMPLES / "profiles").glob("*.yaml")), folder / "devices")
    (folder / "rxlint.yaml").write_text(SETTINGS.replace("packs: [pack.yaml]\n", ""))
    (folder / "known.txt").write_text("rxlint known findings 1\n")
    settle()
    return folder


def to_the_settings(place: Path) -> None:
    path = place / "rxlint.yaml"
    path.write_text(path.read_text() + "# a comment\n")


def to_the_policy(place: Path) -> None:
    path = place / "site.yaml"
    path.write_text(policy(7))


def to_a_profile(place: Path) -> None:
    (path,) = (place / "devices").iterdir()
    path.write_text(path.read_text("utf-8") + "# a comment\n", "utf-8")


def to_the_known(place: Path) -> None:
    (place / "known.txt").write_text("rxlint known findings 1\n# a comment\n")


def by_no_profile(place: Path) -> None:
    (place / "rxlint.yaml").write_text("policies: [site.yaml]\nknown findings: known.txt\n")


@pytest.mark.parametrize("change", [to_the_settings, to_the_policy, to_a_profile, to_the_known, by_no_profile])
def test_whatever_settings_name_counts_by_its_content(
    change: Callable[[Path], None], program: Program, site: Path
) -> None:
    first = program.run(".", cwd=site)
    assert first.returncode in (0, 1), first.stderr + first.stdout
    assert is_hit(program, ".", cwd=site)
    before = kept_results(program)
    change(site)
    settle()
    assert not is_hit(program, ".", cwd=site)
    assert program.run(".", cwd=site).stdout == program.run(".", "--no-cache", cwd=site).stdout
    # what settings say beyond the rules that they name leaves the results themselves as they are
    assert (kept_results(program) == before) is (change is to_the_settings)


def kept_results(program: Program) -> int:
    with sqlite3.connect(program.cache / NAME) as base:
        count: int = base.execute("SELECT count(*) FROM result").fetchone()[0]
    return count


def test_the_day_and_the_rules_of_the_command_line_count(program: Program, folder: Path) -> None:
    (folder / "site.yaml").write_text(policy(4))
    settle()
    every = [(), ("--on", "2026-11-25"), ("--settings", "none"), ("--policy", "site.yaml"), ("--policy", "./site.yaml")]
    for asked in every:
        assert not is_hit(program, *asked, ".", cwd=folder), asked
    for asked in every:
        assert is_hit(program, *asked, ".", cwd=folder), asked
        assert program.run(*asked, ".", cwd=folder).stdout == program.run(*asked, "--no-cache", ".", cwd=folder).stdout


def test_a_policy_that_has_become_faulty_is_told(program: Program, folder: Path) -> None:
    (folder / "site.yaml").write_text(policy(4))
    settle()
    assert program.run("--policy", "site.yaml", ".", cwd=folder).returncode == 1
    (folder / "site.yaml").write_text("policy: [\n")
    done = program.run("--policy", "site.yaml", ".", cwd=folder)
    assert done.returncode == 2
    assert done.stdout == b""


def test_a_document_screened_alone_is_not_taken_for_one_of_a_library(program: Program, folder: Path) -> None:
    (folder / "twin.vrx").write_text(SOUND)
    settle()
    for _ in range(2):
        assert b"library.repeated-id" not in program.run("a.vrx", cwd=folder).stdout
        assert b"library.repeated-id" in program.run(".", cwd=folder).stdout


def test_what_went_wrong_is_tried_again(program: Program, folder: Path) -> None:
    (folder / "bytes.vrx").write_bytes(b"\xff")
    for _ in range(2):
        assert program.run(".", cwd=folder).returncode == 3
    assert kept_results(program) == 4


def test_a_document_on_standard_input_is_not_kept(program: Program, folder: Path) -> None:
    for _ in range(2):
        done = subprocess.run(
            program.command("-"),
            input=SLIP.encode(),
            cwd=folder,
            env=program.environment(),
            capture_output=True,
            check=False,
        )
        assert done.returncode == 1
    assert not (program.cache / NAME).exists() or kept_results(program) == 0


# ---- what may happen to the file


@pytest.fixture
def warm(program: Program, folder: Path) -> tuple[Program, Path, bytes]:
    settle()
    wanted = program.run(".", "--no-cache", cwd=folder)
    assert program.run(".", cwd=folder).stdout == wanted.stdout
    return program, folder, wanted.stdout


def test_a_spoilt_file_is_replaced(warm: tuple[Program, Path, bytes]) -> None:
    program, folder, wanted = warm
    for spoilt in (b"", b"no database" * 1000, (program.cache / NAME).read_bytes()[:5000] + b"\xff" * 9000):
        (program.cache / NAME).write_bytes(spoilt)
        for _ in range(3):
            done = program.run(".", cwd=folder)
            assert (done.returncode, done.stdout, done.stderr) == (1, wanted, b"")
        assert is_hit(program, ".", cwd=folder)


def test_no_changed_byte_is_taken_for_a_result(warm: tuple[Program, Path, bytes]) -> None:
    program, folder, wanted = warm
    path = program.cache / NAME
    with sqlite3.connect(path) as base:
        base.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        for table, column in (("result", "front"), ("common", "front"), ("note", "text")):
            for number, data in base.execute(f"SELECT id, {column} FROM {table}").fetchall():
                middle = len(data) // 2
                spoilt = data[:middle] + bytes([data[middle] ^ 1]) + data[middle + 1 :]
                base.execute(f"UPDATE {table} SET {column} = ? WHERE id = ?", (spoilt, number))
    assert program.run(".", cwd=folder).stdout == wanted
    assert is_hit(program, ".", cwd=folder)


def test_a_locked_file_is_a_miss(warm: tuple[Program, Path, bytes]) -> None:
    program, folder, wanted = warm
    base = sqlite3.connect(program.cache / NAME, isolation_level=None)
    base.execute("PRAGMA locking_mode = EXCLUSIVE")
    base.execute("BEGIN EXCLUSIVE")
    base.execute("DELETE FROM note")
    done = program.run(".", cwd=folder)
    base.execute("ROLLBACK")
    base.close()
    assert (done.returncode, done.stdout, done.stderr) == (1, wanted, b"")
    assert is_hit(program, ".", cwd=folder)


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="owners and modes of files are a matter of POSIX")
def test_a_file_that_others_may_read_or_write_is_not_used(warm: tuple[Program, Path, bytes]) -> None:
    program, folder, wanted = warm
    assert (program.cache / NAME).stat().st_mode & 0o777 == 0o600
    for path, mode in ((program.cache / NAME, 0o644), (program.cache, 0o777)):
        before = path.stat().st_mode
        path.chmod(mode)
        assert not is_hit(program, ".", cwd=folder)
        assert program.run(".", cwd=folder).stdout == wanted
        path.chmod(before)
        assert is_hit(program, ".", cwd=folder)


def test_a_folder_that_can_t_be_written_to_is_no_fault(program: Program, folder: Path) -> None:
    wanted = program.run(".", "--no-cache", cwd=folder).stdout
    (folder / "file").write_text("no folder")
    for place in (folder / "file", folder / "file" / "below"):
        done = program.with_cache(place).run(".", cwd=folder)
        assert (done.returncode, done.stdout, done.stderr) == (1, wanted, b"")
    (program.cache / NAME).mkdir()  # something else stands in its place
    done = program.run(".", cwd=folder)
    assert (done.returncode, done.stdout, done.stderr) == (1, wanted, b"")


def test_nothing_is_kept_where_nothing_is_to_be(program: Program, folder: Path) -> None:
    settle()
    program.run(".", "--no-cache", cwd=folder)
    program.run(".", cwd=folder, RXLINT_CACHE="off")
    assert not (program.cache / NAME).exists()
    program.run(".", cwd=folder)
    assert not is_hit(program, "--no-cache", ".", cwd=folder)


def test_two_runs_at_once(program: Program, folder: Path) -> None:
    for number in range(30):
        (folder / f"more-{number:02}.vrx").write_text(SLIP.replace("TM-0417", f"TM-1{number:03}"))
    settle()
    wanted = program.run(".", "--no-cache", cwd=folder).stdout
    runs = [
        subprocess.Popen(program.command("."), cwd=folder, env=program.environment(), stdout=subprocess.PIPE)
        for _ in range(2)
    ]
    assert [run.communicate()[0] for run in runs] == [wanted, wanted]
    assert is_hit(program, ".", cwd=folder)


KILLED = """\
import os, signal
import rxlint.store.results as results

results._BATCH = 3
real, steps = results._sealed_commons, []

def stop(commons):
    steps.append(commons)
    if len(steps) == 3:
        os.kill(os.getpid(), signal.SIGKILL)
    return real(commons)

results._sealed_commons = stop
from rxlint.cli import main
main()
"""
"""A run that is killed while it writes its third batch of results."""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="Windows has no such signal")
def test_a_run_that_is_killed_leaves_it_whole(program: Program, folder: Path) -> None:
    for number in range(12):
        (folder / f"more-{number:02}.vrx").write_text(SLIP.replace("TM-0417", f"TM-1{number:03}"))
    settle()
    wanted = program.run(".", "--no-cache", cwd=folder).stdout
    command = [program.command()[0], "-c", KILLED, *program.command(".")[3:]]
    done = subprocess.run(command, cwd=folder, env=program.environment(), stdout=subprocess.DEVNULL, check=False)
    assert done.returncode == -signal.SIGKILL
    assert kept_results(program) == 6
    assert program.run(".", cwd=folder).stdout == wanted
    with sqlite3.connect(program.cache / NAME) as base:
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert is_hit(program, ".", cwd=folder)
