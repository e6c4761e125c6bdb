"""Titrations: steps without end, condition or measurement; ends out of range; the step at which something breaks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Final

from rxlint.expressions import Axis, Missing, at_point, condition, decide, nodes, number
from rxlint.model.facts import AS_WRITTEN, Facts, SetEnvironment
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity, dimensions_of, read_amount, read_fraction
from rxlint.packs import Rule
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.values import Teller, show_number, unit_for
from rxlint.screening.walks import BUDGET, Found, Walk
from rxlint.vocabulary import vocabulary

MOST_STEPS: Final = 500
"""A titration with more steps than this is not walked to its end; it is then not checked."""

# What measures a reading: an item of monitoring or equipment, of the assembly, or the ventilator. Common practice.
_MEASURED_BY: Final[Mapping[str, tuple[str, ...]]] = {
    "SpO2": ("pulse oximeter",),
    "heart rate": ("pulse oximeter", "ECG"),
    "EtCO2": ("capnograph", "CO2 adapter"),
    "PaCO2": ("blood gas analyser", "arterial line", "transcutaneous CO2"),
    "PaO2": ("blood gas analyser", "arterial line"),
    "pH": ("blood gas analyser", "arterial line"),
    "FiO2": ("oxygen analyser",),
}


def walk_titrations(facts: Facts, rules: RuleSet, walk: Walk) -> None:
    """Everything there is to say of the steps of one scope."""
    steps = [
        each
        for each in facts.scope.several.get("raise", ())
        if isinstance(each.statement.body, n.Step) and each.statement.readable
    ]
    for stated in steps:
        walk.ran |= {"titration.no-limit", "titration.no-condition", "titration.unmeasured"}
        _sentence(facts, stated, walk)
        _walk_one(facts, stated, rules, walk)
    if len(steps) > 1:
        walk.ran.add("titration.contradiction")
        _contradictions(steps, walk)


def _sentence(facts: Facts, stated: Stated, walk: Walk) -> None:
    step = stated.statement.body
    assert isinstance(step, n.Step)
    what = " and ".join(phrase.text for phrase in step.terms)
    if step.limit is None:
        walk.whole("titration.no-limit", stated.entry, what=what)
    if step.when is None:
        walk.whole("titration.no-condition", stated.entry, what=what)
        return
    missing = sorted({reading for reading in readings_of(step.when) if not is_measured(reading, facts)})
    if missing:
        walk.whole("titration.unmeasured", stated.entry, what=what, reading=" and ".join(missing),
                   by=" or ".join(_MEASURED_BY[missing[0]]))  # fmt: skip


def readings_of(when: n.Condition) -> Iterator[str]:
    """The readings a condition names."""
    for both in when.either:
        for comparison in both:
            yield comparison.reading.text


def is_measured(reading: str, facts: Facts) -> bool:
    """Whether something in assembly, monitoring, equipment or the ventilator itself measures a reading."""
    needed = _MEASURED_BY.get(reading)
    if needed is None or {"monitoring", "equipment", "circuit", "escalation"} & facts.scope.unsure:
        return True
    for key in ("monitoring", "equipment", "assembly", "expiratory limb"):
        if key in facts.unreadable:
            return True
        items = facts.constants.get(key)
        if isinstance(items, tuple) and any(item.name in needed for item in items):
            return True
    return reading in ("PaCO2", "PaO2", "pH") and facts.is_stated("escalation gases")


# ---- the walk


def _walk_one(facts: Facts, stated: Stated, rules: RuleSet, walk: Walk) -> None:
    step = stated.statement.body
    assert isinstance(step, n.Step)
    key = step.terms[0].text
    size = stated.statement.values.get("step")
    if size is None:
        return
    sign = 1 if stated.statement.term is not None and stated.statement.term.phrase == "raise" else -1
    if not _reference_fits(facts, step):
        for event in ("titration.no-progress", "titration.leaves-range", "titration.breaks-rule"):
            walk.unsure[event] = "the end is not above what its setting is above"
        return
    walk.ran.add("titration.no-progress")
    limit = _limit(facts, stated, key)
    start = number(nodes.Name(key, key), facts.as_set)
    if _stands_still(facts, stated, start, limit, sign, walk) or step.limit is None:
        return
    walk.ran.add("titration.leaves-range")
    if _leaves_range(facts, stated, step, start, walk):
        return
    if isinstance(start, Fraction) and limit is not None:
        walk.ran.add("titration.breaks-rule")
        _breaks(facts, stated, step, (start, size.points[0] * sign, limit), rules, walk)
    elif _own_axis(facts, key) is not None and len(step.terms) == 1:
        walk.ran.add("titration.breaks-rule")  # each step lies in what is allowed, and rules judge all of that
    else:
        walk.unsure["titration.breaks-rule"] = f"{key} has no set value to start from"


def _reference_fits(facts: Facts, step: n.Step) -> bool:
    """Whether the end is above what the first term is above; where it is not, another rule speaks."""
    if step.limit is None:
        return True
    key, told = step.terms[0].text, step.limit.reference
    needed = vocabulary().terms[key].reference
    if needed != "stated":
        return told is None or told == needed
    quantity = _quantity(facts, key)
    return told is not None and (quantity is None or quantity.reference in (None, told))


def _limit(facts: Facts, stated: Stated, key: str) -> Fraction | None:
    """The end of a titration as a value of its term: one above PEEP counts from the baseline."""
    quantity = stated.statement.values.get("limit")
    if quantity is None:
        return None
    if quantity.reference == "PEEP" and vocabulary().terms[key].reference == "stated":
        baseline = facts.as_set.value("baseline")
        return quantity.points[0] + baseline if isinstance(baseline, Fraction) else None
    return quantity.points[0]


def _stands_still(
    facts: Facts, stated: Stated, start: Fraction | Missing, limit: Fraction | None, sign: int, walk: Walk
) -> bool:
    """Whether the step is nothing, or leads away from the end; then it is found. A range starts at its own far end."""
    step, size = stated.statement.body, stated.statement.values["step"]
    assert isinstance(step, n.Step)
    key = step.terms[0].text
    axis = _own_axis(facts, key)
    if isinstance(start, Missing) and axis is not None and axis.key == key and not axis.options:
        start = axis.low if sign > 0 else axis.high
    behind = limit is not None and isinstance(start, Fraction) and (limit - start) * sign <= 0
    if size.points[0] > 0 and not behind:
        return False
    unit = unit_for(key, facts, {})
    walk.whole(
        "titration.no-progress",
        stated.entry,
        what=key,
        step=show_number(size.points[0], size.unit),
        start=show_number(start, unit, key) if isinstance(start, Fraction) else "what is set",
        limit=show_number(limit, unit, key) if limit is not None else "its end",
    )
    return True


# ---- the end against what a term's own line allows


def _leaves_range(facts: Facts, stated: Stated, step: n.Step, start: Fraction | Missing, walk: Walk) -> bool:
    """Whether the end, or what a coupled term comes to there, lies outside what the term's own line allows."""
    key = step.terms[0].text
    limit = stated.statement.values["limit"]
    defined = {each.target for each in facts.relations.definitions}
    ends = [(key, limit.points[0])]
    reached = _limit(facts, stated, key)
    for other in step.terms[1:]:
        now = number(nodes.Name(other.text, other.text), facts.as_set)
        if (
            isinstance(now, Fraction)
            and isinstance(start, Fraction)
            and reached is not None
            and other.text not in defined
        ):
            ends.append((other.text, _as_written(facts, other.text, now + reached - start)))
    for name, end in ends:
        bounds = _bounds(facts, name)
        if bounds is None or bounds[0] <= end <= bounds[1]:
            continue
        quantity, setting = _quantity(facts, name), facts.stated(name)
        unit = quantity.unit if quantity is not None and quantity.basis is None else unit_for(name, facts, {})
        fields = {
            "what": name,
            "limit": show_number(end, unit, name),
            "allowed": f"{show_number(bounds[0], unit, name)} to {show_number(bounds[1], unit, name)}",
        }
        related = ((setting.entry, f"{name} is stated here"),) if setting is not None else ()
        entry = stated.entry
        end_column = len(entry.text.rstrip())
        walk.found.append(Found("titration.leaves-range", entry, entry.indent, end_column, fields, related))
        return True
    return False


