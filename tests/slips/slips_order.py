"""Kinds of slips in the order's head, its periods, its oxygen, its targets, its steps and its time off."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from decimal import Decimal

from rxlint.notation import nodes as n
from tests.slips.numbers import VALUE, fits, shifted, written
from tests.slips.sheet import Detail, Edit, Heading, Sheet, Slip
from tests.slips.slips_numbers import plan

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_DATES = ("governance.", "reading.stale", "reading.ahead", "patient.weight-after-writing", "patient.weight-stale")
_PERIODS = ("mode.", "notation.", "alarms.", "circuit.", "airway.", "weaning.", "patient.", "monitoring.", "humidity.")


# ---- head and signatures
def _redated(sheet: Sheet, entry_line: int, days: int, fitting: tuple[str, ...], signed: str = "") -> Slip:
    text = sheet.lines[entry_line - 1]
    found = _DATE.search(text)
    assert found is not None
    new = (datetime.date.fromisoformat(found.group()) + datetime.timedelta(days=days)).isoformat()
    others = [each.first for each in sheet.find("head")] + [each.line for each in sheet.headings]
    return sheet.edited([Edit(entry_line, *found.span(), new)], fitting, others, signed)


def sign_off_before_writing(sheet: Sheet) -> Iterator[Slip]:
    """The check is dated two days, or a year, before the order was written."""
    for heading in sheet.headings:
        if heading.section == "checked":
            yield _redated(sheet, heading.line, -10, _DATES)
            yield _redated(sheet, heading.line, -365, _DATES)


def review_in_the_past(sheet: Sheet) -> Iterator[Slip]:
    """The date of review is of last year, or before the day the order was written."""
    for detail in sheet.find("head", "review by", "valid until"):
        yield _redated(sheet, detail.first, -365, _DATES)
        yield _redated(sheet, detail.first, -730, _DATES)


def written_wrong_date(sheet: Sheet) -> Iterator[Slip]:
    """The order was written a year later, or a month later, than it was; an approval too."""
    for detail in sheet.find("head", "written", "approved"):
        yield _redated(sheet, detail.first, 365, _DATES)
        why = "a group that meets once a month approves a document as late" if detail.term == "approved" else ""
        yield _redated(sheet, detail.first, 31, _DATES, why)


def reading_wrong_date(sheet: Sheet) -> Iterator[Slip]:
    for heading in sheet.headings:
        if heading.section == "readings":
            yield _redated(sheet, heading.line, -60, _DATES)
            yield _redated(sheet, heading.line, 365, _DATES)


# ---- periods
def _windows(sheet: Sheet) -> Iterator[tuple[Heading, n.Window]]:
    for heading in sheet.headings:
        period = heading.node.period
        for window in period.windows if period is not None else ():
            yield heading, window


def _later(clock: str, hours: int) -> str:
    hour, minute = clock.split(":")
    return f"{(int(hour) + hours) % 24:02d}:{minute}"


def _retimed(sheet: Sheet, heading: Heading, old: str, new: str, at: int) -> Slip:
    column = heading.entry.text.index(old, at)
    edit = Edit(heading.line, column, column + len(old), new)
    related = [each.line for each in sheet.headings if each.section == "settings"]
    related += [each.first for each in sheet.find("patient", "hours ventilated", "unaided up to")]
    return sheet.edited([edit], _PERIODS, related)


def window_shortened(sheet: Sheet) -> Iterator[Slip]:
    """The end of a window comes three hours early, or its beginning three hours late."""
    for heading, window in _windows(sheet):
        yield _retimed(sheet, heading, window.end_time, _later(window.end_time, -3), window.start + 5)
        yield _retimed(sheet, heading, window.start_time, _later(window.start_time, 3), window.start)


def window_half_a_day(sheet: Sheet) -> Iterator[Slip]:
    """Seven in the evening for seven in the morning."""
    for heading, window in _windows(sheet):
        yield _retimed(sheet, heading, window.end_time, _later(window.end_time, 12), window.start + 5)
        yield _retimed(sheet, heading, window.start_time, _later(window.start_time, 12), window.start)


def window_shifted(sheet: Sheet) -> Iterator[Slip]:
    """The whole window comes half a day early."""
    for heading, window in _windows(sheet):
        text = heading.entry.text
        old = f"{window.start_time} to {window.end_time}"
        new = f"{_later(window.start_time, -12)} to {_later(window.end_time, -12)}"
        column = text.index(old)
        related = [each.line for each in sheet.headings if each.section == "settings"]
        yield sheet.edited([Edit(heading.line, column, column + len(old), new)], _PERIODS, related)


def period_misspelt(sheet: Sheet) -> Iterator[Slip]:
    """A letter of a period's name is lost, or two are exchanged; what the period lacks is missed where it is due."""
    for heading in sheet.headings:
        period = heading.node.period
        if period is None or period.name is None:
            continue
        name = period.name
        column = heading.entry.text.index(name)
        for new in (name[:-1], name[:1] + name[2:3] + name[1:2] + name[3:]):
            if new != name:
                slip = sheet.edited([Edit(heading.line, column, column + len(name), new)], _PERIODS)
                yield Slip(slip.text, frozenset(), slip.before, slip.after, _PERIODS)


