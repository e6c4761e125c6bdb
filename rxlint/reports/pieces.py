"""Reports that are put together from pieces of screened documents, without reading what was found in them.

What comes with its tree or its findings is told as ever, and only then is anything loaded that knows of them.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from rxlint import __version__
from rxlint.library.entry import Common, Entry, Pieces
from rxlint.reports.style import Style
from rxlint.reports.totals import closing, counts_of, summary_object
from rxlint.text import printable

if TYPE_CHECKING:
    from rxlint.library.told import Told
    from rxlint.reports.report import AnyResult, Ending, WholeReport
    from rxlint.screening.finding import Outcome, Row

SCHEMA: Final = "rxlint-screen-1"
# Marks in the lines of a document, which no text of it can hold, for control characters are told by their codes.
_NAME: Final = "\x00"
_FROM, _THEN, _TO = "\x01", "\x02", "\x03"
_MARKED: Final = re.compile(f"{_FROM}([^{_THEN}]*){_THEN}([^{_TO}]*){_TO}")


def dumped(value: Any) -> str:
    """JSON without spaces, in ASCII."""
    return json.dumps(value, ensure_ascii=True, separators=(",", ":"))


# ---- making pieces


class _Marks(Style):
    """Puts a mark where a colour begins and where it ends."""

    def mark(self, text: str, how: str) -> str:
        """The text between marks."""
        return f"{_FROM}{how}{_THEN}{text}{_TO}"


def pieces_of(told: Told) -> Pieces:
    """The pieces of a document."""
    from rxlint.reports.json_report import own_object
    from rxlint.reports.text import text_of

    lines = "".join(f"{line}\n" for line in text_of(told, _Marks(), name=_NAME))
    return Pieces(dumped(own_object(told))[1:-1], lines, counts_of(told))


def common_of(told: Told) -> Common:
    """The part of a document that others share."""
    from rxlint.library.told import NOTHING

    coverage = told.screening.coverage if told.screening is not None else NOTHING
    changes = tuple(origin.change for row in coverage.rules for origin in row.policy)  # no part of what origins compare
    return _common(coverage.rules, tuple(coverage.counts.items()), changes)


@lru_cache(maxsize=64)
def _common(rules: tuple[Row, ...], counts: tuple[tuple[Outcome, int], ...], _changes: tuple[str, ...]) -> Common:
    """It is made once for many documents: it is ten times as long as what is said of one of them."""
    from rxlint.library.told import write_coverage
    from rxlint.reports.json_report import coverage_object
    from rxlint.screening.finding import Coverage

    coverage = Coverage(dict(counts), rules)
    return Common(f'"coverage":{dumped(coverage_object(coverage))}', write_coverage(coverage))


# ---- putting them together


class JsonReport:
    """The JSON report, judged on a day (``on``, as ISO 8601 has it). The schema stands in ``screen.schema.json``."""

    def __init__(self, on: str) -> None:
        self._on = on
        self._comma = ""

    def start(self) -> Iterator[str]:
        """The program and the day."""
        yield head(SCHEMA, self._on)

    def document(self, result: AnyResult) -> Iterator[str]:
        """A document's entry."""
        if isinstance(result, Entry):
            pieces, common = result.pieces, result.common
            yield f'{self._comma}\n{{"path":{dumped(result.shown)},{pieces.json},{common.json}}}'
        else:
            from rxlint.reports.json_report import document_object

            yield self._comma + "\n" + dumped(document_object(result))
        self._comma = ","

    def end(self, ending: Ending) -> Iterator[str]:
        """The tables of the run, and its counts."""
        totals = ending.totals
        found = ending.tables
        if found is None:
            from rxlint.reports.json_report import tables_text

            found = tables_text(ending.sets, totals.policies)
        yield f'\n],{found},"summary":{dumped(summary_object(totals))}}}\n'


def head(schema: str, on: str) -> str:
    """What stands before the first document of a report in JSON."""
    told = {"schema": schema, "tool": {"name": "rxlint", "version": __version__}, "on": on}
    return dumped(told)[:-1] + ',"documents":['


class TextReport:
    """The text report. ``coverage``: with the outcome of every rule for every document."""

    def __init__(self, style: Style, coverage: bool = False) -> None:
        self._style = style
        self._coverage = coverage

    def start(self) -> Iterator[str]:
        """Nothing comes before the first document."""
        yield from ()

    def document(self, result: AnyResult) -> Iterator[str]:
        """The lines of a document."""
        if isinstance(result, Entry) and not self._coverage:
            yield from _lines(result.pieces.text, printable(result.shown), self._style)
            return
        from rxlint.library.told import whole
        from rxlint.reports.text import text_of

        for line in text_of(whole(result), self._style, self._coverage):
            yield f"{line}\n"

    def end(self, ending: Ending) -> Iterator[str]:
        """The closing line, and the caution."""
        for line in closing(ending.totals):
            yield f"{line}\n"


def _lines(marked: str, name: str, style: Style) -> Iterator[str]:
    if marked:
        yield _MARKED.sub(lambda found: style.mark(found[2], found[1]), marked).replace(_NAME, name)


class Whole:
    """A report that is told of every document with what was found in it."""

    def __init__(self, report: WholeReport) -> None:
        self._report = report

    def start(self) -> Iterable[str]:
        """As of the report."""
        return self._report.start()

    def document(self, result: AnyResult) -> Iterable[str]:
        """As of the report."""
        from rxlint.library.told import whole

        return self._report.document(whole(result))

    def end(self, ending: Ending) -> Iterable[str]:
        """As of the report."""
        return self._report.end(ending)
