"""An amount told in other units, from another reference and by weight, with what is worked out from it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from rxlint.editor.snapshot import Snapshot
from rxlint.expressions import keys_in, nodes
from rxlint.model.facts import Facts, home_key, weight_of
from rxlint.model.names import derived_terms
from rxlint.notation import nodes as n
from rxlint.notation.amounts import is_daily, unit_of
from rxlint.notation.measures import Quantity
from rxlint.notation.tree import Entry
from rxlint.reports.calculations import Value
from rxlint.reports.rule_markdown import code, plain
from rxlint.screening.calculation import is_list, is_plain, resolve_plain
from rxlint.screening.values import show_number
from rxlint.units import (
    COMPLIANCE,
    FLOW,
    LENGTH,
    PLAIN,
    PRESSURE,
    RATE,
    RESISTANCE,
    TIME,
    VOLUME,
    WEIGHT,
    Dimension,
    Unit,
    find_unit,
    from_base,
)
from rxlint.vocabulary import Term

_ALSO: Final[dict[Dimension, tuple[str, ...]]] = {
    PRESSURE: ("cmH2O", "kPa", "mbar", "mmHg"),
    VOLUME: ("mL", "L"),
    FLOW: ("L/min", "mL/s", "L/s"),
    LENGTH: ("cm", "mm", "m"),
    WEIGHT: ("kg", "g"),
    COMPLIANCE: ("mL/cmH2O", "mL/kPa"),
    RESISTANCE: ("cmH2O/(L/s)", "kPa/(L/s)"),
    VOLUME / WEIGHT: ("mL/kg",),
    FLOW / WEIGHT: ("mL/kg/min", "L/min/kg"),
}
_TIMES: Final = ("ms", "s", "min", "h", "days")
_AGES: Final = ("days", "weeks", "months", "years")
_MOST_TIMES: Final = 4
_MOST_VALUES: Final = 8
_MOST_RANGES: Final = 3
_SAME_AS: Final = {"mbar": "mbar (the same in hPa)"}
_SET: Final = frozenset({"settings", "back-up"})
_BASELINES: Final = frozenset({"PEEP", "EPAP"})


@dataclasses.dataclass(frozen=True, slots=True)
class Amounts:
    """The amounts of one value (or of one part beside it) in base units, and the unit that they are written in."""

    part: n.Value | n.RowKey | n.Amount
    points: tuple[Fraction, ...]
    unit: Unit


def amounts_at(body: object, offset: int) -> Amounts | None:
    """The value, the key of a row, or the single amount that stands at an offset; None where none can be told."""
    found = list(_parts_at(body, offset))
    whole = next((each for each in found if not isinstance(each, n.Amount)), found[-1] if found else None)
    if whole is None:
        return None
    amounts = (whole,) if isinstance(whole, n.Amount) else whole.amounts
    fallback = next((amount.unit for amount in reversed(amounts) if amount.unit), None)
    points: list[Fraction] = []
    unit = PLAIN
    for amount in amounts:
        total = Fraction(0)
        for part in amount.parts:
            symbol = part.unit or fallback
            own = PLAIN if symbol is None else unit_of(symbol)
            if own is None:
                return None
            unit = own
            total += part.number * own.factor
        points.append(total)
    return Amounts(whole, tuple(points), unit)


def _parts_at(node: object, offset: int) -> Iterator[n.Value | n.RowKey | n.Amount]:
    if isinstance(node, tuple):
        for each in node:
            yield from _parts_at(each, offset)
    elif dataclasses.is_dataclass(node):
        if isinstance(node, n.Value | n.RowKey | n.Amount) and node.start <= offset <= node.end:
            yield node
        for each in dataclasses.fields(node):
            yield from _parts_at(getattr(node, each.name), offset)


# ---- other units


def told(points: Sequence[Fraction], unit: Unit, kind: str = "between") -> str:
    """Some amounts in a unit: "about" where rounding makes them so."""
    texts = [show_number(point, unit) for point in points]
    exact = all(_is_exact(text, point, unit) for text, point in zip(texts, points, strict=True))
    joined = {"at most": "up to ", "at least": "at least "}.get(kind, "") + _joined(texts, unit, kind)
    return joined if exact else f"about {joined}"


def _joined(texts: list[str], unit: Unit, kind: str) -> str:
    if len(texts) == 1 or not unit.symbol:
        return (" or " if kind == "one of" else " to ").join(texts)
    bare = [text.removesuffix(unit.symbol).rstrip() for text in texts[:-1]]
    return (" or " if kind == "one of" else " to ").join([*bare, texts[-1]])


def _is_exact(text: str, point: Fraction, unit: Unit) -> bool:
    number, _, symbol = text.partition(" ")
    shown = find_unit(symbol) or unit  # an age of less than two years is told in months or days
    try:
        return Fraction(number) == from_base(point, shown)
    except ValueError:
        return False


def in_other_units(amounts: Amounts) -> list[str]:
    """The amounts in the other units that are common for them, one text for each."""
    kind = amounts.part.kind if isinstance(amounts.part, n.Value) else "between"
    found: list[str] = []
    for unit in _others(amounts):
        text = told(amounts.points, unit, kind)
        found.append(text.replace(unit.symbol, _SAME_AS[unit.symbol]) if unit.symbol in _SAME_AS else text)
    dimension = amounts.unit.dimension
    if (
        dimension == RATE
        and len(amounts.points) == 1
        and amounts.points[0] > 0
        and amounts.unit.symbol.endswith("/min")
    ):
        second = _unit("s")
        found.append(f"one every {told((1 / amounts.points[0],), second)}")
    if amounts.unit.symbol == "%":
        found.append(f"as a fraction: {told(amounts.points, PLAIN, kind)}")
    return found


def _others(amounts: Amounts) -> list[Unit]:
    unit = amounts.unit
    if unit.dimension == TIME:
        largest = max(abs(point) for point in amounts.points)
        units = [_unit(symbol) for symbol in (_AGES if unit.symbol in _AGES else _TIMES)]
        fitting = [
            each for each in units if each.factor <= largest < each.factor * 1_000 and each.factor != unit.factor
        ]
        fitting.sort(key=lambda each: abs(_size(each.factor) - _size(unit.factor)))
        return sorted(fitting[: _MOST_TIMES - 1], key=lambda each: each.factor)
    if is_daily(unit.symbol):
        return [_unit(symbol) for symbol in ("h/day", "min/day") if symbol != unit.symbol]
    symbols = _ALSO.get(unit.dimension, ())
    return [_unit(symbol) for symbol in symbols if _unit(symbol).factor != unit.factor]


def _size(factor: Fraction) -> int:
    return len(str(int(factor * 1000)))


def _unit(symbol: str) -> Unit:
    unit = find_unit(symbol)
    assert unit is not None
    return unit


# ---- reference and weight


def qualified(quantity: Quantity) -> str:
    """What a value is measured from, or of which weight it is, as words that follow it."""
    reference = f" above {quantity.reference}" if quantity.reference in ("ambient", "PEEP") else ""
    return reference + (f" of {quantity.basis}" if quantity.basis is not None else "")


def from_other_reference(term: Term, quantity: Quantity, amounts: Amounts, facts: Facts) -> str | None:
    """A set pressure from the other reference, where the baseline is known."""
    baseline = facts.as_set.value("baseline")
    if term.section not in _SET or term.phrase in _BASELINES or not isinstance(baseline, Fraction):
        return None
    if quantity.reference not in ("ambient", "PEEP"):
        return None
    sign, other = (1, "ambient") if quantity.reference == "PEEP" else (-1, "PEEP")
    kind = amounts.part.kind if isinstance(amounts.part, n.Value) else "between"
    moved = told([point + sign * baseline for point in amounts.points], amounts.unit, kind)
    varies = any(key in facts.axes for key in facts.reads(nodes.Name("baseline", "baseline")))
    where = f" in {plain(facts.period)}" if facts.period is not None else ""
    return f"{moved} above {other} (baseline {told((baseline,), amounts.unit)}{' as set' if varies else ''}{where})"


def by_weight(quantity: Quantity, amounts: Amounts, facts: Facts) -> list[str]:
    """A volume or a flow per kilogram of the weights that are known; or the whole of one that is per kilogram."""
    kind = amounts.part.kind if isinstance(amounts.part, n.Value) else "between"
    if quantity.basis is not None:
        weight = facts.as_set.value(weight_of(facts.scope, quantity.basis))
        symbol = {VOLUME / WEIGHT: "mL", FLOW / WEIGHT: "L/min"}.get(amounts.unit.dimension)
        if symbol is None or not isinstance(weight, Fraction):
            return []
        whole = _unit(symbol)
        text = told([point * weight for point in amounts.points], whole, kind)
        return [f"{text} at {_weight(weight)} {quantity.basis}"]
    if amounts.unit.dimension not in (VOLUME, FLOW):
        return []
    per = _unit("mL/kg" if amounts.unit.dimension == VOLUME else "mL/kg/min")
    found: list[str] = []
    for key, basis in _weights(facts):
        weight = facts.as_set.value(key)
        if isinstance(weight, Fraction) and weight > 0:
            text = told([point / weight for point in amounts.points], per, kind)
            found.append(f"{text} of {basis} ({_weight(weight)})")
    return found


def _weights(facts: Facts) -> Iterator[tuple[str, str]]:
    yield "predicted weight", "predicted weight"
    stated = facts.stated("patient weight")
    quantity = stated.statement.values.get("") if stated is not None else None
    yield "patient weight", f"{quantity.manner if quantity is not None and quantity.manner else 'stated'} weight"


def weights_called(snapshot: Snapshot, basis: str) -> list[str]:
    """What the weight that is called so is, in each period."""
    weights = [facts.as_set.value(weight_of(facts.scope, basis)) for facts in snapshot.facts]
    return list(dict.fromkeys(_weight(weight) for weight in weights if isinstance(weight, Fraction)))


def _weight(weight: Fraction) -> str:
    return told((weight,), _unit("kg"))


# ---- what is worked out from it


def facts_with(snapshot: Snapshot, entry: Entry) -> list[Facts]:
    """The facts in which a line is stated."""
    return [facts for facts in snapshot.facts if any(stated.entry is entry for stated in facts.scope.by_key.values())]


def worked_out_from(snapshot: Snapshot, term: Term, own: Sequence[Facts]) -> list[str]:
    """The values that are worked out from a term, those that read it themselves first: value, formula, numbers, source.

    Where much may vary, as in a template, their names alone: to find the ends of each takes seconds.
    """
    if any(sum(axis.as_set is None for axis in facts.axes.values()) > _MOST_RANGES for facts in snapshot.facts):
        keys = dict.fromkeys(key for facts in own for key in facts.formulas if _enters(facts, key, term))
        return [plain(key) for key in keys if key in derived_terms()]
    found: list[tuple[int, Value]] = []
    for value in snapshot.values:
        here = [facts for facts in own if _is_of(value, facts) and not is_plain(value.term, facts)]
        ways = [_reads(facts, value.term, term) for facts in here]
        known = [way for way in ways if way is not None]
        if known:
            found.append((min(known), value))
    found.sort(key=lambda each: each[0])
    scopes = {(value.period, value.band, value.readings) for _, value in found}
    lines = [_value_line(value, len(scopes) > 1) for _, value in found[:_MOST_VALUES]]
    rest = list(dict.fromkeys(plain(value.term) for _, value in found[_MOST_VALUES:]))
    return [*lines, f"and {', '.join(rest)}"] if rest else lines


def _enters(facts: Facts, key: str, term: Term) -> bool:
    return not is_plain(key, facts) and _reads(facts, key, term) == 0


def _is_of(value: Value, facts: Facts) -> bool:
    band = facts.band.label if facts.band is not None else None
    is_read = facts.scope.readings is not None
    return (value.period, value.band, value.readings is not None) == (facts.period, band, is_read)


def _reads(facts: Facts, key: str, term: Term) -> int | None:
    """0 where a formula reads a term itself (or by another name for it), 1 where it reads it through others."""
    formula = facts.formulas.get(key)
    if formula is None or key == term.key:
        return None
    direct = keys_in(resolve_plain(formula, facts)) | keys_in(formula)
    if any(home_key(each) == term.key for each in direct):
        return 0
    reads = facts.reads(nodes.Name(key, key))
    return 1 if any(home_key(each) == term.key for each in reads) else None


def _value_line(value: Value, with_scope: bool) -> str:
    shown = show_number(value.low, value.unit, value.term)
    if value.is_range:
        shown = f"{shown} to {show_number(value.high, value.unit, value.term)}"
    numbers = ""
    if value.numbers and value.numbers != value.formula:
        numbers = f"{', ' if is_list(value.numbers) else ' = '}{value.numbers}"
    scope = ", ".join(part for part in (value.period, value.band, value.readings) if part) if with_scope else ""
    named = f"{value.term} ({scope})" if scope else value.term
    return f"{plain(named)} **{plain(shown)}**: {code(value.formula + numbers)}; {plain(value.source)}"
