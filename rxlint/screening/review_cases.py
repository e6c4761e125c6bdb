"""Cases that assert nothing: alike ones, and those in which nothing stands that their rule could ask about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from rxlint.expressions import Missing, Node, evaluate
from rxlint.expressions.decide import PointOutcome, at_point
from rxlint.model.facts import Facts, facts_of
from rxlint.notation.document import read_document
from rxlint.packs import Case, Pack, Rule
from rxlint.packs.pack import Spot
from rxlint.screening.case_text import details_of, document_of
from rxlint.screening.cases import CASE_DAY
from rxlint.screening.review_space import leaves_of
from rxlint.text import Problem, source_of_text

_ALWAYS: Final = frozenset({"document kind"})  # what every case states, whatever it is about


@dataclass(frozen=True, slots=True)
class Remark:
    """Something that the author of a pack may want to change. What can't be told is no fault, and some is only said."""

    spot: Spot
    rule: str
    message: str
    is_told: bool = True
    is_fault: bool = True


@dataclass(frozen=True, slots=True)
class CaseFacts:
    """A case with the facts of its scopes."""

    case: Case
    scopes: tuple[Facts, ...]

    def outcomes(self, part: Rule) -> Iterator[PointOutcome]:
        """What a requirement comes to as set, in each scope."""
        if part.require is not None:
            for facts in self.scopes:
                yield at_point(part.when, part.require, facts.as_set).outcome

    def values(self, node: Node) -> Iterator[object]:
        """What an expression comes to as set, in each scope where it has a value."""
        for facts in self.scopes:
            value = evaluate(node, facts.as_set)
            if not isinstance(value, Missing):
                yield value


def facts_of_cases(rule: Rule, pack: Pack) -> tuple[CaseFacts, ...]:
    """The facts of every case of a rule; a case whose text is no text has none."""
    defined = {key: each.node for key, each in pack.defined.items()}
    found: list[CaseFacts] = []
    for case in rule.cases:
        source = source_of_text(case.text if case.whole else document_of(case.text))
        scopes = () if isinstance(source, Problem) else tuple(facts_of(read_document(source), defined, CASE_DAY))
        found.append(CaseFacts(case, scopes))
    return tuple(found)


def idle_cases(rule: Rule, cases: Sequence[CaseFacts], pack: Pack) -> Iterator[Remark]:
    """Cases that would be what they say of any rule, or that another case says already."""
    yield from _alike(rule)
    leaves = leaves_of([node for part in _parts(rule) for node in _conditions(part)], pack.defined) - _ALWAYS
    if not leaves:
        return  # found by an event, or written in Python: what it asks about is not known
    for each in cases:
        if any(_speaks(facts, leaves) for facts in each.scopes):
            continue
        if each.case.kind == "holds":
            told = "holds: asserts nothing: no term that the rule asks about stands in it"
            yield Remark(each.case.spot, rule.id, told)
        elif each.case.kind == "silent" and _is_silent_anyway(rule, each):
            told = (
                "silent: asserts nothing: no term that the rule asks about stands in it, so it can't be checked anyway"
            )
            yield Remark(each.case.spot, rule.id, told)


def _speaks(facts: Facts, leaves: frozenset[str]) -> bool:
    return any(facts.is_stated(key) for key in leaves)


def _is_silent_anyway(rule: Rule, case: CaseFacts) -> bool:
    """Whether the rule would be silent whatever its ``when`` says: what it requires can't be told."""
    return all(outcome == "not checked" for part in _parts(rule) for outcome in case.outcomes(replace(part, when=None)))


def _parts(rule: Rule) -> tuple[Rule, ...]:
    return rule.parts or (rule,)


def _conditions(part: Rule) -> list[Node]:
    return [node for node in (part.when, part.require) if node is not None]


def _alike(rule: Rule) -> Iterator[Remark]:
    """Cases of one kind with the same details, whatever their order."""
    first: dict[tuple[str, tuple[str, ...], str], Case] = {}
    for case in rule.cases:
        text = [case.text, *map(str, case.library)] if case.whole else details_of(case.text)
        details = tuple(sorted(detail.strip() for detail in text if detail.strip()))
        key = (case.kind, details, " ".join((case.before or "").split()))
        other = first.setdefault(key, case)
        if other is not case:
            yield Remark(case.spot, rule.id, f"{case.kind}: says the same as the case at line {other.spot.line}")
