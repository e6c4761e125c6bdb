"""Reports that are kept beside what they report on: reading, making and comparing them.

`python -m tests.golden --write` makes them anew; look at the difference before it is committed.
"""

import re
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

from rxlint.library.discover import Input
from rxlint.library.screen import screen_bytes
from rxlint.packs.builtin import builtin_packs
from rxlint.reports.calculations import text_of as calculations_text
from rxlint.reports.style import Style
from rxlint.reports.text import Totals, closing, text_of
from rxlint.screening.ruleset import RuleSet, builtin_rules, prepare
from tests.documents import DAY
from tests.shelf import shelf_of

ROOT: Final = Path(__file__).resolve().parent.parent
CASES: Final = ROOT / "tests" / "cases"
VIGNETTES: Final = CASES / "vignettes"
CALCULATIONS: Final = CASES / "calculations"
SLIPS: Final = ROOT / "examples" / "slips"


def pairs() -> Iterator[tuple[Path, Path]]:
    """Each document with its report: the cases of the tests, with whole stories, and the slips of the examples."""
    for path in (*sorted(CASES.glob("*.vrx")), *sorted(VIGNETTES.glob("*.vrx"))):
        yield path, path.with_suffix(".txt")
    for path in sorted(SLIPS.glob("*.vrx")):
        yield path, CASES / "examples" / f"{path.stem}.txt"


def calculation_pairs() -> Iterator[tuple[Path, Path]]:
    """Each document with everything that follows from it."""
    for path in sorted(CALCULATIONS.glob("*.vrx")):
        yield path, path.with_suffix(".txt")


@cache
def rules_of(names: str) -> RuleSet:
    """The built-in packs of these names, all of them where there is none."""
    wanted = names.split()
    return prepare([pack for pack in builtin_packs() if pack.name in wanted]) if wanted else builtin_rules()


def report_of(path: Path) -> str:
    """The text report of a document; of an example or a story without its closing lines, which count all rules.

    Its first line may name the packs to run, so that a case shows what it is about, and may ask for the coverage:
    `# packs: notation mode; coverage`.
    """
    data = path.read_bytes()
    head = re.match(rb"# packs: ([a-z ]+)(; coverage)?\r?\n", data)
    rules = rules_of(head.group(1).decode() if head else "")
    screened = screen_bytes(path.name, data, rules, DAY, shelf=shelf_of(path))
    if path.parent in (SLIPS, VIGNETTES):
        return "\n".join((*text_of(screened, Style()), ""))
    totals = Totals()
    totals.add(screened)
    return "\n".join((*text_of(screened, Style(), bool(head and head.group(2))), *closing(totals), ""))


def calculations_of(path: Path) -> str:
    """The text of `rxlint calculations` on a document."""
    return "".join(piece for piece, _ in calculations_text([Input(path.name, path)]))


def write() -> None:
    """Make every report anew, and take away those whose document is gone."""
    made = {golden: report_of(path) for path, golden in pairs()}
    made |= {golden: calculations_of(path) for path, golden in calculation_pairs()}
    for path in CASES.rglob("*.txt"):
        if path not in made and path.parent != CASES / "setup":  # lists for ventilators are kept by tests.setup_lists
            path.unlink()
    for golden, text in made.items():
        golden.parent.mkdir(exist_ok=True)
        golden.write_text(text, "utf-8")


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit("usage: python -m tests.golden --write")
    write()
