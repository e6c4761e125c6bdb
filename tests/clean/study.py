"""Screening the clean orders, and what the rules said to them."""

from __future__ import annotations

import csv
import hashlib
import io
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from rxlint.library.screen import screen_bytes
from rxlint.notation.document import read_document
from rxlint.notation.tree import Entry
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import builtin_rules
from rxlint.text import source_of_text
from rxlint.text.source import Source
from tests.clean.order import DAY, Order
from tests.clean.scenarios import draw

HERE: Final = Path(__file__).resolve().parent
FIRST: Final = HERE / "first.csv"
"""The findings before anything was mended."""
UNMENDED: Final = HERE / "unmended.csv"
"""The findings after the generator was mended and before the rules were."""
NOW: Final = HERE / "results.csv"
ORDERS: Final = 600
SEED: Final = 2026
"""The orders of PAGE.md: none of them was looked at while the generator and the rules were mended."""
LEVELS: Final = ("reject", "query", "note")


@dataclass(frozen=True)
class Told:
    """One rule at one level: its findings, and the orders with at least one."""

    rule: str
    level: str
    findings: int
    orders: int


@dataclass(frozen=True)
class Results:
    """A run: how it was drawn, what was thrown away, what was said, and to how many orders each worst level."""

    orders: int
    seed: int
    thrown: int
    told: tuple[Told, ...]
    worst: Mapping[str, int]
    kinds: Mapping[str, tuple[int, int]]
    """Each kind of order: how many there are, and how many of them have a finding above a note."""
    digest: str
    """Changes with any of the orders."""
    by_order: tuple[tuple[str, ...], ...]
    """What was said to each order: rule and level, sorted."""

    def of_level(self, *levels: str) -> int:
        return sum(each.findings for each in self.told if each.level in levels)

    def per_hundred(self, *levels: str) -> float:
        """Findings of these levels per hundred orders."""
        return 100 * self.of_level(*levels) / self.orders


def findings_of(order: Order, name: str = "order") -> tuple[Finding, ...]:
    """All findings. An order that can't be screened, or a rule that crashes, is an error."""
    screened = screen_bytes(name, order.text.encode("utf-8"), builtin_rules(), DAY)
    if screened.screening is None or screened.screening.crashes:
        raise RuntimeError(f"{name}: {screened.problems or (screened.screening and screened.screening.crashes)}")
    return screened.screening.findings


def unread_lines(order: Order) -> list[str]:
    """The lines of an order that the reader could not read to the end."""
    source = source_of_text(order.text)
    assert isinstance(source, Source)
    document = read_document(source)
    wrong = [each.text for each in document.entries if _is_unread(each)]
    return wrong + [block.entry.text for block in document.blocks if not block.readable]


def _is_unread(entry: Entry) -> bool:
    if entry.kind == "unread" or entry.events:
        return True
    return entry.kind == "detail" and (entry.statement is None or entry.statement.body is None)


def run(orders: int, seed: int) -> tuple[Results, list[tuple[Order, tuple[Finding, ...]]]]:
    """Draw, screen, count."""
    drawn = draw(orders, seed)
    heard = [(order, findings_of(order, f"{seed}/{at}")) for at, order in enumerate(drawn.orders)]
    return results_of(heard, seed, drawn.thrown.total()), heard


def results_of(heard: Sequence[tuple[Order, tuple[Finding, ...]]], seed: int, thrown: int) -> Results:
    findings: Counter[tuple[str, str]] = Counter()
    orders: defaultdict[tuple[str, str], set[int]] = defaultdict(set)
    for at, (_, found) in enumerate(heard):
        for each in found:
            findings[each.rule, each.level] += 1
            orders[each.rule, each.level].add(at)
    told = tuple(Told(*key, count, len(orders[key])) for key, count in sorted(findings.items(), key=_loudest))
    worst = Counter(_worst(found) for _, found in heard)
    drawn = Counter(order.kind for order, _ in heard)
    loud = Counter(order.kind for order, found in heard if _worst(found) in LEVELS[:2])
    kinds = {kind: (count, loud[kind]) for kind, count in sorted(drawn.items())}
    by_order = tuple(said(found) for _, found in heard)
    return Results(len(heard), seed, thrown, told, worst, kinds, digest_of([order for order, _ in heard]), by_order)


def said(found: Iterable[Finding]) -> tuple[str, ...]:
    """Findings as they are kept: rule and level."""
    return tuple(sorted(f"{each.rule} {each.level}" for each in found))


def digest_of(orders: Iterable[Order]) -> str:
    return hashlib.sha256("\n".join(order.text for order in orders).encode("utf-8")).hexdigest()[:16]


def _loudest(item: tuple[tuple[str, str], int]) -> tuple[int, int, str]:
    (rule, level), count = item
    return LEVELS.index(level), -count, rule


def _worst(found: Iterable[Finding]) -> str:
    levels = {each.level for each in found}
    return next((level for level in LEVELS if level in levels), "nothing")


# ---- kept between runs
def stored(results: Results) -> str:
    """The results as CSV: the numbers of the run first, then a row for each rule and level."""
    return "".join(_rows(results))


def _rows(results: Results) -> Iterator[str]:
    def row(*cells: object) -> str:
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerow(cells)
        return text.getvalue()

    yield row("run", results.orders, results.seed, results.thrown, results.digest)
    for level in (*LEVELS, "nothing"):
        yield row("worst", level, results.worst.get(level, 0))
    for kind, (count, loud) in results.kinds.items():
        yield row("kind", kind, count, loud)
    for each in results.told:
        yield row("rule", each.rule, each.level, each.findings, each.orders)
    for at, told in enumerate(results.by_order):
        if told:
            yield row("order", at, *told)


def read_results(text: str) -> Results:
    """What `stored` wrote."""
    rows = list(csv.reader(io.StringIO(text)))
    ((_, orders, seed, thrown, digest),) = (row for row in rows if row[0] == "run")
    told = {int(row[1]): tuple(row[2:]) for row in rows if row[0] == "order"}
    return Results(
        int(orders),
        int(seed),
        int(thrown),
        tuple(Told(row[1], row[2], int(row[3]), int(row[4])) for row in rows if row[0] == "rule"),
        {row[1]: int(row[2]) for row in rows if row[0] == "worst"},
        {row[1]: (int(row[2]), int(row[3])) for row in rows if row[0] == "kind"},
        digest,
        tuple(told.get(at, ()) for at in range(int(orders))),
    )
