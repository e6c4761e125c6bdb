"""Humidity of saturated gas, and gas volumes at other conditions.

Temperatures in degrees C, pressures in cmH2O, humidity in mg of water per mL (1000 mg/L are 1), volumes in mL.
"""

from __future__ import annotations

import math
from typing import Final

from rxlint.physiology.errors import OutOfDomain, computable, not_negative, positive
from rxlint.physiology.oxygenation import BODY_VAPOUR
from rxlint.units import UNITS

_ZERO: Final = 273.15  # K
_BODY: Final = 37.0
_HOTTEST: Final = 60.0  # the formula of the vapour pressure is stated for -45 to 60 degrees C
_STANDARD: Final = 760 * UNITS["mmHg"].scale

# Water in a volume of gas: molar mass / gas constant x vapour pressure / temperature. With 18.015 g/mol and
# 8.314 J/(mol K) that is 2.1668 g/m3 (the same as mg/L) for each Pa/K, here for cmH2O/K and in mg/mL.
_WATER: Final = 18.015 / 8.314 * UNITS["cmH2O"].scale / UNITS["Pa"].scale / 1000


@computable
def saturated_vapour_pressure(temperature: float) -> float:
    """Vapour pressure (cmH2O) over water: the Magnus form of the World Meteorological Organization.

    6.112 hPa x e^(17.62 t / (243.12 + t)), Guide to Meteorological Instruments and Methods of Observation, WMO-No. 8.
    """
    not_negative(temperature=temperature)
    if temperature > _HOTTEST:
        raise OutOfDomain(f"vapour pressure is computed up to 60 degrees C, not at {temperature:g}")
    return 6.112 * UNITS["hPa"].scale * math.exp(17.62 * temperature / (243.12 + temperature))


@computable
def saturated_humidity(temperature: float) -> float:
    """Water in saturated gas (mg/mL) at a temperature."""
    return _WATER * saturated_vapour_pressure(temperature) / (_ZERO + temperature)


@computable
def relative_humidity(absolute_humidity: float, temperature: float) -> float:
    """Share of saturation (plain number) of an absolute humidity (mg/mL) at a temperature; above 1 water condenses."""
    not_negative(absolute_humidity=absolute_humidity)
    return absolute_humidity / saturated_humidity(temperature)


@computable
def body_volume_of_saturated(volume: float, temperature: float, barometric_pressure: float) -> float:
    """Volume (mL) at body conditions (37 degrees C, saturated) of gas saturated at up to 37 degrees C."""
    positive(volume=volume)
    vapour = saturated_vapour_pressure(temperature)
    if temperature > _BODY:
        raise OutOfDomain(f"gas at {temperature:g} degrees C is warmer than the body")
    dry = _above_vapour(barometric_pressure)
    return volume * ((barometric_pressure - vapour) / dry) * ((_ZERO + _BODY) / (_ZERO + temperature))


@computable
def body_volume_of_dry(volume: float, temperature: float, barometric_pressure: float) -> float:
    """Volume (mL) at body conditions (37 degrees C, saturated) of dry gas."""
    positive(volume=volume)
    not_negative(temperature=temperature)
    dry = _above_vapour(barometric_pressure)
    return volume * (barometric_pressure / dry) * ((_ZERO + _BODY) / (_ZERO + temperature))


@computable
def standard_volume_of_body(volume: float, barometric_pressure: float) -> float:
    """Volume (mL) at standard conditions (0 degrees C, 760 mmHg, dry) of gas at body conditions."""
    positive(volume=volume)
    return volume * (_ZERO / (_ZERO + _BODY)) * (_above_vapour(barometric_pressure) / _STANDARD)


def _above_vapour(barometric_pressure: float) -> float:
    positive(barometric_pressure=barometric_pressure)
    dry = barometric_pressure - BODY_VAPOUR
    if dry <= 0:
        raise OutOfDomain("the barometric pressure is below the vapour pressure at 37 degrees C")
    return dry
