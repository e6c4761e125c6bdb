"""Values that would be signed as well: which other numbers in a line make an order that nobody could tell from a slip.

A factor range says how far a number may move, up or down, with the rest of the order as it is, before a clinician who
has nothing but the document would stop at it. Common practice, no published source. The study marks a slip by it only
where the changed text gives no finding at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from rxlint.notation import nodes as n
from tests.slips.sheet import Detail, Sheet

_COMFORT = "is set by the patient's comfort, and this value is in use as well"
_LIMIT = "is set with a margin that differs from one ward to the next, and this limit is in use as well"
_WINDOW = "is a window of one's own choice, and this one is aimed at as well"
_BODY = "is as likely in a patient of this kind"
_STORE = "is another filling of a cylinder in use"
_FREE = "may be left to the staff in this range as well"

_FACTORS: Mapping[tuple[str, str], tuple[str, str, str]] = {
    ("patient", "age"): ("0.75", "1.35", _BODY),
    ("patient", "height"): ("0.92", "1.08", _BODY),
    ("patient", "weight"): ("0.8", "1.25", _BODY),
    ("patient", "unaided up to"): ("0.5", "2", _BODY),
    ("patient", "hours ventilated"): ("0.9", "1.1", "is an estimate of the hours of use"),
    ("patient", "compliance"): ("0.7", "1.4", _BODY),
    ("patient", "resistance"): ("0.5", "2", _BODY),
    ("airway", "cuff pressure"): ("0.8", "1.2", _LIMIT),
    ("circuit", "leak port flow"): ("0.7", "1.4", "is the leak of another port in use"),
    ("settings", "rise time"): ("0.4", "2", _COMFORT),
    ("settings", "trigger sensitivity"): ("0.5", "2.1", _COMFORT),
    ("settings", "cycle-off"): ("0.6", "1.6", _COMFORT),
    ("settings", "gas flow"): ("0.8", "1.2", _COMFORT),
    ("settings", "FiO2"): ("0.7", "1.6", "is found by the saturation, and this one is in use as well"),
    ("settings", "inspiratory time"): ("0.76", "1.25", _COMFORT),
    ("settings", "inspiratory pressure"): ("0.87", "1.13", "is found by the volume, and this one is in use as well"),
    ("settings", "IPAP"): ("0.87", "1.13", "is found by the volume, and this one is in use as well"),
    ("settings", "minimum inspiratory time"): ("0.6", "1.3", _COMFORT),
    ("settings", "maximum inspiratory time"): ("0.9", "1.2", _COMFORT),
    ("settings", "tidal volume"): ("0.82", "1.15", "lies within what a lung of this size is given"),
    ("settings", "volume target"): ("0.82", "1.15", "lies within what a lung of this size is given"),
    ("settings", "rate"): ("0.8", "1.2", "is a rate in use at this age"),
    ("oxygen", "flow"): ("0.5", "2", "is found by the saturation, and this one is in use as well"),
    ("oxygen", "cylinder"): ("0.4", "12", _STORE),
    ("oxygen", "pre-oxygenation"): ("0.5", "1.5", _COMFORT),
    ("oxygen", "transfer"): ("0.5", "1.2", "is a way of another length"),
    ("oxygen", "reserve"): ("0.7", "2", _LIMIT),
    ("alarms", "disconnection"): ("0.5", "1.5", _LIMIT),
    ("alarms", "apnoea"): ("0.7", "1.35", _LIMIT),
    ("alarms", "low inspiratory pressure"): ("0.8", "1.2", _LIMIT),
    ("alarms", "high inspiratory pressure"): ("0.85", "1.2", _LIMIT),
    ("alarms", "low minute volume"): ("0.6", "1.4", _LIMIT),
    ("alarms", "high minute volume"): ("0.75", "1.8", _LIMIT),
    ("alarms", "high rate"): ("0.75", "1.4", _LIMIT),
    ("alarms", "high leak"): ("0.7", "1.5", _LIMIT),
    ("alarms", "low SpO2"): ("0.97", "1.03", _LIMIT),
    ("alarms", "high EtCO2"): ("0.85", "1.2", _LIMIT),
    ("alarms", "low EtCO2"): ("0.7", "1.2", _LIMIT),
    ("targets", "total leak"): ("0.5", "1.6", _WINDOW),
    ("targets", "unintentional leak"): ("0.5", "1.7", _WINDOW),
    ("targets", "rate"): ("0.75", "1.3", _WINDOW),
    ("targets", "expired tidal volume"): ("0.85", "1.15", _WINDOW),
    ("targets", "minute volume"): ("0.8", "1.3", _WINDOW),
    ("targets", "EtCO2"): ("0.9", "1.15", _WINDOW),
    ("targets", "PaCO2"): ("0.9", "1.15", _WINDOW),
    ("targets", "PaO2"): ("0.9", "1.2", _WINDOW),
    ("targets", "plateau pressure"): ("0.8", "1.07", _WINDOW),
    ("targets", "pH"): ("0.994", "1.006", _WINDOW),
    ("readings", "expired tidal volume"): ("0.9", "1.1", "is a volume as it is read"),
    ("readings", "total leak"): ("0.7", "1.5", "is a leak as it is read"),
    ("readings", "PaO2"): ("0.8", "1.2", "is a tension as it is read at this fraction"),
    ("readings", "SpO2"): ("0.98", "1.02", "is a saturation as it is read"),
}  # fmt: skip


def signed(detail: Detail, old: str, new: str) -> str:
    """Why an order with the new number would be signed; empty where nobody would."""
    if (detail.section, detail.term) == ("patient", "age"):
        part = detail.exact
        unit = part.unit if part is not None else ""
        why = age_signed(Decimal(old), Decimal(new), unit or "")
        if why:
            return why
    if isinstance(detail.body, n.Cylinder) and detail.body.contents is None:
        return ""  # a pressure in a cylinder by its letter, and those are filled to one pressure
    found = _FACTORS.get((detail.section, detail.term))
    if found is None or not Decimal(old):
        return ""
    low, high, why = found
    factor = Decimal(new) / Decimal(old)
    return f"{detail.term} {why}" if Decimal(low) <= factor <= Decimal(high) else ""


def age_signed(old: Decimal, new: Decimal, unit: str) -> str:
    """Adults of any age, and newborns of any age, are treated alike but for what the rest of the order says."""
    if unit == "years" and old >= 18 and 18 <= new <= 100:
        return "an adult of this age is as likely"
    if unit == "days" and Decimal("0.1") <= new <= 28:
        return "a newborn of this age is as likely"
    return ""


_GROWN = Decimal(15)  # years; from then on size and order are those of an adult


def _years(sheet: Sheet) -> Decimal | None:
    ages = [each.measure.value.amounts[0].parts[0] for each in sheet.find("patient", "age") if each.measure is not None]
    return Decimal(ages[0].text) if ages and ages[0].unit == "years" else None


def build_signed(sheet: Sheet, weight: Decimal) -> str:
    """Why an order with another weight would be signed: thin and heavy adults, and adolescents, are treated alike."""
    years = _years(sheet)
    heights = [part for each in sheet.find("patient", "height") for part in [each.exact] if part is not None]
    if years is None or years < _GROWN or not heights or heights[0].unit != "cm":
        return ""
    return _build(sheet, years, weight, Decimal(heights[0].text))


def _build(sheet: Sheet, years: Decimal, weight: Decimal, height: Decimal) -> str:
    index = weight / (height / 100) ** 2
    diagnosis = sheet.word("patient", "diagnosis")
    lowest = 30 if "obesity" in diagnosis else 11 if "neuromuscular" in diagnosis else 13
    if years < 18:
        return "an adolescent of this height and build is as likely" if 15 <= index <= 32 else ""
    return "an adult of this height and build is as likely" if lowest <= index <= 45 else ""


def height_signed(sheet: Sheet, height: Decimal) -> str:
    """Why an adult's order with another height would be signed: three standard deviations about the mean of the sex."""
    years = _years(sheet)
    weights = [part for each in sheet.find("patient", "weight") for part in [each.exact] if part is not None]
    if years is None or years < 18 or not weights or weights[0].unit != "kg":
        return ""
    low, high = (144, 185) if "female" in sheet.word("patient", "sex") else (155, 198)
    return _build(sheet, years, Decimal(weights[0].text), height) if low <= height <= high else ""


def body_signed(sheet: Sheet, detail: Detail, part: n.Part, new: str) -> str:
    """Why another number in a line about the patient's body would be signed; empty for other lines."""
    match detail.section, detail.term:
        case "patient", "weight":
            return build_signed(sheet, Decimal(new))
        case "patient", "height":
            return height_signed(sheet, Decimal(new)) if part.unit == "cm" else ""
        case "patient", "age" if part.unit == "years" and "obstructive" not in sheet.word("patient", "diagnosis"):
            grown = part.number >= _GROWN and _GROWN <= Decimal(new) <= 100
            return "somebody of this size may have this age as well" if grown else ""
    return ""


def unit_signed(detail: Detail, part: n.Part, unit: str) -> str:
    """Why another unit would be signed: nothing is nothing in any unit, and cuff gauges tell mmHg as well."""
    if part.number == 0:
        return "nothing is nothing in any unit"
    in_water = Decimal(part.text) * Decimal("1.36")
    if detail.term == "cuff pressure" and unit == "mmHg" and 20 <= in_water <= 30:
        return "gauges in mmHg are in use, and this is a cuff pressure in use"
    return ""