# ---- oxygen
_OXYGEN = (*VALUE, "oxygen.", "transport.")


def _scaled(sheet: Sheet, detail: Detail, part: n.Part, factor: str, signed: str = "") -> Slip:
    new = written((Decimal(part.text) * Decimal(factor)).quantize(Decimal("1")))
    related = [each.first for each in sheet.find("oxygen")]
    return sheet.edited([sheet.put(detail, part.start, part.number_end, new)], _OXYGEN, related, signed)


def _ample(sheet: Sheet, factor: Decimal) -> str:
    """Whether twice the need is left: 10 L/min, half of it from the cylinders, for the way and the reserve."""
    litres = [each.body.contents for each in sheet.find("oxygen", "cylinder") if isinstance(each.body, n.Cylinder)]
    times = [each.exact for each in sheet.find("oxygen", "transfer", "reserve")]
    if not litres or litres[0] is None or any(part is None for part in times):
        return ""
    number = 2 if any(" 2" in each.entry.text for each in sheet.find("oxygen", "cylinders")) else 1
    need = sum((Decimal(part.text) for part in times if part is not None), Decimal(0)) * 5
    left = Decimal(litres[0].parts[0].text) * number * factor
    return "what is carried is still more than twice the need" if left >= 2 * need else ""


def cylinder_smaller(sheet: Sheet) -> Iterator[Slip]:
    """A smaller cylinder, a half empty one, one fewer."""
    at_home = "" if sheet.find("oxygen", "transfer") else "the supply at home is changed as it is used up"
    for detail in sheet.find("oxygen", "cylinder"):
        if isinstance(detail.body, n.Cylinder):
            amount = detail.body.contents or detail.body.pressure
            for factor in ("0.2", "0.5"):
                if amount is not None:
                    why = at_home or _ample(sheet, Decimal(factor))
                    yield _scaled(sheet, detail, amount.parts[0], factor, why)
            if detail.body.letter is not None:
                letter = detail.body.letter
                yield sheet.edited(
                    [sheet.put(detail, letter.start, letter.end, "D")],
                    _OXYGEN,
                    [each.first for each in sheet.find("oxygen")],
                )
    for detail in sheet.find("oxygen", "cylinders"):
        related = [each.first for each in sheet.find("oxygen")]
        yield sheet.edited([sheet.put_word(detail, "2", "1")], _OXYGEN, related, _ample(sheet, Decimal("0.5")))


