"""Alarms that suit the settings, equipment at hand, readings that the settings would give.

Alarms follow common teaching: a high pressure some 10 above the peak, a low one between PEEP and the peak, minute
volume and rate about what occurs, 20 s of apnoea in adults (learn.rnshicu.org, alarm settings and management;
eCampusOntario open textbook on mechanical ventilators). For small tubes the low pressure stands less than 4 under the
peak: Kun SS et al., Chest 2001;119:562-4.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tests.clean.lung import Breath, steady
from tests.clean.order import Draft, moment, near, number
from tests.clean.parts import bicarbonate_of, catheter
from tests.clean.people import Person
from tests.clean.sense import KPA, Claim, carbon_dioxide, end_tidal

Span = tuple[float, float]


@dataclass(frozen=True)
class Watch:
    """What the alarms are set about; SpO2 in %, end-tidal CO2 in kPa, FiO2 in %, tube in mm (0 for a mask)."""

    saturation: tuple[int, int]
    enriched: bool
    tube: float = 0
    carbon: Span | None = None
    fraction: Span | None = None
    pressures: bool = True
    volumes: bool = True
    end: bool = True
    delay: int | None = None
    breathing: bool = False
    """Whether breaths of the patient's own come on top of those that are set."""
    acidity: Span = (7.3, 7.45)


def fastest(person: Person) -> int:
    """A rate /min above which someone must come and look.

    Children: the upper ends of PALS 2006 (30 to 60 below one year, 24 to 40, 22 to 34, 18 to 30), with room above;
    adults 30 to 35 (eCampusOntario).
    """
    if person.group == "newborn":
        return 80
    ends = ((1, 65), (4, 50), (6, 45), (13, 40))
    return next((rate for years, rate in ends if person.years < years), 35)


def volume_step(person: Person, minute: float) -> float:
    """A step in L/min that suits the size of the minute volume."""
    return 0.01 if person.group == "newborn" else 0.1 if person.group in ("infant", "child") or minute < 6 else 0.5


def at_rest(claim: Claim) -> float:
    """The minute volume in L/min that is certain: what is set, or what the back-up rate gives a patient who rests."""
    set_breath = claim.breaths[0]
    given = steady(claim.lung, set_breath)
    if claim.timed is not None:
        alone = steady(claim.lung, claim.timed).tidal if claim.moving is None else given.tidal
        return min(alone, given.tidal) * claim.timed.rate / 1000
    calm = 14 if set_breath.pressure == 0 and claim.kilograms > 30 else set_breath.rate
    return given.tidal * min(calm, set_breath.rate) / 1000


def alarms(draft: Draft, claim: Claim, watch: Watch, section: str = "alarms") -> Claim:
    """Alarms about all breaths that the order may give; answers the claim with the limits that the model is held to."""
    who = draft.person
    cycles = [steady(claim.lung, each) for each in claim.breaths]
    peaks = [each.peak for each in cycles] + list(claim.moving or ())
    slowest = min(each.rate for each in claim.breaths)
    apnoea = 10 if who.group == "newborn" else 15 if who.group != "adult" or draft.acute else 20
    apnoea = apnoea if apnoea > 60 / slowest * 1.5 else 20
    wait = watch.delay or (5 if who.group == "newborn" else 10)
    draft.put(section, "disconnection", f"after {wait} s")
    draft.put(section, "apnoea", f"after {apnoea} s")
    held = claim
    if watch.pressures:
        held = _pressures(draft, claim, watch, peaks, section)
    if watch.end and min(each.peep for each in claim.breaths) >= 4:
        draft.put(section, "low PEEP", f"{number(min(each.peep for each in claim.breaths) - 2)} cmH2O")
    if watch.volumes:
        minutes = [each.minute for each in cycles]
        step = volume_step(who, at_rest(claim))
        low = near(0.65 * at_rest(claim) - step / 2, step)  # rounded down
        # 5 L/min above what is breathed (learn.rnshicu.org); children half as much again, and a tenth more by mask,
        # where the volume shown is no better than that (Li X et al., Front Med 2025, 10.3389/fmed.2025.1538280)
        more = max(minutes) * (1.5 if watch.end else 1.65)
        high = near(max(minutes) + 5 if who.group == "adult" else more, step)
        draft.put(section, "low minute volume", f"{number(low, step)} L/min")
        draft.put(section, "high minute volume", f"{number(high, step)} L/min")
        held = replace(held, minute=(low, high))
    draft.put(section, "high rate", f"{max(fastest(who), math.ceil(1.3 * _fast(claim) / 5) * 5)} /min")
    _gases(draft, watch, section)
    draft.put(section, "power loss", "on")
    return held


def _fast(claim: Claim) -> float:
    return max(each.rate for each in claim.breaths)


def _pressures(draft: Draft, claim: Claim, watch: Watch, peaks: Sequence[float], section: str) -> Claim:
    least, most = min(peaks), max(peaks)
    floor = max(each.peep for each in claim.breaths)
    if 0 < watch.tube < 6:
        low = max(floor + 2, math.ceil(least) - 3)
    else:
        low = max(floor + 2, math.ceil(least) - draft.rng.randint(5, 8))
    high = math.ceil(most) + (5 if claim.moving else 8 if draft.person.group in ("newborn", "infant") else 10)
    high = min(high, max(35, math.ceil(most) + 5))  # a cap of about 35: eCampusOntario
    draft.put(section, "low inspiratory pressure", f"{number(low)} cmH2O")
    draft.put(section, "high inspiratory pressure", f"{number(high)} cmH2O")
    return replace(claim, pressure=(low, high))


