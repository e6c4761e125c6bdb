"""The surroundings that must make no difference, and a run of everything in each."""

import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tests.conftest import ROOT

EVERYTHING = Path(__file__).with_name("everything.py")


@dataclass(frozen=True)
class Variant:
    """Surroundings of a run: environment variables, an order of folders, an interpreter."""

    name: str
    variables: dict[str, str] = field(default_factory=dict)
    backwards: bool = False
    python: str = sys.executable


PLAIN = Variant("hash seed 0, UTF-8, UTC", {"PYTHONHASHSEED": "0", "LC_ALL": "C.UTF-8", "TZ": "UTC"})
OTHERWISE = Variant(
    "all at once: hash seed 4, no UTF-8 mode, 14 hours ahead, folders backwards",
    {
        "PYTHONHASHSEED": "4",
        "LC_ALL": "POSIX",
        "PYTHONUTF8": "0",
        "PYTHONCOERCECLOCALE": "0",
        "TZ": "Pacific/Kiritimati",
    },
    backwards=True,
)
VARIANTS = (
    PLAIN,
    Variant("hash seed 1", {"PYTHONHASHSEED": "1"}),
    Variant("hash seed 2", {"PYTHONHASHSEED": "2"}),
    Variant("hash seed drawn anew", {"PYTHONHASHSEED": "random"}),
    Variant("locale POSIX, without UTF-8 mode", {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}),
    Variant("a locale of Turkish, if there is one", {"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8"}),
    Variant("12 hours behind UTC", {"TZ": "Etc/GMT+12"}),
    Variant("14 hours ahead of UTC", {"TZ": "Pacific/Kiritimati"}),
    Variant("folders told backwards", backwards=True),
    Variant("Python that forgets assertions and docstrings", {"PYTHONOPTIMIZE": "2"}),
    OTHERWISE,
)


def made(variant: Variant, home: Path, share: int = 1) -> tuple[str, ...]:
    """What everything comes to: a line a command, with its digest."""
    kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT", "TMPDIR", "TEMP") if name in os.environ}
    own = {"HOME": str(home), "USERPROFILE": str(home), "RXLINT_CACHE": str(home / "kept")}
    order = "backwards" if variant.backwards else "forwards"
    done = subprocess.run(
        [variant.python, str(EVERYTHING), str(ROOT), order, str(share)],
        env=kept | PLAIN.variables | own | variant.variables,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    if done.returncode:
        raise RuntimeError(f"{variant.name}: {done.stderr}")
    return tuple(done.stdout.splitlines())


def differing(first: Sequence[str], second: Sequence[str]) -> tuple[str, ...]:
    """The commands whose output is not the same in both, or that one of them lacks."""
    return tuple(sorted(line.split(" ", 3)[3] for line in set(first) ^ set(second)))
