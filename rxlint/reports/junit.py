"""Findings as test results in the XML that JUnit's task for Ant began and every CI system reads.

A document is a test suite. Its first test is that it can be read; then every rule that was asked of it is one: passed
where it is met, failed where a finding at or above the level of failure counts, skipped where it could not be checked.
Rules that don't apply are left out. No standard says what the format is; what is written here keeps to what the schema
of the Jenkins xUnit plugin allows (junit-10.xsd), with ``error`` as Ant has it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final
from xml.etree.ElementTree import Element

from rxlint import __version__
from rxlint.library.told import Result
from rxlint.packs import LEVELS, Level
from rxlint.reports.caution import CAUTION
from rxlint.reports.report import Ending
from rxlint.reports.style import Style
from rxlint.reports.text import finding_lines, findings_of
from rxlint.reports.xml_text import HEAD, element, lines_of, written
from rxlint.screening.finding import Finding, Row

_READ: Final = "document can be read"
_TOLD_ELSEWHERE: Final = "does not hold; the finding of another rule speaks for it"


@dataclass(frozen=True, slots=True)
class _Told:
    """A finding with its lines of the text report."""

    finding: Finding
    lines: tuple[str, ...]


class JunitReport:
    """The JUnit report; ``fail_at`` is the lowest level that fails a test, or ``never``."""

    def __init__(self, fail_at: str) -> None:
        self._failing: tuple[Level, ...] = tuple(
            level for number, level in enumerate(LEVELS) if fail_at in LEVELS[number:]
        )

    def start(self) -> Iterator[str]:
        """The head."""
        yield HEAD + '<testsuites name="rxlint">\n'

    def document(self, screened: Result) -> Iterator[str]:
        """A document as a suite."""
        tests = list(self._tests(screened))
        counts = {
            name: sum(1 for test in tests if test.find(tag) is not None)
            for name, tag in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped"))
        }
        known = {"rxlint": __version__, "kind": screened.kind, "id": screened.id, "caution": CAUTION}
        properties = element(
            "properties",
            children=(element("property", {"name": name, "value": value}) for name, value in known.items() if value),
        )
        attributes: dict[str, str | int] = {"name": screened.shown, "tests": len(tests), **counts, "time": "0"}
        yield written(element("testsuite", attributes, (properties, *tests)))

    def end(self, _ending: Ending) -> Iterator[str]:
        """The end."""
        yield "</testsuites>\n"

    def _tests(self, screened: Result) -> Iterator[Element]:
        where = _class_of(screened.shown)
        problems = [f"{_at(each.line, each.column)}{each.message}" for each in screened.problems]
        kind = "not screened" if screened.misconfigured else "unread"
        yield _test(where, _READ, [_mark("error", kind, problems)] if problems else [])
        screening = screened.screening
        if screening is None:
            return
        texts = screened.texts
        found: dict[str, list[_Told]] = {}
        for each in findings_of(screened):
            told = _Told(each, tuple(finding_lines(screened.shown, each, texts, Style())))
            found.setdefault(each.rule, []).append(told)
        crashed = {each.rule: each.told for each in screening.crashes}
        rows = {row.rule: row for row in screening.coverage.rules}
        for rule in dict.fromkeys((*rows, *found, *crashed)):
            row = rows.get(rule)
            marks = tuple(self._marks(row, found.get(rule, []), crashed.get(rule)))
            if marks or (row is not None and row.outcome == "met"):
                yield _test(where, rule, marks)

    def _marks(self, row: Row | None, told: Sequence[_Told], crash: str | None) -> Iterator[Element]:
        """What became of a rule: nothing for one that is met, or does not apply."""
        failing = [each for each in told if self._fails(each.finding)] if crash is None else []
        others = [each for each in told if each not in failing]
        if crash is not None:
            yield _mark("error", "failed", [crash])
        elif failing:
            first = failing[0].finding  # the strictest comes first
            more = f" (and {len(failing) - 1} more)" if len(failing) > 1 else ""
            lines = [line for each in failing for line in each.lines]
            yield _mark("failure", first.level, lines, first.message + more)
        elif row is not None:
            yield from _not_judged(row, bool(told))
        if others:
            yield element("system-out", text=lines_of(line for each in others for line in each.lines))

    def _fails(self, finding: Finding) -> bool:
        return finding.counts and finding.level in self._failing


def _not_judged(row: Row, is_told: bool) -> Iterator[Element]:
    """Why a rule that fails nothing has not passed either, where that is so."""
    if row.outcome in ("not checked", "undecided"):
        why = f"lacks {', '.join(row.lacks)}" if row.lacks else "; ".join(row.reasons)
        yield element("skipped", {"message": f"{row.outcome}: {why}" if why else row.outcome})
    elif row.outcome not in ("met", "does not apply") and not is_told:
        yield element("skipped", {"message": _TOLD_ELSEWHERE})


def _mark(name: str, kind: str, lines: Sequence[str], message: str | None = None) -> Element:
    return element(name, {"type": kind, "message": lines[0] if message is None else message}, text=lines_of(lines))


def _test(where: str, name: str, marks: Sequence[Element]) -> Element:
    return element("testcase", {"classname": where, "name": name, "time": "0"}, marks)


def _class_of(shown: str) -> str:
    """A document as a class is named, so that reports group by folder."""
    stem = shown.removesuffix(".vrx").replace("\\", "/")
    return ".".join(part for part in stem.split("/") if part not in ("", ".", "..")) or shown


def _at(line: int | None, column: int | None) -> str:
    return f"line {line}, column {column or 1}: " if line is not None else ""
