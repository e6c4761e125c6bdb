"""Units of the pressures of one order: a ventilator shows one, never millimetres of mercury; so do gas monitors."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from rxlint.model.facts import Facts
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.amounts import unit_of
from rxlint.notation.tree import Entry
from rxlint.screening.walks import Found, Walk
from rxlint.units import PRESSURE
from rxlint.vocabulary import vocabulary

EVENT: Final = "pressures.mixed-units"
_SECTIONS: Final = frozenset({"settings", "back-up", "alarms", "targets"})
_KINDS: Final = {"cmH2O": "airway pressures", "kPa": "pressures of gases in blood and breath"}  # by the term's own unit
_AIRWAY: Final = "airway pressures"
_SAME: Final = {"hPa": "mbar"}  # one size, two names
_NEVER: Final = "mmHg"


@dataclass(frozen=True, slots=True)
class _Written:
    """An amount of a pressure: whose, of which kind, where, and in which unit."""

    what: str
    kind: str
    unit: str
    entry: Entry
    amount: n.Amount


def walk_pressure_units(facts: Facts, walk: Walk) -> None:
    """One finding a kind where the pressures of a whole order stand in several units, or in one that none shows."""
    if not facts.is_stated("document id"):
        return
    written = list(_pressures(facts))
    for kind in _KINDS.values():
        own = [each for each in written if each.kind == kind]
        if own:
            walk.ran.add(EVENT)
            _judge(kind, own, walk)


def _judge(kind: str, written: list[_Written], walk: Walk) -> None:
    usual = _usual(kind, written)
    odd = [each for each in written if each.unit != usual]
    if not odd and (usual != _NEVER or kind != _AIRWAY):
        return
    first = odd[0] if odd else written[0]
    others = f"the order's other {kind} are in {usual}" if odd else "ventilators show cmH2O or mbar"
    fields = {"what": first.what, "unit": first.unit, "others": others}
    related = tuple(
        (entry, "another stands here")
        for entry in {each.entry.lines[0].number: each.entry for each in odd[1:]}.values()
        if entry is not first.entry
    )
    walk.found.append(Found(EVENT, first.entry, first.amount.start, first.amount.end, fields, related))


def _usual(kind: str, written: list[_Written]) -> str:
    """The unit that most lines are in; of two that are as common, the one that the notation itself uses."""
    lines = {(each.entry.lines[0].number, each.unit) for each in written}
    counts = Counter(unit for _, unit in sorted(lines))
    return max(counts, key=lambda unit: (counts[unit], _KINDS.get(unit) == kind))


def _pressures(facts: Facts) -> Iterator[_Written]:
    """Every amount of a pressure that is set, limited, aimed at, stepped or waited for, in the order of the text."""
    stated = [
        *(each for each in facts.scope.by_key.values() if each.block.section in _SECTIONS),
        *(each for form in ("raise", "stop", "call") for each in facts.scope.several.get(form, ())),
    ]
    for each in sorted(stated, key=lambda one: one.entry.lines[0].number):
        for entry in (each.entry, *each.entry.rows):
            for key, amount in _amounts(each, entry):
                term, unit = vocabulary().terms.get(key), unit_of(amount.unit) if amount.unit is not None else None
                kind = _KINDS.get(term.unit.symbol) if term is not None and term.unit is not None else None
                if kind is not None and unit is not None and unit.dimension == PRESSURE:
                    what = key.removeprefix("reading ")
                    yield _Written(what, kind, _SAME.get(unit.symbol, unit.symbol), entry, amount)


def _amounts(stated: Stated, entry: Entry) -> Iterator[tuple[str, n.Amount]]:
    """The amounts of a statement or of a row of its table, each with the key of the term that it is of."""
    body = entry.statement.body if entry.statement is not None else None
    measure = body.measure if isinstance(body, n.Row) else body
    if isinstance(measure, n.Measure):
        amounts = (*measure.value.amounts, *(measure.allow.amounts if measure.allow is not None else ()))
        yield from ((stated.key, amount) for amount in amounts)
    elif isinstance(body, n.Step):
        yield body.terms[0].text, body.step
        if body.limit is not None:
            yield body.terms[0].text, body.limit.amount
    when = body.when if isinstance(body, n.Step | n.Call) else body
    if isinstance(when, n.Condition):
        yield from ((f"reading {one.reading.text}", one.amount) for both in when.either for one in both)
