"""Corrections: changes that would restore a rule, each with what it makes of the order. None preferred, none applied.

What is offered was tried: the value as it would be written keeps what was broken. What is keyed in is rounded to two
figures, up or down, whichever is nearer and keeps it; only where neither does, it is told more finely.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Missing, Node, NumberType, at_point, check, condition, keys_in, nodes, number
from rxlint.model.facts import AS_WRITTEN, Facts, SetEnvironment, home_key
from rxlint.model.names import NameTable, base_names
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.packs import Defined, Rule
from rxlint.screening.finding import Suggestion
from rxlint.screening.values import Teller, show_number, unit_for
from rxlint.units import PLAIN, PRESSURE, Unit, from_base, show, to_base
from rxlint.vocabulary import vocabulary

_MOST_DECIMALS: Final = 3  # nobody sets a ventilator more finely
_FIGURES: Final = (2, 3)
_TOLD: Final = ("pressure above baseline", "support above baseline")

Restores = Callable[[SetEnvironment], bool]


@dataclass(frozen=True, slots=True)
class Written:
    """A value as it would be written: the text, and the term's value that this text states."""

    text: str
    value: Fraction


def corrections_of(
    rule: Rule, facts: Facts, names: NameTable, defined: Mapping[str, Defined]
) -> tuple[Suggestion, ...]:
    """The rule's corrections worked out on the values as set; those that can't be, or restore nothing, are left out."""

    def restores(environment: SetEnvironment) -> bool:
        assert rule.require is not None
        return at_point(rule.when, rule.require, environment).outcome in ("met", "does not apply")

    teller = Teller(facts, names, dict(defined))
    found: list[Suggestion] = []
    for correction in rule.corrections:
        value = number(correction.node, facts.as_set)
        if isinstance(value, Fraction):
            suggestion = change(facts, correction.key, value, rule.makes, teller, restores)
            if suggestion is not None:
                found.append(suggestion)
    return tuple(found)


def change(
    facts: Facts, key: str, value: Fraction, makes: Sequence[str], teller: Teller, restores: Restores
) -> Suggestion | None:
    """Setting one term to a value: as it would be written, where, and what it makes of other terms.

    None where no one could set it, or it can't be written so that it restores what is broken.
    """
    written = next(
        (each for each in as_written(facts, key, value) if restores(facts.as_set.with_value(key, each.value))), None
    )
    if written is None or not _is_plausible(key, written.value):
        return None
    environment = facts.as_set.with_value(key, written.value)
    told = ", ".join(
        f"{each} {teller.key(each, environment)}" for each in makes if not isinstance(environment.value(each), Missing)
    )
    stated = facts.stated(key)
    if stated is None or not isinstance(stated.statement.body, n.Measure):
        return Suggestion(f"{key} {written.text}", told, None, None)
    body = stated.statement.body
    was = " ".join(stated.entry.text[body.value.start : body.value.end].split())
    place = stated.entry.place(body.value.start, body.value.end)
    return Suggestion(f"{key} {written.text}{_bound_to(stated)} instead of {was}", told, place, written.text)


def _bound_to(stated: Stated) -> str:
    """What a number is measured from or divided by, where it could be something else: alone it would mislead."""
    term, quantity = stated.statement.term, stated.statement.values.get("")
    if term is None or quantity is None:
        return ""
    if quantity.basis is not None:
        return f" of {quantity.basis}"
    return f" above {quantity.reference}" if term.reference == "stated" and quantity.reference is not None else ""


def as_written(facts: Facts, key: str, value: Fraction) -> list[Written]:
    """A value of a term as its line would state it, in its unit, reference and basis: as it can be set, then finer."""
    stated = facts.stated(key)
    if stated is None or "" not in stated.statement.values:
        return _texts(value, unit_for(key, facts, {}), key, lambda each: each)
    unit = stated.statement.values[""].unit
    conversion = facts.written.get(key) or facts.formulas.get(key)
    if not isinstance(conversion, nodes.Binary) or key + AS_WRITTEN not in keys_in(conversion):
        return _texts(value, unit, key, lambda each: each)
    other = number(conversion.left if conversion.operator == "+" else conversion.right, facts.as_set)
    if isinstance(other, Missing):
        return []
    offset = Fraction(other)
    if conversion.operator == "+":
        return _texts(value - offset, unit, key, lambda each: each + offset)
    return _texts(value / offset, unit, key, lambda each: each * offset)


