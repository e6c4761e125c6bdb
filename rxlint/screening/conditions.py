"""Conditions held against the order's own aims: what is due while all is as wanted, and steps against their own cure.

A call that is due inside the target window of its own reading was written the wrong way round, and so was a step that
drives its reading further the way that makes it due.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Axis
from rxlint.model.facts import Facts
from rxlint.model.names import own_key
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import dimensions_of, read_amount, read_fraction
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.values import show_number, unit_for
from rxlint.screening.walks import Found, Walk
from rxlint.units import PLAIN, TIME
from rxlint.vocabulary import Term, vocabulary

EVENTS: Final = (
    "conditions.as-wanted",
    "conditions.as-usual",
    "conditions.step-worsens",
    "conditions.stop-before-step",
    "conditions.opposite-words",
)
_PACK: Final = "escalation"  # the pack that defines what readings usually are
_TOLD: Final[Mapping[str, str]] = {
    "escalation call": "the call",
    "titration call when": "the call",
    "off ventilator stop when": "the end of the time off",
}
# A reading that has no aims of its own is held against those of another.
_SAME_AIM: Final[Mapping[str, str]] = {"spontaneous rate": "rate"}
# What the pack calls the range in which a reading usually lies.
_USUAL: Final[Mapping[str, str]] = {
    "rate": "breathing rate",
    "spontaneous rate": "breathing rate",
    "heart rate": "heart rate",
    "SpO2": "saturation",
    "EtCO2": "carbon dioxide",
    "PaCO2": "carbon dioxide",
    "pH": "acidity",
}
_UP: Final = ("above", "at least")

# Which way a reading goes when a setting is raised: the usual physiology of gas exchange and of a passive lung.
# What goes both ways (PEEP and trapped gas) is left out.
_OXYGEN: Final[Mapping[str, int]] = {"SpO2": 1, "PaO2": 1}
_CARBON_DIOXIDE: Final[Mapping[str, int]] = {"EtCO2": -1, "PaCO2": -1, "pH": 1, "minute volume": 1}
_VOLUME: Final[Mapping[str, int]] = {
    **_OXYGEN,
    **_CARBON_DIOXIDE,
    "expired tidal volume": 1,
    "inspired tidal volume": 1,
    "rate": -1,
    "spontaneous rate": -1,
    "plateau pressure": 1,
    "peak pressure": 1,
}
_RATE: Final[Mapping[str, int]] = {**_CARBON_DIOXIDE, "total PEEP": 1}
_EFFECTS: Final[Mapping[str, Mapping[str, int]]] = {
    **dict.fromkeys(("FiO2", "oxygen flow", "PEEP", "EPAP"), _OXYGEN),
    **dict.fromkeys(("inspiratory pressure", "IPAP", "pressure support", "tidal volume", "volume target"), _VOLUME),
    **dict.fromkeys(("rate", "back-up rate"), _RATE),
}


@dataclass(frozen=True, slots=True)
class _Window:
    """Where a reading is wanted or usual, and how that is told; an end that nobody states is open."""

    low: Fraction | None
    high: Fraction | None
    told: str
    is_stated: bool  # by the order itself

    def is_inside(self, comparison: n.Comparison, value: Fraction) -> bool:
        """Whether a comparison is true everywhere between the ends (at the one point, where they are the same)."""
        up = comparison.compare in _UP
        end = self.low if up else self.high
        if end is None:
            return False
        if self.low == self.high and comparison.compare in ("above", "below"):
            return value < end if up else value > end
        return value <= end if up else value >= end


def walk_conditions(facts: Facts, rules: RuleSet, walk: Walk) -> None:
    """Everything there is to say of the conditions of one scope."""
    several = facts.scope.several
    readable = {
        form: [each for each in several.get(form, ()) if each.statement.readable] for form in ("call", "stop", "raise")
    }
    for stated in (*readable["call"], *readable["stop"]):
        if stated.key in _TOLD:
            _due(facts, rules, stated, walk)
    for stated in readable["raise"]:
        _opposite_words(stated, walk)
        _worsens(stated, walk)
        _eager(facts, rules, stated, walk)
    _stopped(readable["raise"], [each for each in readable["stop"] if each.key == "titration stop when"], walk)


# ---- due while all is as wanted


def _due(facts: Facts, rules: RuleSet, stated: Stated, walk: Walk) -> None:
    body = stated.statement.body
    when = body.when if isinstance(body, n.Call) else body
    if not isinstance(when, n.Condition):
        return
    for both in when.either:
        if len(both) > 1:  # readings that are all as wanted together are signs of being ready for something
            continue
        if isinstance(body, n.Call) and _is_good_course(facts, rules, both[0]):
            continue
        window, value = window_of(facts, rules, both[0].reading.text), value_of(both[0])
        if window is None or value is None:
            continue
        event = "conditions.as-wanted" if window.is_stated else "conditions.as-usual"
        walk.ran.add(event)
        if window.is_inside(both[0], value):
            _tell(event, stated, both, walk, what=_TOLD[stated.key], window=window.told)


def _is_good_course(facts: Facts, rules: RuleSet, comparison: n.Comparison) -> bool:
    """Whether a comparison has to hold for so long that being due then asks for no help, by the term of the pack."""
    key = own_key(_PACK, "good course")
    least = facts.as_set.value(key) if key in rules.defined else None
    if comparison.duration is None or not isinstance(least, Fraction):
        return False
    duration, _ = read_amount(comparison.duration, None, (TIME,), "the duration")
    return duration >= least


def _tell(event: str, stated: Stated, both: tuple[n.Comparison, ...], walk: Walk, **fields: str) -> None:
    """An event at an alternative of a condition, with the alternative as it is written."""
    start, end = both[0].reading.start, both[-1].amount.end
    condition = " ".join(stated.entry.text[start:end].split())
    walk.found.append(Found(event, stated.entry, start, end, {**fields, "condition": condition}))


def window_of(facts: Facts, rules: RuleSet, reading: str) -> _Window | None:
    """Where a reading is aimed at, kept by alarms, or else usual; for the oxygen share, what is ordered."""
    if reading == "FiO2":
        return _ordered_share(facts)
    aim = _SAME_AIM.get(reading, reading)
    for names in [reading, aim] if aim != reading else [reading]:
        found = _window(facts, f"target low {names}", f"target high {names}", names, "is aimed at")
        if found is not None:
            return found
    alarms = _window(facts, f"alarm low {aim}", f"alarm high {aim}", aim, "is within the alarms")
    if alarms is not None and None not in (alarms.low, alarms.high):
        return alarms
    return _usual(facts, rules, reading)


def _window(facts: Facts, low_key: str, high_key: str, reading: str, told: str) -> _Window | None:
    ends = [facts.as_set.value(key) if facts.is_stated(key) or key in facts.formulas else None
            for key in (low_key, high_key)]  # fmt: skip
    low, high = (end if isinstance(end, Fraction) else None for end in ends)
    if low is None and high is None:
        return None
    return _Window(low, high, f"{reading} {_told_ends(low_key, low, high, facts)} {told}", True)


def _told_ends(key: str, low: Fraction | None, high: Fraction | None, facts: Facts) -> str:
    unit = unit_for(key, facts, {})
    ends = [show_number(end, unit) for end in (low, high) if end is not None]
    if len(ends) == 2:
        return ends[0] if low == high else f"from {ends[0]} to {ends[1]}"
    return f"from {ends[0]}" if low is not None else f"up to {ends[0]}"


def _ordered_share(facts: Facts) -> _Window | None:
    """The oxygen share as it is ordered: what is set, what may be set, and what steps lead to."""
    axis = facts.allowed.get("FiO2")
    value = facts.as_set.value("FiO2")
    low = axis.low if isinstance(axis, Axis) else value if isinstance(value, Fraction) else None
    high = axis.high if isinstance(axis, Axis) else low
    if low is None:
        return None
    return _Window(low, high, f"FiO2 {_told_ends('FiO2', low, high, facts)} is ordered", True)


def _usual(facts: Facts, rules: RuleSet, reading: str) -> _Window | None:
    """Where a reading usually lies at rest, by the terms of the pack."""
    ends: list[Fraction] = []
    for end in ("low", "high"):
        key = own_key(_PACK, f"usual {end} {_USUAL.get(reading, reading)}")
        value = facts.as_set.value(key) if key in rules.defined else None
        if not isinstance(value, Fraction):
            return None
        ends.append(value)
    told = _told_ends(f"reading {reading}", ends[0], ends[1], facts)
    return _Window(ends[0], ends[1], f"{reading} {told} is usual", False)


def value_of(comparison: n.Comparison) -> Fraction | None:
    """A comparison's amount in base units; None where it measures something else than its reading (mL/kg)."""
    term = _reading(comparison)
    if term.form == "fraction":
        return read_fraction(comparison.amount, term.phrase)[0]
    value, unit = read_amount(comparison.amount, None, dimensions_of(term), term.phrase)
    return value if unit.dimension == (term.unit or PLAIN).dimension else None


