"""Watches what a target does with each input: executions, faults, time and memory."""

from __future__ import annotations

import json
import os
import resource
import sys
import time
import traceback
from dataclasses import asdict, dataclass, field
from pathlib import Path

from tests.fuzz.soundness import Unsound
from tests.fuzz.target import Target


@dataclass(slots=True)
class Fault:
    """A fault: which one, what it says, the shortest input that showed it (as hexadecimal) and how often it came."""

    name: str
    told: str
    input: str
    times: int = 1


@dataclass(slots=True)
class Seen:
    """What was seen so far. Times are processor time of this process: a machine that pauses it is no fault of ours."""

    executions: int = 0
    busy: float = 0
    worst: float = 0
    worst_input: str = ""
    peak_megabytes: int = 0
    faults: dict[str, Fault] = field(default_factory=dict)


class Watch:
    """A target that is watched. Called with an input it never raises, and keeps what it has seen in a file."""

    def __init__(self, target: Target, kept: Path | None = None, seconds_between: float = 2.0) -> None:
        self.target = target
        self._reads = target.reads  # and its module is imported, before anything is measured
        self.seen = Seen()
        self._kept = kept
        self._between = seconds_between
        self._next = time.monotonic() + seconds_between
        self._grown = peak_megabytes()

    def __call__(self, data: bytes) -> None:
        seen = self.seen
        start = time.process_time()
        try:
            self._reads(data)
        except Exception as error:
            self._fault(name_of(error), told_of(error), data)
        took = time.process_time() - start
        seen.executions += 1
        seen.busy += took
        if took > seen.worst:
            seen.worst, seen.worst_input = took, data.hex()
            if took > self.target.seconds:
                self._fault("too slow", f"took {took:.1f} s, the bound is {self.target.seconds} s", data)
        if seen.executions % 64 == 0 or took > 0.1:
            self._look(data)

    def _look(self, data: bytes) -> None:
        """Memory grows seldom, and the clock need not be asked each time."""
        peak = peak_megabytes()
        if peak - self._grown > self.target.megabytes:
            told = f"{peak - self._grown} MB more since it was last looked at, the bound is {self.target.megabytes} MB"
            self._fault("too much memory", told, data)
        self._grown = self.seen.peak_megabytes = peak
        if self._kept is not None and time.monotonic() > self._next:
            self.keep()

    def settle(self) -> None:
        """Look once more, at the end."""
        self._look(b"")

    def _fault(self, name: str, told: str, data: bytes) -> None:
        known = self.seen.faults.get(name)
        if known is None:
            self.seen.faults[name] = Fault(name, told, data.hex())
        else:
            known.times += 1
            if len(data) * 2 < len(known.input):
                known.told, known.input = told, data.hex()
        if known is None and self._kept is not None:
            self.keep()

    def keep(self) -> None:
        """Write what was seen; whole under another name first, for somebody may read it at any time."""
        if self._kept is not None:
            self._next = time.monotonic() + self._between
            new = self._kept.with_suffix(".new")
            new.write_text(json.dumps(asdict(self.seen)), "utf-8")
            os.replace(new, self._kept)


def seen_of(kept: Path) -> Seen:
    """What a watch has kept."""
    found = json.loads(kept.read_text("utf-8"))
    return Seen(**{**found, "faults": {name: Fault(**each) for name, each in found["faults"].items()}})


def name_of(error: BaseException) -> str:
    """One name for one fault: its kind, and where in our code it came out."""
    if isinstance(error, Unsound):
        return error.kind
    frames = traceback.extract_tb(error.__traceback__)
    ours = [each for each in frames if "/rxlint/" in Path(each.filename).as_posix()] or list(frames)
    return f"{type(error).__name__} in {Path(ours[-1].filename).name}:{ours[-1].name}"


def told_of(error: BaseException) -> str:
    """What an exception says, with the way to it."""
    return f"{error}"[:300] + "\n" + "".join(traceback.format_tb(error.__traceback__)[-4:])[:2_000]


def peak_megabytes() -> int:
    """The most memory that this process has held so far."""
    scale = 1024 * 1024 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // scale
