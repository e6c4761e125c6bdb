"""Checks a recognised body against its term: values, words in their slots, dates, amounts of sentences."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.amounts import (
    Unreadable,
    amount_hazards,
    decimals_of,
    dimensions_of,
    is_daily,
    not_understood,
    read_amount,
    read_fraction,
    read_size,
    standard_share,
)
from rxlint.notation.dates import check_date, check_moment
from rxlint.notation.events import Event
from rxlint.notation.measures import Quantity, check_plausible, read_measure
from rxlint.notation.takes import states_of
from rxlint.units import PRESSURE, RATE, TIME, VOLUME, Dimension
from rxlint.vocabulary import Term, vocabulary

Values = Mapping[str, Quantity]

_MEASURED_FORMS: Final = frozenset({"quantity", "fraction", "age", "number", "ratio"})
_CYLINDER: Final = re.compile(r"[A-Z]{1,2}[0-9]{0,2}")  # D, E, ZX, M6: letters are from several countries' standards


def check_body(section: str, term: Term | None, body: object, key: str | None) -> tuple[Values, list[Event]]:
    """The quantities of a body, by name, and what is to be said of it. Raises Unreadable where it can't be used."""
    match body:
        case n.Measure() if term is not None:
            quantity, events = read_measure(term, body)
            events += _coarse_age(term, body, quantity)
            return {"": quantity}, events
        case n.Row() if term is not None and key is not None:
            return _row(term, body, key)
        case n.State() if term is not None:
            return {}, _state(term, body)
        case n.TableHead() if term is not None:
            _check_table(term, body)
            return {}, []
        case _:
            return _other(section, term, body)


def check_heading(heading: n.Heading) -> list[Event]:
    """What is to be said of a heading: its moment and its amounts. Raises Unreadable as ``check_body``.

    Windows are left to the rules of periods, which need all of them.
    """
    if heading.moment is not None:
        check_moment(heading.moment)
    if heading.link is not None:
        _check_identifier(heading.link.id)
        _check_count(None, heading.link.revision)
    events: list[Event] = []
    if heading.delay is not None:
        read_size(heading.delay, (TIME,), "the delay")
        events += amount_hazards(heading.delay, None)
    period = heading.period
    section = vocabulary().sections.get(heading.section)
    if period is not None and section is not None and not section.periods:
        what = f"{heading.section} holds for every period"
        raise not_understood(heading.start, heading.end, what, f"{heading.section} alone")
    if period is not None and period.up_to is not None:
        _, unit = read_size(period.up_to, (TIME, Dimension()), "the time as needed")
        if unit.dimension == Dimension() and not is_daily(unit.symbol):
            raise not_understood(period.up_to.start, period.up_to.end, "the time as needed is a share", "a time a day")
        events += amount_hazards(period.up_to, None)
    return events


def _other(section: str, term: Term | None, body: object) -> tuple[Values, list[Event]]:
    match body:
        case n.Words() if term is not None:
            _check_slots(term, body)
        case n.Items():
            return {}, _check_items(section, term, body)
        case n.After() if term is not None:
            return _amounts({"": (body.amount, dimensions_of(term))}, term)
        case n.Cylinder() if term is not None:
            return _cylinder(term, body)
        case n.PreOxygenation() if term is not None:
            return _pre_oxygenation(term, body)
        case n.Nebuliser() if term is not None:
            return _amounts({"duration": (body.duration, (TIME,))}, term)
        case n.Moment():
            check_moment(body)
        case n.Signed():
            check_moment(body.moment)
        case n.Part():
            _check_count(term, body)
        case n.Link():
            _check_identifier(body.id)
            _check_count(None, body.revision)
        case n.Phrase() if term is not None and term.form == "identifier":
            _check_identifier(body)
        case _:
            return _sentence(term, body)
    return {}, []


def _check_identifier(name: n.Phrase) -> None:
    """A question mark or a dash stands for a name that was not known: it names no document."""
    if not name.text.strip("?-_"):
        raise not_understood(name.start, name.end, f'"{name.text}" names no document', "an identifier, such as TM-9001")


def _sentence(term: Term | None, body: object) -> tuple[Values, list[Event]]:
    match body:
        case n.Step():
            return _step(body)
        case n.Condition():
            return {}, _condition(body)
        case n.Call():
            return {}, _condition(body.when) if body.when else []
        case n.Gases():
            return _amounts({str(index): (amount, (TIME,)) for index, amount in enumerate(body.at)}, term)
        case n.Stage():
            return _amounts({"duration": (body.duration, (TIME,)), "times": (body.times, (RATE,))}, term, zero=False)
        case n.Extend():
            wanted = {"by": (body.by, (TIME,)), "every": (body.every, (TIME,)), "up to": (body.up_to, (TIME,))}
            return _amounts(wanted, term, zero=False)
        case n.Accept():
            return _accept(body)
    return {}, []


