"""Whether an order is consistent: what its settings would do to a lung such as its patient has.

An order that fails is thrown away, whatever the rules would have said to it. Where the limits come from stands beside
them; carbon dioxide is reckoned by PaCO2 = 0.863 x production / alveolar ventilation (mm Hg, mL/min, L/min).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from tests.clean.lung import Breath, Cycle, Lung, steady

KPA: Final = 0.133322
"""One mm Hg in kPa."""
ANATOMICAL: Final = 2.2
"""Dead space of the airways in mL/kg (Radford EP, J Appl Physiol 1955;7:451-60; from memory)."""
BYPASSED: Final = 1.3
"""What of it is left below a tube, in mL/kg: mouth and throat are bypassed (from memory, about half)."""


@dataclass(frozen=True)
class Limits:
    """Volume in mL/kg, plateau, driving pressure and what may stay trapped in cmH2O, PaCO2 in kPa."""

    volume: tuple[float, float]
    plateau: float
    driving: float
    trapped: float
    co2: tuple[float, float]


# ARDS Network, N Engl J Med 2000;342:1301-8 (4 to 8 mL/kg, plateau up to 30); driving pressure up to 15: Amato MBP et
# al., N Engl J Med 2015;372:747-55. pH down to 7.15 is tolerated there, so carbon dioxide may be high.
INJURED: Final = Limits((4, 8), 30, 15, 2, (4.5, 9))
# Healthy lungs on a ventilator have no published lower bound of their own; the upper one is that of injured lungs.
HEALTHY: Final = Limits((6, 8), 28, 15, 2, (4.3, 6.3))
# Slow emptying: low rates and a high carbon dioxide are accepted for time to breathe out; no source gives one number.
OBSTRUCTED: Final = Limits((5.5, 8), 30, 18, 5, (4.5, 10.5))
# PALICC-2: Emeriaud G et al., Pediatr Crit Care Med 2023;24:143-68 (6 to 8, else 4 to 6 mL/kg; plateau 28, driving 15).
CHILD_INJURED: Final = Limits((4.5, 8), 28, 15, 2, (4.5, 9))
# PEMVECC: Kneyber MCJ et al., Intensive Care Med 2017;43:1764-80 (up to 10 mL/kg ideal weight, plateau 28; from
# memory).
CHILD_HEALTHY: Final = Limits((5.5, 9), 26, 12, 2, (4.3, 6.5))
# Klingenberg C et al., J Perinatol 2011;31:575-85: 4 to 6 mL/kg in respiratory distress syndrome.
NEWBORN: Final = Limits((4, 6), 25, 20, 2, (4.5, 7.5))
# By mask or at home: Berry RB et al., J Clin Sleep Med 2010;6:491-509 (6 to 8 mL/kg of ideal weight is the aim); more
# is usual where pressures are high (Windisch's high intensity) or the mouthpiece stacks breaths.
SUPPORTED: Final = Limits((5.5, 10), 40, 30, 6, (3.9, 8.5))
STACKED: Final = Limits((7, 13), 40, 30, 3, (2.8, 6.5))


@dataclass(frozen=True)
class Claim:
    """What an order does, in numbers: each breath it may give, and what its patient's lungs are like."""

    kilograms: float
    lung: Lung
    breaths: tuple[Breath, ...]
    limits: Limits
    apparatus: float
    """Dead space of what stands between the branch of the circuit and the patient, in mL."""
    production: float
    """Carbon dioxide in mL/kg/min: about 3 in adults and 6 in newborns (from memory)."""
    airways: float = BYPASSED
    """Dead space of the airways in mL/kg."""
    wasted: float = 0.1
    """Share of what reaches the alveoli that takes no part in gas exchange: a quarter on a ventilator, or more."""
    timed: Breath | None = None
    """What comes when a patient who breathes does not: it must leave time to breathe out."""
    moving: tuple[float, float] | None = None
    """The inspiratory pressures, above ambient, between which the device itself looks for a volume."""
    aimed: tuple[float, float] | None = None
    """The end-tidal carbon dioxide in kPa that the settings are meant to reach."""
    also: Claim | None = None
    """What another part of the day does."""
    minute: tuple[float, float] = (0, 1000)
    """The alarms of minute volume in L/min."""
    pressure: tuple[float, float] = (0, 1000)
    """The alarms of inspiratory pressure in cmH2O."""


def carbon_dioxide(claim: Claim, breath: Breath, cycle: Cycle) -> float:
    """PaCO2 in kPa that the ventilation comes to; a very high one where nothing reaches the alveoli."""
    reaching = cycle.tidal - claim.airways * claim.kilograms - claim.apparatus
    if reaching <= 0:
        return 99
    alveolar = reaching * (1 - claim.wasted) * breath.rate / 1000
    return 0.863 * claim.production * claim.kilograms / alveolar * KPA


def end_tidal(claim: Claim, breath: Breath, cycle: Cycle) -> float:
    """End-tidal carbon dioxide in kPa: lower than in the blood by half of what the wasted share would make."""
    return carbon_dioxide(claim, breath, cycle) * (1 - 0.5 * claim.wasted)


def doubts(claim: Claim) -> Iterator[str]:
    """Each way in which one of the breaths is not consistent."""
    if claim.also is not None:
        yield from doubts(claim.also)
    # 95 % are out after three time constants; how fast somebody breathes who breathes is no matter of the order
    set_breaths = [each for each in (*claim.breaths, claim.timed) if each is not None and not each.effort]
    if any(each.expiration < 3 * claim.lung.emptying for each in set_breaths):
        yield "fewer than three time constants to breathe out"
    if claim.aimed is not None:
        seen = end_tidal(claim, claim.breaths[0], steady(claim.lung, claim.breaths[0]))
        if not claim.aimed[0] + 0.1 <= seen <= claim.aimed[1] - 0.1:
            yield "carbon dioxide away from what is aimed at"
    for breath in claim.breaths:
        if breath.expiration < 0.25:
            yield "no time to breathe out"
        else:
            yield from _of_breath(claim, breath, steady(claim.lung, breath))


def _of_breath(claim: Claim, breath: Breath, cycle: Cycle) -> Iterator[str]:
    limits = claim.limits
    low, high = limits.volume
    if not low <= cycle.tidal / claim.kilograms <= high:
        yield "tidal volume per kilogram"
    if cycle.plateau > limits.plateau:
        yield "plateau pressure"
    if not breath.effort and cycle.plateau - breath.peep - cycle.trapped > limits.driving:
        yield "driving pressure"
    if cycle.trapped > limits.trapped:
        yield "trapped gas"
    if not limits.co2[0] <= carbon_dioxide(claim, breath, cycle) <= limits.co2[1]:
        yield "carbon dioxide"
    if not claim.minute[0] < cycle.minute < claim.minute[1]:
        yield "an alarm of minute volume that always sounds"
    if not claim.pressure[0] < cycle.peak < claim.pressure[1]:
        yield "an alarm of pressure that always sounds"
