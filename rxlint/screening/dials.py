"""What a ventilator's dial is asked to show: which lines of an order it enters, and their value in its own numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Environment, Missing, Node, Value, Words, evaluate, nodes
from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.quantities import other_key
from rxlint.model.stated import Stated
from rxlint.packs.profile import IN_PLACE_OF_TIME, Choice, Dial
from rxlint.units import from_base, to_base
from rxlint.vocabulary import Mode, vocabulary

_FALLBACK: Final = "fallback "
# Terms of which an order states one, and from which the others follow.
_ALIKE: Final = (
    frozenset({"PEEP", "EPAP"}),
    frozenset({"inspiratory pressure", "IPAP"}),
    frozenset({"IPAP", "pressure support"}),
    frozenset({"rate", "back-up rate"}),
    frozenset({"tidal volume", "volume target"}),
    frozenset({"inspiratory time", "I:E", "inspiratory flow", *IN_PLACE_OF_TIME}),
)
# Where the value of a dial for a term comes from: derived terms in which every way of writing it ends.
_FROM: Final = {
    "PEEP": ("baseline",),
    "EPAP": ("baseline",),
    "inspiratory pressure": ("mandatory peak",),
    "IPAP": ("mandatory peak", "supported peak"),
    "pressure support": ("supported peak",),
    "inspiratory time": ("inspiration",),
    "I:E": ("I:E", "ratio of times"),
}


_EQUAL: Final = frozenset({"rate", "back-up rate", "tidal volume", "volume target"})
# Of a back-up block, whose derived terms are not kept: each term with those that give it its value.
_SAME: Final = {
    "inspiratory pressure": ("inspiratory pressure", "IPAP"),
    "IPAP": ("IPAP", "inspiratory pressure", "pressure support"),
    "pressure support": ("pressure support", "IPAP"),
    "rate": ("rate", "back-up rate"),
    "back-up rate": ("back-up rate", "rate"),
    "tidal volume": ("tidal volume", "volume target"),
    "volume target": ("volume target", "tidal volume"),
    "inspiratory time": ("inspiratory time",),
    "I:E": ("I:E",),
    "inspiratory flow": ("inspiratory flow",),
}


@dataclass(frozen=True, slots=True)
class Between:
    """The places of a dial on both sides of a value that it can't show: None on a side where there is none."""

    below: Fraction | None
    above: Fraction | None


def served(key: str, mode: Mode | None) -> tuple[str, ...]:
    """The terms that an order may state for a dial of this term to have its value, itself first."""
    if key.startswith(_FALLBACK):
        own = key.removeprefix(_FALLBACK)
        return (key, *sorted({_FALLBACK + each for group in _ALIKE if own in group for each in group} - {key}))
    if mode is None or not mode.checked:
        return (key,)
    rows = [
        frozenset(row) for row in mode.needs if key in row or (key in IN_PLACE_OF_TIME and "inspiratory time" in row)
    ]
    others = {each for row in rows for each in row for group in _ALIKE if {key, each} <= group}
    return (key, *sorted(others - {key}))


def term_in(dial: Dial, mode: Mode | None) -> str | None:
    """The term that a dial sets in a mode; None where it has no effect there, or is not there."""
    if dial.modes is not None and (mode is None or mode.code not in dial.modes):
        return None
    if dial.keys[0].startswith(("alarm ", _FALLBACK)):
        return dial.keys[0]
    if mode is None or not mode.checked:
        return None
    for key in dial.keys:
        if set(served(key, mode)) & mode.settings:
            return key
    return None


def key_in(dial: Dial, facts: Facts) -> str | None:
    """The term that a setting's dial sets here. Of a mode that is not modelled, what is stated is all that is known."""
    if dial.keys[0].startswith(_FALLBACK):
        return dial.keys[0] if "fallback block" in facts.constants else None
    if facts.mode is not None and not facts.mode.checked:
        return next((key for key in dial.keys if key in facts.scope.by_key), None)
    return term_in(dial, facts.mode)


def stated_for(key: str, facts: Facts) -> Stated | None:
    """The line of the order that a dial enters: its own term's, else that of one that means the same there."""
    return next((facts.scope.by_key[each] for each in served(key, facts.mode) if each in facts.scope.by_key), None)


def value_of(dial: Dial, key: str, facts: Facts, values: Environment) -> tuple[Node, Value | Missing]:
    """The expression of what a dial is asked for, above what it counts from, and its value in base units."""
    first: tuple[Node, Value | Missing] | None = None
    for node in _ways(dial, key, facts):
        value = evaluate(node, values)
        if not isinstance(value, Missing):
            return node, value
        if first is None or (value.reasons and not _why(first[1])):  # what is stated says best why there is no value
            first = node, value
    assert first is not None
    return first


def _why(value: Value | Missing) -> tuple[str, ...]:
    return value.reasons if isinstance(value, Missing) else ()


