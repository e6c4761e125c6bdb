"""The sums that a checker makes alone: which of them an order's facts allow, and, apart from these, what they come to.

Asked is what can be worked out by hand. What rests on a model of the lung is told in the second part alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from rxlint.expressions import Node, Words, nodes, show
from rxlint.model.facts import AS_WRITTEN, Facts, weight_of
from rxlint.model.names import base_names, derived_terms
from rxlint.packs import Defined
from rxlint.reports.sheet.content_alarms import distances
from rxlint.reports.sheet.content_parts import Ends, Part, by_scope, ends_of
from rxlint.reports.sheet.rows import Blank, BlankGroup, ValueGroup, ValueRow
from rxlint.reports.sheet.typeset import formula
from rxlint.screening.calculation import is_list, steps_of, with_numbers
from rxlint.screening.values import Teller, unit_for
from rxlint.units import PLAIN, Unit, find_unit

# More rows of tables than this make one sum over all of them, with its lowest and its highest value.
_MOST_ROWS: Final = 6
_MANY_MINUTES: Final = 120
_MINUTE: Final = Fraction(60)  # in base units
_MODELLED: Final = "modelled tidal volume"
_PER_KILOGRAM: Final = {
    "volume per predicted weight": "predicted weight",
    "volume per measured weight": "patient weight",
}
_DRAW, _CARRIED, _MUST_LAST = "oxygen: generous oxygen draw", "oxygen: carried oxygen", "oxygen: oxygen must last"

# What a person would work out, in the order of checking: the term, what it is called, and how.
_TERMS: Final = (
    ("predicted weight", "Predicted body weight", "from sex and height"),
    ("mandatory peak", "Peak of a mandatory breath, above ambient", "baseline and what is set above it"),
    ("supported peak", "Peak of a supported breath, above ambient", "baseline + support"),
    ("pressure above baseline", "Mandatory breath, above the baseline", "peak \u2212 baseline"),
    ("support above baseline", "Supported breath, above the baseline", "peak \u2212 baseline"),
    ("driving pressure", "Driving pressure", "plateau \u2212 total PEEP, or volume / compliance"),
    ("cycle time", "Time from breath to breath at the set rate", "60 s / rate"),
    ("inspiration", "Inspiratory time", "from rate and I:E, or volume and flow"),
    ("expiratory time", "Time left to breathe out", "cycle \u2212 inspiration"),
    ("ratio of times", "I:E", "inspiration to expiration, as 1 : x"),
    ("expected tidal volume", "Tidal volume", "weight \u00d7 volume for each kg"),
    ("volume per predicted weight", "Tidal volume for each kg of predicted weight", "volume / predicted weight"),
    ("volume per measured weight", "Tidal volume for each kg of body weight", "volume / weight"),
    ("expected minute volume", "Minute volume of the set breaths", "rate \u00d7 tidal volume"),
    ("mean airway pressure", "Mean airway pressure", "baseline + pressure above it \u00d7 share of inspiration"),
    ("oxygen in cylinders", "Oxygen in all cylinders", "contents \u00d7 number, or from size and pressure"),
    ("planned oxygen draw", "Oxygen to plan for, each minute", "all gas that flows \u00d7 fraction"),
    ("oxygen lasts", "How long the supply lasts", "contents / oxygen each minute"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sum:
    """One sum of one part: what is asked, and what it comes to."""

    key: str
    what: str
    how: str
    unit: Unit
    ends: Ends
    formula: str
    source: str

    @property
    def told(self) -> str:
        """What it comes to; many minutes as hours too."""
        text = self.ends.told(self.unit, self.key)
        minutes, rest = divmod(self.ends.low / _MINUTE, 1)
        if self.unit.symbol != "min" or self.ends.is_range or minutes < _MANY_MINUTES:
            return text
        about = "about " if rest else ""
        return f"{text} ({about}{int(minutes) // 60} h {int(minutes) % 60} min)"

    @property
    def unit_told(self) -> str:
        """The unit to write it in."""
        return "" if self.key == "ratio of times" else self.unit.symbol


@dataclass(frozen=True, slots=True)
class Sums:
    """The blanks of a document; apart from them the answers, under the same numbers; and the terms that they are of."""

    blanks: tuple[BlankGroup, ...]
    answers: tuple[ValueGroup, ...]
    terms: frozenset[str]


def sums_of(parts: Sequence[Part], defined: Mapping[str, Defined]) -> Sums:
    """The sums that a document allows."""
    blanks: list[BlankGroup] = []
    answers: list[ValueGroup] = []
    terms: set[str] = set()
    told_already: set[tuple[str, str]] = set()
    number = 0
    for scope, group in by_scope(_held(parts)).items():
        asked: list[Blank] = []
        told: list[ValueRow] = []
        for row, each in _joined([(part, list(_of_part(part, defined))) for part in group]):
            terms.add(each.key)
            if not each.ends.is_range and (each.what, each.formula) in told_already:
                continue  # the very same numbers as in a period above
            told_already.add((each.what, each.formula))
            number += 1
            what = f"{each.what} ({row})" if row else each.what
            asked.append(Blank(number, what, each.unit_told, each.how, each.ends.is_range))
            told.append(ValueRow(what, each.told, each.formula, each.source, number))
        if asked:
            blanks.append(BlankGroup(scope, tuple(asked)))
            answers.append(ValueGroup(scope, tuple(told)))
    return Sums(tuple(blanks), tuple(answers), frozenset(terms))


def _held(parts: Sequence[Part]) -> list[Part]:
    """The parts that are in force: not a row of a table that is only reached from another."""
    held = [part for part in parts if part.facts.band is None or not part.facts.band.is_elsewhere]
    return held or list(parts)


def _joined(rows: Sequence[tuple[Part, Sequence[Sum]]]) -> Iterator[tuple[str, Sum]]:
    """The sums of some rows of tables and modes: what comes to the same in all of them once, without their names."""
    order: dict[tuple[str, str], list[tuple[Part, Sum]]] = {}
    for part, found in rows:
        for each in found:
            order.setdefault((each.key, each.what), []).append((part, each))
    for same in order.values():
        first = same[0][1]
        if len(same) == len(rows) and all(each.ends == first.ends for _, each in same):
            yield "", first
            continue
        named = _named(same)
        if len(named) > _MOST_ROWS:
            ends = Ends(min(each.ends.low for _, each in same), max(each.ends.high for _, each in same))
            yield "over all rows of the tables", replace(first, ends=ends)
        else:
            yield from named


def _named(same: Sequence[tuple[Part, Sum]]) -> list[tuple[str, Sum]]:
    """One sum for each row of tables, or for each mode of it where these differ."""
    by_band: dict[str, list[tuple[Part, Sum]]] = {}
    for part, each in same:
        by_band.setdefault(part.band, []).append((part, each))
    found: list[tuple[str, Sum]] = []
    for band, group in by_band.items():
        first = group[0][1]
        if band and all(each.ends == first.ends for _, each in group):
            found.append((band, first))
        else:
            found += [(part.row, each) for part, each in group]
    return found


def _of_part(part: Part, defined: Mapping[str, Defined]) -> Iterator[Sum]:
    facts = part.facts
    teller = Teller(facts, base_names(), dict(defined))
    for key, what, how in _TERMS:
        if key in facts.formulas and part.is_ordered != _needs_readings(key, facts) and _is_asked(key, facts):
            found = _derived(key, what, how, teller)
            if found is not None:
                yield found
    if not part.is_ordered:
        return
    yield from _supply(teller, defined)
    yield from _aimed_at(teller)
    for each in distances(facts):
        numbers = show(with_numbers(each.node, {key: teller.key(key, facts.as_set) for key in each.keys}))
        text = formula(show(each.node) if each.ends.is_range else f"{show(each.node)} = {numbers}")
        yield Sum(each.alarm, each.what, each.how, unit_for(each.alarm, facts, {}), each.ends, text, "")


def _needs_readings(key: str, facts: Facts) -> bool:
    return facts.scope.readings is not None and any(
        each.startswith("reading ") for each in facts.reads(nodes.Name(key, key))
    )


def _is_asked(key: str, facts: Facts) -> bool:
    """Whether a term takes a sum: it is not just what a line states, and no model of the lung is needed for it."""
    if is_as_stated(key, facts):
        return False
    if key == "pressure above baseline" and _is_above_peep(facts):
        return False
    if key == "support above baseline" and "IPAP" in facts.reads(nodes.Name(key, key)):
        return False  # the same sum as that of a mandatory breath
    if key in _PER_KILOGRAM and _PER_KILOGRAM[key] in _ordered_by(facts):
        return False
    return key == "driving pressure" or _MODELLED not in facts.reads(nodes.Name(key, key))


def is_as_stated(key: str, facts: Facts) -> bool:
    """Whether a term is no more than another name for what a line states."""
    node: Node | None = nodes.Name(key, key)
    while isinstance(node, nodes.Name):
        key = node.key
        node = facts.written.get(key) or facts.formulas.get(key)
    return node is None or isinstance(node, nodes.Number) or key.endswith(AS_WRITTEN)


def _ordered_by(facts: Facts) -> set[str]:
    """The weights by which the breath is ordered."""
    words = (facts.constants.get(f"{term} basis") for term in ("tidal volume", "volume target"))
    return {weight_of(facts.scope, basis) for each in words if isinstance(each, Words) for basis in each.stated}


def _is_above_peep(facts: Facts) -> bool:
    """Whether mandatory breaths are ordered above PEEP already."""
    reference = facts.constants.get("inspiratory pressure reference")
    return isinstance(reference, Words) and "PEEP" in reference.stated


def _derived(key: str, what: str, how: str, teller: Teller) -> Sum | None:
    facts = teller.facts
    ends = ends_of(nodes.Name(key, key), facts)
    if ends is None:
        return None
    term = derived_terms()[key]
    source = next((way.source for way in term.ways if way.node is facts.formulas[key]), term.ways[0].source)
    return Sum(key, what, how, term.unit or PLAIN, ends, _worked_out(key, teller, ends), source)


def _worked_out(key: str, teller: Teller, ends: Ends) -> str:
    """The formula of a term with its numbers; of a range the formula alone."""
    text, numbers = steps_of(key, teller, teller.facts.as_set)
    facts = teller.facts
    while text in facts.formulas and not is_as_stated(text, facts):  # a name alone says nothing of how
        text, numbers = steps_of(text, teller, facts.as_set)
    if ends.is_range or not numbers or numbers == text:
        return formula(text)
    return formula(f"{text}, {numbers}" if is_list(numbers) else f"{text} = {numbers}")


# ---- oxygen


def _supply(teller: Teller, defined: Mapping[str, Defined]) -> Iterator[Sum]:
    """What a supply gives where no leak port is there to be counted: as the pack `oxygen` reckons it."""
    facts = teller.facts
    minutes = find_unit("min") or PLAIN
    if _MUST_LAST in defined and facts.is_stated("oxygen transfer") and facts.is_stated("oxygen reserve"):
        found = ends_of(nodes.Name(_MUST_LAST, _MUST_LAST), facts)
        if found is not None:
            text = _worked_out(_MUST_LAST, teller, found)
            yield Sum(
                _MUST_LAST, "How long the supply must last", "the way + the reserve", minutes, found, text, "definition"
            )
    if "oxygen lasts" in facts.formulas or not {_DRAW, _CARRIED} <= defined.keys():
        return
    draw, carried = nodes.Name(_DRAW, "oxygen each minute"), nodes.Name(_CARRIED, "oxygen in cylinders")
    lasts = nodes.Binary("/", carried, draw)
    found, time = ends_of(draw, facts), ends_of(lasts, facts)
    if found is None or time is None:
        return
    unit = defined[_DRAW].unit or PLAIN
    source = "course teaching for transfers, minute volume times fraction: common practice, no published source"
    yield Sum(
        _DRAW,
        "Oxygen to plan for, each minute",
        "minute volume \u00d7 fraction",
        unit,
        found,
        _worked_out(_DRAW, teller, found),
        source,
    )
    told = {key: teller.key(key, facts.as_set) for key in (_DRAW, _CARRIED)}
    text = show(lasts) if time.is_range else f"{show(lasts)} = {show(with_numbers(lasts, told))}"
    yield Sum(
        "oxygen lasts",
        "How long the supply lasts",
        "contents / oxygen each minute",
        minutes,
        time,
        formula(text),
        source,
    )


def _aimed_at(teller: Teller) -> Iterator[Sum]:
    """Targets that are written for each kilogram, as the volumes that a ventilator shows."""
    facts = teller.facts
    for key in facts.formulas:
        for end in ("low", "high"):
            if key.startswith(f"target {end} "):
                name = key.removeprefix(f"target {end} ")
                ends = ends_of(nodes.Name(key, key), facts)
                if ends is not None:
                    what = f"{name[:1].upper()}{name[1:]} aimed at, {end} end"
                    unit = unit_for(key, facts, {})
                    text = _worked_out(key, teller, ends)
                    yield Sum(key, what, "weight \u00d7 what is written for each kg", unit, ends, text, "definition")
