"""Kinds of slips in the facts of the patient."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from decimal import Decimal

from tests.slips.numbers import VALUE, fits, written
from tests.slips.sheet import Detail, Sheet, Slip
from tests.slips.signed import build_signed, height_signed
from tests.slips.slips_settings import pairs_exchanged

_BODY = (*VALUE, "patient.", "volume.", "timing.", "pressure.", "airway.", "alarms.", "humidity.", "reading.")
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


def _older(text: str, days: int) -> str:
    return (datetime.date.fromisoformat(text) + datetime.timedelta(days=days)).isoformat()


def height_weight_swapped(sheet: Sheet) -> Iterator[Slip]:
    return pairs_exchanged(sheet, "patient", (("height", "weight"),), _BODY)


def age_unit(sheet: Sheet) -> Iterator[Slip]:
    """Years for months, months for years, days for weeks."""
    swap = {
        "years": ("months", "days"),
        "months": ("years", "weeks"),
        "days": ("weeks", "months"),
        "weeks": ("months",),
    }
    for detail in sheet.find("patient", "age"):
        measure = detail.measure
        parts = [part for amount in (measure.value.amounts if measure is not None else ()) for part in amount.parts]
        if len(parts) != 1 or parts[0].unit not in swap:
            continue
        for new in swap[parts[0].unit]:
            edit = sheet.put(detail, parts[0].end - len(parts[0].unit), parts[0].end, new)
            why = "a newborn of two weeks is as likely" if parts[0].unit == "days" and new == "weeks" else ""
            tables = [each.first for each in sheet.details if each.entry.rows]
            yield sheet.edited([edit], (*fits(detail), "library.table-gap"), tables, why)


def sex_swapped(sheet: Sheet) -> Iterator[Slip]:
    """Nothing but a weight counted by it could tell, and there the other sex moves it by some 4 kg only."""
    for detail in sheet.find("patient", "sex"):
        old = detail.entry.text.split("sex", 1)[1].strip()
        if old in ("female", "male"):
            why = "a patient of the other sex and the same size is ventilated by the same order"
            new = "male" if old == "female" else "female"
            yield sheet.edited([sheet.put_word(detail, old, new)], ("patient.", "volume.", "alarms."), signed=why)


_WEIGHED = ("patient.weight-stale", "patient.weight-after-writing", "governance.dates-order")
_HALF_A_YEAR = "an adult's weight of half a year ago is used where no newer one is known"


def _weight(detail: Detail) -> Decimal:
    return Decimal(detail.exact.text) if detail.exact is not None else Decimal(0)


def weight_of_another_date(sheet: Sheet) -> Iterator[Slip]:
    """The weight is of another year, or of a day that had not come."""
    for detail in sheet.find("patient", "weight"):
        found = _DATE.search(detail.entry.text)
        if found is not None:
            for days in (-365, -200, 30):
                edit = sheet.put(detail, *found.span(), _older(found.group(), days))
                why = _HALF_A_YEAR if days == -200 and build_signed(sheet, _weight(detail)) else ""
                yield sheet.edited([edit], _WEIGHED, signed=why)


def _factors(sheet: Sheet, term: str, factors: tuple[str, ...]) -> Iterator[Slip]:
    for detail in sheet.find("patient", term):
        part = detail.exact
        if part is not None:
            for factor in factors:
                new = written((Decimal(part.text) * Decimal(factor)).quantize(Decimal("0.1")))
                why = (build_signed if term == "weight" else height_signed)(sheet, Decimal(new))
                yield sheet.edited([sheet.put(detail, part.start, part.number_end, new)], _BODY, signed=why)


def weight_of_another(sheet: Sheet) -> Iterator[Slip]:
    """A weight from another patient: a little over half, and nearly twice as much."""
    return _factors(sheet, "weight", ("0.6", "1.7"))


def height_of_another(sheet: Sheet) -> Iterator[Slip]:
    return _factors(sheet, "height", ("0.8", "1.25"))


def diagnosis_of_another(sheet: Sheet) -> Iterator[Slip]:
    """The diagnosis or the risk of another patient."""
    fitting = (*_BODY, "oxygen.", "mode.", "circuit.", "escalation.")
    related = [each.first for each in sheet.find("targets", "SpO2")]
    for detail in sheet.find("patient", "hypercapnia risk"):
        old, new = ("yes", "no") if "yes" in detail.entry.text else ("no", "yes")
        yield sheet.edited([sheet.put_word(detail, old, new)], fitting, related, _risk(sheet, new))
    for detail in sheet.find("patient", "spontaneous breathing"):
        old = detail.entry.text.split("breathing", 1)[1].strip()
        new = "present" if old == "none" else "none"
        mode = [each.first for each in sheet.find("settings", "mode", "trigger")]
        edit = sheet.put(detail, len(detail.entry.text) - len(old), len(detail.entry.text), new)
        why = (
            "a patient who takes no breath is ventilated by this mode as well"
            if new == "none" and _mandatory(sheet)
            else ""
        )
        yield sheet.edited([edit], fitting, mode, why)


def _risk(sheet: Sheet, new: str) -> str:
    """Lower targets on account of carbon dioxide are for adults, and for those who are given oxygen."""
    if new == "no":
        return ""
    ages = [part for each in sheet.find("patient", "age") for part in [each.exact] if part is not None]
    if not any(part.unit == "years" and part.number >= 18 for part in ages):
        return "a child who retains carbon dioxide is aimed at the same saturation"
    given = sheet.find("oxygen", "flow") or [
        each for each in sheet.find("settings", "FiO2") if each.exact is None or each.exact.number > 21
    ]
    return "" if given else "without oxygen the same saturation is aimed at whether carbon dioxide is retained or not"


def _mandatory(sheet: Sheet) -> bool:
    """Whether every mode of the order gives breaths by itself, through a tube."""
    modes = [each.entry.text for each in sheet.find("settings", "mode")]
    tube = any(
        word in each.entry.text for each in sheet.find("airway", "interface") for word in ("tube", "tracheostomy")
    )
    return tube and all("A/C" in mode or "SIMV" in mode or "CMV" in mode for mode in modes)


def place_of_another(sheet: Sheet) -> Iterator[Slip]:
    """Home for the ward, the ward for intensive care."""
    fitting = ("equipment.", "escalation.", "monitoring.", "transport.", "alarms.", "mode.", "governance.", "airway.",
               "humidity.", "patient.", "circuit.", "oxygen.")  # fmt: skip
    swap = {"home": "ward", "ward": "home", "intensive care": "home", "transfer": "ward"}
    for detail in sheet.find("patient", "place of care"):
        old = detail.entry.text.split("care", 1)[1].strip()
        if old in swap:
            start = len(detail.entry.text) - len(old)
            why = ""
            if (old, swap[old]) == ("home", "ward"):
                why = "the same order is carried out on a ward on the way home"
            if (old, swap[old]) == ("ward", "home") and sheet.find("patient", "hours ventilated"):
                why = "the same order is carried out at home after the ward"
            edit = sheet.put(detail, start, len(detail.entry.text), swap[old])
            slip = sheet.edited([edit], fitting, signed=why)
            yield Slip(slip.text, frozenset(), slip.before, slip.after, fitting, why)


def tube_of_another(sheet: Sheet) -> Iterator[Slip]:
    """A tube 1.5 mm and 2.5 mm larger or smaller."""
    for detail in sheet.find("airway", "tube size"):
        part = detail.exact
        for step in (Decimal("-2.5"), Decimal("-1.5"), Decimal("1.5"), Decimal("2.5")):
            if part is not None and Decimal(part.text) + step >= 2:
                new = format(Decimal(part.text) + step, ".1f")
                why = _tube(detail, sheet, step)
                yield sheet.edited([sheet.put(detail, part.start, part.number_end, new)], fits(detail), signed=why)


def _tube(detail: Detail, sheet: Sheet, step: Decimal) -> str:
    grown = any(
        part.unit == "years" and part.number >= 18
        for each in sheet.find("patient", "age")
        for part in [each.exact]
        if part
    )
    part = detail.exact
    size = Decimal(part.text) + step if part is not None else Decimal(0)
    return "adults have tubes of this size as well" if grown and Decimal(6) <= size <= Decimal(9) else ""
