"""Findings as rows, and the text of the order with marks beside the lines that they speak of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final

from rxlint.library.screen import Screened
from rxlint.model.stated import periods_of
from rxlint.notation.tree import Document, Place
from rxlint.packs import LEVELS, Rule
from rxlint.reports.sheet.rows import FindingRow, Findings, FoundLine, Mark, Origin, TextLine
from rxlint.reports.sheet.typeset import formula
from rxlint.reports.text import SET_BY
from rxlint.screening.engine import Screening
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import RuleSet

NAME: Final = "F"
"""Before the number of a finding, in its heading and in the marks beside the order's lines."""
CHANGE_NAME: Final = "C"


def findings_of(screened: Screened, rules: RuleSet | None) -> tuple[Findings, Mapping[str, Finding]]:
    """The findings of a document as rows, and each finding by its name."""
    screening, document = screened.screening, screened.document
    if screening is None or document is None:
        return Findings(why="The document could not be screened, so nothing is known of it."), {}
    ordered = sorted(screening.findings, key=lambda each: (not each.counts, LEVELS.index(each.level)))
    by_name = {f"{NAME}{number}": each for number, each in enumerate(ordered, 1)}
    rows = {name: row_of(name, each, document, _rules(rules)) for name, each in by_name.items()}
    counting = tuple(rows[name] for name, each in by_name.items() if each.counts)
    accepted = tuple(rows[name] for name, each in by_name.items() if each.acceptance is not None)
    known = tuple(rows[name] for name, each in by_name.items() if not each.counts and each.acceptance is None)
    failed = tuple(each.told for each in screening.crashes)
    return Findings(counting, accepted, known, failed), by_name


def _rules(rules: RuleSet | None) -> Mapping[str, Rule]:
    return {rule.id: rule for rule in rules.all_rules} if rules is not None else {}


def rows_of(
    screening: Screening, document: Document, rules: RuleSet | None, name: str = CHANGE_NAME
) -> tuple[FindingRow, ...]:
    """The findings of a screening as rows, in their order."""
    known = _rules(rules)
    return tuple(row_of(f"{name}{number}", each, document, known) for number, each in enumerate(screening.findings, 1))


def row_of(name: str, finding: Finding, document: Document, rules: Mapping[str, Rule]) -> FindingRow:
    """One finding as it is told."""
    several = len(periods_of(document)) > 1
    told = finding if several else replace(finding, period=None)
    rule = rules.get(finding.rule)
    texts = {line.number: line.text for line in document.source.lines}
    label, corrections = _corrections(finding)
    return FindingRow(
        name=name,
        level=finding.level,
        rule=finding.rule,
        message=finding.message,
        written=_line(finding.place, texts),
        related=tuple(_line(each.place, texts) for each in finding.related),
        calculation=tuple(formula(each) for each in finding.calculation),
        correction_label=label,
        corrections=corrections,
        sound=finding.sound,
        scope=", ".join(part for part in (f"period {told.period}" if told.period else "", told.band or "") if part),
        because=rule.because if rule is not None else "",
        source=rule.source if rule is not None else "",
        origins=tuple(Origin(SET_BY[each.sets], str(each)) for each in finding.policy),
        also=tuple(f"{each.level}: {each.message} [{each.rule}]" for each in finding.also),
        accepted=_accepted(finding),
    )


def _line(place: Place, texts: Mapping[int, str]) -> FoundLine:
    text = texts.get(place.line, "") if place.file is None else ""
    return FoundLine(place.line, " ".join(text.split()), place.file)


def _corrections(finding: Finding) -> tuple[str, tuple[str, ...]]:
    """What would restore the order, none before another; of a line that can't be read, what it may have meant."""
    found = finding.corrections
    if not found:
        return "", ()
    if all(each.is_reading for each in found):
        return "May mean", tuple(each.text for each in found)
    texts = tuple(f"{each.text} (makes {each.makes})" if each.makes else each.text for each in found)
    return "Would restore it" if len(found) == 1 else "Each of these alone would restore it", texts


def _accepted(finding: Finding) -> str:
    if finding.acceptance is None:
        return ""
    told = finding.acceptance
    where = f"line {told.place.line}" + (f" of {told.place.file}" if told.place.file is not None else "")
    return f"until {told.until} by {told.by}: {told.because} ({where})"


# ---- the text


def text_lines(document: Document, named: Mapping[str, Finding]) -> tuple[TextLine, ...]:
    """Every line of the file as it stands, with the findings that speak of it."""
    marks: dict[int, list[Mark]] = {}
    for name, finding in named.items():
        here = set(_lines_of([finding.place]))
        beside = set(_lines_of(each.place for each in finding.related)) - here
        for numbers, is_place in ((here, True), (beside, False)):
            for number in numbers:
                marks.setdefault(number, []).append(Mark(name, finding.level, is_place, finding.counts))
    return tuple(TextLine(line.number, line.text, tuple(marks.get(line.number, ()))) for line in document.source.lines)


def _lines_of(places: Iterable[Place]) -> Sequence[int]:
    return [
        number for each in places if each.file is None for number in range(each.line, max(each.end_line, each.line) + 1)
    ]


RAW_BYTES: Final = 20_000
RAW_LINES: Final = 400
"""As much is shown of a file that is no document: a few sheets of paper."""


def raw_lines(data: bytes) -> tuple[TextLine, ...]:
    """The lines of bytes that are no document, as far as they can be shown."""
    text = data[:RAW_BYTES].decode("utf-8", "backslashreplace")
    lines = text.split("\n")[:RAW_LINES]
    return tuple(TextLine(number, line.rstrip("\r"), ()) for number, line in enumerate(lines, 1))


def is_cut(data: bytes) -> bool:
    """Whether bytes that are no document are too many to be shown to their end."""
    return len(data) > RAW_BYTES or data.count(b"\n") > RAW_LINES
