"""Findings in the XML of Checkstyle, which tools for code review read.

Source: checkstyle-report-1.0.0.xsd, shown at https://checkstyle.org/result_reports.html. The format has no place for
what was not checked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final
from xml.etree.ElementTree import Element

from rxlint.library.told import Result
from rxlint.packs import Level
from rxlint.reports.annotations import Note, notes_of
from rxlint.reports.report import Ending
from rxlint.reports.where import Here
from rxlint.reports.xml_text import HEAD, element, written

_SEVERITIES: Final[Mapping[Level, str]] = {"reject": "error", "query": "warning", "note": "info"}


class CheckstyleReport:
    """The Checkstyle report: each document as a file, those without findings too."""

    def __init__(self, here: Here) -> None:
        self._here = here

    def start(self) -> Iterator[str]:
        """The head."""
        yield HEAD + "<checkstyle>\n"

    def document(self, screened: Result) -> Iterator[str]:
        """A document with its findings."""
        yield written(element("file", {"name": self._here.path(screened.shown)}, map(_error, notes_of(screened))))

    def end(self, _ending: Ending) -> Iterator[str]:
        """The end."""
        yield "</checkstyle>\n"


def _error(note: Note) -> Element:
    attributes: dict[str, str | int] = {"line": note.place.line, "column": note.place.column}
    attributes |= {"severity": _SEVERITIES[note.level], "message": note.text, "source": note.rule}
    return element("error", attributes)
