"""Asks a rule written in Python of one scope. Whatever it does, the answer is findings, an outcome, or a failure.

No limit of time can be held within one process: a rule that never ends stops the run.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass, field, replace
from typing import Final

from rxlint.extension import Lacking, PythonFinding, PythonRule, View
from rxlint.extension.convert import check_places
from rxlint.extension.failures import describe
from rxlint.model.facts import Facts
from rxlint.notation.tree import Document
from rxlint.packs import Rule
from rxlint.screening.finding import Finding, Outcome, fingerprint_of
from rxlint.screening.places import places_of
from rxlint.screening.scope_view import ScopeView

MOST_FINDINGS: Final = 100
"""Findings of one rule in one scope, more than which nobody would read: a rule that gives more has failed."""


@dataclass(slots=True)
class Answer:
    """What a rule said of a scope: its outcome, what it found, what it lacked, and how it failed if it did.

    ``absent`` are terms whose absence it rests on.
    """

    outcome: Outcome = "met"
    found: list[PythonFinding] = field(default_factory=list)
    lacks: frozenset[str] = frozenset()
    reasons: tuple[str, ...] = ()
    failure: str | None = None
    absent: frozenset[str] = frozenset()


def ask(rule: PythonRule, facts: Facts) -> Answer:
    """Ask a rule of one scope. KeyboardInterrupt alone gets out: a SystemExit that did would look clean."""
    answer = Answer()
    view = ScopeView(facts)
    try:
        with redirect_stdout(sys.stderr):  # a report may be going to standard output
            if not _applies(rule, view):
                answer.outcome = "does not apply"
            else:
                for each in _found(rule, view):
                    answer.found.append(each)
                    answer.outcome = "broken"
    except KeyboardInterrupt:
        raise
    except Lacking as lacking:
        answer.lacks, answer.reasons = frozenset(lacking.terms), tuple(lacking.reasons)
        answer.outcome = "broken" if answer.found else "not checked"
    except BaseException as error:
        answer.failure = describe(error)
        answer.outcome = "broken" if answer.found else "not checked"
    answer.absent = frozenset(view.absent)
    return answer


def finding_of(rule: Rule, found: PythonFinding, facts: Facts, document: Document) -> Finding:
    """What a rule found as a finding like any other."""
    place, related, entry = places_of(replace(rule, at=found.at or rule.at), facts, document)
    level = rule.level if found.level is None or rule.level_is_policy else found.level
    return Finding(
        rule.id,
        rule.bounded(level),
        "broken",
        " ".join(found.message.split()),
        place,
        related,
        tuple(" ".join(line.split()) for line in found.worked_out),
        period=facts.period,
        band=facts.band.label if facts.band is not None else None,
        fingerprint=fingerprint_of(rule.id, entry.text),
    )


def _applies(rule: PythonRule, view: View) -> bool:
    if rule.applies is None:
        return True
    answer = rule.applies(view)
    if not isinstance(answer, bool):
        raise TypeError(f"applies gave {type(answer).__name__}, not true or false")
    return answer


def _found(rule: PythonRule, view: View) -> Iterator[PythonFinding]:
    """What the check yields, each held against what a finding must be."""
    given: object = rule.check(view)
    if isinstance(given, str) or not isinstance(given, Iterable):
        raise TypeError(f"check gave {type(given).__name__}, not findings")
    for count, each in enumerate(given):
        if not isinstance(each, PythonFinding):
            raise TypeError(f"check gave {type(each).__name__}, not PythonFinding")
        if count >= MOST_FINDINGS:
            raise OverflowError(f"more than {MOST_FINDINGS} findings in one scope")
        check_places(each.at)
        yield each
