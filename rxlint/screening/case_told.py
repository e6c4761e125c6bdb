"""What came of a case that is not what it says: the values of its rule's terms, what was worked out, and who spoke."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Sequence
from typing import Final

from rxlint.expressions import Node, condition, keys_in, show
from rxlint.model.facts import facts_of
from rxlint.model.names import shown_key
from rxlint.notation.tree import Document
from rxlint.packs import Case, Rule
from rxlint.screening.calculation import calculation_of
from rxlint.screening.engine import Screening
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.values import Teller

_NUMBERS: Final = re.compile(r" \(lines? [\d, ]+\)$")
_MOST: Final = 8  # findings of other rules that are told


def case_told(
    rule: Rule, case: Case, screening: Screening, document: Document | None, rules: RuleSet, day: datetime.date
) -> tuple[str, ...]:
    """The lines to show below a case's failure. Without a document (a pair), only what spoke is told.

    The lines of a document that a line of facts was made into are nobody's: their numbers are left out.
    """
    lines: list[str] = []
    parts = [part for part in rule.parts or (rule,) if part.require is not None]
    if document is not None and parts:
        names = next(pack.names for pack in rules.packs if pack.name == rule.pack)
        for facts in facts_of(document, rules.defined_nodes, day):
            teller = Teller(facts, names, rules.defined)
            for part in parts:
                lines += _of_part(part, teller)
    lines += _spoke(rule, screening.findings)
    return tuple(dict.fromkeys(line if case.whole else _NUMBERS.sub("", line) for line in lines))


def _of_part(part: Rule, teller: Teller) -> Iterator[str]:
    """A requirement with the values of its terms as set, what was worked out, and what its conditions come to."""
    facts = teller.facts
    wanted = [(label, node) for label, node in (("when", part.when), ("requires", part.require)) if node is not None]
    values = dict.fromkeys(f"{shown_key(key)} {_value(key, teller)}" for key in _keys([node for _, node in wanted]))
    if values:
        yield f"values      {', '.join(values)}"
    for line in calculation_of(tuple(node for _, node in wanted), teller, facts.as_set):
        yield f"worked out  {line}"
    for label, node in wanted:
        found = condition(node, facts.as_set)
        told = ("true" if found else "false") if isinstance(found, bool) else "can't be told"
        text = part.when_text if label == "when" else part.require_text
        yield f"{label:<11} {' '.join(text.split()) or show(node)}: {told}"


def _keys(wanted: Sequence[Node]) -> list[str]:
    return list(dict.fromkeys(key for node in wanted for key in sorted(keys_in(node))))


def _value(key: str, teller: Teller) -> str:
    return teller.key(key, teller.facts.as_set)


def _spoke(rule: Rule, findings: Sequence[Finding]) -> Iterator[str]:
    own = [each for each in findings if each.rule == rule.id]
    others = [each for each in findings if each.rule != rule.id]
    for each in own:
        yield f"says        {each.level}: {each.message}"
    for each in others[:_MOST]:
        yield f"also        {each.level}: {each.message} [{each.rule}]"
    if len(others) > _MOST:
        yield f"also        {len(others) - _MOST} more findings"