def _gases(draft: Draft, watch: Watch, section: str) -> None:
    low, high = watch.saturation
    draft.put(section, "low SpO2", f"{low - 2} %")
    if watch.enriched and high < 98:
        draft.put(section, "high SpO2", f"{high + 2} %")
    elif watch.enriched:
        draft.put(section, "high SpO2", "99 %")
    if watch.carbon is not None:
        draft.put(section, "low EtCO2", f"{number(watch.carbon[0] - 0.7, 0.1)} kPa")
        draft.put(section, "high EtCO2", f"{number(watch.carbon[1] + 1, 0.1)} kPa")
    if watch.fraction is not None:
        least, most = watch.fraction
        draft.put(section, "low FiO2", f"{number(max(18, least - 5))} %")
        draft.put(section, "high FiO2", f"{number(min(100, most + 5))} %")


def beside_a_tube(person: Person, size: float, *, tracheostomy: bool = False) -> list[str]:
    """What stands beside everyone with a tube.

    Self-inflating bag, mask, suction; a spare tube of the same size and one smaller, and where there is no smaller
    one a plan (SickKids and NHSGGC lists of essential tracheostomy equipment).
    """
    items = ["self-inflating bag", "mask", "suction", catheter(size, person), "spare tube same size"]
    items.append("plan for smallest tube" if size == 2.5 else "spare tube one size smaller")
    return [*items, "tracheostomy emergency kit"] if tracheostomy else items


def at_home(person: Person, size: float) -> list[str]:
    """At home with a tracheostomy: Sterni LM et al., Am J Respir Crit Care Med 2016;193:e16-35, table 7.

    More than eight hours of battery for whoever depends on it: Gregoretti C et al., Breathe 2013;9:394-409.
    """
    items = beside_a_tube(person, size, tracheostomy=True)
    return [
        *items,
        "battery suction",
        "battery 6 h",
        "external battery 6 h",
        "second ventilator",
        "spare circuit",
        "oxygen cylinder",
        "pulse oximeter",
    ]


def listed(draft: Draft, section: str, items: Sequence[str]) -> None:
    draft.put(section, "", ", ".join(items))


# ---- readings
def saturation_of(oxygen: float) -> float:
    """SpO2 in % at a PaO2 in mm Hg: Severinghaus JW, J Appl Physiol 1979;46:599-602."""
    return 100 / (23400 / (oxygen**3 + 150 * oxygen) + 1)


def oxygen_at(saturation: float) -> float:
    """The PaO2 in mm Hg at a saturation in %."""
    low, high = 20.0, 300.0
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (middle, high) if saturation_of(middle) < saturation else (low, middle)
    return low


def readings(
    draft: Draft, claim: Claim, breath: Breath, watch: Watch, *, retains: bool, fraction: float | None, by: str
) -> int:
    """What is read an hour or so later, on the settings as they are; answers after how many minutes.

    Volumes and pressures are the model's within 3 %, gases those of its ventilation; pH after Henderson and
    Hasselbalch.
    """
    rng = draft.rng
    after = rng.randint(30, 80)
    at = draft.written + datetime.timedelta(minutes=after)
    section = f'readings after change at {moment(at)} by "{by}"'
    cycle = steady(claim.lung, breath)
    carbon = carbon_dioxide(claim, breath, cycle)
    free = 0.0307 * carbon / KPA
    acidity = 6.1 + math.log10(bicarbonate_of(draft, carbon, retains) / free)
    acidity = min(max(acidity, watch.acidity[0] + 0.01), watch.acidity[1] - 0.01)
    own = rng.randint(2, 4) if watch.breathing and breath.effort == 0 else 0
    low, high = watch.saturation
    saturation = rng.randint(low + 1, min(high, 98) - 1)
    step = 0.1 if draft.person.group in ("newborn", "infant") else 1 if draft.person.group == "child" else 5
    draft.put(section, "expired tidal volume", f"{number(cycle.tidal * rng.uniform(0.97, 1.0), step)} mL")
    draft.put(section, "rate", f"{number(breath.rate + own)} /min")
    draft.put(section, "peak pressure", f"{number(cycle.peak)} cmH2O")
    if not breath.effort:
        draft.put(section, "plateau pressure", f"{number(min(cycle.plateau, cycle.peak))} cmH2O")
        draft.put(section, "total PEEP", f"{number(breath.peep + cycle.trapped)} cmH2O")
    minute = number(cycle.minute * (1 + own / breath.rate), 0.01 if draft.person.years < 1 else 0.1)
    draft.put(section, "minute volume", f"{minute} L/min")
    draft.put(section, "SpO2", f"{saturation} %")
    if watch.carbon is not None:
        draft.put(section, "EtCO2", f"{number(end_tidal(claim, breath, cycle), 0.1)} kPa")
    draft.put(section, "PaCO2", f"{number(carbon, 0.1)} kPa")
    draft.put(section, "PaO2", f"{number(oxygen_at(saturation) * KPA, 0.1)} kPa")
    draft.put(section, "pH", number(acidity, 0.01))
    if fraction is not None:
        draft.put(section, "FiO2", f"{number(fraction)} %")
    return after
