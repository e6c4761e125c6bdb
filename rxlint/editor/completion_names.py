"""Names that stand elsewhere: periods and terms of the document, rules, readings, templates of the library."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from rxlint.editor.completion_offers import Ask, Offer
from rxlint.editor.completion_units import terms_called
from rxlint.editor.hover_words import meaning, term_detail, term_markdown
from rxlint.editor.shapes import Position
from rxlint.editor.snapshot import Snapshot
from rxlint.library.screen import document_id
from rxlint.reports.rule_markdown import rule_markdown
from rxlint.screening.acceptances import why_never
from rxlint.screening.finding import Finding
from rxlint.screening.shelf import Head
from rxlint.text import printable
from rxlint.vocabulary import Term, vocabulary

_OTHERS: Final = 100


def periods(ask: Ask) -> Iterator[Offer]:
    """The names of periods that other sections of the document have."""
    document = ask.snapshot.document
    names: dict[str, int] = {}
    for block in document.blocks if document is not None else ():
        period = block.heading.period if block.heading is not None else None
        if period is not None and period.name is not None and block.entry.lines[0].number != ask.where.position.line:
            names.setdefault(period.name, block.entry.lines[0].number)
    for rank, (name, line) in enumerate(names.items()):
        yield Offer(name, "name", f"period of line {line}", rank=rank)


def conditions() -> Iterator[Offer]:
    """The readings that a condition may be about."""
    for rank, term in enumerate(vocabulary().sections["readings"].terms.values()):
        yield Offer(term.phrase, "term", term_detail(term), term_markdown(term), rank)


def table_keys(ask: Ask) -> Iterator[Offer]:
    """What a table may go by: facts of the patient, then settings."""
    words = vocabulary()
    keys = _trie(ask, "KEY_TERM")
    for rank, section in enumerate(("patient", "settings")):
        for at, term in enumerate(words.sections[section].terms.values()):
            own = ask.term is not None and term.key == ask.term.key
            if keys.get(term.phrase) == term.key and not own:
                yield Offer(term.phrase, "term", meaning(term), term_markdown(term), rank * _OTHERS + at)


def terms_named(ask: Ask) -> Iterator[Offer]:
    """The terms that a sentence may name, those that the document states first."""
    if ask.form == "accept":
        yield from _accepted_terms(ask)
        return
    stated = _stated(ask.snapshot)
    said = {piece.text for piece in ask.pieces if piece.kind == "TERM"}
    for at, key in enumerate(dict.fromkeys(_trie(ask, "TERM").values())):
        if key not in said:  # added oxygen is told from other flows by its whole name
            term = vocabulary().terms[key]
            rank = stated.index(key) if key in stated else _OTHERS + at
            yield Offer(key, "term", term_detail(term), term_markdown(term), rank)


def _accepted_terms(ask: Ask) -> Iterator[Offer]:
    """Terms without their section: those that the finding is about, those that the document states, the others."""
    named = next((piece.text for piece in ask.pieces if piece.kind == "RULE"), "")
    found = [term.phrase for finding in _findings(ask.snapshot, named) for term in _terms_of(ask.snapshot, finding)]
    known = [vocabulary().terms[key] for key in _stated(ask.snapshot)]
    stated = [term.phrase for term in known if term.section not in ("head", "accepted")]
    offered: set[str] = set()
    for at, phrase in enumerate((*found, *stated, *vocabulary().tries["any term"].phrases)):
        term = next(iter(terms_called(phrase)), None)
        if term is None or term.phrase != phrase or phrase in offered:
            continue
        offered.add(phrase)
        detail = f"{named} is found there" if phrase in found else term_detail(term)
        yield Offer(phrase, "term", detail, term_markdown(term), at)


def _stated(snapshot: Snapshot) -> list[str]:
    """The keys of what the document states, in its order."""
    document = snapshot.document
    statements = [entry.statement for entry in document.entries] if document is not None else []
    return list(dict.fromkeys(each.term.key for each in statements if each is not None and each.term is not None))


def _findings(snapshot: Snapshot, rule: str | None = None) -> list[Finding]:
    """The findings that nobody answers for, of one rule or of all."""
    screening = snapshot.screened.screening
    found = screening.findings if screening is not None else ()
    return [each for each in found if each.counts and rule in (None, each.rule)]


def _terms_of(snapshot: Snapshot, finding: Finding) -> Iterator[Term]:
    """The terms of the lines that a finding stands at or relates to."""
    for place in (finding.place, *(each.place for each in finding.related)):
        entry = snapshot.entry_at(Position(place.line, place.column)) if place.file is None else None
        if entry is not None and entry.statement is not None and entry.statement.term is not None:
            yield entry.statement.term


def rules(ask: Ask) -> Iterator[Offer]:
    """The ids of rules: what is found in this document first, with its message; not those that can't be accepted."""
    found: dict[str, Finding] = {}
    for finding in _findings(ask.snapshot):
        found.setdefault(finding.rule, finding)
    order = {rule: at for at, rule in enumerate(found)}
    ruleset = ask.snapshot.rules
    for at, rule in enumerate(ruleset.all_rules):
        if why_never(rule, ruleset) is not None:
            continue
        if rule.id in found:
            finding = found[rule.id]
            detail = f"line {finding.place.line}: {finding.message}"
            yield Offer(rule.id, "rule", detail, rule_markdown(rule), order[rule.id])
        else:
            yield Offer(rule.id, "rule", rule.title, rank=_OTHERS + at)


def documents(ask: Ask) -> Iterator[Offer]:
    """The templates of the library with their revisions: those in force first, the newest of each before the others.
    What a document replaces has its own id.
    """
    library, document = ask.snapshot.library, ask.snapshot.document
    if library is None or library.problem is not None:
        return
    named = next((piece.text for piece in ask.pieces if piece.kind == "NAME"), None)
    if ask.term is not None and ask.term.phrase == "replaces":
        own = document_id(document) if document is not None else None
        heads = list(library.heads(own)) if own is not None else []
    else:
        ids = sorted(library.template_ids())
        heads = [head for each in ids for head in library.heads(each) if head.kind == "template"]
    ordered = sorted(heads, key=lambda head: (head.status != "active", head.id or "", -(head.revision or 0)))
    for rank, head in enumerate(ordered):
        if head.id is None or head.revision is None:
            continue
        detail = template_line(head)
        if named is None:
            yield Offer(f"{head.id} revision {head.revision}", "document", detail, rank=rank)
        elif named == head.id and ask.has("revision"):
            yield Offer(str(head.revision), "document", detail, rank=rank)


def template_line(head: Head) -> str:
    """A template's state and file."""
    return f"{head.status or 'of no status'}, {printable(head.shown)}"


def _trie(ask: Ask, name: str) -> Mapping[str, str]:
    """The phrases of a class that may stand in the statement."""
    begun = ask.where.begun
    return begun.classes[name].phrases if begun is not None and name in begun.classes else {}
