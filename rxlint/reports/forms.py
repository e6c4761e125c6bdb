"""Every form of report by its name. Only the module of the one that is asked for is loaded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rxlint.library.settings import Settings
    from rxlint.reports.report import Report
    from rxlint.screening.ruleset import RuleSet


@dataclass(frozen=True, slots=True)
class Wanted:
    """How a run is reported: the day on which dates are judged, the level of failure, the folder it was started in.

    ``rules_of`` gives the rules under a document's settings; ``colour`` and ``coverage`` are of the text report alone.
    """

    on: str
    fail_at: str
    folder: Path
    rules_of: Callable[[Settings | None], RuleSet]
    colour: bool = False
    coverage: bool = False


def report_of(form: str, wanted: Wanted) -> Report:
    """A report of this form, ready to start. Raises KeyError for a form that does not exist."""
    return _MAKERS[form](wanted)


def _text(wanted: Wanted) -> Report:
    from rxlint.reports.style import Style
    from rxlint.reports.text import TextReport

    return TextReport(Style(wanted.colour), wanted.coverage)


def _json(wanted: Wanted) -> Report:
    from rxlint.reports.json_report import JsonReport

    return JsonReport(wanted.on)


def _sarif(wanted: Wanted) -> Report:
    from rxlint.reports.sarif import SarifReport
    from rxlint.reports.where import Here

    return SarifReport(wanted.on, Here(wanted.folder), wanted.rules_of)


def _junit(wanted: Wanted) -> Report:
    from rxlint.reports.junit import JunitReport

    return JunitReport(wanted.fail_at)


def _github(wanted: Wanted) -> Report:
    from rxlint.reports.annotations import CommandReport
    from rxlint.reports.where import Here

    return CommandReport(Here(wanted.folder))


def _gitlab(wanted: Wanted) -> Report:
    from rxlint.reports.annotations import QualityReport
    from rxlint.reports.where import Here

    return QualityReport(Here(wanted.folder))


def _checkstyle(wanted: Wanted) -> Report:
    from rxlint.reports.checkstyle import CheckstyleReport
    from rxlint.reports.where import Here

    return CheckstyleReport(Here(wanted.folder))


_MAKERS = {
    "text": _text,
    "json": _json,
    "sarif": _sarif,
    "junit": _junit,
    "github": _github,
    "gitlab": _gitlab,
    "checkstyle": _checkstyle,
}
