"""The set-up of a ventilator for one period of an order: what to key in, what is left open, what can't be done.

Pure: the same facts and profile give the same list. Nothing is rounded here: a value between two places of a dial is
shown with both, and is nobody's to choose but the prescriber's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, Literal

from rxlint.expressions import Missing, Node, Value, Words, keys_in
from rxlint.expressions.bounds import bounds
from rxlint.model.facts import AS_WRITTEN, Facts, SetEnvironment
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.packs.profile import Dial, Profile
from rxlint.screening.dial_text import Context, both_ways, prescribed_text, span, told
from rxlint.screening.dials import (
    Between,
    around,
    base_of,
    chosen,
    key_in,
    number_of,
    place_of,
    served,
    stated_for,
    value_of,
)
from rxlint.screening.setup_lacking import alarms_lacking, beside, settings_lacking
from rxlint.units import show

State = Literal["set", "near", "between", "beyond", "no place", "unlike", "open", "not known"]
STOPS: Final[frozenset[State]] = frozenset({"between", "beyond", "no place", "unlike", "not known"})
"""What keeps a line from being keyed in."""
UNSETTABLE: Final[frozenset[State]] = frozenset({"between", "beyond", "no place", "unlike"})
"""What the ventilator can't be set to, whatever else the order says."""


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to key in.

    ``keyed`` is what to key in, ``number`` its number where it has one, ``value`` what that is in base units above what
    the dial counts from; ``both`` is the same in the order's own reference and unit too, where it is keyed in near what
    is prescribed. ``prescribed`` is the order's own text, ``why`` says what is the matter, ``choices`` are the
    places on both sides of a value that can't be set, ``moves`` what staff may set later without a new order,
    ``follows`` other terms with which it must be keyed in anew when they are moved.
    """

    name: str
    key: str
    state: State
    keyed: str = ""
    number: Fraction | None = None
    value: Fraction | None = None
    prescribed: str = ""
    same: bool = False
    why: str = ""
    both: str = ""
    choices: tuple[str, ...] = ()
    moves: str = ""
    follows: tuple[str, ...] = ()
    stated: Stated | None = None
    dial: Dial | None = None
    node: Node | None = None


@dataclass(frozen=True, slots=True)
class SetUp:
    """A set-up list of one period. ``asks`` are questions to the prescriber, ``lacking`` what the ventilator can't do,
    each with the line of the order that needs it, ``beside`` what is set at something else than the ventilator."""

    profile: Profile
    facts: Facts
    lines: tuple[Line, ...]
    asks: tuple[str, ...]
    lacking: tuple[tuple[str, Stated], ...]
    beside: tuple[tuple[str, str], ...]

    @property
    def can_be_keyed_in(self) -> bool:
        """Whether nothing stands in the way, and nothing is left open."""
        return not self.asks and not self.lacking and all(each.state in ("set", "near") for each in self.lines)


def set_up(facts: Facts, profile: Profile) -> SetUp:
    """The set-up of a ventilator for the facts of one period."""
    values = as_keyed(facts, profile)
    lines = [*_circuit(facts, profile), *settings(facts, profile, values), *alarms(facts, profile, values)]
    asks = [_question(line) for line in lines if line.state == "open"]
    if facts.mode is not None:
        asks += [
            f"{each.name}: {each.ask}" for each in profile.needed if each.modes is None or facts.mode.code in each.modes
        ]
    lacking = (*settings_lacking(facts, profile), *alarms_lacking(facts, profile))
    return SetUp(
        profile, facts, tuple(line for line in lines if line.state != "open"), tuple(asks), lacking,
        tuple(beside(facts, profile)),
    )  # fmt: skip


def _question(line: Line) -> str:
    term = line.key.removeprefix("alarm ")
    what = f"{line.name} ({term})" if line.name != term else term
    return f"{what}: {line.why}"


# ---- circuit and mode


def _circuit(facts: Facts, profile: Profile) -> Iterator[Line]:
    """The circuit and the mode, which come before everything that depends on them."""
    limb = facts.constants.get("limb")
    stated = facts.scope.by_key.get("limb")
    if isinstance(limb, Words) and stated is not None:
        word = next(iter(limb.stated))
        yield _named("circuit", "limb", word, profile.limb(word), "the ventilator does not take this circuit", stated)
    else:
        yield Line(
            "circuit", "limb", "open" if stated is None else "not known", why="the prescription does not say which"
        )
    stated = facts.scope.by_key.get("mode")
    if facts.mode is not None and stated is not None:
        code = facts.mode.code
        yield _named("mode", "mode", code, profile.mode(code), "the ventilator does not have this mode", stated)
    else:
        yield _unnamed("mode", "mode", stated)


def _unnamed(name: str, key: str, stated: Stated | None) -> Line:
    if stated is None:
        return Line(name, key, "open", why="the prescription does not say which")
    return Line(name, key, "not known", why=f"{key} is stated but could not be read, or leaves a choice", stated=stated)


def _named(name: str, key: str, word: str, site: str | None, why: str, stated: Stated) -> Line:
    if site is None:
        return Line(name, key, "no place", prescribed=word, why=why, stated=stated)
    return Line(name, key, "set", site, prescribed=word, same=site == word, stated=stated)


# ---- settings and alarms


def as_keyed(facts: Facts, profile: Profile) -> SetEnvironment:
    """The values as set, but for a baseline that is keyed in near what is prescribed: pressures count from that one."""
    values = facts.as_set
    has_mode = facts.mode is not None and profile.mode(facts.mode.code) is not None
    for dial in profile.settings if has_mode else ():
        key = key_in(dial, facts)
        if key is None or not _is_baseline(key):
            continue
        line = line_of(dial, key, facts, facts.as_set)
        if line.state == "near" and line.value is not None:
            own = next((each for each in served(key, None) if facts.is_stated(each)), key)
            values = values.with_value("baseline" if key in ("PEEP", "EPAP") else own, line.value)
    return values


def _is_baseline(key: str) -> bool:
    return key.removeprefix("fallback ") in ("PEEP", "EPAP")


def settings(facts: Facts, profile: Profile, values: SetEnvironment) -> Iterator[Line]:
    """The settings in the order in which they are keyed in; none where the ventilator does not have the mode."""
    if facts.mode is None or profile.mode(facts.mode.code) is None:
        return
    for dial in profile.settings:
        key = key_in(dial, facts)
        if key is not None:
            yield line_of(dial, key, facts, facts.as_set if _is_baseline(key) else values)


def alarms(facts: Facts, profile: Profile, values: SetEnvironment) -> Iterator[Line]:
    """The alarms of the ventilator, whether the order states them or not."""
    for dial in profile.alarms:
        if dial.modes is None or (facts.mode is not None and facts.mode.code in dial.modes):
            for key in dial.keys:
                yield line_of(dial, key, facts, values)


def line_of(dial: Dial, key: str, facts: Facts, values: SetEnvironment) -> Line:
    """One line of the list: what a dial is asked to show, and whether it can."""
    stated = stated_for(key, facts)
    if key in facts.off:
        return _off(dial, key, stated)
    node, value = value_of(dial, key, facts, values)
    if isinstance(value, Missing):
        return _without(dial, key, stated, node, value, facts)
    shown = show(value, dial.unit) if isinstance(value, Fraction) else ""
    text = prescribed_text(stated, facts) if stated is not None else shown
    line = _placed(dial, key, value, Context(stated, text, facts, values))
    return replace(
        line,
        prescribed=text,
        same=_is_same(dial, line, stated),
        moves=_moves(dial, node, facts),
        follows=_follows(node, stated, facts) if stated is not None else (),
        stated=stated,
        dial=dial,
        node=node,
    )


def _off(dial: Dial, key: str, stated: Stated | None) -> Line:
    text = "off"
    if dial.off is None:
        why = "this ventilator's alarm can't be switched off"
        return Line(dial.name, key, "no place", prescribed=text, why=why, stated=stated, dial=dial)
    return Line(dial.name, key, "set", dial.off, prescribed=text, same=dial.off == text, stated=stated, dial=dial)


def _without(dial: Dial, key: str, stated: Stated | None, node: Node, value: Missing, facts: Facts) -> Line:
    """A line without a value: nobody has stated it, or it can't be worked out from what is stated."""
    text = prescribed_text(stated, facts) if stated is not None else ""
    if stated is None:
        return Line(dial.name, key, "open", why=f"the prescription does not say; it is set {span(dial)}", dial=dial)
    quantity = stated.statement.values.get("")
    is_other = quantity is not None and quantity.basis is None and dial.unit.dimension != quantity.unit.dimension
    if quantity is not None and is_other and dial.steps and stated.key == key:
        why = f"it is prescribed as a {quantity.unit.dimension}, and this ventilator takes a {dial.unit.dimension}"
        return Line(dial.name, key, "unlike", prescribed=text, why=why, stated=stated, dial=dial)
    if stated.statement.readable and not facts.lacks(value.terms) - _several(stated):
        why = f"the prescription gives a range and no value to begin with: {text}"
        return Line(dial.name, key, "open", prescribed=text, why=why, stated=stated, dial=dial, node=node)
    lacks = ", ".join(sorted(facts.lacks(value.terms)))
    why = "; ".join(value.reasons) or f"it can't be worked out from what is prescribed: {lacks} is missing"
    return Line(dial.name, key, "not known", prescribed=text, why=why, stated=stated, dial=dial)


