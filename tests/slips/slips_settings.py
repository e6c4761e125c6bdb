"""Kinds of slips in the settings: a pressure or a time changed alone, two exchanged, a mode changed alone."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from tests.slips.numbers import VALUE, written
from tests.slips.sheet import Detail, Edit, Sheet, Slip
from tests.slips.signed import signed

_LEVELS = (
    *VALUE,
    "pressure.",
    "relation.",
    "alarms.",
    "volume.",
    "titration.",
    "mode.",
    "target.",
    "reading.",
    "timing.",
)
_TIMES = (
    *VALUE,
    "timing.",
    "alarms.",
    "volume.",
    "relation.",
    "mode.",
    "target.",
    "reading.",
    "pressure.rise-time-long",
)
_MODES = ("A/C-PC", "A/C-VC", "SIMV-PC with PS", "CSV-PS", "CPAP", "S/T-PS")
_STEPS = (2, 4)


def set_to(sheet: Sheet, detail: Detail, new: str) -> Edit | None:
    """The edit that sets another number, where one number is set."""
    part = detail.exact
    return sheet.put(detail, part.start, part.number_end, new) if part is not None else None


def moved(sheet: Sheet, detail: Detail, new: Decimal, fitting: tuple[str, ...], why: str = "") -> Iterator[Slip]:
    edit = set_to(sheet, detail, written(new))
    if edit is not None and new > 0:
        yield sheet.edited([edit], fitting, partners(sheet, detail), why)


def partners(sheet: Sheet, detail: Detail) -> list[int]:
    """The lines that would have had to move with a level: the others of its section, and the alarms on pressure."""
    terms = ("PEEP", "EPAP", "IPAP", "inspiratory pressure", "pressure support", "keep")
    alarms = ("low inspiratory pressure", "high inspiratory pressure", "low PEEP")
    return [each.first for each in [*sheet.beside(detail, *terms), *sheet.find("alarms", *alarms)]]


def _value(detail: Detail) -> Decimal:
    assert detail.exact is not None
    return Decimal(detail.exact.text)


def _baseline(sheet: Sheet, sign: int) -> Iterator[Slip]:
    for detail in sheet.find("settings", "PEEP", "EPAP"):
        if detail.exact is None or detail.is_row:
            continue
        for step in _STEPS:
            why = (
                ""
                if _tied(sheet, detail) or step > 2
                else "no other line is tied to the baseline, and a step of 2 leaves breaths in use"
            )
            yield from moved(sheet, detail, _value(detail) + sign * step, _LEVELS, why)


def _tied(sheet: Sheet, detail: Detail) -> bool:
    """Whether another line says the same a second time, so that one of the two must be wrong."""
    terms = {each.term for each in sheet.beside(detail, "IPAP", "inspiratory pressure", "pressure support", "keep")}
    return "keep" in terms or ("pressure support" in terms and len(terms) > 1)


def baseline_raised(sheet: Sheet) -> Iterator[Slip]:
    """PEEP or EPAP goes up by 2 or 4, and everything else stays."""
    return _baseline(sheet, 1)


def baseline_lowered(sheet: Sheet) -> Iterator[Slip]:
    return _baseline(sheet, -1)


def keep_lost_and_baseline_moved(sheet: Sheet) -> Iterator[Slip]:
    """The relation is struck out, and PEEP is moved without its partners."""
    for keep in sheet.find("settings", "keep"):
        for detail in sheet.beside(keep, "PEEP", "EPAP"):
            for step in (-2, 2, 4):
                edit = set_to(sheet, detail, written(_value(detail) + step)) if detail.exact is not None else None
                if edit is not None:
                    gone = Edit(keep.first, 0, len(sheet.lines[keep.first - 1]), "")
                    yield sheet.edited([edit, gone], _LEVELS, partners(sheet, detail))


def support_changed(sheet: Sheet) -> Iterator[Slip]:
    """Pressure support is changed by 4 and the pressure of mandatory breaths is left."""
    for detail in sheet.find("settings", "pressure support"):
        if detail.exact is not None:
            others = sheet.beside(detail, "IPAP", "inspiratory pressure", "keep")
            why = "" if others else "supported breaths stand alone in this mode, and no other line moves with them"
            yield from moved(sheet, detail, _value(detail) + 4, _LEVELS, why)
            yield from moved(sheet, detail, _value(detail) - 4, _LEVELS, why)


def relation_altered(sheet: Sheet) -> Iterator[Slip]:
    """A sign or a comparison of a relation is turned round."""
    swap = {" - ": " + ", " + ": " - ", " >= ": " <= ", " = ": " >= "}
    for detail in sheet.find("settings", "keep"):
        related = partners(sheet, detail)
        for old, new in swap.items():
            if old in detail.entry.text:
                yield sheet.edited([sheet.put_word(detail, old, new)], ("relation.", "alarms.", "pressure."), related)


def _exchanged(sheet: Sheet, one: Detail, other: Detail, fitting: tuple[str, ...]) -> Iterator[Slip]:
    """Two numbers in each other's line; ranges exchange their whole stretch before the unit."""
    spans = [_span(each) for each in (one, other)]
    texts = [each.stretch(*span) for each, span in zip((one, other), spans, strict=True)]
    if texts[0] != texts[1]:
        edits = [sheet.put(one, *spans[0], texts[1]), sheet.put(other, *spans[1], texts[0])]
        yield sheet.edited(edits, fitting, signed=_both_signed(one, other, *texts))