def _ways(dial: Dial, key: str, facts: Facts) -> Iterator[Node]:
    for node in _absolute(dial, key, facts):
        yield nodes.Binary("-", node, _name(_baseline(key, facts))) if dial.above == "PEEP" else node
    if key == "inspiratory flow":
        volume, time = _name("tidal volume"), _name("inspiration")
        yield nodes.Binary("/", volume, nodes.Binary("-", time, _name("inspiratory pause")))
        if not facts.is_stated("inspiratory pause"):
            yield nodes.Binary("/", volume, time)


def _absolute(dial: Dial, key: str, facts: Facts) -> Iterator[Node]:
    """The ways to a term's own value; of a pressure, above ambient."""
    if key.startswith(_FALLBACK):
        yield from _fallback(key, facts)
    elif _is_other(dial, key):
        yield _name(other_key(vocabulary().terms[key], dial.unit))
    elif key in _FROM:
        yield from map(_name, _FROM[key])
    elif key in _EQUAL:
        yield from map(_name, served(key, facts.mode))
    else:
        yield _name(key)


def _fallback(key: str, facts: Facts) -> Iterator[Node]:
    """Settings of a back-up block: their pressures above PEEP are above the block's own PEEP, where it has one."""
    own = key.removeprefix(_FALLBACK)
    baseline = _name(_baseline(key, facts))
    if own in ("PEEP", "EPAP"):
        yield baseline
        return
    alike = [each for each in served(key, None) if own in _SAME.get(each.removeprefix(_FALLBACK), (own,))]
    for each in alike:
        if each + AS_WRITTEN in {*facts.constants, *facts.axes} and _counts_from_peep(each, facts):
            yield nodes.Binary("+", baseline, _name(each + AS_WRITTEN))
        elif each.endswith("pressure support"):
            yield nodes.Binary("+", baseline, _name(each))
        else:
            yield _name(each)


def _counts_from_peep(key: str, facts: Facts) -> bool:
    stated = facts.stated(key)
    return stated is not None and "" in stated.statement.values and stated.statement.values[""].reference == "PEEP"


def _name(key: str) -> Node:
    return nodes.Name(key, key)


def _baseline(key: str, facts: Facts) -> str:
    if key.startswith(_FALLBACK):
        for name in ("fallback PEEP", "fallback EPAP"):
            if facts.is_stated(name):
                return name
    return "baseline"


def _is_other(dial: Dial, key: str) -> bool:
    """Whether a dial shows another dimension than its term's first: a pressure that triggers, not a flow."""
    term = vocabulary().terms.get(key)
    return term is not None and bool(term.units) and dial.unit.dimension != term.units[0].dimension


# ---- the dial's own numbers


def number_of(dial: Dial, value: Fraction) -> Fraction:
    """A value in base units as the number that a dial would show, exactly. A ratio is told by its expiratory part."""
    return 1 / value if dial.is_ratio else from_base(value, dial.unit)


def base_of(dial: Dial, number: Fraction) -> Fraction:
    """A number of a dial in base units, exactly."""
    return 1 / number if dial.is_ratio else to_base(number, dial.unit)


def place_of(dial: Dial, number: Fraction) -> Fraction | Between:
    """The place at which a number is keyed in - the number itself, or one that is near enough - or those around it.

    Two places that are equally near are no answer: then nobody has chosen between them.
    """
    below = max((each for each in _at_most(dial, number)), default=None)
    above = min((each for each in _at_least(dial, number)), default=None)
    gaps = sorted((abs(number - each), each) for each in {below, above} - {None} if each is not None)
    if gaps and gaps[0][0] <= dial.near and (len(gaps) == 1 or gaps[0][0] < gaps[1][0]):
        return gaps[0][1]
    return Between(below, above)


def _at_most(dial: Dial, number: Fraction) -> Iterator[Fraction]:
    for each in dial.steps:
        if each.low <= number:
            yield each.low + (min(number, each.high) - each.low) // each.step * each.step


def _at_least(dial: Dial, number: Fraction) -> Iterator[Fraction]:
    for each in dial.steps:
        if number <= each.high:
            yield each.low + -((each.low - max(number, each.low)) // each.step) * each.step


def chosen(dial: Dial, value: Value) -> Choice | None:
    """The place of a scale that means a value; None where none does."""
    for choice in dial.choices:
        if isinstance(value, Words) and choice.words == value.stated:
            return choice
        if isinstance(value, Fraction) and choice.value == value:
            return choice
    return None


def around(dial: Dial, value: Fraction) -> list[Choice]:
    """The places of a scale next to a value, the lower first."""
    known = sorted((each for each in dial.choices if each.value is not None), key=lambda each: each.value or 0)
    below = [each for each in known if each.value is not None and each.value < value]
    above = [each for each in known if each.value is not None and each.value > value]
    return [*below[-1:], *above[:1]]