def _reading(comparison: n.Comparison) -> Term:
    return vocabulary().terms[f"reading {comparison.reading.text}"]


# ---- steps


def _opposite_words(stated: Stated, walk: Walk) -> None:
    """``raise ... down to`` and ``lower ... up to``: the words of one line contradict each other."""
    step, term = stated.statement.body, stated.statement.term
    if not isinstance(step, n.Step) or step.limit is None or term is None:
        return
    walk.ran.add("conditions.opposite-words")
    if step.limit.word == ("down to" if term.phrase == "raise" else "up to"):
        fields = {"what": step.terms[0].text, "verb": term.phrase, "end": step.limit.word}
        walk.found.append(Found("conditions.opposite-words", stated.entry, step.limit.start, step.limit.end, fields))


def _worsens(stated: Stated, walk: Walk) -> None:
    """Alternatives of a step's condition that the step can only make worse, and none of whose readings it cures."""
    step, term = stated.statement.body, stated.statement.term
    if not isinstance(step, n.Step) or step.when is None or term is None:
        return
    way = 1 if term.phrase == "raise" else -1
    for both in step.when.either:
        moves = [(each, way * effect_of(step.terms, each.reading.text)) for each in both]
        known = [(each, move) for each, move in moves if move]
        if not known:
            continue
        walk.ran.add("conditions.step-worsens")
        if all((each.compare in _UP) == (move > 0) for each, move in known):
            each, move = known[0]
            what = f"{term.phrase} {' and '.join(phrase.text for phrase in step.terms)}"
            goes = "up" if move > 0 else "down"
            _tell("conditions.step-worsens", stated, both, walk, what=what, reading=each.reading.text, goes=goes)


