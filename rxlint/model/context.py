"""What a document says beside its values: dates and signatures, periods, sentences of which there may be several.

Each is a term that rules may name; times between dates count in seconds, as every time does.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Final

from rxlint.expressions import BoolType, Item, NumberType, TextType, Type, Value, Words, WordsType
from rxlint.model.earlier import earlier_types, earlier_values
from rxlint.model.quantities import items_of
from rxlint.model.stated import Scope, Stated
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.measures import unit_of
from rxlint.notation.tree import Document
from rxlint.physiology.cylinders import contents_of_letter, full_pressure_of_letter
from rxlint.units import PRESSURE, TIME, VOLUME, WEIGHT
from rxlint.vocabulary import vocabulary

_DAY: Final = 24 * 3600
_TIMES: Final = (
    "document age", "approval age", "time to review", "time to expiry", "weight age", "time to check", "reading age",
    "reading to today", "off ventilator stage", "off ventilator limit", "period length",
)  # fmt: skip


@cache
def context_types() -> Mapping[str, Type]:
    """The types of these terms, by name."""
    types: dict[str, Type] = {name: NumberType(TIME) for name in _TIMES}
    types |= {
        "population youngest age": NumberType(TIME),
        "population oldest age": NumberType(TIME),
        "population lightest weight": NumberType(WEIGHT),
        "population heaviest weight": NumberType(WEIGHT),
        "battery time": NumberType(TIME),
        "apparatus dead space": NumberType(VOLUME),
        "document checked": TextType(),
        "checker is author": BoolType(),
        "reading change": WordsType(frozenset({"before", "after"})),
        "oxygen cylinder letter": TextType(),
        "oxygen cylinder country": WordsType(frozenset(vocabulary().tries["COUNTRY"].phrases.values())),
        "oxygen cylinder pressure": NumberType(PRESSURE),
        "oxygen cylinder full pressure": NumberType(PRESSURE),
        "pre-oxygenation moment": WordsType(frozenset({"before suction", "before and after suction"})),
        "nebuliser place": WordsType(frozenset({"patient side", "ventilator side"})),
        "nebuliser exchanger": WordsType(frozenset({"stays", "out"})),
        "nebuliser exchanger returns": BoolType(),
        "period use": WordsType(frozenset(vocabulary().periods_by_use)),
    }
    return types | dict(earlier_types())


# The statement that each of these terms comes from, so that a finding stands at its line.
HOMES: Final[Mapping[str, str]] = {
    "document age": "document written",
    "approval age": "document approved",
    "time to review": "document review by",
    "time to expiry": "document valid until",
    "weight age": "patient weight",
    "population youngest age": "patient age",
    "population oldest age": "patient age",
    "population lightest weight": "patient weight",
    "population heaviest weight": "patient weight",
    "checker is author": "document written",
    "oxygen cylinder letter": "oxygen cylinder",
    "oxygen cylinder country": "oxygen cylinder",
    "oxygen cylinder pressure": "oxygen cylinder",
    "oxygen cylinder full pressure": "oxygen cylinder",
    "pre-oxygenation moment": "oxygen pre-oxygenation",
    "nebuliser place": "nebuliser",
    "nebuliser exchanger": "nebuliser",
    "nebuliser exchanger returns": "nebuliser",
    "apparatus dead space": "assembly",
    "interface cuff": "interface",
    "interface vent": "interface",
    "trigger compensation": "trigger",
}


@dataclass(slots=True)
class Context:
    """Values by name, and names that are stated without a usable value."""

    values: dict[str, Value] = field(default_factory=dict)
    unreadable: set[str] = field(default_factory=set)


def context_of(document: Document, scope: Scope, today: datetime.date | None) -> Context:
    """The terms of this module for one scope. Without a day, what is compared with today is missing."""
    context = Context()
    for several in scope.several.values():
        for stated in several:
            if stated.key in vocabulary().terms:
                context.values.setdefault(stated.key, "stated")
    _dates(document, scope, today, context)
    _population(document, scope, context)
    _oxygen(scope, context)
    _nebuliser(scope, context)
    _assembly(scope, context)
    _battery(scope, context)
    _time_off(scope, context)
    _period(scope, context)
    return context


# ---- dates and signatures


def _dates(document: Document, scope: Scope, today: datetime.date | None, context: Context) -> None:
    written = _moment(scope.by_key.get("document written"))
    review, until = _moment(scope.by_key.get("document review by")), _moment(scope.by_key.get("document valid until"))
    checks = [
        block.heading
        for block in document.blocks_of("checked")
        if block.heading is not None and block.heading.moment is not None
    ]
    now = datetime.datetime.combine(today, datetime.time()) if today is not None else None
    values = context.values
    if now is not None:
        for name, moment, sign in (
            ("document age", written, 1),
            ("approval age", _moment(scope.by_key.get("document approved")), 1),
            ("time to review", review, -1),
            ("time to expiry", until, -1),
        ):
            if moment is not None:
                values[name] = sign * _between(_day_of(moment), now)
    weight = scope.by_key.get("patient weight")
    quantity = weight.statement.values.get("") if weight is not None else None
    if written is not None and quantity is not None and quantity.manner_date is not None:
        measured = _parse(quantity.manner_date, None)
        if measured is not None:
            values["weight age"] = _between(measured, _day_of(written))
    if checks:
        values["document checked"] = "stated"
        last = checks[-1]
        moment = _parse(last.moment.date, last.moment.time) if last.moment is not None else None
        if written is not None and moment is not None:
            values["time to check"] = _between(written, moment)
        author = signer(scope.by_key.get("document written"))
        if author is not None:
            values["checker is author"] = any(same_role(author, heading.by) for heading in checks)
    if scope.readings is not None and scope.readings.heading is not None:
        _readings(scope.readings.heading, written, now, context)
        values, unreadable = earlier_values(scope)
        context.values |= values
        context.unreadable |= unreadable


def _readings(
    heading: n.Heading, written: datetime.datetime | None, now: datetime.datetime | None, context: Context
) -> None:
    if heading.change is not None:
        context.values["reading change"] = Words(frozenset((heading.change,)))
    else:
        context.values["reading change"] = Words(frozenset(), frozenset())
    day = _parse(heading.moment.date, None) if heading.moment is not None else None
    if day is not None and now is not None:
        context.values["reading to today"] = _between(day, now)
    if heading.moment is not None and written is not None:
        moment = _parse(heading.moment.date, heading.moment.time)
        # without a time, readings of the day itself may come before or after
        if moment is not None and (heading.moment.time is not None or moment.date() != written.date()):
            context.values["reading age"] = _between(moment, written)


def _moment(stated: Stated | None) -> datetime.datetime | None:
    if stated is None or not stated.statement.readable:
        return None
    body = stated.statement.body
    moment = body.moment if isinstance(body, n.Signed) else body if isinstance(body, n.Moment) else None
    return _parse(moment.date, moment.time) if moment is not None else None


def _parse(date: str, time: str | None) -> datetime.datetime | None:
    try:
        return datetime.datetime.fromisoformat(f"{date}T{time or '00:00'}")
    except ValueError:
        return None


def _day_of(moment: datetime.datetime) -> datetime.datetime:
    return datetime.datetime.combine(moment.date(), datetime.time())


def _between(start: datetime.datetime, end: datetime.datetime) -> Fraction:
    difference = end - start
    return Fraction(difference.days * _DAY + difference.seconds)


def signer(stated: Stated | None) -> str | None:
    """The role that signed a line, where it can be told."""
    body = stated.statement.body if stated is not None else None
    return body.by if isinstance(body, n.Signed) else None


def same_role(first: str, second: str | None) -> bool:
    """Whether two signatures name one role, however they are spaced or capitalised."""
    return second is not None and " ".join(first.split()).casefold() == " ".join(second.split()).casefold()


# ---- whom a template is for


def _population(document: Document, scope: Scope, context: Context) -> None:
    """The ends of a template's ages and weights: its lightest patient is its youngest, not any of its patients."""
    if document.kind != "template":
        return
    for key, ends in (
        ("patient age", ("population youngest age", "population oldest age")),
        ("patient weight", ("population lightest weight", "population heaviest weight")),
    ):
        stated = scope.by_key.get(key)
        quantity = stated.statement.values.get("") if stated is not None else None
        if quantity is not None and quantity.kind in ("exact", "between"):
            context.values |= dict(zip(ends, (min(quantity.points), max(quantity.points)), strict=True))


