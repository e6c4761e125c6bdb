"""Every form of report by its name. Only the module of the one that is asked for is loaded."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from rxlint.reports.report import Report, WholeReport
    from rxlint.screening.ruleset import RuleSet


@dataclass(frozen=True, slots=True)
class Wanted:
    """How a run is reported: the day on which dates are judged, the level of failure, the folder it was started in.

    ``rules_of`` gives the rules under a settings file; ``colour`` and ``coverage`` are of the text report alone.
    """

    on: str
    fail_at: str
    folder: Path
    rules_of: Callable[[Path | None], RuleSet]
    colour: bool = False
    coverage: bool = False


def report_of(form: str, wanted: Wanted) -> Report:
    """A report of this form, ready to start. Raises KeyError for a form that does not exist."""
    if form in FROM_PIECES:
        return FROM_PIECES[form](wanted)
    from rxlint.reports.pieces import Whole

    return Whole(_MAKERS[form](wanted))


def _text(wanted: Wanted) -> Report:
    from rxlint.reports.pieces import TextReport
    from rxlint.reports.style import Style

    return TextReport(Style(wanted.colour), wanted.coverage)


def _json(wanted: Wanted) -> Report:
    from rxlint.reports.pieces import JsonReport

    return JsonReport(wanted.on)


def _sarif(wanted: Wanted) -> WholeReport:
    from rxlint.reports.sarif import SarifReport
    from rxlint.reports.where import Here

    return SarifReport(wanted.on, Here(wanted.folder), wanted.rules_of)


def _junit(wanted: Wanted) -> WholeReport:
    from rxlint.reports.junit import JunitReport

    return JunitReport(wanted.fail_at)


def _github(wanted: Wanted) -> WholeReport:
    from rxlint.reports.annotations import CommandReport
    from rxlint.reports.where import Here

    return CommandReport(Here(wanted.folder))


def _gitlab(wanted: Wanted) -> WholeReport:
    from rxlint.reports.annotations import QualityReport
    from rxlint.reports.where import Here

    return QualityReport(Here(wanted.folder))


def _checkstyle(wanted: Wanted) -> WholeReport:
    from rxlint.reports.checkstyle import CheckstyleReport
    from rxlint.reports.where import Here

    return CheckstyleReport(Here(wanted.folder))


FROM_PIECES: Final[Mapping[str, Callable[[Wanted], Report]]] = {"text": _text, "json": _json}
"""The forms that can be put together from pieces of documents; the others ask for what was found in them."""
_MAKERS: Final[Mapping[str, Callable[[Wanted], WholeReport]]] = {
    "sarif": _sarif,
    "junit": _junit,
    "github": _github,
    "gitlab": _gitlab,
    "checkstyle": _checkstyle,
}
