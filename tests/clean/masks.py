"""By mask: exacerbations on the ward, nights at home, CPAP."""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random
from typing import Final

from tests.clean import parts, people, sense
from tests.clean.lung import Breath, Lung, pressure_for
from tests.clean.order import Draft, Order, near, number
from tests.clean.parts import called
from tests.clean.settings import Plan, fraction, settings
from tests.clean.watching import Watch, alarms, listed, readings

LEAK: Final = "single with leak port"
MASK: Final = 1.0
"""Dead space of a mask in mL/kg where a leak washes it: below the 110 mL and more that Fodil R et al. modelled
(Intensive Care Med 2011;37:257-62) without one."""
_WATCHED: Final = ("pulse oximeter", "ECG", "expired volume monitor", "leak monitor", "blood gas analyser")
_NURSE: Final = "consultant nurse, home ventilation"
_LINE: Final = '"ventilator breakdown line, open day and night"'


@dataclass(frozen=True)
class Night:
    """A two-level order by mask: what for, in whom, and the windows that its pressures come from."""

    kind: str
    title: str
    why: str
    diagnosis: str
    lung: Lung
    levels: tuple[int, int]
    """Inspiratory pressure above ambient, from and to."""
    base: int
    rate: int
    time: float
    own: int
    effort: float
    each: float
    saturation: tuple[int, int]
    retains: bool
    cycle: int = 25
    rise: int = 200
    oxygen: int = 0
    production: float = 3.2
    wasted: float = 0.25


def on_two_limbs(draft: Draft) -> None:
    """A mask on two limbs: no vent and no anti-asphyxia valve (eCampusOntario, masks and interfaces)."""
    draft.put("airway", "interface", "oronasal mask non-vented")
    parts.dual_limb(draft, "oronasal mask", dry_gas=True)


def worn(draft: Draft, masks: tuple[str, ...], *, heated: bool, inlet: str = "capped", section: str = "") -> bool:
    """A mask on a circuit with a leak port: exactly one open vent (opencriticalcare.org, mask types); answers its vent.

    A mask over nose and mouth has an anti-asphyxia valve (eCampusOntario, masks and interfaces; from memory).
    """
    mask = draft.rng.choice(masks)
    vented = draft.rng.random() < 0.7
    after = f" {section}" if section else ""
    draft.put(f"airway{after}", "interface", f"{mask} {'vented' if vented else 'non-vented'}")
    parts.single_limb(
        draft,
        LEAK,
        mask,
        section=f"circuit{after}",
        port=None if vented else draft.rng.randint(26, 34),
        heated=heated,
        inlet=inlet,
        guarded=mask != "nasal mask",
    )
    return vented


def planned(rng: Random, night: Night, kilograms: float, *, acute: bool) -> Plan:
    """Pressures that give the volume, within the windows; what staff may set about them."""
    aim = pressure_for(
        night.lung, Breath(night.base, night.own, night.time, effort=night.effort), night.each * kilograms
    )
    low, high = night.levels
    pressure = near(min(max(aim, low - night.base), high - night.base))
    play = None
    if acute or rng.random() < 0.5:
        play = (max(pressure - 1, low - night.base), min(pressure + (4 if acute else 2), high - night.base))
    longest = (near(max(0.3, night.time - 0.4), 0.1), near(night.time + 0.4, 0.1))
    return Plan(
        "S/T-PS",
        night.base,
        night.rate,
        night.time,
        pressure=pressure,
        pressures=play,
        rise=night.rise,
        cycle=night.cycle,
        leaking=True,
        longest=longest,
    )


def claimed(night: Night, plan: Plan, kilograms: float) -> sense.Claim:
    assert plan.pressure is not None
    levels = sorted({plan.pressure, *(plan.pressures or ())})
    return sense.Claim(
        kilograms,
        night.lung,
        tuple(plan.breath(night.effort, night.own, each) for each in levels),
        sense.SUPPORTED,
        MASK * kilograms,
        night.production,
        airways=sense.ANATOMICAL,
        wasted=night.wasted,
        timed=plan.breath(),
        moving=plan.moving,
    )


def _at_rest(kilograms: float, lung: Lung, breath: Breath, production: float) -> sense.Claim:
    """What somebody on CPAP does alone."""
    dead = MASK * kilograms
    return sense.Claim(kilograms, lung, (breath,), sense.SUPPORTED, dead, production, airways=sense.ANATOMICAL)