def transfer_longer(sheet: Sheet) -> Iterator[Slip]:
    """The way takes twice or four times as long, and the supply is left."""
    for detail in sheet.find("oxygen", "transfer"):
        if detail.exact is not None:
            for factor in ("2", "4"):
                why = "a way of another length, for which supply and battery last" if factor == "2" else ""
                slip = _scaled(sheet, detail, detail.exact, factor, why)
                battery = [each.first for each in sheet.find("equipment")]
                fitting = (*_OXYGEN, "transport.")
                yield Slip(slip.text, slip.lines | set(battery), slip.before, slip.after, fitting, why)


def reserve_lost(sheet: Sheet) -> Iterator[Slip]:
    for detail in sheet.find("oxygen", "reserve"):
        why = "more than twice the need is carried, and that is a reserve"
        yield sheet.without(detail.first, detail.last, _OXYGEN, [each.first for each in sheet.find("oxygen")], why)


def oxygen_target_of_another(sheet: Sheet) -> Iterator[Slip]:
    """The saturation aimed at is that of another group of patients."""
    for detail in sheet.find("targets", "SpO2"):
        measure = detail.measure
        assert measure is not None
        old = detail.stretch(measure.value.start, measure.value.end)
        for new in ("88 to 92 %", "90 to 95 %", "94 to 98 %", "98 to 100 %", "80 to 85 %"):
            if new != old:
                fitting = ("oxygen.", "alarms.against-target", "target.", "alarms.", "reading.", "titration.")
                edit = sheet.put(detail, measure.value.start, measure.value.end, new)
                related = [each.first for each in sheet.find("alarms", "low SpO2", "high SpO2")]
                yield sheet.edited([edit], fitting, related, _window(old, new))


def _window(old: str, new: str) -> str:
    """Windows that lie so close that wards differ between them."""
    if {old, new} in ({"90 to 95 %", "94 to 98 %"}, {"92 to 97 %", "90 to 95 %"}, {"92 to 97 %", "94 to 98 %"}):
        return "wards differ between these two windows"
    return "wards differ between these two windows" if (old, new) == ("88 to 95 %", "90 to 95 %") else ""


def target_of_another(sheet: Sheet) -> Iterator[Slip]:
    """A window of carbon dioxide or acidity from another patient: both ends up, or down, by a third; pH by 0.15."""
    for detail in sheet.find(
        "targets", "EtCO2", "PaCO2", "pH", "expired tidal volume", "minute volume", "plateau pressure"
    ):
        measure = detail.measure
        if measure is None:
            continue
        for up in (True, False):
            edits = [
                sheet.put(detail, part.start, part.number_end, _other(part.text, detail.term, up))
                for amount in measure.value.amounts
                for part in amount.parts
            ]
            yield sheet.edited(edits, fits(detail))


def _other(text: str, term: str, up: bool) -> str:
    number = Decimal(text)
    if term == "pH":
        return written(number + (Decimal("0.15") if up else Decimal("-0.15")))
    return written((number * (Decimal("1.5") if up else Decimal("0.6"))).quantize(Decimal("0.1")))


# ---- steps
_STEPS = (*VALUE, "titration.")


def _steps(sheet: Sheet) -> Iterator[tuple[Detail, n.Step]]:
    for detail in sheet.find("titration"):
        if isinstance(detail.body, n.Step):
            yield detail, detail.body


def step_without_limit(sheet: Sheet) -> Iterator[Slip]:
    for detail, step in _steps(sheet):
        if step.limit is not None:
            yield sheet.edited([sheet.put(detail, step.limit.start, step.limit.end, "")], _STEPS)


def step_without_condition(sheet: Sheet) -> Iterator[Slip]:
    for detail, step in _steps(sheet):
        if step.when is not None:
            at = detail.entry.text.index(" when ")
            yield sheet.edited([sheet.put(detail, at, step.when.end, "")], _STEPS)