def _several(stated: Stated) -> frozenset[str]:
    """The keys of a line that states a range or a choice, of which none is set; none for any other line."""
    quantity = stated.statement.values.get("")
    if isinstance(stated.statement.body, n.Words) and len(stated.statement.body.alternatives) > 1:
        return frozenset((stated.key,))
    has_range = quantity is not None and quantity.kind != "exact"
    return frozenset((stated.key, f"{stated.key} as written")) if has_range else frozenset()


def _placed(dial: Dial, key: str, value: Value, of: Context) -> Line:
    if dial.choices:
        return _on_scale(dial, key, value, of)
    if not isinstance(value, Fraction) or (dial.is_ratio and not value):
        return Line(dial.name, key, "no place", why=f"this ventilator takes numbers here, {span(dial)}")
    number = number_of(dial, value)
    place = place_of(dial, number)
    if isinstance(place, Fraction):
        return _at_place(dial, key, number, place, of)
    ends = [each for each in (place.below, place.above) if each is not None]
    state: State = "between" if len(ends) == 2 else "beyond"
    how = "lies between two steps" if len(ends) == 2 else "is out of its range"
    why = f"{told(dial, number)} {how}: it is set {span(dial)}"
    return Line(
        dial.name, key, state, number=number, why=why, choices=tuple(both_ways(dial, each, of) for each in ends)
    )


