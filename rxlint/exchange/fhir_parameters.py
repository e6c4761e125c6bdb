"""Statements of settings, back-up, added oxygen and alarms as parameters of a DeviceRequest.

A code of an open vocabulary stands only where the parameter is the very setting that the code names: not for a value
per kilogram, in a back-up, in a row of a table, or for ends between which the ventilator moves a value by itself.
Pressures say in words what they are above, whatever codes they have.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from rxlint.exchange.fhir_values import Element, codings_of, concept, of_amount, of_value, of_words
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity
from rxlint.notation.render import render_body, render_row
from rxlint.notation.statements import Statement
from rxlint.notation.tree import Entry
from rxlint.text import printable
from rxlint.units.ucum import SYSTEM
from rxlint.vocabulary import Term

SECTIONS: Final = frozenset({"settings", "back-up", "oxygen", "alarms"})
"""Sections whose statements are parameters of the device; all others are told in notes or by other elements."""
_BACK_UP: Final = "back-up after apnoea"


def parameters_of(entry: Entry) -> list[Element] | None:
    """The parameters that a detail of these sections is; None where it can't be read. Rows that can't be are none."""
    statement = entry.statement
    if statement is None or statement.term is None or statement.body is None or not statement.readable:
        return None
    term = statement.term
    match statement.body:
        case n.Measure() as measure:
            return list(_measure(measure, statement.values[""], term, ""))
        case n.TableHead() as table:
            by = table.key.text
            return [each for row in entry.rows if row.statement for each in _row(row.statement, term, by)]
        case _:
            name = f"{_name(term)}: after" if isinstance(statement.body, n.After) else _name(term)
            return [_parameter(name, _plain(statement.body, term), term)]


def back_up_delay(amount: n.Amount) -> Element:
    """After which time without a breath the back-up begins."""
    return _parameter(_BACK_UP, of_amount(amount))


def _name(term: Term) -> str:
    return f"{_BACK_UP}: {term.phrase}" if term.section == "back-up" else term.key


def _parameter(name: str, value: Element, term: Term | None = None) -> Element:
    codings = codings_of(term) if term is not None and term.section != "back-up" else []
    return {"code": concept(name, *codings), **value}


def _row(statement: Statement, term: Term, by: str) -> Iterator[Element]:
    if isinstance(statement.body, n.Row) and statement.readable:
        key = render_row(statement.body)[0]
        yield from _measure(statement.body.measure, statement.values[""], term, f" where {by} is {key}")


def _measure(measure: n.Measure, read: Quantity, term: Term, where: str) -> Iterator[Element]:
    """The value itself, then what belongs to it, each under a name that says which it is."""
    name = _name(term)
    name += f" above {read.reference}" if read.reference is not None else ""
    name += f" per kg of {read.basis}" if read.basis is not None else ""
    name += f" at {read.place}" if read.place is not None else ""
    name += where
    is_automatic = measure.value.kind == "automatic"
    coded = term if not (where or read.basis or is_automatic) else None
    yield _parameter(
        f"{name}, moved by the ventilator itself" if is_automatic else name, of_value(measure.value), coded
    )
    delay = measure.qualifier("after")
    if delay is not None and delay.amount is not None:
        yield _parameter(f"{name}: after", of_amount(delay.amount))
    if measure.allow is not None:
        yield _parameter(f"{name}: may be set without a new order", of_value(measure.allow))
    if measure.steps is not None:
        yield _parameter(f"{name}: in steps of", of_amount(measure.steps))


def _plain(body: n.Body | n.Row, term: Term) -> Element:
    match body:
        case n.State(word="yes" | "on"):
            return {"valueBoolean": True}
        case n.State(word="no"):
            return {"valueBoolean": False}
        case n.After():
            return of_amount(body.amount)
        case n.Part():
            return {"valueQuantity": {"value": Decimal(body.text), "system": SYSTEM, "code": "1"}}
        case _:
            assert not isinstance(body, n.Row)
            return of_words(render_body(body, term))


def lines_of(entry: Entry) -> list[str]:
    """What a statement says, as it stands in the document, line by line without comments and indentation."""
    return [printable(line.strip()) for line in entry.text.split("\n") if line.strip()]
