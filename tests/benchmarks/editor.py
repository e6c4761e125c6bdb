"""How fast `rxlint editor` answers, in a library of 10,000 files, on this machine.

    python tests/benchmarks/editor.py --documents 10000 --changes 60

What is measured, with a real server process and a client that speaks the protocol:

    start              from the start of the process to the answer to `initialize`, and to the first diagnostics
    change             from a change sent to the diagnostics for it received, with the server's wait for more changes
    processor          time of the server's own threads for one change, where the system tells (Linux)
    library            what finding the heads of all its files takes: all, none changed, one changed
    screening          the parts of one screening, in this process: where the time of a change goes

Seconds drift with whatever else runs on the machine; processor time drifts less. Not part of the test run.
"""

import argparse
import asyncio
import os
import platform
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from library import CLOCK, make_library

from rxlint.editor.convert import Lines, Texts, Wants
from rxlint.editor.diagnostics import marks
from rxlint.editor.overlay import Library
from rxlint.editor.server_session import DEBOUNCE
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.workspace import Workspace
from rxlint.model.facts import facts_of
from rxlint.notation.document import read_document
from rxlint.text.source import Source, source_of_text

if TYPE_CHECKING:
    from tests.editor.serving import Client

ROOT = Path(__file__).resolve().parent.parent.parent
EXAMPLE = ROOT / "examples" / "sound" / "TM-0524-adult-weaning-with-oxygen-bled-in.vrx"
LONG = 500  # lines
TEMPLATE = 'template "t"\n  id  t\n  revision  1\n  status  active\nsettings\n  PEEP  4 to 12 cmH2O\n'
READINGS = """
readings at 2026-11-{day:02} {hour:02}:{minute:02} by "night nurse, intensive care"
  expired tidal volume  490 mL
  rate                  15 /min
  minute volume         7.4 L/min
  peak pressure         20 cmH2O
  FiO2                  30 %
  SpO2                  96 %
  EtCO2                 5.2 kPa
  PaO2                  10.4 kPa
"""

Row = tuple[str, str]


