"""What the results of a run rest on, and what they come to, as JSON objects."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from rxlint import __version__
from rxlint.archive.identity import program
from rxlint.archive.inputs import Scanned
from rxlint.archive.task import Done, Setup, add_counts
from rxlint.reports.json_report import pack_table, policy_object, summary_object
from rxlint.reports.text import Totals
from rxlint.screening.ruleset import RuleSet

SCHEMA: Final = "rxlint-archive-1"


def manifest_of(setup: Setup, rules: RuleSet, scanned: Sequence[Scanned], size: int) -> dict[str, Any]:
    """The input with the digests of its files, the program, the rules, the day and the form: all that the results rest
    on. Two runs with one manifest have the same results.
    """
    arrow = {}
    if setup.form == "parquet":
        from rxlint.archive.parquet import VERSION

        arrow = {"pyarrow": VERSION}
    return {
        "schema": SCHEMA,
        "tool": {"name": "rxlint", "version": __version__, "digest": program(), **arrow},
        "on": setup.on,
        "to": setup.form,
        "batch": size,
        "rules": setup.identity,
        "packs": pack_table([rules]),
        "policies": [policy_object(each) for each in rules.policies],
        "input": [
            {"name": each.file.name, "bytes": each.file.size, "sha256": each.digest, "documents": each.documents}
            for each in scanned
        ],
    }


def totals_of(parts: Mapping[int, Done]) -> Totals:
    """The counts of all parts."""
    totals = Totals()
    for number in sorted(parts):
        add_counts(totals, parts[number].counts)
    return totals


def summary_of(setup: Setup, totals: Totals, parts: int) -> dict[str, Any]:
    """What a run came to, with the caution."""
    return {
        "schema": SCHEMA,
        "tool": {"name": "rxlint", "version": __version__},
        "on": setup.on,
        "parts": parts,
        "summary": summary_object(totals),
    }
