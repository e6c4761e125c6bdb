"""Findings as one JSON object, written one document at a time. The schema stands in ``screen.schema.json``."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, Final

from rxlint import __version__
from rxlint.library.screen import Screened
from rxlint.notation.tree import Place
from rxlint.packs import LEVELS, Origin
from rxlint.packs.stack import PolicyUse
from rxlint.reports.caution import CAUTION
from rxlint.reports.report import Ending
from rxlint.reports.text import Totals
from rxlint.screening.finding import OUTCOMES, Acceptance, Coverage, Finding
from rxlint.screening.ruleset import RuleSet

NOTHING_CHECKED: Final = Coverage(dict.fromkeys(OUTCOMES, 0), ())
SCHEMA: Final = "rxlint-screen-1"


def _dump(value: Any) -> str:
    return json.dumps(value, ensure_ascii=True, separators=(",", ":"))


def place_of(place: Place) -> dict[str, int]:
    """A place with its columns counting code points from 1."""
    return {"line": place.line, "column": place.column, "end_line": place.end_line, "end_column": place.end_column}


def finding_object(finding: Finding) -> dict[str, Any]:
    """A finding as JSON."""
    return {
        "rule": finding.rule,
        "level": finding.level,
        "outcome": finding.outcome,
        "message": finding.message,
        "calculation": list(finding.calculation),
        "corrections": [
            {
                "text": each.text,
                "makes": each.makes,
                "replacement": each.replacement,
                "place": {**place_of(each.place), "path": each.place.file} if each.place is not None else None,
            }
            for each in finding.corrections
        ],
        **place_of(finding.place),
        "related": [
            {**place_of(each.place), "path": each.place.file, "message": each.message} for each in finding.related
        ],
        "example": dict(finding.example) if finding.example is not None else None,
        "sound": list(finding.sound),
        "period": finding.period,
        "band": finding.band,
        "policy": [origin_object(each) for each in finding.policy],
        "also": [{"rule": each.rule, "level": each.level, "message": each.message} for each in finding.also],
        "fingerprint": finding.fingerprint,
        "accepted": _accepted(finding.acceptance),
        "known": finding.known,
    }


def _accepted(acceptance: Acceptance | None) -> dict[str, Any] | None:
    if acceptance is None:
        return None
    return {
        "until": acceptance.until,
        "by": acceptance.by,
        "because": acceptance.because,
        "line": acceptance.place.line,
        "path": acceptance.place.file,
    }


def origin_object(origin: Origin) -> dict[str, Any]:
    """The row of a policy, and what it sets."""
    return {
        "name": origin.policy,
        "revision": origin.revision,
        "path": origin.path,
        "line": origin.line,
        "sets": origin.sets,
        "change": origin.change or None,
    }


def coverage_object(coverage: Coverage) -> dict[str, Any]:
    """Counts, and every outcome but met with what it lacked."""
    others = [
        {
            "rule": row.rule,
            "outcome": row.outcome,
            "lacks": list(row.lacks),
            "reasons": list(row.reasons),
            "policy": [origin_object(each) for each in row.policy],
        }
        for row in coverage.rules
        if row.outcome != "met"
    ]
    return {"counts": dict(coverage.counts), "others": others}


def document_object(screened: Screened) -> dict[str, Any]:
    """A document's entry: also one that could not be read has all its keys."""
    problems = [{"message": each.message, "line": each.line, "column": each.column} for each in screened.problems]
    screening = screened.screening
    if screening is not None:
        problems += [
            {
                "message": crash.told,
                "line": None,
                "column": None,
            }
            for crash in screening.crashes
        ]
    return {
        "path": screened.shown,
        "kind": screened.kind,
        "id": screened.id,
        "policies": [each.name for each in screened.policies],
        "problems": problems,
        "findings": [finding_object(each) for each in screening.findings] if screening is not None else [],
        "coverage": coverage_object(screening.coverage if screening is not None else NOTHING_CHECKED),
    }


def rule_table(sets: Iterable[RuleSet]) -> list[dict[str, Any]]:
    """The rules of a run. One has several entries where documents were screened under different policies."""
    entries = {}
    for rules in sets:
        for rule in rules.all_rules:
            entry = {
                "id": rule.id,
                "pack": rule.pack,
                "level": rule.bounded(rule.level),
                "basis": rule.basis,
                "title": rule.title,
                "source": rule.source,
                "policy": [origin_object(each) for each in rules.origins.get(rule.id, ())],
            }
            entries[_dump(entry)] = entry
    return list(entries.values())


def pack_table(sets: Iterable[RuleSet]) -> list[dict[str, Any]]:
    """The packs of a run, policies among them."""
    packs = {(pack.name, pack.digest, pack.path): pack for rules in sets for pack in rules.packs}
    return [
        {"name": pack.name, "revision": pack.revision, "digest": pack.digest, "path": pack.path}
        for pack in packs.values()
    ]


def policy_object(policy: PolicyUse) -> dict[str, Any]:
    """A policy with what it loosens, and what of it does not hold."""
    return {
        "name": policy.name,
        "revision": policy.revision,
        "digest": policy.digest,
        "path": policy.path,
        "loosens": list(policy.loosens),
        "overruled": list(policy.overruled),
    }


class JsonReport:
    """The JSON report, judged on a day (``on``, as ISO 8601 has it)."""

    def __init__(self, on: str) -> None:
        self._on = on
        self._comma = ""

    def start(self) -> Iterator[str]:
        """The program and the day."""
        yield _head(SCHEMA, self._on)

    def document(self, screened: Screened) -> Iterator[str]:
        """A document's entry."""
        yield self._comma + "\n" + _dump(document_object(screened))
        self._comma = ","

    def end(self, ending: Ending) -> Iterator[str]:
        """The tables of the run, and its counts."""
        totals = ending.totals
        yield _tail({**tables(ending.sets, totals.policies), "summary": summary_object(totals)})


def framed(
    schema: str, on: str, documents: Iterable[dict[str, Any]], tail: Callable[[], dict[str, Any]]
) -> Iterator[str]:
    """A report of documents in pieces, so that a long run needs no more memory than one document.

    What holds for the run as a whole comes last: under which rules a document is looked at is found on the way.
    """
    yield _head(schema, on)
    comma = ""
    for document in documents:
        yield comma + "\n" + _dump(document)
        comma = ","
    yield _tail(tail())


def _head(schema: str, on: str) -> str:
    head = {"schema": schema, "tool": {"name": "rxlint", "version": __version__}, "on": on}
    return _dump(head)[:-1] + ',"documents":['


def _tail(tail: dict[str, Any]) -> str:
    return "\n]," + _dump(tail)[1:] + "\n"


def tables(sets: Sequence[RuleSet], policies: Iterable[PolicyUse]) -> dict[str, Any]:
    """The tables of packs, policies and rules of a run."""
    used = dict.fromkeys((*policies, *(each for rules in sets for each in rules.policies)))
    return {"packs": pack_table(sets), "policies": [policy_object(each) for each in used], "rules": rule_table(sets)}


def summary_object(totals: Totals) -> dict[str, Any]:
    """The counts of a run."""
    return {
        "documents": totals.documents,
        "unread": totals.unread,
        "not_screened": totals.misconfigured,
        "rule_failures": totals.crashes,
        "levels": {level: totals.levels[level] for level in LEVELS},
        "accepted": totals.accepted,
        "known": totals.known,
        "checks_made": totals.made,
        "checks_wanting": totals.wanting,
        "caution": CAUTION,
    }