def _both_signed(one: Detail, other: Detail, first: str, second: str) -> str:
    """Why both lines would be signed with each other's number."""
    if one.exact is None or other.exact is None:
        return ""
    whys = [signed(one, first, second), signed(other, second, first)]
    return " and ".join(whys) if all(whys) else ""


def _span(detail: Detail) -> tuple[int, int]:
    measure = detail.measure
    if measure is not None:
        return measure.value.amounts[0].parts[0].start, measure.value.amounts[-1].parts[-1].number_end
    text = detail.entry.text
    start = next(index for index, letter in enumerate(text) if letter.isdigit())
    end = next((index for index in range(start, len(text)) if text[index] not in "0123456789."), len(text))
    return start, end


def pairs_exchanged(
    sheet: Sheet, section: str, pairs: tuple[tuple[str, str], ...], fitting: tuple[str, ...]
) -> Iterator[Slip]:
    for first, second in pairs:
        for one in sheet.find(section, first):
            for other in sheet.beside(one, second):
                plain = one.entry.rows == () and other.entry.rows == () and not one.is_row and not other.is_row
                if plain and _numeric(one) and _numeric(other):
                    yield from _exchanged(sheet, one, other, fitting)


def _numeric(detail: Detail) -> bool:
    return any(letter.isdigit() for letter in detail.entry.text.split("#")[0].replace("SpO2", "").replace("CO2", ""))


def levels_swapped(sheet: Sheet) -> Iterator[Slip]:
    pairs = (("EPAP", "IPAP"), ("PEEP", "inspiratory pressure"), ("PEEP", "pressure support"),
             ("minimum inspiratory pressure", "maximum inspiratory pressure"))  # fmt: skip
    return pairs_exchanged(sheet, "settings", pairs, _LEVELS)


def lines_exchanged(sheet: Sheet) -> Iterator[Slip]:
    """Neighbouring numbers of one screen: rate and PEEP, pressure and support, sensitivity and time."""
    pairs = (("PEEP", "rate"), ("inspiratory pressure", "rate"), ("inspiratory pressure", "pressure support"),
             ("inspiratory time", "trigger sensitivity"), ("rate", "FiO2"), ("IPAP", "back-up rate"),
             ("EPAP", "back-up rate"))  # fmt: skip
    return pairs_exchanged(sheet, "settings", pairs, (*_LEVELS, *_TIMES, "oxygen."))


def times_swapped(sheet: Sheet) -> Iterator[Slip]:
    pairs = (("minimum inspiratory time", "maximum inspiratory time"), ("inspiratory time", "inspiratory pause"),
             ("inspiratory time", "maximum inspiratory time"),
             ("inspiratory time", "minimum inspiratory time"))  # fmt: skip
    return pairs_exchanged(sheet, "settings", pairs, _TIMES)


