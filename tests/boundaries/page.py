"""tests/boundaries/PAGE.md: what came of the limits of each pack, each that was not tried in two units with why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from tests.boundaries.study import HOW, How, Verdict

PAGE: Final = Path(__file__).resolve().parent / "PAGE.md"
_HEAD: Final = """# Every limit at its very value, a step below and a step above

Every number of a pack that a condition of a rule compares with something. In a scope of one of the rule's own cases in
which the comparison decides what the rule answers, the term that is compared - or one that it is worked out from - is
put to the value at which the two sides meet, exactly, and to values one part in a million below and above it. What the
rule must answer there follows from the operator, strict or not: the comparison is taken for true or false, and the rest
of the rule is worked out. Held against that is what the exact evaluator and the compiled conditions answer, also a part
in 10^12 beside the limit, and what a screening of the case's text answers with the value written in the unit of the
case and in others that the term may be written in (mbar, kPa, mmHg, mL/min, ms, months, g ...). The number of the pack
itself is written in every other unit of its dimension as well, and must be the same number to an expression.

Where the limit has no decimal in a unit (10 mmHg in cmH2O has, 10 cmH2O in mmHg has none), the nearest steps on either
side are written there and not the limit. Where the value lies at the end of what can be written (0, 100 %), the reader
refuses what lies beyond, and the limit is crossed on its other side alone. Where the two sides meet in no exact value
(a root, a table of growth), the two nearest values on either side stand for it. Where a row of a table ends, another
term is moved to where the two rows answer differently; if that is not one value for both sides, each has its own. Of a
number that no condition reads, but code, only this is asked: whether a case stands at its very value, so that it is no
longer what it says once the number is moved by one part in a million.

Made by `python -m tests.boundaries`, which takes minutes; the test run tries a part of the limits, another part with
every change of the rules, and holds it against this page.

"""


def page(found: Mapping[str, Sequence[Verdict]]) -> str:
    """The page's text."""
    rows = [(name, each) for name, each in found.items() if each]
    every = [verdict for _, each in rows for verdict in each]
    counts = [_counts(name, each) for name, each in (*rows, ("all", every))]
    text = _HEAD + _table(("pack", "limits", *HOW.values(), "wrong"), counts)
    wrong = [verdict for verdict in every if verdict.faults]
    text += "\n## Wrong answers\n\n" + ("".join(f"- {line}\n" for line in faults_of(wrong)) or "None.\n")
    for how, title in _TITLES.items():
        chosen = [verdict for verdict in every if verdict.how == how]
        if chosen:
            text += f"\n## {title}\n\n" + _table(("limit", "number", "why no more"), [row_of(each) for each in chosen])
    return text


_TITLES: Final[dict[How, str]] = {
    "one unit": "Tried in text, in one unit",
    "scope": "Tried in a scope alone",
    "code": "Read by code",
    "not": "Not tried",
}


def faults_of(verdicts: Sequence[Verdict]) -> list[str]:
    """Every wrong answer, with its limit."""
    return [
        f"{each.pack}: {each.numbered.limit.where}: {each.numbered.limit.text}: {fault}"
        for each in verdicts
        for fault in each.faults
    ]


def row_of(verdict: Verdict) -> tuple[str, str, str]:
    """A limit that was not tried in two units, as the page shows it."""
    limit = verdict.numbered.limit
    return f"`{verdict.pack}` {limit.where}", limit.text, verdict.why


def line_of(row: Sequence[str]) -> str:
    """A row of a table."""
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |\n"


def _counts(name: str, verdicts: Sequence[Verdict]) -> list[str]:
    how = Counter(verdict.how for verdict in verdicts)
    wrong = sum(bool(verdict.faults) for verdict in verdicts)
    return [name, *map(str, (len(verdicts), *(how[each] for each in HOW), wrong))]


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    return "".join(line_of(row) for row in (head, ["---"] * len(head), *rows))