def _on_scale(dial: Dial, key: str, value: Value, of: Context) -> Line:
    choice = chosen(dial, value)
    if choice is not None:
        return Line(dial.name, key, "set", choice.name, value=choice.value)
    beside = around(dial, value) if isinstance(value, Fraction) else list(dial.choices)
    state: State = "between" if isinstance(value, Fraction) and len(beside) == 2 else "no place"
    wanted = of.prescribed or (show(value, dial.unit) if isinstance(value, Fraction) else "this")
    choices = tuple(f"{each.name} ({each.means})" for each in beside)
    return Line(dial.name, key, state, why=f"this ventilator has no place for {wanted}", choices=choices)


def _at_place(dial: Dial, key: str, number: Fraction, place: Fraction, of: Context) -> Line:
    value = base_of(dial, place)
    if place == number:
        return Line(dial.name, key, "set", told(dial, place), place, value)
    away = show(abs(place - number) * dial.unit.factor, dial.unit)
    side = "above" if place > number else "below"
    both = both_ways(dial, place, of)
    why = f"{both}, {away} {side} what is prescribed; the site takes this as near enough"
    return Line(dial.name, key, "near", told(dial, place), place, value, why=why, both=both)


def _is_same(dial: Dial, line: Line, stated: Stated | None) -> bool:
    """Whether what is keyed in reads as it is prescribed: the same number, unit and reference."""
    quantity = stated.statement.values.get("") if stated is not None else None
    if quantity is None or stated is None or line.state != "set" or line.number is None:
        return False
    if dial.is_ratio:
        return line.value == quantity.points[0]
    written = show(quantity.points[0], quantity.unit, None)
    above = f" above {quantity.reference}" if quantity.reference is not None else ""
    return line.keyed in (written, written + above)


def _moves(dial: Dial, node: Node, facts: Facts) -> str:
    """What staff may set without a new order, steps of a titration with it, as places of the dial."""
    ends = ends_of(node, facts)
    if ends is None or not dial.steps or (dial.is_ratio and not all(ends)):
        return ""
    low, high = sorted(number_of(dial, each) for each in ends)
    first, last = place_of(dial, low), place_of(dial, high)
    least = first.above if isinstance(first, Between) else first
    most = last.below if isinstance(last, Between) else last
    if least is None or most is None or least > most:
        return ""
    return f"{told(dial, least)} to {told(dial, most)}"


def _follows(node: Node, stated: Stated, facts: Facts) -> tuple[str, ...]:
    """The other terms that may be moved, with which this one must be keyed in anew."""
    moved = {key.removesuffix(AS_WRITTEN) for key in facts.closure(keys_in(node)) & facts.allowed.keys()}
    return tuple(sorted(moved - {stated.key}))


def ends_of(node: Node, facts: Facts) -> tuple[Fraction, Fraction] | None:
    """The lowest and highest value that is allowed; None where nothing but the value as set is."""
    if not facts.closure(keys_in(node)) & facts.allowed.keys():
        return None
    ends = bounds(node, facts.space)
    return ends if ends is not None and ends[0] != ends[1] else None
