"""Values as text: in the author's unit and resolution where they are stated, rounded only for display."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from rxlint.expressions import Environment, Missing, Node, NumberType, Value, Words, check, evaluate, nodes
from rxlint.model.context import context_types
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.names import NameTable, base_names, derived_terms
from rxlint.notation import nodes as n
from rxlint.notation.amounts import is_daily
from rxlint.packs import Defined, Message, Slot
from rxlint.units import PLAIN, TIME, Dimension, Unit, find_unit, show, units_of, without_basis
from rxlint.vocabulary import vocabulary

_RATIOS: Final = frozenset({"I:E", "ratio of times", "fallback I:E"})
NOTHING: Final = "not stated"


def _unit(symbol: str) -> Unit:
    unit = find_unit(symbol)
    assert unit is not None
    return unit


def unit_for(key: str, facts: Facts, defined: Mapping[str, Defined]) -> Unit:
    """The unit to tell a key's value in: the author's where it measures the same, else the term's own."""
    stated = facts.stated(key)
    quantity = stated.statement.values.get("") if stated is not None else None
    if quantity is not None and key.endswith(AS_WRITTEN):
        return quantity.unit
    own = _own_unit(key, defined)
    if quantity is not None and (own is None or quantity.unit.dimension == own.dimension):
        return quantity.unit if own is None or is_daily(quantity.unit.symbol) == is_daily(own.symbol) else own
    return own or PLAIN


def _own_unit(key: str, defined: Mapping[str, Defined]) -> Unit | None:
    """The unit that a term is told in, whatever the author wrote; None for a plain number."""
    terms = vocabulary().terms
    for name in (key, key.replace("target low ", "target ", 1), key.replace("target high ", "target ", 1)):
        if name in terms:
            return terms[name].unit
    if key in derived_terms():
        return derived_terms()[key].unit
    if key in defined:
        return defined[key].unit
    kind = base_names().types.get(key)
    return unit_of_type(kind.dimension) if isinstance(kind, NumberType) and kind.dimension.exponents else None


def written_text(key: str, facts: Facts) -> str | None:
    """A stated value as it is written, where the key's value is what is written."""
    stated = facts.stated(key)
    if stated is None or key in facts.formulas or stated.key != key:
        return None
    body = stated.statement.body
    if isinstance(body, n.Measure) and body.value.kind == "exact":
        return " ".join(stated.entry.text[body.value.start : body.value.end].split())
    return None


def show_number(value: Fraction | float, unit: Unit, key: str | None = None, *, asked: bool = False) -> str:
    """A number in base units as text; ``asked`` where the unit is one that a message asks for."""
    exact = Fraction(value)
    if key in _RATIOS and exact > 0:
        return f"1:{_short(1 / exact)}" if exact <= 1 else f"{_short(exact)}:1"
    if not asked and key in context_types() and unit.dimension == TIME:
        unit = time_unit(exact)
    if key is not None and key.endswith("z-score"):
        return f"{float(exact):.2f}"
    if key == "growth age":
        unit = _unit("years")
    if unit.symbol in ("years", "year") and 0 < exact < _unit("years").factor * 2:
        months = exact / _unit("months").factor
        return show(exact, _unit("months")) if months >= 1 else show(exact, _unit("days"))
    return show(exact, unit)


def time_unit(value: Fraction) -> Unit:
    """A unit in which a stretch of time is easily read."""
    size = abs(value)
    days, hours, minutes = _unit("days"), _unit("h"), _unit("min")
    return (
        days
        if size >= 2 * days.factor
        else hours
        if size >= 2 * hours.factor
        else minutes
        if size >= minutes.factor
        else _unit("s")
    )


def _short(value: Fraction) -> str:
    return f"{float(value):.2f}".rstrip("0").rstrip(".")


def unit_of_type(dimension: Dimension) -> Unit:
    """The preferred unit of a dimension."""
    plain = without_basis(dimension)
    if not plain.exponents:
        return PLAIN
    symbols = units_of(plain)
    return _unit(symbols[0]) if symbols else PLAIN


def show_value(value: Value | Missing, unit: Unit, key: str | None = None, *, asked: bool = False) -> str:
    """Any value as text; ``asked`` as in ``show_number``."""
    match value:
        case Missing():
            return NOTHING
        case bool():
            return "yes" if value else "no"
        case Fraction() | float():
            return show_number(value, unit, key, asked=asked)
        case Words():
            return ", ".join(sorted(value.stated)) or NOTHING
        case tuple():
            return ", ".join(item.name for item in value)
        case _:
            return str(value)


class Teller:
    """Tells the values of expressions of one scope."""

    def __init__(self, facts: Facts, names: NameTable, defined: Mapping[str, Defined]) -> None:
        self.facts = facts
        self.names = names
        self.defined = defined

    def node(self, node: Node, environment: Environment, unit: Unit | None = None) -> str:
        """The value of an expression as text."""
        if isinstance(node, nodes.Name):
            return self.key(node.key, environment, unit)
        if isinstance(node, nodes.Number):
            return node.text
        value = evaluate(node, environment)
        return show_value(value, unit or self._unit_of(node, value))

    def key(self, key: str, environment: Environment, unit: Unit | None = None) -> str:
        """The value of a term as text; as written where it is the value that is set."""
        value = environment.value(key)
        if unit is None and isinstance(value, Fraction):
            written = written_text(key, self.facts)
            if written is not None and self.facts.as_set.value(key) == value:
                return written
        return show_value(value, unit or unit_for(key, self.facts, self.defined), key, asked=unit is not None)

    def _unit_of(self, node: Node, value: Value | Missing) -> Unit:
        """The unit for an expression where none is asked for; times between dates go by size, as their terms do."""
        kind = check(node, self.names).type
        if not isinstance(kind, NumberType):
            return PLAIN
        keys = nodes.keys_in(node)
        if isinstance(value, Fraction) and kind.dimension == TIME and keys and keys <= context_types().keys():
            return time_unit(value)
        return unit_of_type(kind.dimension)

    def message(self, message: Message, environment: Environment, fields: dict[str, str] | None = None) -> str:
        """A rule's message with its slots filled."""
        told: list[str] = []
        for part in message.parts:
            if isinstance(part, str):
                told.append(part)
            elif part.node is not None:
                told.append(self.node(part.node, environment, part.unit))
            else:
                told.append((fields or {}).get(part.text, ""))
        return " ".join("".join(told).split())


def slots_of(message: Message) -> tuple[Slot, ...]:
    """The slots of a message."""
    return tuple(part for part in message.parts if isinstance(part, Slot))
