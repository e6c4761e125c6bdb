"""Whole views of a folder's documents: sheet, set-up list, comparison, coverage, values, reports.

Each is made of the files as they lie on the disk, the folder being the current one, along the way that the command of
the same purpose takes, so that both give the same.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

from rxlint.editor.snapshot import Snapshot
from rxlint.library.comparing import Compared, compare_pairs, pairs_of
from rxlint.library.discover import Input, find_inputs
from rxlint.library.rulings import Rulings
from rxlint.library.screen import Screened, screen_inputs
from rxlint.library.setup_list import NoList, list_for, ventilators_named
from rxlint.notation.tree import Document
from rxlint.packs import Rule
from rxlint.page.cards import cards_of_change
from rxlint.page.files import Refused, told_of
from rxlint.page.shapes import ComparedText, CoverageTable, SetupText, SheetPage, Unmade, Ventilators
from rxlint.reports import calculations, compare_json, compare_markdown, compare_text, setup_json, setup_text
from rxlint.reports.forms import Wanted, report_of
from rxlint.reports.report import Ending
from rxlint.reports.rule_markdown import on_one_line
from rxlint.reports.status import EXIT_UNREAD, status_of
from rxlint.reports.style import Style
from rxlint.reports.totals import Totals
from rxlint.screening.profile_walk import find_profile
from rxlint.screening.ruleset import RuleSet
from rxlint.text import printable

FORMS: Final = ("text", "json", "sarif", "junit", "github", "gitlab", "checkstyle")
_FAIL_AT: Final = "query"  # as the command line has it where nothing else is said
_PLAIN: Final = Style(False)


def report_text(form: str, rulings: Rulings, day: datetime.date) -> str:
    """The report of every document of the current folder, as ``rxlint screen --format FORM --on DAY .`` writes it.

    Raises Refused for a form that there is not.
    """
    if form not in FORMS:
        raise Refused(f"there is no report in the form {printable(form)}; there are {', '.join(FORMS)}")
    totals = Totals()
    wanted = Wanted(day.isoformat(), _FAIL_AT, Path.cwd(), rulings.of_settings_file)
    report = report_of(form, wanted)
    told = list(report.start())
    for screened in screen_inputs(find_inputs(["."]), rulings, day):
        totals.add(screened)
        told += report.document(screened)
    failed = rulings.unloaded and not totals.misconfigured
    told += report.end(Ending(totals, rulings.used(), EXIT_UNREAD if failed else status_of(totals, _FAIL_AT)))
    return "".join(told)


def values_text(path: str) -> str:
    """Every value that a document implies, as ``rxlint calculations`` tells it."""
    return "".join(piece for piece, _ in calculations.text_of(find_inputs([path])))


def coverage_table(snapshot: Snapshot, rules: Mapping[str, Rule]) -> CoverageTable:
    """How every rule came out, and those that could not be checked. Raises Refused where nothing was screened."""
    screening = snapshot.screened.screening
    if screening is None:
        raise Refused(_why_not(snapshot.screened))
    return {
        "counts": dict(screening.coverage.counts.items()),
        "unmade": [
            _unmade(row.rule, row.outcome, row.lacks, row.reasons, (row.period, row.band), rules)
            for row in screening.coverage.rules
            if row.outcome in ("not checked", "undecided")
        ],
    }


def _unmade(
    rule: str,
    outcome: str,
    lacks: Iterable[str],
    reasons: Iterable[str],
    scope: tuple[str | None, str | None],
    rules: Mapping[str, Rule],
) -> Unmade:
    known = rules.get(rule)
    period, band = scope
    parts = [f"period {period}" if period else "", band or ""]
    return {
        "rule": rule,
        "title": on_one_line(known.title) if known is not None else rule,
        "outcome": "undecided" if outcome == "undecided" else "not checked",
        "lacks": [printable(each) for each in lacks],
        "reasons": [printable(each) for each in reasons],
        "scope": printable(", ".join(part for part in parts if part)),
    }


def _why_not(screened: Screened) -> str:
    what = "was not screened" if screened.misconfigured else "could not be read"
    return "\n".join(f"{printable(screened.shown)} {what}: {told_of(each)}" for each in screened.problems)


# ---- the sheet


def sheet_page(path: str, ventilator: str, before: str, rulings: Rulings, day: datetime.date) -> SheetPage:
    """The checker's sheet of a document. Raises Refused for a ventilator that there is no profile of."""
    from rxlint.reports.sheet.content import sheet_of
    from rxlint.reports.sheet.given import given_of
    from rxlint.reports.sheet.render import sheet_html

    found, screened = _screened(path, rulings, day)
    given = given_of(
        found,
        screened,
        rulings,
        day,
        ventilator=ventilator or None,
        compared=_compared(before, path, rulings, day) if before else None,
        unchanged_since=before or None,
    )
    try:
        return {"html": sheet_html(sheet_of(screened, given))}
    except NoList as error:
        raise Refused(printable(str(error))) from None


