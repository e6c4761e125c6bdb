"""Which rules speak on a case beside its own rule, and judge the same facts; the rest is told apart by two questions.

A case states the few facts that its rule needs, so most of what speaks beside it has nothing to do with it. Another
rule counts as speaking for the same facts only where both answers are no:

1. Does it speak as well without the lines at which the case's own finding stands, those it relates to among them?
   Then it speaks of something else. (Where that finding stands at no detail, this can't be asked.)
2. Does it fall silent where the case is filled up with the lines of sound orders? Then it speaks of what a short case
   leaves out. The sound orders of the examples come in turn, first the one that agrees most with what the case says of
   mode, interface, limb, place of care, diagnosis and age. Added are lines whose terms the case does not state and
   which a rule to be silenced reads, then those that a rule asks for which speaks only because of them: all at once
   where that goes, or else in halves, down to single lines. They are kept only where the case's own rule goes on
   speaking and no rule speaks up that was silent on the case. What the case says itself is never touched.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Final

from rxlint.expressions import Words
from rxlint.model.facts import Facts, facts_of, home_key
from rxlint.model.stated import key_of
from rxlint.notation.document import period_name, read_document
from rxlint.notation.tree import Block, Document
from rxlint.packs import Case
from rxlint.screening.case_text import document_of
from rxlint.screening.cases import CASE_DAY
from rxlint.screening.engine import screen_document
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet
from rxlint.text import Problem, source_of_text
from rxlint.vocabulary import vocabulary

EXAMPLES: Final = Path(__file__).resolve().parent.parent / "examples"
_KIN: Final = ("mode", "interface", "limb", "patient place of care", "patient diagnosis")
_AGES: Final = tuple(Fraction(86_400) * days for days in (28, 365, 12 * 365, 18 * 365))
# Where the events look from which rules are found; an event of the reader looks at its own line alone.
_LOOKS_IN: Final[Mapping[str, tuple[str, ...]]] = {
    "modes": ("settings", "back-up"),
    "relations": ("settings",),
    "periods": ("settings", "patient"),
    "titration": ("settings", "titration", "monitoring"),
    "alarms": ("alarms",),
}
_CHECKED: Final = ("checked", "document checked")
_LEFT: Final = frozenset({"readings", "accepted"})  # they belong to one patient's day, so no case may borrow them
# What belongs together comes in one turn; who the patient is moves limits, so it is told only where nothing else helps.
_TURNS: Final = (
    ("head", "checked", "circuit", "equipment", "escalation", "monitoring"),
    ("airway", "settings", "back-up"),
    ("alarms", "oxygen", "targets"),
    ("titration", "off ventilator"),
    ("patient",),
)
_ROUNDS: Final = 3  # how often what was added may make a rule ask for more


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a sound order, with its section's heading and the key that it states (of a list: the section)."""

    section: str
    heading: str
    key: str
    text: str
    is_item: bool = False

    @property
    def term(self) -> tuple[str, str]:
        """What it states: a term of its section, or an item of a list."""
        return (self.section, self.text if self.is_item else self.key)


@dataclass(frozen=True, slots=True)
class Order:
    """A sound order: what it is like, and its lines."""

    kind: str
    like: tuple[str | None, ...]
    lines: tuple[Line, ...]


def read(text: str) -> Document:
    """The document of a text. Raises ValueError where it is no text."""
    source = source_of_text(text)
    if isinstance(source, Problem):
        raise ValueError(source.message)
    return read_document(source)


def findings(text: str, rules: RuleSet) -> tuple[Finding, ...]:
    """What the rules find in a text on the day of the cases, without what its author answers for."""
    found = screen_document(read(text), rules, CASE_DAY).findings
    return tuple(finding for finding in found if finding.counts)


def speakers(text: str, rules: RuleSet) -> frozenset[str]:
    """The rules that find something in a text."""
    return frozenset(finding.rule for finding in findings(text, rules))


def text_of(case: Case) -> str:
    """The document of a case."""
    return case.text if case.whole else document_of(case.text)


@cache
def orders() -> tuple[Order, ...]:
    """The sound orders and the templates of the examples."""
    paths = [path for folder in ("sound", "templates") for path in sorted((EXAMPLES / folder).glob("*.vrx"))]
    return tuple(_order(read(path.read_text("utf-8"))) for path in paths)


def _order(document: Document) -> Order:
    lines = [line for block in document.blocks if block.section not in _LEFT for line in _lines(block)]
    return Order(document.kind or "", _like(document), tuple(lines))


def _lines(block: Block) -> Iterator[Line]:
    home = vocabulary().sections.get(block.section)
    heading = block.entry.text if period_name(block) is None else block.section
    if block.section == _CHECKED[0]:
        yield Line(_CHECKED[0], heading, _CHECKED[1], "")
    for entry in block.details:
        key = key_of(block, entry.statement) if entry.statement is not None else None
        text = " ".join(entry.text.split())
        if key is not None and home is not None and home.bare == "list" and key == block.section:
            yield from (Line(block.section, heading, key, item.strip(), True) for item in text.split(","))
        elif key is not None:
            yield Line(block.section, heading, key, text)


def _like(document: Document) -> tuple[str | None, ...]:
    facts = next(facts_of(document, {}, CASE_DAY), None)
    return (*(_word(facts, key) for key in _KIN), _age(facts)) if facts is not None else (None,) * (len(_KIN) + 1)


def _word(facts: Facts, key: str) -> str | None:
    value = facts.as_set.value(key)
    return " ".join(sorted(value.stated)) if isinstance(value, Words) else None


