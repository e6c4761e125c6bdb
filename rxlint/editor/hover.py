"""What is told of a place: what its word means, its value in other units, what is worked out from it and found there.

Nothing that is told says that a value is right.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rxlint.editor.completion_terms import section_help
from rxlint.editor.completion_units import terms_called
from rxlint.editor.hover_places import documents_markdown, findings_at, named_at, template_markdown
from rxlint.editor.hover_values import (
    Amounts,
    amounts_at,
    by_weight,
    facts_with,
    from_other_reference,
    in_other_units,
    qualified,
    told,
    weights_called,
    worked_out_from,
)
from rxlint.editor.hover_words import KEYWORDS, mode_markdown, section_markdown, term_markdown
from rxlint.editor.shapes import Hover, Position
from rxlint.editor.snapshot import Snapshot
from rxlint.editor.where import Where, offset_in, piece_at, pieces_of, where
from rxlint.model.facts import Facts
from rxlint.notation import nodes as n
from rxlint.notation.grammar import Piece
from rxlint.notation.measures import Quantity
from rxlint.notation.tree import Entry, Place
from rxlint.reports.rule_markdown import plain, rule_markdown
from rxlint.units import FLOW, PRESSURE, VOLUME, WEIGHT
from rxlint.vocabulary import Term, vocabulary

_RULE: Final = "\n\n---\n\n"
_QUALIFIERS: Final = frozenset({"above ambient", "above PEEP", "total", "allow", "in steps of", "automatic"})
_WITHIN: Final = frozenset({"to", "or"})  # between the ends of a range
_VALUES: Final = frozenset({"NUMBER", "UNIT", "AGE", "RATIO"})


def hover(snapshot: Snapshot, position: Position) -> Hover | None:
    """What is told of a place; None where there is nothing to tell."""
    spot = where(snapshot, position)
    entry = snapshot.entry_at(spot.position)
    if spot.zone == "comment" or entry is None or entry.kind == "blank":
        return None
    offset = offset_in(entry, spot.position)
    found: list[tuple[Place, str]] = []
    if spot.zone not in ("text", "nowhere") and offset is not None:
        found += _told(snapshot, spot, entry, offset)
    found += findings_at(snapshot, spot.position)
    return Hover(found[0][0], _RULE.join(text for _, text in found)) if found else None


def _told(snapshot: Snapshot, spot: Where, entry: Entry, offset: int) -> Iterator[tuple[Place, str]]:
    """What stands at an offset of a statement, with what is to be told of it."""
    zone = "margin" if entry.kind in ("heading", "document") else spot.zone
    pieces = pieces_of(zone, spot.section, spot.table, entry)
    at = piece_at(pieces, offset)
    term = entry.statement.term if entry.statement is not None else None
    if at is None:
        named = named_at(entry, offset)
        if named is not None:
            yield named
        return
    piece = pieces[at]
    place = entry.place(piece.start, piece.end)
    if zone == "margin":
        text = _of_heading(piece, at)
    elif piece.kind in _VALUES or (piece.kind == "keyword" and piece.text in _WITHIN):
        yield from _of_value(snapshot, spot, entry, term, offset)
        return
    else:
        text = _of_piece(snapshot, piece, term)
    if text is not None:
        yield place, text
    if piece.kind == "term" and term is not None:
        allowed = template_markdown(snapshot, term, facts_with(snapshot, entry))
        if allowed is not None:
            yield place, allowed


def _of_heading(piece: Piece, at: int) -> str | None:
    meant = section_help(piece.text)
    return section_markdown(piece.text, meant) if at == 0 and meant else None


def _of_piece(snapshot: Snapshot, piece: Piece, term: Term | None) -> str | None:
    """What is to be told of a word, by what it is in its statement."""
    words = vocabulary()
    match piece.kind:
        case "term" | "WORD" | "ITEM" | "MANNER" | "PLACE":
            return term_markdown(term) if term is not None else None
        case "MODE":
            return mode_markdown(words.modes[piece.text])
        case "TERM" | "KEY_TERM":
            named = words.terms.get(piece.text) or next(iter(terms_called(piece.text)), None)
            return term_markdown(named) if named is not None else None
        case "READING":
            return term_markdown(words.sections["readings"].terms[piece.text])
        case "BASIS":
            return _of_basis(snapshot, piece.text)
        case "RULE":
            rule = next((each for each in snapshot.rules.all_rules if each.id == piece.text), None)
            return rule_markdown(rule, snapshot.rules.origins.get(rule.id)) if rule is not None else None
        case "NAME" if term is not None and term.form == "link":
            return documents_markdown(snapshot, piece.text)
        case "keyword" if piece.text in _QUALIFIERS:
            said = f"**{piece.text}**: {KEYWORDS[piece.text]}"
            return f"{said}\n\n{term_markdown(words.terms['PEEP'])}" if piece.text == "above PEEP" else said
    return None


def _of_basis(snapshot: Snapshot, basis: str) -> str:
    """Which weight a value per kilogram is of, and what that weight is here."""
    known = weights_called(snapshot, basis)
    told_here = f", here {' or '.join(known)}" if known else ", which is not known here"
    return f"**of {basis}**: the value is for each kilogram of the patient's {basis}{told_here}"


def _of_value(
    snapshot: Snapshot, spot: Where, entry: Entry, term: Term | None, offset: int
) -> Iterator[tuple[Place, str]]:
    """What is to be told of an amount: other units, what the template allows, what is worked out from it."""
    statement = entry.statement
    amounts = amounts_at(statement.body, offset) if statement is not None else None
    if amounts is None or statement is None:
        return
    kind = amounts.part.kind if isinstance(amounts.part, n.Value) else "between"
    place = entry.place(amounts.part.start, amounts.part.end)
    lines = in_other_units(amounts)
    head = f"**{plain(told(amounts.points, amounts.unit, kind))}**"
    body = statement.body.measure if isinstance(statement.body, n.Row) else statement.body
    measure = body if isinstance(body, n.Measure) and amounts.part in (body.value, body.allow) else None
    table = spot.table if isinstance(statement.body, n.Row) and spot.table is not None else entry
    is_delay = isinstance(statement.body, n.After)
    if term is None or (measure is None and not is_delay):
        if lines:
            yield place, _listed(head, lines)
        return
    own = facts_with(snapshot, table)
    quantity = statement.values.get("")
    if quantity is not None:
        head += qualified(quantity)
        for facts in own:
            lines += _in_place(term, quantity, amounts, facts)
    named = f"{plain(term.phrase)} {head}"
    if measure is not None and amounts.part is measure.allow:
        named += " (what may be set)"
    yield place, _listed(named, list(dict.fromkeys(lines)))
    if spot.table is None:
        allowed = template_markdown(snapshot, term, own)
        if allowed is not None:
            yield place, allowed
    values = worked_out_from(snapshot, term, own)
    if values:
        yield place, _listed("Worked out from it:", values)


def _in_place(term: Term, quantity: Quantity, amounts: Amounts, facts: Facts) -> Iterator[str]:
    """A value from the other reference and by weight, as the facts of its period have it."""
    dimension = amounts.unit.dimension
    if dimension == PRESSURE:
        moved = from_other_reference(term, quantity, amounts, facts)
        if moved is not None:
            yield moved
    elif dimension in (VOLUME, FLOW, VOLUME / WEIGHT, FLOW / WEIGHT) and term.per_weight:
        yield from by_weight(quantity, amounts, facts)


def _listed(head: str, lines: list[str]) -> str:
    return "\n".join([head, "", *(f"- {line}" for line in lines)]) if lines else head
