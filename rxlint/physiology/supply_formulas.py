"""Leak ports, oxygen mixtures and cylinders for the registry, with the proofs of their directions.

Where nothing is said, the direction follows from the signs of sums, products and quotients of positives. A mean leak
is a mean of the flows at IPAP and EPAP, weighted by time: it rises with both, and, the flow at IPAP being no smaller,
with the inspiratory time, and falls with the expiratory time.
"""

from __future__ import annotations

from typing import Final

from rxlint.physiology import cylinders, leak, oxygen
from rxlint.physiology.formula import Formula
from rxlint.units import FLOW, NUMBER, PRESSURE, TIME, VOLUME, Dimension

Argument = tuple[str, Dimension]

_LEAK: Final[Argument] = ("stated leak", FLOW)
_AT: Final[Argument] = ("stated pressure", PRESSURE)
_IPAP: Final[Argument] = ("IPAP", PRESSURE)
_EPAP: Final[Argument] = ("EPAP", PRESSURE)
_TI: Final[Argument] = ("inspiratory time", TIME)
_TE: Final[Argument] = ("expiratory time", TIME)
_FIO2: Final[Argument] = ("FiO2", NUMBER)
_O2: Final[Argument] = ("oxygen flow", FLOW)
_TOTAL: Final[Argument] = ("total flow", FLOW)
_VE: Final[Argument] = ("minute volume", FLOW)
_LOST: Final[Argument] = ("leak", FLOW)
_DRAW: Final[Argument] = ("oxygen draw", FLOW)
_FULL: Final[Argument] = ("full contents", VOLUME)
_FULL_AT: Final[Argument] = ("full pressure", PRESSURE)
_GAUGE: Final[Argument] = ("cylinder pressure", PRESSURE)

_ORIFICE: Final = "square-root model: flow through an orifice (Bernoulli), the form also of published leak estimation"
_LINEAR: Final = "linear model: Lujan M, Florez P, Pomares X, J Clin Med 2023;12:2692"
_BALANCE: Final = "mass balance of oxygen, air taken as 21 %"
_CONTENTS: Final = "contents in proportion to pressure: Lutman D, Petros AJ, Emerg Med J 2006;23:703-4"
_RESIDUAL: Final = "American duration formula with a residual pressure, as taught"
_TRANSFER: Final = "course teaching for transfers: twice the computed need; common practice, no published source"

_LEAKS: Final = (
    Formula("port leak at a pressure, square root", (_LEAK, _AT, ("pressure", PRESSURE)), FLOW, leak.orifice_flow,
            "stated leak x square root of (pressure / stated pressure)", _ORIFICE, "derived", (1, -1, 1)),
    Formula("port leak at a pressure, linear", (_LEAK, _AT, ("pressure", PRESSURE)), FLOW, leak.linear_flow,
            "stated leak x pressure / stated pressure", _LINEAR, "published", (1, -1, 1)),
    Formula("mean port leak, square root", (_LEAK, _AT, _IPAP, _EPAP, _TI, _TE), FLOW, leak.orifice_mean,
            "(leak at IPAP x Ti + leak at EPAP x Te) / (Ti + Te)", _ORIFICE, "derived", (1, -1, 1, 1, 1, -1)),
    Formula("mean port leak, linear", (_LEAK, _AT, _IPAP, _EPAP, _TI, _TE), FLOW, leak.linear_mean,
            "(leak at IPAP x Ti + leak at EPAP x Te) / (Ti + Te)", _LINEAR, "derived", (1, -1, 1, 1, 1, -1)),
    Formula("port capacity in expiration, square root", (_LEAK, _AT, _EPAP, _TE), VOLUME, leak.orifice_capacity,
            "leak at EPAP x Te", _ORIFICE, "derived", (1, -1, 1, 1)),
    Formula("port capacity in expiration, linear", (_LEAK, _AT, _EPAP, _TE), VOLUME, leak.linear_capacity,
            "leak at EPAP x Te", _LINEAR, "derived", (1, -1, 1, 1)),
)  # fmt: skip

_OXYGEN: Final = (
    Formula("oxygen fraction of a mixture", (_O2, _TOTAL), NUMBER, oxygen.mixed_fraction,
            "0.21 + 0.79 x oxygen flow / total flow", _BALANCE, "published", (1, -1)),
    Formula("oxygen fraction with leak", (_O2, _VE, _LOST), NUMBER, oxygen.mixed_fraction_with_leak,
            "0.21 + 0.79 x oxygen flow / (minute volume + leak)", _BALANCE, "derived", (1, -1, -1)),
    Formula("oxygen flow for a fraction", (_FIO2, _TOTAL), FLOW, oxygen.oxygen_for_fraction,
            "total flow x (FiO2 - 0.21) / 0.79", _BALANCE, "derived", (1, 1)),
    Formula("oxygen flow for a fraction with leak", (_FIO2, _VE, _LOST), FLOW, oxygen.oxygen_for_fraction_with_leak,
            "(minute volume + leak) x (FiO2 - 0.21) / 0.79", _BALANCE, "derived", (1, 1, 1)),
    Formula("generous oxygen draw", (_FIO2, _TOTAL), FLOW, oxygen.generous_draw, "total flow x FiO2", _TRANSFER,
            "common practice", (1, 1)),
    Formula("oxygen for a transfer", (_DRAW, ("driving gas", FLOW), ("duration", TIME), ("factor", NUMBER)), VOLUME,
            oxygen.transfer_need, "factor x duration x (oxygen draw + driving gas)", _TRANSFER, "common practice",
            (1, 1, 1, 1)),
)  # fmt: skip

_CYLINDERS: Final = (
    Formula("cylinder contents", (_FULL, _FULL_AT, _GAUGE), VOLUME, cylinders.contents,
            "full contents x pressure / full pressure", _CONTENTS, "published", (1, -1, 1)),
    Formula("usable cylinder contents", (_FULL, _FULL_AT, _GAUGE, ("residual pressure", PRESSURE)), VOLUME,
            cylinders.usable_contents, "full contents x (pressure - residual pressure) / full pressure", _RESIDUAL,
            "published", (1, -1, 1, -1)),
    Formula("cylinder duration", (("usable contents", VOLUME), ("reserve", VOLUME), _DRAW), TIME, cylinders.duration,
            "(usable contents - reserve) / oxygen draw", _RESIDUAL, "published", (1, -1, -1)),
)  # fmt: skip

SUPPLY_FORMULAS: Final = (*_LEAKS, *_OXYGEN, *_CYLINDERS)
