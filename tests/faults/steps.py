"""Steps of a run at which something goes wrong, by the system call: the process is killed there, or the call fails."""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, NamedTuple

from tests.cli.programs import Program
from tests.conftest import ROOT

PART: Final = re.fullmatch(r"(\d+)/(\d+)", os.environ.get("RXLINT_FAULTS", "").replace("all", "1/1"))
"""Which part of all steps is tried, in place of some of them: the first of three is `1/3`."""
SAMPLE: Final = 5
FILLS: Final = frozenset(
    ("write", "pwrite64", "writev", "fsync", "fdatasync", "rename", "link", "mkdir", "ftruncate", "openat")
)
"""The calls that a full disk refuses."""
CHANGES: Final = FILLS.union(
    ("renameat", "renameat2", "unlink", "unlinkat", "linkat", "mkdirat", "close"),
    ("chmod", "fchmod", "fchmodat", "chown", "fchown", "fchownat"),
)
"""The calls between which files may differ: an `openat` belongs to them where it makes a file, a `close` where it may
have been written to.
"""
_LOGGED: Final = re.compile(r"\d+ +(\w+)\((.*)")


class Step(NamedTuple):
    """A system call of a run: the n-th of its name, from 1."""

    name: str
    number: int

    def __str__(self) -> str:
        return f"{self.name} {self.number}"


@dataclass(frozen=True)
class Ended:
    """How a run ended: its exit code, negative for a signal, and what it told."""

    code: int
    stdout: str
    stderr: str

    @property
    def killed(self) -> bool:
        return self.code == -9


def can_look_on() -> bool:
    """Whether strace is here and may do what it is for."""
    if shutil.which("strace") is None:
        return False
    tried = ["strace", "-qq", "-o", os.devnull, "-e", "trace=openat", "-e", "inject=openat:error=ENOENT:when=9999"]
    return subprocess.run([*tried, "true"], capture_output=True, check=False).returncode == 0


class Server:
    """Forks of one process: see `tests.faults.serve`."""

    def __init__(self, program: Program, scratch: Path) -> None:
        self._scratch = scratch
        paths = os.pathsep.join([str(program.folder), str(ROOT)])
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.serve"],
            env=program.environment(PYTHONPATH=paths),
            cwd=scratch,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self._told() == "ready"

    def close(self) -> None:
        self._process.communicate(timeout=30)

    def _told(self) -> str:
        assert self._process.stdout is not None
        return self._process.stdout.readline().strip()

    def _tell(self, line: str) -> None:
        assert self._process.stdin is not None
        self._process.stdin.write(line + "\n")
        self._process.stdin.flush()

    def run(self, arguments: Sequence[str], cwd: Path, *looking: str, **environment: str) -> Ended:
        """Run a command line in a folder; ``looking`` are options of an strace that looks on."""
        out, err = self._scratch / "stdout", self._scratch / "stderr"
        asked = {"arguments": arguments, "cwd": str(cwd), "environment": environment}
        self._tell(json.dumps(asked | {"stdout": str(out), "stderr": str(err)}))
        number = self._told()
        onlooker = None
        if looking:
            onlooker = subprocess.Popen(["strace", "-f", *looking, "-p", number], stderr=subprocess.PIPE)
            assert onlooker.stderr is not None
            assert b"attached" in onlooker.stderr.readline()
        self._tell("go")
        code = int(self._told())
        if onlooker is not None:
            onlooker.communicate(timeout=30)
        return Ended(code, out.read_text("utf-8", "replace"), err.read_text("utf-8", "replace"))

    def steps(self, arguments: Sequence[str], cwd: Path, **environment: str) -> tuple[Ended, list[tuple[Step, str]]]:
        """An undisturbed run, and every step that it went through with what was given to the call."""
        log = self._scratch / "log"
        ended = self.run(arguments, cwd, "-e", "trace=%file,%desc", "-s", "0", "-o", str(log), **environment)
        return ended, list(_steps_in(log.read_text("utf-8", "replace").splitlines()))

    def killed_at(
        self, step: Step, arguments: Sequence[str], cwd: Path, by: signal.Signals = signal.SIGKILL, **environment: str
    ) -> Ended:
        """A run that gets a signal when it comes to a step: SIGKILL ends it right before that is done."""
        what = f"inject={step.name}:signal={by.name}:when={step.number}"
        return self.run(arguments, cwd, "-e", f"trace={step.name}", "-e", what, "-o", os.devnull, **environment)

    def full_from(self, step: Step, arguments: Sequence[str], cwd: Path, **environment: str) -> Ended:
        """A run in which all calls of one name fail from a step on, as they do on a full disk. Of writing, two: the
        third may go nowhere, which is never full.
        """
        until = f"..{step.number + 1}" if step.name == "write" else "+"
        what = f"inject={step.name}:error=ENOSPC:when={step.number}{until}"
        return self.run(arguments, cwd, "-e", f"trace={step.name}", "-e", what, "-o", os.devnull, **environment)


def _steps_in(lines: Iterable[str]) -> Iterator[tuple[Step, str]]:
    counts: Counter[str] = Counter()
    for line in lines:
        match = _LOGGED.match(line)
        if match is not None:
            counts[match[1]] += 1
            yield Step(match[1], counts[match[1]]), match[2]


def changes(steps: Iterable[tuple[Step, str]], names: Container[str] = CHANGES) -> Iterator[Step]:
    """The steps between which files may differ, of calls of some names."""
    written: set[str] = set()
    for step, given in steps:
        if step.name == "openat":
            number = given.rpartition("= ")[2]
            makes = "O_CREAT" in given or "O_TRUNC" in given
            (written.add if makes or "O_RDWR" in given else written.discard)(number)
            if not makes:
                continue
        elif step.name == "close" and given.partition(")")[0] not in written:
            continue
        if step.name in names:
            yield step


def to_kill_at(steps: Sequence[tuple[Step, str]]) -> list[Step]:
    """Every step that changes a file, and the last of all; or some of them. At others, files are as at the next one."""
    every = [*changes(steps), steps[-1][0]]
    return chosen(every)


def to_fill_at(steps: Sequence[tuple[Step, str]]) -> list[Step]:
    """The steps that a full disk refuses, or some of them."""
    return chosen(list(changes(steps, FILLS)))


def chosen(every: Sequence[Step], most: int = SAMPLE) -> list[Step]:
    """The part that is asked for; else some steps, evenly spread, with the first and the last of them."""
    if PART is not None:
        return list(every[int(PART[1]) - 1 :: int(PART[2])])
    if len(every) <= most:
        return list(every)
    return [every[round(index * (len(every) - 1) / (most - 1))] for index in range(most)]


def files_of(folder: Path) -> Mapping[str, bytes]:
    """What each file of a folder holds, by its path; files that are hidden and what is kept between runs left out."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith(".") and path.relative_to(folder).parts[0] != "kept"
    }


def hidden_in(folder: Path) -> list[str]:
    """The files of a folder that are hidden, but for the lock of an archive; and any folder without an end."""
    return [path.name for path in folder.rglob(".*") if path.name != ".lock" and "kept" not in path.parts]