def _seeking(plan: Plan, volume: float) -> Plan:
    """The same order where the device looks for the pressure itself."""
    assert plan.pressure is not None
    target, floor = f"{number(volume, 10)} mL", max(4, plan.pressure - 5)
    return replace(plan, mode="S/T-vtPS", target=target, floor=floor, ceiling=plan.pressure + 6, pressures=None)


# ---- on the ward
def _aims(draft: Draft, night: Night) -> None:
    draft.put("targets", "rate", "12 to 25 /min")
    draft.put("targets", "unintentional leak", "up to 24 L/min")
    draft.put("targets", "SpO2", f"{night.saturation[0]} to {night.saturation[1]} %")
    draft.put("targets", "PaCO2", "5 to 7.5 kPa")
    draft.put("targets", "pH", "7.35 to 7.45")


def ward(rng: Random, who: people.Person, night: Night, *, volume: bool = False) -> Order:
    """An exacerbation treated by mask on the ward, or in intensive care."""
    draft = Draft(rng, who, acute=True)
    plan = planned(rng, night, who.kilograms, acute=True)
    least, most = rng.choice(((24, 35), (28, 40), (24, 30)))
    plan = replace(plan, fraction=(least, least, most))
    if volume:
        plan = _seeking(plan, night.each * who.kilograms)
    parts.head(draft, night.title, rng.choice(("registrar, acute medicine", "registrar, respiratory medicine")))
    place = rng.choice(("ward", "ward", "intensive care"))
    limited = place == "ward" and who.years > 70 and rng.random() < 0.5
    end = "mask support on this ward, no breathing tube" if limited else "breathing tube and intensive care"
    parts.patient(draft, night.why, night.diagnosis, place, rng.randint(16, 20), retains=night.retains)
    draft.put("patient", "aim of care", "limited treatment" if limited else "full treatment")
    bled = place == "ward" and rng.random() < 0.25
    if bled:
        plan = replace(plan, fraction=None)
    if place == "intensive care" and rng.random() < 0.6:
        on_two_limbs(draft)
    else:
        heated = rng.random() < 0.6
        masks = ("oronasal mask", "oronasal mask", "total face mask")
        worn(draft, masks, heated=heated, inlet="in use" if bled else "capped")
    settings(draft, plan)
    if bled:  # at least 4 L/min where IPAP is above 12: Thys F et al., Eur Respir J 2002;19:653-7
        draft.put("oxygen", "flow", f"{rng.choice((4, 5))} L/min at ventilator inlet")
    told = None if bled else (least, most)
    watch = Watch(night.saturation, True, carbon=None, fraction=told, acidity=(7.35, 7.45))
    claim = claimed(night, plan, who.kilograms)
    held = alarms(draft, replace(claim, limits=replace(claim.limits, co2=(5.1, 7.4))), watch)
    _aims(draft, night)
    if plan.pressures and plan.pressure is not None and plan.pressures[1] > plan.pressure:
        top = number(plan.peep + plan.pressures[1])
        step = f"IPAP by 1 cmH2O every 10 min up to {top} cmH2O above ambient"
        draft.put("titration", "raise", f"{step} when rate above 25 /min for 10 min")
        draft.put("titration", "stop when", "rate below 20 /min")
    analyser = [] if bled else ["oxygen analyser"]
    listed(draft, "monitoring", [*analyser, *_WATCHED])
    draft.put("escalation", "gases", "at 1 h and 4 h")
    draft.put("escalation", "ceiling", f'"{end}, agreed with the patient"')
    low = f"SpO2 below {night.saturation[0] - 2} % for 5 min"
    called(draft, "respiratory registrar", "pH below 7.25", low, "rate above 35 /min for 10 min")
    listed(draft, "equipment", ["self-inflating bag", "mask", "suction", "spare mask", "battery 2 h"])
    after = 0
    if rng.random() < 0.5:
        first = held.breaths[0] if plan.pressures is None else plan.breath(night.effort, night.own)
        seen = None if bled else least
        after = readings(draft, held, first, watch, retains=night.retains, fraction=seen, by="bedside nurse")
    parts.checked(draft, rng.choice(("nurse in charge", "physiotherapy", "respiratory physiology")), after)
    return Order(night.kind, draft.text(), held)


