"""Renews what the documents show of the program: the finding in README.md, the table of slips in examples/README.md.

``python -m tests.shown`` writes them; a test holds them fresh.
"""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from typing import Final

from rxlint.library.discover import Input
from rxlint.library.rulings import Rulings
from rxlint.library.screen import screen_inputs
from rxlint.reports.style import Style
from rxlint.reports.text import Totals, report

ROOT: Final = Path(__file__).resolve().parent.parent
DAY: Final = datetime.date(2026, 11, 24)
SHOWN: Final = "examples/slips/peep-raised-alone.vrx"


def screen_example() -> str:
    """A run of `rxlint screen` on one slip, as a block of text."""
    results = screen_inputs([Input(SHOWN, ROOT / SHOWN)], Rulings(), DAY)
    lines = report(results, Style(False), False, Totals())
    return f"```text\n$ rxlint screen --on {DAY} {SHOWN}\n" + "\n".join(lines) + "\n```"


def slips_table() -> str:
    """Every slip with the rule that finds it, by rule."""
    rows = []
    for path in sorted((ROOT / "examples" / "slips").glob("*.vrx")):
        match = re.match(r"# Slip: (.*?)\s*Found by: (\S+?)\.?$", path.read_text(encoding="utf-8").splitlines()[0])
        if match is None:
            raise ValueError(f"{path.name} does not begin with '# Slip: ... Found by: RULE'")
        rows.append((match.group(2), path.name, match.group(1).replace("|", "\\|")))
    table = "\n".join(f"| `{name}` | {what} | `{rule}` |" for rule, name, what in sorted(rows))
    return f"| file | slip | found by |\n| --- | --- | --- |\n{table}"


def renewed(text: str, marker: str, block: str) -> str:
    """The text with the block between its markers replaced."""
    start, end = f"<!-- {marker} -->", f"<!-- end of {marker} -->"
    if start not in text or end not in text:
        raise ValueError(f"the markers of {marker} are missing")
    return text[: text.index(start) + len(start)] + "\n" + block + "\n" + text[text.index(end) :]


PAGES: Final = {"README.md": ("screen-example", screen_example), "examples/README.md": ("slips", slips_table)}


def fresh(page: str) -> str:
    """A page as it should be."""
    marker, block = PAGES[page]
    return renewed((ROOT / page).read_text(encoding="utf-8"), marker, block())


if __name__ == "__main__":
    for name in PAGES:
        (ROOT / name).write_text(fresh(name), encoding="utf-8")
