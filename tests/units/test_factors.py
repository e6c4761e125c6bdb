"""The factor table against the units library it comes from, against UCUM and against published conversions."""

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest
import ucumvert

from rxlint.units import UNITS, Unit, from_base, to_base
from rxlint.units import factors as factors_module
from rxlint.units.factors import FACTORS
from rxlint.units.generate import compute_factors, render
from rxlint.units.symbols import SYMBOLS
from rxlint.units.ucum import ucum_code

FRESH = compute_factors()


def test_the_table_is_what_the_generator_writes() -> None:
    assert factors_module.__file__ is not None
    assert Path(factors_module.__file__).read_text(encoding="utf-8") == render(FRESH)


def test_every_symbol_has_its_exact_factor() -> None:
    assert {symbol: Fraction(*pair) for symbol, pair in FACTORS.items()} == FRESH
    assert set(FACTORS) == set(SYMBOLS) == set(UNITS)
    assert all(unit.factor == FRESH[symbol] for symbol, unit in UNITS.items())
    assert all(unit.scale == float(unit.factor) for unit in UNITS.values())


BASE_CODES = {
    "pressure": "cm[H2O]", "volume": "mL", "time": "s", "length": "cm", "weight": "kg", "mass": "mg",
}  # fmt: skip
REGISTRY = ucumvert.PintUcumRegistry()


@pytest.mark.parametrize("unit", [u for u in UNITS.values() if u.symbol != "degC"], ids=lambda u: u.symbol)
def test_factors_agree_with_ucum(unit: Unit) -> None:
    # UCUM takes the metre of mercury as 133.3220 kPa, 2.9e-6 below the conventional one: hence 1e-5.
    measured = REGISTRY.from_ucum(ucum_code(unit))
    base = 1
    for name, power in unit.dimension.exponents:
        base = base * REGISTRY.from_ucum(BASE_CODES[name]) ** power
    assert float((1 * measured / base).to("").magnitude) == pytest.approx(unit.scale, rel=1e-5)


# NIST SP 811 (2008), appendix B.8. True where the factor is exact by definition, else it is printed rounded.
NIST = [
    ("cmH2O", "Pa", "98.0665", True),
    ("mmHg", "Pa", "133.3224", False),
    ("bar", "Pa", "100000", True),
    ("mbar", "Pa", "100", True),
    ("psi", "Pa", "6894.757", False),
    ("psi", "kPa", "6.894757", False),
    ("in", "cm", "2.54", True),
    ("ft", "m", "0.3048", True),
    ("lb", "kg", "0.45359237", True),
    ("day", "s", "86400", True),
]
# Quotients of those definitions, worked by hand.
WORKED = [
    ("mmHg", "Pa", "133.322387415", True),
    ("mmHg", "cmH2O", "1.35951", True),
    ("cmH2O", "mbar", "0.980665", True),
    ("cmH2O", "mmHg", "0.735559", False),
    ("kPa", "mmHg", "7.50062", False),
    ("kPa", "cmH2O", "10.19716", False),
]


@pytest.mark.parametrize(("source", "target", "number", "exact"), [*NIST, *WORKED])
def test_published_conversions(source: str, target: str, number: str, exact: bool) -> None:
    value = from_base(to_base(Fraction(1), UNITS[source]), UNITS[target])
    if exact:
        assert value == Fraction(number)
    else:
        assert float(value) == pytest.approx(float(number), rel=1e-6)


# Worked from the same definitions: 1 cmH2O L = 0.0980665 J, the "0.098" of mechanical power formulas.
@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [
        ("20", "cmH2O", "mmHg", 14.711),
        ("25", "mbar", "cmH2O", 25.493),
        ("30", "L/min", "mL/s", 500),
        ("20", "mbar/(L/s)", "cmH2O/(L/s)", 20.394),
        ("1", "cmH2O/(L/s)", "kPa/(L/s)", 0.0980665),
        ("50", "mL/mbar", "mL/cmH2O", 49.033),
        ("1", "mL/cmH2O", "mL/kPa", 10.19716),
        ("12", "Fr", "mm", 4),
        ("6", "h/day", "%", 25),
    ],
)
def test_worked_conversions(value: str, source: str, target: str, expected: float) -> None:
    assert UNITS[source].dimension == UNITS[target].dimension
    assert float(from_base(to_base(Fraction(value), UNITS[source]), UNITS[target])) == pytest.approx(expected, rel=3e-5)


def test_a_joule_is_the_constant_of_power_formulas() -> None:
    assert from_base(Fraction(1000), UNITS["J"]) == Fraction("0.0980665")


def test_the_units_library_is_not_imported_at_run_time() -> None:
    code = "import sys, rxlint.units; print(sorted(m for m in sys.modules if m.split('.')[0] in ('pint', 'ucumvert')))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
