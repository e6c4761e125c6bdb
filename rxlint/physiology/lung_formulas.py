"""The formulas of the one-compartment lung for the registry, with the proofs of their directions.

Symbols as in `lung`: u = Ti/(Ri C), v = Te/(Re C), a = 1 - e^-u, b = 1 - e^-v, s = 1/C.

Pressure control. a rises with Ti and falls with Ri and C; b rises with Te and falls with Re and C.
- Vt = C dP / (1/a + 1/b - 1) rises with a and b. In C: dP/Vt = (s/2)(coth(u/2) + coth(v/2)), u and v proportional to
  s, and z coth z rises with z; so dP/Vt rises with s, and Vt rises with C.
- Intrinsic PEEP = dP / (1 + b / (a (1 - b))) rises with a, falls with b. In C: b / (a (1 - b)) = (e^v - 1)/(1 - e^-u)
  has the logarithmic derivative (1/s) (v/(1 - e^-v) - u/(e^u - 1)) > 0, as z/(1 - e^-z) > 1 > z/(e^z - 1).
- End-inspiratory pressure = PEEP + dP / (1 + b (1 - a) / a) rises with a, falls with b. In C: b (1 - a) / a =
  (1 - e^-v)/(e^u - 1) has the logarithmic derivative (1/s)(v/(e^v - 1) - u/(1 - e^-u)) < 0: it rises with s.
- Mean alveolar pressure. Ri and Re: a larger Ri slows the rise at every p, a larger Re slows the fall, so by comparison
  the periodic p is lower or higher throughout. Ti: p_0 and p_end rise, so p is no lower at any moment of either phase;
  inspiration is extended by its highest values; and it gains weight, being the phase with the higher mean, as p is
  concave in it and convex in expiration, between the same two values. Te: the same with the signs turned. C acts
  through (Re - Ri) Vt, whose sign is not fixed, hence no direction.

Volume control, Vt held by the order.
- Intrinsic PEEP = Vt s / (e^v - 1), v proportional to s: z/(e^z - 1) falls with z, so it rises with C.
- Plateau = PEEP + Vt s / (1 - e^-v): z/(1 - e^-z) rises with z, so it falls with C.
- Means, with T = Tf + Tp + Te: alveolar PEEP + ((p_0 + Vt/2C) Tf + p_end Tp + Re Vt) / T, airway the same with Ri Vt.
  Above PEEP in proportion to Vt. C: p_0 + Vt/2C = (Vt s/2) coth(v/2) and p_end rise with s. Re raises both.
  Te lowers them and gives weight to the phase with the lowest mean (alveolar: convex there against straight, between
  the same values; airway: nothing above PEEP). Pause, alveolar: it gives weight to p_end, the highest value there is.
  Pause for the airway pressure and flow time for both give weight to a value that may be above or below the mean.
"""

from __future__ import annotations

from typing import Final

from rxlint.physiology import lung
from rxlint.physiology.formula import Formula
from rxlint.units import COMPLIANCE, FLOW, PRESSURE, RESISTANCE, TIME, VOLUME, Dimension

_SOURCE: Final = (
    "derived for one passive linear compartment in steady state; the model is that of Marini JJ, Crooke PS, Truwit JD, "
    "J Appl Physiol 1989;67:1081-92"
)
_VC_SOURCE: Final = "derived from the equation of motion of one passive linear compartment in steady state"
_WHERE: Final = "x = e^(-Ti/(Ri C)), y = e^(-Te/(Re C))"

_VT: Final[tuple[str, Dimension]] = ("tidal volume", VOLUME)
_C: Final[tuple[str, Dimension]] = ("compliance", COMPLIANCE)
_RI: Final[tuple[str, Dimension]] = ("inspiratory resistance", RESISTANCE)
_RE: Final[tuple[str, Dimension]] = ("expiratory resistance", RESISTANCE)
_DP: Final[tuple[str, Dimension]] = ("inspiratory pressure above PEEP", PRESSURE)
_TI: Final[tuple[str, Dimension]] = ("inspiratory time", TIME)
_TE: Final[tuple[str, Dimension]] = ("expiratory time", TIME)
_TF: Final[tuple[str, Dimension]] = ("flow time", TIME)
_TP: Final[tuple[str, Dimension]] = ("pause", TIME)
_PEEP: Final[tuple[str, Dimension]] = ("PEEP", PRESSURE)
_FLOW: Final[tuple[str, Dimension]] = ("inspiratory flow", FLOW)