def exacerbation(rng: Random) -> Order:
    """COPD with acidosis: Davidson AC et al., Thorax 2016;71 Suppl 2:ii1-35; cycling at 40 to 50 %: Moerer O, 2016."""
    who = people.adult(rng, (48, 88), (17, 31))
    resist = rng.uniform(14, 18)
    night = Night(
        "COPD, ward", "Acute mask support, adult with COPD",
        "acidosis that bronchodilators and controlled oxygen have not corrected in one hour", "obstructive",
        Lung(rng.uniform(34, 44), resist, resist * 1.2), (15, 24), rng.choice((4, 4, 5)), 16,
        rng.choice((0.8, 0.9, 1.0)),
        rng.randint(19, 23), rng.uniform(1, 3), rng.uniform(7, 8), (88, 92), True, cycle=rng.choice((40, 45, 50)),
        rise=100, production=3.4, wasted=0.3,
    )  # fmt: skip
    return ward(rng, who, night)


def heavy_on_ward(rng: Random) -> Order:
    """Obesity hypoventilation, decompensated: a higher expiratory pressure, back-up at 1:1 to 1:2 (BTS/ICS 2016)."""
    who = people.adult(rng, (30, 75), (36, 52))
    night = Night(
        "obesity, ward", "Mask support, adult with obesity hypoventilation",
        "hypercapnic failure with obesity hypoventilation",
        "obesity hypoventilation", Lung(rng.uniform(36, 46), rng.uniform(6, 8), rng.uniform(7, 9)), (18, 28),
        rng.randint(8, 10), rng.choice((15, 16)), rng.choice((1.2, 1.3)), rng.randint(18, 21), rng.uniform(1, 3),
        rng.uniform(7, 8), (88, 92), True, production=4,
    )  # fmt: skip
    return ward(rng, who, night, volume=rng.random() < 0.4)


def oedema(rng: Random) -> Order:
    """CPAP for cardiogenic oedema: Rochwerg B et al., Eur Respir J 2017;50:1602426."""
    who = people.adult(rng, (55, 90), (20, 34))
    draft = Draft(rng, who, acute=True)
    peep, least, most = rng.choice((8, 10)), rng.choice((40, 50)), 70
    lung = Lung(rng.uniform(35, 50), 6, 8)
    breath = Breath(peep, rng.randint(20, 25), 1.0, pressure=0, effort=near(6.8 * who.kilograms / 40))
    parts.head(draft, "CPAP for fluid on the lungs, adult", "registrar, acute medicine")
    parts.patient(draft, "breathless with heart failure and fluid on the lungs", "cardiogenic oedema", "ward", 12)
    worn(draft, ("oronasal mask",), heated=False)
    draft.put("settings", "mode", "CPAP")
    draft.put("settings", "PEEP", f"{peep} cmH2O")
    fraction(draft, (least, least, most))
    claim = _at_rest(who.kilograms, lung, breath, 3.3)
    held = alarms(draft, claim, Watch((94, 98), True, fraction=(least, most), pressures=False))
    draft.put("alarms", "high inspiratory pressure", f"{peep + 10} cmH2O")
    draft.put("targets", "rate", "12 to 25 /min")
    draft.put("targets", "unintentional leak", "up to 24 L/min")
    draft.put("targets", "SpO2", "94 to 98 %")
    draft.put("titration", "lower", f"FiO2 by 5 % every 15 min down to {least} % when SpO2 above 98 % for 15 min")
    draft.put("titration", "raise", f"FiO2 by 5 % every 10 min up to {most} % when SpO2 below 94 % for 5 min")
    listed(draft, "monitoring", ["oxygen analyser", *_WATCHED])
    draft.put("escalation", "gases", "at 1 h and 4 h")
    draft.put("escalation", "ceiling", '"breathing tube and intensive care, agreed with the patient"')
    tired = "rate above 30 /min for 10 min"
    called(draft, "acute medicine registrar", "SpO2 below 92 % for 5 min", tired, "FiO2 above 65 %")
    listed(draft, "equipment", ["self-inflating bag", "mask", "suction", "spare mask", "battery 2 h"])
    parts.checked(draft, "nurse in charge")
    return Order("cardiogenic oedema, CPAP", draft.text(), held)


