"""What a value measures: a product of whole powers of a few base quantities.

Weight is a base of its own, apart from the mass of water in humidity, because the weight that a dose or a volume is
divided by may carry a basis ("predicted weight"): 8 mL/kg of predicted weight and 8 mL/kg of measured weight are not
the same kind of value, and only the dimension can keep them apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final, NoReturn

BASES: Final = ("pressure", "volume", "time", "length", "weight", "temperature", "mass")
_BASIS_ENDING: Final = " weight"


class Dimension:
    """A product of powers: (base name, exponent other than zero) pairs sorted by name; the empty product is a number.

    Build one with `Dimension.of`, which sorts and drops zero exponents. Raises ValueError for an unknown base.
    Immutable. Written out rather than a dataclass: that would take half of this package's time to import.
    """

    __slots__ = ("_hash", "exponents")

    exponents: tuple[tuple[str, int], ...]
    _hash: int

    def __init__(self, exponents: tuple[tuple[str, int], ...] = ()) -> None:
        names = [name for name, _ in exponents]
        if names != sorted(set(names)) or any(power == 0 for _, power in exponents):
            raise ValueError(f"exponents must be sorted, each base once and none zero: {exponents}")
        for name in names:
            if name not in BASES and not (name.endswith(_BASIS_ENDING) and name.strip() == name):
                raise ValueError(f"unknown base quantity: {name!r}")
        object.__setattr__(self, "exponents", exponents)
        object.__setattr__(self, "_hash", hash(exponents))

    def __setattr__(self, name: str, value: object) -> NoReturn:
        raise AttributeError(f"a dimension cannot be changed: {name}")

    def __delattr__(self, name: str) -> NoReturn:
        raise AttributeError(f"a dimension cannot be changed: {name}")

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Dimension) and self.exponents == other.exponents)

    def __hash__(self) -> int:
        return self._hash

    def __reduce__(self) -> tuple[type[Dimension], tuple[tuple[tuple[str, int], ...]]]:
        return Dimension, (self.exponents,)  # text hashes differ between processes, so the hash is made anew

    def __repr__(self) -> str:
        return f"Dimension({self.exponents!r})"

    @classmethod
    def of(cls, exponents: Mapping[str, int]) -> Dimension:
        """The dimension with these exponents; zero exponents are dropped."""
        return cls(tuple(sorted((name, power) for name, power in exponents.items() if power)))

    def multiply(self, other: Dimension) -> Dimension:
        """Dimension of a product."""
        total = dict(self.exponents)
        for name, power in other.exponents:
            total[name] = total.get(name, 0) + power
        return Dimension.of(total)

    def divide(self, other: Dimension) -> Dimension:
        """Dimension of a quotient."""
        return self.multiply(other.power(-1))

    def power(self, exponent: int) -> Dimension:
        """Dimension of a whole power."""
        return Dimension.of({name: power * exponent for name, power in self.exponents})

    def __mul__(self, other: Dimension) -> Dimension:
        return self.multiply(other)

    def __truediv__(self, other: Dimension) -> Dimension:
        return self.divide(other)

    def __pow__(self, exponent: int) -> Dimension:
        return self.power(exponent)

    @property
    def basis(self) -> str | None:
        """The basis of the weight in it ("predicted"), or None for plain weight and for no weight at all."""
        for name, _ in self.exponents:
            if name.endswith(_BASIS_ENDING):
                return name.removesuffix(_BASIS_ENDING)
        return None

    def describe(self) -> str:
        """A readable name: "pressure", "rate", "volume per predicted weight", "pressure per length squared"."""
        name = _NAMES.get(self)
        if name is not None:
            return name
        for base, power in self.exponents:
            rest = _NAMES.get(self.divide(Dimension(((base, power),)))) if _is_weight(base) else None
            if rest is not None and power < 0:
                return f"{rest} per {_raised(base, -power)}"
        above = _product((base, power) for base, power in self.exponents if power > 0)
        below = _product((base, -power) for base, power in self.exponents if power < 0)
        return " per ".join(part for part in (above or ("number" if below else ""), below) if part)

    def __str__(self) -> str:
        return self.describe()


def with_basis(dimension: Dimension, basis: str) -> Dimension:
    """The dimension with its plain weight on a basis: (volume per weight, "predicted") -> volume per predicted weight.

    Raises ValueError if the dimension holds no plain weight, since a basis then says nothing.
    """
    exponents = dict(dimension.exponents)
    if "weight" not in exponents or not basis.strip():
        raise ValueError(f"{dimension.describe()} has no plain weight to be put on the basis {basis!r}")
    exponents[basis.removesuffix(_BASIS_ENDING) + _BASIS_ENDING] = exponents.pop("weight")
    return Dimension.of(exponents)


def without_basis(dimension: Dimension) -> Dimension:
    """The dimension with every weight made plain: what a unit such as mL/kg has before anyone says which weight."""
    total: dict[str, int] = {}
    for name, power in dimension.exponents:
        plain = "weight" if _is_weight(name) else name
        total[plain] = total.get(plain, 0) + power
    return Dimension.of(total)


def _is_weight(base: str) -> bool:
    return base == "weight" or base.endswith(_BASIS_ENDING)


def _raised(base: str, power: int) -> str:
    endings = {1: "", 2: " squared", 3: " cubed"}
    return base + endings.get(power, f" to the power {power}")


def _product(parts: Iterable[tuple[str, int]]) -> str:
    return " times ".join(_raised(base, power) for base, power in parts)


NUMBER: Final = Dimension()
PRESSURE: Final = Dimension.of({"pressure": 1})
VOLUME: Final = Dimension.of({"volume": 1})
TIME: Final = Dimension.of({"time": 1})
LENGTH: Final = Dimension.of({"length": 1})
WEIGHT: Final = Dimension.of({"weight": 1})
TEMPERATURE: Final = Dimension.of({"temperature": 1})
MASS: Final = Dimension.of({"mass": 1})
RATE: Final = NUMBER / TIME
FLOW: Final = VOLUME / TIME
COMPLIANCE: Final = VOLUME / PRESSURE
RESISTANCE: Final = PRESSURE / FLOW
ENERGY: Final = PRESSURE * VOLUME
POWER: Final = ENERGY / TIME

_NAMES: Final[Mapping[Dimension, str]] = {
    NUMBER: "plain number",
    PRESSURE: "pressure",
    VOLUME: "volume",
    TIME: "time",
    LENGTH: "length",
    WEIGHT: "weight",
    TEMPERATURE: "temperature",
    MASS: "mass",
    RATE: "rate",
    FLOW: "flow",
    COMPLIANCE: "compliance",
    RESISTANCE: "resistance",
    ENERGY: "energy",
    POWER: "power",
}
