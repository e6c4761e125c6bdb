"""tests/reached/PAGE.md: what reaches each rule, and the branches of rules that nothing reaches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from ruamel.yaml import YAML

from tests.packs.cases import RULES
from tests.reached.branches import Branch, unreached
from tests.reached.gather import of_cases, of_examples, of_slips
from tests.reached.seeded import EVERY, FILE, Seeded, read

HERE: Final = Path(__file__).resolve().parent
PAGE: Final = HERE / "PAGE.md"
REASONS: Final = HERE / "reasons.yaml"
_HEAD: Final = f"""# What reaches each rule

Where each rule answers and where it speaks: in the example documents (orders and templates, readings beside their
order, the worked story with its changes), in the slips among the examples, in the seeded slips of tests/slips, in the
rule's own cases. A rule answers a document where it is met or broken there. Of the seeded slips every {EVERY}th of
each kind in each document was screened, the first among them.

Made by `python -m tests.reached`; the seeded slips, which take minutes, are screened by `python -m tests.reached
--seeded`. A test fails where a rule has no case on which it speaks and none on which it is met, and where neither an
example nor a slip makes a rule speak that does not stand in reasons.yaml.

"""
_HEAD_BRANCHES: Final = """
## Branches that nothing reaches

A rule, and each term of its pack, can answer in several ways: by the parts of the rule, the rows of a table, the
alternatives of an `or`, a stricter level, the events that find it. A row is reached where it is the one that counts, an
alternative where it alone of its `or` is true, a part and a level where the rule is broken by them; each in a case of a
rule that reads it, or in an example.

"""


@dataclass(frozen=True, slots=True)
class Row:
    """How many examples a rule answers, where it speaks among examples and slips, and its cases by kind."""

    rule: str
    answered: int
    example: str
    slip: str
    seeded: Seeded | None
    cases: Mapping[str, int]

    @property
    def is_shown(self) -> bool:
        """Whether an example, a slip or a seeded slip makes it speak."""
        return bool(self.example or self.slip or self.seeded)


@cache
def rows() -> tuple[Row, ...]:
    """A row for each rule, in the order of the packs."""
    examples, slips, cases = of_examples(), of_slips(), of_cases()
    seeded = read(FILE.read_text("utf-8"))[1]
    return tuple(
        Row(
            rule.id,
            len(examples[rule.id].answered),
            _first(examples[rule.id].spoke),
            _first(slips[rule.id].spoke),
            seeded.get(rule.id),
            cases[rule.id],
        )
        for rule in RULES
    )


def _first(names: Sequence[str]) -> str:
    return names[0].removesuffix(".vrx") + (f" and {len(names) - 1} more" if len(names) > 1 else "") if names else ""


def reasons() -> dict[str, str]:
    """By rule, why no example and no slip makes it speak. Raises ValueError for a rule that stands twice."""
    loaded: Any = YAML(typ="safe", pure=True).load(REASONS.read_text("utf-8"))
    found: dict[str, str] = {}
    for each in loaded:
        for rule in each["rules"]:
            if rule in found:
                raise ValueError(f"{rule} stands twice in {REASONS.name}")
            found[rule] = " ".join(each["because"].split())
    return found


def page() -> str:
    """The page's text."""
    every, why = rows(), reasons()
    total, branches = unreached()
    hidden = [(f"`{row.rule}`", why.get(row.rule, "NO REASON")) for row in every if not row.is_shown]
    text = _HEAD + _table(("", "rules"), _counts(every))
    text += "\n## Rules that only their cases make speak\n\n" + _table(("rule", "why"), hidden)
    text += _HEAD_BRANCHES + f"{total} branches, {len(branches)} of them reached by nothing:\n\n"
    text += "".join(f"- {_told(branch)}\n" for branch in branches)
    head = ("rule", "examples answered", "speaks in an example", "in a slip", "in seeded slips", "fires, holds, silent")
    return text + "\n## All rules\n\n" + _table(head, [_cells(row) for row in every])


def _counts(every: Sequence[Row]) -> list[tuple[str, str]]:
    told = (
        ("answer an example", sum(row.answered > 0 for row in every)),
        ("speak in an example", sum(bool(row.example) for row in every)),
        ("speak in a slip among the examples", sum(bool(row.slip) for row in every)),
        ("speak in a seeded slip", sum(row.seeded is not None for row in every)),
        ("speak in a case", sum(row.cases["fires"] > 0 for row in every)),
        ("speak in a case alone", sum(not row.is_shown for row in every)),
        ("all", len(every)),
    )
    return [(name, str(count)) for name, count in told]


def _told(branch: Branch) -> str:
    return f"`{branch.home}`, {branch.kind} {branch.number}: `{branch.text}`"


def _cells(row: Row) -> tuple[str, ...]:
    seeded = f"{row.seeded.slips}, the first: {row.seeded.kind} in {row.seeded.document}" if row.seeded else ""
    return f"`{row.rule}`", str(row.answered), row.example, row.slip, seeded, ", ".join(map(str, row.cases.values()))


def _table(head: Sequence[str], lines: Sequence[Sequence[str]]) -> str:
    every = (head, ["---"] * len(head), *lines)
    return "".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |\n" for line in every)
