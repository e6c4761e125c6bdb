"""Reviews a pack for its author: whether its cases say anything, and whether its rules can ever speak or be content."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from rxlint.expressions import Node, nodes, show
from rxlint.packs import Pack, Rule
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.cases import CaseResult, run_cases, run_row_cases, used_by
from rxlint.screening.review_cases import CaseFacts, Remark, facts_of_cases, idle_cases
from rxlint.screening.review_limits import contradictions, unvisited
from rxlint.screening.review_said import said
from rxlint.screening.review_space import can_hold

_READER: Final = "notation"  # the pack that says where a case's own text is at fault


@dataclass(frozen=True, slots=True)
class Review:
    """What became of a pack's cases, and what there is to say of them and of its rules, in the order of the file."""

    pack: Pack
    cases: tuple[CaseResult, ...]
    remarks: tuple[Remark, ...]

    @property
    def failures(self) -> tuple[CaseResult, ...]:
        """The cases that are not what they say."""
        return tuple(each for each in self.cases if each.failure is not None)

    @property
    def is_sound(self) -> bool:
        """Whether every case is what it says and nothing was found; what can't be told is no fault."""
        return not self.failures and not any(each.is_told and each.is_fault for each in self.remarks)


def review(pack: Pack) -> Review:
    """Run a pack's cases, and look for what they leave open."""
    readers = tuple(each for each in builtin_packs() if each.name == _READER)
    results = (*run_cases(pack, readers), *run_row_cases(pack, readers))
    remarks = [remark for rule in pack.rules for remark in _of_rule(rule, pack, results)]
    remarks += said(pack)
    for row in pack.policy.rows if pack.policy is not None else ():
        remarks += _of_row(row.rule, pack, results)
    remarks += contradictions((pack, *used_by(pack)), pack)
    remarks.sort(key=lambda each: (each.spot.line, each.spot.column))
    return Review(pack, results, tuple(dict.fromkeys(remarks)))


def _of_rule(rule: Rule, pack: Pack, results: Sequence[CaseResult]) -> Iterator[Remark]:
    cases = facts_of_cases(rule, pack)
    yield from idle_cases(rule, cases, pack)
    seen = {each.case.kind for each in results if each.rule is rule and each.failure is None}
    for part in rule.parts or (rule,):
        if part.require is not None:
            yield from _of_requirement(part, rule, cases, frozenset(seen), pack)
    yield from unvisited(rule, cases, pack.defined)


def _of_row(rule: Rule, pack: Pack, results: Sequence[CaseResult]) -> Iterator[Remark]:
    """A row of a policy. It need not have cases; where it has some, they are looked at as those of a rule are."""
    if rule.cases:
        yield from _of_rule(rule, pack, results)
        return
    for part in rule.parts or (rule,):
        yield from _of_requirement(part, rule, (), frozenset(), pack)


def _of_requirement(
    part: Rule, rule: Rule, cases: Sequence[CaseFacts], seen: frozenset[str], pack: Pack
) -> Iterator[Remark]:
    """Whether a requirement can be broken, and whether it can be kept: a case that does it is the proof of it."""
    assert part.require is not None
    outcomes = {outcome for each in cases for outcome in each.outcomes(part)}
    single = not rule.parts
    which = "" if single else f" ({part.require_text or show(part.require)})"
    if "broken" not in outcomes and not (single and "fires" in seen):
        yield from _told(part, rule, pack, nodes.Not(part.require), ("can never fire", "can ever fire", which))
    if "met" not in outcomes and not (single and "holds" in seen):
        yield from _told(part, rule, pack, part.require, ("always fires where it applies", "is ever content", which))


def _told(part: Rule, rule: Rule, pack: Pack, condition: Node, words: tuple[str, str, str]) -> Iterator[Remark]:
    search = can_hold(part.when, condition, pack.defined)
    what, whether, which = words
    if search.found == "no":
        yield Remark(rule.spot, rule.id, f"{what}{which}, whatever a document could plausibly say")
    elif search.found == "can't be told":
        yield Remark(rule.spot, rule.id, f"whether it {whether}{which}; no case shows it", is_told=False)
