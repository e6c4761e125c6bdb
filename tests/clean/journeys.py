"""Transfers between hospitals, by tube and by mask, with oxygen for twice the way."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random
from typing import Final

from tests.clean import parts, people, sense
from tests.clean.intensive import tube_plan
from tests.clean.lung import Lung, steady
from tests.clean.masks import LEAK, Night, claimed, planned
from tests.clean.order import Draft, Order
from tests.clean.parts import called
from tests.clean.settings import settings
from tests.clean.watching import Watch, alarms, beside_a_tube, listed

# Litres when full in the United Kingdom: Lutman D, Petros AJ, Emerg Med J 2006;23:703-4 (E: irescue.uk).
CYLINDERS: Final = (
    ("D UK at 13700 kPa", 340), ("E UK at 13700 kPa", 680), ("F UK at 13700 kPa", 1360), ("2300 L", 2300),
)  # fmt: skip


def oxygen_for(draft: Draft, drawn: float) -> None:
    """Cylinders for twice the way at this flow in L/min, and for half an hour more.

    Twice the calculated need: frcemexam.com, oxygen requirements for patient transfer.
    """
    minutes = draft.rng.choice((30, 40, 60, 90))
    need = max(2 * minutes, minutes + 30) * drawn
    name, litres = next(((each, full) for each, full in CYLINDERS if full * 2 >= need), CYLINDERS[-1])
    draft.put("oxygen", "cylinder", name)
    draft.put("oxygen", "cylinders", str(max(2, math.ceil(need / litres))))
    draft.put("oxygen", "transfer", f"{minutes} min")
    draft.put("oxygen", "reserve", "30 min")


_GEAR: Final = (
    "battery suction", "oxygen cylinder", "spare circuit", "capnograph", "pulse oximeter", "battery 5 h",
    "trial on travel ventilator",
)  # fmt: skip


_WATCHED: Final = ("pulse oximeter", "capnograph", "ECG", "oxygen analyser", "expired volume monitor")


def by_tube(rng: Random) -> Order:
    """A child or an adult with a tube on the road: a valve circuit with an exchanger and a capnograph (AARC, ICS)."""
    who = people.adult(rng, (18, 85), (19, 32)) if rng.random() < 0.65 else people.child(rng, (3, 14))
    grown = who.group == "adult"
    draft = Draft(rng, who, acute=True)
    size, cuffed = parts.endotracheal_size(who, rng)
    resist = 10 if who.years > 10 else 16
    lung = Lung(rng.uniform(0.75, 0.95) * who.kilograms, resist, resist * 1.2)
    rate = rng.randint(14, 17) if grown else 20 if who.years < 6 else 18
    mode = rng.choice(("A/C-VC", "A/C-PC", "CMV-VC") if grown else ("A/C-PC", "A/C-VC"))
    plan = tube_plan(rng, who, lung, mode, 5, rate, rng.uniform(7, 7.8), (40, 60))
    team = "critical care transfer" if grown else "children's transfer"
    parts.head(draft, f"Road transfer with a breathing tube, {who.group}", f"registrar, {team}")
    why = rng.choice(("bleeding in the head", "a head injury", "long fits"))
    effort = "none" if mode.startswith("CMV") else "weak"
    indication = f"transfer with {why}, breathing tube for a safe airway"
    parts.patient(draft, indication, "normal lungs", "transfer", 24, effort=effort)
    parts.tube(draft, "endotracheal tube", size, cuffed)
    dead = parts.single_limb(
        draft, "single with exhalation valve", "endotracheal tube", heated=False, exchanged=True, sampled=True
    )
    settings(draft, plan)
    rates = plan.rates or (rate,)
    breaths = tuple(plan.breath(rate=each) for each in (rate, *rates))
    limits = sense.HEALTHY if grown else replace(sense.CHILD_HEALTHY, co2=(4, 6.5))
    claim = sense.Claim(who.kilograms, lung, breaths, limits, dead, 3 if grown else 4, wasted=0.25)
    oxygen_for(draft, max(steady(lung, each).minute for each in breaths) * 0.6)
    draft.put("oxygen", "pre-oxygenation", "100 % for 60 s before suction")
    held = alarms(draft, claim, Watch((94, 98), True, size, (4.5, 5.5), (40, 60)))
    draft.put("targets", "expired tidal volume", f"6 to 8 mL/kg of {who.weighed}")
    draft.put("targets", "plateau pressure", "up to 28 cmH2O")
    draft.put("targets", "SpO2", "94 to 98 %")
    draft.put("targets", "EtCO2", "4.5 to 5.5 kPa")
    listed(draft, "monitoring", [*_WATCHED, "cuff pressure gauge"])
    called(draft, "transfer consultant by telephone", "SpO2 below 92 % for 3 min", "EtCO2 above 6.5 kPa for 3 min")
    listed(draft, "equipment", [*beside_a_tube(who, size), *_GEAR, "second ventilator"])
    parts.checked(draft, "transfer nurse")
    return Order(f"{'adult' if grown else 'child'}, transfer by tube", draft.text(), held)


def by_mask(rng: Random) -> Order:
    """COPD on the road by mask: the leak's oxygen counts too."""
    who = people.adult(rng, (50, 84), (18, 30))
    draft = Draft(rng, who, acute=True)
    resist = rng.uniform(14, 18)
    night = Night(
        "COPD, transfer by mask", "", "", "obstructive", Lung(rng.uniform(34, 44), resist, resist * 1.2), (15, 22), 4,
        16, 0.9, rng.randint(19, 22), rng.uniform(1, 3), rng.uniform(7, 8), (88, 92), True, cycle=45, rise=100,
        production=3.4, wasted=0.3,
    )  # fmt: skip
    plan = replace(planned(rng, night, who.kilograms, acute=True), fraction=(28, 28, 35))
    parts.head(draft, "Road transfer on mask support, adult with COPD", "registrar, acute medicine")
    why = "acidosis in an exacerbation, moved to a respiratory unit"
    parts.patient(draft, why, "obstructive", "transfer", 20, retains=True)
    port = rng.randint(28, 34)
    draft.put("airway", "interface", "oronasal mask non-vented")
    parts.single_limb(draft, LEAK, "oronasal mask", port=port, heated=False, sampled=True, guarded=True)
    settings(draft, plan)
    claim = claimed(night, plan, who.kilograms)
    assert plan.pressures is not None
    leak = port * math.sqrt((plan.peep + plan.pressures[1]) / 10)
    flow = max(steady(night.lung, each).minute for each in claim.breaths) + leak
    oxygen_for(draft, flow * (0.35 - 0.21) / 0.79 + 1)
    held = alarms(draft, claim, Watch((88, 92), True, carbon=None, fraction=(28, 35)))
    draft.put("targets", "rate", "12 to 25 /min")
    draft.put("targets", "unintentional leak", "up to 24 L/min")
    draft.put("targets", "SpO2", "88 to 92 %")
    draft.put("targets", "PaCO2", "5 to 7.5 kPa")
    listed(draft, "monitoring", [*_WATCHED, "leak monitor"])
    draft.put("escalation", "ceiling", '"breathing tube and intensive care, agreed with the patient"')
    called(draft, "respiratory registrar", "SpO2 below 86 % for 5 min", "rate above 35 /min for 10 min")
    listed(draft, "equipment", ["self-inflating bag", "mask", "suction", "spare mask", *_GEAR])
    parts.checked(draft, "transfer nurse")
    return Order(night.kind, draft.text(), held)
