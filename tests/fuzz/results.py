"""The figures of all runs so far, which add up: `results.json`, from which the page is written."""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Final

from tests.fuzz.run import Session

KEPT: Final = Path(__file__).with_name("results.json")


@dataclass(slots=True)
class Total:
    """What is known of one target: sums over its runs, and the worst of them. Seconds are processor time."""

    executions: int = 0
    guided: int = 0  # of the executions, those under atheris
    wall: float = 0
    busy: float = 0
    worst: float = 0
    peak_megabytes: int = 0
    edges: int | None = None
    runs: int = 0
    faults: dict[str, int] = field(default_factory=dict)  # by name, how often


def totals(kept: Path = KEPT) -> dict[str, Total]:
    """The totals by target; none where nothing was run yet."""
    if not kept.exists():
        return {}
    return {name: Total(**each) for name, each in json.loads(kept.read_text("utf-8")).items()}


def add(session: Session, kept: Path = KEPT) -> None:
    """Add a session to what is kept."""
    found = totals(kept)
    total, seen = found.setdefault(session.target, Total()), session.seen
    total.executions += seen.executions
    total.guided += seen.executions if session.engine == "atheris" else 0
    total.wall = round(total.wall + session.wall, 1)
    total.busy = round(total.busy + seen.busy, 1)
    total.worst = round(max(total.worst, seen.worst), 4)
    total.peak_megabytes = max(total.peak_megabytes, seen.peak_megabytes)
    edges = [each for each in (total.edges, session.edges) if each is not None]
    total.edges = max(edges) if edges else None
    total.runs += 1
    for name, fault in seen.faults.items():
        total.faults[name] = total.faults.get(name, 0) + fault.times
    new = kept.with_suffix(".new")
    new.write_text(json.dumps({name: asdict(each) for name, each in found.items()}, indent=1) + "\n", "utf-8")
    os.replace(new, kept)
