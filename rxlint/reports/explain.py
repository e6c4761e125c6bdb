"""How one rule comes out on a document: the value of every part of its expressions, in every period and band."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from rxlint.expressions import Node, children, nodes, show
from rxlint.library.screen import Screened
from rxlint.model.facts import Facts, facts_of
from rxlint.notation.join import told_lines
from rxlint.packs import Rule
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.values import Teller, unit_for
from rxlint.text import printable
from rxlint.units import Unit


def explain(rule: Rule, screened: Screened, rules: RuleSet, today: datetime.date | None = None) -> Iterator[str]:
    """The lines of the explanation."""
    name = printable(screened.shown)
    for problem in screened.problems:
        mark = "not screened" if screened.misconfigured else "unread"
        yield f"{name}: {mark}: {printable(problem.message)}"
    if screened.document is None or screened.screening is None or screened.beside is not None:
        return  # readings were screened with their order, and are explained with it
    row = next((each for each in screened.screening.coverage.rules if each.rule == rule.id), None)
    yield f"{name}: {rule.id} is {row.outcome if row is not None else 'not run'}"
    if rule.found_by:
        yield f"    found by {', '.join(rule.found_by)}: it reads the document itself and has no expression"
        return
    if rule.python is not None:
        yield f"    checked by Python, {printable(rule.code)}: it has no expression"
        return
    names = next(pack.names for pack in rules.packs if pack.name == rule.pack)
    for facts in facts_of(screened.document, rules.defined_nodes, today):
        teller = Teller(facts, names, rules.defined)
        yield f"  {_name(facts)}"
        for part in rule.parts or (rule,):
            yield from _conditions(part, teller)


def _name(facts: Facts) -> str:
    parts = [f"period {facts.period}" if facts.period else "", facts.band.label if facts.band else ""]
    if facts.scope.readings is not None:
        line = facts.scope.readings.entry.lines[0].number
        parts.append(f"readings at {told_lines(facts.document, [line])}")
    return ", ".join(part for part in parts if part) or "all day"


def _conditions(rule: Rule, teller: Teller) -> Iterator[str]:
    for label, node in (("when", rule.when), ("requires", rule.require)):
        if node is not None:
            yield f"    {label}"
            yield from _parts(node, teller, teller.facts, 3)


def _parts(node: Node, teller: Teller, facts: Facts, depth: int, unit: Unit | None = None) -> Iterator[str]:
    """A node with its value, then what it is made of; a computed term with its formula, told in the term's unit."""
    if isinstance(node, nodes.Number):
        return
    yield f"{'  ' * depth}{printable(show(node))} = {printable(teller.node(node, facts.as_set, unit))}"
    formula = facts.formulas.get(node.key) if isinstance(node, nodes.Name) else None
    if formula is not None and isinstance(node, nodes.Name):
        yield from _parts(formula, teller, facts, depth + 1, unit_for(node.key, facts, teller.defined))
        return
    for child in children(node):
        yield from _parts(child, teller, facts, depth + 1)
