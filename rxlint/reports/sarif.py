"""Findings as SARIF 2.1.0, the interchange format of static analysis.

Source: OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0 plus Errata 01, 28 August 2023,
https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/sarif-v2.1.0-errata01-os-complete.html; paragraphs (§) are
of this document. Results are written as they come. What SARIF wants in lists of its own, the documents and what went
wrong, waits in a temporary file; the tools, which name the rules, come last.
"""

from __future__ import annotations

import json
import tempfile
import weakref
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import IO, Any, Final, Literal

from rxlint import __version__
from rxlint.library.told import NOTHING, Result, settings_path
from rxlint.reports.caution import CAUTION
from rxlint.reports.json_report import tables
from rxlint.reports.report import Ending
from rxlint.reports.sarif_result import location, plain_message, result_object
from rxlint.reports.sarif_rules import NOTIFICATIONS, RuleTable
from rxlint.reports.totals import summary_object
from rxlint.reports.where import STANDARD_INPUT, Here
from rxlint.screening.finding import Coverage, Outcome
from rxlint.screening.ruleset import RuleSet
from rxlint.text import Problem

_SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_ROOT: Final = "SRCROOT"
_IN_MEMORY: Final = 1 << 20  # bytes of a list that wait in memory before they wait in a file
_AT_ONCE: Final = 1 << 16
_EXITS: Final = {
    0: "nothing at or above the level of failure",
    1: "findings at or above the level of failure",
    2: "the command line or the configuration is wrong",
    3: "some input could not be read, or a rule failed",
}
_List = Literal["artifacts", "toolExecutionNotifications", "toolConfigurationNotifications"]


class SarifReport:
    """The SARIF report of a run, judged on a day; ``rules_of`` gives the rules under a document's settings.

    URIs are relative to the folder that the run was started in. Where that folder is on this machine is not told.
    """

    def __init__(self, on: str, here: Here, rules_of: Callable[[Path | None], RuleSet]) -> None:
        self._on = on
        self._here = here
        self._rules_of = rules_of
        self._rules = RuleTable()
        self._comma = ""
        self._documents = 0
        self._later: defaultdict[_List, _Later] = defaultdict(_Later)
        self._unchecked: dict[str, dict[str, Any]] = {}  # by rule

    def start(self) -> Iterator[str]:
        """The run up to its results."""
        head = {"$schema": _SCHEMA, "version": "2.1.0"}
        run = {
            "columnKind": "unicodeCodePoints",
            "defaultEncoding": "utf-8",
            "language": "en-GB",
            "originalUriBaseIds": {_ROOT: {"description": {"text": "The folder in which rxlint was started."}}},
        }
        yield _dump(head)[:-1] + ',"runs":[\n' + _dump(run)[:-1] + ',\n"results":['

    def document(self, screened: Result) -> Iterator[str]:
        """The results of a document."""
        index, self._documents = self._documents, self._documents + 1
        self._wait("artifacts", self._artifact(screened))
        for problem in screened.problems:
            which = "rxlint.not-screened" if screened.misconfigured else "rxlint.unread"
            self._wait(
                "toolConfigurationNotifications" if screened.misconfigured else "toolExecutionNotifications",
                self._notification(which, problem.message, screened.shown, index, problem),
            )
        screening = screened.screening
        if screening is None:
            return
        indices = self._rules.indices(self._rules_of(settings_path(screened)))
        for crash in screening.crashes:
            told = self._notification("rxlint.rule-failed", crash.told, screened.shown, index)
            if crash.rule in indices and not crash.is_pack:
                told["associatedRule"] = {"id": crash.rule, "index": indices[crash.rule]}
            self._wait("toolExecutionNotifications", told)
        self._count(screened)
        for finding in screening.findings:
            result = result_object(finding, indices.get(finding.rule), self._at(screened, index))
            yield self._comma + "\n" + _dump(result)
            self._comma = ","

    def end(self, ending: Ending) -> Iterator[str]:
        """The documents, the tool with its rules, how the run went."""
        for rules in ending.sets:
            self._rules.indices(rules)
        yield '\n],\n"artifacts":['
        yield from self._later["artifacts"].text()
        yield '\n],\n"invocations":[' + _dump(self._invocation(ending))[:-1]
        for name in ("toolExecutionNotifications", "toolConfigurationNotifications"):
            yield f',"{name}":['
            yield from self._later[name].text()
            yield "]"
        yield '}],\n"tool":{"driver":' + _dump(_driver())[:-1] + ',"rules":['
        yield from _joined(map(_dump, self._rules.descriptors))
        yield "\n]}},\n" + '"properties":' + _dump(self._properties(ending)) + "}]}\n"

    def _at(self, screened: Result, index: int) -> Callable[[str | None], dict[str, Any]]:
        """Where the file of a place is: None stands for the document itself."""

        def artifact(file: str | None) -> dict[str, Any]:
            found = self._artifact_location(screened.shown if file is None else file)
            return {**found, "index": index} if file is None else found

        return artifact

    def _artifact_location(self, shown: str) -> dict[str, Any]:
        uri, is_inside = self._here.uri(shown)
        named: dict[str, Any] = {"uri": uri} if uri else {"description": {"text": "A document without a name."}}
        if is_inside:
            named["uriBaseId"] = _ROOT
        if shown == STANDARD_INPUT:
            named["description"] = {"text": "Standard input."}
        return named

    def _artifact(self, screened: Result) -> dict[str, Any]:
        """A document, with what became of it and what could not be checked of it."""
        screening = screened.screening
        roles = ["analysisTarget", *(["standardStream"] if screened.shown == STANDARD_INPUT else [])]
        return {
            "location": self._artifact_location(screened.shown),
            "roles": roles,
            "properties": {
                "kind": screened.kind,
                "id": screened.id,
                "isScreened": screening is not None,
                "policies": [each.name for each in screened.policies],
                "coverage": _coverage(screening.coverage if screening is not None else NOTHING),
            },
        }

    def _notification(
        self, which: str, told: str, shown: str, index: int, problem: Problem | None = None
    ) -> dict[str, Any]:
        artifact = {**self._artifact_location(shown), "index": index}
        region = {"startLine": problem.line, "startColumn": problem.column or 1} if problem and problem.line else None
        return {
            "level": "error",
            "descriptor": {"id": which, "index": [each["id"] for each in NOTIFICATIONS].index(which)},
            "message": {"text": plain_message(told)},
            "locations": [location(artifact, region)],
        }

    def _count(self, screened: Result) -> None:
        """Count in what was not checked of a document, by rule."""
        assert screened.screening is not None
        for row in screened.screening.coverage.rules:
            if row.outcome == "not checked":
                entry = self._unchecked.setdefault(row.rule, {"rule": row.rule, "documents": 0, "lacks": {}})
                entry["documents"] += 1
                entry["lacks"] |= dict.fromkeys(row.lacks)

    def _invocation(self, ending: Ending) -> dict[str, Any]:
        return {
            "executionSuccessful": ending.status in (0, 1),
            "exitCode": ending.status,
            "exitCodeDescription": _EXITS[ending.status],
        }

    def _properties(self, ending: Ending) -> dict[str, Any]:
        found = tables(ending.sets, ending.totals.policies)
        outcomes: dict[Outcome, int] = ending.totals.outcomes
        unchecked = [{**each, "lacks": sorted(each["lacks"])} for _, each in sorted(self._unchecked.items())]
        return {
            "on": self._on,
            "summary": summary_object(ending.totals),
            "coverage": {"counts": dict(outcomes), "notChecked": unchecked},
            "packs": found["packs"],
            "policies": found["policies"],
        }

    def _wait(self, name: _List, entry: dict[str, Any]) -> None:
        self._later[name].add(_dump(entry))


