"""Runs command lines as forks of one process that has loaded everything: `python -m tests.faults.serve`.

A fork waits until it is told to go on, so that somebody may look on from its first step. One line of JSON comes in for
each, then the number of the process goes out, a line comes in to let it go, and its exit code goes out.
"""

import atexit
import ctypes
import gc
import json
import os
import signal
import sys
import traceback
from pathlib import Path
from typing import Any

from tests.faults import operations

_SET_PTRACER, _ANYBODY = 0x59616D61, -1


def main() -> None:
    """Serve until there is nothing more to read."""
    for name in ("SIGTERM", "SIGHUP"):  # whoever started the tests may have had one of them ignored
        signal.signal(getattr(signal, name), signal.SIG_DFL)
    operations.warm_up()
    gc.freeze()
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    for line in iter(sys.stdin.readline, ""):
        asked = json.loads(line)
        there, here = os.pipe()
        told, tell = os.pipe()
        process = os.fork()
        if process == 0:
            os.close(here)
            _run(asked, there, tell)  # ends the process
        os.close(there)
        os.close(tell)
        os.read(told, 1)  # it waits now
        os.close(told)
        _tell(process)
        sys.stdin.readline()
        os.write(here, b".")
        os.close(here)
        _tell(os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]))


def _tell(number: int) -> None:
    sys.stdout.write(f"{number}\n")
    sys.stdout.flush()


def _run(asked: dict[str, Any], go: int, ready: int) -> None:
    ctypes.CDLL(None).prctl(_SET_PTRACER, ctypes.c_ulong(_ANYBODY))  # where only parents may look on
    os.chdir(asked["cwd"])
    os.environ.update(asked["environment"])
    for name, number in (("stdout", 1), ("stderr", 2)):
        handle = os.open(Path(asked[name]), os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o644)
        os.dup2(handle, number)
        os.close(handle)
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    os.close(nothing)
    os.write(ready, b".")
    os.close(ready)
    os.read(go, 1)
    code: Any = 0
    try:
        operations.run(asked["arguments"])
    except SystemExit as ended:
        code = ended.code
    except BaseException:
        traceback.print_exc()
        code = 1
    _end(code if isinstance(code, int) else 0)


def _end(code: int) -> None:
    """End as Python does, but for taking all objects apart, which takes a while."""
    atexit._run_exitfuncs()
    try:
        sys.stdout.flush()
    except OSError:
        traceback.print_exc()
        code = 120
    sys.stderr.flush()
    os._exit(code)


if __name__ == "__main__":
    main()
