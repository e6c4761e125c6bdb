"""Findings, and why a text can't be read, as cards: what the checker's sheet tells of each, with edits to apply."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Final

from rxlint.editor.diagnostics import crash_marks, findings_told, problem_marks, related_marks
from rxlint.editor.shapes import Edit, Mark
from rxlint.editor.snapshot import Snapshot
from rxlint.notation.tree import Document, Place
from rxlint.packs import Rule
from rxlint.page.shapes import Correction, Counts, Elsewhere, FindingCard, Labelled, Span, TextEdit
from rxlint.reports.rule_markdown import on_one_line
from rxlint.reports.sheet.content_findings import row_of
from rxlint.reports.sheet.rows import FindingRow
from rxlint.screening.finding import Finding, Suggestion
from rxlint.text import printable

UNREAD: Final = "can't be read"
NOT_SCREENED: Final = "not screened"
_FAILED: Final = "a check has failed"
_KNOWN: Final = "it stands in the list of findings that this library has from before"

Shown = Callable[[Path], str]
"""A file's name as the page knows it."""


def span_of(place: Place) -> Span:
    """A place as it is told."""
    return {
        "line": place.line,
        "column": place.column,
        "end_line": place.end_line,
        "end_column": place.end_column,
    }


def edits_of(edits: Iterable[Edit]) -> list[TextEdit]:
    """Edits as they are told."""
    return [{"at": span_of(each.place), "text": each.text} for each in edits]


def edit_of(suggestion: Suggestion) -> Edit | None:
    """What a correction would write; None where it is told in words alone, or stands in another file."""
    place = suggestion.place
    if place is None or place.file is not None or suggestion.replacement is None:
        return None
    return Edit(place, suggestion.replacement)


def cards_of(snapshot: Snapshot, rules: Mapping[str, Rule], shown: Shown) -> list[FindingCard]:
    """Everything there is to tell of a document, in the order of the text."""
    title = NOT_SCREENED if snapshot.screened.misconfigured else UNREAD
    found = [card_of_mark(each, title) for each in problem_marks(snapshot)]
    found += [card_of_mark(each, _FAILED) for each in crash_marks(snapshot)]
    document = snapshot.screened.document
    if document is not None:
        for each in findings_told(snapshot):
            related = [_elsewhere(shown, mark.location.path, mark.location.place, mark.message)
                       for mark in related_marks(each, snapshot)]  # fmt: skip
            found.append(_card(each, document, rules, related))
    return in_order(found)


def cards_of_change(
    findings: Iterable[Finding], document: Document, rules: Mapping[str, Rule], path: str
) -> list[FindingCard]:
    """The findings of a change, whose places are in the new text, at ``path``."""
    found: list[FindingCard] = []
    for each in findings:
        related: list[Elsewhere] = [
            {
                "path": other.place.file or path,
                "at": span_of(other.place),
                "message": printable(other.message),
            }
            for other in each.related
        ]
        found.append(_card(each, document, rules, related))
    return in_order(found)


def in_order(cards: list[FindingCard]) -> list[FindingCard]:
    """Cards in the order of the text, each with a key of its own."""
    ordered = sorted(cards, key=lambda card: (card["at"]["line"], card["at"]["column"]))
    seen: dict[str, int] = {}
    for card in ordered:
        key = card["key"]
        seen[key] = seen.get(key, 0) + 1
        if seen[key] > 1:
            card["key"] = f"{key}|{seen[key]}"
    return ordered


def card_of_mark(mark: Mark, title: str) -> FindingCard:
    """A mark that is no finding: why a text can't be used, a fault in a file of rules, a rule that has failed."""
    card: FindingCard = {
        "key": f"{mark.rule or title}|{mark.message}",
        "at": span_of(mark.place),
        "level": mark.level,
        "title": title,
        "message": mark.message,
        "settled": mark.settled,
        "calculation": [],
        "correction_label": "",
        "corrections": [],
        "sound": [],
        "related": [],
        "more": [],
        "because": "",
        "source": "",
    }
    if mark.rule is not None:
        card["rule"] = mark.rule
    return card


def counts_of(cards: Iterable[FindingCard]) -> Counts:
    """How many cards count at each level, and how many do not count."""
    counts: Counts = {"reject": 0, "query": 0, "note": 0, "settled": 0}
    for card in cards:
        counts["settled" if card["settled"] else card["level"]] += 1
    return counts


# ---- one finding


def _card(finding: Finding, document: Document, rules: Mapping[str, Rule], related: list[Elsewhere]) -> FindingCard:
    row = row_of("", finding, document, rules)
    rule = rules.get(finding.rule)
    return {
        "key": _key(finding, document),
        "at": span_of(finding.place),
        "level": finding.level,
        "rule": finding.rule,
        "title": on_one_line(rule.title) if rule is not None else finding.rule,
        "message": printable(row.message),
        "settled": not finding.counts,
        "calculation": [printable(each) for each in row.calculation],
        "correction_label": row.correction_label,
        "corrections": list(_corrections(finding, row)),
        "sound": [printable(each) for each in row.sound],
        "related": related,
        "more": list(_more(finding, row)),
        "because": on_one_line(row.because),
        "source": on_one_line(row.source),
    }


def _key(finding: Finding, document: Document) -> str:
    """What stays the same of a finding while its line is written: rule, term of the line, part of the day."""
    term = next(
        (
            entry.statement.term.key
            for block in document.blocks
            for entry in block.details
            if entry.statement is not None
            and entry.statement.term is not None
            and entry.lines[0].number <= finding.place.line <= entry.lines[-1].number
        ),
        "",
    )
    return "|".join((finding.rule, term, finding.period or "", finding.band or ""))


def _corrections(finding: Finding, row: FindingRow) -> Iterator[Correction]:
    for suggestion, text in zip(finding.corrections, row.corrections, strict=True):
        edit = edit_of(suggestion)
        yield {"text": printable(text), "edits": edits_of([edit] if edit is not None else [])}


def _more(finding: Finding, row: FindingRow) -> Iterator[Labelled]:
    told = [("accepted", row.accepted)] if row.accepted else []
    told += [("known", _KNOWN)] if finding.known else []
    told += [("holds for", row.scope)] if row.scope else []
    told += [(each.label, each.text) for each in row.origins]
    told += [("also", each) for each in row.also]
    for label, text in told:
        yield {"label": label, "text": printable(text)}


def _elsewhere(shown: Shown, path: Path, place: Place, message: str) -> Elsewhere:
    return {"path": shown(path), "at": span_of(place), "message": message}
