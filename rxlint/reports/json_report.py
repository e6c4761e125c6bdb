"""Findings, coverage and rules as JSON. The schema stands in ``screen.schema.json``; ``pieces`` makes the report."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from rxlint.library.entry import Used, used
from rxlint.library.told import NOTHING, Result
from rxlint.notation.tree import Place
from rxlint.packs import Origin
from rxlint.packs.stack import PolicyUse
from rxlint.reports.pieces import SCHEMA, JsonReport, dumped, head
from rxlint.reports.totals import summary_object
from rxlint.screening.finding import Acceptance, Coverage, Finding
from rxlint.screening.ruleset import RuleSet

__all__ = [
    "SCHEMA",
    "JsonReport",
    "coverage_object",
    "document_object",
    "finding_object",
    "framed",
    "origin_object",
    "own_object",
    "pack_table",
    "place_of",
    "policy_object",
    "rule_table",
    "summary_object",
    "tables",
    "tables_text",
]  # fmt: skip


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


def document_object(screened: Result) -> dict[str, Any]:
    """A document's entry: also one that could not be read has all its keys."""
    coverage = screened.screening.coverage if screened.screening is not None else NOTHING
    return {"path": screened.shown, **own_object(screened), "coverage": coverage_object(coverage)}


def own_object(screened: Result) -> dict[str, Any]:
    """What of a document's entry is its own: neither its path nor its coverage."""
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
        "kind": screened.kind,
        "id": screened.id,
        "policies": [each.name for each in screened.policies],
        "problems": problems,
        "findings": [finding_object(each) for each in screening.findings] if screening is not None else [],
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
            entries[dumped(entry)] = entry
    return list(entries.values())


def pack_table(sets: Iterable[RuleSet]) -> list[dict[str, Any]]:
    """The packs of a run, policies among them."""
    packs = {(pack.name, pack.digest, pack.path): pack for rules in sets for pack in rules.packs}
    return [
        {"name": pack.name, "revision": pack.revision, "digest": pack.digest, "path": pack.path}
        for pack in packs.values()
    ]


def policy_object(policy: PolicyUse | Used) -> dict[str, Any]:
    """A policy with what it loosens, and what of it does not hold."""
    return {
        "name": policy.name,
        "revision": policy.revision,
        "digest": policy.digest,
        "path": policy.path,
        "loosens": list(policy.loosens),
        "overruled": list(policy.overruled),
    }


def framed(
    schema: str, on: str, documents: Iterable[dict[str, Any]], tail: Callable[[], dict[str, Any]]
) -> Iterator[str]:
    """A report of documents in pieces, so that a long run needs no more memory than one document.

    What holds for the run as a whole comes last: under which rules a document is looked at is found on the way.
    """
    yield head(schema, on)
    comma = ""
    for document in documents:
        yield comma + "\n" + dumped(document)
        comma = ","
    yield _tail(tail())


def _tail(tail: dict[str, Any]) -> str:
    return "\n]," + dumped(tail)[1:] + "\n"


def tables(sets: Sequence[RuleSet], policies: Iterable[PolicyUse | Used]) -> dict[str, Any]:
    """The tables of packs, policies and rules of a run."""
    each_used = dict.fromkeys(map(used, (*policies, *(each for rules in sets for each in rules.policies))))
    told = [policy_object(each) for each in each_used]
    return {"packs": pack_table(sets), "policies": told, "rules": rule_table(sets)}


def tables_text(sets: Sequence[RuleSet], policies: Iterable[PolicyUse | Used]) -> str:
    """The same as they stand in the report."""
    return dumped(tables(sets, policies))[1:-1]
