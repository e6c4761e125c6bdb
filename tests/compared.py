"""Reports of comparisons, kept beside the two texts they compare: `python -m tests.compared --write` makes them.

Each stands for a sort of change: `NAME.old.vrx` and `NAME.new.vrx`, with the text report in `NAME.txt` and the comment
of a review in `NAME.md`. Look at the difference before it is committed.
"""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rxlint.library.comparing import Compared, Pair, Version, compare_pairs
from rxlint.library.rulings import Rulings
from rxlint.reports import compare_markdown, compare_text
from rxlint.reports.compare_text import Totals
from rxlint.reports.style import Style
from tests.documents import DAY

FOLDER: Final = Path(__file__).resolve().parent / "reports" / "compare"


def names() -> list[str]:
    return sorted(path.name.removesuffix(".old.vrx") for path in FOLDER.glob("*.old.vrx"))


def compared(name: str) -> Compared:
    old, new = (_version(f"{name}.{which}.vrx") for which in ("old", "new"))
    (found,) = compare_pairs([Pair(old, new)], Rulings(nearest=False), DAY)
    return found


def _version(name: str) -> Version:
    return Version(name, "", (FOLDER / name).read_bytes(), FOLDER / name)


def reports(name: str) -> Iterator[tuple[Path, str]]:
    """Where each report of a comparison is kept, and what it is now."""
    found = compared(name)
    yield FOLDER / f"{name}.txt", "\n".join((*compare_text.report([found], Style(), Totals()), ""))
    yield FOLDER / f"{name}.md", "\n".join((*compare_markdown.report([found], Totals()), ""))


def write() -> None:
    made = {path: text for name in names() for path, text in reports(name)}
    for path in (*FOLDER.glob("*.txt"), *FOLDER.glob("*.md")):
        if path not in made:
            path.unlink()
    for path, text in made.items():
        path.write_text(text, "utf-8")


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit("usage: python -m tests.compared --write")
    write()