def _eager(facts: Facts, rules: RuleSet, stated: Stated, walk: Walk) -> None:
    """More support while its reading is all as wanted. Less of it then is weaning, and has nothing to be said of."""
    step, term = stated.statement.body, stated.statement.term
    if not isinstance(step, n.Step) or step.when is None or term is None or term.phrase != "raise":
        return
    for both in step.when.either:
        reading, value = both[0].reading.text, value_of(both[0])
        window = window_of(facts, rules, reading)
        if len(both) > 1 or value is None or window is None or not window.is_stated:
            continue
        walk.ran.add("conditions.as-wanted")
        up = both[0].compare in _UP
        if effect_of(step.terms, reading) == (-1 if up else 1) and window.is_inside(both[0], value):
            what = f"the step of {' and '.join(phrase.text for phrase in step.terms)}"
            _tell("conditions.as-wanted", stated, both, walk, what=what, window=window.told)


def effect_of(terms: Iterable[n.Phrase], reading: str) -> int:
    """Which way raising these settings moves a reading: 1 up, -1 down, 0 where that is not told."""
    return next((_EFFECTS[each.text][reading] for each in terms if reading in _EFFECTS.get(each.text, ())), 0)


# ---- stops


def _stopped(steps: Iterable[Stated], stops: Iterable[Stated], walk: Walk) -> None:
    """A stop that holds wherever any step is due: no step is ever made."""
    due = [step.statement.body.when for step in steps if isinstance(step.statement.body, n.Step)]
    conditions = [when for when in due if when is not None]
    if not conditions or len(conditions) < len(due):
        return
    for stop in stops:
        body = stop.statement.body
        if not isinstance(body, n.Condition):
            continue
        walk.ran.add("conditions.stop-before-step")
        if all(_implies(when, body) for when in conditions):
            _tell("conditions.stop-before-step", stop, tuple(each for both in body.either for each in both), walk)


def _implies(first: n.Condition, second: n.Condition) -> bool:
    """Whether the second condition holds wherever the first does, and no later."""
    return all(any(_follows(one, two) for two in second.either) for one in first.either)


def _follows(one: Iterable[n.Comparison], two: Iterable[n.Comparison]) -> bool:
    given = list(one)
    return all(any(_covers(wanted, each) for each in given) for wanted in two)


def _covers(wanted: n.Comparison, given: n.Comparison) -> bool:
    """Whether a comparison is true wherever another of the same reading is, after no longer a time."""
    values = value_of(wanted), value_of(given)
    up = wanted.compare in _UP
    if wanted.reading.text != given.reading.text or up != (given.compare in _UP) or None in values:
        return False
    if duration_of(wanted) > duration_of(given):
        return False
    own, other = values
    assert own is not None
    assert other is not None
    strict = wanted.compare in ("above", "below") and given.compare not in ("above", "below")
    return (own < other or (own == other and not strict)) if up else (own > other or (own == other and not strict))


def duration_of(comparison: n.Comparison) -> Fraction:
    """For how long a comparison has to be true before it counts, in seconds."""
    if comparison.duration is None:
        return Fraction(0)
    return read_amount(comparison.duration, None, (TIME,), "the duration")[0]
