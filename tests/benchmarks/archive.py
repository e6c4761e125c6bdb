"""An archive of orders over two workers, one of which is killed on the way, beside one process over the same orders.

    python tests/benchmarks/archive.py --documents 200000 --compare 20000 --work /data/archive --json result.json

The archive is made of the seeded orders of library.py, as Parquet files of 20,000 documents; document i is the same
whatever N is. `rxlint archive` screens it with as many worker processes as `--workers` says. When a third of the parts
are there, one worker process is killed (SIGKILL). Then one process, `rxlint screen --from-lines`, screens the same
orders, or the first `--compare` of them, and every line of the archive's results is held against its answer, byte for
byte. A byte that differs, a line too many or too few, or a worker that could not be killed ends the benchmark with
exit code 1.

A run that is stopped can be started again with the same `--work`: files and parts that are there are kept, and the time
of the runs before is counted in. Memory is what the system says is resident, looked at five times a second; CPU time is
that of the worker processes, the killed one's up to the last look. Other load on the machine lengthens the time, and
not the CPU time.

Needs the extra `cluster`. Not part of the test run: 200,000 orders take the better part of an hour. POSIX systems only.
"""

import argparse
import hashlib
import json
import os
import platform
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NoReturn

import psutil
import pyarrow as pa
import pyarrow.parquet as pq
from library import CLOCK, make_order
from writing import as_notation

CHECKOUT = Path(__file__).resolve().parent.parent.parent
PER_FILE = 20_000
MIB = 1024 * 1024
EVERY = 0.2  # seconds between two looks at memory
ON_PAPER = 100_000_000  # documents to extrapolate to
SHARES = (2, 64, 512)  # workers to extrapolate to
FINE = (0, 1)  # exit codes of a run that did its work: findings are meant to be there


def main() -> None:
    options = read_options()
    if options.work is not None:
        options.work.mkdir(parents=True, exist_ok=True)
        run(options, options.work.resolve())
        return
    with tempfile.TemporaryDirectory(prefix="rxlint-archive-") as work:
        run(options, Path(work))


def read_options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Screen an archive over workers, kill one, compare with one process.")
    parser.add_argument("--documents", type=int, default=2_000, help="documents of the archive (default 2,000)")
    parser.add_argument("--compare", type=int, metavar="N", help="hold the first N against one process (default: all)")
    parser.add_argument("--workers", type=int, default=2, help="worker processes (default 2)")
    parser.add_argument("--batch", type=int, default=100, help="documents in a batch (default 100)")
    parser.add_argument("--to", choices=["jsonl", "parquet"], default="jsonl", help="the form of results")
    parser.add_argument("--seed", type=int, default=20261124, help="seed of the orders")
    parser.add_argument("--work", type=Path, help="folder to keep the archive and its results in, to go on later")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write every figure to FILE as well")
    options = parser.parse_args()
    options.compare = min(options.documents if options.compare is None else options.compare, options.documents)
    if min(options.documents, options.workers, options.batch) < 1 or options.compare < 0:
        parser.error("documents, workers and batch count from 1, --compare from 0")
    return options


def run(options: argparse.Namespace, work: Path) -> None:
    load = os.getloadavg()[0]
    name = f"{options.documents}-{options.seed}"
    archive, results = work / f"archive-{name}", work / f"results-{name}-{options.batch}-{options.to}"
    size = make_archive(archive, options.documents, options.seed)
    many = screen_archive(options, archive, results, work / f"state-{name}-{options.batch}-{options.to}.json")
    one = screen_stream(options, results) if options.compare else None
    figures = {
        "options": {key: value for key, value in vars(options).items() if key not in ("work", "json")},
        "machine": machine(load),
        "archive_bytes": size,
        "results_bytes": sum(path.stat().st_size for path in results.glob("part-*")),
        "results_digest": digest_of(results),
        "ledger_bytes": (results / "done.jsonl").stat().st_size,
        "parts": len(list(results.glob("part-*"))),
        "summary": json.loads((results / "summary.json").read_bytes())["summary"],
        "workers": many,
        "one_process": one,
    }
    figures["on_paper"] = on_paper(figures)
    print("\n".join(table(figures)))
    if options.json is not None:
        options.json.write_text(json.dumps(figures, indent=1) + "\n", "utf-8")


def machine(load: float) -> dict[str, Any]:
    return {
        "python": platform.python_version(),
        "system": platform.platform(),
        "cores": os.cpu_count(),
        "pyarrow": pa.__version__,
        "load_before": load,
        "load_after": os.getloadavg()[0],
    }


# ---- the archive


def orders(count: int, seed: int, first: int = 1) -> Iterator[tuple[str, str]]:
    for number in range(first, count + 1):
        yield f"TBS-{number:09}", as_notation(make_order(number, seed))