def step_beyond(sheet: Sheet) -> Iterator[Slip]:
    """The end of the steps is written too far out: 2 and 10 further."""
    for detail, step in _steps(sheet):
        if step.limit is None:
            continue
        part = step.limit.amount.parts[0]
        sign = 1 if step.limit.word == "up to" else -1
        for far in (2, 10):
            new = written(Decimal(part.text) + sign * far)
            if Decimal(new) > 0:
                related = [each.first for each in [*sheet.find("settings"), *sheet.find("alarms")]]
                yield sheet.edited(
                    [sheet.put(detail, part.start, part.number_end, new)], (*_STEPS, "oxygen.fraction"), related
                )


def step_reversed(sheet: Sheet) -> Iterator[Slip]:
    """Raise for lower, up to for down to, above for below."""
    swap = (("raise ", "lower "), ("lower ", "raise "), (" up to ", " down to "), (" down to ", " up to "),
            (" above ", " below "), (" below ", " above "))  # fmt: skip
    for detail, step in _steps(sheet):
        for old, new in swap:
            start = step.when.start if old in (" above ", " below ") and step.when is not None else 0
            at = detail.entry.text.find(old, max(start - 1, 0))
            if at >= 0 and not (old == " above " and start == 0):
                related = [
                    each.first for each in [*sheet.find("titration"), *sheet.find("settings"), *sheet.find("targets")]
                ]
                yield sheet.edited(
                    [sheet.put(detail, at, at + len(old), new)],
                    (*_STEPS, "notation.not-understood", "target."),
                    related,
                )


def step_tenfold(sheet: Sheet) -> Iterator[Slip]:
    """The size of a step, the time between two, or the number of its condition, tenfold and a tenth."""
    for detail, step in _steps(sheet):
        every = step.every.parts[0] if step.every is not None else None
        for part in (step.step.parts[0], *([every] if every is not None else ())):
            for places in (1, -1):
                new = shifted(part.text, places)
                why = "a slower pace of steps is in use as well" if part is every and places == 1 else ""
                yield sheet.edited([sheet.put(detail, part.start, part.number_end, new)], _STEPS, signed=why)


def condition_tenfold(sheet: Sheet) -> Iterator[Slip]:
    """A number of a condition to step, to stop or to call, tenfold and a tenth."""
    fitting = (*VALUE, "titration.", "escalation.", "weaning.", "alarms.", "target.")
    for detail in sheet.details:
        when = getattr(detail.body, "when", detail.body)
        if not isinstance(when, n.Condition):
            continue
        for comparison in (each for group in when.either for each in group):
            part = comparison.amount.parts[0]
            for places in (1, -1):
                edit = sheet.put(detail, part.start, part.number_end, shifted(part.text, places))
                yield sheet.edited([edit], fitting)


def condition_reversed(sheet: Sheet) -> Iterator[Slip]:
    """Above for below in a condition to call or to stop."""
    fitting = ("titration.", "escalation.", "weaning.", "target.")
    for detail in sheet.details:
        if detail.section not in ("escalation", "off ventilator") and detail.term != "stop when":
            continue
        for old, new in ((" above ", " below "), (" below ", " above ")):
            for found in re.finditer(old, detail.entry.text):
                yield sheet.edited([sheet.put(detail, found.start(), found.end(), new)], fitting)


def time_off_longer(sheet: Sheet) -> Iterator[Slip]:
    """Hours for minutes in a stage off the ventilator or in how it grows, or ten times as long."""
    for detail in sheet.find("off ventilator"):
        text = detail.entry.text
        for found in re.finditer(r"\b(\d+) (min|h)\b", text):
            if "for" not in text[max(0, found.start() - 4) : found.start()]:
                other = "h" if found.group(2) == "min" else "min"
                for new in (f"{found.group(1)} {other}", f"{int(found.group(1)) * 10} {found.group(2)}"):
                    why = ""
                    yield sheet.edited(
                        [sheet.put(detail, *found.span(), new)],
                        ("weaning.", *VALUE, "patient."),
                        plan(sheet, detail),
                        why,
                    )