def _quantity(facts: Facts, key: str) -> Quantity | None:
    """What a term's line says, or the row of its table that holds here."""
    stated = facts.stated(key)
    own = stated.statement.values.get("") if stated is not None else None
    return own if own is not None or facts.band is None else facts.band.rows.get(key)


def _own_axis(facts: Facts, key: str) -> Axis | None:
    """What a term's own line allows, as it is written there."""
    return facts.axes.get(key + AS_WRITTEN) or facts.axes.get(key)


def _bounds(facts: Facts, key: str) -> tuple[Fraction, Fraction] | None:
    """The ends of what a term's own line allows: a pressure above what it is written above, a volume as a volume."""
    axis, quantity = _own_axis(facts, key), _quantity(facts, key)
    if axis is None or quantity is None:
        return None
    if quantity.basis is None:
        return axis.low, axis.high
    ends = [facts.as_set.with_value(axis.key, end).value(key) for end in (axis.low, axis.high)]
    return (ends[0], ends[1]) if isinstance(ends[0], Fraction) and isinstance(ends[1], Fraction) else None


def _as_written(facts: Facts, key: str, value: Fraction) -> Fraction:
    """A value of a term above what its line is above."""
    quantity, baseline = _quantity(facts, key), facts.as_set.value("baseline")
    above = quantity is not None and quantity.reference == "PEEP" and vocabulary().terms[key].reference == "stated"
    return value - baseline if above and isinstance(baseline, Fraction) else value