def make_archive(folder: Path, count: int, seed: int) -> int:
    """Write the files that are not there yet; the size of all in bytes."""
    folder.mkdir(exist_ok=True)
    for first in range(1, count + 1, PER_FILE):
        path = folder / f"orders-{first:09}.parquet"
        if path.exists():
            continue
        names, texts = zip(*orders(min(first + PER_FILE - 1, count), seed, first), strict=True)
        half = folder / f".{path.name}"
        pq.write_table(pa.table({"id": names, "text": texts}), half, row_group_size=2_000, compression="zstd")
        half.rename(path)
    return sum(path.stat().st_size for path in folder.glob("*.parquet"))


# ---- over workers


class Watch(threading.Thread):
    """Looks at the processes of a run: the most memory and the CPU time of the run itself and of its workers."""

    def __init__(self, process: "subprocess.Popen[bytes]") -> None:
        super().__init__(daemon=True)
        self._process = process
        self._over = threading.Event()
        self.client = self.worker = 0
        self.cpu: dict[int, float] = {}
        self.alive: list[Any] = []

    def run(self) -> None:
        while not self._over.wait(EVERY):
            try:
                client = psutil.Process(self._process.pid)
                self.client = max(self.client, client.memory_info().rss)
                self.alive = [each for each in client.children(recursive=True) if is_worker(each)]
            except psutil.Error:
                continue
            for each in self.alive:
                try:
                    self.worker = max(self.worker, each.memory_info().rss)
                    self.cpu[each.pid] = sum(each.cpu_times()[:2])
                except psutil.Error:  # it has ended meanwhile
                    continue

    def end(self) -> None:
        self._over.set()
        self.join()


def is_worker(process: Any) -> bool:
    try:
        return "spawn_main" in " ".join(process.cmdline())
    except psutil.Error:
        return False


def screen_archive(options: argparse.Namespace, archive: Path, results: Path, kept: Path) -> dict[str, Any]:
    """Run the command, with one worker killed on the way; the figures of this run and of those that were stopped."""
    state = json.loads(kept.read_bytes()) if kept.exists() else {}
    if state.get("is_done"):
        return dict(state)
    command = [sys.executable, "-m", "rxlint", "archive", str(archive), "-o", str(results), "--to", options.to]
    command += ["--workers", str(options.workers), "--batch", str(options.batch), "--on", str(CLOCK)]
    start = time.perf_counter()
    process = subprocess.Popen(command, env=environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    watch = Watch(process)
    watch.start()
    threading.Thread(target=lambda: kill_one(process, watch, options, results, state), daemon=True).start()
    try:
        _, told = process.communicate()
    finally:
        process.terminate()
        watch.end()
        state = {
            "seconds": state.get("seconds", 0) + time.perf_counter() - start,
            "cpu_seconds": state.get("cpu_seconds", 0) + sum(watch.cpu.values()),
            "peak_worker": max(state.get("peak_worker", 0), watch.worker),
            "peak_client": max(state.get("peak_client", 0), watch.client),
            "killed_at_part": state.get("killed_at_part"),
            "runs": state.get("runs", 0) + 1,
            "is_done": process.returncode in FINE,
        }
        kept.write_text(json.dumps(state), "utf-8")
    if process.returncode not in FINE:
        fail(f"rxlint archive ended with {process.returncode}: {told.decode('utf-8', 'replace')[-2000:]}")
    if state["killed_at_part"] is None:
        fail("the run was over before a worker could be killed: take more documents, or a smaller batch")
    return {**state, "told": told.decode("utf-8", "replace").splitlines()}


def kill_one(
    process: "subprocess.Popen[bytes]", watch: Watch, options: argparse.Namespace, results: Path, state: dict[str, Any]
) -> None:
    """Kill a worker once a third of the parts are there; never a second one."""
    while process.poll() is None and state.get("killed_at_part") is None:
        time.sleep(EVERY / 4)
        parts = len(list(results.glob("part-*")))
        if parts * options.batch * 3 >= options.documents and watch.alive:
            try:
                watch.alive[0].kill()
                state["killed_at_part"] = parts
            except psutil.Error:
                continue


def environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(CHECKOUT)}


# ---- in one process


