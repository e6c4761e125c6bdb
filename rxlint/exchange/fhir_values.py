"""Values as HL7 FHIR R5 has them: quantities in UCUM units, ranges, and words as concepts without a code."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any, Final

from rxlint.exchange.amounts import with_units
from rxlint.notation import nodes as n
from rxlint.notation.amounts import unit_of
from rxlint.notation.render import render_amount, render_body
from rxlint.text import printable
from rxlint.units.ucum import SYSTEM, ucum_code
from rxlint.vocabulary import Term

Element = dict[str, Any]
"""Any part of a resource, as plain data; numbers are of type ``Decimal``, with the digits that were written."""

_RANGES: Final = {"between": ("low", "high"), "automatic": ("low", "high"), "at most": ("high",), "at least": ("low",)}


def concept(text: str, *codings: Element) -> Element:
    """A concept by its words, with codes where there are some."""
    found: Element = {"coding": list(codings)} if codings else {}
    return found | {"text": printable(text)}


def codings_of(term: Term) -> list[Element]:
    """What open vocabularies call a term."""
    return [
        {"system": each.uri, "code": each.code} | ({"display": each.display} if each.display is not None else {})
        for each in term.codes
    ]


def quantity(amount: n.Amount) -> Element | None:
    """An amount as a quantity; None for a ratio and for an age in parts, which no single quantity is."""
    if amount.ratio or len(amount.parts) > 1:
        return None
    (part,) = amount.parts
    found: Element = {"value": Decimal(part.text)}
    if part.unit is None:
        return found | {"system": SYSTEM, "code": "1"}
    unit = unit_of(part.unit)
    return None if unit is None else found | {"unit": unit.symbol, "system": SYSTEM, "code": ucum_code(unit)}


def of_amount(amount: n.Amount) -> Element:
    """An amount as the value of a parameter."""
    found = quantity(amount)
    return {"valueQuantity": found} if found is not None else {"valueCodeableConcept": concept(render_amount(amount))}


def of_value(value: n.Value) -> Element:
    """A value as that of a parameter: a quantity, a range, or words for a choice."""
    amounts = with_units(value.amounts)
    if value.kind == "exact":
        return of_amount(amounts[0])
    found = [quantity(each) for each in amounts]
    if value.kind in _RANGES and None not in found:
        return {"valueRange": dict(zip(_RANGES[value.kind], found, strict=True))}
    told = n.Measure(replace(value, amounts=amounts), (), None, None, 0, 0)
    return of_words(render_body(told, None))


def of_words(text: str) -> Element:
    """Words as the value of a parameter."""
    return {"valueCodeableConcept": concept(text)}
