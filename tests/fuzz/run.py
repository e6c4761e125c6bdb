"""Runs one target for a while and tells what was seen: unguided in this process, or under atheris in its own."""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.fuzz import corpora
from tests.fuzz.measured import Seen, Watch, seen_of
from tests.fuzz.mutate import mutated
from tests.fuzz.target import Target

HOME: Final = Path(__file__).resolve().parents[2]
_COVERED: Final = re.compile(r"\bcov: ([0-9]+)")
_UNITS: Final = re.compile(r"stat::number_of_executed_units:\s+([0-9]+)|^Done ([0-9]+) runs", re.MULTILINE)
_ESCAPES: Final = bytes(range(32, 127))


@dataclass(slots=True)
class Session:
    """One target, run for a while. ``edges`` is what atheris says that it covers (None without it)."""

    target: str
    engine: str
    wall: float
    seen: Seen
    edges: int | None = None
    ended: str = "by its time"


def unguided(target: Target, seconds: float, seed: int, most: int | None = None) -> Session:
    """Every seed as it is, then changed ones, until the time or the number of inputs is over."""
    chance = random.Random(seed)
    seeds = [each for each in target.seeds() if len(each) <= target.longest] or list(target.seeds()[:1])
    watch = Watch(target)
    start = time.monotonic()
    while time.monotonic() - start < seconds and (most is None or watch.seen.executions < most):
        at = watch.seen.executions
        watch(seeds[at] if at < len(seeds) and most is None else mutated(seeds, chance, target.longest))
    watch.settle()
    return Session(target.name, "unguided", time.monotonic() - start, watch.seen)


def guided(target: Target, seconds: float, seed: int, work: Path) -> Session:
    """The same under atheris; its corpus stays in ``work`` for the next time."""
    corpus, kept = work / target.name, work / f"{target.name}.json"
    corpus.mkdir(parents=True, exist_ok=True)
    kept.unlink(missing_ok=True)
    for at, data in enumerate(target.seeds()):
        (corpus / f"seed-{at:04}").write_bytes(data[: target.longest])
    (work / "words.dict").write_bytes(b"".join(b'"%s"\n' % _escaped(each) for each in corpora.words()))
    start = time.monotonic()
    arguments = (target.name, str(kept), str(corpus), str(int(seconds)), str(seed))
    with (work / f"{target.name}.log").open("wb") as log:
        code = subprocess.run(
            [sys.executable, "-m", "tests.fuzz.guided", *arguments],
            cwd=HOME,
            env=_environment(work),
            stdout=log,
            stderr=log,
            check=False,
        ).returncode
    wall = time.monotonic() - start
    told = (work / f"{target.name}.log").read_text("utf-8", "replace")
    seen = seen_of(kept) if kept.exists() else Seen()
    units = [int(one or other) for one, other in _UNITS.findall(told)]
    seen.executions = max([seen.executions, *units[-1:]])  # the last of them came after the last look
    covered = _COVERED.findall(told)
    ended = "by its time" if code == 0 else f"with {code}: {_last(told)}"
    return Session(target.name, "atheris", wall, seen, int(covered[-1]) if covered else None, ended)


def _last(told: str) -> str:
    wrong = [line for line in told.splitlines() if "ERROR" in line or "Error" in line]
    return (wrong or told.splitlines() or ["nothing was said"])[-1][:200]


def _escaped(word: bytes) -> bytes:
    plain = (bytes([char]) if char in _ESCAPES and char not in b'"\\' else b"\\x%02x" % char for char in word)
    return b"".join(plain)


def _environment(work: Path) -> dict[str, str]:
    """A home of its own, so that nothing of the user's is read or written."""
    home = work / "home"
    home.mkdir(exist_ok=True)
    return {**os.environ, "HOME": str(home), "RXLINT_CACHE": str(work / "kept"), "PYTHONPATH": str(HOME)}
