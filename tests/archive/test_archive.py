"""`rxlint archive`, with Dask's workers as processes: killed on the way, stopped, started again; the same bytes."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

import rxlint
from rxlint.archive.run import FATAL
from tests.archive.orders import archive, lines, parts, rows, stream, whole
from tests.cli.orders import NOTE, ON
from tests.conftest import ROOT, RunCli
from tests.extensions import install

pytest.importorskip("distributed")
pytest.importorskip("pyarrow")
pytest.importorskip("cryptography")
psutil: Any = pytest.importorskip("psutil")

PLACE = Path(rxlint.__file__).parent.parent  # of the package that the tests test
KILLER = """
import os, signal
from rxlint.extension import PythonPack, PythonRule, amount, fires

def check(view):
    if view.has_value("PEEP") and view.number("PEEP") == amount(13, "cmH2O"):
        os.kill(os.getpid(), signal.SIGKILL)
    return ()

PACK = PythonPack(
    name="killer", revision=1, summary="Ends the process at one value",
    rules=(PythonRule(
        id="killer.at-thirteen", level="note", basis="practice", title="The process ends at a PEEP of 13",
        because="a rule of a test", source="common practice, no published source", check=check, cases=(),
    ),),
)
"""


@contextmanager
def started(folder: Path, *options: str, path: Path | None = None) -> Iterator["subprocess.Popen[bytes]"]:
    """The command over `orders.jsonl` of a folder, as a process; it and its workers are gone at the end."""
    command = [sys.executable, "-m", "rxlint", "archive", "orders.jsonl", "-o", "out", *ON, "--workers", "2", *options]
    places = [str(PLACE), *([str(path)] if path is not None else [])]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(places), "HOME": str(folder), "TMPDIR": str(folder)}
    process = subprocess.Popen(
        command, cwd=folder, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True
    )
    try:
        yield process
    finally:
        everybody = workers(process)
        process.kill()
        process.communicate()
        for each in everybody:
            each.wait(30)  # they notice that their parent is gone


@contextmanager
def in_threads(count: int) -> Iterator[str]:
    """The address of a cluster that is there already: one worker, with so many threads of this process."""
    from distributed import LocalCluster

    with LocalCluster(n_workers=1, threads_per_worker=count, processes=False, dashboard_address=None) as cluster:
        yield cluster.scheduler_address


def workers(process: "subprocess.Popen[bytes]") -> list[Any]:
    """The worker processes."""
    try:
        found = psutil.Process(process.pid).children(recursive=True)
        return [each for each in found if "spawn_main" in " ".join(each.cmdline())]
    except psutil.NoSuchProcess:
        return []


def wait_for(holds: Callable[[], bool], process: "subprocess.Popen[bytes]") -> None:
    for _ in range(1_200):
        if holds() or process.poll() is not None:
            return
        time.sleep(0.05)
    raise AssertionError("it has not come to that within a minute")


def parts_in(folder: Path) -> int:
    return len(list((folder / "out").glob("part-*")))


@pytest.mark.skipif(os.name == "nt", reason="a process is killed by a signal")
def test_a_worker_that_is_killed_on_the_way_changes_no_byte(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "orders.jsonl").write_bytes(lines(rows(60)))
    with started(tmp_path, "--to", "jsonl", "--batch", "3") as process:
        wait_for(lambda: parts_in(tmp_path) >= 2, process)
        victim, *others = workers(process)
        victim.kill()
        stdout, stderr = process.communicate(timeout=120)
    assert others, "there was one worker only"
    assert b"a worker was lost" in stderr and stderr.count(b"\n") <= 2
    assert process.returncode == 3  # some of the orders are empty
    assert stdout.startswith(b"60 documents in 20 parts in out: 36 reject, ")
    assert parts(tmp_path / "out") == stream(run_cli, tmp_path / "orders.jsonl")
    with in_threads(1) as address:
        options = ("--to", "jsonl", "--batch", "3", "--scheduler", address)
        one = archive(run_cli, tmp_path / "orders.jsonl", tmp_path / "one", *options)
    assert one.exit_code == 3
    assert whole(tmp_path / "one") == whole(tmp_path / "out")


@pytest.mark.skipif(os.name == "nt", reason="a process is killed by a signal")
def test_a_run_that_was_killed_goes_on_where_it_was(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "orders.jsonl").write_bytes(lines(rows(40)))
    with started(tmp_path, "--to", "jsonl", "--batch", "4") as process:
        wait_for(lambda: (tmp_path / "out" / "done.jsonl").is_file() and done(tmp_path) >= 2, process)
        process.kill()
    before = {path.name: path.stat().st_ino for path in (tmp_path / "out").glob("part-*")}
    listed = [json.loads(each)["number"] for each in (tmp_path / "out" / "done.jsonl").read_bytes().splitlines()]
    assert 2 <= len(listed) < 10 and not (tmp_path / "out" / "summary.json").exists()
    with in_threads(1) as address:
        options = ("--to", "jsonl", "--batch", "4", "--scheduler", address)
        again = archive(run_cli, tmp_path / "orders.jsonl", tmp_path / "out", *options)
    assert again.exit_code == 3
    assert parts(tmp_path / "out") == stream(run_cli, tmp_path / "orders.jsonl")
    after = {path.name: path.stat().st_ino for path in (tmp_path / "out").glob("part-*")}
    assert [after[f"part-{number:08}.jsonl"] for number in listed] == [
        before[f"part-{number:08}.jsonl"] for number in listed
    ]
    assert sorted(after) == [f"part-{number:08}.jsonl" for number in range(1, 11)]


def done(folder: Path) -> int:
    return (folder / "out" / "done.jsonl").read_bytes().count(b"\n")


@pytest.mark.skipif(os.name == "nt", reason="a process is killed by a signal")
def test_a_document_that_no_worker_survives_is_told_in_its_place(tmp_path: Path) -> None:
    install(tmp_path / "site", "killer", "killer", "killer:PACK")
    (tmp_path / "site" / "killer.py").write_text(KILLER, "utf-8")
    orders = [(f"order {peep}", f"settings\n  PEEP {peep} cmH2O\n") for peep in (11, 12, 13, 14)]
    (tmp_path / "orders.jsonl").write_bytes(lines(orders))
    options = ("--to", "jsonl", "--batch", "2", "--python-rules", "killer")
    with started(tmp_path, *options, path=tmp_path / "site") as process:
        stdout, stderr = process.communicate(timeout=120)
    assert process.returncode == 3, stderr
    found = [json.loads(each) for each in parts(tmp_path / "out").splitlines()]
    assert [each["id"] for each in found] == [name for name, _ in orders]
    problems = [[problem["message"] for problem in each["document"]["problems"]] for each in found]
    assert problems == [[], [], [FATAL], []]
    assert all(each["document"]["findings"] for each in found if each["id"] != "order 13")
    assert b"batch 2: no worker survives line 3" in stderr
    assert b"1 not screened" in stdout


def test_examples_come_out_of_parquet_as_the_report_of_files_has_them(tmp_path: Path, run_cli: RunCli) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    from rxlint.archive.parquet import SCHEMA, answer_of

    paths = sorted((ROOT / "examples").rglob("*.vrx"))[::13]
    texts = [path.read_text("utf-8") for path in paths]
    given = pa.table({"id": [path.as_posix() for path in paths], "text": texts})
    pq.write_table(given, tmp_path / "orders.parquet", row_group_size=16)
    result = archive(run_cli, tmp_path / "orders.parquet", tmp_path / "out", "--batch", "9", "--workers", "2")
    assert result.exit_code == 1, result.output
    table = pa.concat_tables([pq.read_table(path) for path in sorted((tmp_path / "out").glob("*.parquet"))])
    assert table.schema.equals(SCHEMA)
    answers = [answer_of(row) for row in table.to_pylist()]
    assert [each["line"] for each in answers] == list(range(1, len(paths) + 1))
    report = json.loads(run_cli("screen", *paths, *ON, "--settings", "none", "--format", "json").stdout)
    for ours, theirs in zip(answers, report["documents"], strict=True):
        assert ours["id"] == theirs.pop("path")
        assert json.dumps(ours["document"]) == json.dumps(theirs)
    summary = json.loads((tmp_path / "out" / "summary.json").read_bytes())
    assert summary["summary"] == report["summary"]
    assert sum(table.column("reject").to_pylist()) == report["summary"]["levels"]["reject"] > 0
    assert sum(table.column("rules_not_checked").to_pylist()) == report["summary"]["checks_wanting"]
    again = archive(run_cli, tmp_path / "orders.parquet", tmp_path / "out", "--batch", "9")
    assert (again.exit_code, again.stdout) == (1, result.stdout)  # all is done, and no worker is started


def test_a_cluster_that_is_there_does_the_work_under_the_rules_that_are_asked_for(
    tmp_path: Path, run_cli: RunCli
) -> None:
    (tmp_path / "orders.jsonl").write_bytes(lines(rows(6)))
    (tmp_path / "note.yaml").write_text(NOTE, "utf-8")
    options = ("--pack", "note.yaml")
    with in_threads(2) as address:
        asked = (*options, "--to", "jsonl", "--batch", "2", "--scheduler", address)
        result = archive(run_cli, tmp_path / "orders.jsonl", tmp_path / "out", *asked)
    assert result.exit_code == 3, result.output
    assert b"ward.note" in parts(tmp_path / "out")
    assert parts(tmp_path / "out") == stream(run_cli, tmp_path / "orders.jsonl", options=options)


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--workers", "1", "--scheduler", "tcp://127.0.0.1:1"), "give one of the two"),
        (("--pack", "missing.yaml"), "missing.yaml"),
        (("--batch", "0"), "'--batch'"),
    ],
)
def test_wrong_use_is_told_before_anything_is_done(
    tmp_path: Path, run_cli: RunCli, options: tuple[str, ...], told: str
) -> None:
    (tmp_path / "orders.jsonl").write_bytes(lines(rows(1)))
    result = archive(run_cli, tmp_path / "orders.jsonl", tmp_path / "out", *options)
    assert result.exit_code == 2 and told in result.stderr
    assert not (tmp_path / "out").exists()


def test_an_input_that_is_none_is_told(tmp_path: Path, run_cli: RunCli) -> None:
    result = archive(run_cli, tmp_path / "missing.jsonl", tmp_path / "out")
    assert (result.exit_code, result.stdout) == (2, "") and "missing.jsonl is not there" in result.stderr


def test_another_day_is_not_mixed_in(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "orders.jsonl").write_bytes(b"")
    empty = archive(run_cli, tmp_path / "orders.jsonl", tmp_path / "out")
    assert (empty.exit_code, json.loads((tmp_path / "out" / "summary.json").read_bytes())["parts"]) == (0, 0)
    other = run_cli("archive", tmp_path / "orders.jsonl", "-o", tmp_path / "out", "--on", "2026-11-25")
    assert other.exit_code == 2 and "Not the same: the day (give it with --on)" in other.stderr


def test_without_the_extra_it_is_told_what_to_install(
    tmp_path: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    result = archive(run_cli, tmp_path / "orders.jsonl", tmp_path / "out")
    assert result.exit_code == 2 and "pip install 'rxlint[cluster]'" in result.stderr


def test_screening_loads_nothing_of_the_extra() -> None:
    code = (
        "import sys; from rxlint.cli import main\n"
        "try: main(['screen', '--from-lines', '-'])\n"
        "except SystemExit: pass\n"
        "sys.exit(any(name in sys.modules for name in ('dask', 'distributed', 'pyarrow')))"
    )
    environment = {**os.environ, "PYTHONPATH": str(PLACE)}
    assert subprocess.run([sys.executable, "-c", code], input=b"", env=environment, check=False).returncode == 0


@pytest.mark.skipif(os.name == "nt", reason="a group of processes is interrupted by a signal")
def test_a_run_that_is_interrupted_says_how_to_go_on(tmp_path: Path) -> None:
    (tmp_path / "orders.jsonl").write_bytes(lines(rows(200)))
    with started(tmp_path, "--to", "jsonl", "--batch", "2") as process:
        wait_for(lambda: parts_in(tmp_path) >= 1, process)
        os.killpg(process.pid, signal.SIGINT)  # as a terminal does: to the workers too
        _, stderr = process.communicate(timeout=60)
    assert process.returncode == 3
    assert b"The run was stopped (what is done is kept; start it again to go on)" in stderr
    assert b"Traceback" not in stderr
