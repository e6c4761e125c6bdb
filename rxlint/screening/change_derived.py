"""What two revisions of a document imply, before and after, and what carbon dioxide is to be expected of the change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Node, Words, keys_in, nodes, number
from rxlint.expressions.bounds import bounds
from rxlint.model.facts import Facts, facts_of
from rxlint.model.names import derived_terms
from rxlint.notation.tree import Document
from rxlint.physiology.carbon_dioxide import paco2_after
from rxlint.physiology.errors import OutOfDomain
from rxlint.screening.change import UNNAMED
from rxlint.screening.change_lines import is_alike
from rxlint.screening.change_scopes import Both
from rxlint.screening.values import show_number, unit_for
from rxlint.units import Unit

# In the order in which a colleague would ask for them.
TERMS: Final = (
    "expected tidal volume", "volume per predicted weight", "volume per measured weight", "expected minute volume",
    "alveolar ventilation", "inspiration", "expiratory time", "ratio of times", "mandatory peak", "supported peak",
    "pressure above baseline", "support above baseline", "driving pressure", "modelled plateau",
    "modelled intrinsic PEEP", "mean airway pressure", "mechanical power", "FiO2", "estimated FiO2", "mean port leak",
    "planned oxygen draw", "oxygen lasts",
)  # fmt: skip

# Without a leak port to count, the cylinders last as the pack `oxygen` reckons: contents over the planned draw.
_LASTS: Final = "oxygen lasts"
_CARRIED, _DRAW = "oxygen: carried oxygen", "oxygen: generous oxygen draw"
_LASTS_OTHERWISE: Final = nodes.Binary("/", nodes.Name(_CARRIED, _CARRIED), nodes.Name(_DRAW, _DRAW))

# Nothing but the machine's own breaths is known: where the patient adds breaths of its own, none is predicted.
_PATTERNS: Final = frozenset({"CMV", "A/C"})
# The relation is of a steady state and of modest changes; beyond a factor of two in ventilation nothing is told.
_MODEST: Final = Fraction(2)
SOURCE: Final = "mass balance of carbon dioxide in steady state, with its output and the dead space unchanged"


@dataclass(frozen=True, slots=True)
class Ends:
    """A value: one number, or the ends of what is allowed, in base units."""

    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class Implied:
    """A value that both documents imply, or one of them."""

    term: str
    unit: Unit
    before: Ends | None
    after: Ends | None
    period: str | None
    band: str | None

    @property
    def is_changed(self) -> bool:
        """Whether it is another one than before."""
        if self.before is None or self.after is None:
            return True
        return not (is_alike(self.before.low, self.after.low) and is_alike(self.before.high, self.after.high))

    @property
    def is_seen_to_change(self) -> bool:
        """Whether the change shows in the figures that are told."""
        return self.is_changed and self.told(self.before) != self.told(self.after)

    def told(self, ends: Ends | None) -> str | None:
        """One of its values as text."""
        if ends is None:
            return None
        low = show_number(ends.low, self.unit, self.term)
        return low if ends.low == ends.high else f"{low} to {show_number(ends.high, self.unit, self.term)}"


@dataclass(frozen=True, slots=True)
class Predicted:
    """A carbon dioxide tension that is to be expected, in base units, with what it rests on."""

    reading: str
    unit: Unit
    measured: Fraction
    expected: Fraction
    taken: str
    before: str
    after: str
    period: str | None


def implied_of(both: Sequence[Both]) -> Iterator[Implied]:
    """The derived values of every period and band, before and after, where anything that they rest on has changed."""
    for each in both:
        for old, new in each.sides():
            one = new or old
            assert one is not None
            band = one.band.label if one.band is not None else None
            for term in TERMS:
                node = _node(term, [facts for facts in (old, new) if facts is not None])
                if node is None or (old is not None and new is not None and _is_as_before(node, old, new)):
                    continue
                before, after = (_ends(node, facts) if facts is not None else None for facts in (old, new))
                if before is not None or after is not None:
                    unit = unit_for(term, one if after is not None else old or one, {})
                    name = f"{term}, leaks left out" if node is _LASTS_OTHERWISE else term
                    yield Implied(name, unit, before, after, _period(each, both), band)


def _period(each: Both, both: Sequence[Both]) -> str | None:
    return (each.label or UNNAMED) if len(both) > 1 else None


def _is_as_before(node: Node, old: Facts, new: Facts) -> bool:
    """Whether all that a value rests on is as it was; then its range, which takes long to find, is too."""
    keys = old.closure(keys_in(node)) | new.closure(keys_in(node))
    return all(
        each.get(key) == other.get(key)
        for key in keys
        for each, other in (
            (old.constants, new.constants),
            (old.axes, new.axes),
            (old.formulas, new.formulas),
            (old.written, new.written),
        )
    )


def _node(term: str, sides: Sequence[Facts]) -> Node | None:
    """What a term is looked up by, the same on both sides; None where nothing tells it on any."""
    if term == _LASTS and not any(term in facts.formulas for facts in sides):
        return _LASTS_OTHERWISE if all({_CARRIED, _DRAW} <= facts.formulas.keys() for facts in sides) else None
    return nodes.Name(term, term)


def _ends(node: Node, facts: Facts) -> Ends | None:
    if any(key in derived_terms() and key not in facts.formulas for key in keys_in(node)):
        return None
    found = number(node, facts.as_set)
    if isinstance(found, Fraction):
        return Ends(found, found)
    if not facts.axes:
        return None
    ends = bounds(node, facts.space)
    return Ends(*ends) if ends is not None else None


# ---- carbon dioxide


def predicted_of(old: Document, new: Document, both: Sequence[Both]) -> Iterator[Predicted]:
    """What the last reading under the old settings lets expect under the new ones, where both ventilations are known.

    Not where the patient may add breaths that nobody has ordered, and not for a change that is more than modest.
    """
    for each in both:
        if not each.is_single:
            continue
        ventilations = _ventilations(each.old[0], each.new[0])
        reading = _reading(old, new, each)
        if ventilations is None or reading is None or not _is_modest(*ventilations[:2]):
            continue
        key, value, taken = reading
        first, second, what = ventilations
        try:
            expected = Fraction(paco2_after(float(value), float(first), float(second)))
        except OutOfDomain:
            continue
        unit = unit_for(what, each.new[0], {})
        before, after = (f"{what} {show_number(size, unit, what)}" for size in (first, second))
        name, shown_in = key.removeprefix("reading "), unit_for(key, each.new[0], {})
        yield Predicted(name, shown_in, value, expected, taken, before, after, _period(each, both))


def _is_modest(before: Fraction, after: Fraction) -> bool:
    return before != after and 1 / _MODEST <= before / after <= _MODEST


def _ventilations(old: Facts, new: Facts) -> tuple[Fraction, Fraction, str] | None:
    """Ventilation before and after: that of the alveoli; with the same breath the minute volume serves as well."""
    if not all(_pattern(facts) in _PATTERNS for facts in (old, new)):
        return None
    alveolar = _values("alveolar ventilation", old, new)
    if alveolar is not None:
        return (*alveolar, "alveolar ventilation")
    volumes, minute = _values("expected tidal volume", old, new), _values("expected minute volume", old, new)
    if volumes is None or minute is None or not is_alike(*volumes):
        return None
    return (*minute, "expected minute volume")


def _values(key: str, old: Facts, new: Facts) -> tuple[Fraction, Fraction] | None:
    first, second = old.as_set.value(key), new.as_set.value(key)
    return (first, second) if isinstance(first, Fraction) and isinstance(second, Fraction) else None


def _pattern(facts: Facts) -> str | None:
    value = facts.constants.get("mode pattern")
    return next(iter(value.stated), None) if isinstance(value, Words) else None


def _reading(old: Document, new: Document, both: Both) -> tuple[str, Fraction, str] | None:
    """The last carbon dioxide reading that was taken under the old settings, arterial before expired.

    In the new document those count that say they were taken before the change; in the old one those that don't.
    """
    sets = [
        *(each for each in _sets(old, both.before) if _change(each) != "before"),
        *(each for each in _sets(new, both.after) if _change(each) == "before"),
    ]
    for key in ("reading PaCO2", "reading EtCO2"):
        for facts in reversed(sets):
            value = facts.as_set.value(key)
            if isinstance(value, Fraction) and value > 0:
                return key, value, _taken(facts)
    return None


def _sets(document: Document, period: str | None) -> list[Facts]:
    found = [each for each in facts_of(document) if each.scope.readings is not None and each.period == period]
    return sorted(found, key=_taken)


def _change(facts: Facts) -> str | None:
    readings = facts.scope.readings
    return readings.heading.change if readings is not None and readings.heading is not None else None


def _taken(facts: Facts) -> str:
    readings = facts.scope.readings
    moment = readings.heading.moment if readings is not None and readings.heading is not None else None
    return " ".join(part for part in (moment.date, moment.time) if part) if moment is not None else ""
