"""Findings as one JSON object, written one document at a time. The schema stands in ``screen.schema.json``."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any, Final

from rxlint import __version__
from rxlint.library.screen import Screened
from rxlint.notation.tree import Place
from rxlint.packs import LEVELS
from rxlint.reports.caution import CAUTION
from rxlint.reports.text import Totals
from rxlint.screening.finding import OUTCOMES, Coverage, Finding
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
                "place": place_of(each.place) if each.place is not None else None,
            }
            for each in finding.corrections
        ],
        **place_of(finding.place),
        "related": [{**place_of(each.place), "message": each.message} for each in finding.related],
        "example": dict(finding.example) if finding.example is not None else None,
        "period": finding.period,
        "band": finding.band,
        "policy": finding.policy,
        "fingerprint": finding.fingerprint,
        "accepted": finding.accepted,
    }


def coverage_object(coverage: Coverage) -> dict[str, Any]:
    """Counts, and every outcome but met with what it lacked."""
    others = [
        {"rule": row.rule, "outcome": row.outcome, "lacks": list(row.lacks), "reasons": list(row.reasons)}
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
                "message": f"the rule {crash.rule} failed and was not checked: {crash.error}",
                "line": None,
                "column": None,
            }
            for crash in screening.crashes
        ]
    return {
        "path": screened.shown,
        "kind": screened.kind,
        "id": screened.id,
        "problems": problems,
        "findings": [finding_object(each) for each in screening.findings] if screening is not None else [],
        "coverage": coverage_object(screening.coverage if screening is not None else NOTHING_CHECKED),
    }


def rule_table(rules: RuleSet) -> list[dict[str, Any]]:
    """The rules of a run, one entry each."""
    return [
        {
            "id": rule.id,
            "pack": rule.pack,
            "level": rule.bounded(rule.level),
            "basis": rule.basis,
            "title": rule.title,
            "source": rule.source,
        }
        for rule in rules.all_rules
    ]


def report(results: Iterable[Screened], rules: RuleSet, on: str, totals: Totals) -> Iterator[str]:
    """The report in pieces, so that a long run needs no more memory than one document."""
    packs = [
        {"name": pack.name, "revision": pack.revision, "digest": pack.digest, "path": pack.path} for pack in rules.packs
    ]
    head = {
        "schema": SCHEMA,
        "tool": {"name": "rxlint", "version": __version__},
        "on": on,
        "packs": packs,
        "policies": [],
        "rules": rule_table(rules),
    }
    yield _dump(head)[:-1] + ',"documents":['
    comma = ""
    for screened in results:
        totals.add(screened)
        yield comma + "\n" + _dump(document_object(screened))
        comma = ","
    summary = {
        "documents": totals.documents,
        "unread": totals.unread,
        "rule_failures": totals.crashes,
        "levels": {level: totals.levels[level] for level in LEVELS},
        "checks_made": totals.made,
        "checks_wanting": totals.wanting,
        "caution": CAUTION,
    }
    yield '\n],"summary":' + _dump(summary) + "}\n"
