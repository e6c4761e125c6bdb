"""PAGE.md: what was run and what came of it, from results.json."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from tests.fuzz.results import Total
from tests.fuzz.targets import TARGETS

PAGE: Final = Path(__file__).with_name("PAGE.md")
_HEAD: Final = """\
# Figures of the fuzzing

Written by `python -m tests.fuzz --record`, which adds to `results.json`. Times are processor time, memory is the peak
of the whole process, with rxlint and its packs loaded. An *edge* is a branch of rxlint that atheris saw an input take
for the first time. A fault counts each time that an input met it before it was mended; README.md tells what each was.

"""
_COLUMNS: Final = (
    *("target", "inputs", "of them guided", "inputs a second"),
    *("worst input", "bound", "peak memory", "edges", "faults met"),
)


def page(totals: Mapping[str, Total]) -> str:
    """The page of some figures."""
    rows = [_row(name, totals[name]) for name in TARGETS if name in totals]
    whole = sum(each.executions for each in totals.values())
    hours = sum(each.wall for each in totals.values()) / 3600
    busy = sum(each.busy for each in totals.values())
    told = (
        f"{whole:,} inputs in {hours:.2f} hours, of which {busy:,.0f} s are processor time inside the targets; the rest"
        " went to starting, to atheris and to waiting for a shared machine.\n\n"
    )
    head = f"| {' | '.join(_COLUMNS)} |\n| --- {'| --: ' * (len(_COLUMNS) - 1)}|\n"
    return _HEAD + told + head + "".join(rows) + _untried(totals)


def _row(name: str, total: Total) -> str:
    rate = total.executions / total.busy if total.busy else 0
    cells = (
        f"`{name}`",
        f"{total.executions:,}",
        f"{total.guided:,}",
        f"{rate:,.0f}",
        f"{total.worst:.3f} s",
        f"{TARGETS[name].seconds:g} s",
        f"{total.peak_megabytes} MB",
        "-" if total.edges is None else f"{total.edges:,}",
        f"{len(total.faults)}",
    )
    return f"| {' | '.join(cells)} |\n"


def _untried(totals: Mapping[str, Total]) -> str:
    left = [f"`{name}`" for name in TARGETS if name not in totals]
    return f"\nNot run yet: {', '.join(left)}.\n" if left else ""
