"""Runs one command and prints what it took: `python -I -S measure.py OUTPUT COMMAND...` -> one line of JSON.

A process of its own, and a small one, because the peak memory that the system reports for a child is never less than
that of the process it was started from. OUTPUT takes the command's standard output. POSIX systems only.
"""

import json
import os
import sys
import time


def main() -> None:
    output, *command = sys.argv[1:]
    with open(output, "wb") as out:
        start = time.perf_counter()
        child = os.posix_spawn(
            command[0], command, os.environ, file_actions=[(os.POSIX_SPAWN_DUP2, out.fileno(), sys.stdout.fileno())]
        )
        _, status, usage = os.wait4(child, 0)
        wall = time.perf_counter() - start
    unit = 1 if sys.platform == "darwin" else 1024  # bytes there, KiB elsewhere
    exit_code = os.waitstatus_to_exitcode(status)
    print(json.dumps({"wall": wall, "peak": usage.ru_maxrss * unit, "exit": exit_code}))


main()
