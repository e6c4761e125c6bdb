"""Checker's sheets that are kept, of small documents: reading, making and comparing them.

`python -m tests.sheets --write` makes them anew; look at the difference before it is committed. The style sheet and the
drawings are left out of what is kept: these have tests of their own, and every change of theirs would touch each page.
"""

import datetime
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rxlint.library.comparing import Compared, compare_pairs, pairs_of
from rxlint.library.rulings import Rulings
from rxlint.library.screen import Screened, screen_bytes
from rxlint.reports.sheet.content import Given, sheet_of
from rxlint.reports.sheet.rows import Sheet
from rxlint.screening.ruleset import RuleSet
from tests.documents import DAY
from tests.golden import rules_of

ROOT: Final = Path(__file__).resolve().parent.parent
KEPT: Final = ROOT / "tests" / "cases" / "sheets"
PACKS: Final = "notation relation mode pressure timing alarms oxygen"


def kept() -> Iterator[tuple[Path, Path]]:
    """Each document with its page."""
    for path in sorted(KEPT.glob("*.vrx")):
        if not path.stem.endswith(".before"):
            yield path, path.with_suffix(".html")


def rules() -> RuleSet:
    """Some of the built-in packs, so that a rule of another changes no page."""
    return rules_of(PACKS)


def screened(data: bytes, shown: str = "order.vrx", day: datetime.date = DAY) -> Screened:
    """A document's bytes, screened."""
    return screen_bytes(shown, data, rules(), day)


def sheet_of_bytes(data: bytes, shown: str = "order.vrx", compared: Compared | None = None) -> Sheet:
    """The rows of the sheet of some bytes."""
    return sheet_of(screened(data, shown), Given(rules(), DAY, data=data, version="0", compared=compared))


def sheet_of_text(text: str) -> Sheet:
    """The rows of the sheet of a text."""
    return sheet_of_bytes(text.encode("utf-8"))


def page_of(path: Path) -> str:
    """The page of a document, compared with the one before it where there is one; without style and pictures."""
    from rxlint.reports.sheet.render import sheet_html

    before = path.with_name(f"{path.stem}.before.vrx")
    compared = None
    if before.is_file():
        (compared,) = compare_pairs(pairs_of(str(before), str(path)), Rulings(nearest=False), DAY)
    page = sheet_html(sheet_of_bytes(path.read_bytes(), path.name, compared=compared))
    return without_pictures(page).replace(f"{path.parent}/", "")


def without_pictures(page: str) -> str:
    """A page without the style sheet, its digest and what drawings draw."""
    page = re.sub(r"<style>.*?</style>", "<style></style>", page, flags=re.DOTALL)
    page = re.sub(r"sha256-[A-Za-z0-9+/=]*", "sha256-", page)
    return re.sub(r"<svg.*?</svg>", "<svg></svg>", page, flags=re.DOTALL)


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit("usage: python -m tests.sheets --write")
    for document, golden in kept():
        golden.write_text(page_of(document), "utf-8")
