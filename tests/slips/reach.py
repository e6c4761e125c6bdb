"""Which rules slips reach, and which no slip reaches: `reached` says where each was first heard.

A slip is a slip file of the examples, whose first line names its rule (tests/test_examples.py holds that), a slip
beside another file (beside.csv), or one that is seeded into a sound document.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from rxlint.library.screen import screen_bytes
from rxlint.screening.ruleset import builtin_rules
from tests.slips.beside import read_rows
from tests.slips.harness import DAY, ROOT, documents, slips_of
from tests.slips.kinds import KINDS

SEEDED: Final[Mapping[str, tuple[str, str]]] = {
    "alarms.crosses-setting": ("TM-0417-tracheostomy-night", "alarm limit of another patient"),
    "mode.ceiling-by-alarm": ("TM-0504-child-tube-volume-targeted", "line lost"),
    "governance.acceptance-worse": ("TM-0533-infant-finding-accepted", "alarm limit of another patient"),
}
"""Rules that need no file of the examples to themselves: the document and the kind of slips that reach them."""

NOT_REACHED: Final[Mapping[str, str]] = {}
"""Rules that no slip can reach, each with the reason."""

_NAMED: Final = re.compile(r"^# Slip: .*\b([a-z]+\.[a-z-]+)\s*$")


def reached() -> dict[str, str]:
    """Every rule that a slip reaches, with the slip, in the order of the packs."""
    found = {**by_seeded(), **by_beside(), **by_examples()}
    return {rule: found[rule] for rule in builtin_rules().order if rule in found}


def unreached() -> list[str]:
    """The rules of ours that no slip reaches and for which no reason stands."""
    found = reached()
    return [rule for rule in builtin_rules().order if rule not in found and rule not in NOT_REACHED]


def by_examples() -> dict[str, str]:
    """The rules that the slip files of the examples name."""
    found: dict[str, str] = {}
    for path in sorted((ROOT / "examples" / "slips").glob("*.vrx")):
        named = _NAMED.match(path.read_text("utf-8").split("\n", 1)[0])
        if named is not None:
            found.setdefault(named[1], f"examples/slips/{path.name}")
    return found


def by_beside() -> dict[str, str]:
    """The rules that the study of slips beside another file has heard, be it as a note."""
    _, rows = read_rows()
    return {rule: f"{row.kind}: {row.told}" for row in reversed(rows) for rule in row.fitting}


def by_seeded() -> dict[str, str]:
    """The rules of `SEEDED` that the slips named there reach, screened now."""
    found: dict[str, str] = {}
    for rule, (document, name) in SEEDED.items():
        path = next(each for each in documents() if each.stem == document)
        kind = next(each for each in KINDS if each.name == name)
        for slip in slips_of(path, kind):
            if rule in speakers(document, slip.text):
                found[rule] = f"{document}, {name}: {slip.before} -> {slip.after}"
                break
    return found


def speakers(name: str, text: str) -> frozenset[str]:
    """The rules that find something in a text, notes too."""
    screening = screen_bytes(name, text.encode("utf-8"), builtin_rules(), DAY).screening
    return frozenset(each.rule for each in screening.findings if each.counts) if screening is not None else frozenset()
