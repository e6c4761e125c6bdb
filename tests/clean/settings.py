"""How a mode and its settings are written down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tests.clean.lung import Breath
from tests.clean.order import Draft, number
from tests.clean.people import Person

TRIGGERS: Final = {"newborn": 0.2, "infant": 0.5, "child": 1, "adolescent": 1, "adult": 2}
"""Flow triggers in L/min: 0.2 to 1 in newborns and infants, 1 to 3 in adults (common practice, from memory)."""


@dataclass(frozen=True)
class Plan:
    """The settings of one mode: pressures above PEEP in cmH2O, times in s, rates /min, volumes in mL, FiO2 in %.

    ``rates`` and ``pressures`` are what staff may set, where they may; ``target`` is a volume that the device aims at
    between two pressures above PEEP, ``ceiling`` the higher of them.
    """

    mode: str
    peep: float
    rate: int
    time: float
    volume: float | None = None
    pressure: float | None = None
    support: float | None = None
    target: str = ""
    floor: float = 0
    ceiling: float = 0
    rates: tuple[int, int] | None = None
    pressures: tuple[float, float] | None = None
    pause: float = 0
    rise: int = 150
    cycle: int = 25
    leaking: bool = False
    passive: bool = False
    fraction: tuple[float, float, float] | None = None
    longest: tuple[float, float] | None = None
    ratio: float = 0
    """Expiratory time in inspiratory times, where the order states the ratio and not the time."""
    flow: float = 0
    """The flow in L/min, where the order states it beside a pause and not the time."""

    @property
    def moving(self) -> tuple[float, float] | None:
        """The pressures above ambient between which the device looks for a volume."""
        return (self.peep + self.floor, self.peep + self.ceiling) if self.target else None

    @property
    def two_level(self) -> bool:
        return self.mode.startswith("S/T")

    def breath(self, effort: float = 0, rate: float | None = None, pressure: float | None = None) -> Breath:
        """The mandatory breath of these settings."""
        above = None if self.volume is not None else pressure if pressure is not None else self.pressure
        return Breath(self.peep, rate or self.rate, self.time, self.volume, above, self.pause, effort)

    def supported(self, effort: float, rate: float, time: float) -> Breath:
        """A breath of the patient's own that is supported."""
        return Breath(self.peep, rate, time, None, self.support, 0, effort)


def settings(draft: Draft, plan: Plan, section: str = "settings") -> None:
    """The whole section."""
    draft.put(section, "mode", plan.mode)
    draft.put(section, "EPAP" if plan.two_level else "PEEP", f"{number(plan.peep)} cmH2O")
    _driven(draft, plan, section)
    if plan.support is not None:
        draft.put(section, "pressure support", f"{number(plan.support)} cmH2O above PEEP")
    if not plan.mode.startswith("CSV"):
        leave = f" allow {plan.rates[0]} to {plan.rates[1]} /min" if plan.rates else ""
        draft.put(section, "back-up rate" if plan.two_level else "rate", f"{plan.rate} /min{leave}")
        _timed(draft, plan, section)
    if plan.longest is not None and plan.longest[0]:
        draft.put(section, "minimum inspiratory time", f"{number(plan.longest[0], 0.1)} s")
    if plan.longest is not None:
        draft.put(section, "maximum inspiratory time", f"{number(plan.longest[1], 0.05)} s")
    if plan.pause:
        draft.put(section, "inspiratory pause", f"{number(plan.pause, 0.05)} s")
    if plan.volume is None:
        draft.put(section, "rise time", f"{plan.rise} ms")
    if not plan.passive:
        draft.put(section, "trigger", "flow, leak-compensated" if plan.leaking else "flow")
        draft.put(section, "trigger sensitivity", f"{number(TRIGGERS[draft.person.group], 0.1)} L/min")
    if plan.support is not None or plan.two_level:
        draft.put(section, "cycle-off", f"{plan.cycle} %")
    if plan.fraction is not None:
        fraction(draft, plan.fraction, section)


def _timed(draft: Draft, plan: Plan, section: str) -> None:
    if plan.ratio:
        draft.put(section, "I:E", f"1:{number(plan.ratio, 0.1)}")
    elif plan.flow:
        draft.put(section, "inspiratory flow", f"{number(plan.flow)} L/min")
    else:
        draft.put(section, "inspiratory time", f"{number(plan.time, 0.05)} s")


def fraction(draft: Draft, told: tuple[float, float, float], section: str = "settings") -> None:
    """FiO2, and what staff may set."""
    set_to, least, most = told
    leave = f" allow {draft.oxygen(least, most)}" if most > least else ""
    draft.put(section, "FiO2", f"{draft.oxygen(set_to)}{leave}")


def _driven(draft: Draft, plan: Plan, section: str) -> None:
    """What drives the breath: a volume, a pressure, or a pressure that seeks a volume."""
    if plan.target:
        draft.put(section, "volume target", plan.target)
        for term, above in (("minimum", plan.floor), ("maximum", plan.ceiling)):
            draft.put(section, f"{term} inspiratory pressure", f"{number(plan.peep + above)} cmH2O above ambient")
    elif plan.volume is not None:
        draft.put(section, "tidal volume", f"{number(plan.volume, 0.1)} mL")
    elif plan.pressure is not None:
        total = plan.two_level or draft.rng.random() < 0.6
        up = plan.peep if total else 0
        reference = "" if plan.two_level else " above ambient" if total else " above PEEP"
        low, high = plan.pressures or (0, 0)
        leave = f" allow {number(low + up)} to {number(high + up)} cmH2O" if plan.pressures else ""
        term = "IPAP" if plan.two_level else "inspiratory pressure"
        draft.put(section, term, f"{number(plan.pressure + up)} cmH2O{reference}{leave}")


def suits(person: Person) -> tuple[float, float]:
    """The inspiratory times in s that suit an age on a ventilator.

    0.3 to 0.5 s in newborns (uichildrens.org, mechanical ventilation of the neonate), then longer until the adult's 0.8
    to 1.2 s near the age of 13 (from memory; that it grows until then: Respir Physiol 1981, children's breathing).
    """
    if person.group == "newborn":
        return 0.3, 0.4
    ends = ((1, (0.5, 0.6)), (6, (0.6, 0.8)), (13, (0.7, 1.0)))
    return next((times for years, times in ends if person.years < years), (0.8, 1.2))
