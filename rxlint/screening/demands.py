"""What a template's line demands of a value, as conditions on the facts of the document that follows it.

A value is compared in the form that the template states it in: a pressure above PEEP by way of the document's own
baseline, a value per kilogram by way of its own weight. Where both are written in one form, it is what is written.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Node, nodes
from rxlint.model.bands import TableRow, comparable, table_rows
from rxlint.model.facts import AS_WRITTEN, Facts, weight_of
from rxlint.model.quantities import is_other, other_key, window_ends
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity
from rxlint.notation.render import render_measure, render_row
from rxlint.notation.tree import Entry
from rxlint.units import PLAIN, Unit
from rxlint.vocabulary import Term, vocabulary

# A setting that is not stated may be told by others: what they come to is the same thing.
_OTHERWISE: Final = {
    "PEEP": ("baseline",),
    "EPAP": ("baseline",),
    "inspiratory pressure": ("mandatory peak",),
    "IPAP": ("supported peak", "mandatory peak"),
    "pressure support": ("support above baseline",),
    "rate": ("set rate",),
    "back-up rate": ("set rate",),
    "inspiratory time": ("inspiration",),
    "I:E": ("ratio of times",),
}
SUPPLIES: Final = frozenset({"oxygen cylinder", "oxygen cylinders", "oxygen reserve"})
"""Of these, more than a template says is no deviation, and less is one."""


@dataclass(frozen=True, slots=True)
class Demand:
    """A condition of a template: ``require`` where ``when`` holds. ``own`` is the value it is about, in its form.

    ``unit`` and ``how`` say in which form the value is told; ``allowed`` is what the template's line ``entry`` says.
    ``step`` is the width of the steps from ``origin`` on which a value that is set must lie.
    """

    when: Node | None
    require: Node
    own: Node
    key: str
    unit: Unit
    how: str
    allowed: str
    entry: Entry
    step: Fraction | None = None
    origin: Fraction = Fraction(0)


def key_of_same(key: str, facts: Facts) -> str | None:
    """The key under which the facts tell what a template's term is about; None where they don't."""
    if facts.is_stated(key):
        return key
    return next((each for each in _OTHERWISE.get(key, ()) if each in facts.formulas), None)


def demands_of(line: Stated, key: str, facts: Facts) -> Iterator[Demand]:
    """What a line of numbers in a template demands of ``key`` in some facts; of a table, what each row demands."""
    term, body = line.statement.term, line.statement.body
    if term is None:
        return
    if isinstance(body, n.Part) or (isinstance(body, n.Cylinder) and body.contents is not None):
        yield _of_supply(term, key, line)
    elif isinstance(body, n.Measure):
        yield from _of_value(term, key, line.statement.values[""], None, facts, line.entry, render_measure(body))
    elif isinstance(body, n.TableHead):
        for row in table_rows(line):
            when = _in_row(row, vocabulary().terms[body.key.text])
            own = row.entry.statement.body if row.entry.statement is not None else None
            if when is not None and isinstance(own, n.Row):
                by, measure = render_row(own)
                allowed = f"{measure} at {body.key.text} {by}"
                yield from _of_value(term, key, row.quantity, when, facts, row.entry, allowed)


def _of_supply(term: Term, key: str, line: Stated) -> Demand:
    body = line.statement.body
    least = body.number if isinstance(body, n.Part) else line.statement.values["contents"].points[0]
    own = nodes.Name(key, term.phrase)
    require = nodes.Compare(">=", own, nodes.Number(least, "", term.dimension))
    allowed = f"at least {' '.join(line.entry.text[line.statement.phrase[1] :].split())}"
    return Demand(None, require, own, key, term.unit or PLAIN, "", allowed, line.entry)


def _in_row(row: TableRow, by: Term) -> Node | None:
    """That the key of a table lies in a row; None where rows can't be compared with the key's own value."""
    if comparable(by, row.quantity) is None and by.reference == "stated":
        return None
    key = nodes.Name(by.key, by.phrase)
    low, high = (nodes.Number(end, "", by.dimension) for end in (row.low, row.high))
    return nodes.Logic("and", (nodes.Compare(">=", key, low), nodes.Compare("<=" if row.closed else "<", key, high)))


def _of_value(
    term: Term, key: str, asked: Quantity, when: Node | None, facts: Facts, entry: Entry, allowed: str
) -> Iterator[Demand]:
    how = f" of {asked.basis}" if asked.basis else f" above {asked.reference}" if term.reference == "stated" else ""
    if term.kind == "window":
        ends = zip(("low", "high"), window_ends(asked), (">=", "<="), strict=True)
        for end, point, operator in ends:
            if point is not None:
                own = _own(term, f"target {end} {term.phrase}", asked, facts)
                require = nodes.Compare(operator, own, nodes.Number(point, "", term.dimension))
                yield Demand(when, require, own, key, asked.unit, how, allowed, entry)
        return
    if is_other(term, asked):
        key = other_key(term, asked.unit)
    own = _own(term, key, asked, facts)
    step = asked.step
    origin = asked.allowed[0] if asked.allowed is not None else asked.points[0]
    yield Demand(when, _within(own, asked, term), own, key, asked.unit, how, allowed, entry, step, origin)


def _within(own: Node, asked: Quantity, term: Term) -> Node:
    def at(value: Fraction) -> Node:
        return nodes.Number(value, "", term.dimension)

    points = asked.points
    choices = asked.options or (points if asked.kind == "one of" else ())
    if choices:
        equal = tuple[Node, ...](nodes.Compare("=", own, at(point)) for point in choices)
        return equal[0] if len(equal) == 1 else nodes.Logic("or", equal)
    if asked.allowed is not None:
        return nodes.Between(own, at(asked.allowed[0]), at(asked.allowed[1]))
    match asked.kind:
        case "at most":
            return nodes.Compare("<=", own, at(points[0]))
        case "at least":
            return nodes.Compare(">=", own, at(points[0]))
        case "exact":
            return nodes.Compare(">=" if term.key in SUPPLIES else "=", own, at(points[0]))
        case _:
            return nodes.Between(own, at(points[0]), at(points[-1]))


def _own(term: Term, key: str, asked: Quantity, facts: Facts) -> Node:
    """The document's value of a key in the form that the template states it in."""
    written = _written(term, facts)
    is_alike = written is not None and (written.reference, written.basis) == (asked.reference, asked.basis)
    if is_alike and key not in facts.written and key + AS_WRITTEN in (*facts.constants, *facts.axes):
        return nodes.Name(key + AS_WRITTEN, term.phrase)
    own: Node = nodes.Name(key, term.phrase)
    if term.reference == "stated" and asked.reference == "PEEP":
        own = nodes.Binary("-", own, nodes.Name("baseline", "baseline"))
    if asked.basis is not None:
        weight = weight_of(facts.scope, asked.basis)
        own = nodes.Binary("/", own, nodes.Name(weight, weight))
    return own


def _written(term: Term, facts: Facts) -> Quantity | None:
    """A term as the document writes it, in the row of its table that is looked at."""
    stated = facts.scope.by_key.get(term.key)
    if stated is None or not stated.statement.readable:
        return None
    if isinstance(stated.statement.body, n.TableHead):
        return facts.band.rows.get(term.key) if facts.band is not None else None
    return stated.statement.values.get("")