# ---- step by step


def _breaks(
    facts: Facts, stated: Stated, step: n.Step, course: tuple[Fraction, Fraction, Fraction], rules: RuleSet, walk: Walk
) -> None:
    """The first step at which a relation or a rule that may reject, sound at the start, is broken."""
    start, size, limit = course
    key = step.terms[0].text
    watched = [
        each.rule
        for each in rules.rules
        if "reject" in _levels(each.rule) and not each.uses_readings and _is_met(each.rule, facts.as_set)
    ]
    kept = [relation for relation in facts.relations.readable if relation.whole is not None and not relation.circular]
    kept = [relation for relation in kept if condition(relation.whole, facts.as_set) is True]  # type: ignore[arg-type]
    teller = Teller(facts, rules.packs[0].names, dict(rules.defined))
    for count, values in enumerate(_steps(facts, step, start, size, limit), 1):
        environment = SetEnvironment(facts, values)
        unit = unit_for(key, facts, {})
        told = show_number(values[key], unit, key)
        for relation in kept:
            if relation.target in (None, key) and condition(relation.whole, environment) is False:  # type: ignore[arg-type]
                _tell(stated, walk, key, count, told, f"keep {relation.text}", "the order's own relation")
                return
        for rule in watched:
            assert rule.require is not None
            if (
                at_point(rule.when, rule.require, environment).outcome == "broken"
                and _level_there(rule, environment) == "reject"
                and not _speaks_anyway(rule, facts)
            ):
                teller.names = next(pack.names for pack in rules.packs if pack.name == rule.pack)
                _tell(stated, walk, key, count, told, rule.id, teller.message(rule.say, environment))
                return
        if count >= MOST_STEPS:
            walk.unsure["titration.breaks-rule"] = f"more than {MOST_STEPS} steps"
            return


def _steps(
    facts: Facts, step: n.Step, start: Fraction, size: Fraction, limit: Fraction
) -> Iterator[dict[str, Fraction]]:
    """The values at each step: start + n x step exactly, the last at the limit. Coupled and kept terms move along."""
    others = {phrase.text: number(nodes.Name(phrase.text, phrase.text), facts.as_set) for phrase in step.terms[1:]}
    kept = {
        each.target: each.node for each in facts.relations.definitions if each.target is not None and not each.circular
    }
    count = 0
    while True:
        count += 1
        value = start + count * size
        last = (limit - value) * (1 if size > 0 else -1) <= 0
        value = limit if last else value
        values = {step.terms[0].text: value}
        for key, other in others.items():
            if isinstance(other, Fraction) and key not in kept:
                values[key] = other + (value - start)
        environment = SetEnvironment(facts, values)
        for key, node in kept.items():
            moved = number(node, environment) if node is not None and key not in values else None
            if isinstance(moved, Fraction):
                values[key] = moved
        yield values
        if last:
            return


