"""What one statement says, as values: axes, window ends, items, words."""

from __future__ import annotations

from fractions import Fraction

from rxlint.expressions import Axis, Item, Words
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity, unit_of
from rxlint.units import Dimension, Unit, to_base
from rxlint.vocabulary import Term, vocabulary

_AIR = Fraction(21, 100)


def base_dimension(key: str) -> Dimension:
    """The dimension of a stated term's values."""
    return vocabulary().terms[key].dimension


def companion_keys(term: Term | None) -> set[str]:
    """The keys of what is stated beside a term's value, and of a window's ends."""
    if term is None:
        return set()
    if term.kind == "window":
        return {f"target low {term.phrase}", f"target high {term.phrase}"}
    parts = {slot.name for slot in term.slots[1:]}
    return parts | {f"{term.key} {name}" for name in ("manner", "place", "basis", "reference", "pressure", "state")}


def has_state(term: Term | None) -> bool:
    """Whether a term has a value or is switched off: an alarm that is more than a switch."""
    return term is not None and term.kind == "limit" and term.form != "state"


def chosen_words(term: Term, words: tuple[str, ...]) -> Words:
    """The words of a term as stated; the words of slots that were left open are silent."""
    stated = frozenset(words)
    silent = frozenset(word for slot in term.slots if not stated & set(slot.words) for word in slot.words)
    return Words(stated, silent)


def items_of(body: n.Items) -> tuple[Item, ...]:
    """A list's items with their quantities in base units."""
    found: list[Item] = []
    for item in body.items:
        amount: Fraction | None = None
        if item.amount is not None:
            unit = unit_of(item.amount.unit or "")
            amount = to_base(item.amount.parts[0].number, unit) if unit is not None else None
        found.append(Item(item.name, amount))
    return tuple(found)


def window_ends(quantity: Quantity) -> tuple[Fraction | None, Fraction | None]:
    """The ends of a target: one value is a window of no width."""
    points = quantity.points
    match quantity.kind:
        case "at most":
            return None, points[0]
        case "at least":
            return points[0], None
        case _:
            return min(points), max(points)


def axis_or_value(key: str, term: Term, quantity: Quantity) -> Axis | Fraction:
    """What is written as a fixed value, or as what it may be."""
    points = quantity.points
    grid = to_base(Fraction(1, 10**quantity.decimals), quantity.unit)
    set_value = points[0] if quantity.kind == "exact" else None
    if quantity.allowed is not None:
        low, high = quantity.allowed
        options: tuple[Fraction | Words, ...] = quantity.options
        return Axis(key, low, high, quantity.step, grid, low, options, set_value)
    if quantity.kind == "exact":
        return points[0]
    if quantity.kind == "one of":
        return Axis(key, min(points), max(points), None, grid, points[0], points, None)
    low, high = term.plausible or (Fraction(0), max(points))
    low = max(low, _AIR) if term.form == "fraction" else low  # "up to 40 %" begins with air
    if quantity.kind == "at most":
        return Axis(key, min(low, points[0]), points[0], quantity.step, grid, points[0], (), None)
    if quantity.kind == "at least":
        return Axis(key, points[0], max(high, points[0]), quantity.step, grid, points[0], (), None)
    return Axis(key, points[0], points[1], quantity.step, grid, points[0], (), None)


def other_key(term: Term, unit: Unit) -> str:
    """The key of a term written in another dimension than its first: a share of a leak, a pressure that triggers."""
    return f"{term.key} {unit.dimension.describe() if unit.dimension.exponents else 'share'}"


def is_other(term: Term, quantity: Quantity) -> bool:
    """Whether a quantity is written in another of its term's dimensions than the first."""
    return any(quantity.unit.dimension == unit.dimension != term.units[0].dimension for unit in term.units[1:])
