"""Every formula by name: arguments, dimensions, text, source and proven directions.

Why bounds from two corners also hold where the domain is not a box (a rate and a Ti that must fit, a peak that must not
be below PEEP): the domain is cut by inequalities between two or three ordered arguments, and from any point in it the
corner can be reached by moving one argument at a time without leaving it, whenever the corner itself is in the domain.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from rxlint.physiology import body, power, pressures, timing, volumes
from rxlint.physiology.formula import Formula, enclose
from rxlint.physiology.gas_formulas import GAS_FORMULAS
from rxlint.physiology.growth_formulas import GROWTH_FORMULAS
from rxlint.physiology.lung_formulas import LUNG_FORMULAS
from rxlint.physiology.supply_formulas import SUPPLY_FORMULAS
from rxlint.units import (
    COMPLIANCE,
    FLOW,
    LENGTH,
    NUMBER,
    POWER,
    PRESSURE,
    RATE,
    RESISTANCE,
    TIME,
    VOLUME,
    WEIGHT,
    with_basis,
)

__all__ = ["FORMULAS", "Formula", "enclose"]

_CYCLE: Final = "from the definition of the breath cycle"
_REFERENCE: Final = "from the definition of a pressure above ambient and above PEEP"
_ARDSNET: Final = "ARDS Network, N Engl J Med 2000;342:1301-8"
_POWER_VC: Final = "Gattinoni L et al., Intensive Care Med 2016;42:1567-75"
_POWER_PC: Final = "Becher T et al., Intensive Care Med 2019;45:1321-3"
_PREDICTED: Final = with_basis(WEIGHT, "predicted")

# The directions of these follow from the signs in the formula: sums, differences, products and quotients of positives.
_TIMING: Final = (
    Formula("cycle time", (("rate", RATE),), TIME, timing.cycle_time, "1 / rate", _CYCLE, "derived", (-1,)),
    Formula(
        "expiratory time",
        (("rate", RATE), ("inspiratory time", TIME)),
        TIME,
        timing.expiratory_time,
        "1 / rate - Ti",
        _CYCLE,
        "derived",
        (-1, -1),
    ),
    Formula(
        "inspiratory time from I:E",
        (("I:E", NUMBER), ("rate", RATE)),
        TIME,
        timing.inspiratory_time,
        "(Ti/Te) / (1 + Ti/Te) / rate",
        _CYCLE,
        "derived",
        (1, -1),  # r / (1 + r) = 1 - 1 / (1 + r) rises with r
    ),
    Formula(
        "I:E from times",
        (("inspiratory time", TIME), ("expiratory time", TIME)),
        NUMBER,
        timing.ratio_of_times,
        "Ti / Te",
        _CYCLE,
        "derived",
        (1, -1),
    ),
    Formula(
        "I:E from rate",
        (("rate", RATE), ("inspiratory time", TIME)),
        NUMBER,
        timing.ratio_at_rate,
        "Ti / (1 / rate - Ti)",
        _CYCLE,
        "derived",
        (1, 1),  # both shorten Te, which is above zero throughout the domain
    ),
    Formula(
        "duty cycle",
        (("rate", RATE), ("inspiratory time", TIME)),
        NUMBER,
        timing.duty_cycle,
        "rate x Ti",
        _CYCLE,
        "derived",
        (1, 1),
    ),
    Formula(
        "time constant",
        (("resistance", RESISTANCE), ("compliance", COMPLIANCE)),
        TIME,
        timing.time_constant,
        "R x C",
        "from the equation of a passive compartment, R x C x dp/dt = -p",
        "derived",
        (1, 1),
    ),
    Formula(
        "fraction left to exhale",
        (("time", TIME), ("time constant", TIME)),
        NUMBER,
        timing.fraction_left,
        "e^(-t / time constant)",
        "from the equation of a passive compartment, R x C x dp/dt = -p",
        "derived",
        (-1, 1),
    ),
)

_PRESSURES: Final = (
    Formula(
        "inspiratory pressure above ambient",
        (("inspiratory pressure above PEEP", PRESSURE), ("PEEP", PRESSURE)),
        PRESSURE,
        pressures.above_ambient,
        "pressure above PEEP + PEEP",
        _REFERENCE,
        "derived",
        (1, 1),
    ),
    Formula(
        "inspiratory pressure above PEEP",
        (("inspiratory pressure above ambient", PRESSURE), ("PEEP", PRESSURE)),
        PRESSURE,
        pressures.above_peep,
        "pressure above ambient - PEEP",
        _REFERENCE,
        "derived",
        (1, -1),
    ),
    Formula(
        "driving pressure",
        (("plateau", PRESSURE), ("total PEEP", PRESSURE)),
        PRESSURE,
        pressures.driving_pressure,
        "plateau - total PEEP",
        "Amato MBP et al., N Engl J Med 2015;372:747-55",
        "published",
        (1, -1),
    ),
    Formula(
        "driving pressure of a volume",
        (("tidal volume", VOLUME), ("compliance", COMPLIANCE)),
        PRESSURE,
        pressures.driving_pressure_of_volume,
        "Vt / C",
        "Amato MBP et al., N Engl J Med 2015;372:747-55",
        "published",
        (1, -1),
    ),
    Formula(
        "mean airway pressure, pressure control",
        (("peak", PRESSURE), ("PEEP", PRESSURE), ("inspiratory time", TIME), ("expiratory time", TIME)),
        PRESSURE,
        pressures.mean_airway_pressure_square,
        "PEEP + (peak - PEEP) x Ti / (Ti + Te)",
        "time average of a rectangular wave",
        "derived",
        (1, 1, 1, -1),  # a weighted mean of peak and PEEP; the weight of the higher one rises with Ti, falls with Te
    ),
    Formula(
        "mean airway pressure, straight rise",
        (("peak", PRESSURE), ("PEEP", PRESSURE), ("inspiratory time", TIME), ("expiratory time", TIME)),
        PRESSURE,
        pressures.mean_airway_pressure_ramp,
        "PEEP + (peak - PEEP) / 2 x Ti / (Ti + Te)",
        "from memory: usual teaching for constant flow; leaves out the step that resistance adds",
        "from memory",
        (1, 1, 1, -1),
    ),
)

_VOLUMES: Final = (
    Formula(
        "minute volume",
        (("rate", RATE), ("tidal volume", VOLUME)),
        FLOW,
        volumes.minute_volume,
        "rate x Vt",
        "from the definition of minute volume",
        "derived",
        (1, 1),
    ),
    Formula(
        "volume per predicted weight",
        (("volume", VOLUME), ("predicted weight", _PREDICTED)),
        VOLUME / _PREDICTED,
        volumes.volume_per_weight,
        "volume / predicted weight",
        _ARDSNET,
        "published",
        (1, -1),
    ),
    Formula(
        "volume for predicted weight",
        (("volume per predicted weight", VOLUME / _PREDICTED), ("predicted weight", _PREDICTED)),
        VOLUME,
        volumes.volume_of_weight,
        "volume per predicted weight x predicted weight",
        _ARDSNET,
        "published",
        (1, 1),
    ),
    Formula(
        "static compliance",
        (("tidal volume", VOLUME), ("plateau", PRESSURE), ("total PEEP", PRESSURE)),
        COMPLIANCE,
        volumes.static_compliance,
        "Vt / (plateau - total PEEP)",
        "common practice, no published source",
        "common practice",
        (1, -1, 1),
    ),
    Formula(
        "predicted weight, male",
        (("height", LENGTH),),
        _PREDICTED,
        body.predicted_weight_male,
        "50 kg + 0.91 kg/cm x (height - 152.4 cm)",
        _ARDSNET,
        "published",
        (1,),
    ),
    Formula(
        "predicted weight, female",
        (("height", LENGTH),),
        _PREDICTED,
        body.predicted_weight_female,
        "45.5 kg + 0.91 kg/cm x (height - 152.4 cm)",
        _ARDSNET,
        "published",
        (1,),
    ),
)

_POWERS: Final = (
    Formula(
        "mechanical power, volume control",
        (
            ("rate", RATE),
            ("tidal volume", VOLUME),
            ("compliance", COMPLIANCE),
            ("resistance", RESISTANCE),
            ("inspiratory time", TIME),
            ("PEEP", PRESSURE),
        ),
        POWER,
        power.vc_power,
        "rate x (Vt^2 x (1 / (2 C) + R / Ti) + Vt x PEEP)",
        _POWER_VC,
        "published",
        (1, 1, -1, 1, -1, 1),
    ),
    Formula(
        "mechanical power, volume control, from pressures",
        (("rate", RATE), ("tidal volume", VOLUME), ("peak", PRESSURE), ("plateau", PRESSURE), ("PEEP", PRESSURE)),
        POWER,
        power.vc_power_from_pressures,
        "rate x Vt x (peak - (plateau - PEEP) / 2)",
        _POWER_VC,
        "published",
        (1, 1, 1, -1, 1),  # rate and Vt: peak is at least plateau, so the bracket is not negative
    ),
    Formula(
        "mechanical power, pressure control",
        (
            ("rate", RATE),
            ("tidal volume", VOLUME),
            ("inspiratory pressure above PEEP", PRESSURE),
            ("PEEP", PRESSURE),
        ),
        POWER,
        power.pc_power,
        "rate x Vt x (dP + PEEP)",
        _POWER_PC,
        "published",
        (1, 1, 1, 1),
    ),
    Formula(
        "mechanical power, pressure control with rise time",
        (
            ("rate", RATE),
            ("tidal volume", VOLUME),
            ("inspiratory pressure above PEEP", PRESSURE),
            ("PEEP", PRESSURE),
            ("compliance", COMPLIANCE),
            ("resistance", RESISTANCE),
            ("rise time", TIME),
        ),
        POWER,
        power.pc_power_with_rise_time,
        "rate x ((dP + PEEP) x Vt - dP^2 x C x (0.5 - k + k^2 (1 - e^(-1/k)))), k = R C / rise time",
        _POWER_PC,
        "published",
        # With m = 1/k the last factor is G(m) = m phi(m), phi(m) the integral over t from 0 to 1 of
        # (1 - t)^2 / 2 e^(-m t), by Taylor's remainder. G is also the integral of t - (1 - e^(-m t)) / m, which rises
        # with m: so G rises with the rise time and falls with R. C G = (rise time / R) phi(m), and phi falls with m
        # while m falls with C: so C G rises with C. In dP there is a gain and a loss, hence no direction.
        # Rate: the domain keeps the energy above zero.
        (1, 1, None, 1, -1, 1, -1),
    ),
)

FORMULAS: Final[Mapping[str, Formula]] = MappingProxyType(
    {
        formula.name: formula
        for formula in (
            *_TIMING,
            *_PRESSURES,
            *_VOLUMES,
            *LUNG_FORMULAS,
            *_POWERS,
            *GAS_FORMULAS,
            *SUPPLY_FORMULAS,
            *GROWTH_FORMULAS,
        )
    }
)
"""Every formula by its name."""
