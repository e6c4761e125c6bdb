"""Titrations: steps without end, condition, progress or measurement; ends out of range; steps that oppose."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Final

from rxlint.expressions import Missing, nodes, number
from rxlint.model.facts import Facts
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import dimensions_of, read_amount, read_fraction
from rxlint.screening.breaches import walk_steps, walk_together
from rxlint.screening.ranges import leaves_range
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.steps import Course, course_of, end_of, farthest_start, moved_key, own_axis, quantity_of
from rxlint.screening.values import show_number, unit_for
from rxlint.screening.walks import Found, Walk
from rxlint.vocabulary import vocabulary

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
    courses: list[Course] = []
    told: set[str] = set()
    for stated in steps:
        walk.ran |= {"titration.no-limit", "titration.no-condition", "titration.unmeasured"}
        _sentence(facts, stated, walk)
        course = _sound_course(facts, stated, walk)
        if course is not None:
            courses.append(course)
            told |= walk_steps(facts, course, rules, walk)
    if len(steps) > 1:
        walk.ran.add("titration.contradiction")
        _contradictions(steps, walk)
    walk_together(facts, courses, rules, frozenset(told), walk)


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
        by = ", and ".join(dict.fromkeys(" or ".join(_MEASURED_BY[each]) for each in missing))
        walk.whole("titration.unmeasured", stated.entry, what=what, reading=" and ".join(missing), by=by)


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


# ---- the end


def _sound_course(facts: Facts, stated: Stated, walk: Walk) -> Course | None:
    """A titration to walk; None where there is something to say of its end, or where it begins is not known."""
    step = stated.statement.body
    assert isinstance(step, n.Step)
    if "step" not in stated.statement.values or _is_elsewhere(facts, step.terms[0].text):
        return None
    if not _reference_fits(facts, step):
        for event in ("titration.no-progress", "titration.leaves-range", "titration.breaks-rule"):
            walk.unsure[event] = "the end is not above what its setting is above"
        return None
    walk.ran.add("titration.no-progress")
    if _stands_still(facts, stated, walk) or step.limit is None:
        return None
    walk.ran.add("titration.leaves-range")
    course = course_of(facts, stated)
    if leaves_range(facts, stated, course, walk):
        return None
    if course is None:
        _unset(facts, step, walk)
    return course


def _is_elsewhere(facts: Facts, key: str) -> bool:
    """Whether a term is set, and not in this band: its steps are walked from where it is."""
    band = facts.band
    return band is not None and band.is_elsewhere and key in band.keys and band.keys[key].as_set is None


def _unset(facts: Facts, step: n.Step, walk: Walk) -> None:
    """Steps from what is a range: each lies in what is allowed, and rules judge all of that, if nothing moves along."""
    key = step.terms[0].text
    defined = {each.target for each in facts.relations.definitions if not each.circular}
    if own_axis(facts, key) is not None and all(phrase.text in defined for phrase in step.terms[1:]):
        walk.ran |= {"titration.breaks-rule", "titration.crosses-alarm"}
        return
    for event in ("titration.breaks-rule", "titration.crosses-alarm"):
        walk.unsure[event] = f"{key} has no set value to start from"


def _reference_fits(facts: Facts, step: n.Step) -> bool:
    """Whether the end is above what the first term is above; where it is not, another rule speaks."""
    if step.limit is None:
        return True
    key, told = step.terms[0].text, step.limit.reference
    needed = vocabulary().terms[key].reference
    if needed != "stated":
        return told is None or told == needed
    quantity = quantity_of(facts, key)
    return told is not None and (quantity is None or quantity.reference in (None, told))


def _stands_still(facts: Facts, stated: Stated, walk: Walk) -> bool:
    """Whether the step is nothing, or leads away from the end; then it is found. A range starts at its own far end."""
    step, size = stated.statement.body, stated.statement.values["step"]
    assert isinstance(step, n.Step)
    name = step.terms[0].text
    key = moved_key(facts, name, size)
    sign = 1 if stated.statement.term is not None and stated.statement.term.phrase == "raise" else -1
    start, limit = number(nodes.Name(key, key), facts.as_set), end_of(facts, stated)
    axis = own_axis(facts, name)
    if isinstance(start, Missing) and axis is not None and axis.key == key and not axis.options:
        start = axis.low if sign > 0 else axis.high
    if start == limit and isinstance(start, Fraction):  # back to where it was set, from where other steps have taken it
        start = farthest_start(facts, stated, key, start)
    behind = limit is not None and isinstance(start, Fraction) and (limit - start) * sign <= 0
    if size.points[0] > 0 and not behind:
        return False
    unit = unit_for(key, facts, {})
    walk.whole(
        "titration.no-progress",
        stated.entry,
        what=name,
        step=show_number(size.points[0], size.unit),
        start=show_number(start, unit, name) if isinstance(start, Fraction) else "what is set",
        limit=show_number(limit, unit, name) if limit is not None else "its end",
    )
    return True


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


__all__ = ["can_both_hold", "is_measured", "readings_of", "walk_titrations"]
