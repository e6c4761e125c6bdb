"""PAGE.md: what the rules say to clean orders, at first and now, and what was mended in between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from rxlint.screening.finding import Finding
from tests.clean.ledger import ENTRIES
from tests.clean.order import Order
from tests.clean.study import FIRST, HERE, LEVELS, Results, read_results

PAGE: Final[Path] = HERE / "PAGE.md"
Heard = Sequence[tuple[Order, tuple[Finding, ...]]]

_HEAD: Final = """# What the rules say to clean orders

Made by `python -m tests.clean`; see [`__init__.py`](__init__.py). A rule that speaks here raises a false alarm, or the
generator has written something that a careful prescriber would not sign. Which, the ledger below says for each.

The orders are drawn from published facts: who is ventilated and with what, and what is set. None of it comes from the
rules. A single-compartment lung, the study's own, then breathes each order, and those whose volumes, pressures, trapped
gas, carbon dioxide or alarms do not fit together are thrown away, whatever a rule would have said to them.

What this shows, and what it does not: the orders are made, not collected. They vary as their author knew to vary them,
and nobody has signed one. After the first run the generator was mended; so the number now tells what is left to
explain, while the number at first is nearer to what somebody meets who has never seen the rules.
"""


def first() -> Results:
    """The run before anything was mended."""
    return read_results(FIRST.read_text("utf-8"))


def page(now: Results, before: Results) -> str:
    return "\n".join([*_lines(now, before), ""])


def _lines(now: Results, before: Results) -> Iterator[str]:
    yield _HEAD
    yield "| | at first | now |\n| --- | ---: | ---: |"
    yield f"| orders screened | {before.orders} | {now.orders} |"
    yield f"| drawn and thrown away, for they were not consistent | {before.thrown} | {now.thrown} |"
    for level in LEVELS:
        yield f"| findings a hundred orders: {level} | {before.per_hundred(level):.1f} | {now.per_hundred(level):.1f} |"
    above, then = _share(now), _share(before)
    yield f"| orders with a finding above a note, of a hundred | {then:.1f} | {above:.1f} |"
    yield (
        f"\nThe orders now are those of seed {now.seed}; the first run had seed {before.seed}. The generator was\n"
        "mended by orders of the first run and of other seeds. Kinds that were added while mending (masks on two\n"
        "limbs, oxygen bled in on a ward, exchangers in intensive care, pressures in mbar, gases in mm Hg, fractions\n"
        "of oxygen, times told as ratios and flows) are in the later column alone.\n"
    )
    yield from _rules(now, before)
    yield from _kinds(now)
    yield from _ledger()


def _share(results: Results) -> float:
    return 100 * (results.worst.get("reject", 0) + results.worst.get("query", 0)) / results.orders


def _rules(now: Results, before: Results) -> Iterator[str]:
    yield "## Findings per hundred orders, by rule and level\n"
    yield "| rule | level | at first | now | orders now |\n| --- | --- | ---: | ---: | ---: |"
    latest = {(each.rule, each.level): each for each in now.told}
    earliest = {(each.rule, each.level): each for each in before.told}
    for rule, level in sorted(latest | earliest, key=lambda key: (LEVELS.index(key[1]), key[0])):
        then, here = earliest.get((rule, level)), latest.get((rule, level))
        old = 100 * then.findings / before.orders if then else 0.0
        new = 100 * here.findings / now.orders if here else 0.0
        yield f"| `{rule}` | {level} | {old:.1f} | {new:.1f} | {here.orders if here else 0} |"


def _kinds(now: Results) -> Iterator[str]:
    yield "\n## Kinds of orders\n\n| kind | orders | with a finding above a note |\n| --- | ---: | ---: |"
    for kind, (count, loud) in now.kinds.items():
        yield f"| {kind} | {count} | {loud} |"


def _ledger() -> Iterator[str]:
    yield "\n## Ledger\n\nEach rule that spoke, what was decided after reading three orders behind it, and why.\n"
    yield "| rule | decided | what was changed, or is proposed | source |\n| --- | --- | --- | --- |"
    for each in ENTRIES:
        rules = ", ".join(f"`{rule}`" for rule in each.rules)
        yield f"| {rules} | {each.decided} | {each.what} | {each.source} |"
