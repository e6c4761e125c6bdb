"""What changed between two revisions, as one JSON object. The schema stands in ``compare.schema.json``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Final

from rxlint.library.comparing import Compared, Version
from rxlint.library.rulings import Rulings
from rxlint.packs import LEVELS
from rxlint.reports.caution import CAUTION
from rxlint.reports.compare_text import Totals
from rxlint.reports.json_report import finding_object, framed, tables
from rxlint.screening.change import Change
from rxlint.screening.change_derived import SOURCE, Ends, Implied, Predicted
from rxlint.screening.compare import change_rules
from rxlint.units import Unit

SCHEMA: Final = "rxlint-compare-1"


def document_object(compared: Compared) -> dict[str, Any]:
    """A document's entry: also one that is new, gone or could not be read has all its keys."""
    comparison = compared.comparison
    problems = [
        {"path": shown, "message": each.message, "line": each.line, "column": each.column}
        for shown, each in compared.problems
    ]
    if comparison is not None:
        problems += [
            {"path": compared.shown, "message": crash.told, "line": None, "column": None}
            for crash in comparison.screening.crashes
        ]
    return {
        "path": _shown(compared.pair.new),
        "old_path": _shown(compared.pair.old),
        "id": _id(compared),
        "status": compared.status,
        "renamed": compared.pair.is_renamed,
        "same_document": comparison.are_one if comparison is not None else None,
        "problems": problems,
        "changes": [change_object(each) for each in comparison.changes] if comparison is not None else [],
        "derived": [_implied(each) for each in comparison.implied] if comparison is not None else [],
        "predicted": [_predicted(each) for each in comparison.predicted] if comparison is not None else [],
        "findings": [finding_object(each) for each in comparison.screening.findings] if comparison is not None else [],
        "policies": [each.name for each in compared.policies],
    }


def _shown(version: Version | None) -> str | None:
    return version.shown if version is not None else None


def _id(compared: Compared) -> str | None:
    version = compared.pair.new or compared.pair.old
    return version.id if version is not None else None


def change_object(change: Change) -> dict[str, Any]:
    """A change, with the first lines of what stood before and stands now."""
    return {
        "term": change.term,
        "section": change.section or None,
        "kind": change.kind,
        "before": change.before,
        "after": change.after,
        "how": change.how,
        "period": change.period,
        "ordered": change.is_order,
        "old_line": change.old.lines[0].number if change.old is not None else None,
        "line": change.new.lines[0].number if change.new is not None else None,
    }


def _implied(implied: Implied) -> dict[str, Any]:
    return {
        "term": implied.term,
        "unit": implied.unit.symbol,
        "before": _ends(implied.before, implied.unit),
        "after": _ends(implied.after, implied.unit),
        "changed": implied.is_changed,
        "period": implied.period,
        "band": implied.band,
    }


def _ends(ends: Ends | None, unit: Unit) -> dict[str, float] | None:
    if ends is None:
        return None
    return {"low": float(ends.low / unit.factor), "high": float(ends.high / unit.factor)}


def _predicted(predicted: Predicted) -> dict[str, Any]:
    factor = predicted.unit.factor
    return {
        "reading": predicted.reading,
        "unit": predicted.unit.symbol,
        "measured": float(predicted.measured / factor),
        "expected": float(predicted.expected / factor),
        "taken": predicted.taken or None,
        "before": predicted.before,
        "after": predicted.after,
        "source": SOURCE,
        "period": predicted.period,
    }


def report(results: Iterable[Compared], rulings: Rulings, on: str, totals: Totals) -> Iterator[str]:
    """The report in pieces; of the rules, those that are asked of changes."""

    def entries() -> Iterator[dict[str, Any]]:
        for compared in results:
            totals.add(compared)
            yield document_object(compared)

    def tail() -> dict[str, Any]:
        sets = rulings.used()
        asked = {rule for rules in sets for rule in change_rules(rules)}
        told = tables(sets, totals.policies)
        rules = [entry for entry in told["rules"] if entry["id"] in asked]
        return {**told, "rules": rules, "summary": _summary(totals)}

    return framed(SCHEMA, on, entries(), tail)


def _summary(totals: Totals) -> dict[str, Any]:
    return {
        "changed": totals.changed,
        "alike": totals.alike,
        "new": totals.new,
        "deleted": totals.deleted,
        "unread": totals.unread,
        "not_compared": totals.misconfigured,
        "rule_failures": totals.crashes,
        "levels": {level: totals.levels[level] for level in LEVELS},
        "accepted": totals.accepted,
        "caution": CAUTION,
    }