LUNG_FORMULAS: Final = (
    Formula(
        "pressure-control tidal volume",
        (_C, _RI, _RE, _DP, _TI, _TE),
        VOLUME,
        lung.pc_tidal_volume,
        f"C x dP x (1 - x)(1 - y) / (1 - x y), {_WHERE}",
        _SOURCE,
        "derived",
        (1, -1, -1, 1, 1, 1),
    ),
    Formula(
        "pressure-control intrinsic PEEP",
        (_C, _RI, _RE, _DP, _TI, _TE),
        PRESSURE,
        lung.pc_intrinsic_peep,
        f"dP x y (1 - x) / (1 - x y), {_WHERE}",
        _SOURCE,
        "derived",
        (1, -1, 1, 1, 1, -1),
    ),
    Formula(
        "pressure-control end-inspiratory alveolar pressure",
        (_C, _RI, _RE, _DP, _TI, _TE, _PEEP),
        PRESSURE,
        lung.pc_end_inspiratory_pressure,
        f"PEEP + dP x (1 - x) / (1 - x y), {_WHERE}",
        _SOURCE,
        "derived",
        (-1, -1, 1, 1, 1, -1, 1),
    ),
    Formula(
        "pressure-control mean alveolar pressure",
        (_C, _RI, _RE, _DP, _TI, _TE, _PEEP),
        PRESSURE,
        lung.pc_mean_alveolar_pressure,
        "PEEP + (dP x Ti + (Re - Ri) x Vt) / (Ti + Te), Vt the pressure-control tidal volume",
        _SOURCE,
        "derived",
        (None, -1, 1, 1, 1, -1, 1),
    ),
    Formula(
        "volume-control inspiratory time",
        (_VT, _FLOW, _TP),
        TIME,
        lung.vc_inspiratory_time,
        "Vt / flow + pause",
        "from the definition of a constant flow",
        "derived",
        (1, -1, 1),
    ),
    Formula(
        "volume-control intrinsic PEEP",
        (_VT, _C, _RE, _TE),
        PRESSURE,
        lung.vc_intrinsic_peep,
        "Vt / C x y / (1 - y), y = e^(-Te/(Re C))",
        _VC_SOURCE,
        "derived",
        (1, 1, 1, -1),
    ),
    Formula(
        "volume-control plateau",
        (_VT, _C, _RE, _TE, _PEEP),
        PRESSURE,
        lung.vc_plateau,
        "PEEP + Vt / C / (1 - y), y = e^(-Te/(Re C))",
        _VC_SOURCE,
        "derived",
        (1, -1, 1, -1, 1),
    ),
    Formula(
        "volume-control peak",
        (_VT, _C, _RI, _RE, _FLOW, _TE, _PEEP),
        PRESSURE,
        lung.vc_peak,
        "PEEP + Vt / C / (1 - y) + Ri x flow, y = e^(-Te/(Re C))",
        _VC_SOURCE,
        "derived",
        (1, -1, 1, 1, 1, -1, 1),
    ),
    Formula(
        "volume-control mean alveolar pressure",
        (_VT, _C, _RE, _TF, _TP, _TE, _PEEP),
        PRESSURE,
        lung.vc_mean_alveolar_pressure,
        "PEEP + ((PEEPi + Vt / (2 C)) x flow time + (PEEPi + Vt / C) x pause + Re x Vt) / cycle time",
        _VC_SOURCE,
        "derived",
        (1, -1, 1, None, 1, -1, 1),
    ),
    Formula(
        "volume-control mean airway pressure",
        (_VT, _C, _RI, _RE, _TF, _TP, _TE, _PEEP),
        PRESSURE,
        lung.vc_mean_airway_pressure,
        "PEEP + ((PEEPi + Vt / (2 C)) x flow time + (PEEPi + Vt / C) x pause + Ri x Vt) / cycle time",
        _VC_SOURCE,
        "derived",
        (1, -1, 1, 1, None, None, -1, 1),
    ),
)
