"""Findings as JSON lines: one for each document as it comes, and a closing one. The schema: ``lines.schema.json``.

A document's entry is that of the JSON report, but for its path: there the sender's own identifier stands. The closing
line says that nothing is missing before it, and carries what holds for the run as a whole.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, Final

from rxlint import __version__
from rxlint.exchange.lines import Answer
from rxlint.reports.json_report import document_object, pack_table, policy_object, summary_object
from rxlint.reports.text import Totals
from rxlint.screening.ruleset import RuleSet

SCHEMA: Final = "rxlint-lines-1"


def dumped(value: Any) -> str:
    """JSON on one line, in ASCII."""
    return json.dumps(value, ensure_ascii=True, separators=(",", ":"))


def answer_object(answer: Answer) -> dict[str, Any]:
    """The line of a document. ``id`` is what its sender calls it; ``document.id`` is what it calls itself."""
    entry = document_object(answer.screened)
    del entry["path"]
    return {"line": answer.line, "id": answer.id, "document": entry}


def closing_object(totals: Totals, sets: Sequence[RuleSet], on: str) -> dict[str, Any]:
    """The last line: the program, the day, the packs and policies of the run, its counts, and the caution."""
    return {
        "schema": SCHEMA,
        "tool": {"name": "rxlint", "version": __version__},
        "on": on,
        "packs": pack_table(sets),
        "policies": [policy_object(each) for each in dict.fromkeys(use for rules in sets for use in rules.policies)],
        "summary": summary_object(totals),
    }
