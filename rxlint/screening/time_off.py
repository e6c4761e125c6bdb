"""Time off the ventilator: stages that no day holds, extensions that overshoot or never arrive, names of no period."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from rxlint.model.facts import Facts
from rxlint.model.names import own_key
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.values import show_number, time_unit
from rxlint.screening.walks import Walk

EVENTS: Final = ("weaning.beyond-a-day", "weaning.extend-size", "weaning.return-unknown")
_DAY: Final = Fraction(24 * 60 * 60)


def walk_time_off(facts: Facts, rules: RuleSet, walk: Walk) -> None:
    """Everything there is to say of the time off of one scope."""
    for stated in facts.scope.several.get("stage", ()):
        _beyond_a_day(stated, walk)
    for stated in facts.scope.several.get("extend", ()):
        _extends(facts, rules, stated, walk)
    _returns(facts, walk)


def _beyond_a_day(stated: Stated, walk: Walk) -> None:
    """Whether what is to be spent off the ventilator each day is more than a day has."""
    if not {"duration"} <= stated.statement.values.keys():
        return
    walk.ran.add("weaning.beyond-a-day")
    duration = stated.statement.values["duration"].points[0]
    times = stated.statement.values.get("times")
    total = duration * times.points[0] * _DAY if times is not None else duration
    _told_day(total, stated, walk)


def _told_day(total: Fraction, stated: Stated, walk: Walk) -> None:
    if total > _DAY:
        walk.whole("weaning.beyond-a-day", stated.entry, total=show_number(total, time_unit(_DAY / 2)))


def _extends(facts: Facts, rules: RuleSet, stated: Stated, walk: Walk) -> None:
    values = stated.statement.values
    if "up to" in values:
        walk.ran.add("weaning.beyond-a-day")
        _told_day(values["up to"].points[0], stated, walk)
    if "by" not in values:
        return
    walk.ran.add("weaning.extend-size")
    by, end = values["by"], values["up to"].points[0] if "up to" in values else None
    why = next(_reasons(facts, rules, by.points[0], end), "")
    if why:
        walk.whole("weaning.extend-size", stated.entry, by=show_number(by.points[0], by.unit), why=why)


def _reasons(facts: Facts, rules: RuleSet, by: Fraction, end: Fraction | None) -> Iterator[str]:
    start = facts.as_set.value("off ventilator stage")
    if end is not None and isinstance(start, Fraction) and 0 < end - start < by:
        yield f"the whole way to its end is {show_number(end - start, time_unit(end - start))}"
    key = own_key("weaning", "shortest extension")
    least = facts.as_set.value(key) if key in rules.defined else None
    unaided = facts.as_set.value("patient unaided up to")
    # who is safe alone for a few minutes only grows by minutes
    if isinstance(least, Fraction) and isinstance(unaided, Fraction) and unaided < least:
        return
    if isinstance(least, Fraction) and by < least:
        yield f"{show_number(least, time_unit(least))} or more is usual"


def _returns(facts: Facts, walk: Walk) -> None:
    """Whether the settings to return to are any of the order's."""
    stated = facts.stated("off ventilator return to")
    body = stated.statement.body if stated is not None else None
    settings = facts.document.blocks_of("settings")
    if stated is None or not isinstance(body, n.Phrase) or not settings:
        return
    names = {name.casefold() for name in map(period_name, settings) if name is not None}
    if not names:
        return
    walk.ran.add("weaning.return-unknown")
    if body.text.casefold() not in names:
        known = ", ".join(sorted(names))
        walk.whole("weaning.return-unknown", stated.entry, settings=body.text, known=known)
