"""Corrections: changes that would restore a rule, each with what it makes of the order. Offered all, none preferred, none applied."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from rxlint.expressions import Missing, Node, keys_in, nodes, number
from rxlint.model.facts import AS_WRITTEN, Facts, SetEnvironment
from rxlint.model.names import NameTable, base_names
from rxlint.notation import nodes as n
from rxlint.packs import Defined, Rule
from rxlint.screening.finding import Suggestion
from rxlint.screening.values import Teller, show_number, unit_for


def corrections_of(
    rule: Rule, facts: Facts, names: NameTable, defined: Mapping[str, Defined]
) -> tuple[Suggestion, ...]:
    """The rule's corrections worked out on the values as set; those that can't be are left out."""
    found: list[Suggestion] = []
    for correction in rule.corrections:
        value = number(correction.node, facts.as_set)
        if isinstance(value, Fraction):
            suggestion = change(facts, correction.key, value, rule.makes, names, defined)
            if suggestion is not None:
                found.append(suggestion)
    return tuple(found)


def change(
    facts: Facts, key: str, value: Fraction, makes: tuple[str, ...], names: NameTable, defined: Mapping[str, Defined]
) -> Suggestion | None:
    """Setting one term to a value: as it would be written, where, and what it makes of other terms. None where no one could set it."""
    stated = facts.stated(key)
    written = as_written(facts, key, value)
    if written is None or not _is_plausible(facts, key, value):
        return None
    environment = facts.as_set.with_value(key, value)
    teller = Teller(facts, names, dict(defined))
    makes_text = ", ".join(
        f"{each} {_told(each, environment, teller)}"
        for each in makes
        if not isinstance(environment.value(each), Missing)
    )
    if stated is None or not isinstance(stated.statement.body, n.Measure):
        return Suggestion(f"{key} {written}", makes_text, None, None)
    body = stated.statement.body
    was = " ".join(stated.entry.text[body.value.start : body.value.end].split())
    place = stated.entry.place(body.value.start, body.value.end)
    return Suggestion(f"{key} {written} instead of {was}", makes_text, place, written)


def _told(key: str, environment: SetEnvironment, teller: Teller) -> str:
    return teller.key(key, environment)


def as_written(facts: Facts, key: str, value: Fraction) -> str | None:
    """A value of a term as its line would state it: in its unit, reference and basis."""
    stated = facts.stated(key)
    unit = unit_for(key, facts, {})
    if stated is None or "" not in stated.statement.values:
        return show_number(value, unit, key)
    quantity = stated.statement.values[""]
    conversion = facts.written.get(key) or facts.formulas.get(key)
    if isinstance(conversion, nodes.Binary) and key + AS_WRITTEN in keys_in(conversion):
        other = number(conversion.left if conversion.operator == "+" else conversion.right, facts.as_set)
        if isinstance(other, Missing):
            return None
        value = value - other if conversion.operator == "+" else value / other
    return show_number(value, quantity.unit, key)


def _is_plausible(facts: Facts, key: str, value: Fraction) -> bool:
    from rxlint.vocabulary import vocabulary

    term = vocabulary().terms.get(key)
    if term is None or term.plausible is None:
        return value > 0
    low, high = term.plausible
    return low <= value <= high


def single_changes(facts: Facts, compare: nodes.Compare) -> tuple[Suggestion, ...]:
    """Every change of one stated setting that makes an equation linear in it true; with what it makes of the pressures."""
    found: list[Suggestion] = []
    makes = ("pressure above baseline", "support above baseline") if _is_pressure(compare) else ()
    for key in sorted(keys_in(compare)):
        stated = facts.stated(key)
        if stated is None or not isinstance(stated.statement.body, n.Measure):
            continue
        value = _solve(facts, compare, key)
        if value is not None:
            others = tuple(each for each in makes)
            suggestion = change(facts, key, value, others, base_names(), {})
            if suggestion is not None:
                found.append(suggestion)
    return tuple(found)


def _is_pressure(compare: nodes.Compare) -> bool:
    from rxlint.expressions import NumberType, check
    from rxlint.units import PRESSURE

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
