"""Several processes give what one gives, to the byte, and lose nothing where one of them ends."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from rxlint.commands.reporting import FORMS
from rxlint.commands.running import made
from rxlint.library import workers
from rxlint.library.discover import find_inputs
from rxlint.library.entry import Common, Pieces
from rxlint.library.rulings import Rulings
from rxlint.library.run import Run
from rxlint.library.screen import Screened
from rxlint.library.told import Told, whole
from rxlint.library.under import Asked
from rxlint.library.workers import Workers
from tests.cli.orders import ON, SLIP, SOUND
from tests.conftest import ROOT, RunCli
from tests.documents import DAY

ASKED = Asked(DAY.isoformat())
WAYS = ["spawn", *(["fork"] if sys.platform == "linux" else [])]


@pytest.fixture
def many(tmp_path: Path) -> Path:
    """More documents than are screened in one process, some of them faulty, and some in a site of their own."""
    place = tmp_path / "many"
    (place / "site").mkdir(parents=True)
    for number in range(40):
        text = (SLIP if number % 3 else SOUND).replace("TM-0417", f"TM-{number + 1:04}")
        (place / ("site" if number % 5 == 4 else "") / f"{number:02}.vrx").write_text(text)
    (place / "site" / "rxlint.yaml").write_text("library: .\n")
    (place / "empty.vrx").write_bytes(b"")
    (place / "bytes.vrx").write_bytes(b"\xff")
    (place / "far").mkdir()
    (place / "far" / "rxlint.yaml").write_text("policies: [nowhere.yaml]\n")
    (place / "far" / "a.vrx").write_text(SLIP)
    return place


def test_every_report_is_the_same(many: Path, tmp_path: Path, run_cli: RunCli) -> None:
    further = [f"--report={form}={tmp_path / form}" for form in FORMS]
    asked = ("screen", *ON, "--format", "json", "--no-cache", many, many / "00.vrx", many / "none.vrx", *further)

    def reports(jobs: str) -> list[str | bytes | int]:
        found = run_cli(*asked, "--jobs", jobs)
        return [found.exit_code, found.stdout, *((tmp_path / form).read_bytes() for form in FORMS)]

    one = reports("1")
    assert one[0] == 2  # of the settings that can't be used
    for jobs in ("2", "4", "auto"):
        assert reports(jobs) == one, jobs


def test_standard_input_keeps_its_place(many: Path, run_cli: RunCli) -> None:
    asked = ("screen", *ON, "--no-cache", many, "-", many / "01.vrx")
    one, two = (run_cli(*asked, "--jobs", jobs, input=SLIP) for jobs in ("1", "2"))
    assert two.stdout == one.stdout
    assert "<standard input>" in one.stdout


def test_what_others_have_found_is_kept_too(many: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    kept: list[bytes] = []
    monkeypatch.setattr("rxlint.store.program._SETTLED", 0)
    monkeypatch.setattr("rxlint.store.results.Results.keep", lambda _, key, *__: kept.append(key))
    time.sleep(0.05)
    run_cli("screen", *ON, many, "--jobs", "1")
    alone, kept[:] = set(kept), []
    run_cli("screen", *ON, many, "--jobs", "2")
    assert set(kept) == alone
    assert len(kept) == 40


@pytest.mark.parametrize("jobs", ["0", "-1", "two", "", "1e3", "99999", "٢"])
def test_a_number_that_is_none_is_refused(jobs: str, many: Path, run_cli: RunCli) -> None:
    assert run_cli("screen", many, "--jobs", jobs).exit_code == 2


# ---- processes that end


def killing(name: str, marker: Path | None = None) -> object:
    """Makes pieces, and ends the process at a document of this name: always, or only once, as ``marker`` tells."""

    def make(told: Told) -> tuple[Pieces, Common]:
        if told.shown.endswith(name) and not (marker is not None and marker.exists()):
            if marker is not None:
                marker.touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return made(told)

    return make


def results_of(folder: Path, processes: Workers, make: object = made) -> list[Screened | Told]:
    run = Run(Rulings, DAY, make, workers=processes)  # type: ignore[arg-type]
    return [whole(each) for each in run.results(find_inputs([str(folder)]), lambda: pytest.fail("no stream"))]


def in_one_process(folder: Path) -> list[tuple[str, object]]:
    run = Run(Rulings, DAY, made)
    found = [whole(each) for each in run.results(find_inputs([str(folder)]), lambda: pytest.fail("no stream"))]
    return [(each.shown, each.screening) for each in found]


@pytest.mark.parametrize("way", WAYS)
def test_every_way_to_start_gives_the_same(way: str, many: Path) -> None:
    found = results_of(many, Workers(2, ASKED, way, fewest=2))
    assert [(each.shown, each.screening) for each in found] == in_one_process(many)
    assert sum(isinstance(each, Told) for each in found) > 30, "the documents have not come from the other processes"


@pytest.mark.skipif("fork" not in WAYS, reason="what ends the process is handed over by a fork")
def test_a_process_that_is_killed_loses_nothing(many: Path, tmp_path: Path) -> None:
    found = results_of(many, Workers(2, ASKED, "fork", fewest=2), killing("17.vrx", tmp_path / "once"))
    assert (tmp_path / "once").exists()
    assert [(each.shown, each.screening) for each in found] == in_one_process(many)


@pytest.mark.skipif("fork" not in WAYS, reason="what ends the process is handed over by a fork")
def test_a_document_that_ends_two_processes_is_told_as_not_screened(many: Path) -> None:
    found = results_of(many, Workers(2, ASKED, "fork", fewest=2), killing("17.vrx"))
    (lost,) = (each for each in found if each.shown.endswith("17.vrx"))
    assert lost.screening is None
    assert [each.message for each in lost.problems] == [workers._ENDED]
    others = [(each.shown, each.screening) for each in found if each is not lost]
    assert others == [each for each in in_one_process(many) if not each[0].endswith("17.vrx")]


@pytest.mark.skipif("fork" not in WAYS, reason="what ends the process is handed over by a fork")
def test_what_ended_another_process_is_never_screened_in_this_one(tmp_path: Path) -> None:
    for number in range(4):
        (tmp_path / f"{number}.vrx").write_text(SLIP)
    found = results_of(tmp_path, Workers(1, ASKED, "fork", fewest=4), killing("3.vrx"))
    assert [each.screening is None for each in found] == [False, False, False, True]


@pytest.mark.skipif("fork" not in WAYS, reason="what ends the process is handed over by a fork")
def test_processes_that_never_begin_leave_all_to_this_one(many: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def ends(*_: object) -> None:
        os._exit(1)

    monkeypatch.setattr(workers, "_work", ends)
    found = results_of(many, Workers(2, ASKED, "fork", fewest=2))
    assert [(each.shown, each.screening) for each in found] == in_one_process(many)


def test_few_documents_start_no_process(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Workers, "_start_one", lambda *_: pytest.fail("not worth it"))
    for number in range(3):
        (tmp_path / f"{number}.vrx").write_text(SLIP)
    assert len(results_of(tmp_path, Workers(4, ASKED))) == 3


def test_no_more_is_in_memory_than_a_window(many: Path) -> None:
    ahead: list[int] = []
    taken = told = 0

    def inputs() -> Iterator[object]:
        nonlocal taken
        for each in [*find_inputs([str(many)])] * 4:
            taken += 1
            yield each

    run = Run(Rulings, DAY, made, workers=Workers(2, ASKED, fewest=2))
    for _ in run.results(inputs(), lambda: pytest.fail("no stream")):  # type: ignore[arg-type]
        told += 1
        ahead.append(taken - told)
    assert told == taken == 43 * 4
    assert max(ahead) < 2 * workers._WINDOW + 1


def test_a_run_that_is_given_up_ends_its_processes(many: Path) -> None:
    processes = Workers(2, ASKED, fewest=2)
    run = Run(Rulings, DAY, made, workers=processes)
    results = run.results(find_inputs([str(many)]), lambda: pytest.fail("no stream"))
    next(results)
    started = [each.process for each in processes._workers]
    assert started
    results.close()  # type: ignore[attr-defined]
    assert not any(each.is_alive() for each in started)


@pytest.mark.skipif(not hasattr(signal, "SIGINT") or os.name == "nt", reason="Windows has another way to stop")
def test_a_run_that_is_stopped_from_the_keyboard_leaves_no_process(many: Path) -> None:
    for number in range(400):
        (many / f"more-{number}.vrx").write_text(SLIP)
    command = [sys.executable, "-m", "rxlint", "screen", *ON, "--jobs", "2", "--no-cache", str(many)]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    run = subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, start_new_session=True
    )
    assert run.stdout is not None
    run.stdout.readline()  # now it is at work
    os.killpg(run.pid, signal.SIGINT)
    run.communicate(timeout=60)
    assert run.returncode == 3
    with pytest.raises(ProcessLookupError):
        os.killpg(run.pid, 0)


def test_messages_of_any_content_are_taken_apart_again() -> None:
    for parts in ([b""], [b"a", b"", b"\x00" * 70_000], []):
        assert workers._parts(workers._joined(parts)) == parts
