"""Random amounts of a term: plausible, and written without a hazard."""

from fractions import Fraction
from functools import cache
from math import ceil, floor

from hypothesis import strategies as st

from rxlint.notation import nodes as n
from rxlint.notation.amounts import dimensions_of, is_daily, standard_share
from rxlint.units import UNITS, Unit
from rxlint.vocabulary import Term
from tests.notation.plain import amount

_MOST_DECIMALS = 5
OTHER = (Fraction(1), Fraction(15))  # of a second dimension, for which no range is known; these suit every unit


def decimal(count: int, places: int) -> str:
    """`count` steps of a power of ten as the notation writes it, without needless zeros."""
    sign, digits = "-" if count < 0 else "", str(abs(count)).rjust(places + 1, "0")
    whole, part = digits[: len(digits) - places], digits[len(digits) - places :].rstrip("0")
    return sign + (f"{whole}.{part}" if part else whole)


def numbers(low: Fraction, high: Fraction) -> st.SearchStrategy[Fraction] | None:
    """Numbers within a range that have few decimals; None where there are none."""
    for places in range(_MOST_DECIMALS + 1):
        first, last = ceil(low * 10**places), floor(high * 10**places)
        if last - first >= 5:
            return st.builds(Fraction, st.integers(first, last), st.just(10**places))
    return None


def text_of(number: Fraction) -> str:
    return decimal(round(number * 10**_MOST_DECIMALS), _MOST_DECIMALS)


@cache
def units_for(term: Term) -> list[tuple[Unit | None, Fraction, Fraction]]:
    """The units that the term may be written in, each with the range of plausible numbers in it."""
    if not term.units:
        low, high = term.plausible or (Fraction(0), Fraction(100))
        return [(None, low, high)]
    found: list[tuple[Unit | None, Fraction, Fraction]] = []
    share = standard_share(term)
    for unit in UNITS.values():
        if unit.dimension not in dimensions_of(term) or (
            share is not None and is_daily(unit.symbol) != is_daily(share)
        ):
            continue
        if unit.symbol == "lb":  # discouraged
            continue
        if unit.dimension == term.units[0].dimension:
            low, high = term.plausible or (Fraction(1), Fraction(100))
            bounds = low / unit.factor, high / unit.factor
        elif term.per_kilogram is not None and unit.dimension == term.per_kilogram.unit.dimension:
            low, high = term.per_kilogram.plausible
            bounds = low / unit.factor, high / unit.factor
        else:
            bounds = OTHER
        if numbers(*bounds) is not None:
            found.append((unit, *bounds))
    return found


@st.composite
def ordered(draw: st.DrawFn, term: Term, count: int) -> tuple[Unit | None, list[Fraction]]:
    """A unit of the term, and numbers in it from small to large."""
    unit, low, high = draw(st.sampled_from(units_for(term)))
    strategy = numbers(low, high)
    assert strategy is not None
    return unit, sorted(draw(st.lists(strategy, min_size=count, max_size=count)))


def of_unit(number: Fraction, unit: Unit | None) -> n.Amount:
    return amount(text_of(number), unit.symbol if unit is not None else None)


@st.composite
def durations(draw: st.DrawFn) -> n.Amount:
    unit = draw(st.sampled_from(["s", "ms", "min", "h", "days", "weeks"]))
    return amount(decimal(draw(st.integers(1, 400)), draw(st.integers(0, 1))), unit)


@st.composite
def ages(draw: st.DrawFn, term: Term) -> n.Amount:
    """Completed years and months, months, weeks and days: as the term's ages are told."""
    largest = {"age": ("years", 0, 119), "corrected age": ("months", 0, 35), "gestation": ("weeks", 20, 44)}
    name, low, high = largest[term.phrase]
    rest = {"years": [("months", 11)], "months": [("weeks", 3)], "weeks": [("days", 6)]}[name]
    parts = [(draw(st.integers(low, high)), name)]
    parts += [(draw(st.integers(1, most)), unit) for unit, most in rest if draw(st.booleans())]
    return n.Amount(tuple(n.Part(Fraction(each), str(each), unit, 0, 0, 0) for each, unit in parts), False, 0, 0)


@st.composite
def ratios(draw: st.DrawFn) -> n.Amount:
    left, right = draw(st.sampled_from(["1:1", "1:2", "1:2.5", "1:3", "1.5:1", "2:1"])).split(":")
    part = n.Part(Fraction(left) / Fraction(right), f"{left}:{right}", None, 0, 0, 0)
    return n.Amount((part,), True, 0, 0)


@st.composite
def shares(draw: st.DrawFn, low: Fraction, high: Fraction, count: int) -> list[n.Amount]:
    """Oxygen fractions from small to large, all in per cent or all as numbers up to 1."""
    percent = draw(st.booleans())
    steps = sorted(draw(st.lists(st.integers(ceil(low * 100), floor(high * 100)), min_size=count, max_size=count)))
    return [amount(str(step), "%") if percent else amount(decimal(step, 2)) for step in steps]
