"""What is told of a place by other places: findings, the template that is followed, names in a relation."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final

from rxlint.editor.completion_names import template_line
from rxlint.editor.hover_words import derived_markdown, term_markdown
from rxlint.editor.shapes import Position
from rxlint.editor.snapshot import Snapshot
from rxlint.expressions import condition
from rxlint.model.facts import Facts
from rxlint.model.names import derived_terms
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.tree import Entry, Place
from rxlint.reports.rule_markdown import code, plain, rule_markdown
from rxlint.screening.alike import told
from rxlint.screening.demands import demands_of
from rxlint.screening.finding import Finding
from rxlint.screening.follows import resolve
from rxlint.screening.template import Template
from rxlint.text import Problem
from rxlint.vocabulary import PhraseTrie, Term, chunks_of, vocabulary

_PAGES: Final = 2  # findings of one place whose rule is shown in full
_LONGEST_NAME: Final = 5


# ---- findings


def findings_at(snapshot: Snapshot, position: Position) -> list[tuple[Place, str]]:
    """The findings that stand at a place, each with its calculation; the first with the pages of their rules."""
    screening = snapshot.screened.screening
    found = [each for each in screening.findings if _holds(each.place, position)] if screening is not None else []
    rules = {rule.id: rule for rule in snapshot.rules.all_rules} if found else {}
    texts: list[tuple[Place, str]] = []
    shown: set[str] = set()
    for finding in found:
        parts = [_finding(finding)]
        rule = rules.get(finding.rule)
        if rule is not None and rule.id not in shown and len(shown) < _PAGES:
            shown.add(rule.id)
            parts.append(rule_markdown(rule, snapshot.rules.origins.get(rule.id)))
        texts.append((finding.place, "\n\n".join(parts)))
    return texts


def _finding(finding: Finding) -> str:
    state = ""
    if finding.acceptance is not None:
        state = f" (accepted until {plain(finding.acceptance.until)} by {plain(finding.acceptance.by)})"
    elif finding.known:
        state = " (known from before)"
    lines = [f"**{finding.level}**{state}: {plain(finding.message)} {code(finding.rule)}"]
    if finding.calculation:
        lines += ["", *(f"- {code(line)}" for line in finding.calculation)]
    return "\n".join(lines)


def _holds(place: Place, position: Position) -> bool:
    start, end = (place.line, place.column), (place.end_line, place.end_column)
    return place.file is None and start <= tuple(position) <= end


# ---- names in a relation


def named_at(entry: Entry, offset: int) -> tuple[Place, str] | None:
    """The term, stated or worked out, that a relation names at an offset."""
    statement = entry.statement
    if statement is None or not isinstance(statement.body, n.Relation):
        return None
    chunks = chunks_of(entry.text)
    at = next((index for index, each in enumerate(chunks) if each.start <= offset <= each.end), None)
    if at is None:
        return None
    for first in range(max(0, at - _LONGEST_NAME), at + 1):
        match = _names().longest(chunks, first)
        if match is not None and first + match[0] > at:
            term = vocabulary().terms.get(match[1])
            text = term_markdown(term) if term is not None else derived_markdown(match[1])
            place = entry.place(chunks[first].start, chunks[first + match[0] - 1].end)
            return (place, text) if text is not None else None
    return None


@cache
def _names() -> PhraseTrie:
    return PhraseTrie([*vocabulary().terms, *derived_terms()])


# ---- the template that is followed


def documents_markdown(snapshot: Snapshot, identifier: str) -> str | None:
    """The documents of the library with an id: title, revision, state and file of each."""
    library = snapshot.library
    heads = library.heads(identifier) if library is not None and library.problem is None else ()
    lines: list[str] = []
    for head in sorted(heads, key=lambda head: -(head.revision or 0)):
        template = library.template(head) if library is not None else Problem("")
        title = None if isinstance(template, Problem) else template.document.title
        lines.append(
            f"- revision {head.revision or 'unknown'}, {plain(template_line(head))}: {plain(title or 'no title')}"
        )
    if lines:
        return "\n".join([f"**{plain(identifier)}**", "", *lines])
    return f"**{plain(identifier)}**: no such document in the library" if library is not None else None


def template_markdown(snapshot: Snapshot, term: Term, own: Sequence[Facts]) -> str | None:
    """What the template that a document follows says of a term; None where it follows none that can be read."""
    document = snapshot.document
    if document is None or not own or "document follows" not in own[0].scope.by_key:
        return None
    followed, _ = resolve(document, snapshot.facts, snapshot.library)
    if followed.template is None:
        return None
    lines: dict[str, None] = {}
    for facts in own:
        period = followed.template.period_for(document, facts.period)
        line = period.scope.by_key.get(term.key) if period is not None else None
        if line is not None and line.block.section not in ("head", "readings"):
            lines |= dict.fromkeys(_allowed(line, facts, followed.template))
    if not lines:
        return None
    return "\n".join([f"Template {plain(followed.label)} says:", "", *(f"- {each}" for each in lines)])


def _allowed(line: Stated, facts: Facts, template: Template) -> list[str]:
    """What a line of a template says, of a table those rows that are not for another patient."""
    if not isinstance(line.statement.body, n.TableHead):
        return [f"{plain(told(line))} ({_where(template, line.entry)})"]
    found: list[str] = []
    for demand in demands_of(line, line.key, facts):
        if demand.when is None or condition(demand.when, facts.as_set) is not False:
            row = "" if demand.entry is line.entry else f"by {line.statement.body.key.text}: "
            found.append(f"{row}{plain(demand.entry.text)} ({_where(template, demand.entry)})")
    return found


def _where(template: Template, entry: Entry) -> str:
    return plain(f"{template.shown}:{entry.lines[0].number}")