def _amounts(
    wanted: Mapping[str, tuple[n.Amount | None, tuple[Dimension, ...]]], term: Term | None, *, zero: bool = True
) -> tuple[Values, list[Event]]:
    found: dict[str, Quantity] = {}
    events: list[Event] = []
    for name, (amount, dimensions) in wanted.items():
        if amount is None:
            continue
        base, unit = read_size(amount, dimensions, term.phrase if term else name or "the amount", zero=zero)
        if term is not None and name == "":
            check_plausible(term, amount, base, unit)
        found[name] = Quantity("exact", (base,), unit, decimals_of(amount.parts[0].text))
        events += amount_hazards(amount, None)
    return found, events


def _state(term: Term, body: n.State) -> list[Event]:
    """``start`` and ``end`` of 0 stand for the term's own place: a state's word has none."""
    words = states_of(term)
    if body.word not in words:
        expected = " or ".join(words) or "a value; what is not used is left out"
        raise not_understood(0, 0, f"{term.phrase} can't be {body.word}", expected)
    if body.word != "off" or (body.because is not None and body.because.strip()):
        return []
    return [Event("reader.off-without-reason", 0, 0, {"what": term.phrase})]


def _check_table(term: Term, body: n.TableHead) -> None:
    if body.key.text == term.key:
        raise not_understood(body.key.start, body.key.end, f"{term.phrase} by itself", "another term to go by")
    if term.kind == "measured":
        raise not_understood(body.key.start, body.key.end, f"{term.phrase} is a reading", "one value")


def _coarse_age(term: Term, body: n.Measure, quantity: Quantity) -> list[Event]:
    """Under two years, whole years alone say too little: 1 year may be 12 months or 23."""
    parts = body.value.amounts[0].parts
    if term.key != "patient age" or quantity.kind != "exact" or len(parts) > 1 or (parts[0].unit or "")[:4] != "year":
        return []
    if parts[0].number >= 2:
        return []
    told = f"{parts[0].text} {parts[0].unit}"
    return [Event("reader.age-coarse", body.value.start, body.value.end, {"age": told})]


def _row(term: Term, row: n.Row, key: str) -> tuple[Values, list[Event]]:
    by = vocabulary().terms[key]
    quantity, events = read_measure(term, row.measure)
    fallback = next((amount.unit for amount in reversed(row.key.amounts) if amount.unit), None)
    values = {"": quantity}
    for index, amount in enumerate(row.key.amounts):
        if by.form == "fraction" and fallback is None:
            base, unit = read_fraction(amount, by.phrase)
        else:
            base, unit = read_amount(amount, fallback, dimensions_of(by), by.phrase, standard_share(by))
        check_plausible(by, amount, base, unit)
        events += amount_hazards(amount, None)
        values[f"key {index}"] = Quantity("exact", (base,), unit, decimals_of(amount.parts[0].text))
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
                raise not_understood(word.start, word.end, what, f"one {term.slots[slot].name}")
            seen[slot] = word
        if not term.many and 0 not in seen:
            options = ", ".join(term.slots[0].words)
            first = words[0]
            raise not_understood(first.start, words[-1].end, f"{first.text} needs its {term.slots[0].name}", options)


def _check_items(section: str, term: Term | None, body: n.Items) -> list[Event]:
    words = vocabulary()
    allowed = words.items[term.items if term is not None and term.items else section]
    dimensions = tuple(dict.fromkeys(unit.dimension for unit in allowed.units))
    events: list[Event] = []
    for item in body.items:
        if item.amount is not None:
            if not dimensions:
                expected = "the item alone"
                raise not_understood(item.amount.start, item.amount.end, f"{item.name} has no amount", expected)
            read_size(item.amount, dimensions, item.name)
            events += amount_hazards(item.amount, None)
    return events


def _cylinder(term: Term, body: n.Cylinder) -> tuple[Values, list[Event]]:
    letter = body.letter
    if letter is not None and not _CYLINDER.fullmatch(letter.text):
        expected = "its contents in litres, or its letter such as D"
        raise not_understood(letter.start, letter.end, f"{letter.text} is no cylinder", expected)
    values, events = _amounts({"contents": (body.contents, (VOLUME,)), "pressure": (body.pressure, (PRESSURE,))}, term)
    if body.contents is not None:
        check_plausible(term, body.contents, values["contents"].points[0], values["contents"].unit)
    return values, events


