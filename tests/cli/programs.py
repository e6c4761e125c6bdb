"""A copy of the program that is run as a process of its own, as users run it, and that a test may change."""

import os
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import rxlint
from rxlint.data import data_folder
from tests.cli.orders import ON
from tests.conftest import ROOT

SETTLES = 2.1  # seconds; what was changed just now is no state of the program that anything is kept for


@dataclass(frozen=True)
class Program:
    """A program with a folder of its own for what it keeps."""

    folder: Path
    cache: Path

    def with_cache(self, cache: Path) -> "Program":
        return Program(self.folder, cache)

    def command(self, *arguments: str | Path) -> list[str]:
        return [sys.executable, "-m", "rxlint", "screen", *ON, *map(str, arguments)]

    def environment(self, **further: str) -> dict[str, str]:
        clean = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT", "TMPDIR", "TEMP") if name in os.environ}
        home = {"HOME": str(self.cache.parent), "USERPROFILE": str(self.cache.parent)}
        own = {"RXLINT_CACHE": str(self.cache), "PYTHONPATH": str(self.folder), "LC_ALL": "C.UTF-8", "TZ": "UTC"}
        return clean | home | own | further

    def run(self, *arguments: str | Path, cwd: Path, **further: str) -> subprocess.CompletedProcess[bytes]:
        """Screen, in a folder, and give the report; a report at all is what is asked for."""
        done = subprocess.run(
            self.command(*arguments), cwd=cwd, env=self.environment(**further), capture_output=True, check=False
        )
        assert b"Traceback" not in done.stderr, done.stderr.decode()
        return done

    def loaded(self, *arguments: str | Path, cwd: Path) -> frozenset[str]:
        """The modules that a run had loaded at its end."""
        told = "import sys, atexit; atexit.register(lambda: print('\\n'.join(sys.modules), file=sys.stderr)); "
        told += (
            f"sys.argv = ['rxlint', 'screen', *{[*ON, *map(str, arguments)]!r}]; from rxlint.cli import main; main()"
        )
        done = subprocess.run(
            [sys.executable, "-c", told], cwd=cwd, env=self.environment(), capture_output=True, check=False
        )
        assert done.returncode in (0, 1), done.stderr.decode()
        return frozenset(done.stderr.decode().split())


def copied(place: Path) -> Program:
    """The program that is tested, copied into a folder, with its data and what Python has compiled of it."""
    package = Path(rxlint.__file__).parent
    shutil.copytree(package, place / "rxlint")
    if not (package / "_data").is_dir():
        for kind in ("grammar", "rules"):
            shutil.copytree(data_folder(kind), place / kind)
        shutil.copy(ROOT / "pyproject.toml", place)
    time.sleep(SETTLES)
    (place / "kept").mkdir(mode=0o700)
    return Program(place, place / "kept")


def is_hit(program: Program, *arguments: str | Path, cwd: Path) -> bool:
    """Whether a run needs to screen nothing: the engine is what only a miss loads."""
    return "rxlint.screening.engine" not in program.loaded(*arguments, cwd=cwd)
