"""Lines that a document lacks, added with a blank in the place of the value: which value it is, is not ours to say.

The blank is a question mark, which no form of a value takes: a line with it is found until somebody writes the value.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from math import prod
from typing import Final

from rxlint.editor.folds import sections_in
from rxlint.editor.shapes import Edit
from rxlint.editor.snapshot import Snapshot
from rxlint.expressions import Node, nodes
from rxlint.model.facts import Facts
from rxlint.notation.statements import read_detail
from rxlint.notation.tree import Block, Document, Place
from rxlint.packs import Rule
from rxlint.screening.finding import Finding
from rxlint.vocabulary import Term, vocabulary

BLANK: Final = "?"
_INDENT: Final = "  "
_GAP: Final = "  "
_MOST_WAYS: Final = 4  # ways to choose among settings that are told in one action each
_BASIC: Final = ("patient", "airway", "circuit", "settings", "alarms")  # offered where they are missing
_AFTER_ALL: Final = ("accepted", "checked")


@dataclass(frozen=True, slots=True)
class Addition:
    """Lines to add, with what an author is told of them."""

    title: str
    edit: Edit


def settings_needed(snapshot: Snapshot, first: int, last: int) -> Iterator[tuple[Block, Addition]]:
    """The settings that the modes of the sections at some lines still need, each with its section; all choices."""
    offered: set[tuple[int, str]] = set()
    for facts in snapshot.facts:
        stated, mode = facts.scope.by_key.get("mode"), facts.mode
        if facts.scope.readings is not None or stated is None or mode is None or not mode.checked:
            continue
        block = stated.block
        if "settings" in facts.scope.unsure or not _touches(snapshot.document, block, first, last):
            continue
        needs = [choice for choice in mode.needs if not any(facts.is_stated(key) for key in choice)]
        for phrases in _ways(needs):
            edit = added(snapshot, block, phrases)
            told = f"add {_listed(phrases)}, left blank: {mode.code} needs {'it' if len(phrases) == 1 else 'them'}"
            if edit is not None and (block.entry.lines[0].number, told) not in offered:
                offered.add((block.entry.lines[0].number, told))
                yield block, Addition(told, edit)


def _ways(needs: Sequence[Sequence[str]]) -> Iterator[tuple[str, ...]]:
    """The ways to add what is needed: whole while they are few, else what has no alternative, and each of the rest."""
    if not needs:
        return
    if prod(len(choice) for choice in needs) <= _MOST_WAYS:
        yield from product(*needs)
        return
    alone = tuple(choice[0] for choice in needs if len(choice) == 1)
    if alone:
        yield alone
    yield from ((key,) for choice in needs if len(choice) > 1 for key in choice)


def lines_asked_for(snapshot: Snapshot, finding: Finding) -> Iterator[Addition]:
    """The lines whose absence a finding is about, as far as its rule asks whether they are stated."""
    rule = next((each for each in snapshot.rules.all_rules if each.id == finding.rule), None)
    facts = next((each for each in snapshot.facts if each.period == finding.period), None)
    if rule is None or facts is None or snapshot.document is None:
        return
    for key in dict.fromkeys(_asked(rule)):
        term = vocabulary().terms.get(key)
        if term is None or term.kind == "measured" or facts.is_stated(key) or term.section in facts.scope.unsure:
            continue  # what is read from a patient is not written for want of it
        block = _block_for(term, facts)
        edit = added(snapshot, block or term.section, (term.phrase,))
        if edit is not None:
            where = "" if block is not None else f", in a new section {term.section}"
            yield Addition(f"add {term.phrase}, left blank{where}", edit)


def _asked(rule: Rule) -> Iterator[str]:
    for part in rule.parts or (rule,):
        if part.require is not None:
            yield from _stated_in(part.require, True)


def _stated_in(node: Node, wanted: bool) -> Iterator[str]:
    """The terms that a condition wants to be stated."""
    if isinstance(node, nodes.Not):
        yield from _stated_in(node.operand, not wanted)
    elif isinstance(node, nodes.Logic):
        for part in node.parts:
            yield from _stated_in(part, wanted)
    elif isinstance(node, nodes.Stated) and isinstance(node.name, nodes.Name) and node.negated != wanted:
        yield node.name.key


def _block_for(term: Term, facts: Facts) -> Block | None:
    """The section of a period in which a term would stand: one of its own, else the one for all periods."""
    blocks = [block for block in facts.scope.blocks if block.section == term.section]
    return blocks[-1] if blocks else None


def missing_sections(snapshot: Snapshot) -> Iterator[Addition]:
    """The sections that every order has and this document has not."""
    document = snapshot.document
    if document is None or document.kind not in ("prescription", "template") or document.unread_sections:
        return
    for section in _BASIC:
        if not document.blocks_of(section):
            edit = new_section(document, section, ())
            if edit is not None:
                yield Addition(f"add the section {section}", edit)


# ---- where lines go


def added(snapshot: Snapshot, where: Block | str, phrases: Sequence[str]) -> Edit | None:
    """Blank lines of some terms at the end of a section, or of a new one; None where a blank would be read."""
    section = where if isinstance(where, str) else where.section
    if snapshot.document is None or any(_reads_blank(section, phrase) for phrase in phrases):
        return None
    if isinstance(where, str):
        width = max(map(len, phrases))
        return new_section(snapshot.document, where, [f"{phrase.ljust(width)}{_GAP}{BLANK}" for phrase in phrases])
    column = _column(where)
    indent = _indent(where)
    lines = [f"{phrase.ljust(column - len(indent) - len(_GAP))}{_GAP}{BLANK}" for phrase in phrases]
    return at_end(snapshot.document, where, lines)


def _reads_blank(section: str, phrase: str) -> bool:
    """Whether a blank would be taken for a value: a document may have any id."""
    return read_detail(section, f"{_INDENT}{phrase}{_GAP}{BLANK}").readable


def at_end(document: Document, block: Block, lines: Sequence[str]) -> Edit | None:
    """Lines at the end of a section, indented as the others there."""
    indent = _indent(block)
    ends = {heading.lines[0].number: last for heading, last in sections_in(document.entries)}
    last = ends.get(block.entry.lines[0].number)
    return _after(document, last, [f"{indent}{line}" for line in lines]) if last is not None else None


def new_section(document: Document, section: str, lines: Sequence[str]) -> Edit | None:
    """A section with these lines, before the first of those that come after it by custom."""
    headings = list(sections_in(document.entries))
    names = {block.entry.lines[0].number: block.section for block in document.blocks}
    if not headings or document.kind not in ("prescription", "template"):
        return None
    before = headings[-1][1]
    for (_, last), (following, _) in pairwise(headings):
        if _rank(names.get(following.lines[0].number)) > _rank(section):
            before = last
            break
    return _after(document, before, ["", section, *(f"{_INDENT}{line}" for line in lines)])


def _rank(section: str | None) -> int:
    """The place of a section in an order as it is customarily written; a heading that can't be read comes first."""
    customary = [*(name for name in vocabulary().sections if name not in _AFTER_ALL), *_AFTER_ALL]
    return customary.index(section) if section in customary else -1


