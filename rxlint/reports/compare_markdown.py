"""What changed between two revisions, in Markdown for a review's comment.

Text of a document is told as code, so that nothing in it is a link, an image, a mention or a heading: between the marks
of code no character has a meaning of its own but the mark itself and, in a table, the upright stroke.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from rxlint.library.comparing import Compared
from rxlint.packs import LEVELS
from rxlint.reports.caution import CAUTION
from rxlint.reports.compare_text import GONE, LABELS, NEW, OTHERS, SPONTANEOUS, Totals, in_groups, summary_of
from rxlint.reports.text import policies_told
from rxlint.screening.change import Change
from rxlint.screening.change_derived import Implied, Predicted
from rxlint.screening.compare import Comparison
from rxlint.screening.finding import Finding
from rxlint.screening.values import show_number
from rxlint.text import printable
from rxlint.units import show

# A comment has an end: what is beyond this stands in the text report.
_MOST_ROWS: Final = 200
_LONGEST: Final = 300


def code(text: str | None) -> str:
    """Text from outside as code in a table's cell."""
    if text is None:
        return ""
    told = printable(" ".join(text.split())).replace("|", "¦")
    if len(told) > _LONGEST:
        told = f"{told[:_LONGEST]} ..."
    if not told:
        return ""
    marks = "`" * (max((len(run) for run in re.findall("`+", told)), default=0) + 1)
    room = " " if told.startswith("`") or told.endswith("`") else ""
    return f"{marks}{room}{told}{room}{marks}"


def report(results: Iterable[Compared], totals: Totals) -> Iterator[str]:
    """The whole comment, line by line."""
    yield "## What changed in the orders"
    yield ""
    for compared in results:
        totals.add(compared)
        yield from _document(compared)
    under = [code(each) for each in policies_told(totals.policies)]
    yield " ".join([summary_of(totals), *under])
    yield ""
    yield f"*{CAUTION}*"


def _document(compared: Compared) -> Iterator[str]:
    yield f"### {code(compared.shown)}"
    yield ""
    if compared.status != "compared":
        yield f"This document {GONE if compared.status == 'deleted' else NEW}."
        yield ""
    elif compared.pair.is_renamed and compared.pair.old is not None:
        yield f"It was {code(compared.pair.old.shown)} before."
        yield ""
    for shown, problem in compared.problems:
        yield f"- **{'not compared' if compared.misconfigured else 'unread'}** {code(shown)}: {code(problem.message)}"
    if compared.problems:
        yield ""
    if compared.comparison is not None:
        yield from _comparison(compared.comparison)


def _comparison(comparison: Comparison) -> Iterator[str]:
    if not comparison.are_one:
        yield f"{OTHERS.capitalize()}."
        yield ""
    yield from _findings(comparison)
    changes = in_groups(comparison.changes)
    if not changes:
        yield "It says the same as before."
        yield ""
    groups = (
        ("Ordered otherwise", [each for each in changes if each.is_change and each.is_order]),
        ("Said of the order", [each for each in changes if each.is_change and not each.is_order]),
        ("The same in other words", [each for each in changes if not each.is_change]),
    )
    for title, group in groups:
        rows = [_change(each) for each in group]
        yield from _table(title, ("", "what", "before", "now", ""), rows)
    implied = [_implied(each) for each in comparison.implied if each.is_seen_to_change]
    yield from _table("What follows", ("what", "before", "now", ""), implied)
    for predicted in comparison.predicted:
        yield _predicted(predicted)
        yield ""


def _findings(comparison: Comparison) -> Iterator[str]:
    found = [each for level in LEVELS for each in comparison.screening.findings if each.level == level]
    for finding in found:
        yield f"- {_level(finding)} line {finding.place.line}: {code(finding.message)} ({code(finding.rule)})"
    for crash in comparison.screening.crashes:
        yield f"- **failed** {code(crash.told)}"
    if found or comparison.screening.crashes:
        yield ""


def _level(finding: Finding) -> str:
    return f"**{finding.level}**" if finding.counts else f"accepted {finding.level}"


def _change(change: Change) -> tuple[str, ...]:
    notes = "; ".join(part for part in (change.how, f"period {change.period}" if change.period else "") if part)
    return LABELS[change.kind], code(change.term), code(change.before), code(change.after), code(notes)


def _implied(implied: Implied) -> tuple[str, ...]:
    scope = ", ".join(
        part for part in (f"period {implied.period}" if implied.period else "", implied.band or "") if part
    )
    return implied.term, code(implied.told(implied.before)), code(implied.told(implied.after)), code(scope)


def _predicted(predicted: Predicted) -> str:
    measured, expected = show_number(predicted.measured, predicted.unit), show(predicted.expected, predicted.unit, 1)
    taken = f" of {code(predicted.taken)}" if predicted.taken else ""
    scope = f" (period {code(predicted.period)})" if predicted.period else ""
    return (
        f"{predicted.reading} {code(measured)}{taken}: about {code(expected)} is to be expected, {SPONTANEOUS}{scope}: "
        f"{code(predicted.before)}, then {code(predicted.after)}."
    )


def _table(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    if not rows:
        return
    yield f"**{title}**"
    yield ""
    yield f"| {' | '.join(head)} |"
    yield f"|{' --- |' * len(head)}"
    for row in rows[:_MOST_ROWS]:
        yield f"| {' | '.join(row)} |"
    yield ""
    if len(rows) > _MOST_ROWS:
        yield f"And {len(rows) - _MOST_ROWS} more, which the text report lists."
        yield ""
