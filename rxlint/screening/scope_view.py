"""What a Python rule sees of one scope: values as set by name, read-only; and which absences it asked about."""

from __future__ import annotations

import math
from fractions import Fraction

from rxlint.expressions import ListType, Missing, NumberType, Type, Value, Words, WordsType
from rxlint.expressions.problems import near
from rxlint.extension import Lacking, UnknownNameError
from rxlint.extension.api import unit_named
from rxlint.model.facts import Facts
from rxlint.model.names import base_names
from rxlint.screening.values import Teller, show_number
from rxlint.units import Dimension, Unit, without_basis


class ScopeView:
    """A view of the facts of one scope, as ``rxlint.extension.View`` describes it.

    ``absent`` are the terms that the rule found to be absent: where a line of their section could not be told, their
    absence proves nothing.
    """

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self._teller = Teller(facts, base_names(), {})
        self.absent: set[str] = set()

    @property
    def document_kind(self) -> str | None:
        """Prescription or template; None where the document does not say."""
        return self._facts.document.kind

    @property
    def period(self) -> str | None:
        """The period's name; None for the unnamed one."""
        return self._facts.period

    @property
    def band(self) -> str | None:
        """The row of the document's tables that is looked at; None where it has no table."""
        return self._facts.band.label if self._facts.band is not None else None

    def is_stated(self, term: str) -> bool:
        """Whether the document states a term, readable or not. Raises UnknownNameError."""
        _type_of(term)
        stated = self._facts.is_stated(term)
        if not stated:
            self.absent.add(term)
        return stated

    def has_value(self, term: str) -> bool:
        """Whether a term has a value as set. Raises UnknownNameError."""
        _type_of(term)
        value = self._facts.as_set.value(term)
        if isinstance(value, Missing):
            self.absent |= value.terms
        return not isinstance(value, Missing)

    def number(self, term: str, unit: str | None = None) -> Fraction:
        """The value of a term. Raises Lacking where it has none, UnknownNameError for what is no number or no unit."""
        kind = _type_of(term)
        if not isinstance(kind, NumberType):
            raise UnknownNameError(f"{term} is no number")
        factor = Fraction(1) if unit is None else _unit_for(term, kind.dimension, unit).factor
        value = self._value(term)
        if isinstance(value, float) and not math.isfinite(value):
            raise Lacking(frozenset((term,)), (f"{term} can't be worked out",))
        if not isinstance(value, Fraction | float):
            raise _unlike(term)
        return Fraction(value) / factor

    def words(self, term: str) -> frozenset[str]:
        """The words of a term. Raises as ``number``."""
        if not isinstance(_type_of(term), WordsType):
            raise UnknownNameError(f"{term} has no words out of a list")
        value = self._value(term)
        if not isinstance(value, Words):
            raise _unlike(term)
        return value.stated

    def items(self, term: str) -> tuple[str, ...]:
        """The items of a list, in its order. Raises as ``number``."""
        if not isinstance(_type_of(term), ListType):
            raise UnknownNameError(f"{term} is no list")
        value = self._value(term)
        if not isinstance(value, tuple):
            raise _unlike(term)
        return tuple(each.name for each in value)

    def truth(self, term: str) -> bool:
        """The answer of a term that is a condition. Raises as ``number``."""
        _type_of(term)
        value = self._value(term)
        if not isinstance(value, bool):
            raise UnknownNameError(f"{term} is no condition")
        return value

    def tell(self, term: str) -> str:
        """The value as text, as written where it is stated. Raises Lacking, UnknownNameError."""
        _type_of(term)
        self._value(term)
        return self._teller.key(term, self._facts.as_set)

    def show(self, value: Fraction, unit: str) -> str:
        """A value in base units as text in a unit. Raises UnknownNameError."""
        return show_number(value, unit_named(unit))

    def _value(self, term: str) -> Value:
        value = self._facts.as_set.value(term)
        if isinstance(value, Missing):
            raise Lacking(value.terms or frozenset((term,)), value.reasons)
        return value


def _unlike(term: str) -> Lacking:
    return Lacking(frozenset((term,)), (f"{term} is stated in another way than the rule asks for",))


def _type_of(term: str) -> Type:
    types = base_names().types
    if term not in types:
        close = near(term, types)
        raise UnknownNameError(f"there is no term {term}" + (f"; did you mean {' or '.join(close)}?" if close else ""))
    return types[term]


def _unit_for(term: str, dimension: Dimension, symbol: str) -> Unit:
    unit = unit_named(symbol)
    if unit.dimension != without_basis(dimension):
        raise UnknownNameError(f"{term} is not measured in {symbol or 'plain numbers'}")
    return unit
