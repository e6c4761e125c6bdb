"""What a line may begin with: headings at the margin, terms in a section, rows under a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from typing import Final

from rxlint.editor.completion_offers import Offer, blocks_of, stands_on, stated_phrases
from rxlint.editor.hover_words import term_detail, term_markdown
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.where import Where, key_of_table, term_of_table
from rxlint.notation import nodes as n
from rxlint.notation.document import REPEATABLE
from rxlint.notation.tree import Entry
from rxlint.vocabulary import Mode, Term, vocabulary

_NEEDED, _OWN, _MAY, _OTHER, _NO_EFFECT = 0, 100, 200, 300, 400
_MISSING, _PRESENT, _LATER = 0, 200, 100
OTHER_HEADINGS: Final[Mapping[str, str]] = {
    "prescription": "an order for one patient; its title follows in quotation marks",
    "template": "a protocol that orders follow; its title follows in quotation marks",
    "checked": "who checked this order, and when",
    "readings for": "of which order the readings after it are",
}
# What an order has only where there is something to say of it.
_WHERE_NEEDED: Final = ("back-up", "oxygen", "titration", "off ventilator", "readings", "accepted", "checked")
_FIRST: Final = ("prescription", "template")


def section_help(section: str) -> str:
    """What a section is for; "" for what is none."""
    known = vocabulary().sections.get(section)
    return known.help if known is not None else OTHER_HEADINGS.get(section, "")


def headings(snapshot: Snapshot, spot: Where) -> Iterator[Offer]:
    """The headings that a line at the margin may be, those that are missing first."""
    document = snapshot.document
    assert document is not None
    line = spot.position.line
    others = [entry for entry in document.entries if entry.kind != "blank" and not stands_on(entry, line)]
    named = any(entry.kind == "document" for entry in others)
    if not named:
        yield from (Offer(name, "section", OTHER_HEADINGS[name], rank=-10) for name in _FIRST)
    if not others:
        yield Offer("readings for", "section", OTHER_HEADINGS["readings for"], rank=_LATER)
    present = {block.section for block in document.blocks if not stands_on(block.entry, line)}
    sections = [name for name in vocabulary().sections if name != "head"] + ["checked"]
    for index, name in enumerate(sections):
        rank = _PRESENT if name in present else _LATER if name in _WHERE_NEEDED else _MISSING
        yield Offer(name, "section", section_help(name), rank=rank + index)


def terms(snapshot: Snapshot, spot: Where) -> Iterator[Offer]:
    """The terms that a detail may begin with: what the mode still needs, then others that are not stated there yet."""
    assert spot.section is not None
    home = vocabulary().sections[spot.section]
    line = spot.position.line
    stated = stated_phrases(blocks_of(snapshot, home.name, spot.period), line)
    modes = modes_at(snapshot, spot) if home.name == "settings" else ()
    known = stated | stated_phrases(blocks_of(snapshot, home.name, None), line)
    for index, term in enumerate(home.terms.values()):
        if term.form not in REPEATABLE and term.phrase in stated:
            continue
        rank, why = _of_mode(term, modes, known) if home.name == "settings" else (_OWN, "")
        detail = f"{term_detail(term)} ({why})" if why else term_detail(term)
        yield Offer(term.phrase, "term", detail, term_markdown(term), rank + index)


def _of_mode(term: Term, modes: Sequence[Mode], known: Set[str]) -> tuple[int, str]:
    """Where a setting stands among what the modes ask for beside what is known, and what to say of that."""
    if not modes:
        return (_NEEDED if term.form == "mode" else _OTHER), ""
    for mode in modes:
        for choice in mode.needs:
            if term.phrase in choice and not known & set(choice):
                others = [each for each in choice if each != term.phrase]
                beside = f", or {' or '.join(others)}" if others else ""
                return _NEEDED, f"{mode.code} needs it{beside}"
    if term.form in ("mode", "relation"):
        return _OTHER, ""
    if any(term.phrase in mode.settings for mode in modes if mode.checked) or not all(mode.checked for mode in modes):
        return _MAY, ""
    return _NO_EFFECT, f"no effect in {' or '.join(mode.code for mode in modes)}"


def modes_at(snapshot: Snapshot, spot: Where) -> tuple[Mode, ...]:
    """The modes that are set in the period of a place."""
    for period in dict.fromkeys((spot.period, None)):
        for block in blocks_of(snapshot, "settings", period):
            for entry in block.details:
                body = entry.statement.body if entry.statement is not None else None
                if isinstance(body, n.ModeChoice):
                    return tuple(vocabulary().modes[code.text] for code in body.codes)
    return ()


def rows(spot: Where) -> Iterator[Offer]:
    """How a row of a table may begin; after another row, where that one ended."""
    term, key = term_of_table(spot.table), key_of_table(spot.table)
    if term is None or key is None or spot.table is None:
        return
    what = f"{key.phrase} for which {term.phrase} holds"
    above = [row for row in spot.table.rows if row.lines[0].number < spot.position.line]
    end = _end_of(above[-1]) if above else None
    if end is not None:
        number, unit = end
        yield Offer(f"{number} to", "keyword", f"{what}: from where the row above ends", rank=0)
        over = f"{number} {unit} and over" if unit else f"{number} and over"
        yield Offer(over, "keyword", f"{what}: the last row", rank=1)
    elif not above:
        yield Offer("under", "keyword", f"{what}: the first row; or from one amount to another, or one alone", rank=0)


def _end_of(row: Entry) -> tuple[str, str | None] | None:
    """The number and the unit that a row ends at; None where it has no end."""
    body = row.statement.body if row.statement is not None else None
    if not isinstance(body, n.Row) or body.key.kind not in ("between", "under"):
        return None
    amount = body.key.amounts[-1]
    return (amount.parts[0].text, amount.unit) if len(amount.parts) == 1 else None
