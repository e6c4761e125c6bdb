"""Kinds of slips in a number, its unit or what it counts from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rxlint.notation import nodes as n
from tests.slips.numbers import VALUE, fits, parts_of, shifted, swapped_digits
from tests.slips.sheet import Detail, Edit, Sheet, Slip
from tests.slips.signed import body_signed, signed, unit_signed

# These sections have kinds of their own, or a number there is told elsewhere.
_OWN = ("readings", "titration", "escalation", "head")
_UNIT = ("notation.unit-mismatch", "notation.unit-missing", "notation.unit-discouraged", "notation.unknown-word")
_BASES = ("predicted weight", "measured weight", "ideal weight", "estimated weight")


def numbers(sheet: Sheet, *sections: str) -> Iterator[tuple[Detail, n.Part]]:
    """Every number of these sections, or of all that have no kind of their own; a bleed-in flow has one too."""
    for detail in sheet.details:
        wanted = detail.section in sections if sections else detail.section not in _OWN
        if wanted and (detail.section, detail.term) != ("oxygen", "flow"):
            for part in parts_of(detail):
                yield detail, part


def changed_number(sheet: Sheet, detail: Detail, part: n.Part, new: str, *more: Edit) -> Slip:
    edit = sheet.put(detail, part.start, part.number_end, new)
    why = body_signed(sheet, detail, part, new) or signed(detail, part.text, new)
    return sheet.edited([edit, *more], fits(detail), plan(sheet, detail), why)


def plan(sheet: Sheet, detail: Detail) -> list[int]:
    """The other lines of a plan for time off, which is told as one: its stages, how they grow, its heading."""
    if detail.section != "off ventilator":
        return []
    return [sheet.heading(detail), *(each.first for each in sheet.beside(detail))]


def _tenfold(sheet: Sheet, places: int, *sections: str) -> Iterator[Slip]:
    for detail, part in numbers(sheet, *sections):
        if part.number:
            yield changed_number(sheet, detail, part, shifted(part.text, places))


def tenfold_up(sheet: Sheet) -> Iterator[Slip]:
    """A point lost, or a zero too many."""
    return _tenfold(sheet, 1)


def tenfold_down(sheet: Sheet) -> Iterator[Slip]:
    """A point in the wrong place, or a zero lost."""
    return _tenfold(sheet, -1)


def digits_swapped(sheet: Sheet) -> Iterator[Slip]:
    for detail, part in numbers(sheet):
        for new in swapped_digits(part.text):
            yield changed_number(sheet, detail, part, new)


def reading_tenfold(sheet: Sheet) -> Iterator[Slip]:
    yield from _tenfold(sheet, 1, "readings")
    yield from _tenfold(sheet, -1, "readings")


def reading_digits(sheet: Sheet) -> Iterator[Slip]:
    for detail, part in numbers(sheet, "readings"):
        for new in swapped_digits(part.text):
            yield changed_number(sheet, detail, part, new)


def bleed_in_tenfold(sheet: Sheet) -> Iterator[Slip]:
    for detail in sheet.find("oxygen", "flow"):
        for part in parts_of(detail):
            yield changed_number(sheet, detail, part, shifted(part.text, 1))
            yield changed_number(sheet, detail, part, shifted(part.text, -1))


def rate_digit_lost(sheet: Sheet) -> Iterator[Slip]:
    """One of the two digits of a set rate is not typed."""
    for detail in [*sheet.find("settings", "rate", "back-up rate"), *sheet.find("back-up", "rate")]:
        measure = detail.measure
        amounts = measure.value.amounts if measure is not None else ()
        for part in (part for amount in amounts for part in amount.parts if len(part.text) == 2):
            for kept in dict.fromkeys(part.text):
                if kept != "0":
                    yield changed_number(sheet, detail, part, kept)


def _units(sheet: Sheet, swaps: Mapping[str, tuple[str, ...]]) -> Iterator[Slip]:
    """Each unit swapped where it stands, the number kept. A unit that stands once binds the whole range."""
    for detail in sheet.details:
        for part in parts_of(detail):
            if part.unit is not None and part.unit in swaps and part.end > part.number_end:
                for new in swaps[part.unit]:
                    start = part.end - len(part.unit)
                    edit = sheet.put(detail, start, part.end, new)
                    yield sheet.edited([edit], (*_UNIT, *fits(detail)), signed=unit_signed(detail, part, new))


def unit_of_pressure(sheet: Sheet) -> Iterator[Slip]:
    """mbar is left out: it is the same pressure to two hundredths, and no slip."""
    return _units(sheet, {"cmH2O": ("kPa", "mmHg")})


def unit_of_tension(sheet: Sheet) -> Iterator[Slip]:
    return _units(sheet, {"kPa": ("mmHg",)})


def unit_of_volume(sheet: Sheet) -> Iterator[Slip]:
    return _units(sheet, {"mL": ("L",), "L": ("mL",), "mL/kg": ("mL", "mL/kg/min"), "mL/kg/min": ("mL/kg",)})


def unit_of_flow(sheet: Sheet) -> Iterator[Slip]:
    return _units(sheet, {"L/min": ("mL/min",)})


def unit_of_time(sheet: Sheet) -> Iterator[Slip]:
    """Seconds, minutes, hours and thousandths for one another."""
    swaps = {"s": ("min",), "min": ("h",), "ms": ("s",), "h": ("min",), "h/day": ("min/day",), "/min": ("/h",)}
    return _units(sheet, swaps)


def unit_of_body(sheet: Sheet) -> Iterator[Slip]:
    return _units(sheet, {"kg": ("g", "lb"), "cm": ("mm", "in")})


def percent_for_fraction(sheet: Sheet) -> Iterator[Slip]:
    """40 % becomes 0.4 % or a bare 40."""
    for detail in sheet.details:
        measure = detail.measure
        if "FiO2" not in detail.term or measure is None:
            continue
        for part in parts_of(detail):
            if part.unit == "%" and part.end > part.number_end:
                new = shifted(part.text, -2)
                yield sheet.edited([sheet.put(detail, part.start, part.number_end, new)], fits(detail))
                yield sheet.edited([sheet.put(detail, part.number_end, part.end, "")], (*_UNIT, *fits(detail)))


def weight_basis(sheet: Sheet) -> Iterator[Slip]:
    """Another weight after a value per kilogram."""
    for detail in sheet.details:
        qualifier = detail.measure.qualifier("basis") if detail.measure is not None else None
        if qualifier is None:
            continue
        written = detail.stretch(qualifier.start, qualifier.end)
        prefix = "of " if written.startswith("of ") else ""
        for base in _BASES:
            if base not in written:
                edit = sheet.put(detail, qualifier.start, qualifier.end, f"{prefix}{base}")
                why = _same_kilograms(sheet, base)
                yield sheet.edited([edit], ("volume.", "patient.", "alarms.", "target."), signed=why)


def _same_kilograms(sheet: Sheet, base: str) -> str:
    """An adult with no more and no less weight than predicted is ventilated by either."""
    adult = any(part.unit == "years" and part.number >= 18 for part in _parts(sheet, "patient", "age"))
    if base in ("predicted weight", "measured weight") and adult:
        return "both weights are about the same in this adult, and either is in use"
    return ""


def _parts(sheet: Sheet, section: str, term: str) -> Iterator[n.Part]:
    for detail in sheet.find(section, term):
        yield from parts_of(detail)


def weight_basis_lost(sheet: Sheet) -> Iterator[Slip]:
    for detail in sheet.details:
        qualifier = detail.measure.qualifier("basis") if detail.measure is not None else None
        if qualifier is not None:
            start = detail.entry.text.rindex(" of ", 0, qualifier.end)
            edit = sheet.put(detail, start, qualifier.end, "")
            yield sheet.edited([edit], ("volume.basis-missing", *VALUE))


def reference_swapped(sheet: Sheet) -> Iterator[Slip]:
    """Above ambient for above PEEP, and the other way round: settings, ends of steps, and what may be set."""
    swap = {"above ambient": "above PEEP", "above PEEP": "above ambient"}
    fitting = ("pressure.", "relation.", "alarms.", "titration.", "volume.", "notation.not-understood", "target.")
    for detail in sheet.details:
        for old, new in swap.items():
            if old in detail.entry.text:
                related = [each.first for each in sheet.beside(detail, "pressure support", "inspiratory pressure")]
                why = _lone_reference(sheet, detail)
                yield sheet.edited([sheet.put_word(detail, old, new)], fitting, related, why)


def _lone_reference(sheet: Sheet, detail: Detail) -> str:
    """A pressure of mandatory breaths alone: both references make breaths in use, and no other line tells which."""
    others = ("pressure support", "keep", "minimum inspiratory pressure", "maximum inspiratory pressure")
    pressures = [*sheet.find("settings", "inspiratory pressure"), *sheet.find("back-up", "inspiratory pressure")]
    lone = len(pressures) == 1 and not sheet.beside(detail, *others) and not sheet.find("titration", "raise")
    if detail.term == "inspiratory pressure" and lone:
        return "no other line tells which of the two is meant, and both make a breath in use"
    return ""


def reference_lost(sheet: Sheet) -> Iterator[Slip]:
    fitting = ("pressure.reference-missing", "pressure.limit-reference")
    for detail in sheet.details:
        for old in (" above ambient", " above PEEP"):
            if old in detail.entry.text:
                why = ""
                if detail.term in ("pressure support", "raise", "lower"):
                    why = "this pressure has one reference by definition, and it need not be repeated"
                yield sheet.edited([sheet.put_word(detail, old, "")], fitting, signed=why)