# ---- oxygen


def _oxygen(scope: Scope, context: Context) -> None:
    stated = scope.by_key.get("oxygen cylinder")
    if (
        stated is not None
        and isinstance(stated.statement.body, n.Cylinder)
        and stated.statement.body.letter is not None
    ):
        body = stated.statement.body
        assert body.letter is not None
        context.values["oxygen cylinder letter"] = body.letter.text
        if body.country is not None:
            context.values["oxygen cylinder country"] = Words(frozenset((body.country,)))
        pressure = stated.statement.values.get("pressure")
        if pressure is not None:
            context.values["oxygen cylinder pressure"] = pressure.points[0]
        full = full_pressure_of_letter(body.letter.text, body.country)
        if full is not None:
            context.values["oxygen cylinder full pressure"] = Fraction(full)
        filled = float(pressure.points[0]) if pressure is not None else None
        contents = contents_of_letter(body.letter.text, body.country, filled)
        if contents is None:
            context.unreadable.add("oxygen cylinder")
        else:
            context.values["oxygen cylinder"] = Fraction(contents)
    before = scope.by_key.get("oxygen pre-oxygenation")
    if (
        before is not None
        and isinstance(before.statement.body, n.PreOxygenation)
        and before.statement.body.end is not None
    ):
        context.values["pre-oxygenation moment"] = Words(frozenset((before.statement.body.end,)))