def _levels(rule: Rule) -> set[str]:
    return {rule.bounded(rule.level), *(rule.bounded(each.level) for each in rule.stricter)}


def _level_there(rule: Rule, environment: SetEnvironment) -> str:
    if rule.bounded(rule.level) == "reject" or any(
        rule.bounded(each.level) == "reject" and condition(each.when, environment) is True for each in rule.stricter
    ):
        return "reject"
    return rule.level


def _is_met(rule: Rule, environment: SetEnvironment) -> bool:
    return rule.require is not None and at_point(rule.when, rule.require, environment).outcome in (
        "met",
        "does not apply",
    )


def _speaks_anyway(rule: Rule, facts: Facts) -> bool:
    """Whether a rule finds by itself that something allowed breaks it: one slip, one finding."""
    assert rule.require is not None
    return not rule.as_set_only and decide(rule.when, rule.require, facts.space, BUDGET).outcome in (
        "can break", "broken everywhere",
    )  # fmt: skip


def _tell(stated: Stated, walk: Walk, key: str, count: int, value: str, rule: str, message: str) -> None:
    fields = {"what": key, "step": str(count), "value": value, "rule": rule, "message": message}
    entry = stated.entry
    walk.found.append(Found("titration.breaks-rule", entry, entry.indent, len(entry.text.rstrip()), fields))


# ---- two at once


def _contradictions(steps: Iterable[Stated], walk: Walk) -> None:
    """Two steps of one term in opposite directions whose conditions can both hold."""
    listed = list(steps)
    for index, first in enumerate(listed):
        for second in listed[index + 1 :]:
            one, two = first.statement.body, second.statement.body
            assert isinstance(one, n.Step)
            assert isinstance(two, n.Step)
            if (
                first.statement.term is None
                or second.statement.term is None
                or first.statement.term.phrase == second.statement.term.phrase
            ):
                continue
            shared = {phrase.text for phrase in one.terms} & {phrase.text for phrase in two.terms}
            if not shared or one.when is None or two.when is None or not can_both_hold(one.when, two.when):
                continue
            fields = {"what": " and ".join(sorted(shared)), "first": str(first.entry.lines[0].number)}
            entry = second.entry
            related = ((first.entry, "the opposite step stands here"),)
            walk.found.append(
                Found("titration.contradiction", entry, entry.indent, len(entry.text.rstrip()), fields, related)
            )


def can_both_hold(first: n.Condition, second: n.Condition) -> bool:
    """Whether some readings satisfy both conditions. Readings count as free of one another."""
    return any(_consistent((*one, *two)) for one in first.either for two in second.either)


def _consistent(comparisons: Iterable[n.Comparison]) -> bool:
    bounds: dict[str, tuple[Fraction | None, bool, Fraction | None, bool]] = {}
    for comparison in comparisons:
        term = vocabulary().terms[f"reading {comparison.reading.text}"]
        if term.form == "fraction":
            value = read_fraction(comparison.amount, term.phrase)[0]
        else:
            value = read_amount(comparison.amount, None, dimensions_of(term), term.phrase)[0]
        low, low_open, high, high_open = bounds.get(term.key, (None, False, None, False))
        strict = comparison.compare in ("above", "below")
        if comparison.compare in ("above", "at least"):
            if low is None or value > low or (value == low and strict):
                low, low_open = value, strict
        elif high is None or value < high or (value == high and strict):
            high, high_open = value, strict
        bounds[term.key] = low, low_open, high, high_open
    return all(
        low is None or high is None or low < high or (low == high and not low_open and not high_open)
        for low, low_open, high, high_open in bounds.values()
    )


__all__ = ["AS_WRITTEN", "can_both_hold", "is_measured", "readings_of", "walk_titrations"]
