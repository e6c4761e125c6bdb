"""Intensive care: newborns, children and adults with a tube, and newborns on CPAP."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random
from typing import Final

from tests.clean import parts, people, sense
from tests.clean.lung import Breath, Lung, pressure_for
from tests.clean.order import Draft, Order, near, number
from tests.clean.settings import Plan, settings, suits
from tests.clean.watching import Watch, alarms, beside_a_tube, listed, readings

WATCHED: Final = (
    "pulse oximeter", "capnograph", "ECG", "oxygen analyser", "expired volume monitor", "blood gas analyser",
)  # fmt: skip
_ROLES: Final = ("registrar, intensive care", "consultant, intensive care")
_HEALTHY_MODES: Final = (
    "A/C-VC", "A/C-PC", "A/C-vtPC", "SIMV-VC with PS", "SIMV-PC with PS", "SIMV-vtPC with PS", "CSV-PS", "CSV-PS",
)  # fmt: skip
_CHECKERS: Final = ("intensive care pharmacy", "nurse in charge", "physiotherapy")

# ARDS Network card, lower PEEP: each PEEP with the FiO2 that stand beside it (N Engl J Med 2000;342:1301-8).
PEEP_ROWS: Final = ((5, 30, 40), (8, 40, 50), (10, 50, 70), (14, 70, 90))


def near_tube(draft: Draft, plan: Plan, watch: Watch, claim: sense.Claim) -> sense.Claim:
    """What every order with a tube in intensive care has after its settings: oxygen before suction, alarms."""
    baby = draft.person.group == "newborn"
    assert plan.fraction is not None
    before = min(100, plan.fraction[2] + 10) if baby else 100
    # 100 % for 30 to 60 s, some 10 % above what is set in newborns: AARC, Respir Care 2010;55:758-64 (from memory)
    draft.put("oxygen", "pre-oxygenation", f"{number(before)} % for {30 if baby else 60} s before suction")
    return alarms(draft, claim, watch)


def finished(
    draft: Draft, size: float, *, extra: Sequence[str] = (), by: str, when: Sequence[str], capnograph: bool = True
) -> None:
    """Monitoring, whom to call, equipment."""
    watched = [*(each for each in WATCHED if capnograph or each != "capnograph"), *extra]
    listed(draft, "monitoring", watched)
    draft.put("escalation", "gases", "at 1 h and 4 h")
    draft.put("escalation", "call", f'"{by}" when {" or ".join(when)}')
    listed(draft, "equipment", beside_a_tube(draft.person, size))


# ---- newborns
def newborn_tube(rng: Random) -> Order:
    """Respiratory distress after birth: 4 to 6 mL/kg (Klingenberg C et al., J Perinatol 2011;31:575-85)."""
    who = people.newborn(rng, (26, 39))
    draft = Draft(rng, who, acute=True)
    size, _ = parts.endotracheal_size(who, rng)
    lung = Lung(rng.uniform(0.45, 0.8) * who.weight, rng.uniform(50, 90), rng.uniform(60, 110))
    peep, rate, time = rng.choice((5, 5, 6)), rng.choice((40, 45, 50, 55)), near(rng.uniform(*suits(who)), 0.05)
    volume = rng.uniform(4.6, 5.4) * who.weight
    pressure = near(pressure_for(lung, Breath(peep, rate, time), volume))
    lowest = rng.choice((21, 25, 30))
    mode = rng.choice(("A/C-PC", "A/C-vtPC", "SIMV-PC with PS"))
    plan = Plan(
        mode,
        peep,
        rate,
        time,
        pressure=pressure,
        support=max(4, near(0.5 * pressure)) if mode.startswith("SIMV") else None,  # Reyes ZC et al., Pediatrics 2006
        target=f"{number(volume / who.weight, 0.5)} mL/kg of measured weight" if "vt" in mode else "",
        floor=max(4, pressure - 4),
        ceiling=pressure + 6,
        longest=(0, time + 0.1) if mode.startswith("SIMV") else None,  # a leak keeps the flow from falling
        rise=50,
        cycle=15,
        leaking=True,
        fraction=(lowest, 21, lowest + 15),
    )
    parts.head(draft, "Breathing tube for respiratory distress, newborn", "registrar, newborn care")
    parts.patient(
        draft, "respiratory distress after birth, tube kept after surfactant", "respiratory distress syndrome",
        "intensive care", 24,
    )  # fmt: skip
    parts.tube(draft, "endotracheal tube", size, cuffed=False)
    small = who.weight < 2  # an adapter on top of the flow sensor is too much of so small a breath
    dead = parts.dual_limb(draft, "endotracheal tube", dry_gas=small)
    settings(draft, plan)
    watch = Watch((90, 95), True, size, None if small else (4.5, 6.5), (21, lowest + 15))  # European consensus (memory)
    own = (plan.supported(0.45 * pressure, rate, time),) if plan.support is not None else ()
    claim = sense.Claim(
        who.weight, lung, (plan.breath(), *own), sense.NEWBORN, dead, 6, airways=1.6, wasted=0.05, moving=plan.moving
    )
    held = near_tube(draft, plan, watch, claim)
    draft.put("targets", "expired tidal volume", "4 to 6 mL/kg of measured weight")
    draft.put("targets", "SpO2", "90 to 95 %")
    draft.put("targets", "PaCO2", "5 to 7.5 kPa")
    draft.put("targets", "pH", "7.22 to 7.4")
    draft.put("titration", "raise", f"FiO2 by 5 % every 5 min up to {lowest + 15} % when SpO2 below 90 % for 2 min")
    draft.put("titration", "lower", "FiO2 by 5 % every 5 min down to 21 % when SpO2 above 95 % for 5 min")
    when = ["SpO2 below 88 % for 2 min", "pH below 7.2"]
    finished(draft, size, extra=["transcutaneous CO2"], capnograph=not small, by="newborn consultant", when=when)
    parts.checked(draft, "newborn pharmacy")
    return Order("newborn, tube", draft.text(), held)


def newborn_cpap(rng: Random) -> Order:
    """CPAP of 5 to 8 cmH2O by the nose for a newborn who breathes (European consensus on RDS; from memory)."""
    who = people.newborn(rng, (28, 40))
    draft = Draft(rng, who, acute=True)
    peep, most = rng.choice((5, 6, 7)), rng.choice((30, 35))
    worn = rng.choice(("nasal prongs", "nasal mask"))
    lung = Lung(rng.uniform(0.8, 1.2) * who.weight, rng.uniform(30, 50), rng.uniform(30, 60))
    effort = near(5 / (lung.compliance / who.weight) / 0.95, 0.1)
    parts.head(draft, "CPAP by the nose, newborn", "registrar, newborn care")
    parts.patient(draft, "respiratory distress after birth", "respiratory distress syndrome", "intensive care", 24)
    draft.put("airway", "interface", worn if worn == "nasal prongs" else f"{worn} non-vented")
    parts.dual_limb(draft, worn, dry_gas=True)
    draft.put("settings", "mode", "CPAP")
    draft.put("settings", "PEEP", f"{peep} cmH2O")
    draft.put("settings", "FiO2", f"25 % allow 21 to {most} %")
    breath = Breath(peep, 45, 0.4, pressure=0, effort=effort)
    claim = sense.Claim(who.weight, lung, (breath,), sense.NEWBORN, 0, 6, airways=2.0, wasted=0.05)
    draft.put("alarms", "disconnection", "after 5 s")
    draft.put("alarms", "apnoea", "after 15 s")
    draft.put("alarms", "low PEEP", f"{peep - 2} cmH2O")
    draft.put("alarms", "high inspiratory pressure", f"{peep + 6} cmH2O")
    draft.put("alarms", "high rate", "80 /min")
    draft.put("alarms", "low SpO2", "88 %")
    draft.put("alarms", "high SpO2", "96 %")
    draft.put("alarms", "low FiO2", "18 %")
    draft.put("alarms", "high FiO2", f"{most + 5} %")
    draft.put("alarms", "power loss", "on")
    draft.put("targets", "SpO2", "90 to 95 %")
    draft.put("targets", "PaCO2", "5 to 7.5 kPa")
    draft.put("titration", "raise", f"FiO2 by 5 % every 5 min up to {most} % when SpO2 below 90 % for 2 min")
    watched = ("pulse oximeter", "ECG", "oxygen analyser")
    listed(draft, "monitoring", [*watched, "transcutaneous CO2", "blood gas analyser"])
    draft.put("escalation", "gases", "at 1 h and 4 h")
    draft.put("escalation", "ceiling", '"surfactant and breathing tube where CPAP fails"')
    draft.put("escalation", "call", f'"newborn consultant" when SpO2 below 88 % for 2 min or FiO2 above {most - 2} %')
    listed(draft, "equipment", ["self-inflating bag", "mask", "suction", "suction catheter 6 Fr", "spare mask"])
    parts.checked(draft, "newborn pharmacy")
    return Order("newborn, CPAP", draft.text(), claim)


# ---- children and adults
def child_tube(rng: Random) -> Order:
    """A child with a tube: after an operation, or with injured lungs (PALICC-2)."""
    hurt = rng.random() < 0.5
    who = people.infant(rng, (2, 11)) if rng.random() < 0.35 else people.child(rng, (1, 15))
    each = rng.uniform(0.45, 0.7) if hurt else rng.uniform(0.8, 1.1)
    resist = 30 if who.group == "infant" else 18 if who.years < 6 else 12
    lung = Lung(each * who.weight, resist * rng.uniform(0.8, 1.2), resist * rng.uniform(1.0, 1.4))
    peep, low, high = rng.choice(PEEP_ROWS[:3] if hurt else ((5, 25, 40),))
    rate = _rate(rng, who) + (rng.randint(2, 5) if hurt else 0)
    modes = ("A/C-PC", "A/C-VC", "A/C-vtPC") if hurt else ("A/C-PC", "A/C-VC", "SIMV-PC with PS", "SIMV-VC with PS")
    each_kilo = rng.uniform(5.8, 6.8) if hurt else rng.uniform(6.5, 7.8)
    why = ("hypoxaemic failure with pneumonia of both lungs", "acute lung injury") if hurt else (
        "ventilated overnight after an operation", "normal lungs")  # fmt: skip
    limits = sense.CHILD_INJURED if hurt else sense.CHILD_HEALTHY
    saturation = (92, 97) if hurt else (94, 98)
    return tube_order(
        rng, who, lung, "child, injured lungs" if hurt else "child, healthy lungs",
        title=f"Breathing tube, {who.group}",
        role=f"{rng.choice(('registrar', 'consultant'))}, children's intensive care", why=why, limits=limits,
        mode=rng.choice(modes), peep=peep, rate=rate, each=each_kilo, fractions=(low, high),
        saturation=saturation, carbon=(5, 7) if hurt else (4.7, 6), whom="children's intensive care consultant",
        production=3.5 if who.years > 10 else 4.5 if who.years > 2 else 5.5, wasted=0.35 if hurt else 0.2,
    )  # fmt: skip


def _rate(rng: Random, who: people.Person) -> int:
    """A set rate in the lower half of what is normal for the age (PALS 2006 table)."""
    ends = ((1, (28, 34)), (4, (22, 28)), (6, (20, 24)), (13, (16, 20)))
    return rng.randint(*next((span for years, span in ends if who.years < years), (14, 18)))


def injured_adult(rng: Random) -> Order:
    """ARDS: 6 mL/kg of predicted weight, PEEP of the lower table, driving pressure up to 15."""
    who = people.adult(rng, (20, 84), (20, 36))
    peep, low, high = rng.choice(PEEP_ROWS)
    lung = Lung(rng.uniform(24, 42), rng.uniform(8, 12), rng.uniform(9, 14))
    why = rng.choice(("hypoxaemic failure with pneumonia of both lungs", "hypoxaemic failure with sepsis"))
    return tube_order(
        rng, who, lung, "adult, injured lungs", title="Lung-protective ventilation, adult", role=rng.choice(_ROLES),
        why=(why, "acute lung injury"), limits=sense.INJURED,
        mode=rng.choice(("A/C-VC", "CMV-VC", "A/C-PC", "A/C-vtPC")), peep=peep, rate=rng.randint(20, 30),
        each=rng.uniform(5.6, 6.4), fractions=(low, high), saturation=(88, 95), carbon=(4.5, 7),
        whom="intensive care consultant", production=3.3, wasted=0.4,
    )  # fmt: skip


def healthy_adult(rng: Random) -> Order:
    """Ventilated for another reason than the lungs."""
    who = people.adult(rng, (18, 90), (19, 33))
    lung = Lung(rng.uniform(42, 60), rng.uniform(8, 11), rng.uniform(9, 12))
    why = rng.choice(("low consciousness after a head injury", "ventilated after a long operation", "poisoning"))
    return tube_order(
        rng, who, lung, "adult, healthy lungs", title="Breathing tube, adult with healthy lungs",
        role=rng.choice(_ROLES),
        why=(why, "normal lungs"), limits=sense.HEALTHY, peep=rng.choice((5, 6)), rate=rng.randint(13, 16),
        mode=rng.choice(_HEALTHY_MODES),
        each=rng.uniform(6.8, 7.6), fractions=(25, 40), saturation=(94, 98), carbon=(4.7, 6),
        whom="intensive care consultant", production=3, wasted=0.28,
    )  # fmt: skip


def obstructed_adult(rng: Random) -> Order:
    """Severe asthma or an exacerbation of COPD with a tube: a low rate and a long expiration."""
    asthma = rng.random() < 0.5
    who = people.adult(rng, (18, 60), (20, 32)) if asthma else people.adult(rng, (48, 85), (18, 30))
    resist = rng.uniform(14, 18)
    lung = Lung(rng.uniform(50, 65), resist, resist * rng.uniform(1.1, 1.3))
    why = "severe asthma, exhausted" if asthma else "exacerbation of COPD after mask support failed"
    return tube_order(
        rng, who, lung, "adult, asthma" if asthma else "adult, COPD with a tube",
        title=f"Breathing tube, adult with {'severe asthma' if asthma else 'COPD'}", role=rng.choice(_ROLES),
        why=(why, "obstructive"), limits=sense.OBSTRUCTED, peep=rng.choice((4, 5)), rate=rng.randint(10, 13),
        mode=rng.choice(("A/C-VC", "CMV-VC", "A/C-PC")), each=rng.uniform(6.5, 7.6), fractions=(30, 50),
        saturation=(94, 98) if asthma else (88, 92), carbon=(5, 8), whom="intensive care consultant", production=3,
        wasted=0.3, retains=not asthma,
    )  # fmt: skip


def tube_order(
    rng: Random, who: people.Person, lung: Lung, kind: str, *, title: str, role: str, why: tuple[str, str],
    limits: sense.Limits, mode: str, peep: float, rate: int, each: float, fractions: tuple[int, int],
    saturation: tuple[int, int], carbon: tuple[float, float], whom: str, production: float, wasted: float,
    retains: bool = False,
) -> Order:  # fmt: skip
    """An order for a tube in intensive care."""
    draft = Draft(rng, who, acute=True)
    size, cuffed = parts.endotracheal_size(who, rng)
    obstructed = limits is sense.OBSTRUCTED
    plan = tube_plan(rng, who, lung, mode, peep, rate, each, fractions, obstructed)
    parts.head(draft, title, role)
    awake = mode.startswith(("CSV", "SIMV"))
    effort = "none" if mode.startswith("CMV") else "present" if awake else "weak"
    thick = rng.random() < 0.2
    parts.patient(
        draft, *why, "intensive care", 24, retains=retains, effort=effort, secretions="thick" if thick else "thin"
    )
    parts.tube(draft, "endotracheal tube", size, cuffed)
    # an exchanger for the first day or two of healthy adult lungs, up to 10 L/min and with thin secretions: AARC 2012
    few = limits is sense.HEALTHY and not thick and each * who.kilograms * (rate + 2) < 9000 and rng.random() < 0.35
    dead = parts.dual_limb(draft, "endotracheal tube", exchanged=few)
    if obstructed and rng.random() < 0.5:
        draft.put("circuit", "nebuliser", "on ventilator side")
    settings(draft, plan)
    if mode.startswith("CSV"):
        _back_up(draft, lung, plan, each * who.kilograms)
    acidity = (7.2, 7.45) if obstructed else (7.3, 7.45)
    watch = Watch(saturation, True, size, carbon, (fractions[0], fractions[1]), breathing=awake, acidity=acidity)
    claim = sense.Claim(
        who.kilograms, lung, _breaths(plan), limits, dead, production, wasted=wasted, moving=plan.moving, aimed=carbon
    )
    held = near_tube(draft, plan, watch, claim)
    low, high = (5, 7) if limits is sense.INJURED else (5, 8) if limits is sense.CHILD_INJURED else (6, 8)
    draft.put("targets", "expired tidal volume", f"{low} to {high} mL/kg of {who.weighed}")
    if not awake:
        draft.put("targets", "plateau pressure", f"up to {28 if who.group != 'adult' else 30} cmH2O")
    draft.put("targets", "SpO2", f"{saturation[0]} to {saturation[1]} %")
    draft.put("targets", "EtCO2", f"{number(carbon[0], 0.1)} to {number(carbon[1], 0.1)} kPa")
    draft.put("targets", "pH", "7.2 to 7.45" if obstructed else "7.3 to 7.45")
    when = [f"SpO2 below {saturation[0] - 2} % for 5 min", f"EtCO2 above {number(carbon[1] + 1, 0.1)} kPa for 5 min"]
    cuff = ["cuff pressure gauge"] if cuffed else []
    finished(draft, size, extra=[*cuff, *(["arterial line"] if who.group == "adult" else [])], by=whom, when=when)
    after = 0
    if rng.random() < 0.5:
        after = readings(
            draft, held, claim.breaths[0], watch, retains=retains, fraction=fractions[0], by="bedside nurse"
        )
    parts.checked(draft, rng.choice(_CHECKERS), after)
    return Order(kind, draft.text(), held)


def tube_plan(
    rng: Random, who: people.Person, lung: Lung, mode: str, peep: float, rate: int, each: float,
    fractions: tuple[int, int], obstructed: bool = False,
) -> Plan:  # fmt: skip
    """The settings that give so many millilitres per kilogram."""
    low, high = suits(who)
    wanted = rng.uniform(0.9, 1.1) if obstructed else min(rng.uniform(low, high), 0.4 * 60 / rate)
    time = near(wanted, 0.1 if who.years > 1 else 0.05)
    step = 10 if who.group == "adult" else 5 if who.weight > 15 else 1
    volume = near(each * who.kilograms, step)
    pressure = near(pressure_for(lung, Breath(peep, rate, time), volume))
    support = max(5.0, near(pressure_for(lung, Breath(peep, rate + 2, time, effort=3), volume)))
    play = None if who.group == "infant" or mode.startswith("CMV") or rng.random() < 0.5 else (rate - 1, rate + 2)
    plan = Plan(
        mode,
        peep,
        rate,
        time,
        rates=play,
        rise=100 if who.years < 13 else 150,
        passive=mode.startswith("CMV"),
        fraction=(fractions[0], fractions[0], fractions[1]),
    )
    if "PS" in mode:
        plan = replace(plan, support=support, rates=None)
    if mode in ("A/C-VC", "CMV-VC") and rng.random() < 0.25:
        flow = near(volume / time * 0.06)  # mL/s to L/min
        return replace(plan, volume=volume, flow=flow, time=volume / flow * 0.06)
    if mode in ("A/C-PC", "A/C-VC", "CMV-VC") and play is None and rng.random() < 0.3:
        ratio = near(60 / rate / time - 1, 0.5)
        time = 60 / rate / (1 + ratio)
        plan = replace(plan, ratio=ratio, time=time)
        if "PC" in mode:
            return replace(plan, pressure=near(pressure_for(lung, Breath(peep, rate, time), volume)))
        return replace(plan, volume=volume)
    if "-VC" in mode:
        return replace(plan, volume=volume, pause=near(0.2 * time, 0.1) if time >= 0.8 and "SIMV" not in mode else 0)
    if "vt" in mode:
        floor = max(4, pressure - 4)
        return replace(plan, pressure=pressure, target=f"{number(volume)} mL", floor=floor, ceiling=pressure + 5)
    return plan if mode == "CSV-PS" else replace(plan, pressure=pressure)


def _breaths(plan: Plan) -> tuple[Breath, ...]:
    rates = plan.rates or (plan.rate,)
    given = () if plan.mode.startswith("CSV") else tuple(plan.breath(rate=rate) for rate in (plan.rate, *rates))
    own = (plan.supported(3, plan.rate + 2, plan.time),) if plan.support is not None else ()
    return (*given, *own)


def _back_up(draft: Draft, lung: Lung, plan: Plan, volume: float) -> None:
    """What the ventilator does when somebody who only is supported stops breathing."""
    pressure = near(pressure_for(lung, Breath(plan.peep, plan.rate, plan.time), volume))
    section = "back-up after apnoea 15 s"
    draft.put(section, "inspiratory pressure", f"{number(pressure)} cmH2O above PEEP")
    draft.put(section, "rate", f"{plan.rate} /min")
    draft.put(section, "inspiratory time", f"{number(plan.time, 0.05)} s")
