"""How much of a tube a suction catheter fills, by diameter and by area; lengths in cm (1 Fr is 1/3 mm).

Guidelines give limits without always saying of what: half of the area is 71 % of the diameter, and half of the diameter
25 % of the area (Russian CJ et al., Respir Care 2014, doi 10.4187/respcare.02168).
"""

from __future__ import annotations

from rxlint.physiology.errors import computable, positive


@computable
def catheter_diameter_ratio(catheter: float, tube: float) -> float:
    """Outer diameter of a suction catheter over inner diameter of the tube (both cm)."""
    positive(catheter_outer_diameter=catheter, tube_inner_diameter=tube)
    return catheter / tube


@computable
def catheter_area_ratio(catheter: float, tube: float) -> float:
    """Share of the tube's lumen that a suction catheter fills: the square of the ratio of diameters."""
    return catheter_diameter_ratio(catheter, tube) ** 2
