"""What searching all that a template allows costs, and what a budget of boxes buys.

    python tests/benchmarks/intervals.py --json intervals.json --page

Everything is measured in one process, by processor time and by the wall, medians of several screenings; the number of
boxes looked at does not depend on the machine, nor does what came of them.

    ranges        a template with no to sixteen ranges
    tables        one with ten ranges and tables by age on top, of several numbers of rows
    repetition    one rule whose expression holds the same term again and again, beside a limit that is met with more
                  and less to spare, or broken: interval arithmetic takes the same term for several
    budget        every example template as it is and with its ranges moved (ranged.py), at several budgets: how many
                  questions - of one rule in one scope - come out undecided, and how long it takes

`--page` writes INTERVALS.md beside this file. Not part of the test run: it takes minutes.
"""

import argparse
import dataclasses
import json
import random
import statistics
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from fractions import Fraction
from pathlib import Path
from typing import Any
from unittest.mock import patch

from library import CLOCK
from ranged import MOST_RANGES, moved, template

from rxlint.expressions import Axis, Decision, Node, Space, decide, read_condition
from rxlint.model.names import base_names
from rxlint.notation.document import read_document
from rxlint.notation.tree import Document
from rxlint.screening import engine
from rxlint.screening.ruleset import builtin_rules
from rxlint.screening.walks import BUDGET
from rxlint.text.source import Source, source_of_text

HERE = Path(__file__).resolve().parent
PAGE = HERE / "INTERVALS.md"
EXAMPLES = HERE.parent.parent / "examples" / "templates"
BUDGETS = (30, 100, 300, 1_000, 3_000)
RANGES = (0, 2, 4, 6, 8, 10, 12, 14, MOST_RANGES)
TABLES = ((0, 3), (1, 3), (2, 3), (3, 3), (5, 3), (3, 1), (3, 6), (3, 12))
HEADLINE = (10, 3, 3)  # ranges, tables, rows of each
GOAL = 0.020  # seconds for that one
REPEATS = (1, 2, 3, 4, 6)
SPARE = (Fraction(1, 5), Fraction(1, 20), Fraction(1, 100), Fraction(0), Fraction(-1, 100), Fraction(-1, 20))


@dataclasses.dataclass(frozen=True)
class Asked:
    """A question as it was put to `decide`, what came of it, and the boxes that took. It is a rule's, or one of the
    search for sound ranges, which narrows a range until a broken rule is nearly kept, and asks again each time.
    """

    question: tuple[Any, ...]
    is_rule: bool
    outcome: str
    boxes: int

    def again(self, budget: int) -> "Asked":
        when, require, space, _, *common = self.question
        decision = decide(when, require, space, budget, *common)
        return dataclasses.replace(self, outcome=decision.outcome, boxes=decision.boxes)


@dataclasses.dataclass
class Probe:
    """Stands in the place of `decide` and counts: questions of rules by outcome, and all boxes, those of the search for
    sound ranges too.
    """

    outcomes: Counter[str] = dataclasses.field(default_factory=Counter)
    boxes: int = 0
    most: int = 0
    asked: list["Asked"] = dataclasses.field(default_factory=list)

    def wrap(self, is_rule: bool) -> Callable[..., Decision]:
        def probed(*question: Any) -> Decision:
            decision = decide(*question)
            self.boxes += decision.boxes
            if is_rule:
                self.outcomes[decision.outcome] += 1
                self.most = max(self.most, decision.boxes)
            self.asked.append(Asked(question, is_rule, decision.outcome, decision.boxes))
            return decision

        return probed


@contextmanager
def watched(probe: Probe, budget: int | None = None) -> Iterator[None]:
    """Every search of the screening goes through the probe, the rules' with this budget."""
    with ExitStack() as stack:
        for name, module in list(sys.modules.items()):
            if name.startswith("rxlint.screening.") and getattr(module, "decide", None) is decide:
                stack.enter_context(patch.object(module, "decide", probe.wrap(module is engine)))
        if budget is not None:
            stack.enter_context(patch.object(engine, "BUDGET", budget))
        yield


def document(text: str) -> Document:
    source = source_of_text(text)
    assert isinstance(source, Source)
    return read_document(source)


def screen(read: Document) -> tuple[float, float]:
    """Screens a document and gives the processor's and the wall's seconds; a rule that fails stops the benchmark."""
    cpu, wall = time.process_time(), time.perf_counter()
    screening = engine.screen_document(read, builtin_rules(), CLOCK)
    took = time.process_time() - cpu, time.perf_counter() - wall
    if screening.crashes:
        sys.exit(f"benchmark stopped: {screening.crashes[0].told}")
    return took


@dataclasses.dataclass(frozen=True)
class Cost:
    """What screening one template took: seconds are medians; of a question the most boxes that one took."""

    what: str
    cpu: float
    wall: float
    questions: int
    boxes: int
    most: int
    undecided: int


