"""Numbers of a document, how a hand gets them wrong, and which rules may be the ones that notice."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from rxlint.notation import nodes as n
from tests.slips.sheet import Detail

VALUE = ("notation.implausible", "notation.outside-allowed", "notation.reversed-range", "notation.not-understood")
"""What the reader itself says of a number that is wrong."""

_BODY = ("patient.", "volume.", "timing.", "pressure.", "alarms.", "reading.", "humidity.exchanger-small-child")
_SETTING = ("pressure.", "timing.", "volume.", "alarms.", "relation.", "titration.", "target.", "reading.", "mode.")
_BY_SECTION = {
    "patient": _BODY,
    "airway": ("airway.", "alarms.decannulation", "equipment.smallest-tube"),
    "circuit": ("circuit.", "volume.dead-space", "target.leak-below-port", "reading.leak-low", "alarms.leak-limit-low",
                "transport.oxygen-leak", "humidity."),
    "settings": (*_SETTING, "oxygen.", "humidity.", "transport."),
    "back-up": _SETTING,
    "oxygen": ("oxygen.", "transport."),
    "alarms": ("alarms.", "reading.in-alarm", "relation.", "titration.", "pressure."),
    "targets": ("target.", "reading.", "alarms.", "volume.", "oxygen.", "titration.", "pressure."),
    "readings": ("reading.", "pressure.driving-high", "pressure.plateau-high"),
    "titration": ("titration.",),
    "escalation": ("escalation.", "titration.", "alarms.", "target."),
    "off ventilator": ("weaning.",),
    "equipment": ("equipment.", "transport."),
}  # fmt: skip
_BY_TERM = {
    ("patient", "age"): (*_BODY, "airway.", "equipment.", "oxygen.target-range", "monitoring."),
    ("patient", "corrected age"): ("patient.",),
    ("patient", "gestation"): ("patient.", "oxygen.target-range"),
    ("patient", "height"): (*_BODY, "airway."),
    ("patient", "hours ventilated"): (
        "patient.",
        "mode.period-gap",
        "mode.period-over",
        "weaning.",
        "circuit.",
        "equipment.",
    ),
    ("patient", "unaided up to"): ("patient.", "weaning.", "equipment.", "mode.period-gap"),
    ("patient", "compliance"): (
        "patient.",
        "volume.",
        "timing.",
        "pressure.",
        "alarms.crosses-setting",
        "alarms.too-tight",
    ),
    ("patient", "resistance"): (
        "patient.",
        "volume.",
        "timing.",
        "pressure.",
        "alarms.crosses-setting",
        "alarms.too-tight",
    ),
}


def fits(detail: Detail) -> tuple[str, ...]:
    """The rules that may notice a wrong number in this line."""
    areas = _BY_TERM.get((detail.section, detail.term), _BY_SECTION.get(detail.section, ()))
    return (*VALUE, *areas)


def written(number: Decimal) -> str:
    """A number as a hand writes it: no exponent, no needless zeros."""
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def shifted(text: str, places: int) -> str:
    return written(Decimal(text).scaleb(places))


def swapped_digits(text: str) -> Iterator[str]:
    """The number with two neighbouring digits in each other's place; never with a zero in front."""
    for at in range(len(text) - 1):
        pair = text[at : at + 2]
        changed = text[:at] + pair[::-1] + text[at + 2 :]
        if pair.isdigit() and pair[0] != pair[1] and not (changed[0] == "0" and changed[1:2] != "."):
            yield changed


def _of_amount(amount: n.Amount | None) -> Iterator[n.Part]:
    if amount is not None and not amount.ratio:
        yield from amount.parts


def parts_of(detail: Detail) -> Iterator[n.Part]:
    """The numbers that a line states: what is set or read, and what may be set."""
    measure = detail.measure
    if measure is not None:
        for value in (measure.value, measure.allow):
            for amount in value.amounts if value is not None else ():
                yield from _of_amount(amount)
        return
    match detail.body:
        case n.After(amount=amount):
            yield from _of_amount(amount)
        case n.PreOxygenation(fraction=fraction, duration=duration):
            yield from _of_amount(fraction)
            yield from _of_amount(duration)
        case n.Cylinder(contents=contents, pressure=pressure):
            yield from _of_amount(contents)
            yield from _of_amount(pressure)
        case n.Stage(duration=duration):
            yield from _of_amount(duration)
        case n.Extend(by=by, up_to=up_to):
            yield from _of_amount(by)
            yield from _of_amount(up_to)
        case _:
            return
