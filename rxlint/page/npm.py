"""What Node.js and npm do when the folder is made: fetch packages by the lock file, bundle, run the program once."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from rxlint.page.problems import OutOfReach, Unbuildable

_INSTALL: Final = ("ci", "--omit=dev", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")
_FAR: Final = ("ENOTFOUND", "ETIMEDOUT", "ECONNREFUSED", "ECONNRESET", "EAI_AGAIN", "ENETUNREACH", "ERR_SOCKET_TIMEOUT")
_LONGEST: Final = 600  # seconds that one step may take
_SHOWN: Final = 15  # lines of what a program said that failed
_WIDEST: Final = 300  # characters of a line: a bundle is one line


def install(web: Path) -> None:
    """Fetch the packages of the lock file into ``web``; no script of theirs is run. Raises Unbuildable."""
    code, said = _run([_program("npm"), *_INSTALL], web)
    if not code:
        return
    if any(word in said for word in _FAR):
        raise OutOfReach(
            "npm can't reach its registry, from which it fetches the browser's runtime and the editor. Look whether "
            "there is a connection, and whether a proxy or another registry has to be named (npm config set registry "
            f"URL).\n{said}"
        )
    raise Unbuildable(f"npm could not fetch the packages:\n{said}")


def run_node(web: Path, *arguments: str | Path) -> None:
    """Run a script of ``web``. Raises Unbuildable."""
    code, said = _run([_program("node"), *map(str, arguments)], web)
    if code:
        raise Unbuildable(f"node {Path(arguments[0]).name} failed:\n{said}")


def _program(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        raise Unbuildable(
            f"{name} is not here: making the page takes Node.js 20 or newer with npm (https://nodejs.org). "
            "Using it takes neither"
        )
    return found


def _run(command: Sequence[str], folder: Path) -> tuple[int, str]:
    """The exit code of a program, and the end of what it said."""
    try:
        done = subprocess.run(
            command, cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
            encoding="utf-8", errors="replace", timeout=_LONGEST, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return 1, f"it took longer than {_LONGEST} s (ETIMEDOUT)"
    except OSError as error:
        return 1, str(error)
    return done.returncode, "\n".join(line[:_WIDEST] for line in done.stdout.strip().splitlines()[-_SHOWN:])