def _is_keyed_in(key: str, unit: Unit) -> bool:
    """Whether a term is keyed in as a number: what is measured has no steps, and a ratio is told in its own way."""
    term = vocabulary().terms.get(home_key(key))
    return term is not None and term.kind in ("value", "limit") and (unit is not PLAIN or term.form == "fraction")


def _places(number: Fraction, figures: int) -> int:
    """The decimals that leave a number so many figures; none is ever rounded above the decimal point."""
    size, places = abs(number), figures
    while size >= 1 and places > 0:
        size, places = size / 10, places - 1
    while 0 < size * 10 < 1 and places < _MOST_DECIMALS:
        size, places = size * 10, places + 1
    return places


def _rounded(value: Fraction, unit: Unit, figures: int) -> Iterator[str]:
    """A value with so many figures: the nearest, then the one on its other side."""
    number = from_base(value, unit)
    decimals = _places(number, figures)
    step = Fraction(1, 10**decimals)
    below = number // step * step
    for each in sorted({below, below + step if below != number else below}, key=lambda one: (abs(one - number), -one)):
        yield show(to_base(each, unit), unit, decimals)


def _texts(written: Fraction, unit: Unit, key: str, back: Callable[[Fraction], Fraction]) -> list[Written]:
    found: list[Written] = []
    settable = [text for each in _FIGURES for text in _rounded(written, unit, each)] if _is_keyed_in(key, unit) else []
    for text in (*settable, show_number(written, unit, key), show(written, unit, _MOST_DECIMALS)):
        stated = _value_of(text, unit)
        if stated is not None and all(text != each.text for each in found):
            found.append(Written(text, back(stated)))
    return found


def _value_of(text: str, unit: Unit) -> Fraction | None:
    """What a shown value states, in base units; None where it is not a plain number in this unit."""
    if ":" in text:
        first, _, second = text.partition(":")
        return Fraction(first) / Fraction(second) if Fraction(second) else None
    figure, _, symbol = text.partition(" ")
    return to_base(Fraction(figure), unit) if symbol == unit.symbol else None


def _is_plausible(key: str, value: Fraction) -> bool:
    term = vocabulary().terms.get(key)
    if term is None or term.plausible is None:
        return value > 0
    low, high = term.plausible
    return low <= value <= high


def single_changes(facts: Facts, whole: nodes.Compare) -> tuple[Suggestion, ...]:
    """Every change of one stated setting that keeps a relation again, where it is a straight line in the setting."""

    def restores(environment: SetEnvironment) -> bool:
        return condition(whole, environment) is True

    makes = _TOLD if _is_pressure(whole) else ()
    teller = Teller(facts, base_names(), {})
    found: list[Suggestion] = []
    for key in sorted(keys_in(whole)):
        stated = facts.stated(key)
        if stated is None or not isinstance(stated.statement.body, n.Measure):
            continue
        value = _solve(facts, whole, key)
        suggestion = change(facts, key, value, makes, teller, restores) if value is not None else None
        if suggestion is not None:
            found.append(suggestion)
    return tuple(found)


def _is_pressure(compare: nodes.Compare) -> bool:
    kind = check(compare.left, base_names()).type
    return isinstance(kind, NumberType) and kind.dimension == PRESSURE


def _solve(facts: Facts, compare: nodes.Compare, key: str) -> Fraction | None:
    """The value of a term that makes both sides equal, where their difference is a straight line in it."""

    def gap(value: Fraction) -> Fraction | None:
        environment = facts.as_set.with_value(key, value)
        left, right = number(compare.left, environment), number(compare.right, environment)
        return left - right if isinstance(left, Fraction) and isinstance(right, Fraction) else None

    now = number(_name(key), facts.as_set)
    if not isinstance(now, Fraction):
        return None
    at, above, twice = gap(now), gap(now + 1), gap(now + 2)
    if at is None or above is None or twice is None or above == at or twice - above != above - at:
        return None
    return now - at / (above - at)


def _name(key: str) -> Node:
    return nodes.Name(key, key)
