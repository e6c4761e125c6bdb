"""PAGE.md: what the rules say to clean orders, at first and now, and what was mended in between."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Final

from rxlint.screening.finding import Finding
from tests.clean.ledger import ENTRIES
from tests.clean.order import Order
from tests.clean.study import FIRST, HERE, LEVELS, UNMENDED, Results, read_results

PAGE: Final[Path] = HERE / "PAGE.md"
_RUNS: Final = "at first | rules not mended | now"
Heard = Sequence[tuple[Order, tuple[Finding, ...]]]

_HEAD: Final = """# What the rules say to clean orders

Made by `python -m tests.clean`; see [`__init__.py`](__init__.py). A rule that speaks here raises a false alarm, or the
generator has written something that a careful prescriber would not sign. Which, the ledger below says for each.

The orders are drawn from published facts: who is ventilated and with what, and what is set. None of it comes from the
rules. A single-compartment lung, the study's own, then breathes each order, and those whose volumes, pressures, trapped
gas, carbon dioxide or alarms do not fit together are thrown away, whatever a rule would have said to them.

What this shows, and what it does not: the orders are made, not collected. They vary as their author knew to vary them,
and nobody has signed one. After the first run the generator was mended, and then the rules; so the number now tells
what is left to explain, while the number at first is nearer to what somebody meets who has never seen the rules. That
the rules are silent on orders of the kinds that they were mended by says little of orders of other kinds.
"""


def first() -> Results:
    """The run before anything was mended."""
    return read_results(FIRST.read_text("utf-8"))


def unmended() -> Results:
    """The run after the generator was mended and before the rules were."""
    return read_results(UNMENDED.read_text("utf-8"))


def page(*runs: Results) -> str:
    """The page of the runs: at first, before the rules were mended, now."""
    return "\n".join([*_lines(runs), ""])


def _lines(runs: Sequence[Results]) -> Iterator[str]:
    first, between, now = runs
    yield _HEAD
    yield f"| | {_RUNS} |\n| --- | ---: | ---: | ---: |"
    yield _row("orders screened", (str(each.orders) for each in runs))
    yield _row("drawn and thrown away, for they were not consistent", (str(each.thrown) for each in runs))
    for level in LEVELS:
        yield _row(f"findings a hundred orders: {level}", (f"{each.per_hundred(level):.1f}" for each in runs))
    yield _row("orders with a finding above a note, of a hundred", (f"{_share(each):.1f}" for each in runs))
    yield (
        f"\nThe first run had seed {first.seed}. The generator was mended by its orders and by those of other\n"
        f"seeds; the rules by those of seed {between.seed}, in the second column. The orders now are those of seed\n"
        f"{now.seed}, of which none was looked at before. Kinds that were added while mending (masks on two limbs,\n"
        "oxygen bled in on a ward, exchangers in intensive care, pressures in mbar, gases in mm Hg, fractions of\n"
        "oxygen, times told as ratios and flows) are not in the first column.\n"
    )
    yield from _rules(runs)
    yield from _kinds(now)
    yield from _ledger()


def _row(name: str, cells: Iterable[str]) -> str:
    return f"| {name} | {' | '.join(cells)} |"


def _share(results: Results) -> float:
    return 100 * (results.worst.get("reject", 0) + results.worst.get("query", 0)) / results.orders


def _rules(runs: Sequence[Results]) -> Iterator[str]:
    yield "## Findings per hundred orders, by rule and level\n"
    yield f"| rule | level | {_RUNS} | orders now |\n| --- | --- | ---: | ---: | ---: | ---: |"
    by_rule = [{(each.rule, each.level): each for each in run.told} for run in runs]
    said = set().union(*by_rule)
    for rule, level in sorted(said, key=lambda key: (LEVELS.index(key[1]), key[0])):
        each_run = [told.get((rule, level)) for told in by_rule]
        shares = [100 * told.findings / run.orders if told else 0.0 for told, run in zip(each_run, runs, strict=True)]
        orders = each_run[-1].orders if each_run[-1] else 0
        yield _row(f"`{rule}` | {level}", (*(f"{share:.1f}" for share in shares), str(orders)))


def _kinds(now: Results) -> Iterator[str]:
    yield "\n## Kinds of orders\n\n| kind | orders | with a finding above a note |\n| --- | ---: | ---: |"
    for kind, (count, loud) in now.kinds.items():
        yield f"| {kind} | {count} | {loud} |"


def _ledger() -> Iterator[str]:
    yield "\n## Ledger\n\nEach rule that spoke, what was decided after reading three orders behind it, and why.\n"
    yield "| rule | decided | what was changed, or why it stays | source |\n| --- | --- | --- | --- |"
    for each in ENTRIES:
        rules = ", ".join(f"`{rule}`" for rule in each.rules)
        yield f"| {rules} | {each.decided} | {each.what} | {each.source} |"