def _screened(path: str, rulings: Rulings, day: datetime.date) -> tuple[Input, Screened]:
    found = next(iter(find_inputs([path])))
    return found, next(iter(screen_inputs([found], rulings, day)))


# ---- the set-up list


def ventilators(snapshot: Snapshot) -> Ventilators:
    """The ventilators that a document may be keyed in at; the one that it names, as its profile spells it."""
    document = snapshot.screened.document
    named = ventilators_named(document) if document is not None else []
    own = find_profile(named[0], snapshot.rules.profiles) if len(named) == 1 else None
    spelled = own.name if own is not None else named[0] if len(named) == 1 else ""
    return {"names": [each.name for each in snapshot.rules.profiles], "named": spelled}


def setup_list(path: str, ventilator: str, period: str, rulings: Rulings, day: datetime.date) -> SetupText:
    """The set-up list of a prescription. Raises Refused where none can be made."""
    _, screened = _screened(path, rulings, day)
    if screened.problems:
        raise Refused(_why_not(screened))
    named = ventilators_named(screened.document) if screened.document is not None else []
    if not ventilator and len(named) != 1 and screened.kind == "prescription":
        raise Refused(f"the order names {'more than one ventilator' if named else 'no ventilator'}: choose one")
    try:
        found = list_for(screened, rulings.of_settings(screened.settings), ventilator or None, period or None)
    except NoList as error:
        raise Refused(printable(str(error))) from None
    return {
        "json": json.dumps(setup_json.object_of(found, day.isoformat()), indent=1),
        "text": "".join(f"{line}\n" for line in setup_text.report(found, _PLAIN)),
    }


# ---- two revisions


def compared_text(old: str, new: str, rulings: Rulings, day: datetime.date) -> ComparedText:
    """What changed between two revisions."""
    compared = _compared(old, new, rulings, day)
    found = [compared]
    comparison, document = compared.comparison, _document(compared)
    rules = rules_by_id(_rules_of(new, rulings))
    return {
        "json": "".join(compare_json.report(found, rulings, day.isoformat(), compare_text.Totals())),
        "markdown": "".join(f"{line}\n" for line in compare_markdown.report(found, compare_text.Totals())),
        "findings": cards_of_change(comparison.screening.findings, document, rules, new)
        if comparison is not None and document is not None
        else [],
    }


def _compared(old: str, new: str, rulings: Rulings, day: datetime.date) -> Compared:
    return next(iter(compare_pairs(pairs_of(old, new), rulings, day)))


def _document(compared: Compared) -> Document | None:
    new = compared.pair.new
    return new.read if new is not None and isinstance(new.read, Document) else None


def _rules_of(path: str, rulings: Rulings) -> RuleSet:
    return rulings.of_folder(Path(path).parent).rules or rulings.base


def rules_by_id(rules: RuleSet) -> dict[str, Rule]:
    """The rules of a set by their id."""
    return {rule.id: rule for rule in rules.all_rules}