# ---- at home
def home(rng: Random, who: people.Person, night: Night, masks: tuple[str, ...]) -> Order:
    """Nights at home by mask, with or without oxygen bled in."""
    draft = Draft(rng, who, acute=False)
    plan = planned(rng, night, who.kilograms, acute=False)
    grown = who.group in ("adult", "adolescent")
    parts.head(draft, night.title, _NURSE if grown else "consultant, children's home ventilation")
    parts.patient(draft, night.why, night.diagnosis, "home", 9, retains=night.retains, unaided=12)
    worn(draft, masks, heated=rng.random() < 0.6, inlet="in use" if night.oxygen else "capped")
    settings(draft, plan, "settings night from 22:00 to 07:00")
    if night.oxygen:
        draft.put("oxygen", "flow", f"{night.oxygen} L/min at ventilator inlet")
    claim = claimed(night, plan, who.kilograms)
    claim = replace(claim, limits=replace(claim.limits, co2=(3.9, 7.5 if night.retains else 6.5)))
    watch = Watch(night.saturation, bool(night.oxygen), delay=15, end=False)
    held = alarms(draft, claim, watch)
    draft.put("targets", "unintentional leak", f"up to {24 if who.years >= 13 else 15} L/min")
    draft.put("targets", "SpO2", f"{night.saturation[0]} to {night.saturation[1]} %")
    draft.put("targets", "PaCO2", "5 to 7 kPa" if night.retains else "4.7 to 6 kPa")
    listed(draft, "monitoring", ["pulse oximeter", "leak monitor", "transcutaneous CO2"])
    called(draft, "home ventilation nurse on call", f"SpO2 below {night.saturation[0] - 2} % for 10 min")
    draft.put("escalation", "call", _LINE)
    gear = ["self-inflating bag", "mask", "suction"] if "neuromuscular" in night.diagnosis else ["mask"]
    extra = ["insufflation-exsufflation device"] if "neuromuscular" in night.diagnosis else []
    tank = ["oxygen cylinder"] if night.oxygen else []
    listed(draft, "equipment", [*gear, *extra, "spare mask", "spare circuit", "battery 9 h", *tank])
    parts.checked(draft, rng.choice(("physiotherapy", "respiratory physiology", "pharmacy")))
    return Order(night.kind, draft.text(), held)


def stable_copd(rng: Random) -> Order:
    """High-intensity support for COPD at home; oxygen from 1 L/min upwards (Berry RB et al., 2010)."""
    who = people.adult(rng, (50, 84), (18, 30))
    resist = rng.uniform(13, 16)
    night = Night(
        "COPD, home", "Nights on mask support, adult with COPD",
        "stays hypercapnic after two exacerbations", "obstructive",
        Lung(rng.uniform(34, 44), resist, resist * 1.2), (18, 28), rng.choice((4, 5)), rng.randint(14, 16),
        rng.choice((1.0, 1.1)), rng.randint(16, 18), rng.uniform(0, 2), rng.uniform(8, 9.5), (88, 92), True, cycle=40,
        rise=100, oxygen=rng.choice((0, 1, 2, 3)), wasted=0.35,
    )  # fmt: skip
    return home(rng, who, night, ("oronasal mask", "nasal mask"))


def heavy_at_home(rng: Random) -> Order:
    """Obesity hypoventilation at home: 19/11 with 13 /min in one series (Chest 2012;141:798-808)."""
    who = people.adult(rng, (30, 75), (36, 50))
    night = Night(
        "obesity, home", "Nights on mask support, adult with obesity hypoventilation",
        "obesity hypoventilation with sleep apnoea",
        "obesity hypoventilation", Lung(rng.uniform(38, 48), rng.uniform(5, 7), rng.uniform(6, 8)), (16, 26),
        rng.randint(8, 11), rng.randint(13, 15), rng.choice((1.3, 1.4)), rng.randint(15, 17), rng.uniform(1, 2),
        rng.uniform(7.5, 8.5), (90, 94), True, production=3.6, wasted=0.15,
    )  # fmt: skip
    return home(rng, who, night, ("oronasal mask", "nasal mask"))


def weak_adult(rng: Random) -> Order:
    """Neuromuscular disease: 8 to 12 of support, backup 16 or less with a long inspiration (BTS/ICS 2016)."""
    who = people.adult(rng, (18, 78), (18, 30))
    night = Night(
        "neuromuscular adult, home", "Nights on mask support, adult with weak muscles",
        "hypoventilation asleep with motor neurone disease",
        "neuromuscular", Lung(rng.uniform(38, 50), rng.uniform(4, 6), rng.uniform(5, 7)), (12, 20), rng.choice((4, 5)),
        rng.randint(13, 16), rng.choice((1.2, 1.3, 1.4)), rng.randint(14, 17), rng.uniform(1, 2), rng.uniform(7, 8.5),
        (94, 98), False, rise=300, wasted=0.12,
    )  # fmt: skip
    return home(rng, who, night, ("nasal mask", "oronasal mask"))


