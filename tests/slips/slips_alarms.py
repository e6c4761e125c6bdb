"""Kinds of slips in the alarms: limits exchanged, left behind, switched off, taken from another patient."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from tests.slips.numbers import VALUE, written
from tests.slips.sheet import Detail, Sheet, Slip
from tests.slips.slips_settings import pairs_exchanged, set_to

_ALARMS = (*VALUE, "alarms.", "reading.in-alarm", "relation.")
_PAIRS = (
    ("low inspiratory pressure", "high inspiratory pressure"), ("low minute volume", "high minute volume"),
    ("low tidal volume", "high tidal volume"), ("low rate", "high rate"), ("low SpO2", "high SpO2"),
    ("low EtCO2", "high EtCO2"), ("low PEEP", "low inspiratory pressure"), ("low FiO2", "high FiO2"),
)  # fmt: skip


def limits_swapped(sheet: Sheet) -> Iterator[Slip]:
    return pairs_exchanged(sheet, "alarms", _PAIRS, _ALARMS)


def delays_swapped(sheet: Sheet) -> Iterator[Slip]:
    return pairs_exchanged(sheet, "alarms", (("disconnection", "apnoea"),), _ALARMS)


def neighbours_swapped(sheet: Sheet) -> Iterator[Slip]:
    """The limits of two alarms in each other's line."""
    pairs = (("high rate", "low SpO2"), ("high inspiratory pressure", "high rate"), ("high minute volume", "high rate"),
             ("low inspiratory pressure", "low minute volume"))  # fmt: skip
    return pairs_exchanged(sheet, "alarms", pairs, _ALARMS)


def _left(sheet: Sheet, terms: tuple[str, ...], alarms: tuple[str, ...], factors: tuple[str, ...]) -> Iterator[Slip]:
    for detail in sheet.find("settings", *terms):
        partners = [each.first for each in sheet.find("alarms", *alarms)]
        if detail.exact is None or not partners:
            continue
        for factor in factors:
            old = Decimal(detail.exact.text)
            new = old * Decimal(factor)
            edit = set_to(sheet, detail, written(new.to_integral_value() if old == old.to_integral_value() else new))
            assert edit is not None
            yield sheet.edited([edit], (*_ALARMS, *_SEEN), partners)


# A setting far from its partners may also be told where it stands.
_SEEN = ("pressure.", "volume.", "timing.", "titration.", "target.", "reading.")


def alarm_left_pressure(sheet: Sheet) -> Iterator[Slip]:
    """The pressure is changed by a third, up and down, and its alarms are left."""
    alarms = ("low inspiratory pressure", "high inspiratory pressure", "low PEEP")
    terms = ("inspiratory pressure", "IPAP", "pressure support", "maximum inspiratory pressure")
    return _left(sheet, terms, alarms, ("0.66", "1.5"))


def alarm_left_volume(sheet: Sheet) -> Iterator[Slip]:
    """Volume or rate is changed by a half, and the alarms of minute volume and rate are left."""
    alarms = ("low minute volume", "high minute volume", "high rate")
    yield from _left(sheet, ("tidal volume", "volume target"), alarms, ("0.66", "1.5"))
    yield from _left(sheet, ("rate",), alarms, ("0.66", "1.5"))


def alarm_of_another(sheet: Sheet) -> Iterator[Slip]:
    """A limit from another patient: half and twice the number."""
    for detail in sheet.find("alarms"):
        part = detail.exact
        if part is None or "SpO2" in detail.term:
            continue
        for factor in (Decimal("0.5"), Decimal(2)):
            new = written(Decimal(part.text) * factor)
            why = _wide(detail, factor)
            yield sheet.edited([sheet.put(detail, part.start, part.number_end, new)], _ALARMS, signed=why)


def _wide(detail: Detail, factor: Decimal) -> str:
    """Few limits are still in use at half or twice the number."""
    if detail.term == "low PEEP" and factor < 1:
        return "a low PEEP alarm is set this low on many wards"
    if detail.term == "high leak":
        return "the leak that is let pass differs from one ward to the next"
    return ""


def alarm_of_saturation(sheet: Sheet) -> Iterator[Slip]:
    """The saturation limits of another group of patients: low 85 for 92, high 94 for 99, and the other way round."""
    swap = {"low SpO2": ("80", "95"), "high SpO2": ("90", "100")}
    for term, news in swap.items():
        for detail in sheet.find("alarms", term):
            for new in news:
                edit = set_to(sheet, detail, new)
                if edit is not None:
                    yield sheet.edited(
                        [edit], (*_ALARMS, "oxygen."), [each.first for each in sheet.find("targets", "SpO2")]
                    )


def alarm_off(sheet: Sheet) -> Iterator[Slip]:
    """An alarm is switched off with a word that is no reason; without one the reader itself asks for it."""
    for detail in sheet.find("alarms"):
        if detail.is_row or detail.entry.rows or " off" in detail.entry.text:
            continue
        text = detail.entry.text.split("#")[0].rstrip()
        start = text.index(detail.term) + len(detail.term)
        edit = sheet.put(detail, start, len(text), '  off because "it disturbs"')
        yield sheet.edited([edit], ("alarms.", "monitoring."), signed=_off_at_will(sheet, detail.term))


def _off_at_will(sheet: Sheet, term: str) -> str:
    """Why an order with this alarm off would be signed; empty where it would not."""
    mode = sheet.word("settings", "mode")
    if mode == "high flow" and term in ("disconnection", "apnoea"):
        return "high flow has no breaths of the ventilator's own that could be missed, and a reason stands beside it"
    if mode == "CPAP" and term == "low minute volume" and "mask" in sheet.word("airway", "interface"):
        return "volumes are not measured on CPAP by mask, and a reason stands beside it"
    return _CHOICE_OFF.get(term, "")


_CHOICE_OFF = dict.fromkeys(
    ("high minute volume", "low PEEP", "low EtCO2", "high EtCO2", "high rate", "high leak", "high SpO2"),
    "not every ward sets this alarm, and a reason stands beside it",
)
