"""Checks a recognised body against its term: values, words in their slots, dates, amounts of sentences."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping

from rxlint.notation import nodes as n
from rxlint.notation.events import Event
from rxlint.notation.measures import (
    Quantity,
    Unreadable,
    amount_hazards,
    dimensions_of,
    read_amount,
    read_fraction,
    read_measure,
)
from rxlint.units import Dimension, Unit, find_unit
from rxlint.vocabulary import Term, vocabulary


def _unit(symbol: str) -> Unit:
    unit = find_unit(symbol)
    assert unit is not None
    return unit


_TIME = _unit("s").dimension
_PRESSURE = _unit("cmH2O").dimension
_VOLUME = _unit("L").dimension
_FRACTION = Dimension()
_COUNT_A_DAY = _unit("times/day").dimension


def check_body(section: str, term: Term | None, body: object, key: str | None) -> tuple[Mapping[str, Quantity], list[Event]]:
    """The quantities of a body, by name, and what is to be said of it. Raises Unreadable where it can't be used."""
    if isinstance(body, n.Measure) and term is not None:
        quantity, events = read_measure(term, body)
        return {"": quantity}, events
    if isinstance(body, n.Row) and term is not None and key is not None:
        return _row(term, body, key)
    if isinstance(body, n.State):
        return {}, _off_without_reason(term, body)
    return _other(section, term, body)


def _other(section: str, term: Term | None, body: object) -> tuple[Mapping[str, Quantity], list[Event]]:
    match body:
        case n.Words() if term is not None:
            _check_slots(term, body)
            return {}, []
        case n.Items():
            return {}, _check_items(section, term, body)
        case n.After() if term is not None:
            return _amounts({"": (body.amount, dimensions_of(term))}, term)
        case n.Cylinder() if term is not None:
            return _amounts({"contents": (body.contents, (_VOLUME,)), "pressure": (body.pressure, (_PRESSURE,))}, term)
        case n.PreOxygenation() if term is not None:
            return _pre_oxygenation(term, body)
        case n.Nebuliser() if term is not None:
            return _amounts({"duration": (body.duration, (_TIME,))}, term)
        case n.Moment() | n.Signed():
            _check_date(body if isinstance(body, n.Moment) else body.moment)
            return {}, []
        case n.Part() | n.Link():
            _check_count(term, body if isinstance(body, n.Part) else body.revision)
            return {}, []
        case _:
            return _sentence(term, body)


def _sentence(term: Term | None, body: object) -> tuple[Mapping[str, Quantity], list[Event]]:
    match body:
        case n.Step():
            return _step(body)
        case n.Condition():
            return {}, _condition(body)
        case n.Call():
            return {}, _condition(body.when) if body.when else []
        case n.Gases():
            return _amounts({str(index): (amount, (_TIME,)) for index, amount in enumerate(body.at)}, term)
        case n.Stage():
            return _amounts({"duration": (body.duration, (_TIME,)), "times": (body.times, (_COUNT_A_DAY,))}, term)
        case n.Extend():
            return _amounts({"by": (body.by, (_TIME,)), "every": (body.every, (_TIME,)), "up to": (body.up_to, (_TIME,))}, term)
        case n.Accept():
            if body.until is not None:
                _check_date(n.Moment(body.until.text, None, body.until.start, body.until.end))
            return {}, []
        case _:
            return {}, []


def _amounts(
    wanted: Mapping[str, tuple[n.Amount | None, tuple[Dimension, ...]]], term: Term | None
) -> tuple[Mapping[str, Quantity], list[Event]]:
    found: dict[str, Quantity] = {}
    events: list[Event] = []
    for name, (amount, dimensions) in wanted.items():
        if amount is not None:
            base, unit = read_amount(amount, None, dimensions, term.phrase if term else name)
            if term is not None and name == "" and term.plausible is not None:
                low, high = term.plausible
                if not low <= base <= high:
                    measure = n.Measure(n.Value("exact", (amount,), amount.start, amount.end), (), None, None, amount.start, amount.end)
                    read_measure(term, measure)
            found[name] = Quantity("exact", (base,), unit, len(amount.parts[0].text.partition(".")[2]))
            events += amount_hazards(amount, None)
    return found, events


def _off_without_reason(term: Term | None, body: n.State) -> list[Event]:
    if body.word != "off" or body.because is not None or term is None:
        return []
    return [Event("reader.off-without-reason", body.start, body.end, {"what": term.phrase})]