def curved_adult(rng: Random) -> Order:
    """A stiff chest wall needs more than 20, up to 30 (BTS/ICS 2016)."""
    who = people.adult(rng, (30, 78), (18, 27), curved=True)
    night = Night(
        "chest wall, home", "Nights on mask support, adult with a curved spine",
        "hypoventilation asleep with kyphoscoliosis",
        "chest wall", Lung(rng.uniform(22, 30), rng.uniform(5, 7), rng.uniform(6, 8)), (18, 29), rng.choice((4, 5)),
        rng.randint(15, 18), rng.choice((1.1, 1.2)), rng.randint(17, 20), rng.uniform(1, 2), rng.uniform(6.5, 8),
        (92, 96), True,
    )  # fmt: skip
    return home(rng, who, night, ("nasal mask", "oronasal mask"))


def weak_child(rng: Random) -> Order:
    """A child or adolescent with muscle disease: 12 to 20 over 3 to 8, rate matched (chop.edu pathway); below 20."""
    who = people.child(rng, (2, 17), thin=0.6)
    rate = 20 if who.years < 6 else 18 if who.years < 10 else 16
    time = near(60 / rate * rng.uniform(0.3, 0.38), 0.1)  # 30 to 40 % of the cycle: Berry RB et al., 2010
    resist = 14 if who.years < 6 else 10 if who.years < 12 else 6
    night = Night(
        "neuromuscular child, home", f"Nights on mask support, {who.group} with weak muscles",
        "muscular dystrophy, hypoventilation asleep",
        "neuromuscular", Lung(rng.uniform(0.75, 1.0) * who.weight, resist, resist * 1.2), (12, 19), rng.choice((4, 5)),
        rate, time, rate + rng.randint(1, 2), rng.uniform(1, 2), rng.uniform(7, 8.5), (94, 98), False,
        production=4.5 if who.years < 8 else 3.5, wasted=0.12,
    )  # fmt: skip
    return home(rng, who, night, ("nasal mask",) if who.years < 12 else ("nasal mask", "oronasal mask"))


def heavy_on_cpap(rng: Random) -> Order:
    """CPAP first for stable patients with severe sleep apnoea: Mokhlesi B et al., Am J Respir Crit Care Med 2019."""
    who = people.adult(rng, (28, 72), (35, 48))
    draft = Draft(rng, who, acute=False)
    peep = rng.randint(8, 14)
    lung = Lung(rng.uniform(40, 50), 5, 6)
    breath = Breath(peep, 16, 1.2, pressure=0, effort=near(7.5 * who.kilograms / 45, 0.1))
    parts.head(draft, "CPAP at night, adult with obesity hypoventilation", _NURSE)
    why = "obesity hypoventilation with severe sleep apnoea"
    parts.patient(draft, why, "obesity hypoventilation", "home", 8, retains=True, unaided=24)
    worn(draft, ("nasal mask", "oronasal mask"), heated=True)
    draft.put("settings night from 23:00 to 07:00", "mode", "CPAP")
    draft.put("settings night from 23:00 to 07:00", "PEEP", f"{peep} cmH2O")
    claim = _at_rest(who.kilograms, lung, breath, 3.8)
    draft.put("alarms", "disconnection", "after 15 s")
    draft.put("alarms", "low PEEP", f"{peep - 3} cmH2O")
    draft.put("alarms", "low SpO2", "86 % after 30 s")
    draft.put("alarms", "power loss", "on")
    draft.put("targets", "unintentional leak", "up to 24 L/min")
    draft.put("targets", "SpO2", "90 to 94 %")
    listed(draft, "monitoring", ["pulse oximeter", "leak monitor"])
    draft.put("escalation", "call", '"home ventilation nurse on call" when SpO2 below 88 % for 10 min')
    draft.put("escalation", "call", _LINE)
    listed(draft, "equipment", ["mask", "spare mask", "spare circuit"])
    parts.checked(draft, "respiratory physiology")
    return Order("obesity, CPAP at home", draft.text(), claim)