def screen_stream(options: argparse.Namespace, results: Path) -> dict[str, Any]:
    """Screen the same orders in one process, and hold every answer against the archive's."""
    command = [sys.executable, "-m", "rxlint", "screen", "--from-lines", "-", "--on", str(CLOCK)]
    start = time.perf_counter()
    process = subprocess.Popen(command, env=environment(), stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    threading.Thread(target=lambda: feed(process, options.compare, options.seed), daemon=True).start()
    peak, cpu, same = 0, 0.0, 0
    assert process.stdout is not None
    theirs = result_lines(results, options.to)
    for number, answer in enumerate(process.stdout, 1):
        if number > options.compare:
            break  # the closing line
        if answer != next(theirs, None):
            fail(f"line {number} of the archive's results is not what one process answers")
        same += 1
        if number % 100 == 0 or number == options.compare:
            seen = psutil.Process(process.pid)
            peak, cpu = max(peak, seen.memory_info().rss), sum(seen.cpu_times()[:2])
    process.stdout.close()
    process.wait()
    if same != options.compare or (options.compare == options.documents and next(theirs, None) is not None):
        fail(f"{same} of {options.compare} lines were compared: the two have not the same number")
    seconds = time.perf_counter() - start
    return {"documents": same, "seconds": seconds, "cpu_seconds": cpu, "peak": peak, "lines_that_are_the_same": same}


def feed(process: "subprocess.Popen[bytes]", count: int, seed: int) -> None:
    assert process.stdin is not None
    with process.stdin as stream:
        for name, text in orders(count, seed):
            stream.write(json.dumps({"id": name, "text": text}).encode() + b"\n")


def result_lines(results: Path, form: str) -> Iterator[bytes]:
    """The archive's results as JSON lines, in their order."""
    for path in sorted(results.glob("part-*")):
        if form == "jsonl":
            with path.open("rb") as file:
                yield from file
        else:
            sys.path[:0] = [str(CHECKOUT)]
            from rxlint.archive.parquet import answer_of
            from rxlint.reports.lines_json import dumped

            for row in pq.read_table(path).to_pylist():
                yield dumped(answer_of(row)).encode() + b"\n"


def digest_of(results: Path) -> str:
    digest = hashlib.sha256()
    for path in sorted(results.glob("part-*")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


# ---- told


def on_paper(figures: dict[str, Any]) -> dict[str, Any]:
    """What the same would take for many more documents: a sum, not a measurement."""
    count, many = figures["options"]["documents"], figures["workers"]
    each = many["cpu_seconds"] / count
    return {
        "documents": ON_PAPER,
        "cpu_hours": each * ON_PAPER / 3600,
        "hours_by_workers": {str(share): each * ON_PAPER / share / 3600 for share in SHARES},
        "archive_gb": figures["archive_bytes"] / count * ON_PAPER / 1e9,
        "results_gb": figures["results_bytes"] / count * ON_PAPER / 1e9,
        "parts_of_500": ON_PAPER // 500,
        "ledger_mb": figures["ledger_bytes"] / figures["parts"] * ON_PAPER / 500 / 1e6,
    }


def table(figures: dict[str, Any]) -> Iterable[str]:
    options, many, one, paper = (figures[name] for name in ("options", "workers", "one_process", "on_paper"))
    count = options["documents"]
    yield f"{count:,} orders, {options['workers']} workers, batches of {options['batch']}, results in {options['to']}"
    yield ""
    yield "| | time, s | CPU, s | CPU a document, ms | peak memory, MiB |"
    yield "| --- | ---: | ---: | ---: | ---: |"
    memory = f"{many['peak_worker'] / MIB:.0f} a worker, {many['peak_client'] / MIB:.0f} the client"
    cpu = many["cpu_seconds"]
    yield f"| workers, one killed | {many['seconds']:.1f} | {cpu:.1f} | {cpu / count * 1000:.1f} | {memory} |"
    if one is not None:
        cpu, held = one["cpu_seconds"], one["documents"]
        row = f"| one process, {held:,} orders | {one['seconds']:.1f} | {cpu:.1f} | {cpu / held * 1000:.1f}"
        yield f"{row} | {one['peak'] / MIB:.0f} |"
    yield ""
    parts = f"{many['killed_at_part']} of {figures['parts']} parts"
    yield f"A worker was killed when {parts} were there. The archive was done in {many['runs']} run(s)."
    if one is not None:
        yield f"{one['lines_that_are_the_same']:,} of {one['documents']:,} result lines are the same, byte for byte."
    yield f"SHA-256 of the results: {figures['results_digest']}"
    machine = figures["machine"]
    yield f"Load on {machine['cores']} cores: {machine['load_before']:.1f} before, {machine['load_after']:.1f} after."
    yield ""
    hours = ", ".join(f"{value:,.1f} h with {share}" for share, value in paper["hours_by_workers"].items())
    read, written = f"{paper['archive_gb']:,.0f} GB read twice", f"{paper['results_gb']:,.0f} GB written"
    yield f"On paper, {paper['documents']:,} such orders: {paper['cpu_hours']:,.0f} CPU-hours ({hours} workers);"
    yield f"{read}, {written} in {paper['parts_of_500']:,} parts of 500, {paper['ledger_mb']:,.0f} MB of list of parts."
    yield "It assumes orders of the same mix, workers as fast as these with a core each, and storage that keeps up; the"
    yield "start of workers is in the CPU time, and so counts for more the smaller the archive. Nobody has run it."


def fail(told: str) -> NoReturn:
    print(f"archive.py: {told}", file=sys.stderr)
    sys.exit(1)


if __name__ == "__main__":
    main()
