"""A dial's numbers as text, beside the order's own text and the same value in the order's reference and unit."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rxlint.model.facts import Facts, SetEnvironment
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.packs.profile import IN_PLACE_OF_TIME, Dial
from rxlint.screening.dials import base_of
from rxlint.units import PLAIN, find_unit, show

_SECOND = find_unit("s") or PLAIN


def told(dial: Dial, number: Fraction) -> str:
    """A number of a dial as text, with its unit and what it counts from where that has to be said."""
    text = decimal_text(number)
    if dial.is_ratio:
        return f"1:{text}"
    return " ".join(
        part for part in (text, dial.unit.symbol if dial.unit is not PLAIN else "", reference(dial)) if part
    )


def reference(dial: Dial) -> str:
    """What a dial's pressure counts from, for people: nothing for a baseline, which is always above ambient."""
    if dial.above is None or dial.keys[0].removeprefix("fallback ") in ("PEEP", "EPAP", "alarm low PEEP"):
        return ""
    return f"above {dial.above}"


@dataclass(frozen=True, slots=True)
class Context:
    """What a value comes from: the order's line and its text, the facts, and the values as they are keyed in."""

    stated: Stated | None
    prescribed: str
    facts: Facts
    values: SetEnvironment


def decimal_text(number: Fraction) -> str:
    """A number as plain decimals: in full where it has an end, else to four places, marked as rounded."""
    for places in range(7):
        scaled = number * 10**places
        if scaled.denominator == 1:
            sign, digits = "-" if scaled < 0 else "", str(abs(scaled.numerator)).rjust(places + 1, "0")
            return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)
    return f"about {float(number):.4f}".rstrip("0").rstrip(".")


def span(dial: Dial) -> str:
    """From where to where a dial goes, and in which steps; of a scale, its places."""
    if dial.choices:
        return f"to one of {', '.join(each.name for each in dial.choices)}"
    first, last = dial.steps[0], dial.steps[-1]
    sizes = ", then ".join(decimal_text(each.step) for each in dial.steps)
    return f"from {told(dial, first.low)} to {told(dial, last.high)} in steps of {sizes}"


def prescribed_text(stated: Stated, facts: Facts) -> str:
    """What the order states, as it is written; of a table, the row that holds here."""
    body = stated.statement.body
    if isinstance(body, n.TableHead):
        row = facts.band.rows.get(stated.key) if facts.band is not None else None
        return show(row.points[0], row.unit) if row is not None else ""
    after = stated.statement.phrase[1]
    written = " ".join(stated.entry.text[after:].split())
    key = stated.key.removeprefix("alarm ").removeprefix("fallback ")
    return written if written else key


def both_ways(dial: Dial, number: Fraction, of: Context) -> str:
    """A number of a dial, with what it is in the order's own reference and unit where that is another."""
    own, stated = told(dial, number), of.stated
    quantity = stated.statement.values.get("") if stated is not None else None
    if stated is None or quantity is None or not isinstance(stated.statement.body, n.Measure | n.After):
        return own
    value = base_of(dial, number)
    if (
        quantity.unit.dimension != dial.unit.dimension
        or stated.key == "I:E"
        or dial.is_ratio
        or dial.keys[0] in IN_PLACE_OF_TIME
    ):
        return own + _as_time(dial, value, of)
    written = quantity.reference if quantity.reference is not None else dial.above
    if dial.above is not None and written != dial.above:
        baseline = of.values.value("baseline")
        if not isinstance(baseline, Fraction) or stated.key.startswith("fallback "):
            return own
        value += baseline if dial.above == "PEEP" else -baseline
    other = show(value, quantity.unit) + (f" above {written}" if reference(dial) and written is not None else "")
    return own if other == own else f"{own} ({other})"


def _as_time(dial: Dial, value: Fraction, of: Context) -> str:
    """What a share or a ratio makes of the inspiration at the set rate."""
    cycle = of.values.value("cycle time")
    if not isinstance(cycle, Fraction):
        return ""
    if not dial.is_ratio and dial.keys[0] not in IN_PLACE_OF_TIME:
        return ""
    return f" (inspiration {show(time_of(dial.keys[0], value, cycle), _SECOND)})"


def time_of(key: str, value: Fraction, cycle: Fraction) -> Fraction:
    """The inspiratory time that a ratio, a share or an expiratory time makes of a cycle."""
    match key:
        case "duty cycle":
            return cycle * value
        case "expiratory time":
            return cycle - value
        case "inspiratory time":
            return value
        case _:
            return cycle * value / (1 + value)
