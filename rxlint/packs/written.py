"""Values in a policy, read by the notation's own reader of their term; what it says against them becomes a fault."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.events import Event
from rxlint.notation.measures import Quantity
from rxlint.notation.statements import Statement, read_detail
from rxlint.packs.pack import Message, Pack
from rxlint.packs.reading import Reader
from rxlint.packs.yaml_tree import Scalar
from rxlint.vocabulary import Term

WEIGHTS: Final = {"predicted weight": "predicted weight", "measured weight": "patient weight"}
"""The terms by which a value per kilogram of this weight is counted."""

_NO_REASON: Final = "reader.off-without-reason"  # a policy gives its reasons in `because`


def read_written(reader: Reader, term: Term, scalar: Scalar, key: str, packs: Sequence[Pack]) -> Statement | None:
    """What a scalar states of a term, as its line in a document would; None, with a fault, where it can't be used."""
    lead = f"{term.phrase} "
    statement = read_detail(term.section, lead + scalar.text.strip())
    events = [event for event in statement.events if event.name != _NO_REASON]
    for event in events:
        spot = scalar.spot_of(max(event.start - len(lead), 0))
        reader.fault(spot, f"{key}: {_told(event, packs)}", event.readings)
    if not statement.readable and not events:
        reader.fault(scalar.spot, f"{key}: {scalar.text.strip()} is nothing that {term.phrase} can be")
    return statement if statement.readable and not events else None


def _told(event: Event, packs: Sequence[Pack]) -> str:
    """An event in the words of the rule that tells it in documents."""
    rules = (rule for pack in packs for rule in pack.rules if event.name in rule.found_by)
    say = next((rule.say for rule in rules), Message(()))
    parts = (part if isinstance(part, str) else event.fields.get(part.text, "") for part in say.parts)
    return " ".join("".join(parts).split()) or "it can't be read here"


def amount_text(amount: n.Amount, point: Fraction, quantity: Quantity, fallback: str | None) -> str:
    """An amount as the rule language writes it: with its unit, and the weight that a value per kilogram counts by."""
    if amount.ratio:
        return f"{point.numerator} / {point.denominator}"
    parts = [f"{part.text} {part.unit or fallback or ''}".strip() for part in amount.parts]
    basis = f" of {quantity.basis}" if quantity.basis is not None else ""
    return " + ".join(parts) + basis


def measured_as(reader: Reader, key: str, term: Term, quantity: Quantity, scalar: Scalar) -> str | None:
    """The expression that a quantity of a term speaks of: the term, or what it is per kilogram or above PEEP."""
    if quantity.basis is not None:
        weight = WEIGHTS.get(quantity.basis)
        if weight is None:
            told = f"a policy counts per kilogram of predicted or measured weight, not of {quantity.basis}"
            reader.fault(scalar.spot, told)
            return None
        return f"{key} / {weight}"
    if term.reference == "stated" and quantity.reference == "PEEP":
        return f"{key} - baseline"
    return key
