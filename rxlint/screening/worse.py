"""Whether a value that was accepted has become worse since: moved away from where its rule would be content."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from rxlint.expressions import at_point
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity
from rxlint.notation.render import render_accepted_value
from rxlint.notation.statements import Statement
from rxlint.packs import Rule
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.values import show_number
from rxlint.screening.walks import how_written
from rxlint.units import without_basis

# Where a rule is asked which side it is content on, as multiples of the accepted value.
_BELOW: Final = (Fraction(9, 10), Fraction(3, 4), Fraction(1, 2), Fraction(1, 4), Fraction(1, 10))
_ABOVE: Final = (Fraction(11, 10), Fraction(4, 3), Fraction(2), Fraction(4), Fraction(10))


@dataclass(frozen=True, slots=True)
class Worse:
    """A term whose value has become worse, or can't be compared, with what was accepted and what stands there now."""

    what: str
    accepted: str
    now: str


def is_worse(
    finding: Finding, body: n.Accept, statement: Statement, rules: RuleSet, scopes: Sequence[Facts]
) -> Worse | None:
    """What has become worse since it was accepted; None where nothing has, or the acceptance names no value."""
    accepted = statement.values.get("accepted")
    if accepted is None or body.value is None or body.term is None:
        return None
    for facts in scopes:
        if facts.period != finding.period and finding.period is not None:
            continue
        stated = _line(body.term.text, finding, facts)
        if stated is None:
            continue
        now = stated.statement.values.get("")
        if now is None or not _comparable(accepted, now):
            return Worse(body.term.text, render_accepted_value(body.value), "written in another way")
        side = _worse_side(finding.rule, stated.key, accepted.points[0], rules, facts)
        worst = next((point for point in _points(now) if _beyond(point, accepted.points[0], side)), None)
        if worst is not None:
            told = show_number(worst, now.unit, stated.key) + how_written(_own_key(stated.key, facts), facts)
            return Worse(body.term.text, render_accepted_value(body.value), told)
    return None


def _line(term: str, finding: Finding, facts: Facts) -> Stated | None:
    """The line of a term on which a finding stands, or to which it relates."""
    lines = {finding.place.line, *(related.place.line for related in finding.related)}
    for stated in facts.scope.by_key.values():
        own = stated.statement.term
        if own is not None and own.phrase == term and stated.entry.lines[0].number in lines:
            return stated
    return None


def _comparable(accepted: Quantity, now: Quantity) -> bool:
    same = without_basis(accepted.unit.dimension) == without_basis(now.unit.dimension)
    return same and (accepted.reference, accepted.basis) == (now.reference, now.basis)


def _points(quantity: Quantity) -> Iterable[Fraction]:
    yield from quantity.points
    yield from quantity.options
    yield from quantity.allowed or ()


def _beyond(point: Fraction, accepted: Fraction, side: Literal["above", "below", "either"]) -> bool:
    return (point > accepted and side != "below") or (point < accepted and side != "above")


def _own_key(key: str, facts: Facts) -> str:
    written = key + AS_WRITTEN
    return written if written in facts.constants or written in facts.axes else key


def _worse_side(
    rule: str, key: str, accepted: Fraction, rules: RuleSet, facts: Facts
) -> Literal["above", "below", "either"]:
    """Where a value is worse than the accepted one. Either, unless the rule is content on one side alone."""
    parts = [part for each in rules.all_rules if each.id == rule for part in (each.parts or (each,))]
    if not parts or any(part.require is None for part in parts):
        return "either"
    own = _own_key(key, facts)
    below = any(_is_content(parts, own, accepted * factor, facts) for factor in _BELOW)
    above = any(_is_content(parts, own, accepted * factor, facts) for factor in _ABOVE)
    return "above" if below and not above else "below" if above and not below else "either"


def _is_content(parts: Sequence[Rule], key: str, value: Fraction, facts: Facts) -> bool:
    environment = facts.as_set.with_value(key, value)
    outcomes = {at_point(part.when, part.require, environment).outcome for part in parts if part.require is not None}
    return outcomes <= {"met", "does not apply"}