def orders() -> Iterator[tuple[str, str]]:
    """An order of usual length, and one of 500 lines, most of them readings; both follow a template."""
    text = EXAMPLE.read_text("utf-8")
    head, _, rest = text.partition("  revision")
    usual = f"{head}  revision{rest}"
    if "\n  follows" not in usual:
        usual = usual.replace("\n  status", "\n  follows  t revision 1\n  status", 1)
    yield f"{usual.count(chr(10))} lines", usual
    long, number = usual, 0
    while long.count("\n") < LONG:
        long += READINGS.format(day=19 + number // 24, hour=number % 24, minute=0)
        number += 1
    yield f"{long.count(chr(10))} lines", long


def changed(text: str, number: int) -> str:
    """The text with another rate, as an author would key it in."""
    return text.replace("rate                 14 /min", f"rate                 {10 + number % 9} /min", 1)


def processor(pid: int) -> float | None:
    """Seconds of processor time that a process has used so far; None where the system does not tell."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text("ascii").rpartition(")")[2].split()
    except OSError:
        return None
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def told(seconds: list[float]) -> str:
    """Median and 95th percentile in milliseconds."""
    ordered = sorted(seconds)
    high = ordered[min(len(ordered) - 1, round(0.95 * (len(ordered) - 1)))]
    return f"p50 {statistics.median(ordered) * 1000:.0f} ms, p95 {high * 1000:.0f} ms"


async def served(folder: Path, changes: int) -> list[Row]:
    """Everything that a real server is asked."""
    sys.path.append(str(ROOT))
    from tests.editor.serving import Client

    rows: list[Row] = []
    client = Client()
    with tempfile.TemporaryDirectory() as home:
        began = time.perf_counter()
        await client.start(Path(home), folder, pull=False)
        rows.append(("start to the answer to initialize", f"{time.perf_counter() - began:.2f} s"))
        for count, (name, text) in enumerate(orders()):
            uri = (folder / "ward-000" / f"order-{count}.vrx").as_uri()
            client.open(uri, text)
            await client.diagnostics(uri, 1)
            if not count:
                rows.append(("start to the first diagnostics", f"{time.perf_counter() - began:.2f} s"))
                server = client.lsp._server
                used = processor(server.pid) if server is not None else None
                rows += [("processor time for that", f"{used:.2f} s")] if used is not None else []
            rows += await one(client, uri, name, text, changes)
        await client.stop()
    return rows


async def one(client: "Client", uri: str, name: str, text: str, changes: int) -> list[Row]:
    """One document, changed again and again, each change when the diagnostics for the last have come."""
    server = client.lsp._server
    assert server is not None
    took: list[float] = []
    before = processor(server.pid)
    for version in range(2, changes + 2):
        sent = time.perf_counter()
        client.change(uri, changed(text, version), version)
        await client.diagnostics(uri, version)
        took.append(time.perf_counter() - sent)
    after = processor(server.pid)
    rows = [(f"{name}: change to diagnostics, {DEBOUNCE * 1000:.0f} ms of them waiting", told(took))]
    if before is not None and after is not None:
        rows.append((f"{name}: processor time for a change", f"{(after - before) / changes * 1000:.0f} ms"))
    return rows


def timed(what: Callable[[], object], times: int = 1) -> float:
    """The least processor time of some calls, in seconds."""
    took = []
    for _ in range(times):
        began = time.process_time()
        what()
        took.append(time.process_time() - began)
    return min(took)


def searched(folder: Path) -> list[Row]:
    """The heads of a library: all files read, none, and one."""
    library = Library(folder.resolve())
    first = timed(lambda: library.index.by_id)
    again = timed(library.look_again, 3)
    file = next(folder.rglob("*.vrx"))
    file.write_text(file.read_text("utf-8") + "# changed\n", "utf-8")
    name = file.relative_to(folder).as_posix()
    one_known = timed(lambda: library.look_at(name))
    os.utime(file)
    one_unknown = timed(library.look_again)
    return [
        ("heads of all files, first search", f"{first * 1000:.0f} ms"),
        ("the same again, no file changed", f"{again * 1000:.0f} ms"),
        ("one file changed, the editor tells which", f"{one_known * 1000:.2f} ms"),
        ("one file changed, nobody tells which", f"{one_unknown * 1000:.0f} ms"),
    ]


def parts(folder: Path) -> list[Row]:
    """Where the time of one change goes."""
    workspace = Workspace(day=CLOCK)
    return [
        row
        for count, (name, text) in enumerate(orders())
        for row in parts_of(workspace, folder / "ward-000" / f"order-{count}.vrx", name, text)
    ]


def parts_of(workspace: Workspace, path: Path, name: str, text: str) -> Iterator[Row]:
    """The parts of one document's screening; each is measured on texts that were not seen before."""
    numbers = iter(range(1, 10_000))

    def afresh() -> str:
        return f"{changed(text, next(numbers))}# {next(numbers)}\n"

    def source() -> Source:
        found = source_of_text(afresh())
        assert isinstance(found, Source)
        return found

    def made() -> Snapshot:
        new = afresh()
        workspace.put(path, new)
        return workspace.snapshot(path, new)

    _ = made().screened  # the first one reads the rules and the library
    snapshot = made()
    found, lines = marks(snapshot), Lines(snapshot.text)
    texts = Texts(lambda _: lines, lambda path: path.as_uri())
    document = read_document(source())
    measured = {
        "laid over the library, snapshot made": made,
        "the same, and screened": lambda: made().screened,
        "  of which reading": lambda: read_document(source()),
        "  of which facts, without defined terms": lambda: list(facts_of(document, {}, CLOCK)),
        f"{len(found)} marks made and turned into diagnostics": lambda: [
            texts.diagnostic(each, lines, Wants(related=True)) for each in marks(snapshot)
        ],
    }
    for what, call in measured.items():
        yield f"{name}: {what}", f"{timed(call, 7) * 1000:.1f} ms"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--documents", type=int, default=10_000, help="files in the library")
    parser.add_argument("--changes", type=int, default=60, help="changes of each document")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as work:
        make_library(Path(work), options.documents, options.seed)
        folder = (Path(work) / "vrx").resolve()
        (folder / "rxlint.yaml").write_text("library: .\n", "utf-8")
        (folder / "t.vrx").write_text(TEMPLATE, "utf-8")
        (folder / "ward-000").mkdir(exist_ok=True)
        rows = asyncio.run(served(folder, options.changes))
        rows += parts(folder)
        rows += searched(folder)
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    print(f"a library of {options.documents:,} documents, {options.changes} changes of each document\n")
    width = max(len(what) for what, _ in rows)
    for what, figure in rows:
        print(f"{what.ljust(width)}  {figure}")


if __name__ == "__main__":
    main()
