"""Findings that somebody answers for. An acceptance hides nothing: its finding is kept, marked, and does not count.

One that is incomplete, out of date, given by the author, or for a rule that is never accepted accepts nothing, and is
found itself; so is one that nothing needs, and one whose value has become worse since.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from rxlint.expressions.problems import near
from rxlint.model.context import same_role, signer
from rxlint.model.facts import Facts
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.statements import Statement
from rxlint.notation.tree import Block, Document, Entry, Place
from rxlint.packs import Rule
from rxlint.screening.finding import Acceptance, Finding, Outcome, Row
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.walks import Walk
from rxlint.screening.worse import is_worse
from rxlint.text import Problem, printable

EVENTS: Final = (
    "acceptances.unknown", "acceptances.incomplete", "acceptances.refused", "acceptances.own", "acceptances.expired",
    "acceptances.worse", "acceptances.unneeded",
)  # fmt: skip
MOST: Final = 500
"""The most acceptances of a document that is screened."""
_SELF: Final = "governance.acceptance-"
_SIGNED: Final = frozenset({"governance.code-broken", "governance.self-checked"})


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of the section `accepted`, with the period that it speaks of."""

    entry: Entry
    body: n.Accept
    statement: Statement
    period: str | None


def too_many_acceptances(document: Document) -> Problem | None:
    """Why a document with more acceptances than anybody answers for is not screened; None for any other."""
    for number, line in enumerate(_lines(document)):
        if number == MOST:
            told = f"the document accepts more findings than anybody answers for: the limit is {MOST:,}"
            return Problem(told, line.entry.lines[0].number, 1)
    return None


def judge(
    document: Document,
    findings: Sequence[Finding],
    rules: RuleSet,
    scopes: Sequence[Facts],
    rows: Mapping[str, Sequence[Row]],
    today: datetime.date | None,
) -> tuple[list[Finding], Walk]:
    """The findings, those that are accepted marked so, and what there is to say of the acceptances themselves.

    ``rows`` are those of every evaluation of each rule: an acceptance of a rule that could not be checked may yet
    be needed. Without ``today`` no date is judged.
    """
    lines = list(_lines(document))
    walk = Walk()
    if not lines:
        return list(findings), walk
    walk.ran |= set(EVENTS)
    author = signer(scopes[0].scope.by_key.get("document written")) if scopes else None
    told = list(findings)
    of_rule: dict[str, list[int]] = {}
    for index, each in enumerate(told):
        of_rule.setdefault(each.rule, []).append(index)
    by_line = {number: (block, entry) for block, entry in _details(document) for number in _numbers(entry)}
    for line in lines:
        fault = _fault(line, rules, author)
        matching = [index for index in of_rule.get(line.body.rule.text, ()) if _matches(told[index], line, by_line)]
        if fault is None and today is not None and _until(line) < today:
            fault = ("acceptances.expired", {"until": line.body.until.text if line.body.until else ""})
        if fault is not None:
            _say(walk, line, fault[0], **fault[1])
        elif matching:
            told = _accepted(told, matching, line, rules, scopes, walk)
        elif not _may_be_needed(line, rules, [row.outcome for row in rows.get(line.body.rule.text, ())]):
            _say(walk, line, "acceptances.unneeded")
    return told, walk


def _accepted(
    told: list[Finding],
    matching: Sequence[int],
    line: _Line,
    rules: RuleSet,
    scopes: Sequence[Facts],
    walk: Walk,
) -> list[Finding]:
    """The findings with those that a line accepts marked, but for values that have become worse."""
    found = list(told)
    for index in matching:
        worse = is_worse(found[index], line.body, line.statement, rules, scopes)
        if worse is not None:
            _say(walk, line, "acceptances.worse", what=worse.what, accepted=worse.accepted, now=worse.now)
            continue
        body = line.body
        acceptance = Acceptance(
            line.entry.whole(), body.until.text if body.until else "", body.because or "", body.by or ""
        )
        found[index] = replace(found[index], acceptance=acceptance)
    return found


