"""Where steps take a term against what its own line allows."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from rxlint.model.facts import AS_WRITTEN, Facts
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.screening.steps import (
    MOST_STEPS,
    Course,
    Values,
    end_of,
    environment_of,
    moved_key,
    own_axis,
    quantity_of,
    walk_course,
)
from rxlint.screening.values import show_number, unit_for
from rxlint.screening.walks import Found, Walk
from rxlint.vocabulary import vocabulary

Bounds = tuple[Fraction, Fraction]


def leaves_range(facts: Facts, stated: Stated, course: Course | None, walk: Walk) -> bool:
    """Whether steps take a term, or what moves along with it, outside what its own line allows; then it is found.

    Without a course, where the start is a range, only the end is known and looked at.
    """
    for count, key, value in _reached(facts, stated, course, walk):
        bounds = bounds_of(facts, key)
        if bounds is None or bounds[0] <= value <= bounds[1]:
            continue
        _tell(facts, stated, course, (count, key, value), bounds, walk)
        return True
    return False


def _reached(
    facts: Facts, stated: Stated, course: Course | None, walk: Walk
) -> Iterator[tuple[int | None, str, Fraction]]:
    """What each step makes of each key, with the number of the step."""
    if course is None:
        step, end = stated.statement.body, end_of(facts, stated)
        assert isinstance(step, n.Step)
        if end is not None:
            yield None, moved_key(facts, step.terms[0].text, stated.statement.values["step"]), end
        return
    told = any(found.name == "relations.leaves-range" for found in walk.found)
    for count, values in enumerate(walk_course(course), 1):
        yield from ((count, key, values[key]) for key in course.keys)
        if course.is_kept_along and not told:
            yield from ((count, key, value) for key, value in _kept(facts, values))
        if count >= MOST_STEPS:
            return


def _kept(facts: Facts, values: Values) -> Iterator[tuple[str, Fraction]]:
    """The kept terms at a state, as they are written."""
    found = environment_of(facts, values)
    if found is None:
        return
    here, environment = found
    for each in here.relations.definitions:
        if each.target is not None and not each.circular and each.target not in values:
            value = environment.value(each.target)
            if isinstance(value, Fraction):
                yield each.target, as_written(here, each.target, value)


def _tell(
    facts: Facts,
    stated: Stated,
    course: Course | None,
    reached: tuple[int | None, str, Fraction],
    bounds: Bounds,
    walk: Walk,
) -> None:
    count, key, value = reached
    name = key.removesuffix(AS_WRITTEN)
    if course is not None and key in course.keys:
        value = course.starts[key] + course.limit - course.starts[course.keys[0]]
    quantity, setting = quantity_of(facts, name), facts.stated(name)
    unit = quantity.unit if quantity is not None and quantity.basis is None else unit_for(key, facts, {})
    fields = {
        "what": name,
        "step": f" (outside from step {count} on)" if count is not None else "",
        "limit": show_number(value, unit, name),
        "allowed": f"{show_number(bounds[0], unit, name)} to {show_number(bounds[1], unit, name)}",
    }
    related = ((setting.entry, f"{name} is stated here"),) if setting is not None else ()
    entry = stated.entry
    walk.found.append(Found("titration.leaves-range", entry, entry.indent, len(entry.text.rstrip()), fields, related))


def bounds_of(facts: Facts, key: str) -> Bounds | None:
    """The ends of what a term's own line allows, in the terms of a key: as written, or a volume as a volume."""
    axis, quantity = own_axis(facts, key), quantity_of(facts, key)
    if axis is None or quantity is None:
        return None
    if quantity.basis is None or axis.key == key:
        return axis.low, axis.high
    ends = [facts.as_set.with_value(axis.key, end).value(key) for end in (axis.low, axis.high)]
    return (ends[0], ends[1]) if isinstance(ends[0], Fraction) and isinstance(ends[1], Fraction) else None


def as_written(facts: Facts, key: str, value: Fraction) -> Fraction:
    """A value of a term above what its line is above."""
    quantity, baseline = quantity_of(facts, key), facts.as_set.value("baseline")
    above = quantity is not None and quantity.reference == "PEEP" and vocabulary().terms[key].reference == "stated"
    return value - baseline if above and isinstance(baseline, Fraction) else value
