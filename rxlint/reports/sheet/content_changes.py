"""What changed since an earlier revision, and the set-up list of a ventilator, as rows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rxlint.library.comparing import Compared
from rxlint.library.screen import Screened
from rxlint.library.setup_list import NoList, SetUpList, list_for, ventilators_named
from rxlint.notation.tree import Document
from rxlint.reports.compare_text import LABELS, OTHERS, in_groups, predicted_told
from rxlint.reports.setup_text import notes_of, prescribed_line, scope_told
from rxlint.reports.sheet.content_findings import rows_of
from rxlint.reports.sheet.rows import ChangeRow, Changes, KeyRow, KeySheet, SetUpRows
from rxlint.screening.change import Change
from rxlint.screening.change_derived import Implied
from rxlint.screening.compare import Comparison
from rxlint.screening.profile_walk import find_profile
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.setup import STOPS, Line, SetUp
from rxlint.screening.setup_checks import checks_of

NOT_GIVEN = "No earlier revision was given to compare with."


def changes_of(compared: Compared | None, rules: RuleSet | None, unchanged_since: str | None = None) -> Changes:
    """What changed, where an earlier revision was given."""
    if unchanged_since is not None and compared is None:
        return Changes(unchanged_since, why=f"The file is the same as in {unchanged_since}.")
    if compared is None:
        return Changes(why=NOT_GIVEN)
    old = compared.pair.old
    against = old.shown if old is not None else ""
    if compared.problems:
        told = "; ".join(f"{shown}: {problem.message}" for shown, problem in compared.problems)
        return Changes(against, why=f"The two revisions could not be compared. {told}")
    if compared.comparison is None:
        return Changes(against, why="The document was not there in the earlier revision.")
    comparison = compared.comparison
    notes = () if comparison.are_one else (f"{OTHERS[:1].upper()}{OTHERS[1:]}.",)
    why = "" if comparison.changes else f"It says the same as {against}."
    findings = rows_of(comparison.screening, comparison.new, rules)
    expected = tuple(predicted_told(each) for each in comparison.predicted)
    return Changes(against, tuple(_groups(comparison)), expected, findings, notes, why)


def _groups(comparison: Comparison) -> Iterable[tuple[str, tuple[ChangeRow, ...]]]:
    changes = in_groups(comparison.changes)
    groups = (
        ("Ordered otherwise", [each for each in changes if each.is_change and each.is_order]),
        ("Said of the order", [each for each in changes if each.is_change and not each.is_order]),
        ("The same in other words", [each for each in changes if not each.is_change]),
    )
    for title, group in groups:
        if group:
            yield title, tuple(_change(each) for each in group)
    implied = [_implied(each) for each in comparison.implied if each.is_seen_to_change]
    if implied:
        yield "What follows from it", tuple(implied)


def _change(change: Change) -> ChangeRow:
    note = "; ".join(part for part in (change.how, f"period {change.period}" if change.period else "") if part)
    return ChangeRow(LABELS[change.kind], change.term, change.before or "", change.after or "", note)


def _implied(implied: Implied) -> ChangeRow:
    note = ", ".join(
        part for part in (f"period {implied.period}" if implied.period else "", implied.band or "") if part
    )
    before, after = (implied.told(each) or "not known" for each in (implied.before, implied.after))
    return ChangeRow("works out", implied.term, before, after, note)


# ---- set-up list


def setup_of(screened: Screened, rules: RuleSet, ventilator: str | None) -> SetUpRows:
    """The set-up list for a ventilator, or for the one that the order names. Raises NoList for an unknown name."""
    document = screened.document
    if document is None or screened.screening is None:
        return SetUpRows(why="The document could not be screened, so no list was made.")
    if document.kind != "prescription":
        return SetUpRows(why="A set-up list is made of a prescription, for one patient.")
    if ventilator is None:
        why = _why_none(document, rules)
        if why:
            return SetUpRows(why=why)
    try:
        return _rows(list_for(screened, rules, ventilator, None))
    except NoList as error:
        if ventilator is not None:
            raise
        return SetUpRows(why=f"No list could be made: {error}.")


def _why_none(document: Document, rules: RuleSet) -> str:
    """Why no ventilator is known to make a list for; empty where the order names one that has a profile."""
    named = ventilators_named(document)
    if not named:
        return "The order names no ventilator, and none was asked for."
    if len(named) > 1:
        return f"The order names several ventilators ({', '.join(named)}), and none of them was asked for."
    if find_profile(named[0], rules.profiles) is None:
        return f"The order names the ventilator {named[0]}, of which there is no profile here."
    return ""


def _rows(found: SetUpList) -> SetUpRows:
    name = f"{found.profile.name}, profile revision {found.profile.revision}"
    return SetUpRows(name, found.stops, tuple(_sheet(each) for each in found.sheets))


def _sheet(sheet: SetUp) -> KeySheet:
    lacking = tuple(
        f"{key.removeprefix('alarm ')}{' alarm' if key.startswith('alarm ') else ''}, line {prescribed_line(stated)}"
        for key, stated in sheet.lacking
    )
    parts: Sequence[tuple[str, tuple[str, ...]]] = (
        ("Ask the prescriber, who leaves this open", sheet.asks),
        ("This ventilator can't do", lacking),
        ("To be set elsewhere", tuple(f"{what}: {value}" for what, value in sheet.beside)),
        ("Check before and once it runs", tuple(checks_of(sheet))),
    )
    rows = tuple(_key_row(number, line) for number, line in enumerate(sheet.lines, 1))
    scope = scope_told(sheet)
    return KeySheet(f"{scope[:1].upper()}{scope[1:]}", rows, tuple(each for each in parts if each[1]))


def _key_row(number: int, line: Line) -> KeyRow:
    term = (line.stated.key if line.stated is not None else line.key).removeprefix("alarm ")
    alarm = " alarm" if line.key.startswith("alarm ") else ""
    prescribed = f"{term}{alarm}: {'as keyed in' if line.same else line.prescribed}"
    where = prescribed_line(line.stated) if line.stated is not None else None
    return KeyRow(number, line.name, line.keyed, line.state not in STOPS, prescribed, where, tuple(notes_of(line)))
