"""An interrupt while the program is still being loaded: a line and the exit code of what was not read, no traceback."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.orders import ON, SLIP
from tests.cli.programs import Program
from tests.faults.steps import PART

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has another way to interrupt")
STOPPED = b"The run was stopped.\n"

# Interrupts itself, as the keyboard would, when a module is looked for; the signal is heard although somebody who
# started the tests in the background may have had it ignored.
INTERRUPTED = """
import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)
at, way = sys.argv.pop(1), sys.argv.pop(1)
class Finder:
    @staticmethod
    def find_spec(name, path=None, target=None):
        if name == at:
            sys.meta_path.remove(Finder)
            signal.raise_signal(signal.SIGINT)
sys.meta_path.insert(0, Finder)
if way == "module":
    import runpy
    runpy.run_module("rxlint", run_name="__main__", alter_sys=True)
else:
    from rxlint.__main__ import main
    sys.exit(main())
"""


def loaded_by(program: Program, folder: Path) -> list[str]:
    """The modules that a run loads, from the command line on, in their order."""
    told = "import sys; from rxlint.__main__ import main\n"
    told += "import atexit; known = set(sys.modules); atexit.register(lambda: print(*[n for n in sys.modules if n not "
    told += "in known], file=sys.stderr)); main()"
    done = subprocess.run(
        [sys.executable, "-c", told, "screen", "a.vrx", *ON, "--no-cache"],
        cwd=folder,
        env=program.environment(),
        capture_output=True,
        check=False,
    )
    assert done.returncode == 1, done.stderr.decode()
    return done.stderr.decode().split()


def interrupted(program: Program, folder: Path, at: str, way: str) -> "subprocess.CompletedProcess[bytes]":
    return subprocess.run(
        [sys.executable, "-c", INTERRUPTED, at, way, "screen", "a.vrx", *ON, "--no-cache"],
        cwd=folder,
        env=program.environment(),
        capture_output=True,
        check=False,
    )


@pytest.mark.parametrize("way", ["module", "script"])
def test_an_interrupt_while_the_program_is_loaded_is_no_traceback(way: str, program: Program, tmp_path: Path) -> None:
    """At the first modules, and at some of all others; `RXLINT_FAULTS=all` at each."""
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    every = loaded_by(program, tmp_path)
    assert {"rxlint.cli", "click", "rxlint.commands.screen", "rxlint.screening.engine"} <= set(every)
    chosen = (
        every if PART is not None else [*every[:2], "click", "rxlint.commands.screen", *every[5 :: len(every) // 6]]
    )
    stopped = 0
    for at in chosen:
        done = interrupted(program, tmp_path, at, way)
        assert b"Traceback" not in done.stderr, (at, done.stderr.decode())
        if done.returncode != 1:  # some modules are there already, or are never looked for in this way
            assert (done.returncode, done.stdout, done.stderr.lstrip()) == (3, b"", STOPPED), (at, done.stderr)
            stopped += 1
    assert stopped >= len(chosen) * 0.8
    print(f"{way}: interrupted at {stopped} of {len(every)} modules")