def _pre_oxygenation(term: Term, body: n.PreOxygenation) -> tuple[Values, list[Event]]:
    fraction, unit = read_fraction(body.fraction, term.phrase)
    check_plausible(term, body.fraction, fraction, unit)
    values, events = _amounts({"duration": (body.duration, (TIME,))}, term)
    return {"": Quantity("exact", (fraction,), unit, 0), **values}, events


def _check_count(term: Term | None, part: n.Part) -> None:
    if not part.text.isdigit() or part.number < 1:
        what = term.phrase if term is not None else "a revision"
        raise not_understood(
            part.start, part.end, f"{part.text} is not a whole number from 1", f"{what} as a whole number"
        )


def _step(body: n.Step) -> tuple[Values, list[Event]]:
    terms = [vocabulary().terms[phrase.text] for phrase in body.terms]
    values: dict[str, Quantity] = {}
    events: list[Event] = []
    limit = body.limit.amount if body.limit else None
    for term in terms:  # the second moves by the same step, so it must fit it
        values["step"] = _of_term(body.step, term)
    if body.every is not None:
        base, unit = read_size(body.every, (TIME,), "the time between steps", zero=False)
        values["every"] = Quantity("exact", (base,), unit, decimals_of(body.every.parts[0].text))
        events += amount_hazards(body.every, None)
    if body.limit is not None and limit is not None:
        values["limit"] = _limit(body.limit, terms[0])
        events += amount_hazards(limit, terms[0].decimals)
    events += amount_hazards(body.step, terms[0].decimals)
    if body.when is not None:
        events += _condition(body.when)
    return values, events


def _limit(limit: n.Limit, term: Term) -> Quantity:
    if limit.reference is not None and term.reference not in ("stated", "ambient", "PEEP"):
        fields = {"what": term.phrase, "stated": f"above {limit.reference}", "needed": "no reference"}
        raise Unreadable(Event("reader.reference-mismatch", limit.start, limit.end, fields))
    found = _of_term(limit.amount, term)
    check_plausible(term, limit.amount, found.points[0], found.unit)
    return Quantity("exact", found.points, found.unit, found.decimals, limit.reference)


def _of_term(amount: n.Amount, term: Term) -> Quantity:
    """An amount of a term without what else its value would need."""
    if term.form == "fraction":
        base, unit = read_fraction(amount, term.phrase)
    else:
        base, unit = read_amount(amount, None, dimensions_of(term), term.phrase, standard_share(term))
    return Quantity("exact", (base,), unit, decimals_of(amount.parts[0].text))


def _accept(body: n.Accept) -> tuple[Values, list[Event]]:
    """An acceptance's date, and the value that was accepted, read as the term's own line would be."""
    if body.until is not None:
        check_date(body.until.text, body.until.start, body.until.end)
    if body.value is None or body.term is None:
        return {}, []
    amount, qualifier = body.value.amount, body.value.qualifier
    term = next((each for each in _terms_called(body.term.text) if each.form in _MEASURED_FORMS), None)
    if term is None:
        raise not_understood(amount.start, amount.end, f"{body.term.text} has no amount", "the term alone")
    end = qualifier.end if qualifier is not None else amount.end
    value = n.Value("exact", (amount,), amount.start, amount.end)
    qualifiers = (qualifier,) if qualifier is not None else ()
    quantity, events = read_measure(term, n.Measure(value, qualifiers, None, None, amount.start, end))
    return {"accepted": quantity}, events


def _terms_called(phrase: str) -> Iterable[Term]:
    """The terms of all sections that are called so; in an acceptance a term stands without its section."""
    words = vocabulary()
    homes = (words.sections[name] for name in words.sections_with(phrase))
    return (home.terms[home.trie.phrases[phrase]] for home in homes)


def _condition(condition: n.Condition) -> list[Event]:
    events: list[Event] = []
    readings = vocabulary().sections["readings"].terms
    comparisons: Iterable[n.Comparison] = (each for both in condition.either for each in both)
    for comparison in comparisons:
        term = readings[comparison.reading.text]
        found = _of_term(comparison.amount, term)
        check_plausible(term, comparison.amount, found.points[0], found.unit)
        events += amount_hazards(comparison.amount, None)
        if comparison.duration is not None:
            read_size(comparison.duration, (TIME,), "the duration", zero=False)
            events += amount_hazards(comparison.duration, None)
    return events