def _nebuliser(scope: Scope, context: Context) -> None:
    stated = scope.by_key.get("nebuliser")
    if stated is None or not isinstance(stated.statement.body, n.Nebuliser):
        return
    body = stated.statement.body
    context.values["nebuliser place"] = Words(frozenset((body.place,)))
    if body.exchanger is not None:
        context.values["nebuliser exchanger"] = Words(frozenset((body.exchanger,)))
        context.values["nebuliser exchanger returns"] = body.returns or body.exchanger == "stays"


# ---- parts between the fresh gas and the patient, batteries

# Where fresh gas arrives or used gas leaves: what stands on the patient's side of the last of them is breathed again.
_FRESH: Final = frozenset({"leak port", "exhalation valve", "Y-piece"})
_SPACES: Final = frozenset(
    {
        "filter",
        "HME",
        "HME filter",
        "catheter mount",
        "flow sensor",
        "CO2 adapter",
        "closed suction",
        "nebuliser",
        "tubing",
    }
)


def _assembly(scope: Scope, context: Context) -> None:
    stated = scope.by_key.get("assembly")
    if stated is None or not isinstance(stated.statement.body, n.Items) or not stated.statement.readable:
        return
    items = items_of(stated.statement.body)
    cuts = [index for index, item in enumerate(items) if item.name in _FRESH]
    if not cuts:
        return
    behind = zip(items[cuts[-1] + 1 :], stated.statement.body.items[cuts[-1] + 1 :], strict=True)
    volumes = [_volume(item, written) for item, written in behind if item.name in _SPACES]
    known = [volume for volume in volumes if volume is not None]
    if len(known) < len(volumes):
        context.unreadable.add("apparatus dead space")
    else:
        context.values["apparatus dead space"] = sum(known, Fraction(0))


def _volume(item: Item, written: n.Item) -> Fraction | None:
    """A part's volume where it is told by one; tubing is told by its length, which says nothing of its volume."""
    unit = unit_of(written.amount.unit or "") if written.amount is not None else None
    return item.amount if unit is not None and unit.dimension == VOLUME else None


def _battery(scope: Scope, context: Context) -> None:
    times: list[Fraction] = []
    for stated in scope.several.get("equipment", ()):
        if not stated.statement.readable or not isinstance(stated.statement.body, n.Items):
            context.unreadable.add("battery time")
            return
        for item, written in zip(items_of(stated.statement.body), stated.statement.body.items, strict=True):
            if item.name not in ("battery", "external battery"):
                continue
            unit = unit_of(written.amount.unit or "") if written.amount is not None else None
            if item.amount is None or unit is None or unit.dimension != TIME:
                context.unreadable.add("battery time")
                return
            times.append(item.amount)
    if times:
        context.values["battery time"] = sum(times, Fraction(0))


# ---- time off the ventilator, periods


def _time_off(scope: Scope, context: Context) -> None:
    stages = [
        each.statement.values["duration"].points[0]
        for each in scope.several.get("stage", ())
        if "duration" in each.statement.values
    ]
    if stages:
        context.values["off ventilator stage"] = max(stages)
    limits = [
        each.statement.values["up to"].points[0]
        for each in scope.several.get("extend", ())
        if "up to" in each.statement.values
    ]
    if limits:
        context.values["off ventilator limit"] = max(limits)


def _period(scope: Scope, context: Context) -> None:
    for block in scope.blocks:
        period = block.heading.period if block.heading is not None else None
        if period is None or period_name(block) != scope.period:
            continue
        if period.use is not None:  # a period is the same whichever section it stands in
            context.values["period use"] = Words(frozenset((period.use,)))
        if block.section != "settings":
            continue
        minutes = sum(_length(window) for window in period.windows)
        if minutes:
            context.values["period length"] = Fraction(minutes * 60)


def _length(window: n.Window) -> int:
    def minute(time: str) -> int:
        return int(time[:2]) * 60 + int(time[3:])

    return (minute(window.end_time) - minute(window.start_time)) % (24 * 60)
