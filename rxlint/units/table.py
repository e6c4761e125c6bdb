"""The units themselves: symbol, dimension and exact factor; conversion to and from base units; showing a quantity."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from rxlint.units.dimensions import NUMBER, Dimension, without_basis
from rxlint.units.factors import FACTORS
from rxlint.units.spellings import ALIASES
from rxlint.units.symbols import SYMBOLS

_SIGNIFICANT: Final = 4
_ONE: Final = {"days": "day", "weeks": "week", "months": "month", "years": "year"}


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as written. One of it is `factor` base units exactly; `scale` is the same as the nearest float."""

    symbol: str
    dimension: Dimension
    factor: Fraction
    scale: float


def _build() -> dict[str, Unit]:
    # A symbol without a factor is left out, so that the generator can run after one has been added.
    units: dict[str, Unit] = {}
    for symbol, dimension in SYMBOLS.items():
        if symbol in FACTORS:
            numerator, denominator = FACTORS[symbol]
            units[symbol] = Unit(symbol, dimension, Fraction(numerator, denominator), numerator / denominator)
    return units


UNITS: Final[Mapping[str, Unit]] = MappingProxyType(_build())
"""Every unit by its symbol, the preferred one of each dimension before the others."""

PLAIN: Final = Unit("", NUMBER, Fraction(1), 1.0)
"""The unit of a number written without one."""


def find_unit(symbol: str) -> Unit | None:
    """The unit of this exact spelling or accepted alias; None for any other, also a discouraged one (except lb)."""
    return UNITS.get(ALIASES.get(symbol, symbol))


def units_of(dimension: Dimension) -> list[str]:
    """Symbols that measure this dimension, the preferred first; the basis of a weight makes no difference."""
    plain = without_basis(dimension)
    return [unit.symbol for unit in UNITS.values() if unit.dimension == plain]


def to_base(value: Fraction, unit: Unit) -> Fraction:
    """The value in base units, exactly."""
    return value * unit.factor


def from_base(value: Fraction, unit: Unit) -> Fraction:
    """A value in base units as a number of `unit`, exactly."""
    return value / unit.factor


def show(value_base: float | Fraction, unit: Unit, decimals: int | None = None) -> str:
    """A value in base units as text in `unit`: plain decimals, no exponent, no trailing zeros, halves away from zero.

    With `decimals` None it is given to four significant figures, but never rounded above the decimal point.
    Raises ValueError or OverflowError for a value that is not finite.
    """
    value = from_base(Fraction(value_base), unit)
    text = _decimal_text(value, _places(abs(value)) if decimals is None else decimals)
    symbol = _ONE.get(unit.symbol, unit.symbol) if text == "1" else unit.symbol
    return f"{text} {symbol}" if symbol else text


def _places(size: Fraction) -> int:
    """Decimal places that leave four significant figures."""
    if size == 0:
        return 0
    places = _SIGNIFICANT
    while size >= 1 and places > 0:
        size, places = size / 10, places - 1
    while size * 10 < 1:
        size, places = size * 10, places + 1
    return places


def _decimal_text(value: Fraction, places: int) -> str:
    scaled = int(abs(value) * 10**places + Fraction(1, 2))
    digits = str(scaled).rjust(places + 1, "0")
    whole, part = digits[: len(digits) - places], digits[len(digits) - places :].rstrip("0")
    text = f"{whole}.{part}" if part else whole
    return f"-{text}" if value < 0 and scaled else text
