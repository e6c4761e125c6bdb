"""Documents as a git repository holds them at a revision, asked through the command `git` alone.

What is trusted: the program `git` that the user's own PATH names, and the user's and the system's configuration of it.
The repository is not: its configuration, attributes, hooks and objects are written by others. So git is asked for three
things only - what a revision is called, which files it holds, and what stands in them - none of which runs a hook, a
filter, a file monitor or a converter, and it may reach no other machine. Files of the work tree are read by this
program, never through git.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from rxlint.text import MAX_BYTES, Problem

_SAFE: Final = (
    "--no-pager", "--literal-pathspecs", "--no-replace-objects", "--no-optional-locks", "-c", "core.fsmonitor=false",
    "-c", f"core.hooksPath={os.devnull}", "-c", f"core.attributesFile={os.devnull}", "-c", "core.untrackedCache=false",
    "-c", "diff.external=", "-c", "credential.helper=", "-c", "protocol.allow=never", "-c", "core.sshCommand=false",
    "-c", "safe.bareRepository=explicit",
)  # fmt: skip
# A clone may lack files and name a program that would bring them; no protocol of this name exists, so none is used.
_NO_PROTOCOL: Final = "none"
_SECONDS: Final = 120
NOT_HELD: Final = "the repository does not hold this file: the clone is not complete"
"""The problem of a file that a revision names and the clone lacks."""
_FILES: Final = frozenset({b"100644", b"100755"})  # a link's or a submodule's entry is no document


class NoRevision(ValueError):
    """There is nothing to compare with; the message says why."""


@dataclass(frozen=True, slots=True)
class Blob:
    """A file of a revision: its path from the top, with forward slashes, and the name of what it holds."""

    path: str
    name: str


class Repository:
    """The repository that a folder lies in. Raises NoRevision where there is none, or no git."""

    def __init__(self, folder: Path) -> None:
        self._git = _program()
        self._folder = folder
        top = self._ask("rev-parse", "--show-toplevel")
        self.top = Path(os.fsdecode(top.removesuffix(b"\n")))

    def commit(self, revision: str) -> str:
        """The name of the commit that a revision stands for. Raises NoRevision, also for what looks like an option."""
        if not revision or revision.startswith("-") or "\0" in revision:
            raise NoRevision(f"{revision!r} names no revision")
        asked = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
        found = self._run(asked)
        if found.returncode == 0:
            return found.stdout.decode("ascii").strip()
        if self._ask("rev-parse", "--is-shallow-repository").strip() == b"true":
            raise NoRevision(
                f"this clone is shallow and does not hold {revision}: it was made without the older revisions. "
                "Fetch them (git fetch --unshallow), or name a revision that it holds"
            )
        raise NoRevision(f"the repository has no revision {revision}")

    def files(self, commit: str, ending: str) -> list[Blob]:
        """The files of a commit whose names end so, in the order of their paths."""
        listed = self._ask("ls-tree", "-r", "-z", "--full-tree", commit)
        found: list[Blob] = []
        for entry in listed.split(b"\0"):
            head, tab, path = entry.partition(b"\t")
            mode, kind, name = [*head.split(b" "), b"", b""][:3]
            shown = os.fsdecode(path)
            if tab and kind == b"blob" and mode in _FILES and shown.lower().endswith(ending):
                found.append(Blob(shown, name.decode("ascii")))
        return found

    def read(self, names: Iterable[str]) -> Mapping[str, bytes | Problem]:
        """What stands in blobs, by their names. One that is too large, or not there, is a problem."""
        wanted = list(dict.fromkeys(names))
        if not wanted:
            return {}
        told = self._ask("cat-file", "--batch-check", put=_lines(wanted))
        sizes = [line.split(b" ") for line in told.splitlines()]
        found: dict[str, bytes | Problem] = {}
        small: list[str] = []
        for name, parts in zip(wanted, sizes, strict=True):
            if len(parts) != 3 or parts[1] != b"blob":
                found[name] = Problem(NOT_HELD)
            elif int(parts[2]) > MAX_BYTES:
                found[name] = Problem(f"the file is too large to be a prescription: {int(parts[2]):,} bytes")
            else:
                small.append(name)
        return {**found, **dict(self._contents(small))}

    def _contents(self, names: Sequence[str]) -> Iterator[tuple[str, bytes]]:
        data = self._ask("cat-file", "--batch", put=_lines(names)) if names else b""
        at = 0
        for name in names:
            end = data.index(b"\n", at)
            size = int(data[at:end].split(b" ")[2])
            yield name, data[end + 1 : end + 1 + size]
            at = end + 1 + size + 1

    def _ask(self, *arguments: str, put: bytes = b"") -> bytes:
        """What git answers. Raises NoRevision with git's own words where it does not."""
        found = self._run(arguments, put)
        if found.returncode != 0:
            why = found.stderr.decode("utf-8", "replace").strip().splitlines()
            if why and "not a git repository" in why[0]:
                raise NoRevision(
                    f"{self._folder.as_posix()} is not a git repository and lies in none: it has no revisions"
                )
            raise NoRevision(f"git can't be asked: {why[0] if why else 'it gave no reason'}")
        return found.stdout

    def _run(self, arguments: Sequence[str], put: bytes = b"") -> subprocess.CompletedProcess[bytes]:
        try:
            return subprocess.run(
                [self._git, *_SAFE, *arguments],
                cwd=self._folder, env=_environment(), input=put, capture_output=True, timeout=_SECONDS, check=False,
            )  # fmt: skip
        except (OSError, subprocess.TimeoutExpired) as error:
            raise NoRevision(f"git can't be asked: {error}") from None


def _program() -> str:
    """The program git by its whole path: one that lies in the current folder is not taken."""
    found = shutil.which("git")
    if found is None or not os.path.isabs(found):
        raise NoRevision("--since needs the program git, which is not there")
    return found


def _environment() -> dict[str, str]:
    """The user's environment without what would lead git to another repository or have it run something."""
    kept = {name: value for name, value in os.environ.items() if not name.upper().startswith("GIT_")}
    return {
        **kept,
        "GIT_ALLOW_PROTOCOL": _NO_PROTOCOL,
        "GIT_NO_LAZY_FETCH": "1",
        "GIT_NO_REPLACE_OBJECTS": "1",
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_TERMINAL_PROMPT": "0",
        "LC_ALL": "C",
    }


def _lines(names: Sequence[str]) -> bytes:
    return "".join(f"{name}\n" for name in names).encode("ascii")


def name_of(data: bytes, like: str) -> str:
    """What git calls these bytes, by the kind of name that it gives to others."""
    kind = hashlib.sha256 if len(like) == 64 else hashlib.sha1
    return kind(b"blob %d\0" % len(data) + data).hexdigest()