def ratio_reversed(sheet: Sheet) -> Iterator[Slip]:
    for detail in sheet.find("settings", "I:E"):
        span = detail.entry.text.split("#")[0].rstrip()
        start = span.rindex(" ") + 1
        first, second = span[start:].split(":")
        yield sheet.edited([sheet.put(detail, start, len(span), f"{second}:{first}")], _TIMES)


def ratio_left(sheet: Sheet) -> Iterator[Slip]:
    """The rate is changed and the ratio, or the inspiratory time, is kept: halved, raised by half, doubled."""
    for detail in sheet.find("settings", "rate", "back-up rate"):
        if detail.exact is None:
            continue
        times = sheet.beside(detail, "inspiratory time", "I:E", "maximum inspiratory time")
        for factor in (Decimal("0.5"), Decimal("1.5"), Decimal(2)):
            new = (_value(detail) * factor).to_integral_value()
            edit = set_to(sheet, detail, written(new))
            if edit is not None:
                related = [each.first for each in [*times, *sheet.find("alarms", "high rate", "low minute volume")]]
                yield sheet.edited([edit], (*_TIMES, "mode."), related)


def time_of_another(sheet: Sheet) -> Iterator[Slip]:
    """An inspiratory time from another patient: half and twice as long."""
    for detail in [*sheet.find("settings", "inspiratory time"), *sheet.find("back-up", "inspiratory time")]:
        if detail.exact is not None:
            for factor in (Decimal("0.5"), Decimal(2)):
                yield from moved(sheet, detail, _value(detail) * factor, _TIMES)


def volume_of_another(sheet: Sheet) -> Iterator[Slip]:
    """A volume from another patient: half, and half as much again."""
    for detail in [*sheet.find("settings", "tidal volume", "volume target"), *sheet.find("back-up", "tidal volume")]:
        if detail.exact is not None:
            for factor in (Decimal("0.5"), Decimal("1.5")):
                yield from moved(sheet, detail, _value(detail) * factor, (*_LEVELS, "timing."))


def mode_changed(sheet: Sheet) -> Iterator[Slip]:
    """The mode is changed and the settings of the old one are left."""
    for detail in sheet.find("settings", "mode"):
        old = detail.entry.text.split("#")[0].split("mode", 1)[1].strip()
        for new in _MODES:
            if new != old:
                settings = [each.first for each in sheet.beside(detail)]
                fitting = ("mode.", "pressure.", "timing.", "volume.", "alarms.", "relation.", "airway.")
                yield sheet.edited([sheet.put_word(detail, old, new)], fitting, [*settings, sheet.heading(detail)])


def trigger_lost(sheet: Sheet) -> Iterator[Slip]:
    """The trigger of a patient who breathes is set to none, or the compensation for leak is lost."""
    for detail in sheet.find("settings", "trigger"):
        if "flow, leak-compensated" in detail.entry.text:
            edit = sheet.put_word(detail, "flow, leak-compensated", "flow")
            yield sheet.edited(
                [edit], ("timing.", "mode.", "circuit."), signed="many ventilators compensate without being asked"
            )
        if "flow" in detail.entry.text:
            edit = sheet.put(
                detail, detail.entry.text.index("flow"), len(detail.entry.text.split("#")[0].rstrip()), "none"
            )
            related = [each.first for each in sheet.beside(detail, "mode", "trigger sensitivity")]
            yield sheet.edited([edit], ("timing.", "mode."), related)


def allowed_left_behind(sheet: Sheet) -> Iterator[Slip]:
    """What is set is moved beyond what may be set, as by somebody who looks at one of the two only."""
    for detail in sheet.find("settings"):
        measure = detail.measure
        if measure is None or measure.allow is None or detail.exact is None or detail.is_row:
            continue
        ends = [Decimal(amount.parts[0].text) for amount in measure.allow.amounts]
        unit = Decimal(1) if "." not in detail.exact.text else Decimal("0.1")
        for new in {max(ends) + unit, min(ends) - unit}:
            yield from moved(sheet, detail, new, VALUE)