def _fault(line: _Line, rules: RuleSet, author: str | None) -> tuple[str, dict[str, str]] | None:
    """Why a line accepts nothing, whatever the document says elsewhere."""
    body = line.body
    known = {rule.id: rule for rule in rules.all_rules}
    rule = known.get(body.rule.text)
    if rule is None:
        close = near(body.rule.text, known)
        return "acceptances.unknown", {"near": f"; did you mean {' or '.join(close)}?" if close else ""}
    told = (("a reason", body.because), ("who answers for it", body.by))
    lacks = ["a date"] if body.until is None else []
    lacks += [what for what, given in told if given is None or not given.strip()]
    if lacks:
        return "acceptances.incomplete", {"lacks": " and ".join(lacks)}
    why = why_never(rule, rules)
    if why is not None:
        return "acceptances.refused", {"why": why}
    if author is not None and same_role(author, body.by):
        return "acceptances.own", {"by": printable(body.by or "")}
    return None


def why_never(rule: Rule, rules: RuleSet) -> str | None:
    """Why a rule's finding can't be accepted; None where it can."""
    if rule.id in _SIGNED:
        return "it is checked again, by somebody else than its author"
    if rule.id.startswith(_SELF):
        return "an acceptance does not accept itself"
    if rule.found_by and all(event.startswith("reader.") for event in rule.found_by) and rule.level == "reject":
        return "what can't be read can't be answered for"
    for name, policy in rules.never_accepted.items():
        if name in (rule.id, rule.area):
            return f"{policy} never accepts it"
    return None


def _may_be_needed(line: _Line, rules: RuleSet, outcomes: Sequence[Outcome]) -> bool:
    """Whether a rule that found nothing may do so yet: it could not be checked, or it is asked of changes alone."""
    if {"not checked", "undecided"} & set(outcomes):
        return True
    rule = next(each for each in rules.all_rules if each.id == line.body.rule.text)
    return bool(rule.found_by) and all(event.startswith("change.") for event in rule.found_by)


def _matches(finding: Finding, line: _Line, by_line: Mapping[int, tuple[Block, Entry]]) -> bool:
    body = line.body
    if finding.acceptance is not None:
        return False
    if line.period is not None and line.period not in _periods(finding, by_line):
        return False
    return body.term is None or body.term.text in _terms(finding, by_line)


def _periods(finding: Finding, by_line: Mapping[int, tuple[Block, Entry]]) -> set[str | None]:
    """The period of a finding; of one that has none, the period of the section where it stands."""
    if finding.period is not None:
        return {finding.period}
    at = by_line.get(finding.place.line)
    return {period_name(at[0])} if at is not None else set()


def _terms(finding: Finding, by_line: Mapping[int, tuple[Block, Entry]]) -> set[str]:
    """The terms of the lines where a finding stands and to which it relates."""
    places: list[Place] = [finding.place, *(related.place for related in finding.related)]
    entries = [by_line[place.line][1] for place in places if place.line in by_line]
    return {entry.statement.term.phrase for entry in entries if entry.statement and entry.statement.term}


def _say(walk: Walk, line: _Line, event: str, **fields: str) -> None:
    walk.whole(event, line.entry, rule=line.body.rule.text, **fields)


def _until(line: _Line) -> datetime.date:
    until = line.body.until
    assert until is not None  # an acceptance without a date is a fault already
    return datetime.date.fromisoformat(until.text)


def _lines(document: Document) -> Iterator[_Line]:
    for block in document.blocks_of("accepted"):
        for entry in block.details:
            statement = entry.statement
            if statement is not None and statement.readable and isinstance(statement.body, n.Accept):
                yield _Line(entry, statement.body, statement, statement.body.period or period_name(block))


def _details(document: Document) -> Iterator[tuple[Block, Entry]]:
    for block in document.blocks:
        for entry in block.details:
            yield block, entry
            for row in entry.rows:
                yield block, row


def _numbers(entry: Entry) -> Iterator[int]:
    return (line.number for line in entry.lines)