def _after(document: Document, number: int, lines: Sequence[str]) -> Edit:
    """Lines after a line, with its own line end between them."""
    line = document.source.lines[number - 1]
    ending = line.ending or next((each.ending for each in document.source.lines if each.ending), "\n")
    column = len(line.text) + 1
    return Edit(Place(number, column, number, column), "".join(f"{ending}{each}" for each in lines))


def _indent(block: Block) -> str:
    last = block.details[-1] if block.details else None
    return last.text[: last.indent] if last is not None else _INDENT


def _column(block: Block) -> int:
    """How many characters stand before the values of a section: those of its last line with a term and a value."""
    for entry in reversed(block.details):
        statement = entry.statement
        if statement is not None and statement.term is not None and "\n" not in entry.text:
            end = statement.phrase[1]
            return end + len(entry.text[end:]) - len(entry.text[end:].lstrip())
    return 0


def _touches(document: Document | None, block: Block, first: int, last: int) -> bool:
    """Whether some lines and those of a section meet."""
    start = block.entry.lines[0].number
    ends = {heading.lines[0].number: end for heading, end in sections_in(document.entries)} if document else {}
    return start <= last and first <= ends.get(start, start)


def _listed(phrases: Sequence[str]) -> str:
    return " and ".join([", ".join(phrases[:-1]), phrases[-1]]) if len(phrases) > 1 else phrases[0]