def cost(what: str, text: str, repeats: int) -> Cost:
    read, probe = document(text), Probe()
    with watched(probe):
        screen(read)
    times = [screen(read) for _ in range(repeats)]
    cpu, wall = (statistics.median(each[place] for each in times) for place in (0, 1))
    outcomes = probe.outcomes
    return Cost(what, cpu, wall, outcomes.total(), probe.boxes, probe.most, outcomes["undecided"])


def by_ranges(repeats: int) -> list[Cost]:
    return [cost(f"{ranges} ranges", template(ranges), repeats) for ranges in RANGES]


def by_tables(repeats: int) -> list[Cost]:
    return [
        cost(f"{ranges} ranges, {tables} tables of {rows}", template(ranges, tables, rows), repeats)
        for ranges, tables, rows in [(10, *each) for each in TABLES]
    ]


# ---- one expression


@dataclasses.dataclass(frozen=True)
class Search:
    """One question with a term that stands so often, so much to spare beside its limit, and its answer by budget."""

    repeats: int
    spare: str
    answers: Mapping[int, tuple[str, int, float]]  # outcome, boxes, seconds of the processor


def questions() -> Iterator[tuple[int, Fraction, Node, Space]]:
    """x(20 - x) and more of its kind, added up, against a limit near the greatest value that the sum has.

    Every product has the same x twice, and all of them are greatest at once, where x is in the middle of its range.
    """
    axes = (Axis("PEEP", Fraction(5), Fraction(15)), Axis("pressure support", Fraction(5), Fraction(15)))
    space = Space(axes, {}, {}, frozenset(axis.key for axis in axes))
    for repeats in REPEATS:
        terms = [f"{key} * (20 cmH2O - {key})" for key in ("PEEP", "pressure support")]
        parts = [f"{terms[place % 2]} * {place // 2 + 1}" for place in range(repeats)]
        greatest = 100 * sum(place // 2 + 1 for place in range(repeats))
        for spare in SPARE:
            limit = float(greatest * (1 + spare))
            read = read_condition(f"{' + '.join(parts)} <= {limit:g} cmH2O * 1 cmH2O", base_names())
            assert read.node is not None, read.errors
            yield repeats, spare, read.node, space


def by_repetition(budgets: Sequence[int]) -> list[Search]:
    found = []
    for repeats, spare, node, space in questions():
        answers = {}
        for budget in budgets:
            start = time.process_time()
            decision = decide(None, node, space, budget)
            answers[budget] = decision.outcome, decision.boxes, time.process_time() - start
        found.append(Search(repeats, f"{float(spare):+.0%}", answers))
    return found


# ---- budgets


@dataclasses.dataclass(frozen=True)
class Bought:
    """What a budget buys over many templates, for questions of one kind: by outcome, how many of them are hard - they
    use up the smallest budget - and the boxes of all; the processor's seconds for the hard ones.
    """

    budget: int
    is_rule: bool
    outcomes: Mapping[str, int]
    hard: int
    boxes: int
    seconds: float


def templates(number: int, seed: int) -> list[Document]:
    """The examples as they are, then so many of them with their ranges moved."""
    texts = [path.read_text("utf-8") for path in sorted(EXAMPLES.glob("*.vrx"))]
    made = [moved(texts[place % len(texts)], random.Random(f"{seed} {place}")) for place in range(number)]
    return [document(text) for text in (*texts, *made)]


def by_budget(read: Sequence[Document], budgets: Sequence[int]) -> list[Bought]:
    """Screens all with the smallest budget; only what used that up is asked again with larger ones. They change nothing
    else: a search with a larger budget begins as one with a smaller.
    """
    smallest = budgets[0]
    say(f"{len(read)} templates, budget {smallest:,}")
    probe = Probe()
    with watched(probe, smallest):
        for each in read:
            screen(each)
    found = []
    for is_rule in (True, False):
        asked = [each for each in probe.asked if each.is_rule is is_rule]
        hard = [each for each in asked if each.boxes >= smallest or each.outcome == "undecided"]
        settled = [each for each in asked if each.boxes < smallest and each.outcome != "undecided"]
        for budget in budgets:
            say(f"budget {budget:,}: {len(hard):,} questions again")
            start = time.process_time()
            answered = [each.again(budget) for each in hard]
            seconds = time.process_time() - start
            outcomes = Counter(each.outcome for each in (*settled, *answered))
            boxes = sum(each.boxes for each in (*settled, *answered))
            found.append(Bought(budget, is_rule, dict(outcomes), len(hard), boxes, seconds))
    return found


# ---- what is shown


def say(message: str) -> None:
    print(message, file=sys.stderr, flush=True)


def table(heading: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [heading, ["---"] + ["---:"] * (len(heading) - 1), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def costs(found: Sequence[Cost]) -> str:
    heading = ("template", "processor, ms", "wall, ms", "questions", "boxes", "most of one", "undecided")
    return table(
        heading,
        [
            (each.what, f"{each.cpu * 1e3:.1f}", f"{each.wall * 1e3:.1f}", f"{each.questions:,}", f"{each.boxes:,}",
             f"{each.most:,}", f"{each.undecided:,}")
            for each in found
        ],
    )  # fmt: skip


def searches(found: Sequence[Search]) -> str:
    heading = ("term stands", "to spare", *(f"{budget:,}" for budget in found[0].answers), "boxes", "processor, ms")
    rows = []
    for each in found:
        _, boxes, seconds = each.answers[max(each.answers)]
        outcomes = (outcome for outcome, _, _ in each.answers.values())
        rows.append((f"{2 * each.repeats} times", each.spare, *outcomes, f"{boxes:,}", f"{seconds * 1e3:.1f}"))
    return table(heading, rows)


def bought(found: Sequence[Bought], templates: int) -> str:
    heading = ("budget", "questions", "hard", "undecided", "share", "can break", "boxes", "hard ones, ms a template")
    rows = []
    for each in found:
        asked, undecided = sum(each.outcomes.values()), each.outcomes.get("undecided", 0)
        broken = each.outcomes.get("can break", 0) + each.outcomes.get("broken everywhere", 0)
        counts = (each.budget, asked, each.hard, undecided)
        share, took = f"{undecided / max(1, asked):.2%}", f"{each.seconds / templates * 1e3:.0f}"
        rows.append((*(f"{count:,}" for count in counts), share, f"{broken:,}", f"{each.boxes:,}", took))
    return table(heading, rows)


def page(results: Mapping[str, Any], templates: int) -> str:
    head: Cost = results["headline"]
    told = f"{head.cpu * 1e3:.1f} ms of the processor, {head.wall * 1e3:.1f} ms by the wall"
    parts = (
        "# What searching all that a template allows costs",
        "Made by `python tests/benchmarks/intervals.py --page`. Numbers of boxes and outcomes are the same everywhere;"
        " times are those of one machine, medians where a template was screened several times. A *question* is one rule"
        " in one scope (a period, a band of the tables, a mode) whose answer a range may change; a *box* is a part of"
        f" what is allowed that was looked at as a whole. Rules look at {BUDGET:,} boxes at most.",
        f"One template with ten ranges and three tables of three rows: {told} (the goal is {GOAL * 1e3:.0f} ms).",
        "## Ranges",
        costs(results["ranges"]),
        "## Tables, on top of ten ranges",
        costs(results["tables"]),
        "## A term that stands several times in one rule",
        "A sum of `x * (20 - x)` against a limit above (or below) its greatest value. The outcome at each budget; boxes"
        " and time at the largest.",
        searches(results["repetition"]),
        "## What a budget buys",
        f"{templates:,} templates: the examples, and the examples with some of their ranges moved. Hard"
        " questions are those that use up the smallest budget; the time is theirs.",
        "Questions of rules:",
        bought([each for each in results["budget"] if each.is_rule], templates),
        "Questions of the search for sound ranges, which lie at the edge of a breach:",
        bought([each for each in results["budget"] if not each.is_rule], templates),
    )
    return "\n\n".join(parts) + "\n"


def read_options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Measure what searching all that a template allows costs.")
    parser.add_argument("--templates", type=int, default=28, help="examples with their ranges moved (default 28)")
    parser.add_argument("--budgets", type=int, nargs="+", default=list(BUDGETS), help="boxes, from few to many")
    parser.add_argument("--repeats", type=int, default=7, help="screenings of one template (default 7)")
    parser.add_argument("--seed", type=int, default=20261124, help="seed of what is moved")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write every figure to FILE as well")
    parser.add_argument("--page", action="store_true", help=f"write {PAGE.name}")
    options = parser.parse_args()
    if options.templates < 0 or options.repeats < 1 or min(options.budgets) < 1:
        parser.error("templates count from 0, repeats and boxes from 1")
    options.budgets.sort()
    return options


def main() -> None:
    options = read_options()
    ranges, tables, rows = HEADLINE
    read = templates(options.templates, options.seed)
    results = {
        "headline": cost("", template(ranges, tables, rows), options.repeats),
        "ranges": by_ranges(options.repeats),
        "tables": by_tables(options.repeats),
        "repetition": by_repetition(options.budgets),
        "budget": by_budget(read, options.budgets),
    }
    text = page(results, len(read))
    print(text, end="")
    if options.json:
        options.json.write_text(json.dumps(results, default=dataclasses.asdict, indent=2) + "\n", encoding="utf-8")
    if options.page:
        PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