def _age(facts: Facts) -> str | None:
    value = facts.as_set.value("patient age")
    return str(sum(value >= limit for limit in _AGES)) if isinstance(value, Fraction) else None


def nearest(document: Document) -> list[Order]:
    """The orders of a document's kind, first those that agree with it in most of what it states."""
    like = _like(document)

    def apart(order: Order) -> tuple[int, ...]:
        differ = [int(mine is not None and mine != theirs) for mine, theirs in zip(like, order.like, strict=True)]
        return (sum(differ), *differ)

    return sorted((each for each in orders() if each.kind == document.kind), key=apart)


def reads_of(rules: RuleSet) -> Mapping[str, frozenset[str]]:
    """For each rule the keys that it reads; for a rule found by an event, the sections in which the event looks."""
    found = {
        rule.id: frozenset(section for event in rule.found_by for section in _LOOKS_IN.get(event.partition(".")[0], ()))
        for rule in rules.all_rules
    }
    for prepared in rules.rules:
        found[prepared.rule.id] |= {home_key(key) for key in prepared.reads}
    return found


class Filling:
    """A case whose own rule speaks, with the lines that were added to it and the other rules still to be silenced."""

    def __init__(self, text: str, rule: str, rules: RuleSet, reads: Mapping[str, frozenset[str]]) -> None:
        self.text = text
        self.rule = rule
        self.rules = rules
        self.reads = reads
        self.document = read(text)
        found = findings(text, rules)
        self.first = frozenset(finding.rule for finding in found)
        self.others = self.first - {rule} - self.of_something_else(found)
        self.added: tuple[Line, ...] = ()

    def of_something_else(self, found: Sequence[Finding]) -> frozenset[str]:
        """The rules that speak as well without the lines at which the own rule's findings stand."""
        details = {line.number for block in self.document.blocks for entry in block.details for line in entry.lines}
        own = {
            place.line
            for finding in found
            if finding.rule == self.rule
            for place in (finding.place, *(each.place for each in finding.related))
        } & details
        rows = self.text.splitlines()
        rest = "\n".join(row for number, row in enumerate(rows, 1) if number not in own) + "\n"
        return speakers(rest, self.rules) if own else frozenset()

    def fill(self) -> frozenset[str]:
        """Fill the case up; the other rules that still speak then."""
        for order in nearest(self.document) if self.rule in self.first and self.document.kind is not None else ():
            for sections in _TURNS:
                lacking = self.lacking(order.lines)
                wanted = self.read_by(self.others, lacking)
                self.take([line for line in wanted if line.section in sections], lacking)
        return self.others

    def lacking(self, lines: Iterable[Line]) -> list[Line]:
        """The lines whose terms neither the case nor an added line states."""
        stated = _stated(self.document) | {line.term for line in self.added}
        new: dict[tuple[str, str], Line] = {}
        for line in lines:
            if line.term not in stated:
                new.setdefault(line.term, line)
        return list(new.values())

    def read_by(self, rules: Iterable[str], lines: Iterable[Line]) -> list[Line]:
        """Those of the lines that some of these rules read."""
        read: frozenset[str] = frozenset().union(*(self.reads[rule] for rule in rules))
        return [line for line in lines if line.key in read or line.section in read]

    def take(self, lines: Sequence[Line], all_lines: Sequence[Line]) -> None:
        """Add the lines that may be added, with what rules ask for because of them: all, or each half by itself."""
        if not lines or not self.others:
            return
        whole, spoken = self.completed(lines, all_lines)
        if self.rule in spoken and spoken <= self.first:
            self.added = (*self.added, *whole)
            self.others &= spoken
        elif len(lines) > 1:
            middle = len(lines) // 2
            self.take(lines[:middle], all_lines)
            self.take(lines[middle:], all_lines)

    def completed(self, lines: Sequence[Line], all_lines: Sequence[Line]) -> tuple[Sequence[Line], frozenset[str]]:
        """The lines with those that rules ask for which speak only because of them; and who speaks then."""
        spoken = self.with_added(lines)
        for _ in range(_ROUNDS):
            more = [line for line in self.read_by(spoken - self.first, all_lines) if line not in lines]
            if self.rule not in spoken or not more:
                break
            lines = [*lines, *more]
            spoken = self.with_added(lines)
        return lines, spoken

    def with_added(self, lines: Sequence[Line]) -> frozenset[str]:
        """The rules that speak on the case with what was added and these lines."""
        return speakers(merged(self.text, self.document, (*self.added, *lines)), self.rules)


def _stated(document: Document) -> set[tuple[str, str]]:
    found = {
        (block.section, key)
        for block in document.blocks
        for entry in block.details
        if entry.statement is not None and (key := key_of(block, entry.statement)) is not None
    }
    return found | {_CHECKED for block in document.blocks if block.section == _CHECKED[0]}


def merged(text: str, document: Document, lines: Sequence[Line]) -> str:
    """A document's text with lines added: at the end of the section that holds for all periods, or in a new one."""
    ends = {block.section: _last(block) for block in document.blocks if period_name(block) is None and block.readable}
    after: dict[int, list[str]] = {}
    new: dict[str, list[str]] = {}
    for line in lines:
        details = after.setdefault(ends[line.section], []) if line.section in ends else new.setdefault(line.heading, [])
        if line.text:
            details.append(f"  {line.text}")
    rows = [each for number, row in enumerate(text.splitlines(), 1) for each in (row, *after.get(number, ()))]
    return "\n".join([*rows, *(each for heading, details in new.items() for each in (heading, *details))]) + "\n"


def _last(block: Block) -> int:
    entries = (block.entry, *block.details)
    return max(line.number for entry in entries for each in (entry, *entry.rows) for line in each.lines)