class _Later:
    """Entries of a list that is written later: in memory while they are few, in a temporary file beyond that."""

    def __init__(self) -> None:
        self._file: IO[str] = tempfile.SpooledTemporaryFile(_IN_MEMORY, "w+", encoding="ascii", newline="")  # noqa: SIM115
        self._comma = ""
        weakref.finalize(self, self._file.close)  # also where the report is given up on the way

    def add(self, entry: str) -> None:
        self._file.write(f"{self._comma}\n{entry}")
        self._comma = ","

    def text(self) -> Iterator[str]:
        self._file.seek(0)
        while piece := self._file.read(_AT_ONCE):
            yield piece


def _coverage(coverage: Coverage) -> dict[str, Any]:
    """How many rules came to which outcome, and those that could not be checked."""
    unchecked = [
        {"rule": row.rule, "lacks": list(row.lacks), "reasons": list(row.reasons)}
        for row in coverage.rules
        if row.outcome == "not checked"
    ]
    return {"counts": dict(coverage.counts), "notChecked": unchecked}


def _driver() -> dict[str, Any]:
    return {
        "name": "rxlint",
        "version": __version__,
        "semanticVersion": __version__,
        "shortDescription": {"text": "A rule-checking linter for ventilation prescriptions kept as plain text."},
        "fullDescription": {"text": CAUTION},
        "notifications": NOTIFICATIONS,
    }


def _joined(entries: Iterable[str]) -> Iterator[str]:
    comma = ""
    for each in entries:
        yield f"{comma}\n{each}"
        comma = ","


def _dump(value: Any) -> str:
    return json.dumps(value, ensure_ascii=True, separators=(",", ":"))