def _row(term: Term, row: n.Row, key: str) -> tuple[Mapping[str, Quantity], list[Event]]:
    by = vocabulary().terms[key]
    quantity, events = read_measure(term, row.measure)
    fallback = next((amount.unit for amount in reversed(row.key.amounts) if amount.unit), None)
    values = {"": quantity}
    for index, amount in enumerate(row.key.amounts):
        if by.form == "fraction":
            base, unit = read_fraction(amount, by.phrase)
        else:
            base, unit = read_amount(amount, fallback, dimensions_of(by), by.phrase)
        values[f"key {index}"] = Quantity("exact", (base,), unit, len(amount.parts[0].text.partition(".")[2]))
    if row.key.kind == "between" and values["key 0"].points[0] >= values["key 1"].points[0]:
        fields = {"what": by.phrase, "low": row.key.amounts[0].parts[0].text, "high": row.key.amounts[1].parts[0].text}
        raise Unreadable(Event("reader.reversed-range", row.key.start, row.key.end, fields))
    return values, events


def _check_slots(term: Term, body: n.Words) -> None:
    order = {word: index for index, slot in enumerate(term.slots) for word in slot.words}
    for words in body.alternatives:
        seen: dict[int, n.Phrase] = {}
        for word in words:
            slot = order[word.text]
            if slot in seen and not term.many:
                what = f"{seen[slot].text} and {word.text} exclude each other"
                raise Unreadable(
                    Event("reader.not-understood", word.start, word.end, {"what": what, "expected": f"one {term.slots[slot].name}"})
                )
            seen[slot] = word
    if not term.many and all(0 not in {order[word.text] for word in words} for words in body.alternatives):
        first = body.alternatives[0][0]
        options = ", ".join(term.slots[0].words)
        raise Unreadable(
            Event("reader.not-understood", first.start, first.end, {"what": f"{term.phrase} needs its kind first", "expected": options})
        )


def _check_items(section: str, term: Term | None, body: n.Items) -> list[Event]:
    words = vocabulary()
    allowed = words.items[term.items if term is not None and term.items else section]
    dimensions = tuple(dict.fromkeys(unit.dimension for unit in allowed.units))
    events: list[Event] = []
    for item in body.items:
        if item.amount is not None:
            read_amount(item.amount, None, dimensions, item.name)
            events += amount_hazards(item.amount, None)
    return events


def _pre_oxygenation(term: Term, body: n.PreOxygenation) -> tuple[Mapping[str, Quantity], list[Event]]:
    fraction, unit = read_fraction(body.fraction, term.phrase)
    values, events = _amounts({"duration": (body.duration, (_TIME,))}, term)
    return {"": Quantity("exact", (fraction,), unit, 0), **values}, events


def _check_date(moment: n.Moment) -> None:
    try:
        datetime.date.fromisoformat(moment.date)
        if moment.time is not None:
            datetime.time.fromisoformat(moment.time)
    except ValueError:
        what = f"{moment.date} {moment.time}" if moment.time else moment.date
        fields = {"what": f"{what} is not a date of the calendar", "expected": "year-month-day such as 2026-11-02"}
        raise Unreadable(Event("reader.not-understood", moment.start, moment.end, fields)) from None


def _check_count(term: Term | None, part: n.Part) -> None:
    if part.number.denominator != 1 or part.number < 1:
        what = term.phrase if term is not None else "a count"
        fields = {"what": f"{part.text} is not a whole number from 1", "expected": f"{what} as a whole number"}
        raise Unreadable(Event("reader.not-understood", part.start, part.end, fields))


def _step(body: n.Step) -> tuple[Mapping[str, Quantity], list[Event]]:
    terms = [vocabulary().terms[phrase.text] for phrase in body.terms]
    dimensions = dimensions_of(terms[0])
    values: dict[str, Quantity] = {}
    events: list[Event] = []
    parts: Iterable[tuple[str, n.Amount | None, tuple[Dimension, ...]]] = (
        ("step", body.step, dimensions),
        ("every", body.every, (_TIME,)),
        ("limit", body.limit.amount if body.limit else None, dimensions),
    )
    for name, amount, allowed in parts:
        if amount is None:
            continue
        if terms[0].form == "fraction" and name != "every":
            base, unit = read_fraction(amount, terms[0].phrase)
        else:
            base, unit = read_amount(amount, None, allowed, terms[0].phrase)
        reference = body.limit.reference if name == "limit" and body.limit else None
        values[name] = Quantity("exact", (base,), unit, len(amount.parts[0].text.partition(".")[2]), reference)
        events += amount_hazards(amount, terms[0].decimals if name != "every" else None)
    if body.when is not None:
        events += _condition(body.when)
    return values, events


def _condition(condition: n.Condition) -> list[Event]:
    events: list[Event] = []
    readings = vocabulary().sections["readings"].terms
    for comparison in (each for both in condition.either for each in both):
        term = readings[comparison.reading.text]
        if term.form == "fraction":
            read_fraction(comparison.amount, term.phrase)
        else:
            read_amount(comparison.amount, None, dimensions_of(term), term.phrase)
        if comparison.duration is not None:
            read_amount(comparison.duration, None, (_TIME,), "the duration")
        events += amount_hazards(comparison.amount, None)
    return events
