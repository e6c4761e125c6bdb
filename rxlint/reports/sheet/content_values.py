"""Values that follow from an order, and what became of the checks."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from rxlint.model.names import derived_terms
from rxlint.notation.tree import Document
from rxlint.reports.sheet.content_parts import ALL_DAY, period_told
from rxlint.reports.sheet.rows import CoverageRows, NotChecked, ValueGroup, ValueRow
from rxlint.reports.sheet.typeset import formula
from rxlint.screening.calculation import is_list
from rxlint.screening.derived_values import Value, values_of
from rxlint.screening.engine import Screening
from rxlint.screening.finding import Outcome, Row
from rxlint.screening.ruleset import RuleSet

# Terms that only stand for what a line states.
_NAMES_ALONE: Final = frozenset({"baseline", "set rate", "exhalation resistance"})
_OUTCOMES: Final[Mapping[Outcome, str]] = {
    "met": "found nothing",
    "broken": "found something",
    "can break": "found something among what the order allows",
    "undecided": "could not be decided in the steps that one check may take",
    "not checked": "could not be made",
    "does not apply": "do not concern this order",
}
_UNSURE: Final = re.compile("a line of (.+) could not be read")


def derived_values(document: Document, told: frozenset[str] = frozenset()) -> tuple[ValueGroup, ...]:
    """Every value that follows from a document, by the part of the day that it holds for; without those ``told``."""
    values = list(values_of(document, frozenset(derived_terms()) - _NAMES_ALONE - told))
    periods = list(dict.fromkeys(each.period for each in values))
    found: dict[str, list[tuple[str, Value]]] = {}
    for value in values:
        scope = period_told(value.period, periods) if periods else ALL_DAY
        scope = f"{scope}, {value.readings}" if value.readings else scope
        found.setdefault(scope, []).append((value.band or "", value))
    return tuple(ValueGroup(scope, tuple(_rows(group))) for scope, group in found.items())


def _rows(group: Sequence[tuple[str, Value]]) -> list[ValueRow]:
    """The rows of one part of the day: what is the same in all rows of its tables once."""
    bands = list(dict.fromkeys(band for band, _ in group))
    by_term: dict[str, list[tuple[str, Value]]] = {}
    for band, value in group:
        by_term.setdefault(value.term, []).append((band, value))
    rows: list[ValueRow] = []
    for term, same in by_term.items():
        told = dict.fromkeys((value.told, value.formula, value.numbers) for _, value in same)
        everywhere = len(told) == 1 and {band for band, _ in same} == set(bands)
        for band, value in same[:1] if everywhere else same:
            what = term if everywhere or not band else f"{term} ({band})"
            rows.append(ValueRow(f"{what}: {value.means}", value.told, _worked_out(value), value.source))
    return list(dict.fromkeys(rows))


def _worked_out(value: Value) -> str:
    if not value.numbers or value.numbers == value.formula:
        return formula(value.formula)
    joint = ", " if is_list(value.numbers) or value.is_range else " = "
    return formula(f"{value.formula}{joint}{value.numbers}")


# ---- coverage


def coverage_of(screening: Screening, rules: RuleSet) -> CoverageRows:
    """How many checks came to what, and those that could not be made by what they lacked."""
    titles = {rule.id: rule.title for rule in rules.all_rules}
    counts = tuple(
        (_OUTCOMES[outcome], count) for outcome, count in screening.coverage.counts.items() if count or outcome == "met"
    )
    groups: dict[str, list[tuple[str, str]]] = {}
    for row in screening.coverage.rules:
        if row.outcome in ("not checked", "undecided"):
            groups.setdefault(_why(row), []).append((titles.get(row.rule, row.rule), row.rule))
    ordered = sorted(groups.items(), key=lambda each: (-len(each[1]), each[0]))
    return CoverageRows(counts, tuple(NotChecked(why, tuple(each)) for why, each in ordered))


def _why(row: Row) -> str:
    """Why a check could not be made, for people."""
    if row.outcome == "undecided":
        return "What the order allows is too much to search through."
    if row.lacks:
        return f"The order does not state {_listed(row.lacks)}."
    told = [each for each in row.reasons if each]
    if not told:
        return "What is needed for them is not known."
    text = "; ".join(dict.fromkeys(map(_plainly, told)))
    return f"{text[:1].upper()}{text[1:]}."


def _plainly(reason: str) -> str:
    """A reason of the engine for somebody who only knows the order."""
    unsure = _UNSURE.fullmatch(reason)
    if unsure is not None:
        return f"a line under {unsure[1]} could not be made out, so nobody knows whether something is missing there"
    return reason


def _listed(terms: Sequence[str]) -> str:
    return " or ".join([", ".join(terms[:-1]), terms[-1]]) if len(terms) > 1 else terms[0]
