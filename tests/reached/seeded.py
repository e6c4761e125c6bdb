"""Which rules speak on the seeded slips, notes too: screened once (minutes) and kept in seeded.csv beside this file.

Of each kind in each document every fourth slip is screened, the first among them.

For each rule the file names the first slip on which it speaks, so that a test can screen that slip again; its first
line names the slips that it was made from, as that of tests/slips/results.csv does.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from rxlint.library.screen import screen_bytes
from rxlint.screening.ruleset import builtin_rules
from tests.slips.harness import DAY, documents, slips_of
from tests.slips.kinds import KINDS

FILE: Final = Path(__file__).resolve().parent / "seeded.csv"
EVERY: Final = 4
_HEAD: Final = ("rule", "slips", "first in", "kind", "number")


@dataclass(frozen=True, slots=True)
class Seeded:
    """On how many of the slips that are screened a rule speaks, and the first: document, kind and number, from 0."""

    slips: int
    document: str
    kind: str
    number: int


def screened(told: Callable[[str], None] = lambda _: None) -> dict[str, Seeded]:
    """Screen the seeded slips; by rule, where it spoke. A text that can't be screened raises RuntimeError."""
    found: dict[str, Seeded] = {}
    for path in documents():
        for kind in KINDS:
            for number, slip in enumerate(slips_of(path, kind)):
                for rule in speakers(path.stem, slip.text) if number % EVERY == 0 else ():
                    first = found.get(rule, Seeded(0, path.stem, kind.name, number))
                    found[rule] = replace(first, slips=first.slips + 1)
        told(f"{path.stem}: {len(found)} rules")
    return found


def speakers(name: str, text: str) -> frozenset[str]:
    """The rules that find something in a text on the day of the study."""
    result = screen_bytes(name, text.encode("utf-8"), builtin_rules(), DAY)
    if result.screening is None or result.screening.crashes:
        raise RuntimeError(f"{name}: {result.problems or (result.screening and result.screening.crashes)}")
    return frozenset(each.rule for each in result.screening.findings if each.counts)


def text_of(slip: Seeded) -> str:
    """The text of the slip that is named for a rule."""
    path = next(each for each in documents() if each.stem == slip.document)
    kind = next(each for each in KINDS if each.name == slip.kind)
    return slips_of(path, kind)[slip.number].text


def written(found: Mapping[str, Seeded], made_from: str) -> str:
    """The file's text."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow((made_from,))
    table.writerow(_HEAD)
    for rule, each in sorted(found.items()):
        table.writerow((rule, each.slips, each.document, each.kind, each.number))
    return out.getvalue()


def read(text: str) -> tuple[str, dict[str, Seeded]]:
    """The digest of the slips that a file of this kind was made from, and what it says by rule."""
    rows = list(csv.reader(io.StringIO(text)))
    found = {rule: Seeded(int(slips), document, kind, int(number)) for rule, slips, document, kind, number in rows[2:]}
    return rows[0][0], found
