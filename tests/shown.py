"""Renews what the documents show of the program: in README.md the finding, the words of a picture and the session of
Python, in examples/README.md the table of slips. The pictures themselves: ``tests.pictures``.

``python -m tests.shown`` writes them; a test holds them fresh.
"""

from __future__ import annotations

import code
import contextlib
import datetime
import io
import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final

from rxlint.library.discover import Input
from rxlint.library.rulings import Rulings
from rxlint.library.screen import screen_inputs
from rxlint.reports.style import Style
from rxlint.reports.text import Totals, closing, text_of
from tests.page.pictures import blocks as page_blocks
from tests.pictures import run_block, sheet_block

ROOT: Final = Path(__file__).resolve().parent.parent
DAY: Final = datetime.date(2026, 11, 24)
SHOWN: Final = "examples/slips/peep-raised-alone.vrx"


def screen_example() -> str:
    """A run of `rxlint screen` on one slip, as a block of text."""
    (screened,) = screen_inputs([Input(SHOWN, ROOT / SHOWN)], Rulings(), DAY)
    totals = Totals()
    totals.add(screened)
    lines = (*text_of(screened, Style()), *closing(totals))
    return f"```text\n$ rxlint screen --on {DAY} {SHOWN}\n" + "\n".join(lines) + "\n```"


# One entry a statement, as somebody types it; what it prints is found by running it.
SESSION: Final = (
    "import datetime, pathlib, rxlint",
    f'order = pathlib.Path("{SHOWN}").read_text("utf-8")',
    f'day = datetime.date.fromisoformat("{DAY}")',
    "screened = rxlint.screen_text(order, on=day)",
    """for found in screened.findings:
    print(f"line {found.place.line}: {found.level}: {found.message}")
    print(*(correction.text for correction in found.corrections), sep="\\n")""",
    'screened.fails(at="query"), screened.problems',
    "values = {value.term: value for value in rxlint.derive(order).values}",
    'values["supported peak"].text, values["supported peak"].formula, values["supported peak"].numbers',
    'earlier = order.replace("PEEP                  7 cmH2O", "PEEP                  5 cmH2O")',
    "[(change.term, change.before, change.after) for change in rxlint.compare(earlier, order, on=day).changes]",
)


def python_example() -> str:
    """A session of Python with what it prints."""
    return f"```pycon\n{session(SESSION)}\n```"


def session(statements: tuple[str, ...]) -> str:
    """Statements as they are typed, each with what it prints. Raises RuntimeError where one fails."""
    interpreter = code.InteractiveInterpreter()
    told: list[str] = []
    with contextlib.chdir(ROOT):
        for statement in statements:
            first, *more = statement.split("\n")
            out, error = io.StringIO(), io.StringIO()
            with contextlib.redirect_stdout(out), contextlib.redirect_stderr(error):
                unfinished = interpreter.runsource(statement + ("\n" if more else ""), symbol="single")
            if unfinished or error.getvalue():
                raise RuntimeError(f"{statement}\n{error.getvalue() or 'is not finished'}")
            told += [f">>> {first}", *(f"... {line}" for line in more), *(["..."] if more else [])]
            told += out.getvalue().splitlines()
    return "\n".join(told)


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


PAGES: Final[dict[str, tuple[tuple[str, Callable[[], str]], ...]]] = {
    "README.md": (
        ("screen-picture", run_block),
        ("sheet-picture", sheet_block),
        *((name, partial(str, block)) for name, block in page_blocks().items()),
        ("screen-example", screen_example),
        ("python-example", python_example),
    ),
    "examples/README.md": (("slips", slips_table),),
}


def fresh(page: str) -> str:
    """A page as it should be."""
    text = (ROOT / page).read_text(encoding="utf-8")
    for marker, block in PAGES[page]:
        text = renewed(text, marker, block())
    return text


if __name__ == "__main__":
    for name in PAGES:
        (ROOT / name).write_text(fresh(name), encoding="utf-8")
