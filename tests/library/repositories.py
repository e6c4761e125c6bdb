"""Real git repositories to test with: made in a folder of the test's own, out of reach of anybody's configuration."""

import os
import subprocess
from dataclasses import dataclass
from pathlib import Path

ORDER = """prescription "An order of a test"
  id        {id}
  revision  1
  status    active
  written   2026-11-20 09:00 by "registrar"
settings
  mode                  A/C-PC
  PEEP                  {peep} cmH2O
  inspiratory pressure  13 cmH2O above PEEP
  rate                  20 /min
  inspiratory time      1 s
alarms
  disconnection  after 10 s
"""


def order(id: str = "TM-1", peep: str = "5") -> str:
    return ORDER.format(id=id, peep=peep)


def without_id(text: str) -> str:
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith("  id"))


@dataclass(frozen=True)
class Repo:
    """A repository in a folder."""

    folder: Path

    def git(self, *arguments: str | Path, check: bool = True) -> str:
        home = self.folder.parent / "nobody"
        home.mkdir(exist_ok=True)
        kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT") if name in os.environ}
        who = {f"GIT_{role}_{what}": "nobody@example" for role in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}
        environment = {**kept, **who, "HOME": str(home), "GIT_CONFIG_NOSYSTEM": "1", "GIT_TERMINAL_PROMPT": "0"}
        command = ["git", "-c", "init.defaultBranch=main", "-c", "protocol.file.allow=always", *map(str, arguments)]
        done = subprocess.run(
            command, cwd=self.folder, env=environment, capture_output=True, check=check, timeout=60, input=b""
        )
        return done.stdout.decode("utf-8", "surrogateescape").strip()

    def write(self, name: str, text: str) -> Path:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode("utf-8"))
        return path

    def commit(self, message: str = "a state") -> str:
        self.git("add", "--all", "--", ".")
        self.git("commit", "--quiet", "--message", message)
        return self.git("rev-parse", "HEAD")


def repository(folder: Path) -> Repo:
    folder.mkdir(parents=True)
    made = Repo(folder)
    made.git("init", "--quiet")
    return made
