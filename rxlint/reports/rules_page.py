"""The page of all rules by area, with level, basis and source.

``python -m rxlint.reports.rules_page --write`` renews it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from typing import Final

from rxlint.data import data_folder
from rxlint.packs import Pack, Rule
from rxlint.packs.builtin import builtin_packs

NAME: Final = "ALL-RULES.md"
_HEAD: Final = """# All rules

Every rule of the built-in packs, by area. This page is made from the packs by
`python -m rxlint.reports.rules_page --write`; a test holds it fresh.
`rxlint rules ID` shows a rule's whole page: why it matters, what it says, and its cases.

Levels are defaults: `reject` not to be used as written, `query` ask the prescriber, `note` worth knowing. Basis:
`contradiction` in the order itself; `verified` a published source that was read; `practice` common practice, no
published source; `memory` a published source from memory. Only the first two may reject.
"""


def page_of(packs: Iterable[Pack]) -> str:
    """The whole page."""
    return "\n".join(_lines(packs)) + "\n"


def _lines(packs: Iterable[Pack]) -> Iterator[str]:
    listed = [pack for pack in packs if pack.rules]
    yield _HEAD
    total = sum(len(pack.rules) for pack in listed)
    yield f"{total} rules in {len(listed)} areas.\n"
    for pack in listed:
        yield f"## {pack.name}\n"
        yield f"{pack.summary}\n"
        yield "| rule | level | basis | finds | source |"
        yield "| --- | --- | --- | --- | --- |"
        for rule in pack.rules:
            yield _row(rule)
        yield ""


def _row(rule: Rule) -> str:
    levels = list(dict.fromkeys([rule.bounded(rule.level), *(rule.bounded(each.level) for each in rule.stricter)]))
    cells = (f"`{rule.id}`", " / ".join(levels), rule.basis, rule.title, rule.source)
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def main(arguments: list[str]) -> int:
    """Write the page beside the packs, or print it."""
    page = page_of(builtin_packs())
    if arguments == ["--write"]:
        (data_folder("rules") / NAME).write_text(page, encoding="utf-8")
    else:
        sys.stdout.write(page)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
