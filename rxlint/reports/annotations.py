"""Findings as hosts of repositories read them to mark the lines of a change: workflow commands, code quality reports.

Sources: "Workflow commands for GitHub Actions", https://docs.github.com/en/actions/reference/workflows-and-actions/workflow-commands,
with the escapes of https://github.com/actions/toolkit/blob/main/packages/core/src/command.ts; "Code Quality report
format", https://docs.gitlab.com/ci/testing/code_quality/#code-quality-report-format.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from rxlint.library.told import Result
from rxlint.notation.tree import Place
from rxlint.packs import Level
from rxlint.reports.report import Ending
from rxlint.reports.text import details, findings_of, told_level
from rxlint.reports.totals import closing
from rxlint.reports.where import STANDARD_INPUT, Here
from rxlint.screening.finding import Finding
from rxlint.text import printable

_TOP: Final = Place(1, 1, 1, 1)


@dataclass(frozen=True, slots=True)
class Note:
    """Something to say at a place of a document: a finding, or what kept it or a rule from being checked.

    ``lines`` are its message and what explains it, each on one line and safe to show. ``level`` is how loud it is: what
    does not count against a document is a note. ``is_there`` says whether the place is known.
    """

    rule: str
    level: Level
    title: str
    lines: tuple[str, ...]
    place: Place
    fingerprint: str
    is_there: bool = True

    @property
    def text(self) -> str:
        """Its lines as one."""
        return "; ".join(self.lines)


def notes_of(screened: Result) -> Iterator[Note]:
    """Everything that is to say of a document, in the order of the text report."""
    which, told = ("not-screened", "not screened") if screened.misconfigured else ("unread", "unread")
    for problem in screened.problems:
        column = problem.column or 1
        place = Place(problem.line, column, problem.line, column) if problem.line is not None else _TOP
        message = printable(f"{told}: {problem.message}")
        yield Note(f"rxlint.{which}", "reject", told, (message,), place, message, problem.line is not None)
    if screened.screening is None:
        return
    for finding in findings_of(screened):
        yield _of_finding(finding)
    for crash in screened.screening.crashes:
        message = printable(f"failed: {crash.told}")
        yield Note("rxlint.rule-failed", "reject", "a rule failed", (message,), _TOP, message, False)


def _of_finding(finding: Finding) -> Note:
    told = told_level(finding)
    lines = (f"{told}: {finding.message}", *(f"{label}: {text}" for label, text in details(finding)))
    level: Level = finding.level if finding.counts else "note"
    return Note(
        finding.rule, level, f"{told} {finding.rule}", tuple(map(printable, lines)), finding.place, finding.fingerprint
    )


class CommandReport:
    """Workflow commands, one a line, which the host's log turns into annotations; then the closing lines of the text
    report. The host shows a few annotations of each kind in a step, and the log shows all.
    """

    _COMMANDS: Final[Mapping[Level, str]] = {"reject": "error", "query": "warning", "note": "notice"}

    def __init__(self, here: Here) -> None:
        self._here = here

    def start(self) -> Iterator[str]:
        """Nothing comes before the first document."""
        yield from ()

    def document(self, screened: Result) -> Iterator[str]:
        """The commands of a document."""
        for note in notes_of(screened):
            yield command(self._COMMANDS[note.level], self._properties(note, screened.shown), "\n".join(note.lines))

    def end(self, ending: Ending) -> Iterator[str]:
        """The closing line, and the caution."""
        for line in closing(ending.totals):
            yield line.replace("##[", "## [") + "\n"  # the older form of a command, which may stand anywhere in a line

    def _properties(self, note: Note, shown: str) -> dict[str, str]:
        """Where to show a command. A place in no file would be shown at another: then its title says where."""
        if shown == STANDARD_INPUT:
            return {"title": f"{shown}:{note.place.line}:{note.place.column}: {note.title}"}
        found = {"file": self._here.path(shown)}
        if note.is_there:
            found["line"] = str(note.place.line)
            if note.place.end_line != note.place.line:  # columns go with one line alone
                found["endLine"] = str(note.place.end_line)
            else:
                last = max(note.place.end_column - 1, note.place.column)
                found |= {"col": str(note.place.column), "endColumn": str(last)}
        return {**found, "title": note.title}


def command(name: str, properties: Mapping[str, str], message: str) -> str:
    """A workflow command as a line. What ends a command or a property is escaped in it, so that no text from outside
    begins another.
    """
    told = ",".join(f"{key}={_property(value)}" for key, value in properties.items() if value)
    return f"::{name} {told}::{_data(message)}\n" if told else f"::{name}::{_data(message)}\n"


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(printable(text)).replace(":", "%3A").replace(",", "%2C")


class QualityReport:
    """A code quality report: a list of what was found. It has no place for what was not checked."""

    _SEVERITIES: Final[Mapping[Level, str]] = {"reject": "blocker", "query": "major", "note": "info"}

    def __init__(self, here: Here) -> None:
        self._here = here
        self._comma = ""

    def start(self) -> Iterator[str]:
        """The head."""
        yield "["

    def document(self, screened: Result) -> Iterator[str]:
        """The entries of a document."""
        path = self._here.path(screened.shown)
        for note in notes_of(screened):
            yield self._comma + "\n" + json.dumps(self._entry(note, path), ensure_ascii=True)
            self._comma = ","

    def end(self, _ending: Ending) -> Iterator[str]:
        """The end."""
        yield "\n]\n"

    def _entry(self, note: Note, path: str) -> dict[str, Any]:
        marks = f"{path}\n{note.rule}\n{note.fingerprint}"
        return {
            "description": note.text,
            "check_name": note.rule,
            "fingerprint": hashlib.sha256(marks.encode("utf-8", "surrogatepass")).hexdigest()[:32],
            "severity": self._SEVERITIES[note.level],
            "location": {"path": path, "lines": {"begin": note.place.line, "end": note.place.end_line}},
        }
