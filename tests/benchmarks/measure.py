"""Runs a command and prints what it took: `python -I -S measure.py OUTPUT SECONDS LIST COMMAND...` -> a line of JSON.

A process of its own, and a small one, because the peak memory that the system reports for a child is never less than
that of the process it was started from. OUTPUT takes the command's standard output. After SECONDS the command and all
that it started are stopped. LIST is `-`, or a file of paths, one a line, for a command that takes files and no folders:
it is then run as often as the system needs to take all of them on command lines. POSIX systems only.
"""

import contextlib
import json
import os
import resource
import signal
import sys
import time
from collections.abc import Iterator, Sequence
from typing import BinaryIO

SPARE = 64 * 1024  # bytes of a command line that are left free
POINTER = 8


def batches(listing: str, command: Sequence[str]) -> Iterator[list[str]]:
    """The paths for each run of the command; none, once, where there is no list."""
    if listing == "-":
        yield []
        return
    fixed = sum(len(os.fsencode(each)) + 1 + POINTER for each in [*command, *map("=".join, os.environ.items())])
    room = os.sysconf("SC_ARG_MAX") - fixed - SPARE
    batch: list[str] = []
    size = 0
    with open(listing, encoding="utf-8") as lines:
        for line in lines:
            cost = len(line.encode()) + POINTER
            if batch and size + cost > room:
                yield batch
                batch, size = [], 0
            batch.append(line[:-1])
            size += cost
    yield batch


def run(command: list[str], out: BinaryIO, seconds: float) -> tuple[int, resource.struct_rusage]:
    """The command's exit code and what the system says that it used; seconds may have stopped it."""
    child = os.posix_spawn(
        command[0],
        command,
        os.environ,
        file_actions=[(os.POSIX_SPAWN_DUP2, out.fileno(), sys.stdout.fileno())],
        setpgroup=0,
    )

    def stop(*_: object) -> None:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child, signal.SIGKILL)

    signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, max(seconds, 0.001))
    _, status, usage = os.wait4(child, 0)
    signal.setitimer(signal.ITIMER_REAL, 0)
    return os.waitstatus_to_exitcode(status), usage


def main() -> None:
    output, seconds, listing, *command = sys.argv[1:]
    unit = 1 if sys.platform == "darwin" else 1024  # bytes there, KiB elsewhere
    exits: list[int] = []
    peak, processor = 0, 0.0
    with open(output, "wb") as out:
        start = time.perf_counter()
        for paths in batches(listing, command):
            code, usage = run([*command, *paths], out, float(seconds) - (time.perf_counter() - start))
            exits.append(code)
            peak, processor = max(peak, usage.ru_maxrss * unit), processor + usage.ru_utime + usage.ru_stime
            if code < 0:
                break
        wall = time.perf_counter() - start
    stopped = exits[-1] == -signal.SIGKILL and wall >= float(seconds)
    print(json.dumps({"wall": wall, "peak": peak, "processor": processor, "exits": exits, "stopped": stopped}))


if __name__ == "__main__":
    main()
