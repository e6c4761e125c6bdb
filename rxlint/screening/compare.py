"""Two revisions of one document: what changed, what that implies, and what the rules of changes find in it."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from functools import partial
from typing import Final

from rxlint.notation.tree import Document
from rxlint.packs.events import EVENTS
from rxlint.screening.acceptances import judge
from rxlint.screening.change_derived import Implied, Predicted, implied_of, predicted_of
from rxlint.screening.change_scopes import both_of
from rxlint.screening.change_walk import Revisions, events_of_periods, walk_period, walk_revision
from rxlint.screening.changes import Change, changes_between
from rxlint.screening.engine import Screening, _Run
from rxlint.screening.finding import Finding, summarise
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.site import marked, marked_coverage
from rxlint.screening.telling import in_order, told_once, without_yielding

CHANGE_EVENTS: Final = tuple(event for event in EVENTS if event.startswith("change."))
_PERIOD: Final = tuple(events_of_periods())
_DOCUMENT: Final = tuple(event for event in CHANGE_EVENTS if event not in _PERIOD)


@dataclass(frozen=True, slots=True)
class Comparison:
    """What became of a document: every change, what is implied before and after, and the findings of the change.

    ``are_one`` is False where the two say that they are different documents: then no rule of changes applies.
    """

    old: Document
    new: Document
    changes: tuple[Change, ...]
    implied: tuple[Implied, ...]
    predicted: tuple[Predicted, ...]
    screening: Screening
    are_one: bool


def compare_documents(old: Document, new: Document, rules: RuleSet, today: datetime.date | None = None) -> Comparison:
    """Compare two revisions of a document under the rules; findings stand in the new one, and it may accept them."""
    both = both_of(old, new, rules.defined_nodes, today)
    revisions = Revisions(old, new, both, changes_between(old, new, both))
    return Comparison(
        old,
        new,
        revisions.changes,
        tuple(implied_of(both)),
        tuple(predicted_of(old, new, both)),
        _screening(revisions, rules, today),
        revisions.are_one,
    )


def change_rules(rules: RuleSet) -> tuple[str, ...]:
    """The ids of the rules that are asked of changes alone, in their order."""
    found = {rule.id for event in CHANGE_EVENTS for rule in rules.found_by.get(event, ())}
    return tuple(rule for rule in rules.order if rule in found)


def _screening(revisions: Revisions, rules: RuleSet, today: datetime.date | None) -> Screening:
    run = _Run(revisions.new, rules)  # the run of a screening, fed by walks over two documents
    for both in revisions.both:
        run.try_walk(_PERIOD, partial(walk_period, revisions, both, rules.defined), both.new[0])
    run.try_walk(_DOCUMENT, partial(walk_revision, revisions), None)
    found = _judged(run, without_yielding(run.findings, rules), revisions, today)
    coverage = summarise(run.rows, change_rules(rules))
    return Screening(marked(in_order(told_once(found)), rules), marked_coverage(coverage, rules), tuple(run.crashes))


def _judged(run: _Run, findings: list[Finding], revisions: Revisions, today: datetime.date | None) -> list[Finding]:
    """The findings, those marked that the new document accepts. What acceptances lack is the screening's to say."""
    scopes = [facts for both in revisions.both for facts in both.new]
    try:
        return judge(revisions.new, findings, run.rules, scopes, run.rows, today)[0]
    except Exception as error:  # then nothing is accepted, and that is told
        for rule in change_rules(run.rules):
            run.crashed(rule, error, None)
        return findings
